"""Forecasts asked for one after another: states on the way are kept, and the next one starts from the latest that fits.

While a person moves a job along, or adds one to a later date, all that happens before it stays as it was. A state is
taken on report dates and stands for every what-if that compiles to the same network and has done the same up to then.
From there the march takes the same steps as one from the start, so that the numbers are the same to the last bit.
"""

from __future__ import annotations

import threading
import time as clock
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

from planner.forecast.branches import fork
from planner.forecast.calendar import report_dates, seconds
from planner.forecast.early_water import find_streak
from planner.forecast.life import Life, Pending, Progress, asks_drawdown
from planner.model.case import Case
from planner.model.change import AnyEvent, ChokeZone, EarlyWater, SetStraddle, ShutZone, WhatIf
from planner.model.history import with_history
from planner.model.results import Forecast, WellDescription

STATES = 200  # that are kept, some 0.4 MB each for a well of 240 nodes
EVERY = 12  # report dates between states that are kept in any case
Key = tuple[object, ...]


@dataclass
class State:
    """A life on a report date (s), and the events that it was marched with."""

    time: float
    life: Life
    events: tuple[AnyEvent, ...]

    def serves(self, case: Case, events: Sequence[AnyEvent]) -> bool:
        """Whether it is also the state of a what-if with these events: where the lists differ nothing was due yet."""
        count = max(len(events), len(self.events))
        pairs = [(at(self.events, k), at(events, k)) for k in range(count)]
        return all(one == other or all(self._later(case, e) for e in (one, other) if e) for one, other in pairs)

    def _later(self, case: Case, event: AnyEvent) -> bool:
        on = getattr(event, "on", None)
        return on is not None and seconds(case, on) > self.time + 1.0

    def go_on(self, case: Case, what_if: WhatIf | None) -> Life:
        """A life of its own under a what-if that this state serves."""
        life = fork(self.life)
        events = what_if.events if what_if else ()
        waiting = [one for one in life.pending if at(events, one.number) == at(self.events, one.number)]
        waiting += [
            Pending(event, k, seconds(case, event.on))
            for k, event in enumerate(events)
            if event != at(self.events, k) and not isinstance(event, EarlyWater) and event.on
        ]
        life.pending = sorted(waiting, key=lambda one: one.number)
        life.what_if = what_if
        return life


@dataclass
class Kept:
    """What is kept between forecasts in one process; one thread at a time, others march from the start."""

    case: Case | None = None
    trails: OrderedDict[Key, list[State]] = field(default_factory=OrderedDict)
    told: dict[Key, WellDescription] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def forecast(
        self,
        case: Case,
        what_if: WhatIf | None = None,
        *,
        progress: Progress | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> Forecast:
        """As `run.forecast`, with the same numbers. Raises as it does."""
        started = clock.perf_counter()
        bare = case.model_copy(update={"what_ifs": ()})
        if bare != self.case:
            self.case = bare
            self.trails.clear()
            self.told.clear()
        case = with_history(bare)
        found = find_streak(case, what_if, progress, cancelled)
        key = network_key(case, what_if, found.streak if found else None)
        trail = self.trails.setdefault(key, [])
        self.trails.move_to_end(key)
        events = what_if.events if what_if else ()
        start = max((one for one in trail if one.serves(case, events)), key=lambda one: one.time, default=None)
        if start is None:
            life = Life(case, what_if, found.streak if found else None)
            if found is not None:
                life.note("event", found.zone, found.text, 0.0, found.event)
        else:
            life = start.go_on(case, what_if)
        wanted = places(case, events)

        def keep(day: date) -> None:
            if day in wanted and (start is None or life.march.time > start.time):
                trail.append(State(life.march.time, fork(life), events))

        try:
            life.run(None, progress, cancelled, at_report=keep)
        finally:
            self._forget()
        life.told = self.told.get(key)
        result = life.result(started)
        self.told = {key: result.description} | {k: told for k, told in self.told.items() if k in self.trails}
        return result

    def _forget(self) -> None:
        """Give up states beyond what is kept: those of the network that was asked for the longest time ago first."""
        more = sum(map(len, self.trails.values())) - STATES
        for key in list(self.trails):
            gone = min(max(more, 0), len(self.trails[key]))
            del self.trails[key][:gone]
            more -= gone
            if not self.trails[key]:
                del self.trails[key]


def at(events: Sequence[AnyEvent], place: int) -> AnyEvent | None:
    """The event at a place of a list; None beyond its end."""
    return events[place] if place < len(events) else None


def network_key(case: Case, what_if: WhatIf | None, streak: object) -> Key:
    """What decides over the network beside the case: completion, streak, what may need a straddle, drawdown limits."""
    if what_if is None:
        return None, streak, (), asks_drawdown(case, what_if)
    straddles = tuple(
        (event.upper_blank, event.lower_blank) if isinstance(event, SetStraddle) else event.zone
        for event in what_if.events
        if isinstance(event, SetStraddle | ShutZone | ChokeZone)
    )
    return what_if.completion, streak, straddles, asks_drawdown(case, what_if)


def places(case: Case, events: Sequence[AnyEvent]) -> set[date]:
    """Report dates whose states are kept: one a year or so, and the last one before each dated event."""
    days = report_dates(case, None)
    wanted = set(days[EVERY::EVERY])
    for event in events:
        on = getattr(event, "on", None)
        before = [day for day in days[1:] if on is not None and day < on]
        wanted |= set(before[-1:])
    return wanted


_KEPT = Kept()


def forecast(
    case: Case,
    what_if: WhatIf | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Forecast:
    """As `run.forecast`, from the latest state that this process has kept. Raises as it does."""
    if not _KEPT.lock.acquire(blocking=False):
        from planner.forecast.run import forecast as from_the_start

        return from_the_start(case, what_if, progress=progress, cancelled=cancelled)
    try:
        return _KEPT.forecast(case, what_if, progress=progress, cancelled=cancelled)
    finally:
        _KEPT.lock.release()

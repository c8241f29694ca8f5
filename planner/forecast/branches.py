"""Many what-ifs that part from one life on dates of their own: what came before is marched once, not for each.

A trunk marches what happens anyway, with every straddle that a branch may set already in its network, closed. On a date
its state is copied and a branch goes on from there with one more event. Rows before that date are those of the trunk.
"""

from __future__ import annotations

import copy
import time as clock
from bisect import bisect_right
from collections.abc import Callable, Sequence
from datetime import date

from planner.forecast.calendar import seconds
from planner.forecast.early_water import find_streak
from planner.forecast.life import BASE, Life, Pending
from planner.model.case import Case
from planner.model.change import AnyEvent, WhatIf
from planner.model.history import with_history
from planner.model.results import Forecast
from planner.network.describe import describe_network


class Trunk:
    """A life from which others branch off. under: what happens anyway, None: the base; possible: events to come.

    Where the case says so, its measured history controls the well. Raises Refusal when the string cannot do what
    happens anyway.
    """

    def __init__(self, case: Case, under: WhatIf | None, possible: Sequence[AnyEvent]) -> None:
        anyway = under.events if under is not None else ()
        bare = under if under is not None else WhatIf(name=BASE)
        case = with_history(case)
        found = find_streak(case, under)
        life = Life(
            case, bare.model_copy(update={"events": (*anyway, *possible)}), found.streak if found is not None else None
        )
        life.pending = [one for one in life.pending if one.number < len(anyway)]
        if found is not None:
            life.note("event", found.zone, found.text, 0.0, found.event)
        life.told = describe_network(life.network, life.march.in_place)  # the same in all branches
        self.case = case
        self._days = [date.min]
        self._lives = [life]

    def forecast(self, what_if: WhatIf, on: date, cancelled: Callable[[], bool] | None = None) -> Forecast:
        """Life under a what-if that adds its last event, on a date, to what happens anyway.

        Raises Refusal where the string cannot do it, ForecastError, Cancelled.
        """
        began = clock.perf_counter()
        life = fork(self._until(on, cancelled))
        life.what_if = what_if
        life.pending.append(Pending(what_if.events[-1], len(what_if.events) - 1, seconds(self.case, on)))
        life.run(cancelled=cancelled)
        return life.result(began)

    def _until(self, on: date, cancelled: Callable[[], bool] | None) -> Life:
        """The trunk on a date, kept for others that part from it then or later."""
        place = bisect_right(self._days, on) - 1
        if self._days[place] == on:
            return self._lives[place]
        life = fork(self._lives[place])
        if on > self.case.schedule.start:
            life.run(on, cancelled=cancelled)
        self._days.insert(place + 1, on)
        self._lives.insert(place + 1, life)
        return life


def fork(life: Life) -> Life:
    """A life that goes its own way; what never changes (case, graph, network) is shared."""
    shared = (life.case, life.graph, life.network, life.network.graph, life.network.case, life.told)
    return copy.deepcopy(life, {id(one): one for one in shared})

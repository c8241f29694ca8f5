"""One life of a well: the march with its controls, events, triggers, and what is watched on the way."""

from __future__ import annotations

import time as clock
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.base.errors import Cancelled
from planner.forecast.calendar import date_of, report_dates, seconds
from planner.forecast.jobs import Jobs, outlet_control
from planner.forecast.limits import checks, limit_series, margins_along
from planner.forecast.march import March
from planner.forecast.plugging import Plugging
from planner.forecast.recorder import MODE_NAMES, Recorder
from planner.forecast.supports import Inflows
from planner.forecast.volumes import at_pressure
from planner.model import change
from planner.model.case import Case
from planner.model.case import Control as CaseControl
from planner.model.history import history_end
from planner.model.results import Forecast, Happening, RunFacts, WellDescription
from planner.model.ways import duration_of
from planner.network.arrays import GAS_EXPANSION, PRESSURE, SHUT, WELLHEAD
from planner.network.compile import Streak, compile_network
from planner.network.completed import completed
from planner.network.describe import describe_network
from planner.network.lift import WORST
from planner.network.lift_table import lift_pressure
from planner.network.well_graph import build

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]

ARRIVAL = 0.01  # rise of a zone's water cut (gas wells: of water's share of the volume) that counts as arrival
LEAST_FLOW = 1e-4  # of the largest zone's flow: less than that is not watched
BASE = "base"
MOST_SETTLING_STEPS = 400
HEADING = 0.01  # of the pressure by which the lift curve may have risen left of its minimum
# Kick-off of a dead well, common practice, no source: to this share of its pressure, for this time (s)
KICK_OFF, KICK_OFF_TIME = 0.8, DAY


@dataclass
class Pending:
    """An event that waits for its day (s) or for its trigger."""

    event: change.Event
    number: int
    day: float | None = None


@dataclass
class Arrivals:
    """Watches the water cut of every zone between steps; the day is interpolated inside the step.

    Where a front left a layer in the step, its mass tells the moment better than the water cut at both ends does. What
    a zone gives back of water that others pressed into it is no arrival: it has to have given more than it took.
    """

    recorder: Recorder
    threshold: float = ARRIVAL

    def __post_init__(self) -> None:
        zones = len(self.recorder.to_zone)
        self.first: Floats | None = None
        self.before = np.zeros(zones)
        self.day = np.full(zones, np.nan)

    def look(self, start: float, end: float) -> list[tuple[int, float]]:
        """Zones whose water arrived in the step from start to end (s), with the time."""
        recorder = self.recorder
        by_zone = recorder.to_zone @ (recorder.sign * recorder.march.work.flux[recorder.rows])
        water, rest = by_zone[:, 0], by_zone[:, 1]
        if recorder.march.network.case.fluid.oil is None:
            net = recorder.march.network
            rest = by_zone[:, 2] / at_pressure(net.fluids, recorder.march.x[net.zones.bore, 0], GAS_EXPANSION)
        whole = water + rest
        flowing = whole > LEAST_FLOW * max(float(np.abs(whole).max()), 1e-12)
        now = np.where(flowing, water / np.where(flowing, whole, 1.0), self.before)
        if self.first is None:
            self.first, self.before = now.copy(), now
            return []
        level = self.first + self.threshold
        given = (recorder.to_zone @ (recorder.sign * recorder.march.passed[recorder.rows]))[:, 0]
        found = []
        for zone in np.nonzero(np.isnan(self.day) & (now > level) & (self.first < 0.5) & (given > 0.0))[0]:
            share = (level[zone] - self.before[zone]) / max(now[zone] - self.before[zone], 1e-12)
            share = max(share, recorder.march.front_left(int(zone)))
            self.day[zone] = start + min(max(share, 0.0), 1.0) * (end - start)
            found.append((int(zone), float(self.day[zone])))
        self.before = now
        return found


class Life:
    """Runs one what-if from start to end. still: the rock keeps its initial state, one cell a layer."""

    def __init__(
        self, case: Case, what_if: change.WhatIf | None, streak: Streak | None = None, still: bool = False
    ) -> None:
        case = completed(case, what_if)
        self.case = case
        self.what_if = what_if
        self.graph = build(case, what_if)
        self.network = compile_network(
            case,
            self.graph,
            streak=streak,
            cells=1 if still else None,
            frozen=still,
            drawdown=asks_drawdown(case, what_if),
        )
        control = first_control(case)
        self.march = March(self.network, outlet_control(self.network, control))
        self.inflows = Inflows(self.march)
        self.plugging = None if still else Plugging(self.march)  # at an instant nothing has passed yet
        self.march.before_try = self._before_try
        self.jobs = Jobs(self.march, self.inflows, control)
        self.recorder = Recorder(self.march)
        self.arrivals = Arrivals(self.recorder)
        self.happenings: list[Happening] = []
        self.pending = [
            Pending(e, k, seconds(case, e.on) if e.on else None)
            for k, e in enumerate(what_if.events if what_if else ())
            if not isinstance(e, change.EarlyWater)
        ]
        self.controls = [c for c in case.controls if c.date > case.schedule.start]
        self.quiet_until = history_end(case)  # changes of control by measured history are not told one by one
        self.mode = -1
        self._reported = -1.0  # time of the last row (s)
        self.busy = 0.0  # until when (s) the well is shut in for a job; 0: it is not
        self.dead_before = False  # whether it had died before that job
        self.told: WellDescription | None = None  # of this network, where it is known already

    def _before_try(self, dt: float) -> None:
        """What depends on the length of the step that is tried."""
        self.inflows.update(dt)
        if self.plugging is not None:
            self.plugging.update(dt)

    def note(self, kind: str, where: str, text: str, time: float | None = None, event: int | None = None) -> None:
        """Something happened."""
        at = self.march.time if time is None else time
        self.happenings.append(Happening(at / DAY, date_of(self.case, at), kind, where, text, event))

    def run(
        self,
        until: date | None = None,
        progress: Progress | None = None,
        cancelled: Callable[[], bool] | None = None,
        also: Sequence[date] = (),
        at_report: Callable[[date], None] | None = None,
    ) -> None:
        """March over all report dates and the days of `also`; a life that has come some way goes on from there.

        at_report: told every date once all that was due on it is done.
        """
        dates = report_dates(self.case, until)
        dates = sorted({*dates, *(day for day in also if dates[0] < day < dates[-1])})
        end = seconds(self.case, dates[-1])
        self._due()
        if self.march.time == 0.0:
            self._first()
        for day in dates[1:]:
            target = seconds(self.case, day)
            if target <= self._reported:
                continue
            while self.march.time < target - 1.0:
                if cancelled is not None and cancelled():
                    raise Cancelled(f"cancelled on {date_of(self.case, self.march.time)}")
                self._step(self._next_stop(target))
            self._report()
            self._trip()
            self._due()
            if at_report is not None:
                at_report(day)
            if progress is not None:
                progress(self.march.time / end, f"{self.name}: {day.isoformat()}")

    @property
    def name(self) -> str:
        """Of the what-if."""
        return self.what_if.name if self.what_if else BASE

    def _first(self) -> None:
        """A first short step, so that the first row holds the flow at the start."""
        self._step(self.march.time + self.case.numerics.first_step)
        self._report(0.0)

    def _next_stop(self, target: float) -> float:
        """The next time that something is due."""
        waiting = [p.day for p in self.pending if p.day is not None and p.day > self.march.time + 1.0]
        waiting += [seconds(self.case, c.date) for c in self.controls]
        waiting += [self.busy] if self.busy else []
        return min([target, *(w for w in waiting if w > self.march.time + 1.0)])

    def _step(self, until: float) -> None:
        start = self.march.time
        self.jobs.before_step()
        self.march.advance(until)
        arrived = self.arrivals.look(start, self.march.time)
        for zone, at in arrived if not self.march.control.injector else ():
            name = self.graph.zones[zone].name
            self.note("water arrives", name, f"water reaches the well from {name}", at)
        self._check_lift()
        mode = int(self.march.modes[0])
        if mode != self.mode:
            self._mode_changed(mode)
        if abs(self.march.time - until) < 1.0 and any(
            p.day is not None and p.day <= self.march.time + 1.0 for p in self.pending
        ):
            self._due()
        if any(seconds(self.case, c.date) <= self.march.time + 1.0 for c in self.controls):
            self._due()
        if self.busy and self.busy <= self.march.time + 1.0:
            self.busy = 0.0
            self.jobs.hold(False)
            if self.dead_before:
                self.dead_before = False
                self._kick_off()

    def _check_lift(self) -> None:
        """A well that its tubing cannot keep flowing steadily dies, until something is done about it.

        Left of its minimum the lift curve is levelled for the solver; where it is flat there the well flows on.
        """
        march = self.march
        control = march.control
        mode = int(march.modes[0])
        if control.injector or control.shut or np.isnan(control.wellhead) or mode not in (WELLHEAD, SHUT):
            return
        if mode == WELLHEAD:
            water, oil, gas = march.work.outlet
            steady = lift_pressure(control.lift, oil, water, gas, True)[0]
            if lift_pressure(control.lift, oil, water, gas, False)[0] <= (1.0 + HEADING) * steady:
                return
        march.control = control._replace(shut=True)
        march.modes[0] = SHUT
        march.outlet[0] = 0.0
        march.restart()
        self.note("shut in", "well", "the well dies: it can no longer lift its fluids to the wellhead")
        self.mode = SHUT

    def _kick_off(self) -> None:
        """Bring a dead well in after a job: a day with the column above it lightened (swabbing, nitrogen).

        What stands in the string of a dead well is the water it died of; whether it flows on is to be judged by what
        its zones give now.
        """
        march = self.march
        control = march.control
        if control.injector or control.shut or np.isnan(control.wellhead):
            return
        floor = max(control.floor, KICK_OFF * float(march.x[control.top, 0]))
        march.control = control._replace(wellhead=np.nan, floor=floor)
        march.modes[0] = PRESSURE
        march.advance(march.time + KICK_OFF_TIME)
        march.control = control
        march.modes[0] = WELLHEAD
        march.restart()
        self.note("control", "well", "the well is kicked off: a day with the column above it lightened")

    def _mode_changed(self, mode: int) -> None:
        if self.mode >= 0:
            if mode == 0 and self.march.control.injector:
                self.note("shut in", "well", "injection stops: the rock stands at the pressure that is allowed")
            elif mode == 0:
                text = "the well is shut" if self.march.control.shut else "the well dies: it no longer flows on its own"
                self.note("shut in", "well", text)
            else:
                self.note("control", "well", f"{MODE_NAMES[mode]} takes over from {MODE_NAMES[self.mode]}")
        self.mode = mode

    def _report(self, at: float | None = None) -> None:
        self._reported = self.march.time
        self.recorder.record(self.jobs.states, self.jobs.tubing)
        if at is not None:
            self.recorder.times[-1] = at

    def _due(self) -> None:
        """Apply what is due now: controls of the case, then events."""
        now = self.march.time + 1.0
        for control in [c for c in self.controls if seconds(self.case, c.date) <= now]:
            self.controls.remove(control)
            self.jobs.set_control(control)
            if self.quiet_until is None or control.date >= self.quiet_until:
                self.note("control", "well", "control of the case changes")
        for waiting in [p for p in self.pending if p.day is not None and p.day <= now]:
            self.pending.remove(waiting)
            dead = self.march.control.shut and not self.jobs.control.shut and not self.jobs.held
            text = self.jobs.apply(waiting.event) + self._hold(waiting.event)
            self.note("event", getattr(waiting.event, "zone", "") or "well", text, event=waiting.number)
            if dead and self.busy:
                self.dead_before = True
            elif dead:
                self._kick_off()

    def _hold(self, event: change.Event) -> str:
        """Shut the well in for as long as a job takes, in words; jobs that follow before its end add to it."""
        duration = duration_of(self.case, event, self.jobs.layers_of(getattr(event, "zone", "")))
        if duration <= 0.0:
            return ""
        self.busy = max(self.busy, self.march.time) + duration
        self.jobs.hold(True)
        return f"; the well is shut in for it for {duration / DAY:.3g} days"

    def _trip(self) -> None:
        """Start the delay of events whose trigger is met."""
        for waiting in self.pending:
            trigger = waiting.event.when
            if waiting.day is None and trigger is not None and self._met(trigger):
                waiting.day = self.march.time + trigger.delay
                self.note("waiting", trigger.zone or "well", "trigger met: " + describe_trigger(trigger))

    def _met(self, trigger: change.Trigger) -> bool:
        if trigger.after is not None and self.march.time < seconds(self.case, trigger.after):
            return False
        names = [zone.name for zone in self.graph.zones]
        table = self.recorder.tables["zone" if trigger.zone else "well"]
        at = names.index(trigger.zone) if trigger.zone else ()

        def value(column: str) -> float:
            return float(table[column][-1][at])

        oil = value("oil_rate")
        if trigger.water_cut_above is not None:
            return value("water_cut") > trigger.water_cut_above
        if trigger.gas_oil_ratio_above is not None:
            return oil > 1e-9 and value("gas_rate") / oil > trigger.gas_oil_ratio_above
        if trigger.oil_rate_below is not None:
            return oil < trigger.oil_rate_below
        if trigger.water_rate_above is not None:
            return value("water_rate") > trigger.water_rate_above
        if trigger.pressure_below is not None:
            return value("pressure" if trigger.zone else "bottom_hole_pressure") < trigger.pressure_below
        return False

    def _of_the_table(self) -> tuple[str, ...]:
        """Where the tabulated tubing departs from the direct march by more than 1 %."""
        control = self.march.control
        if np.isnan(control.wellhead) or control.lift.stable_error <= WORST:
            return ()
        return (f"the table of the tubing is off the direct march by up to {control.lift.stable_error:.1%}",)

    def _assumed(self) -> tuple[str, ...]:
        """What the control leaves open and the program had to take."""
        control = self.jobs.control
        given = control.bottom_hole_pressure or control.wellhead_pressure
        if given is not None or control.shut or self.march.control.injector:
            return ()
        return (
            "no bottom-hole or wellhead pressure is given: the well is taken to flow down to "
            f"{self.march.control.floor / 1e5:g} bar at the top of the string",
        )

    def settle(self) -> None:
        """Flow at the start: events of the first day, then steps with the rock held still until nothing changes."""
        for waiting in self.pending:
            if waiting.day is not None and waiting.day <= 0.0:
                self.jobs.apply(waiting.event)
        last = np.zeros(3)
        for _ in range(MOST_SETTLING_STEPS):
            self.march.advance(self.march.time + 1000.0 * DAY)
            now = self.march.work.outlet.copy()
            if self.march.time > 10.0 * DAY and np.all(np.abs(now - last) <= 1e-9 * np.abs(now).max()):
                break
            last = now
        self.march.time = 0.0
        self._report()

    def result(self, started: float) -> Forecast:
        """Everything as a record."""
        march, recorder = self.march, self.recorder
        tables = recorder.columns()
        series = limit_series(recorder)
        for waiting in self.pending:
            if waiting.day is None:
                self.note(
                    "waiting",
                    getattr(waiting.event, "zone", "") or "well",
                    f"never came to '{getattr(waiting.event, 'do', 'event')}': its trigger was not met",
                )
        start = np.datetime64(self.case.schedule.start, "D")
        days = recorder.days
        return Forecast(
            name=self.name,
            description=self.told or describe_network(self.network, march.in_place),
            days=days,
            dates=start + np.round(days).astype("timedelta64[D]"),
            well=tables["well"],
            zone=tables["zone"],
            layer=tables["layer"],
            piece={**tables["piece"], **margins_along(recorder)},
            control=tuple(recorder.modes),
            happenings=tuple(sorted(self.happenings, key=lambda h: h.day)),
            limits=checks(series, days),
            limit_series=series,
            facts=RunFacts(
                march.counters.steps,
                march.counters.failed,
                march.counters.iterations,
                clock.perf_counter() - started,
                len(self.network.nodes.kind),
                balance(march),
            ),
            element_states=tuple(recorder.states),
            warnings=self.network.warnings
            + self._assumed()
            + self._of_the_table()
            + tuple(w for a in self.jobs.done for w in a.warnings),
        )


def balance(march: March) -> dict[str, float]:
    """Unexplained volume of each component over what was moved in or out, from the states themselves."""
    net = march.network
    volume = net.nodes.volume * np.exp(net.nodes.compressibility * (march.x[:, 0] - net.nodes.reference))
    moving = ~net.nodes.frozen
    held = (volume[:, None] * march.work.content)[moving].sum(axis=0)
    entered = march.entered.sum(axis=0) if len(march.entered) else np.zeros(3)
    for rows in net.boundary_rows.values():
        for row in rows:
            if net.nodes.frozen[net.links.a[row]]:
                entered = entered + march.passed[row]
    error = held - march.in_place[moving].sum(axis=0) - entered + march.produced
    size = np.maximum(np.abs(march.produced), np.abs(entered))
    size = np.maximum(size, 1e-4 * size.max())  # a trace is judged by what else moved
    shares = np.where(size > 1e-6, error / np.maximum(size, 1e-6), 0.0)
    return {name: float(share) for name, share in zip(("water", "oil", "gas"), shares, strict=True)}


def describe_trigger(trigger: change.Trigger) -> str:
    """A trigger in words."""
    where = trigger.zone or "the well"
    if trigger.water_cut_above is not None:
        return f"water cut of {where} above {trigger.water_cut_above:.0%}"
    if trigger.gas_oil_ratio_above is not None:
        return f"gas-oil ratio of {where} above its limit"
    if trigger.water_rate_above is not None:
        return f"water rate of {where} above its limit"
    if trigger.oil_rate_below is not None:
        return f"oil rate of {where} below its limit"
    return f"pressure of {where} below its limit"


def asks_drawdown(case: Case, what_if: change.WhatIf | None) -> bool:
    """Whether a drawdown limit ever controls the well."""
    events = what_if.events if what_if else ()
    changed = any(isinstance(event, change.ChangeControl) and event.drawdown is not None for event in events)
    return changed or any(control.drawdown is not None for control in case.controls)


def first_control(case: Case) -> CaseControl:
    """The control that holds at the start: the last one given up to then."""
    early = [c for c in case.controls if c.date <= case.schedule.start]
    return early[-1] if early else case.controls[0]

"""Late life: what ails the well on a day, which jobs could cure it, when to do them, and what each is worth."""

from __future__ import annotations

import time as clock
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from planner.base.errors import CaseError, ForecastError, Problem
from planner.decide.best_date import DateSearch, grid
from planner.decide.candidates import Candidate, candidates
from planner.decide.capital import cost_of_string
from planner.decide.compare import Ran
from planner.decide.diagnosis import diagnose
from planner.decide.jobs import Job, jobs_done
from planner.decide.money import CashFlow, cash_flow, last_month_that_pays, operating_result
from planner.decide.months import years_between
from planner.decide.runs import Asked, Forecasts, Progress
from planner.decide.value import net_present_value, risked
from planner.model.case import Case
from planner.model.change import ChangeControl, WhatIf
from planner.model.cures import DO_NOTHING, Cure, Forbidden, JobOutlook
from planner.model.late_life import DateStep
from planner.model.results import Forecast
from planner.model.ways import chance_of, duration_of, way_of
from planner.network.completed import completed

LOSS = 1e-4  # of the revenue: what doing nothing may lose at its end without a word
NOTHING = JobOutlook(
    DO_NOTHING, DO_NOTHING, "", "", "nothing", cost=0.0, duration=0.0, chance=1.0, rig_time=0.0, best_date="",
    value=0.0, value_now=0.0, value_if_done=0.0, value_if_failed=0.0, pays_until="", oil_difference=0.0,
    water_difference=0.0, gas_difference=0.0, broken=(), dates=(), values=(),
)  # fmt: skip


@dataclass
class _Search:
    """One job while its best date is looked for. tried, troubles: place on the grid -> what came of it, or why not."""

    candidate: Candidate
    dates: DateSearch
    tried: dict[int, _Tried] = field(default_factory=dict)
    troubles: dict[int, str] = field(default_factory=dict)

    @property
    def trouble(self) -> str:
        """Why it cannot be done on any date that was tried; '' where it can on some."""
        return "" if self.tried or not self.troubles else self.troubles[min(self.troubles)]


@dataclass(frozen=True)
class _Tried:
    """A job on a date: the forecast in which it succeeds, and its value done, failed and risked, against nothing."""

    forecast: Forecast
    jobs: tuple[Job, ...]
    done: float
    failed: float
    value: float


def cure(
    case: Case,
    on: date | None = None,
    under: WhatIf | None = None,
    *,
    step: DateStep | None = "quarter",
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> Cure:
    """Diagnosis on a day, and every job that the string allows, ranked by its risked value against doing nothing.

    on: day of the decision, none: late_life.today, else the start. under: what happens anyway, none: the base. step:
    of the dates that are tried for each job, None: on the day itself alone. Values are of the day of the decision.
    Raises CaseError for a day outside the schedule, ForecastError where doing nothing cannot be computed, Refusal,
    Cancelled.
    """
    began = clock.perf_counter()
    day = on or case.late_life.today or case.schedule.start
    if not case.schedule.start <= day < case.schedule.end:
        remedy = f"Give a date from {case.schedule.start} on, before {case.schedule.end}."
        raise CaseError([Problem("", "on", str(day), "the day of the decision is outside the schedule", remedy)])
    if case.well.kind.endswith("injector"):
        problem = "an injector makes no water: there is nothing to cure"
        raise CaseError([Problem("", "well.kind", case.well.kind, problem, "Ask it of a producer.")])
    with Forecasts(_with_lifts(case), processes, cancelled) as forecasts:
        work = _Work(case, day, under, grid(day, case.schedule.end, step) if step else [day], forecasts, progress)
        work.begin()
        work.search()
        return work.result(step or "", clock.perf_counter() - began)


class _Work:
    """The search of all jobs at once, so that a round of forecasts is one batch."""

    def __init__(
        self, case: Case, day: date, under: WhatIf | None, dates: list[date], forecasts: Forecasts,
        progress: Progress | None,
    ) -> None:  # fmt: skip
        self.case, self.day, self.under, self.dates = case, day, under, dates
        self.forecasts, self.progress = forecasts, progress
        self.capital = cost_of_string(case.economics, completed(case, under).string).total
        reference = case.economics.reference_date or case.schedule.start
        self.to_day = (1.0 + case.economics.discount_rate) ** years_between(reference, day)
        self.done = 0.0

    def begin(self) -> None:
        """Doing nothing, and the jobs that there are."""
        self._say(0.0, "doing nothing")
        (ran,) = self.forecasts.run([self.under])
        self.base = _forecast_of(ran)
        self.base_jobs = jobs_done(self.case, self.under, self.base)
        self.base_value = self._value(self.base, self.base_jobs)
        found, self.forbidden = candidates(self.case, self.base.description, self.under, self.day)
        self.searches = [_Search(one, DateSearch(len(self.dates))) for one in found]
        self.forecasts.branch_from(self.under, [one.event for one in found])

    def search(self) -> None:
        """Rounds of forecasts until every search is over."""
        while wanted := [(one, place) for one in self.searches for place in one.dates.ask()]:
            runs = [one.candidate.on(self.dates[place], self.under) for one, place in wanted]
            idle = [self._idle(one.candidate, place) for one, place in wanted]
            asked: list[WhatIf | None] = [*runs, *(one for one in idle if one is not None)]
            found = self.forecasts.run(asked, self._told)
            self.done += (1.0 - self.done) / 2.0
            failures = iter(found[len(runs) :])
            for (one, place), ran, standing in zip(wanted, found[: len(runs)], idle, strict=True):
                self._take(one, place, ran, next(failures) if standing is not None else None)

    def _take(self, one: _Search, place: int, ran: Ran, standing: Ran | None) -> None:
        """The value of a job on a date, or why there is none: another date may do."""
        if ran.forecast is None or (standing is not None and standing.forecast is None):
            one.troubles[place] = ran.refused or ran.failed or (standing.failed if standing is not None else "")
            one.dates.tell([(place, float("nan"))])
            return
        unchanged = standing.forecast if standing is not None and standing.forecast is not None else self.base
        jobs = jobs_done(self.case, ran.what_if, ran.forecast)
        done = self._value(ran.forecast, jobs) - self.base_value
        failed = self._value(unchanged, jobs) - self.base_value
        chance = self._chance(one.candidate)
        one.tried[place] = _Tried(ran.forecast, jobs, done, failed, risked(done, failed, chance))
        one.dates.tell([(place, one.tried[place].value)])

    def _value(self, forecast: Forecast, jobs: tuple[Job, ...]) -> float:
        """Net present value on the day of the decision."""
        flow: CashFlow = cash_flow(forecast, self.case.economics, jobs, self.capital)
        return float(self.to_day * net_present_value(flow.net, self.case.economics.discount_rate, flow.years))

    def _idle(self, one: Candidate, place: int) -> WhatIf | None:
        """The same job as a failure: the well stands for it and nothing changes; None where that needs no forecast."""
        time = duration_of(self.case, one.event, self._layers(one))
        if time <= 0.0 or self._chance(one) >= 1.0:
            return None
        nothing = ChangeControl.model_construct(on=self.dates[place], duration=time, cost=0.0)
        idle = WhatIf(name=f"idle, {self.dates[place]}", events=(nothing,))
        if self.under is None:
            return idle
        return self.under.model_copy(update={"name": idle.name, "events": (*self.under.events, nothing)})

    def _layers(self, one: Candidate) -> tuple[str, ...]:
        return tuple(n for zone in self.base.description.zones if zone.name == one.zone for n in zone.layers)

    def _chance(self, one: Candidate) -> float:
        return chance_of(self.case, one.event, self._layers(one))

    def _told(self, share: float, text: str) -> None:
        self._say(self.done + 0.5 * (1.0 - self.done) * share, text)

    def _say(self, share: float, text: str) -> None:
        if self.progress is not None:
            self.progress(share, text)

    def result(self, step: str, seconds: float) -> Cure:
        """Everything as a record, the jobs ranked."""
        at = int(np.searchsorted(self.base.dates, np.datetime64(self.day, "D"), side="right")) - 1
        whole, zones = diagnose(self.case, self.base, max(at, 0))
        troubled = [
            Forbidden(one.candidate.name, one.candidate.do, one.candidate.zone, one.trouble)
            for one in self.searches
            if one.trouble
        ]
        found = [NOTHING, *(self._outlook(one) for one in self.searches if one.tried)]
        jobs = sorted(found, key=lambda job: -job.value)
        return Cure(
            self.base.description.well, self.base.description.kind, self.day.isoformat(), step,
            self.under.name if self.under else "base", whole, zones, tuple(jobs), (*self.forbidden, *troubled),
            self.forecasts.count, seconds,
            (*_warnings(self.case, self.day, self.base), *self._at_a_loss(), *self._left_out()),
            extra={
                "case": self.case, "base": self.base, "under": self.under,
                "candidates": {one.candidate.name: one.candidate for one in self.searches},
            },
        )  # fmt: skip

    def _at_a_loss(self) -> list[str]:
        """Where doing nothing loses money to the end: a job may then do no more than stop that."""
        economics = self.case.economics
        flow = cash_flow(self.base, economics, self.base_jobs, self.capital)
        last = last_month_that_pays(flow, economics.discount_rate)
        lost = -float(operating_result(flow)[last + 1 :].sum())
        if flow.given_up or lost <= LOSS * float(flow.revenue.sum()):
            return [f"doing nothing gives the well up on {flow.given_up}, its economic limit"] if flow.given_up else []
        return [
            f"doing nothing loses {lost:,.0f} {economics.currency} after {flow.month_ends[last]}, before tax and "
            "undiscounted: part of what a job is worth may be no more than to end that, which giving the well up does "
            "for nothing; economics.economic_limit = true reckons so"
        ]

    def _left_out(self) -> list[str]:
        """Jobs that could not be computed on some of the dates tried."""
        return [
            f"{one.candidate.name} could not be computed on "
            f"{', '.join(str(self.dates[place]) for place in sorted(one.troubles))}: {one.troubles[min(one.troubles)]}"
            for one in self.searches
            if one.tried and one.troubles
        ]

    def _outlook(self, one: _Search) -> JobOutlook:
        best, last = one.dates.best, one.dates.last_above_nought
        tried, candidate = one.tried[best], one.candidate
        layers = self._layers(candidate)
        own = tried.jobs[-1] if tried.jobs else None
        way = way_of(self.case, candidate.event, layers)
        name = next((key for key, value in self.case.economics.ways.items() if value is way), "")
        places = sorted(one.tried)
        return JobOutlook(
            candidate.name, candidate.do, candidate.zone, name, candidate.needs,
            cost=_cost(tried.jobs, self.base_jobs),
            duration=own.duration if own else 0.0, chance=self._chance(candidate),
            rig_time=way.rig_time or 0.0 if way is not None else 0.0,
            best_date=self.dates[best].isoformat(), value=tried.value,
            value_now=one.tried[0].value if 0 in one.tried else float("nan"),
            value_if_done=tried.done, value_if_failed=tried.failed,
            pays_until=self.dates[last].isoformat() if last is not None else "",
            **{f"{phase}_difference": _gained(tried.forecast, self.base, phase) for phase in ("oil", "water", "gas")},
            broken=_newly_broken(tried.forecast, self.base),
            dates=tuple(self.dates[k].isoformat() for k in places),
            values=tuple(one.tried[k].value for k in places),
        )  # fmt: skip


def _with_lifts(case: Case) -> Case:
    """The case with a what-if that names the wellhead pressures looked at, so that the lift table covers them."""
    named = [one.wellhead_pressure for one in case.late_life.lifts if one.wellhead_pressure is not None]
    if not named or case.tubing is None:
        return case
    events = tuple(
        ChangeControl.model_construct(on=case.schedule.end, wellhead_pressure=pressure) for pressure in named
    )
    return case.model_copy(update={"what_ifs": (*case.what_ifs, WhatIf(name="lifts looked at", events=events))})


def _forecast_of(ran: Ran) -> Forecast:
    if ran.forecast is None:
        raise ForecastError(ran.refused or ran.failed)
    return ran.forecast


def _cost(jobs: Iterable[Job], before: Iterable[Job]) -> float:
    return sum(job.cost for job in jobs) - sum(job.cost for job in before)


def _gained(forecast: Forecast, base: Forecast, phase: str) -> float:
    name = f"{phase}_volume"
    if name not in forecast.well:
        return float("nan")
    return float(forecast.well[name][-1] - base.well[name][-1])


def _newly_broken(forecast: Forecast, base: Forecast) -> tuple[str, ...]:
    """Limits that the job breaks and that doing nothing keeps."""
    before = {(limit.name, limit.where) for limit in base.limits if limit.broken}
    found = [limit for limit in forecast.limits if limit.broken and (limit.name, limit.where) not in before]
    return tuple(dict.fromkeys(f"{limit.name}, {limit.where}" for limit in found))


def _warnings(case: Case, day: date, base: Forecast) -> tuple[str, ...]:
    found = list(base.warnings)
    if day == case.schedule.start:
        found.append("the day of the decision is the start of the schedule: there is no history to diagnose from")
    if not case.economics.ways and not case.economics.intervention_cost:
        found.append("no cost of a job is given: economics.ways or economics.intervention_cost")
    return tuple(found)

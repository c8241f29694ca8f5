"""What shutting each zone on each date brings in every member, and what could be seen by then: from case to arrays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import ready
from planner.base.errors import CaseError, ForecastError, Problem
from planner.decide.months import months_later, years_between
from planner.decide.policies import Futures
from planner.decide.possible import refusal_of
from planner.decide.summaries import life_summary
from planner.forecast.run import forecast
from planner.model.blank_value import Worth
from planner.model.case import Case
from planner.model.change import ShutZone, WhatIf
from planner.model.ensemble import BASE, OK, Draws, Ensemble, Summary
from planner.model.results import Forecast
from planner.network.closures import describe_zone
from planner.network.completed import completed
from planner.network.well_graph import build
from planner.uncertainty.pool import Crew
from planner.uncertainty.runner import ensemble_in, run, zone_series

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

EARLY = 1.5  # power of the share of the time by which decision dates come closer together early
KEPT = ("npv", "job_cost", "oil_volume", "water_volume", "gas_volume")


@dataclass(frozen=True)
class Shut:
    """A zone that can be shut. blanks: those without any one of which it cannot."""

    zone: str
    shut_by: str
    blanks: tuple[str, ...]

    def on(self, day: date, under: WhatIf | None = None) -> WhatIf:
        """The what-if in which it is shut on a day; that event comes first, then what happens anyway."""
        event = ShutZone.model_construct(zone=self.zone, on=day)
        return WhatIf(name=name_of(self.zone, day), events=(event, *(under.events if under is not None else ())))


def name_of(zone: str, day: date) -> str:
    """Name of the what-if that shuts a zone on a day."""
    return f"shut {zone}, {day}"


def jobs_of(
    case: Case, under: WhatIf | None = None, dates: tuple[date, ...] = ()
) -> tuple[list[Shut], list[tuple[str, str]]]:
    """Zones that can be shut on all dates, with the blanks that this needs, and those that cannot, with the reason.

    under: what happens anyway. A blank is needed where the zone could no longer be shut by any other blanks if nothing
    could be set in it.
    """
    graph = build(completed(case, None))
    allowed: list[Shut] = []
    forbidden: list[tuple[str, str]] = []
    for k, zone in enumerate(graph.zones):
        closure = describe_zone(graph, k)
        reason = "; ".join(closure.missing) if not closure.kind else ""
        job = Shut(zone.name, closure.kind, ())
        refused = (refusal_of(case, job.on(day, under)) for day in dates or (case.schedule.start,))
        reason = reason or next((text for text in refused if text), "")
        if reason:
            forbidden.append((zone.name, reason))
            continue
        needed = []
        for blank in graph.blanks:
            others = tuple(replace(one, rooms=0) if one == blank else one for one in graph.blanks)
            if not describe_zone(replace(graph, blanks=others), k).kind:
                needed.append(blank.name)
        allowed.append(Shut(zone.name, closure.kind, tuple(needed)))
    return allowed, forbidden


def decision_dates(case: Case, count: int) -> tuple[date, ...]:
    """So many anniversaries of the start (of late_life.today where given), closer together early on.

    Fewer where there are fewer. Raises CaseError where none lies before the end.
    """
    start, end = case.late_life.today or case.schedule.start, case.schedule.end
    years = [k for k in range(1, end.year - start.year + 1) if months_later(start, 12 * k) < end]
    if not years:
        remedy = "Give a schedule with at least one anniversary before its end."
        raise CaseError([Problem("", "schedule", str(end), "no decision date lies before the end", remedy)])
    wanted = np.round((np.arange(1, count + 1) / (count + 1)) ** EARLY * (len(years) + 1)).astype(int)
    places = years if count >= len(years) else np.unique(np.clip(wanted, 1, len(years)))
    return tuple(months_later(start, 12 * int(k)) for k in places)


def blank_summary(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """Money and volumes of one forecast; series of the base alone, which is what is seen before anybody acts."""
    found = life_summary(case, what_if, forecast)
    figures = {name: found.figures[name] for name in KEPT}
    if what_if is None or what_if.name == BASE:
        return replace(found, figures=figures)
    return Summary(figures, found.dates, zones=found.zones)


def ensemble_of(
    case: Case, draws: Draws, jobs: list[Shut], dates: tuple[date, ...], folder: Path, crew: Crew,
    progress: Progress | None, cancelled: Asked | None, under: WhatIf | None = None, fresh: bool = False,
) -> Ensemble:  # fmt: skip
    """The base and every job on every date in every member, kept in a folder.

    Raises as `runner.run`, and ForecastError where no member has all of them.
    """
    what_ifs = [job.on(day, under) for day in dates for job in jobs]
    base = None if under is None else under.model_copy(update={"name": BASE})
    members = len(draws.values)
    count = (
        f"{members} members, each one march and {len(what_ifs)} branches: {members * (len(what_ifs) + 1):,} forecasts"
    )
    if progress is not None:
        progress(0.0, count)
    if crew.workers > 1 and not ready():
        forecast(case.model_copy(update={"what_ifs": ()}), until=case.schedule.start)
    run(
        case, draws, [*what_ifs, base], blank_summary, folder, crew=crew, fresh=fresh, branches=True, progress=progress,
        cancelled=cancelled,
    )  # fmt: skip
    found = ensemble_in(folder)
    if (found.status == OK).all(axis=1).sum() < 2:
        why = next(iter(found.messages.values()), "")
        raise ForecastError(f"fewer than two of the {members} members could be computed; the first: {why}")
    return found


def futures_of(
    case: Case, made: Ensemble, jobs: list[Shut], dates: tuple[date, ...], log_cost: float | None
) -> tuple[Futures, NDArray[np.int64], Worth]:
    """Gains and observations of the members that have all forecasts; their numbers; the value of doing nothing.

    A member that could not be computed somewhere is left out everywhere.
    """
    rows = np.flatnonzero((made.status == OK).all(axis=1))
    npv = made.figures["npv"][rows]
    base = npv[:, made.what_ifs.index(BASE)]
    column = [[made.what_ifs.index(name_of(job.zone, day)) for job in jobs] for day in dates]
    gains = npv[:, np.array(column, dtype=int).reshape(len(dates), len(jobs))] - base[:, None, None]
    at = np.searchsorted(made.dates, np.array(dates, dtype="datetime64[D]"), side="right") - 1
    zones = list(made.zones)
    places = [2 * zones.index(job.zone) for job in jobs]
    costs = None if log_cost is None else np.array([cost_on(case, log_cost, day) for day in dates])
    well = np.stack(_well(made, at), axis=2)[rows]
    log = np.stack([one for zone in zones for one in _zone(made, zone, at)], axis=2)[rows]
    worth = Worth(float(base.mean()), float(base.std(ddof=1) / np.sqrt(len(base))))
    return Futures(gains, well, log, costs, tuple(places), (0,)), rows, worth


def cost_on(case: Case, cost: float, day: date) -> float:
    """A cost on a day as net present value: escalated, discounted, less the tax saved where losses earn relief."""
    economics = case.economics
    years = years_between(economics.reference_date or case.schedule.start, day)
    relief = economics.tax if economics.losses == "relief" else 0.0
    growth = (1.0 + economics.cost_escalation) / (1.0 + economics.discount_rate)
    return float(cost * growth**years * (1.0 - relief))


def _well(made: Ensemble, at: NDArray[np.int64]) -> list[Floats]:
    """What the well shows [members, dates]: wetness, main rate, pressure, volume so far, rise of wetness."""
    base = made.what_ifs.index(BASE)
    main = "gas" if made.kind.startswith("gas") else "oil"
    series = {name: np.nan_to_num(values[:, base]) for name, values in made.series.items()}
    wet = _wetness(series["water_rate"], series[f"{main}_rate"], main)[:, at]
    rise = np.diff(wet, axis=1, prepend=wet[:, :1])
    return [wet, *(series[name][:, at] for name in (f"{main}_rate", "bottom_hole_pressure", f"{main}_volume")), rise]


def _zone(made: Ensemble, zone: str, at: NDArray[np.int64]) -> list[Floats]:
    """What a log shows of a zone: wetness and main rate [members, dates]."""
    base = made.what_ifs.index(BASE)
    main = "gas" if made.kind.startswith("gas") else "oil"
    rate, water = (
        np.nan_to_num(zone_series(made, name, zone)[:, base][:, at]) for name in (f"{main}_rate", "water_rate")
    )
    return [_wetness(water, rate, main), rate]


def _wetness(water: Floats, rate: Floats, main: str) -> Floats:
    """Water cut of oil, water rate of gas; 0 where nothing is produced."""
    if main == "gas":
        return water
    whole = np.maximum(water, 0.0) + np.maximum(rate, 0.0)
    return np.asarray(np.maximum(water, 0.0) / np.where(whole > 0.0, whole, 1.0))

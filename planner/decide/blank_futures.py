"""What shutting each zone on each date brings in every member, and what could be seen by then: from case to arrays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import ready
from planner.base.errors import CaseError, ForecastError, Problem
from planner.decide.blank_jobs import Shut, duration_of_job, failed_name, failed_on, luck_of, name_of, sure
from planner.decide.months import month_ends, months_later, years_to_cash, years_to_middle
from planner.decide.policies import Futures
from planner.decide.summaries import life_summary
from planner.forecast.run import forecast
from planner.model.blank_value import Worth
from planner.model.case import Case
from planner.model.change import ShutZone, WhatIf
from planner.model.ensemble import BASE, OK, Draws, Ensemble, Summary
from planner.model.results import Forecast
from planner.model.ways import cost_of_way
from planner.uncertainty.pool import Crew
from planner.uncertainty.runner import ensemble_in, run, zone_series

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

EARLY = 1.5  # power of the share of the time by which decision dates come closer together early
VOLUME_MONEY = tuple(f"economics.{name}" for name in ("oil_price", "gas_price", "oil_cost", "gas_cost", "water_cost"))
KEPT = ("npv", "job_cost", "oil_volume", "water_volume", "gas_volume")


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


def branches_of(
    case: Case, draws: Draws, jobs: list[Shut], dates: tuple[date, ...], under: WhatIf | None = None
) -> tuple[WhatIf, ...]:  # fmt: skip
    """Every job on every date, then, where a job may fail and its failure is a forecast of its own, that on each."""
    made = [job.on(day, under) for day in dates for job in jobs]
    if may_fail(case, jobs) and not _by_hand(case, draws):
        made += [failed_on(case, day, under) for day in dates]
    return tuple(made)


def may_fail(case: Case, jobs: list[Shut]) -> bool:
    """Whether any job is less than sure to succeed."""
    return any(luck_of(case, job.zone).chance < 1.0 for job in jobs)


def _by_hand(case: Case, draws: Draws) -> bool:
    """Whether a job that fails costs its money alone, the same in every member, with tax in proportion."""
    paths = [path for one in draws.inputs for path in one.paths]
    paths += [path for row in case.alternatives for one in row.choices for path in one.set]
    drawn = any(path.startswith("economics") and path not in VOLUME_MONEY for path in paths)
    return duration_of_job(case) <= 0.0 and case.economics.losses == "relief" and not drawn


def ensemble_of(
    case: Case, draws: Draws, jobs: list[Shut], dates: tuple[date, ...], folder: Path, crew: Crew,
    progress: Progress | None, cancelled: Asked | None, under: WhatIf | None = None, fresh: bool = False,
) -> Ensemble:  # fmt: skip
    """The base and every job on every date in every member, kept in a folder.

    Raises as `runner.run`, and ForecastError where no member has all of them.
    """
    what_ifs = branches_of(case, draws, jobs, dates, under)
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
        sure(case), draws, [*what_ifs, base], blank_summary, folder, crew=crew, fresh=fresh, branches=True,
        progress=progress, cancelled=cancelled,
    )  # fmt: skip
    return ensemble_in(folder)


def futures_of(
    case: Case, made: Ensemble, jobs: list[Shut], dates: tuple[date, ...], log_cost: float | None
) -> tuple[Futures, NDArray[np.int64], Worth]:
    """Gains and observations of the members that have all forecasts; their numbers; the value of doing nothing.

    A member that could not be computed somewhere is left out everywhere. Raises ForecastError where fewer than two
    are left.
    """
    rows = np.flatnonzero((made.status == OK).all(axis=1))
    if len(rows) < 2:
        why = next(iter(made.messages.values()), "")
        raise ForecastError(f"fewer than two of the {made.members} members could be computed; the first: {why}")
    npv = made.figures["npv"][rows]
    base = npv[:, made.what_ifs.index(BASE)]
    gains = gains_of(made, jobs, dates, rows)
    at = np.searchsorted(made.dates, np.array(dates, dtype="datetime64[D]"), side="right") - 1
    zones = list(made.zones)
    places = [2 * zones.index(job.zone) for job in jobs]
    costs = None if log_cost is None else np.array([cost_on(case, log_cost, day) for day in dates])
    well = np.stack(_well(made, at), axis=2)[rows]
    log = np.stack([one for zone in zones for one in _zone(made, zone, at)], axis=2)[rows]
    worth = Worth(float(base.mean()), float(base.std(ddof=1) / np.sqrt(len(base))))
    found = Futures(gains, well, log, costs, tuple(places), (0,))
    return (_with_luck(case, made, jobs, dates, found, rows) if may_fail(case, jobs) else found), rows, worth


def gains_of(
    made: Ensemble, jobs: list[Shut], dates: tuple[date, ...], rows: NDArray[np.int64]
) -> Floats:  # fmt: skip
    """Value of every job on every date over the base [rows, dates, jobs]."""
    npv = made.figures["npv"][rows]
    column = [[made.what_ifs.index(name_of(job.zone, day)) for job in jobs] for day in dates]
    base = npv[:, made.what_ifs.index(BASE)]
    return np.asarray(npv[:, np.array(column, dtype=int).reshape(len(dates), len(jobs))] - base[:, None, None])


def _with_luck(
    case: Case, made: Ensemble, jobs: list[Shut], dates: tuple[date, ...], futures: Futures, rows: NDArray[np.int64]
) -> Futures:
    """The futures of jobs that may fail: a failed one costs its money and the time that the well is shut in."""
    npv = made.figures["npv"][rows]
    if _by_hand(case, made.draws):
        cost = cost_of_way(case, ShutZone(zone="", on=case.schedule.start))
        lost = np.tile([-cost_on(case, cost, day) for day in dates], (len(rows), 1))
    else:
        places = [made.what_ifs.index(failed_name(day)) for day in dates]
        lost = npv[:, places] - npv[:, [made.what_ifs.index(BASE)]]
    luck = [luck_of(case, job.zone) for job in jobs]
    draws = list(dict.fromkeys(one.draw for one in luck))
    return replace(
        futures, chance=np.array([one.chance for one in luck]), luck=tuple(draws.index(one.draw) for one in luck),
        failed=np.repeat(lost[:, :, None], len(jobs), axis=2),
    )  # fmt: skip


def cost_on(case: Case, cost: float, day: date) -> float:
    """A cost on a day as net present value, as `money.cash_flow` counts that of a job: paid in its month.

    Escalated and discounted; less the tax saved where losses earn relief, taken in full where they are carried forward.
    """
    economics, start = case.economics, case.schedule.start
    reference = economics.reference_date or start
    ends = month_ends(start, case.schedule.end)
    month = min(int(np.searchsorted(ends, np.datetime64(day, "D"))), len(ends) - 1)
    years = years_to_cash(ends, start, reference, economics.discounting)[month]
    dearer = (1.0 + economics.cost_escalation) ** years_to_middle(ends, start, reference)[month]
    relief = economics.tax if economics.losses == "relief" else 0.0
    return float(cost * dearer * (1.0 - relief) * (1.0 + economics.discount_rate) ** -years)


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

"""What the jobs that `cure` found are worth over draws: ranges of the case, or the members of a match."""

from __future__ import annotations

import tempfile
import time as clock
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from planner.base.errors import ForecastError
from planner.decide.candidates import Candidate
from planner.decide.months import years_between
from planner.decide.summaries import life_summary
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.cure_odds import CureOdds, JobOdds
from planner.model.cures import Cure, JobOutlook
from planner.model.ensemble import BASE, OK, Draws, Ensemble, Summary
from planner.model.results import Forecast
from planner.network.zone_layers import zone_layers
from planner.uncertainty.chances import chance_in_members
from planner.uncertainty.draws import draw, given_draws
from planner.uncertainty.ensembles import compile_first
from planner.uncertainty.pool import Crew
from planner.uncertainty.runner import ensemble_in, run
from planner.uncertainty.statistics import LEVELS, share_band

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

FAILED = ", failed"  # after the name of a what-if in which the job fails
FEW = 100  # members below which P90 and P10 are not to be leaned on
VOLUMES = ("oil_volume", "water_volume", "gas_volume")


@dataclass(frozen=True)
class _Trial:
    """A job on a date, as what-if names: done, and failed ('' where it cannot fail). first: of the job's dates."""

    job: JobOutlook
    day: str
    chance: float
    done: str
    failed: str
    first: bool


def odds_of(
    case: Case,
    found: Cure,
    members: int = 200,
    *,
    seed: int = 1,
    table: pd.DataFrame | None = None,
    folder: Path | None = None,
    fresh: bool = False,
    crew: Crew = Crew(),  # noqa: B008 - frozen
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> CureOdds:
    """Every job that `cure` found over members of the case, all with the same draws.

    found: made by `cure` of the same case. table: draws that the user brings, such as those of a match; its rows are
    the members then. folder: where members are kept, none: a new temporary one. Jobs are looked at on the day of the
    decision, and on their best date in the case where they pay there. Raises CaseError where nothing is uncertain or
    the folder holds something else, ForecastError where fewer than two members could be computed, Cancelled.
    """
    began = clock.perf_counter()
    zones = zone_layers(case)
    draws = draw(case, members, seed, zones) if table is None else given_draws(case, table, seed, zones)
    under: WhatIf | None = found.extra["under"]
    trials, what_ifs = _trials(case, found, zones)
    place = folder if folder is not None else Path(tempfile.mkdtemp(prefix="blankwise-cure-")) / "run"
    made = _ensemble(case, draws, what_ifs, under, place, crew, fresh, progress, cancelled) if trials else None
    count = len(draws.values) * (len(what_ifs) + 1) if trials else 0
    if made is None:
        return CureOdds((), len(draws.values), 0, 1.0, 0, clock.perf_counter() - began, "", ("there is no job",))
    rows = np.flatnonzero((made.status == OK).all(axis=1))
    values = _Values(case, made, rows, date.fromisoformat(found.date))
    jobs = _jobs(values, trials)
    return CureOdds(
        jobs, len(draws.values), len(rows), values.nothing_best(_chosen(values, trials)), count,
        clock.perf_counter() - began, str(place), tuple(_notes(made, rows, draws)),
    )  # fmt: skip


def _trials(case: Case, found: Cure, zones: Mapping[str, Iterable[str]]) -> tuple[list[_Trial], list[WhatIf]]:
    """Jobs on their dates, and the what-ifs that they are computed by."""
    under: WhatIf | None = found.extra["under"]
    known: dict[str, Candidate] = found.extra["candidates"]
    trials, what_ifs = [], []
    for job in (one for one in found.jobs if one.name in known):  # doing nothing stands among them
        one = known[job.name]
        chance = chance_in_members(case, one.event, zones.get(one.zone, ()))
        for day in _dates(job, found.date):
            done = _first(one, 1.0, date.fromisoformat(day), under, "")
            failed = _first(one, 0.0, date.fromisoformat(day), under, FAILED) if chance < 1.0 else None
            what_ifs += [done] if failed is None else [done, failed]
            trials.append(_Trial(job, day, chance, done.name, failed.name if failed else "", day == found.date))
    return trials, what_ifs


def _dates(job: JobOutlook, today: str) -> tuple[str, ...]:
    """The day of the decision, and the best date where the job pays in the case; those on which it can be computed."""
    now = (today,) if np.isfinite(job.value_now) else ()
    return tuple(dict.fromkeys((*now, job.best_date))) if job.pays or not now else now


def _first(one: Candidate, chance: float, day: date, under: WhatIf | None, after: str) -> WhatIf:
    """The what-if of a job that surely succeeds or surely fails; its own event first, as branches take it."""
    event = one.event.model_copy(update={"on": day, "chance": chance})
    return WhatIf(name=f"{one.name}, {day}{after}", events=(event, *(under.events if under is not None else ())))


def job_summary(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """Money, volumes, broken limits of one forecast; the discount rate, since that may be drawn as well."""
    found = life_summary(case, what_if, forecast)
    figures = {name: found.figures[name] for name in ("npv", *VOLUMES, "limits_broken")}
    return Summary(figures | {"discount_rate": case.economics.discount_rate}, found.dates, zones=found.zones)


def _ensemble(
    case: Case, draws: Draws, what_ifs: list[WhatIf], under: WhatIf | None, place: Path, crew: Crew, fresh: bool,
    progress: Progress | None, cancelled: Asked | None,
) -> Ensemble:  # fmt: skip
    """The base and every job in every member, off one march a member. Raises as `odds_of`."""
    members = len(draws.values)
    base = None if under is None else under.model_copy(update={"name": BASE})
    if progress is not None:
        progress(0.0, f"{members} members, each one march and {len(what_ifs)} branches")
    compile_first(case, crew)
    run(
        case, draws, [*what_ifs, base], job_summary, place, crew=crew, fresh=fresh, branches=True, progress=progress,
        cancelled=cancelled,
    )  # fmt: skip
    made = ensemble_in(place)
    if (made.status == OK).all(axis=1).sum() < 2:
        why = next(iter(made.messages.values()), "")
        raise ForecastError(f"fewer than two of the {members} members could be computed; the first: {why}")
    return made


class _Values:
    """Gains over doing nothing, member by member, in money of the day of the decision."""

    def __init__(self, case: Case, made: Ensemble, rows: NDArray[np.intp], day: date) -> None:
        self.made, self.rows = made, rows
        self.base = made.what_ifs.index(BASE)
        years = years_between(case.economics.reference_date or case.schedule.start, day)
        self.to_day = (1.0 + made.figures["discount_rate"][rows, self.base]) ** years

    def gain(self, figure: str, name: str) -> Floats:
        """A figure of a what-if less that of doing nothing [members]."""
        table = self.made.figures[figure][self.rows]
        gain: Floats = table[:, self.made.what_ifs.index(name)] - table[:, self.base]
        return gain * self.to_day if figure == "npv" else gain

    def done(self, one: _Trial) -> Floats:
        """Value of a job that succeeds [members]."""
        return self.gain("npv", one.done)

    def failed(self, one: _Trial) -> Floats:
        """Value of a job that fails [members]; that of success where it cannot fail."""
        return self.gain("npv", one.failed or one.done)

    def risked(self, one: _Trial) -> Floats:
        """Both, weighed by the chance [members]."""
        return one.chance * self.done(one) + (1.0 - one.chance) * self.failed(one)

    def best(self, chosen: list[_Trial]) -> Floats:
        """What the best of some jobs and of doing nothing is worth in each member [members]."""
        highest: Floats = np.max([np.zeros(len(self.rows)), *(self.risked(one) for one in chosen)], axis=0)
        return highest

    def nothing_best(self, chosen: list[_Trial]) -> float:
        """Share of the members in which doing nothing is the best."""
        return float((self.best(chosen) <= 0.0).mean())


def _chosen(values: _Values, trials: list[_Trial]) -> list[_Trial]:
    """Of each job the date with the largest mean value, the earlier of equals; jobs by that, best first."""
    best: dict[str, _Trial] = {}
    for one in trials:
        held = best.get(one.job.name)
        if held is None or values.risked(one).mean() > values.risked(held).mean():
            best[one.job.name] = one
    return sorted(best.values(), key=lambda one: -float(values.risked(one).mean()))


def _jobs(values: _Values, trials: list[_Trial]) -> tuple[JobOdds, ...]:
    chosen = _chosen(values, trials)
    top = values.best(chosen)
    now = {one.job.name: float(values.risked(one).mean()) for one in trials if one.first}
    return tuple(_odds(values, one, top, now.get(one.job.name, float("nan"))) for one in chosen)


def _odds(values: _Values, one: _Trial, top: Floats, now: float) -> JobOdds:
    done, failed, risked = values.done(one), values.failed(one), values.risked(one)
    count = len(risked)
    ends = np.concatenate([done, failed])
    weights = np.concatenate([np.full(count, one.chance), np.full(count, 1.0 - one.chance)])
    pays = float(one.chance * (done > 0.0).mean() + (1.0 - one.chance) * (failed > 0.0).mean())
    at = {name: weighted_quantile(ends, weights, level) for name, level in LEVELS.items()}
    in_case = dict(zip(one.job.dates, one.job.values, strict=True)).get(one.day, float("nan"))
    gained = {f"{name.split('_')[0]}_difference": float(values.gain(name, one.done).mean()) for name in VOLUMES}
    return JobOdds(
        one.job.name, one.job.do, one.job.zone, one.day, count, one.chance, float(risked.mean()),
        float(np.std(risked, ddof=1) / np.sqrt(count)), at["p90"], at["p50"], at["p10"], pays, share_band(pays, count),
        float(((risked > 0.0) & (risked >= top)).mean()), float(done.mean()),
        float(failed.mean()) if one.failed else float("nan"), now, in_case,
        float((values.gain("limits_broken", one.done) > 0.0).mean()), **gained,
    )  # fmt: skip


def weighted_quantile(values: Floats, weights: Floats, level: float) -> float:
    """Quantile of values with weights, each standing at the middle of its weight.

    With equal weights the plotting positions of Hazen 1914, (k - 1/2)/n, as for all percentiles here.
    """
    kept = weights > 0.0
    order = np.argsort(values[kept], kind="stable")
    ordered, share = values[kept][order], weights[kept][order] / weights[kept].sum()
    return float(np.interp(level, np.cumsum(share) - 0.5 * share, ordered))


def _notes(made: Ensemble, rows: NDArray[np.intp], draws: Draws) -> list[str]:
    found = [
        "All jobs share the draws of a member. Mean and error weigh success and failure by the chance; P90, P50, P10 "
        "and the probability that it pays are of what comes out in the end, success or failure.",
        "Jobs are looked at on the day of the decision and on their best date in the case, where they pay there: dates "
        "are not searched over the members.",
        *draws.notes,
    ]
    if len(rows) < FEW:
        found.append(f"{len(rows)} members are few: P90 and P10 rest on {max(len(rows) // 10, 1)} of them")
    lost = len(draws.values) - len(rows)
    if lost:
        why = next(iter(made.messages.values()), "")
        found.append(f"{lost} of {len(draws.values)} members could not be computed somewhere and are left out: {why}")
    return found


def with_odds(found: Cure, odds: CureOdds) -> Cure:
    """The same diagnosis and jobs with what they are worth over the members."""
    return replace(found, odds=odds)

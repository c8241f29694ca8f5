"""What blank pipes are worth over an ensemble: what the removal of each costs somebody who acts on what is seen."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import rankdata

from planner.base.errors import CaseError, Problem
from planner.decide.blank_futures import branches_of, decision_dates, ensemble_of, futures_of, gains_of
from planner.decide.blank_grid import CHECKED, COARSE, GridCheck, coarse, compared, grid_of
from planner.decide.blank_jobs import Shut, Strings, jobs_of, luck_of, of_jobs, sure
from planner.decide.blank_notes import notes_of, warnings_of
from planner.decide.blank_price import prices_of
from planner.decide.blank_ranking import Ranking, convergence_of, ways_of, worth_of
from planner.decide.policies import mean_and_error
from planner.model.blank_value import (
    BY_LOG,
    BY_WELL,
    PERFECT,
    BlankPrice,
    BlankValue,
    BlankValues,
    GroupValue,
    InFutures,
    ZoneToShut,
)
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import BASE, OK, Draws, Ensemble, Flip
from planner.model.results import BlankInfo
from planner.network.completed import completed
from planner.network.description import blank_infos
from planner.network.well_graph import build
from planner.network.zone_layers import zone_layers
from planner.uncertainty.draws import draw, given_draws, inputs_of
from planner.uncertainty.pool import Crew
from planner.uncertainty.sensitivity import columns_of, flips_of, horizon_of

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

LEAST = 2  # members: one to learn from, one to act in
APART = 2.0  # standard errors at which two blanks are told apart
WITH, WITHOUT = "with it", "without it"
OWN_GRID = "own grid"  # folder below that of the members, of those computed on the case's own grid as well
MEMBERS_SHARE = 0.93  # of the progress that the members make up, where others follow


def blanks(
    case: Case,
    members: int = 200,
    *,
    seed: int = 1,
    dates: int = 5,
    log_cost: float | None = None,
    grid: str = "auto",
    under: WhatIf | None = None,
    table: pd.DataFrame | None = None,
    folder: Path | None = None,
    fresh: bool = False,
    crew: Crew = Crew(),  # noqa: B008 - frozen
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> BlankValues:
    """Blank pipes ranked by what the removal of each costs, under several ways of acting on what is seen.

    dates: of decision. log_cost: of one production log, none: late_life.log_cost of the case; where neither is given
    the zones' own rates are never known. grid: 'own', 'coarse' (fewer cells, longer steps; its error is told), 'auto':
    coarse above blank_grid.MANY forecasts. under: what happens anyway, none: the base; a first job in it lets blanks be
    valued for the second one. table: draws that the user brings, such as those of a match; its rows are the members
    then. folder: where members are kept, none: a new temporary one. The numbers do not
    depend on the crew. Raises CaseError (an injector, no zone to shut, ranges that do not fit), ForecastError,
    Cancelled with finished members kept.
    """
    days = decision_dates(case, dates)
    jobs, forbidden = _jobs(case, under, days)
    drawn = _draws(case, members, seed, table)
    members = len(drawn.values)
    count = members * (len(branches_of(case, drawn, jobs, days, under)) + 1)
    chosen = grid_of(grid, count)
    place = folder if folder is not None else Path(tempfile.mkdtemp(prefix="blankwise-blanks-")) / "run"

    def computed(of: Case, draws: Draws, where: Path, told: Progress | None) -> Ensemble:
        return ensemble_of(of, draws, jobs, days, where, crew, told, cancelled, under, fresh)

    if chosen == COARSE:
        made = computed(coarse(case), drawn, place, _part(progress, 0.0, MEMBERS_SHARE))
        first = np.flatnonzero((made.status == OK).all(axis=1))[:CHECKED]
        some = replace(drawn, values=drawn.values[first])
        own = computed(case, some, place / OWN_GRID, _part(progress, MEMBERS_SHARE, 1.0, "on the case's own grid: "))
        check = _check(own, made, first, jobs, days)
    else:
        made, check = computed(case, drawn, place, progress), None
    cost = case.late_life.log_cost if log_cost is None else log_cost
    futures, rows, base = futures_of(case, made, jobs, days, cost)
    ways = ways_of(cost is not None)
    main = BY_LOG if cost is not None else BY_WELL
    ranking = Ranking(futures, ways, main, seed, Strings(case, jobs), cancelled)
    told = blank_infos(build(completed(case, None)))
    prices = prices_of(case, told, under, cancelled)
    groups = groups_of(ranking, jobs, prices)
    twins = {name for group in groups[:-1] for name in group.blanks}
    infos = tuple(
        made_of(case, made, rows, ranking, info, jobs, prices[info.name], info.name in twins) for info in told
    )  # fmt: skip
    return BlankValues(
        made.well, made.kind, members, members - len(rows), seed, tuple(str(day) for day in days),
        float("nan") if cost is None else cost, main, base, tuple(ranking.way(one) for one in ways),
        tuple(_zone(case, ranking, k, job) for k, job in enumerate(jobs)), ranked(infos, ranking), groups,
        tuple(forbidden), count, made.seconds, notes_of(case, ranking, jobs, cost, check),
        warnings_of(case, ranking, made, under, check, chosen == COARSE), chosen,
        convergence_of(futures, ways, seed),
        {"case": case, "draws": made.draws, "folder": str(place), "under": under.name if under else BASE,
         "grid_check": check},
    )  # fmt: skip


def _jobs(case: Case, under: WhatIf | None, days: tuple[date, ...]) -> tuple[list[Shut], list[tuple[str, str]]]:
    """Jobs that the string allows, and those it does not. Raises CaseError where blanks are not to be valued."""
    if case.well.kind.endswith("injector"):
        remedy = "Ask it of a producer."
        raise CaseError([Problem("", "well.kind", case.well.kind, "no water is shut off in an injector", remedy)])
    if under is not None and under.completion is not None:
        remedy = "Give the case that completion, and ask again."
        raise CaseError(
            [Problem("", "what_if", under.name, "blanks are those of the string as the case has it", remedy)]
        )
    jobs, forbidden = jobs_of(case, under, days)
    if not jobs:
        why = "; ".join(f"{zone}: {reason}" for zone, reason in forbidden)
        remedy = "Give the string seals and blank pipes that part its zones."
        raise CaseError(
            [Problem("", "string", "", f"no zone can be shut, so no blank is worth anything: {why}", remedy)]
        )
    return jobs, forbidden


def _draws(case: Case, members: int, seed: int, table: pd.DataFrame | None) -> Draws:
    """Draws of everything but whether a zone's job fails; where nothing is uncertain, one future, twice over."""
    zones, certain = zone_layers(case), sure(case)
    if table is None and not inputs_of(certain, zones):
        return Draws((), np.zeros((LEAST, 0)), seed, "given", ())
    if table is None:
        return draw(certain, members, seed, zones)
    names = {one.name for one in case.failures if of_jobs(one)}
    return given_draws(certain, table[[name for name in table.columns if name not in names]], seed, zones)


def _part(progress: Progress | None, low: float, high: float, before: str = "") -> Progress | None:
    """A progress that fills a part of another one."""
    if progress is None:
        return None
    return lambda share, text: progress(low + (high - low) * share, before + text)


def _check(
    own: Ensemble, made: Ensemble, first: NDArray[np.int64], jobs: list[Shut], days: tuple[date, ...]
) -> GridCheck | None:  # fmt: skip
    good = np.flatnonzero((own.status == OK).all(axis=1))
    if not len(good):
        return None
    return compared(gains_of(own, jobs, days, good), gains_of(made, jobs, days, first[good]))


def made_of(
    case: Case, made: Ensemble, rows: NDArray[np.int64], ranking: Ranking, info: BlankInfo, jobs: list[Shut],
    price: BlankPrice, stands_in: bool,
) -> BlankValue:  # fmt: skip
    """The value of one blank."""
    costs = ranking.costs((info.name,))
    over = costs[ranking.main].mean(axis=0) - (price.total if np.isfinite(price.total) else 0.0)
    drivers = drivers_of(made, rows, over)
    return BlankValue(
        info.name, info.top_md, info.base_md, tuple(job.zone for job in jobs if info.name in job.blanks),
        {name: worth_of(values) for name, values in costs.items()},
        {name: worth_of(values) for name, values in ranking.alone(info.name).items()}, price,
        ranking.used(ranking.needing(info.name)), float((over > 0.0).mean()), drivers, False,
        stands_in, futures_told(made, rows, over, drivers),
    )  # fmt: skip


def groups_of(ranking: Ranking, jobs: list[Shut], prices: dict[str, BlankPrice]) -> tuple[GroupValue, ...]:
    """Blanks that stand in for each other, then all blanks of the string together."""
    together = tuple(name for name in prices if name in ranking.strings.blanks)
    found = []
    for names in [*ranking.strings.groups(), together]:
        left = ranking.strings.without(names)
        lost = tuple(job.zone for k, job in enumerate(jobs) if k not in left)
        worth = {way: worth_of(values) for way, values in ranking.costs(names).items()}
        found.append(GroupValue(names, lost, worth, sum(prices[name].total for name in names)))
    return tuple(found)


def drivers_of(made: Ensemble, rows: NDArray[np.int64], over: Floats) -> tuple[Flip, ...]:
    """Inputs that tell members in which a blank is worth more than its price, the strongest first; at most three."""
    figures = {"worth": np.column_stack([over, np.zeros(len(over))])}
    draws = replace(made.draws, values=made.draws.values[rows])
    return flips_of(replace(made, draws=draws, what_ifs=(WITH, WITHOUT), figures=figures), "worth", WITH, WITHOUT)[:3]


def futures_told(
    made: Ensemble, rows: NDArray[np.int64], over: Floats, drivers: tuple[Flip, ...]
) -> InFutures | None:  # fmt: skip
    """Member by member, by the rank of the input that tells most; none where none tells anything."""
    if not drivers:
        return None
    best = drivers[0]
    draws = columns_of(replace(made.draws, values=made.draws.values[rows]), horizon_of(made))[best.input]
    rank = (rankdata(draws) - 0.5) / len(draws)
    threshold = float((draws < best.threshold).mean())
    return InFutures(best.input, tuple(map(float, over)), tuple(map(float, rank)), threshold)


def ranked(infos: tuple[BlankValue, ...], ranking: Ranking) -> tuple[BlankValue, ...]:
    """Dearest loss first; blanks that cannot be told apart from the next one are marked."""
    order = sorted(infos, key=lambda one: (-one.worth[ranking.main].mean, -one.worth[PERFECT].mean, one.top_md))
    found = []
    for one, after in zip(order, [*order[1:], None], strict=True):
        tied = False
        if after is not None:
            more, less = (ranking.costs((blank.name,))[ranking.main] for blank in (one, after))
            gap, error = mean_and_error(more - less)
            tied = gap <= APART * error
        found.append(replace(one, tied=tied))
    return tuple(found)


def _zone(case: Case, ranking: Ranking, number: int, job: Shut) -> ZoneToShut:
    gains = ranking.futures.expected[:, :, number]
    return ZoneToShut(
        job.zone,
        job.shut_by,
        job.blanks,
        tuple(worth_of(column) for column in gains.T),
        ranking.used((number,)),
        luck_of(case, job.zone).chance,
        tuple(one for one in ranking.strings.groups() if number not in ranking.strings.without(one)
              and all(number in ranking.strings.without((name,)) for name in one)),
    )  # fmt: skip

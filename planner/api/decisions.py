"""Suitability, zone split, value of blank pipe, late life, portfolio. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from planner.api.case import what_if_of
from planner.base.errors import CaseError, Problem

if TYPE_CHECKING:
    from pandas import DataFrame

    from planner.api.calls import Asked, Progress
    from planner.model.blank_value import BlankValues
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.cures import Cure
    from planner.model.ensemble import Draws
    from planner.model.late_life import DateStep
    from planner.model.portfolio import PortfolioPlan
    from planner.model.split import Wish
    from planner.model.split_results import SplitResult
    from planner.model.suitability_results import SuitabilityResult


def suit(case: Case) -> SuitabilityResult:
    """Reasons for and against each kind of completion by interval: hole, seats, grain size, rock strength, fluid.

    Depths and sizes m, stresses Pa. Raises CaseError where the case has no [suitability], and as `describe`.
    """
    from planner.decide.suitability import suitability_of

    return suitability_of(case)


def split(
    case: Case,
    pins: Iterable[Wish | str] = (),
    forbids: Iterable[Wish | str] = (),
    *,
    members: int = 0,
    seed: int = 1,
    draws: str | Path | None = None,
    processes: int = 1,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> SplitResult:
    """The best split into zones: seals and blanks on whole joints, its worth and cost, and the case with that string.

    pins, forbids: pieces that have to be there or may not, on top of those of the case, as records or as text such as
    'seal Fern / Moss'. members: draws of the case's ranges over which values are expected, with their seed, 0: the case
    as it is; draws: a CSV or Parquet table of draws, such as `match` writes, in their place. Raises CaseError, Refusal
    where no string meets the constraints, ForecastError, Cancelled.
    """
    from planner.decide.split import split_of

    wanted, unwanted = _wishes("pins", pins), _wishes("forbids", forbids)
    return split_of(
        case, wanted, unwanted, draws=_draws_of(case, members, seed, draws), processes=processes, progress=progress,
        cancelled=cancelled,
    )  # fmt: skip


def _draws_of(case: Case, members: int, seed: int, table: str | Path | None) -> Draws | None:
    """Draws from a table, or as many of the case's own ranges; None for neither."""
    from planner.network.zone_layers import zone_layers
    from planner.uncertainty.draws import draw, given_draws

    if table is not None:
        made = given_draws(case, _rows_of(table), seed, zone_layers(case))
        return replace(made, values=made.values[:members]) if members else made
    return draw(case, members, seed, zone_layers(case)) if members else None


def _rows_of(place: str | Path) -> DataFrame:
    from planner.io.draws import read_draws

    return read_draws(Path(place))


def _wishes(place: str, given: Iterable[Wish | str]) -> tuple[Wish, ...]:
    from planner.io.wishes import wish_of

    try:
        return tuple(wish_of(one) if isinstance(one, str) else one for one in given)
    except ValueError as error:
        remedy = "Write it as 'seal Fern / Moss', 'seal 7054 ft' or 'blank 2100 m to 2110 m'."
        raise CaseError([Problem("", place, "", str(error), remedy)]) from error


def blanks(
    case: Case,
    members: int = 200,
    what_if: WhatIf | str | None = None,
    *,
    seed: int = 1,
    dates: int = 5,
    log_cost: float | None = None,
    grid: str = "auto",
    draws: str | Path | None = None,
    folder: str | Path | None = None,
    workers: int = 1,
    scheduler: str = "",
    fresh: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> BlankValues:
    """What each blank pipe is worth: what its removal costs somebody who shuts zones by what is seen, over the members.

    what_if: what happens anyway, none: the base. dates: on how many dates one may act. log_cost: of one production log,
    none: late_life.log_cost; where neither is given no log is run. grid: 'own', 'coarse' or 'auto' (coarse where there
    are many forecasts; how far its gains are off is told). draws: a CSV or Parquet table of draws, or the
    folder of a match, in place of own ones. folder: where members are kept and gone on from;
    none: a new temporary one. workers, scheduler, fresh: as in `ensemble`. Money of the reference date. Raises
    CaseError, ForecastError, Cancelled.
    """
    from planner.decide.blanks import blanks as run
    from planner.uncertainty.pool import Crew

    return run(
        case, members, seed=seed, dates=dates, log_cost=log_cost, grid=grid, under=what_if_of(case, what_if),
        table=None if draws is None else _rows_of(draws),
        folder=Path(folder) if folder is not None else None, fresh=fresh, crew=Crew(workers, scheduler),
        progress=progress, cancelled=cancelled,
    )  # fmt: skip


def cure(
    case: Case,
    on: date | None = None,
    what_if: WhatIf | str | None = None,
    *,
    step: DateStep | None = "year",
    draws: str | Path | None = None,
    members: int = 0,
    seed: int = 1,
    folder: str | Path | None = None,
    fresh: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
    scheduler: str = "",
) -> Cure:
    """What ails the well on a day, and every job that its string allows, ranked by risked value, with the best date.

    on: day of the decision, none: late_life.today of the case, else the start. what_if: what happens anyway, none: the
    base. step: of the dates that are tried for each job, None: on the day itself alone. draws: a CSV or Parquet table
    of draws, or the folder of a match: then the jobs are valued over its rows too (`odds`); members: above 0, over so
    many members of the case's own ranges instead. seed, folder, fresh, scheduler: of these members, as in `ensemble`.
    Money of the day of the decision. Raises CaseError, Refusal, ForecastError where doing nothing cannot be computed,
    Cancelled.
    """
    from planner.decide.cure import cure as run

    under = what_if_of(case, what_if)
    table = None if draws is None else _rows_of(draws)
    if table is None and members <= 0:
        return run(case, on, under, step=step, progress=progress, cancelled=cancelled, processes=processes)
    from planner.decide.cure_odds import odds_of, with_odds
    from planner.uncertainty.pool import Crew

    first, rest = _shares(progress, 0.2)
    found = run(case, on, under, step=step, progress=first, cancelled=cancelled, processes=processes)
    odds = odds_of(
        case, found, members, seed=seed, table=table, folder=Path(folder) if folder is not None else None, fresh=fresh,
        crew=Crew(processes, scheduler), progress=rest, cancelled=cancelled,
    )  # fmt: skip
    return with_odds(found, odds)


def _shares(progress: Progress | None, share: float) -> tuple[Progress | None, Progress | None]:
    """Progress of a first part of some work, which is about this share of it, and of the rest."""
    if progress is None:
        return None, None
    told = progress

    def first(done: float, text: str) -> None:
        told(share * done, text)

    def rest(done: float, text: str) -> None:
        told(share + (1.0 - share) * done, text)

    return first, rest


def portfolio(
    folder: str | Path,
    *,
    on: date | None = None,
    budget: float | None = None,
    rig_days: float | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> PortfolioPlan:
    """The best set of jobs on several wells under one budget and rig time, and what more budget would be worth.

    folder: holds a folder each well, and portfolio.toml with the limits. on (day of the decision for all wells), budget
    (in the currency) and rig_days: in place of those of the file. Raises CaseError with every problem found,
    ForecastError, Cancelled.
    """
    from planner.decide.options import plan_of
    from planner.io.portfolio import read_portfolio

    read = read_portfolio(folder, on)
    given = {"budget": budget, "rig_time": None if rig_days is None else rig_days * 86_400.0}
    limits = read.portfolio.model_copy(update={name: value for name, value in given.items() if value is not None})
    return plan_of(limits, read.cases, progress=progress, cancelled=cancelled, processes=processes)

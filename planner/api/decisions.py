"""Suitability, zone split, value of blank pipe, late life, portfolio. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.api.case import what_if_of
from planner.base.errors import CaseError, Problem

if TYPE_CHECKING:
    from planner.api.calls import Asked, Progress
    from planner.base.units import UnitSystem
    from planner.model.blank_value import BlankValues
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.cures import Cure
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


def suit_report(found: SuitabilityResult, case: Case, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `suit` found of a case as a self-contained HTML page; gives the path back."""
    from planner.io.write import replace_text
    from planner.report import suitability_tables as tables
    from planner.report.markup import Part, figure_markup, page_text, table_markup
    from planner.report.suitability_figures import suitability_figure
    from planner.report.tables import of_use, style_for

    style = style_for(units or case.units, case.economics.currency)
    told = " ".join(f"Missing: {text}." for text in found.missing) or "Nothing is missing."
    parts = [
        Part("By interval and kind", "", (table_markup(of_use(tables.overview_table(found, style))),)),
        Part("Along the hole", "", (figure_markup(suitability_figure(found, case, style)),)),
        Part("Where a seal can sit", "", (table_markup(tables.seats_table(found, style)),)),
        Part("Grain size and rock strength", "", (
            table_markup(tables.gradings_table(found, style), "Samples"),
            table_markup(of_use(tables.strengths_table(found, style)), "Rock strength and the drawdown it stands"),
        )),
        Part("All reasons, with their sources", "", (table_markup(tables.reasons_table(found.reasons, style)),)),
        Part("What is missing", " ".join((told, *found.warnings)), ()),
    ]  # fmt: skip
    lead = "Reasons for and against each kind of completion, by interval."
    replace_text(Path(path), page_text("Suitability", f"{found.well}: what hole and sand suit", lead, parts))
    return Path(path)


def split(
    case: Case,
    pins: Iterable[Wish | str] = (),
    forbids: Iterable[Wish | str] = (),
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> SplitResult:
    """The best split into zones: seals and blanks on whole joints, its worth and cost, and the case with that string.

    pins, forbids: pieces that have to be there or may not, on top of those of the case, as records or as text such as
    'seal Fern / Moss'. Raises CaseError, Refusal where no string meets the constraints, ForecastError, Cancelled.
    """
    from planner.decide.split import split_of

    wanted, unwanted = _wishes("pins", pins), _wishes("forbids", forbids)
    return split_of(case, wanted, unwanted, progress=progress, cancelled=cancelled)


def split_report(found: SplitResult, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `split` found as a self-contained HTML page; gives the path back. units: none: the case's own."""
    from planner.io.write import replace_text
    from planner.report import split_figures, split_tables
    from planner.report.comparison_tables import in_millions
    from planner.report.markup import Part, figure_markup, page_text, table_markup
    from planner.report.plan_terminal import split_sentences
    from planner.report.tables import style_for

    style = style_for(units or found.case.units, found.case.economics.currency)

    def table(made: Callable[..., Any], caption: str = "") -> Any:
        return table_markup(in_millions(made(found, style), style), caption)

    install = table(split_tables.install_table, "To install it")
    string = figure_markup(split_figures.string_figure(found, style))
    seals = figure_markup(split_figures.seals_figure(found, style))
    parts = [
        Part("Zones", " ".join(split_sentences(found, style)), (table(split_tables.split_zones_table),)),
        Part("The string", "", (string, table(split_tables.elements_table, "Top to bottom"), install)),
        Part("What it was chosen from", "", (seals, table(split_tables.seals_table, "Best value with so many seals"))),
        Part("What choice and screen are worth", "", (
            table(split_tables.groups_table, "To be able to shut sands later"),
            table_markup(split_tables.pay_table(found, style), "Screen, by length"),
            table(split_tables.wishes_table, "What each wish costs"),
        )),
        Part("Warnings", " ".join(found.warnings) or "None.", ()),
    ]  # fmt: skip
    title = f"{found.well}: a split into {len(found.zones)} zones"
    replace_text(Path(path), page_text("Zone split", title, "Seals and blanks on whole joints.", parts))
    return Path(path)


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
    are many forecasts; how far its gains are off is told). draws: a CSV or Parquet table of draws, such as
    `match` writes, in place of own ones. folder: where members are kept and gone on from;
    none: a new temporary one. workers, scheduler, fresh: as in `ensemble`. Money of the reference date. Raises
    CaseError, ForecastError, Cancelled.
    """
    from planner.decide.blanks import blanks as run
    from planner.io.draws import read_draws
    from planner.uncertainty.pool import Crew

    return run(
        case, members, seed=seed, dates=dates, log_cost=log_cost, grid=grid, under=what_if_of(case, what_if),
        table=None if draws is None else read_draws(Path(draws)),
        folder=Path(folder) if folder is not None else None, fresh=fresh, crew=Crew(workers, scheduler),
        progress=progress, cancelled=cancelled,
    )  # fmt: skip


def blanks_report(found: BlankValues, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `blanks` found as a self-contained HTML page; gives the path back. units: none: the case's own."""
    from planner.io.write import replace_text
    from planner.report.blank_tables import blanks_page
    from planner.report.tables import style_for

    case: Case = found.extra["case"]
    replace_text(Path(path), blanks_page(found, style_for(units or case.units, case.economics.currency)))
    return Path(path)


def cure(
    case: Case,
    on: date | None = None,
    what_if: WhatIf | str | None = None,
    *,
    step: DateStep | None = "year",
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> Cure:
    """What ails the well on a day, and every job that its string allows, ranked by risked value, with the best date.

    on: day of the decision, none: late_life.today of the case, else the start. what_if: what happens anyway, none: the
    base. step: of the dates that are tried for each job, None: on the day itself alone. Money of the day of the
    decision. Raises CaseError, Refusal, ForecastError where doing nothing cannot be computed, Cancelled.
    """
    from planner.decide.cure import cure as run

    under = what_if_of(case, what_if)
    return run(case, on, under, step=step, progress=progress, cancelled=cancelled, processes=processes)


def cure_report(found: Cure, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `cure` found as a self-contained HTML page; gives the path back. units: none: the case's own."""
    from planner.io.write import replace_text
    from planner.report.late_life_html import cure_page
    from planner.report.tables import style_for

    case: Case = found.extra["case"]
    replace_text(Path(path), cure_page(found, style_for(units or case.units, case.economics.currency)))
    return Path(path)


def portfolio(
    folder: str | Path,
    *,
    budget: float | None = None,
    rig_days: float | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> PortfolioPlan:
    """The best set of jobs on several wells under one budget and rig time, and what more budget would be worth.

    folder: holds a folder each well, and portfolio.toml with the limits. budget (in the currency) and rig_days: in
    place of those of the file. Raises CaseError with every problem found, ForecastError, Cancelled.
    """
    from planner.decide.options import plan_of
    from planner.io.portfolio import read_portfolio

    read = read_portfolio(folder)
    given = {"budget": budget, "rig_time": None if rig_days is None else rig_days * 86_400.0}
    limits = read.portfolio.model_copy(update={name: value for name, value in given.items() if value is not None})
    return plan_of(limits, read.cases, progress=progress, cancelled=cancelled, processes=processes)


def portfolio_report(found: PortfolioPlan, path: str | Path, units: UnitSystem = "field") -> Path:
    """Write a portfolio's plan as a self-contained HTML page; gives the path back."""
    from planner.io.write import replace_text
    from planner.report.portfolio_tables import portfolio_page
    from planner.report.tables import style_for

    replace_text(Path(path), portfolio_page(found, style_for(units, found.currency)))
    return Path(path)

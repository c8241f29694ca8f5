"""The one door: read a case, check it, flow it, forecast it, compare what-ifs, report.

    >>> from planner import api                                     # doctest: +SKIP
    >>> case = api.read_case("cases/five-sands")                    # doctest: +SKIP
    >>> comparison = api.compare(case, ["shut zone 3 in 2034"])     # doctest: +SKIP
    >>> api.report(comparison, "answer.html")                       # doctest: +SKIP

Everything that goes in and comes out is a frozen record in SI (planner.model); tables in the user's units are in
planner.report.tables. The rooms behind the door are loaded when they are first needed, so that importing is quick.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.base.errors import Cancelled, CaseError, ForecastError, Problem, Refusal

if TYPE_CHECKING:
    from planner.base.units import UnitSystem
    from planner.decide.waterfall import Waterfall
    from planner.model.blank_value import BlankValues
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.cures import Cure
    from planner.model.data_facts import FileFacts
    from planner.model.ensemble import Design, Ensemble, Findings
    from planner.model.late_life import DateStep
    from planner.model.match import Match, MatchMethod
    from planner.model.portfolio import PortfolioPlan
    from planner.model.results import Comparison, FlowProfile, Forecast, WellDescription
    from planner.model.split import Wish
    from planner.model.split_results import SplitResult
    from planner.model.suitability_results import SuitabilityResult

__all__ = [
    "Cancelled",
    "CaseError",
    "ForecastError",
    "Problem",
    "Refusal",
    "blanks",
    "blanks_report",
    "case_from",
    "check",
    "compare",
    "cure",
    "cure_report",
    "data_files",
    "describe",
    "ensemble",
    "ensemble_report",
    "findings",
    "flow",
    "forecast",
    "inspect",
    "kernels_ready",
    "match",
    "match_folder_is_free",
    "match_report",
    "new_case",
    "portfolio",
    "portfolio_report",
    "put_together",
    "read_case",
    "read_ensemble",
    "refusals",
    "replace_text",
    "report",
    "schema",
    "split",
    "split_report",
    "suit",
    "suit_report",
    "waterfall",
    "write_case",
    "write_match",
]

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]


def read_case(path: str | Path) -> Case:
    """Read a case from its TOML file or from the folder that holds it.

    Gives the case in SI. Raises CaseError with every problem found: file, place, value, remedy.
    """
    from planner.io.read import read_case as read

    return read(Path(path))


def data_files(path: str | Path) -> tuple[FileFacts, ...]:
    """What was read from the logs and tables of measurements of a case, with all that was odd. Raises CaseError."""
    from planner.io.read import read_case_and_files

    return read_case_and_files(Path(path))[1]


def inspect(path: str | Path, **options: Any) -> FileFacts:
    """What a LAS log or a CSV table of measurements holds, and what was odd in it.

    options, of a table: date_format, decimal, units, rates, dates, well, layout. Raises CaseError with every reason why
    the file cannot be read.
    """
    from planner.io.inspect import inspect_file

    return inspect_file(Path(path), options)


def case_from(document: Mapping[str, Any], name: str = "") -> Case:
    """The case in a document of the form of a case file, held in memory, with every table written out in it.

    name: what to call the document in messages. Raises CaseError with every problem found, as `read_case` does.
    """
    from planner.io.read import case_from as read

    return read(dict(document), name)


def new_case(folder: str | Path) -> Path:
    """Write a small commented case to start from into a folder; gives the path of its case.toml.

    Raises CaseError, and writes nothing, where one of its files is there already.
    """
    from planner.io.write import new_case as write

    return write(Path(folder))


def write_case(case: Case, folder: str | Path) -> Path:
    """Write a case to a folder, in its own unit system; gives the path of its case.toml. Raises OSError."""
    from planner.io.write import write_case as write

    return write(case, Path(folder))


def replace_text(path: str | Path, text: str) -> None:
    """Write a text file at once: a reader, or a crash in between, meets the old file or the new one. Raises OSError."""
    from planner.io.write import replace_text as replace

    replace(Path(path), text)


def schema() -> dict[str, Any]:
    """JSON Schema of the case file; each number with a unit carries its quantity."""
    from planner.io.write import schema as made

    return made()


def describe(case: Case, what_if: WhatIf | str | None = None) -> WellDescription:
    """The well as a graph for people: zones, layers, pieces of bore, blanks and what they can do; depths m, volumes m3.

    Raises CaseError where the string is not connected, Refusal where it cannot do the what-if.
    """
    from planner.network.describe import describe_case

    return describe_case(case, what_if_of(case, what_if))


def check(case: Case) -> WellDescription:
    """The well with all warnings, those about what-ifs that its string cannot do included. Raises as `describe`."""
    description = describe(case)
    refused = (f"The what-if '{name}' cannot be done: {reason}" for name, reason in refusals(case).items())
    return replace(description, warnings=(*description.warnings, *refused))


def refusals(case: Case) -> dict[str, str]:
    """What-ifs that the string cannot do, by name, with the reason; empty where it can do all of them."""
    from planner.decide.possible import refusal_of

    found = {what_if.name: refusal_of(case, what_if) for what_if in case.what_ifs}
    return {name: reason for name, reason in found.items() if reason}


def flow(case: Case, what_if: WhatIf | str | None = None, on: date | None = None) -> FlowProfile:
    """Flow along the string at an instant, at the reservoir's state on a date (none: the start).

    what_if: one of the case's by name, or a record of your own; none: the base. Pressures Pa, rates m3/s at surface
    conditions. Raises Refusal, ForecastError, and CaseError for a name that the case does not have.
    """
    from planner.forecast.run import flow as run

    return run(case, what_if_of(case, what_if), on)


def forecast(
    case: Case,
    what_if: WhatIf | str | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    until: date | None = None,
) -> Forecast:
    """Life of the well under one what-if, from the start of the schedule to its end or `until`.

    what_if: one of the case's by name, or a record of your own; none: the base. progress: told the share done (0 to
    1) and a sentence. cancelled: asked between steps. Days, Pa, m3/s and m3 at surface conditions. Raises Refusal,
    ForecastError, Cancelled, and CaseError for a name that the case does not have.
    """
    from planner.forecast.run import forecast as run

    return run(case, what_if_of(case, what_if), progress=progress, cancelled=cancelled, until=until)


def compare(
    case: Case,
    names: Iterable[str] | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> Comparison:
    """The base and what-ifs side by side, with differences and money.

    names: of the case's what-ifs; none: all. A what-if that the string cannot do is recorded in `refused` with its
    reason, one that could not be computed in `extra['failed']`, and the others go on. processes: how many forecasts
    run at once, each in a process of its own. Raises ForecastError if the base fails, CaseError for an unknown name,
    Cancelled.
    """
    from planner.decide.compare import chosen_what_ifs, comparison_of
    from planner.decide.runs import run_all

    chosen = chosen_what_ifs(case, names)
    return comparison_of(case, run_all(case, chosen, progress=progress, cancelled=cancelled, processes=processes))


def match(
    case: Case,
    *,
    method: MatchMethod = "smoother",
    members: int = 100,
    seed: int = 1,
    rounds: int = 4,
    localise: bool = False,
    prior: bool = True,
    only: tuple[str, ...] = (),
    workers: int = 1,
    scheduler: str = "",
    time_out: float = 900.0,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Match:
    """Bring the continuous ranges of a case (`uncertain`) to its measurements (`measured`).

    method: 'smoother' (ensemble smoother with multiple data assimilation, `rounds` of them, chance correlations
    dampened where `localise`) or 'least squares' (prior: whether the ranges pull, or only bound). only: these ranges;
    none: all. The answer holds the matched case, posterior members as draws, misfits and what the data cannot tell; it
    does not depend on the workers. Raises CaseError, ForecastError where too few members could be computed, Cancelled.
    """
    from planner.uncertainty.matching import MatchOptions
    from planner.uncertainty.matching import match as run
    from planner.uncertainty.pool import Crew

    options = MatchOptions(method, members, seed, rounds, 1.0, localise, prior, only, time_out)
    return run(case, options, crew=Crew(workers, scheduler), progress=progress, cancelled=cancelled)


def match_report(found: Match, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `match` found as a self-contained HTML page; gives the path back. units: none: the case's own."""
    from planner.io.write import replace_text
    from planner.report.match_html import match_text
    from planner.report.tables import style_for

    case = found.case
    replace_text(Path(path), match_text(found, style_for(units or case.units, case.economics.currency)))
    return Path(path)


def match_folder_is_free(folder: str | Path) -> None:
    """Raises CaseError where a folder holds a case that no match made, so that it is not overwritten."""
    from planner.io.match_files import refuse_taken

    refuse_taken(Path(folder))


def write_match(found: Match, folder: str | Path, units: UnitSystem | None = None) -> Path:
    """Write a match to a folder: the matched case, draws.csv for `ensemble`, match.json and the report match.html.

    Gives the path of the case file. Raises CaseError where the folder holds a case of the user's own, OSError.
    """
    from planner.io.match_files import MARK
    from planner.io.match_files import write_match as write
    from planner.report.documents import to_json
    from planner.report.match_html import match_text
    from planner.report.match_tables import match_document
    from planner.report.tables import style_for

    style = style_for(units or found.case.units, found.case.economics.currency)
    texts = {MARK: to_json(match_document(found, style.system)), "match.html": match_text(found, style)}
    return write(found, Path(folder), texts)


def waterfall(comparison: Comparison, second: str, first: str = "base") -> Waterfall:
    """What makes the difference in net present value of one what-if (second) to another (first), by zone and cause.

    comparison: made by `compare`. The bars add up to the difference. Raises CaseError for a name without a forecast.
    """
    from planner.decide.waterfall import waterfall_between

    return waterfall_between(comparison, first, second)


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


def put_together(
    case: Case,
    base: Forecast,
    others: Iterable[tuple[WhatIf, Forecast]] = (),
    refused: Mapping[str, str] | None = None,
) -> Comparison:
    """A comparison of forecasts that are there already, with differences and money, as `compare` would give it.

    base: forecast without a what-if; others: what-ifs with their forecasts; refused: what-if name -> reason.
    """
    from planner.decide.compare import Ran, comparison_of

    ran = [Ran(None, base), *(Ran(what_if, run) for what_if, run in others)]
    return replace(comparison_of(case, ran), refused=dict(refused or {}))


def report(comparison: Comparison, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write a self-contained HTML report of a comparison made by `compare`; gives the path back.

    units: 'field' or 'metric'; none: the case's own. The flow along the string at the start is worked out for it.
    Raises ValueError for a comparison without its case, OSError where the file cannot be written.
    """
    from planner.io.write import replace_text
    from planner.model.case import Case as CaseRecord
    from planner.report.html import report_text

    case = comparison.extra.get("case")
    if not isinstance(case, CaseRecord):
        raise ValueError("this comparison does not carry its case; make it with planner.api.compare")
    replace_text(Path(path), report_text(comparison, case, flow(case), units))
    return Path(path)


def ensemble(
    case: Case,
    members: int = 1000,
    *,
    seed: int = 1,
    names: Iterable[str] | None = None,
    design: Design = "latin hypercube",
    draws: str | Path | None = None,
    folder: str | Path | None = None,
    workers: int = 1,
    scheduler: str = "",
    time_out: float | None = None,
    fresh: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Ensemble:
    """The base and what-ifs of the case over many members, each with draws of what is uncertain in the case.

    names: of what-ifs; none: all. draws: a CSV or Parquet table of draws in place of own ones. folder: where tables
    are kept; what it holds already of the same ensemble is not computed again; none: a new temporary one. workers:
    processes of this machine; scheduler: address of a Dask scheduler instead. time_out: seconds that one member may
    take (none: 900). fresh: throw away what the folder holds of another ensemble. The numbers depend on the case, the
    seed and the members alone. Raises CaseError, Cancelled (finished members stay), and ForecastError where no member
    at all could be computed.
    """
    from planner.decide.compare import chosen_what_ifs
    from planner.decide.summaries import life_summary
    from planner.uncertainty.ensembles import run_ensemble
    from planner.uncertainty.pool import Crew

    table = None
    if draws is not None:
        from planner.io.draws import read_draws

        table = read_draws(Path(draws))
    return run_ensemble(
        case, members, chosen_what_ifs(case, names), life_summary, folder, seed=seed, design=design, table=table,
        crew=Crew(workers, scheduler), time_out=time_out, fresh=fresh, progress=progress, cancelled=cancelled,
    )  # fmt: skip


def read_ensemble(folder: str | Path) -> Ensemble:
    """The ensemble that a folder holds, as far as it has come. Raises CaseError where there is none."""
    from planner.uncertainty.runner import ensemble_in

    return ensemble_in(Path(folder))


def findings(
    made: Ensemble,
    about: str = "base",
    *,
    case: Case | None = None,
    swings: str = "members",
    variance_points: int = 0,
    workers: int = 1,
    scheduler: str = "",
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Findings:
    """What an ensemble says: ranges, fans, what-if against what-if, swings, shares of the variance, what flips.

    about: the what-if whose drivers are told. swings: 'members' to take them from the ensemble, 'runs' for forecasts
    of their own, one input at a time. variance_points: above 0 for shares from a design of points x (inputs + 2)
    forecasts. Runs of their own need the case, and are kept below the ensemble's folder. Raises CaseError, Cancelled.
    """
    from planner.uncertainty.ensembles import with_runs
    from planner.uncertainty.findings import findings_of
    from planner.uncertainty.pool import Crew

    if case is None or (swings != "runs" and variance_points <= 0):
        return findings_of(made, about)
    from planner.decide.summaries import life_summary

    return with_runs(
        case, made, about, what_if_of(case, about), life_summary, swings == "runs", variance_points,
        Crew(workers, scheduler), progress, cancelled,
    )  # fmt: skip


def ensemble_report(found: Findings, path: str | Path, units: UnitSystem, currency: str = "money") -> Path:
    """Write a self-contained HTML report of what an ensemble says; gives the path back. Raises OSError."""
    from planner.io.write import replace_text
    from planner.report.ensemble_html import ensemble_text
    from planner.report.tables import style_for

    replace_text(Path(path), ensemble_text(found, style_for(units, currency)))
    return Path(path)


def blanks(
    case: Case,
    members: int = 200,
    what_if: WhatIf | str | None = None,
    *,
    seed: int = 1,
    dates: int = 5,
    log_cost: float | None = None,
    folder: str | Path | None = None,
    workers: int = 1,
    fresh: bool = False,
    scheduler: str = "",
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> BlankValues:
    """What each blank pipe is worth: what its removal costs somebody who shuts zones by what is seen, over the members.

    what_if: what happens anyway, none: the base. dates: on how many dates one may act. log_cost: of one production log,
    none: late_life.log_cost; where neither is given no log is run. folder: where members are kept and gone on from;
    none: a new temporary one. workers, scheduler: as in `ensemble`. Money of the reference date. Raises CaseError,
    ForecastError, Cancelled.
    """
    from planner.decide.blanks import blanks as run
    from planner.uncertainty.pool import Crew

    return run(
        case, members, seed=seed, dates=dates, log_cost=log_cost, under=what_if_of(case, what_if),
        folder=Path(folder) if folder is not None else None, fresh=fresh,
        crew=Crew(workers, scheduler), progress=progress,
        cancelled=cancelled,
    )  # fmt: skip


def blanks_report(found: BlankValues, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write what `blanks` found as a self-contained HTML page; gives the path back. units: none: the case's own."""
    from planner.io.write import replace_text
    from planner.report.blank_tables import blanks_page
    from planner.report.tables import style_for

    case: Case = found.extra["case"]
    replace_text(Path(path), blanks_page(found, style_for(units or case.units, case.economics.currency)))
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


def _wishes(place: str, given: Iterable[Wish | str]) -> tuple[Wish, ...]:
    from planner.io.wishes import wish_of

    try:
        return tuple(wish_of(one) if isinstance(one, str) else one for one in given)
    except ValueError as error:
        remedy = "Write it as 'seal Fern / Moss', 'seal 7054 ft' or 'blank 2100 m to 2110 m'."
        raise CaseError([Problem("", place, "", str(error), remedy)]) from error


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


def suit(case: Case) -> SuitabilityResult:
    """Reasons for and against each kind of completion by interval: hole, seats, grain size, rock strength, fluid.

    Depths and sizes m, stresses Pa. Raises CaseError where the case has no [suitability], and as `describe`.
    """
    from planner.decide.suitability import suitability_of

    return suitability_of(case)


def kernels_ready() -> bool:
    """Whether the compiled kernels are in the cache; the first run after an installation compiles them."""
    from planner.base.compiled import ready

    return ready()


def what_if_of(case: Case, what_if: WhatIf | str | None) -> WhatIf | None:
    """A what-if by its name; 'base' and None are the base. Raises CaseError for a name that the case does not have."""
    if not isinstance(what_if, str):
        return what_if
    from planner.decide.compare import chosen_what_ifs

    return next(iter(chosen_what_ifs(case, [what_if])), None)

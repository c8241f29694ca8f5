"""Ensembles over what is uncertain, and matching to what was measured. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from planner.api.case import what_if_of

if TYPE_CHECKING:
    from planner.api.calls import Asked, Progress
    from planner.base.units import UnitSystem
    from planner.model.case import Case
    from planner.model.ensemble import Design, Ensemble, Findings
    from planner.model.match import Match, MatchMethod


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


def prepare_workers(workers: int, scheduler: str = "") -> None:
    """Let what worker processes need be loaded from now on, beside what the caller does before they are asked for."""
    if workers > 1 and not scheduler:
        from planner.uncertainty.pool import prepare_workers as start

        start()


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
    from planner.report.kept import CHAPTER, kept_text
    from planner.report.markup import page_text
    from planner.report.match_html import match_chapter
    from planner.report.match_tables import match_document
    from planner.report.tables import style_for

    style = style_for(units or found.case.units, found.case.economics.currency)
    chapter = match_chapter(found, style)
    texts = {
        MARK: to_json(match_document(found, style.system)), "match.html": page_text(chapter),
        CHAPTER: kept_text(chapter, found.case.well.name),
    }  # fmt: skip
    return write(found, Path(folder), texts)

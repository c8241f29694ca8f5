"""Flow, life and comparison of a well, and their report. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from planner.api.case import what_if_of

if TYPE_CHECKING:
    from planner.api.calls import Asked, Progress
    from planner.api.sections import ReportSection
    from planner.base.units import UnitSystem
    from planner.decide.waterfall import Waterfall
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.chapter import Book
    from planner.model.results import Comparison, FlowProfile, Forecast


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
    again: bool = False,
) -> Forecast:
    """Life of the well under one what-if, from the start of the schedule to its end or `until`.

    again: more of this case will be asked in this process; states on the way are kept, and this one starts from the
    latest that fits. Its numbers are the same.

    what_if: one of the case's by name, or a record of your own; none: the base. progress: told the share done (0 to
    1) and a sentence. cancelled: asked between steps. Days, Pa, m3/s and m3 at surface conditions. Raises Refusal,
    ForecastError, Cancelled, and CaseError for a name that the case does not have.
    """
    from planner.forecast import kept
    from planner.forecast.run import forecast as run

    asked = what_if_of(case, what_if)
    if again and until is None:
        return kept.forecast(case, asked, progress=progress, cancelled=cancelled)
    return run(case, asked, progress=progress, cancelled=cancelled, until=until)


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


def waterfall(comparison: Comparison, second: str, first: str = "base") -> Waterfall:
    """What makes the difference in net present value of one what-if (second) to another (first), by zone and cause.

    comparison: made by `compare`. The bars add up to the difference. Raises CaseError for a name without a forecast.
    """
    from planner.decide.waterfall import waterfall_between

    return waterfall_between(comparison, first, second)


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


def report_book(
    comparison: Comparison, units: UnitSystem | None = None, sections: Iterable[ReportSection] = ()
) -> Book:
    """The report of a comparison made by `compare` as chapters; sections: decisions that go with it, of `decisions`.

    units: 'field' or 'metric'; none: the case's own. The flow along the string at the start is worked out for it.
    Raises ValueError for a comparison without its case.
    """
    from planner.model.case import Case as CaseRecord
    from planner.report.html import report_book as made

    case = comparison.extra.get("case")
    if not isinstance(case, CaseRecord):
        raise ValueError("this comparison does not carry its case; make it with planner.api.compare")
    return made(comparison, case, flow(case), units, [one.chapter for one in sections])


def report(
    comparison: Comparison,
    path: str | Path,
    units: UnitSystem | None = None,
    sections: Iterable[ReportSection] = (),
) -> Path:
    """Write a self-contained HTML report of a comparison made by `compare`; gives the path back.

    Arguments as of `report_book`. Raises ValueError for a comparison without its case, OSError where the file cannot be
    written.
    """
    from planner.io.write import replace_text
    from planner.report.markup import book_text

    replace_text(Path(path), book_text(report_book(comparison, units, sections)))
    return Path(path)

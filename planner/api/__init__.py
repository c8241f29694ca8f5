"""The one door: read a case, check it, flow it, forecast it, compare what-ifs, report.

    >>> from planner import api                                     # doctest: +SKIP
    >>> case = api.read_case("cases/five-sands")                    # doctest: +SKIP
    >>> comparison = api.compare(case, ["shut zone 3 in 2034"])     # doctest: +SKIP
    >>> api.report(comparison, "answer.html")                       # doctest: +SKIP

Everything that goes in and comes out is a frozen record in SI (planner.model); tables in the user's units are in
planner.report.tables. The rooms behind the door are loaded when they are first needed, so that importing is quick.
"""

from planner.api.answers import compare, flow, forecast, put_together, report, waterfall
from planner.api.case import (
    case_from,
    check,
    data_files,
    describe,
    inspect,
    kernels_ready,
    new_case,
    read_case,
    refusals,
    replace_text,
    schema,
    what_if_of,
    write_case,
)
from planner.api.decisions import (
    blanks,
    blanks_report,
    cure,
    cure_report,
    portfolio,
    portfolio_report,
    split,
    split_report,
    suit,
    suit_report,
)
from planner.api.ranges import (
    ensemble,
    ensemble_report,
    findings,
    match,
    match_folder_is_free,
    match_report,
    prepare_workers,
    read_ensemble,
    write_match,
)
from planner.base.errors import Cancelled, CaseError, ForecastError, Problem, Refusal

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
    "prepare_workers",
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
    "what_if_of",
    "write_case",
    "write_match",
]

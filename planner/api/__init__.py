"""The one door: read a case, check it, flow it, forecast it, compare what-ifs, report.

    >>> from planner import api                                     # doctest: +SKIP
    >>> case = api.read_case("cases/five-sands")                    # doctest: +SKIP
    >>> comparison = api.compare(case, ["shut zone 3 in 2034"])     # doctest: +SKIP
    >>> api.report(comparison, "answer.html")                       # doctest: +SKIP

Everything that goes in and comes out is a frozen record in SI (planner.model); tables in the user's units are in
planner.report.tables. The rooms behind the door are loaded when they are first needed, so that importing is quick.
"""

from planner.api.answers import compare, flow, forecast, put_together, report, report_book, waterfall
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
    cure,
    portfolio,
    split,
    suit,
)
from planner.api.pages import (
    book_text,
    chapter_of,
    document_of,
    fragment_text,
    keep_chapter,
    paper_script,
    paper_style,
    write_page,
)
from planner.api.ranges import (
    ensemble,
    findings,
    match,
    match_folder_is_free,
    prepare_workers,
    read_ensemble,
    write_match,
)
from planner.api.sections import (
    DecisionPlan,
    ReportSection,
    SectionOffer,
    decisions,
    in_order,
    prepare_report,
    section_offers,
)
from planner.base.errors import Cancelled, CaseError, ForecastError, Problem, Refusal

__all__ = [
    "Cancelled",
    "CaseError",
    "DecisionPlan",
    "ForecastError",
    "Problem",
    "Refusal",
    "ReportSection",
    "SectionOffer",
    "blanks",
    "book_text",
    "case_from",
    "chapter_of",
    "check",
    "compare",
    "cure",
    "data_files",
    "decisions",
    "describe",
    "document_of",
    "ensemble",
    "findings",
    "flow",
    "forecast",
    "fragment_text",
    "in_order",
    "inspect",
    "keep_chapter",
    "kernels_ready",
    "match",
    "match_folder_is_free",
    "new_case",
    "paper_script",
    "paper_style",
    "portfolio",
    "prepare_report",
    "prepare_workers",
    "put_together",
    "read_case",
    "read_ensemble",
    "refusals",
    "replace_text",
    "report",
    "report_book",
    "schema",
    "section_offers",
    "split",
    "suit",
    "waterfall",
    "what_if_of",
    "write_case",
    "write_match",
    "write_page",
]

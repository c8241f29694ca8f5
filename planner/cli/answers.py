"""Verbs that set what-ifs side by side: compare, report."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.cli.grammar import (
    Arguments,
    a_count,
    add_verb,
    console,
    open_case,
    save_table,
    stop,
    tell_written,
    working,
)

if TYPE_CHECKING:
    from planner.model.case import Case
    from planner.model.results import Comparison
    from planner.report.frames import Style


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    for name, run, text in (
        ("compare", _compare, "the base and what-ifs side by side"),
        ("report", _report, "compare, and write the HTML report"),
    ):
        one = add_verb(verbs, name, run, text, tables=True)
        one.add_argument("--only", nargs="+", metavar="NAME", help="these what-ifs alone")
        one.add_argument("--processes", type=a_count, default=1, metavar="N", help="forecasts at once (1)")
        if name == "compare":
            one.add_argument(
                "--explain",
                nargs="+",
                metavar="NAME",
                help="what makes one differ from another, or from the base",
            )
        if name == "report":
            one.add_argument("--out", type=Path, default=Path("report.html"), metavar="FILE.html", help="report.html")


def _compare(asked: Arguments) -> int:
    case, style = open_case(asked)
    if asked.explain:
        return _explain(asked, case, style)
    return _show_comparison(asked, _run_comparison(asked, case), style)


def _explain(asked: Arguments, case: Case, style: Style) -> int:
    """The difference in value between two what-ifs, cause by cause."""
    from planner import api
    from planner.report import comparison_tables, documents, money_tables, tables, terminal

    if len(asked.explain) > 2:
        return stop(2, "--explain: give one what-if, to set it against the base, or two. Write names in quotes.")
    second, first = (*asked.explain, "base")[:2]
    asked.only = [second, first]
    comparison = _run_comparison(asked, case)
    for name in (first, second):
        if name in comparison.refused:
            return stop(2, f"The string cannot do '{name}': {comparison.refused[name]}")
    found = api.waterfall(comparison, second, first)
    save_table(asked, money_tables.waterfall_table(found, tables.keys_for(style.system)))
    if asked.json:
        head = {"currency": case.economics.currency, "well": case.well.name}
        print(documents.to_json({**head, **documents.waterfall_document(found)}))
    else:
        terminal.show_table(console(), comparison_tables.money_for_reading(comparison, style), "Money")
        terminal.show_waterfall(console(), found, style)
        terminal.show_caution(console())
    return 0


def _report(asked: Arguments) -> int:
    from planner import api

    case, style = open_case(asked)
    comparison = _run_comparison(asked, case)
    written = api.report(comparison, asked.out, style.system)
    status = _show_comparison(asked, comparison, style, {"report": str(written)})
    tell_written(asked, "report", written)
    return status


def _run_comparison(asked: Arguments, case: Case) -> Comparison:
    from planner import api

    with working() as work:
        return api.compare(case, asked.only, progress=work.tell, cancelled=work.cancelled, processes=asked.processes)


def _show_comparison(asked: Arguments, comparison: Comparison, style: Style, more: dict[str, Any] | None = None) -> int:
    """The comparison as table or JSON; 1 where a what-if could not be computed, after everything was shown."""
    from planner.report import comparison_tables, documents, tables, terminal

    keys = tables.keys_for(style.system)
    volumes, money = (
        comparison_tables.comparison_table(comparison, keys),
        comparison_tables.money_table(comparison, keys),
    )
    save_table(asked, volumes.merge(money, on="what_if"))
    if asked.json:
        document = documents.comparison_document(comparison, style.system)
        print(documents.to_json({**document, **(more or {})}))
    else:
        terminal.show_comparison(console(), comparison, style)
    failed = comparison.extra.get("failed", {})
    return stop(1, *(f"{name} could not be computed: {why}" for name, why in failed.items())) if failed else 0

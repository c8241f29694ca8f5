"""Verbs that set what-ifs side by side: compare, report."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.api.sections import SECTIONS
from planner.cli.grammar import (
    Arguments,
    a_count,
    a_date,
    add_verb,
    console,
    open_case,
    save_table,
    stop,
    tell_written,
    working,
)
from planner.cli.ranges import a_seed

if TYPE_CHECKING:
    from planner.model.case import Case
    from planner.model.ensemble import Findings
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
            one.add_argument(
                "--draws", type=Path, metavar="FILE", help="compare over draws too: a table, or the folder of a match"
            )
            one.add_argument(
                "--members", type=a_count, default=0, metavar="N", help="the same over N draws of the ranges"
            )
            one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="of --members: another seed (1)")
            one.add_argument("--folder", type=Path, metavar="DIR", help="where members are kept (a temporary folder)")
            one.add_argument(
                "--fresh", action="store_true", help="throw away what the folder holds of another ensemble"
            )
            one.add_argument("--scheduler", default="", metavar="ADDRESS", help="of a Dask scheduler, for the members")
        if name == "report":
            _options_of_report(one)


def _options_of_report(one: argparse.ArgumentParser) -> None:
    one.add_argument("--out", type=Path, default=Path("report.html"), metavar="FILE.html", help="report.html")
    one.add_argument(
        "--with", nargs="+", metavar="SECTION", dest="sections", default=[],
        help=f"decisions beside the comparison: {', '.join(SECTIONS)}, all; or a folder in which ensemble, blanks or "
        "match kept what it found (nothing is computed again). What is quick comes by itself.",
    )  # fmt: skip
    one.add_argument("--without", nargs="+", metavar="SECTION", default=[], choices=SECTIONS, help="leave these out")
    one.add_argument("--members", type=a_count, default=100, metavar="N", help="of ensemble, blanks and match (100)")
    one.add_argument("--on", type=a_date, metavar="DATE", help="day of the decision of cure (late_life.today)")
    one.add_argument("--step", choices=("month", "quarter", "year", "none"), default="none",
                     help="of the dates that cure tries for each job (none: that day)")  # fmt: skip
    one.add_argument("--wells", type=Path, metavar="FOLDER", help="of the wells of the portfolio")


def _compare(asked: Arguments) -> int:
    case, style = open_case(asked)
    if asked.explain:
        if asked.draws or asked.members:
            return stop(2, "--explain looks at the case itself: leave out --draws and --members.")
        return _explain(asked, case, style)
    comparison = _run_comparison(asked, case)
    over = _over_draws(asked, case) if asked.draws or asked.members else None
    return _show_comparison(asked, comparison, style, over=over)


def _over_draws(asked: Arguments, case: Case) -> Findings:
    """The base and what-ifs over draws, the same for each."""
    from planner import api

    with working() as work:
        made = api.ensemble(
            case, asked.members, seed=asked.seed, names=asked.only, draws=asked.draws, folder=asked.folder,
            workers=asked.processes, scheduler=asked.scheduler, fresh=asked.fresh, progress=work.tell,
            cancelled=work.cancelled,
        )  # fmt: skip
    return api.findings(made)


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
    plan = api.DecisionPlan(
        asked.members, asked.on, None if asked.step == "none" else asked.step, asked.wells,
        tuple(asked.only) if asked.only else None, asked.processes,
    )  # fmt: skip
    with working() as work:
        comparison, sections = api.prepare_report(
            case, _wanted(asked), plan, without=asked.without, units=style.system, progress=work.tell,
            cancelled=work.cancelled,
        )  # fmt: skip
    written = api.report(comparison, asked.out, style.system, sections)
    told = {one.key: {"why_not": one.why_not, **one.document} for one in sections}
    status = _show_comparison(asked, comparison, style, {"report": str(written), "sections": told})
    stop(0, *(f"{one.key} is not in the report: {one.why_not}" for one in sections if one.why_not))
    tell_written(asked, "report", written)
    return status or int(any(one.failed for one in sections))


def _wanted(asked: Arguments) -> list[str]:
    """The sections asked for; all: every one for which the rest of the line is enough."""
    if "all" not in asked.sections:
        return list(asked.sections)
    every = [name for name in SECTIONS if name != "portfolio" or asked.wells]
    return [*every, *(one for one in asked.sections if one != "all" and one not in every)]


def _run_comparison(asked: Arguments, case: Case) -> Comparison:
    from planner import api

    with working() as work:
        return api.compare(case, asked.only, progress=work.tell, cancelled=work.cancelled, processes=asked.processes)


def _show_comparison(
    asked: Arguments,
    comparison: Comparison,
    style: Style,
    more: dict[str, Any] | None = None,
    over: Findings | None = None,
) -> int:
    """The comparison as table or JSON; 1 where a what-if could not be computed, after everything was shown."""
    from planner.report import comparison_tables, documents, ensemble_documents, ensemble_tables, tables, terminal
    from planner.report.ensemble_terminal import show_over_draws

    keys = tables.keys_for(style.system)
    volumes, money = (
        comparison_tables.comparison_table(comparison, keys),
        comparison_tables.money_table(comparison, keys),
    )
    whole = volumes.merge(money, on="what_if")
    if over is not None:
        whole = whole.merge(
            ensemble_tables.ranges_table(over, style), on="what_if", how="left", suffixes=("", "_drawn")
        )
    save_table(asked, whole)
    if asked.json:
        document = documents.comparison_document(comparison, style.system)
        if over is not None:
            document["over_draws"] = ensemble_documents.over_draws_document(over, style.system)
        print(documents.to_json({**document, **(more or {})}))
    else:
        terminal.show_comparison(console(), comparison, style)
        if over is not None:
            show_over_draws(console(), over, style)
    failed = comparison.extra.get("failed", {})
    return stop(1, *(f"{name} could not be computed: {why}" for name, why in failed.items())) if failed else 0

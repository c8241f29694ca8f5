"""Verbs of late life: cure, portfolio."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from planner.cli.grammar import (
    Arguments,
    a_count,
    a_date,
    add_verb,
    an_amount,
    console,
    open_case,
    save_table,
    tell_written,
    working,
)

STEPS = ("month", "quarter", "year", "none")


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(
        verbs, "cure", _cure, "what ails the well, which jobs could cure it, and when", tables=True, what_if=True
    )
    one.add_argument("--on", type=a_date, metavar="DATE", help="day of the decision (late_life.today, else the start)")
    one.add_argument("--step", choices=STEPS, default="year", help="of the dates tried for each job; none: that day")
    one.add_argument("--processes", type=a_count, default=1, metavar="N", help="forecasts at once (1)")
    one.add_argument("--out", type=Path, metavar="FILE.html", help="write a page too")
    text = "the best set of jobs on several wells under one budget"
    one = add_verb(verbs, "portfolio", _portfolio, text, case="", tables=True)
    one.add_argument("folder", metavar="FOLDER", help="holds a folder each well, and portfolio.toml with the limits")
    one.add_argument("--budget", type=an_amount, metavar="MONEY", help="in place of that of portfolio.toml")
    one.add_argument("--rig-days", type=an_amount, metavar="DAYS", help="in place of those of portfolio.toml")
    one.add_argument("--processes", type=a_count, default=1, metavar="N", help="forecasts at once (1)")
    one.add_argument("--out", type=Path, metavar="FILE.html", help="write a page too")


def _cure(asked: Arguments) -> int:
    from planner import api
    from planner.report import late_life_documents, late_life_tables, late_life_terminal, tables
    from planner.report.documents import to_json

    case, style = open_case(asked)
    with working() as work:
        found = api.cure(
            case, asked.on, asked.what_if, step=None if asked.step == "none" else asked.step, progress=work.tell,
            cancelled=work.cancelled, processes=asked.processes,
        )  # fmt: skip
    save_table(asked, late_life_tables.outlooks_table(found, tables.keys_for(style.system)))
    if asked.json:
        print(to_json(late_life_documents.cure_document(found, style.system)))
    else:
        late_life_terminal.show_cure(console(), found, style)
    if asked.out:
        written = api.cure_report(found, asked.out, style.system)
        tell_written(asked, "page", written)
    return 0


def _portfolio(asked: Arguments) -> int:
    from planner import api
    from planner.report import portfolio_tables, tables
    from planner.report.documents import to_json

    with working() as work:
        found = api.portfolio(
            asked.folder, budget=asked.budget, rig_days=asked.rig_days, progress=work.tell, cancelled=work.cancelled,
            processes=asked.processes,
        )  # fmt: skip
    style = tables.style_for(asked.units or "field", found.currency)
    save_table(asked, portfolio_tables.chosen_table(found, tables.keys_for(style.system)))
    if asked.json:
        print(to_json(portfolio_tables.portfolio_document(found, style)))
    else:
        portfolio_tables.show_portfolio(console(), found, style)
    if asked.out:
        written = api.portfolio_report(found, asked.out, style.system)
        tell_written(asked, "page", written)
    return 0

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
from planner.cli.ranges import a_seed

STEPS = ("month", "quarter", "year", "none")


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(
        verbs, "cure", _cure, "what ails the well, which jobs could cure it, and when", tables=True, what_if=True
    )
    one.add_argument("--on", type=a_date, metavar="DATE", help="day of the decision (late_life.today, else the start)")
    one.add_argument("--step", choices=STEPS, default="year", help="of the dates tried for each job; none: that day")
    one.add_argument(
        "--processes", "--workers", type=a_count, default=1, metavar="N", dest="processes", help="forecasts at once (1)"
    )
    one.add_argument("--out", type=Path, metavar="FILE.html", help="write a page too")
    one.add_argument(
        "--draws", type=Path, metavar="FILE", help="value the jobs over draws too: a table, or the folder of a match"
    )
    one.add_argument("--members", type=a_count, default=0, metavar="N", help="the same over N draws of the ranges")
    one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="of --members: another seed, other draws (1)")
    one.add_argument("--scheduler", default="", metavar="ADDRESS", help="of a Dask scheduler, for the members")
    one.add_argument("--folder", type=Path, metavar="DIR", help="where members are kept (a temporary folder)")
    one.add_argument("--fresh", action="store_true", help="throw away what the folder holds of another ensemble")
    text = "the best set of jobs on several wells under one budget"
    one = add_verb(verbs, "portfolio", _portfolio, text, case="", tables=True)
    one.add_argument("folder", metavar="FOLDER", help="holds a folder each well, and portfolio.toml with the limits")
    one.add_argument("--on", type=a_date, metavar="DATE", help="day of the decision for all wells, in its place too")
    one.add_argument("--budget", type=an_amount, metavar="MONEY", help="in place of that of portfolio.toml")
    one.add_argument("--rig-days", type=an_amount, metavar="DAYS", help="in place of those of portfolio.toml")
    one.add_argument("--processes", type=a_count, default=1, metavar="N", help="forecasts at once (1)")
    one.add_argument("--out", type=Path, metavar="FILE.html", help="write a page too")


def _cure(asked: Arguments) -> int:
    from planner import api
    from planner.report import late_life_documents, late_life_tables, late_life_terminal, tables
    from planner.report.cure_odds import odds_table
    from planner.report.documents import to_json

    api.prepare_workers(asked.processes)
    case, style = open_case(asked)
    with working() as work:
        found = api.cure(
            case, asked.on, asked.what_if, step=None if asked.step == "none" else asked.step, draws=asked.draws,
            members=asked.members, seed=asked.seed, folder=asked.folder, fresh=asked.fresh, progress=work.tell,
            cancelled=work.cancelled, processes=asked.processes, scheduler=asked.scheduler,
        )  # fmt: skip
    keys = tables.keys_for(style.system)
    save_table(
        asked, late_life_tables.outlooks_table(found, keys) if found.odds is None else odds_table(found.odds, keys)
    )
    if asked.json:
        print(to_json(late_life_documents.cure_document(found, style.system)))
    else:
        late_life_terminal.show_cure(console(), found, style)
    if asked.out:
        written = api.write_page(found, asked.out, style.system)
        tell_written(asked, "page", written)
    return 0


def _portfolio(asked: Arguments) -> int:
    from planner import api
    from planner.report import portfolio_tables, tables
    from planner.report.documents import to_json

    with working() as work:
        found = api.portfolio(
            asked.folder, on=asked.on, budget=asked.budget, rig_days=asked.rig_days, progress=work.tell,
            cancelled=work.cancelled, processes=asked.processes,
        )  # fmt: skip
    style = tables.style_for(asked.units or "field", found.currency)
    save_table(asked, portfolio_tables.chosen_table(found, tables.keys_for(style.system)))
    if asked.json:
        print(to_json(portfolio_tables.portfolio_document(found, style)))
    else:
        portfolio_tables.show_portfolio(console(), found, style)
    if asked.out:
        written = api.write_page(found, asked.out, style.system)
        tell_written(asked, "page", written)
    return 0

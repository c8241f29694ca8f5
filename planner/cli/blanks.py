"""The verb that values blank pipe: blanks."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from planner.cli.grammar import (
    Arguments,
    a_count,
    add_verb,
    an_amount,
    console,
    open_case,
    save_table,
    tell_written,
    working,
)
from planner.cli.ranges import a_seed


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(
        verbs, "blanks", _blanks, "what each blank pipe is worth over what is uncertain", tables=True, what_if=True
    )
    one.add_argument("--members", type=a_count, default=200, metavar="N", help="how many draws (200)")
    one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="another seed, other draws (1)")
    one.add_argument(
        "--draws", type=Path, metavar="FILE", help="draws of your own, a row a member, or the folder of a match"
    )
    one.add_argument("--dates", type=a_count, default=5, metavar="N", help="on how many dates one may act (5)")
    one.add_argument("--log-cost", type=an_amount, metavar="MONEY",
                     help="of one production log (late_life.log_cost; none: no log is run)")  # fmt: skip
    one.add_argument("--grid", choices=("auto", "own", "coarse"), default="auto",
                     help="of the forecasts: the case's own, or a coarse one whose error is told (auto: coarse above "
                     "1,000 forecasts)")  # fmt: skip
    one.add_argument("--workers", type=a_count, default=os.cpu_count() or 1, metavar="N",
                     help="processes at once (as many as there are processors)")  # fmt: skip
    one.add_argument("--folder", type=Path, metavar="DIR", help="where members are kept (a temporary folder)")
    one.add_argument("--fresh", action="store_true", help="throw away what the folder holds of another ensemble")
    one.add_argument("--report", type=Path, metavar="FILE.html", help="write a page too")


def _blanks(asked: Arguments) -> int:
    from planner import api
    from planner.report import blank_document, blank_tables
    from planner.report.documents import to_json
    from planner.report.tables import keys_for

    api.prepare_workers(asked.workers)
    case, style = open_case(asked)
    with working() as work:
        found = api.blanks(
            case, asked.members, asked.what_if, seed=asked.seed, dates=asked.dates, log_cost=asked.log_cost,
            grid=asked.grid, draws=asked.draws, folder=asked.folder, fresh=asked.fresh, workers=asked.workers,
            progress=work.tell, cancelled=work.cancelled,
        )  # fmt: skip
    save_table(asked, blank_tables.by_way_table(found, keys_for(style.system)))
    if asked.folder:
        api.keep_chapter(found, asked.folder, style.system)
    if asked.json:
        print(to_json(blank_document.blanks_document(found, style.system)))
    else:
        blank_tables.show_blanks(console(), found, style)
    if asked.report:
        written = api.write_page(found, asked.report, style.system)
        tell_written(asked, "page", written)
    return 0

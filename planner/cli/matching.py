"""Verbs on measurements: match."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.cli.grammar import Arguments, a_count, add_verb, console, open_case, save_table, working
from planner.cli.ranges import a_seed

if TYPE_CHECKING:
    from planner.model.case import Case
    from planner.model.match import Match


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(verbs, "match", _match, "bring the ranges of a case to what was measured", tables=True)
    one.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="where the matched case and draws go")
    one.add_argument("--method", choices=("smoother", "least squares"), default="smoother", help="how (smoother)")
    one.add_argument("--members", type=a_seed, default=100, metavar="N",
                     help="how many (100); 0 with least squares: the best point alone")  # fmt: skip
    one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="another seed, other members (1)")
    one.add_argument("--rounds", type=a_count, default=4, metavar="N", help="assimilations of the smoother (4)")
    one.add_argument("--localise", action="store_true", help="smoother: dampen links that could be chance")
    one.add_argument("--no-prior", action="store_true", help="least squares: by the data alone, ranges as bounds")
    one.add_argument("--only", nargs="+", metavar="NAME", default=[], help="these ranges alone")
    one.add_argument("--workers", type=a_count, default=os.cpu_count() or 1, metavar="N",
                     help="processes at once (as many as there are processors)")  # fmt: skip
    one.add_argument("--scheduler", default="", metavar="ADDRESS", help="of a Dask scheduler, instead of processes")
    one.add_argument("--time-out", type=a_count, default=900, metavar="SECONDS", help="for one forecast (900)")


def _match(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, match_tables, match_terminal

    api.prepare_workers(asked.workers, asked.scheduler)
    case, style = open_case(asked)
    found = _run(asked, case)
    written = api.write_match(found, asked.out, style.system)
    save_table(asked, match_tables.series_table(found, style))
    if asked.json:
        document = match_tables.match_document(found, style.system)
        print(documents.to_json({**document, "case": str(written)}))
        return 0
    match_terminal.show_match(console(), found, style)
    print(f"The matched case, draws.csv and match.html are in {written.parent}. Ranges of what follows from it:")
    for verb in ("ensemble", "compare", "cure", "blanks"):
        print(f"  blankwise {verb} {written.parent} --draws {written.parent}")
    return 0


def _run(asked: Arguments, case: Case) -> Match:
    from planner import api

    api.match_folder_is_free(asked.out)
    with working() as work:
        return api.match(
            case, method=asked.method, members=asked.members, seed=asked.seed, rounds=asked.rounds,
            localise=asked.localise, prior=not asked.no_prior, only=tuple(asked.only), workers=asked.workers,
            scheduler=asked.scheduler, time_out=float(asked.time_out), progress=work.tell, cancelled=work.cancelled,
        )  # fmt: skip

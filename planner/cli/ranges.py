"""Verbs on what is not known for sure: ensemble."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.base.errors import CaseError, Problem
from planner.cli.grammar import Arguments, a_count, add_verb, console, open_case, save_table, working

if TYPE_CHECKING:
    from planner.model.case import Case
    from planner.model.ensemble import Findings

DESIGNS = ("latin hypercube", "sobol", "random")


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(verbs, "ensemble", _ensemble, "ranges of every answer over what is uncertain", tables=True)
    one.add_argument("--members", type=a_count, default=1000, metavar="N", help="how many draws (1000)")
    one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="another seed, other draws (1)")
    one.add_argument("--design", choices=DESIGNS, default=DESIGNS[0], help="how to draw (latin hypercube)")
    one.add_argument(
        "--draws",
        type=Path,
        metavar="FILE",
        help="CSV or Parquet table of draws, a row a member, or the folder of a match",
    )
    one.add_argument("--only", "--what-if", nargs="+", metavar="NAME", dest="only", help="these what-ifs alone")
    one.add_argument("--about", default="base", metavar="NAME", help="the what-if whose drivers are told (base)")
    one.add_argument("--swings", choices=("members", "runs"), default="members",
                     help="tornado from the members, or from runs of its own")  # fmt: skip
    one.add_argument("--variance-shares", type=a_count, default=0, metavar="POINTS",
                     help="shares of the variance from POINTS x (inputs + 2) runs of their own")  # fmt: skip
    one.add_argument("--workers", type=a_count, default=os.cpu_count() or 1, metavar="N",
                     help="processes at once (as many as there are processors)")  # fmt: skip
    one.add_argument("--scheduler", default="", metavar="ADDRESS", help="of a Dask scheduler, instead of processes")
    one.add_argument("--folder", type=Path, metavar="DIR", help="where members are kept (NAME-ensemble)")
    one.add_argument("--fresh", action="store_true", help="throw away what the folder holds of another ensemble")
    one.add_argument("--time-out", type=a_count, default=900, metavar="SECONDS", help="for one member (900)")
    one.add_argument("--report", type=Path, metavar="FILE.html", help="write an HTML report too")


def a_seed(text: str) -> int:
    """A whole number of at least 0 as an argument. Raises ArgumentTypeError."""
    if not text.isdecimal():
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of at least 0")
    return int(text)


def _ensemble(asked: Arguments) -> int:
    from planner import api
    from planner.report import ensemble_documents, ensemble_tables, ensemble_terminal
    from planner.report.documents import to_json

    api.prepare_workers(asked.workers, asked.scheduler)
    case, style = open_case(asked)
    found = _run(asked, case)
    save_table(asked, ensemble_tables.ranges_table(found, style))
    api.keep_chapter(found, found.ensemble.folder, style.system, case)
    written = {}
    if asked.report:
        written = {"report": str(api.write_page(found, asked.report, style.system, case))}
    if asked.json:
        document = ensemble_documents.ensemble_document(found, style.system, case.economics.currency)
        print(to_json({**document, **written}))
        return 0
    ensemble_terminal.show_ensemble(console(), found, style)
    if written:
        print(f"The report is in {written['report']}.")
    return 0


def _run(asked: Arguments, case: Case) -> Findings:
    from planner import api

    there = ["base", *(asked.only or [one.name for one in case.what_ifs])]
    if asked.about not in there:
        message, remedy = "no what-if of the ensemble has this name", f"There: {', '.join(there)}."
        raise CaseError([Problem("", "about", asked.about, message, remedy)])
    with working() as work:
        made = api.ensemble(
            case, asked.members, seed=asked.seed, names=asked.only, design=asked.design, draws=asked.draws,
            folder=asked.folder or Path(f"{_name(asked.case)}-ensemble"), workers=asked.workers,
            scheduler=asked.scheduler, time_out=float(asked.time_out), fresh=asked.fresh, progress=work.tell,
            cancelled=work.cancelled,
        )  # fmt: skip
        return api.findings(
            made, asked.about, case=case, swings=asked.swings, variance_points=asked.variance_shares,
            workers=asked.workers, scheduler=asked.scheduler, progress=work.tell, cancelled=work.cancelled,
        )  # fmt: skip


def _name(case: str) -> str:
    """Name of a case's folder, or of its file where it goes by another name than case.toml."""
    path = Path(case).resolve()
    return path.parent.name if path.name == "case.toml" else path.stem if path.suffix else path.name

"""Verbs that come before the string is run: suit, split."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.cli.grammar import Arguments, a_count, add_verb, console, open_case, save_table, tell_compiling, working
from planner.cli.ranges import a_seed

if TYPE_CHECKING:
    from planner.model.split import Wish
    from planner.model.split_results import SplitResult


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(verbs, "suit", _suit, "whether hole and sand suit the kinds of completion", tables=True)
    one.add_argument("--all", action="store_true", help="all reasons, not those against alone")
    text = "the hole foot by foot against every range, in place of the reasons (--csv, --parquet: that table)"
    one.add_argument("--by", choices=("foot",), help=text)
    one.add_argument("--figure", type=Path, metavar="FILE.html", help="draw hole, seats, grains and strength by depth")
    one = add_verb(verbs, "split", _split, "the best split into zones: seals and blanks on whole joints", tables=True)
    wish = "such as 'seal Fern / Moss', 'seal 7054 ft to 7064 ft', 'blank 2100 m to 2110 m'"
    one.add_argument("--pin", nargs="+", type=a_wish, default=[], metavar="PIECE", help=f"has to be there: {wish}")
    one.add_argument("--forbid", nargs="+", type=a_wish, default=[], metavar="PIECE", help="may not be there")
    text = "value over so many draws of the case's ranges (none: the case as it is)"
    one.add_argument("--members", type=a_count, default=0, metavar="N", help=text)
    one.add_argument("--seed", type=a_seed, default=1, metavar="S", help="another seed, other draws (1)")
    text = "draws of your own, such as those of match, a row a member (--members: of the first so many)"
    one.add_argument("--draws", type=Path, metavar="FILE", help=text)
    one.add_argument("--processes", type=a_count, default=1, metavar="N", help="forecasts at once (1)")
    one.add_argument("--out", type=Path, metavar="FOLDER", help="write the case with the proposed string there")
    one.add_argument("--figure", type=Path, metavar="FILE.html", help="draw the string by depth, and value by seals")
    one.add_argument("--save-values", type=Path, metavar="FOLDER", help="write values.csv and pay.csv for [split]")


def a_wish(text: str) -> Wish:
    """A piece of the string as an argument. Raises ArgumentTypeError."""
    from planner.io.wishes import wish_of

    try:
        return wish_of(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _suit(asked: Arguments) -> int:
    from planner import api
    from planner.io.write import replace_text
    from planner.report import documents, plan_terminal, suitability_document, suitability_figures, suitability_tables
    from planner.report.figure_page import figure_page
    from planner.report.tables import keys_for

    case, style = open_case(asked)
    tell_compiling()
    found = api.suit(case)
    keys = keys_for(style.system)
    feet = suitability_tables.hole_table(found, keys) if asked.by else None
    save_table(asked, suitability_tables.reasons_table(found.reasons, keys) if feet is None else feet)
    if asked.figure:
        replace_text(asked.figure, figure_page(suitability_figures.suitability_figure(found, case, style)))
    if asked.json:
        print(documents.to_json(suitability_document.suitability_document(found, style.system)))
    elif asked.by:
        plan_terminal.show_hole(console(), found, style)
    else:
        plan_terminal.show_suitability(console(), found, style, asked.all)
    return 0


def _split(asked: Arguments) -> int:
    from planner import api
    from planner.io.write import replace_text
    from planner.report import documents, plan_terminal, split_document, split_figures, split_tables
    from planner.report.figure_page import figure_page
    from planner.report.tables import keys_for

    case, style = open_case(asked)
    with working() as work:
        found = api.split(
            case, asked.pin, asked.forbid, members=asked.members, seed=asked.seed, draws=asked.draws,
            processes=asked.processes, progress=work.tell, cancelled=work.cancelled,
        )  # fmt: skip
    save_table(asked, split_tables.tally_table(found, keys_for(style.system)))
    if asked.figure:
        drawn = split_figures.string_figure(found, style), split_figures.seals_figure(found, style)
        replace_text(asked.figure, figure_page(*drawn))
    if asked.save_values:
        _save_values(asked.save_values, found)
    if asked.out:
        api.write_case(found.case, asked.out)
    if asked.json:
        print(documents.to_json(split_document.split_document(found, style.system)))
    else:
        plan_terminal.show_split(console(), found, style)
        if asked.out:
            print(f"The case with this string is in {asked.out}. Next: blankwise check {asked.out}")
    return 0


def _save_values(folder: Path, found: SplitResult) -> None:
    """values.csv and pay.csv as [split] of a case takes them, so that the forecasts need not run again."""
    from planner.io.wishes import values_text

    folder.mkdir(parents=True, exist_ok=True)
    for name, text in values_text(found).items():
        (folder / name).write_text(text, encoding="utf-8")

"""Verbs that come before the string is run: suit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from planner.cli.grammar import Arguments, add_verb, console, open_case, save_table, tell_compiling


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(verbs, "suit", _suit, "whether hole and sand suit the kinds of completion", tables=True)
    one.add_argument("--all", action="store_true", help="all reasons, not those against alone")
    one.add_argument("--figure", type=Path, metavar="FILE.html", help="draw hole, seats, grains and strength by depth")


def _suit(asked: Arguments) -> int:
    from planner import api
    from planner.io.write import replace_text
    from planner.report import documents, plan_terminal, suitability_document, suitability_figures, suitability_tables
    from planner.report.figure_page import figure_page
    from planner.report.tables import keys_for

    case, style = open_case(asked)
    tell_compiling()
    found = api.suit(case)
    save_table(asked, suitability_tables.reasons_table(found.reasons, keys_for(style.system)))
    if asked.figure:
        replace_text(asked.figure, figure_page(suitability_figures.suitability_figure(found, case, style)))
    if asked.json:
        print(documents.to_json(suitability_document.suitability_document(found, style.system)))
    else:
        plan_terminal.show_suitability(console(), found, style, asked.all)
    return 0

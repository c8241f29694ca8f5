"""Verbs on data files alone: inspect."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from planner.cli.grammar import Arguments, add_verb, console


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(
        verbs, "inspect", _inspect, "what a LAS log or a table of measurements holds, and what is odd", case=""
    )
    one.add_argument("files", metavar="FILE", nargs="+", type=Path, help="LAS log, or CSV table of measurements")
    one.add_argument("--date-format", choices=("day first", "month first", "excel 1904"), help="of dates in a table")
    one.add_argument("--decimal", choices=("point", "comma"), help="decimal mark of a table")
    one.add_argument("--rates", choices=("of the day", "calendar day", "producing day"), help="what rates are means of")
    one.add_argument("--dates", choices=("start of period", "end of period"), help="where a date stands in its time")
    one.add_argument("--well", default="", metavar="NAME", help="rows of this well alone")


def _inspect(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents
    from planner.report.data_files import facts_document, show_facts

    names = ("date_format", "decimal", "rates", "dates", "well")
    options = {name: getattr(asked, name) for name in names if getattr(asked, name)}
    found = [api.inspect(path, **options) for path in asked.files]
    if asked.json:
        print(documents.to_json({"files": [facts_document(facts) for facts in found]}))
    else:
        for facts in found:
            show_facts(console(), facts)
    return 0

"""Verbs on one well: check, flow, forecast."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from planner.cli.grammar import Arguments, a_date, add_verb, console, open_case, save_table, tell_compiling, working

if TYPE_CHECKING:
    import pandas as pd

    from planner.base.units import UnitSystem
    from planner.model.results import Forecast


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    add_verb(verbs, "check", _check, "read a case: zones, what can shut them, warnings")
    one = add_verb(verbs, "flow", _flow, "flow along the string at an instant", tables=True, what_if=True)
    one.add_argument("--on", type=a_date, metavar="DATE", help="as 2031-06-01; without it the start of the schedule")
    one.add_argument("--depth", choices=("md", "tvd"), default="md", help="depth of the views: measured, true vertical")
    one = add_verb(verbs, "forecast", _forecast, "life of the well under one what-if", tables=True, what_if=True)
    one.add_argument("--until", type=a_date, metavar="DATE", help="stop here instead of the schedule's end")
    kinds = ("well", "zone", "layer", "piece", "limit")
    one.add_argument("--by", choices=kinds, default="well", help="rows of --csv and --parquet")


def _check(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, terminal
    from planner.report.data_files import warnings_of

    case, style = open_case(asked)
    description, refused = api.describe(case), api.refusals(case)
    told = warnings_of(api.data_files(asked.case))
    description = replace(description, warnings=(*told, *description.warnings))
    if asked.json:
        print(documents.to_json(documents.check_document(case, description, refused, style.system)))
    else:
        terminal.show_check(console(), case, description, refused, style)
    return 0


def _flow(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, tables, terminal

    case, style = open_case(asked)
    tell_compiling()
    found = api.flow(case, asked.what_if, asked.on)
    save_table(asked, tables.profile_table(found, tables.keys_for(style.system)))
    if asked.json:
        print(documents.to_json(documents.flow_document(found, style.system)))
    else:
        terminal.show_flow(console(), found, style, asked.depth)
    return 0


def _forecast(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, terminal

    case, style = open_case(asked)
    with working() as work:
        found = api.forecast(case, asked.what_if, progress=work.tell, cancelled=work.cancelled, until=asked.until)
    save_table(asked, _forecast_table(found, asked.by, style.system))
    if asked.json:
        print(documents.to_json(documents.forecast_document(found, style.system)))
    else:
        terminal.show_forecast(console(), found, style)
    return 0


def _forecast_table(found: Forecast, rows: str, system: UnitSystem) -> pd.DataFrame:
    from planner.report import along_tables, tables

    make = {
        "well": tables.well_table, "zone": tables.zone_table, "layer": tables.layer_table,
        "piece": along_tables.piece_table, "limit": along_tables.limit_table,
    }[rows]  # fmt: skip
    return make(found, tables.keys_for(system))

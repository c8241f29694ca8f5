"""A table of the case as a grid: cells edited, rows added and taken out, cells of a spreadsheet pasted.

A good change is a new revision at once; a faulty one is kept as typed, its faults at the cells and in words above.
"""

from __future__ import annotations

from typing import Any

import dash
import dash_ag_grid as dag
import dash_mantine_components as dmc
from dash import Input, Output, State, ctx, html, no_update

from dashboard import forms, ids, session, tables
from dashboard.events import BadInput
from dashboard.forms import Field
from dashboard.house import House, Visit
from dashboard.measure import System
from dashboard.session import BadCase
from dashboard.shelf import NotYours
from dashboard.tables import BAD, TABLES, BadCells, Table
from planner.model.case import Case

Json = dict[str, Any]
GRID, ADD, DROP, PASTE, PASTE_ADD, PASTE_ALL, DRAWN = (
    "input-grid", "input-add", "input-drop", "input-paste", "input-paste-add", "input-paste-all",
    "input-drawn",
)  # fmt: skip


def column_defs(fields: list[Field], system: System) -> list[Json]:
    """Columns of the grid: unit in the header, faulty cells marked with the reader's own words."""
    made = []
    for field in fields:
        one: Json = {
            "field": field.path,
            "headerName": _header(field, system),
            "headerTooltip": field.meaning,
            "editable": True,
            "width": 96 if field.kind != "text" else 128,
            "cellClassRules": {"bad-cell": f"params.data.{BAD} && params.data.{BAD}['{field.path}']"},
            "tooltipValueGetter": {"function": f"params.data.{BAD} ? params.data.{BAD}['{field.path}'] : ''"},
        }
        if field.kind in ("choice", "yes or no"):
            given = [*field.choices] if field.required else ["", *field.choices]
            one |= {"cellEditor": "agSelectCellEditor", "cellEditorParams": {"values": given}, "width": 120}
        if field.kind in ("number", "whole"):
            one["type"] = "rightAligned"
        made.append(one)
    if made:
        made[0] |= {"pinned": "left", "width": 132}
    return made


def _header(field: Field, system: System) -> str:
    inside = field.path.rpartition(".")[0].replace("_", " ")
    return f"{field.label(system)}" + (f" ({inside})" if inside else "")


def body(visit: Visit, table: Table) -> list[Any]:
    """A grid with its tools."""
    fields = table.fields(forms.choices_of(visit.case, visit.told))
    small = {"n_clicks": 0, "size": "compact-xs", "variant": "light"}
    return [
        dag.AgGrid(
            id=GRID,
            rowData=tables.rows(visit.case, table, fields, visit.system),
            columnDefs=column_defs(fields, visit.system),
            defaultColDef={
                "resizable": True, "wrapHeaderText": True, "autoHeaderHeight": True, "suppressMovable": True,
                "sortable": False,
            },
            dashGridOptions={
                "suppressFieldDotNotation": True, "tooltipShowDelay": 100,
                "rowSelection": {
                    "mode": "multiRow", "checkboxes": True, "headerCheckbox": False, "enableClickSelection": False,
                },
                "stopEditingWhenCellsLoseFocus": True, "singleClickEdit": False, "enterNavigatesVertically": True,
                "enterNavigatesVerticallyAfterEdit": True, "undoRedoCellEditing": True,
                "rowHeight": 28, "animateRows": False,
            },
            className="ag-theme-quartz blankwise-grid",
            style={"height": "100%", "width": "100%"},
        ),
        html.Div(
            [
                dmc.Button("Add a row", id=ADD, **small),
                dmc.Button("Take out the ticked rows", id=DROP, **small),
                html.Span("Double-click or Enter to edit; a number may carry a unit of its own.", className="quiet"),
            ],
            className="chart-tools",
        ),
        html.Div(
            [
                dmc.Textarea(
                    id=PASTE, value="", autosize=True, minRows=1, maxRows=5, size="xs", className="paste",
                    placeholder="Paste cells of a spreadsheet here, with or without a line of headers",
                    attributes={"input": {"aria-label": "Cells of a spreadsheet"}},
                ),
                dmc.Button("Put below", id=PASTE_ADD, **small),
                dmc.Button("Put in place of all rows", id=PASTE_ALL, **small),
            ],
            className="chart-tools",
        ),
    ]  # fmt: skip


def register(app: dash.Dash, house: House, section: str, said: str) -> None:
    """Rows follow the case, and the case the rows. section: of the store with the part in hand; said: of the words."""

    @app.callback(
        Output(GRID, "rowData", allow_duplicate=True),
        Input(ids.HERE, "data"),
        State(section, "data"),
        State(ids.LOOK, "data"),
        State(GRID, "virtualRowData"),
        prevent_initial_call=True,
    )
    def refresh(here: Json | None, part: str, look: Json | None, shown: list[Json] | None) -> Any:
        visit = house.visit(here, look)
        if visit is None or part not in TABLES:
            return no_update
        table = TABLES[part]
        fields = table.fields(forms.choices_of(visit.case, visit.told))
        rows = tables.rows(visit.case, table, fields, visit.system)
        return no_update if tables.alike(rows, shown or [], fields) else rows  # a cell may be open for typing

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(GRID, "rowData"),
        Output(said, "children", allow_duplicate=True),
        Input(GRID, "cellValueChanged"),
        Input(ADD, "n_clicks"),
        Input(DROP, "n_clicks"),
        Input(PASTE_ADD, "n_clicks"),
        Input(PASTE_ALL, "n_clicks"),
        State(GRID, "virtualRowData"),
        State(GRID, "rowData"),
        State(GRID, "selectedRows"),
        State(PASTE, "value"),
        State(section, "data"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def edit(edits: Any, *given: Any) -> tuple[Any, Any, Any]:
        virtual, held, picked, text, part, here, look = given[-7:]
        visit = house.visit(here, look)
        asked = ctx.triggered_id
        if visit is None or part not in TABLES or not ctx.triggered[0]["value"]:
            return no_update, no_update, no_update
        table = TABLES[part]
        fields = table.fields(forms.choices_of(visit.case, visit.told))
        now = list(held if asked == GRID else (virtual or held or []))
        if asked == GRID:
            now = with_edits(now, edits)
        try:
            if asked == ADD:
                new_row = {tables.AT: None, BAD: {}, **dict.fromkeys([f.path for f in fields], "")}
                return no_update, [*now, new_row], "Fill the new row; it counts once it is complete."
            if asked == DROP:
                now = [row for row in now if row not in (picked or [])]
            if asked in (PASTE_ADD, PASTE_ALL):
                new = tables.pasted(text or "", fields, visit.system)
                now = [*now, *new] if asked == PASTE_ADD else new
            return take(house, here, visit, table, now, fields)
        except BadInput as word:
            return no_update, no_update, str(word)


def with_edits(held: list[Json], edits: list[Json]) -> list[Json]:
    """The rows with edited cells put in, whether the grid has told them already or not."""
    made = [dict(row) for row in held]
    for one in edits or []:
        at = one.get("rowIndex")
        if isinstance(at, int) and at < len(made):
            made[at] |= {key: value for key, value in one["data"].items() if key not in (BAD, tables.AT)}
    return made


def take(
    house: House, here: Json, visit: Visit, table: Table, now: list[Json], fields: list[Field]
) -> tuple[Any, Any, Any]:
    """Check an edited table; a good one becomes a revision, a faulty one is shown with its faults and kept as typed."""
    try:
        document = tables.document(visit.case, table, now, fields, visit.system)
        case = session.case_from(document)
    except BadCells as bad:
        return no_update, tables.marked(now, bad.cells), _faults(bad.cells, [])
    except BadCase as bad:
        cells, rest = tables.cells_of(bad.problems, table, now)
        return no_update, tables.marked(now, cells), _faults(cells, rest)
    told = tables.changed(table, tables.rows(visit.case, table, fields, visit.system), now, fields, visit.system)
    return apply(house, here, case, told)


def apply(house: House, here: Json, case: Case, told: str) -> tuple[Any, Any, Any]:
    """Put a case under the project: (where the tab is then, no change of rows, what hinders)."""
    try:
        session.describe(case)
        return house.apply(here, {"do": "set case", "case": case, "told": told}), no_update, ""
    except (NotYours, BadCase) as word:
        return no_update, no_update, str(word)


def _faults(cells: dict[tuple[int, str], str], rest: list[str]) -> Any:
    """What is wrong, in words; the same words stand at the cells."""
    lines = [f"Row {at + 1}, {path.replace('_', ' ')}: {text}" for (at, path), text in cells.items()] + rest
    return [html.B("Not taken over yet. "), html.Ul([html.Li(text) for text in lines])]

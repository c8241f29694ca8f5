"""The inputs of the case: tables and forms, checked by the reader of case files; a good change is a new revision."""

from __future__ import annotations

from typing import Any

import dash
import dash_ag_grid as dag
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import forms, ids, records, session, tables
from dashboard.events import BadInput
from dashboard.forms import Field
from dashboard.house import House, Visit
from dashboard.measure import System
from dashboard.pages.page import Page
from dashboard.session import BadCase
from dashboard.shelf import NotYours
from dashboard.tables import BAD, FORMS, TABLES, BadCells, Table
from dashboard.widgets import form
from planner.model.case import Case

Json = dict[str, Any]
OWNER = "case"
SECTION, BODY, GRID, SAID, ADD, DROP, PASTE, PASTE_ADD, PASTE_ALL, KEEP, DOWN, DOWNLOAD, WARNED = (
    "input-section", "input-body", "input-grid", "input-said", "input-add", "input-drop", "input-paste",
    "input-paste-add", "input-paste-all", "input-keep", "input-down", "input-download", "input-warned",
)  # fmt: skip
ASIDE = {"well": ("survey", "hole")}  # fields of a form that are tables of their own


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    names = [{"value": t.key, "label": t.title} for t in TABLES.values()]
    names += [{"value": key, "label": title} for key, title in FORMS.items()]
    warnings = visit.told.warnings
    told = [
        html.Summary(f"{len(warnings)} warning{'s' * (len(warnings) != 1)} about this case"),
        *map(html.P, warnings),
    ]
    return html.Div(
        [
            html.Div(
                [
                    dmc.SegmentedControl(
                        id=SECTION, data=names, value="layers", size="xs", persistence=True, orientation="vertical",
                        attributes={"root": {"aria-label": "Part of the case"}},
                    ),
                    dmc.Button("Case files (ZIP)", id=DOWN, n_clicks=0, size="compact-xs", variant="light"),
                    dcc.Download(id=DOWNLOAD),
                ],
                className="input-sections",
            ),
            html.Section(
                [
                    html.Div(id=SAID, className="problems", role="alert"),
                    html.Div(table_body(visit, TABLES["layers"]), id=BODY, className="input-body"),
                    html.Details(told, className="cautions", id=WARNED) if warnings else html.Div(id=WARNED),
                ],
                className="sheet pad inputs-sheet",
                **{"aria-label": "Inputs"},
            ),
        ],
        className="inputs",
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


def table_body(visit: Visit, table: Table) -> list[Any]:
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


def form_body(visit: Visit, section: str) -> list[Any]:
    """A form with its button."""
    fields = form_fields(visit.case, section, visit)
    raw = records.exact(visit.case).get(section) or {}
    what = (_record(section).__doc__ or "").split("\n")[0]
    return [
        html.Div([html.P(what, className="hint"), *form.inputs(OWNER, fields, raw, visit.system)], className="scroll"),
        html.Div(dmc.Button("Keep these", id=KEEP, n_clicks=0, size="compact-sm"), className="chart-tools"),
    ]


def _record(section: str) -> Any:
    kind = Case.model_fields[section].annotation
    return forms.plain_type(kind)


def form_fields(case: Case, section: str, visit: Visit) -> list[Field]:
    """The fields of a section of the case."""
    return forms.fields_of(_record(section), forms.choices_of(case, visit.told), skip=ASIDE.get(section, ()))


def new_form(visit: Visit, section: str, typed: Json) -> Json:
    """The case document with a section as typed; what the form does not show stays. Raises BadInput."""
    document = records.exact(visit.case)
    fields = form_fields(visit.case, section, visit)
    raw = document.get(section) or {}
    kept = {name: raw[name] for name in ASIDE.get(section, ()) if name in raw}
    made = _untouched(raw, fields, typed, visit.system)
    document[section] = {**made, **kept}
    if not made and section == "tubing":
        document.pop(section)
    return document


def _untouched(raw: Json, fields: list[Field], typed: Json, system: System) -> Json:
    """What was typed as JSON; a field that shows what is held keeps its number exactly."""
    made = forms.read(fields, typed, system)
    for field in fields:
        old = forms.at(raw, field.path)
        if old is not None and tables.same(typed.get(field.path), forms.shown_value(field, old, system)):
            forms.put(made, field.path, old)
    return made


def register(app: dash.Dash, house: House) -> None:
    """Sections, edits, paste, files."""
    _show(app, house)
    _edit(app, house)
    _keep(app, house)

    @app.callback(Output(DOWNLOAD, "data"), Input(DOWN, "n_clicks"), State(ids.HERE, "data"), prevent_initial_call=True)
    def download(clicks: int, here: Json | None) -> Any:
        visit = house.visit(here)
        if not clicks or visit is None:
            return no_update
        return dcc.send_bytes(session.case_as_zip(visit.case), f"{visit.case.well.name}.zip")


def _show(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(BODY, "children"),
        Output(SAID, "children"),
        Input(SECTION, "value"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
    )
    def show(section: str, here: Json | None, look: Json | None) -> tuple[Any, Any]:
        visit = house.visit(here, look)
        if visit is None:
            return no_update, no_update
        if section not in TABLES:
            return form_body(visit, section), ""
        return (no_update if ctx.triggered_id == ids.HERE else table_body(visit, TABLES[section])), ""

    @app.callback(
        Output(GRID, "rowData", allow_duplicate=True),
        Input(ids.HERE, "data"),
        State(SECTION, "value"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def refresh(here: Json | None, section: str, look: Json | None) -> Any:
        visit = house.visit(here, look)
        if visit is None or section not in TABLES:
            return no_update
        table = TABLES[section]
        return tables.rows(visit.case, table, table.fields(forms.choices_of(visit.case, visit.told)), visit.system)


def _edit(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(GRID, "rowData"),
        Output(SAID, "children", allow_duplicate=True),
        Input(GRID, "cellValueChanged"),
        Input(ADD, "n_clicks"),
        Input(DROP, "n_clicks"),
        Input(PASTE_ADD, "n_clicks"),
        Input(PASTE_ALL, "n_clicks"),
        State(GRID, "virtualRowData"),
        State(GRID, "rowData"),
        State(GRID, "selectedRows"),
        State(PASTE, "value"),
        State(SECTION, "value"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def edit(edits: Any, *given: Any) -> tuple[Any, Any, Any]:
        virtual, held, picked, text, section, here, look = given[-7:]
        visit = house.visit(here, look)
        asked = ctx.triggered_id
        if visit is None or section not in TABLES or not ctx.triggered[0]["value"]:
            return no_update, no_update, no_update
        table = TABLES[section]
        fields = table.fields(forms.choices_of(visit.case, visit.told))
        now = list(held if asked == GRID else (virtual or held or []))
        if asked == GRID:
            now = with_edits(now, edits)
        try:
            if asked == ADD:
                return no_update, [*now, {tables.AT: None, BAD: {}, **dict.fromkeys([f.path for f in fields], "")}], (
                    "Fill the new row; it counts once it is complete.")  # fmt: skip
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
    return _apply(house, here, case, told)


def _apply(house: House, here: Json, case: Case, told: str) -> tuple[Any, Any, Any]:
    try:
        session.describe(case)
        return house.apply(here, {"do": "set case", "case": case, "told": told}), no_update, ""
    except (NotYours, BadCase) as word:
        return no_update, no_update, str(word)


def _faults(cells: dict[tuple[int, str], str], rest: list[str]) -> Any:
    """What is wrong, in words; the same words stand at the cells."""
    lines = [f"Row {at + 1}, {path.replace('_', ' ')}: {text}" for (at, path), text in cells.items()] + rest
    return [html.B("Not taken over yet. "), html.Ul([html.Li(text) for text in lines])]


def _keep(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(form.form_field(OWNER, ALL), "error"),
        Output(SAID, "children", allow_duplicate=True),
        Input(KEEP, "n_clicks"),
        State(SECTION, "value"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def keep(clicks: int, section: str, values: Any, names: Any, here: Json, look: Json | None) -> tuple[Any, Any, Any]:
        visit = house.visit(here, look)
        if not clicks or visit is None or section not in FORMS:
            return no_update, [no_update] * len(names), no_update
        try:
            case = session.case_from(new_form(visit, section, form.typed(names, values)))
        except BadInput as bad:
            return no_update, form.errors_at(names, bad.field, str(bad)), ""
        except BadCase as bad:
            return no_update, *_at_fields(bad, section, names)
        after, _, said = _apply(house, here, case, f"{FORMS[section]} changed")
        return after, [None] * len(names), said


def _at_fields(bad: BadCase, section: str, names: list[Json]) -> tuple[list[Any], Any]:
    """Each problem of the reader at its field, the others in a list."""
    errors: list[Any] = [None] * len(names)
    rest = []
    for problem in bad.problems:
        sentence = f"{problem['message'][:1].upper()}{problem['message'][1:]}. {problem['remedy']}"
        found = form.errors_at(names, problem["place"].removeprefix(f"{section}."), sentence)
        if not any(found) or not problem["place"].startswith(section):
            rest.append(f"{problem['place']}: {sentence}")
        errors = [old or new for old, new in zip(errors, found, strict=True)]
    return errors, html.Ul([html.Li(text) for text in rest]) if rest else ""


PAGE = Page(
    "inputs",
    "Inputs",
    "The case",
    layout,
    register,
    later=lambda visit: form_body(visit, "limits"),
    says="Layers, string, survey, fluid, controls, prices.",
)

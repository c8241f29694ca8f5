"""A file of the user's, read in front of his eyes: what it holds, what was odd, and then into the case.

A table of measurements becomes measurements; a log becomes layers by cut-offs, hole sizes, or sonic slowness.
"""

from __future__ import annotations

import base64
import binascii
import math
import uuid
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import data_files, forms, ids, records, session
from dashboard.data_files import CURVES, CUTS
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.measure import amount
from dashboard.session import BadCase
from dashboard.widgets import form, grid
from planner.model.case import Case
from planner.model.data_facts import ColumnFacts, FileFacts

Json = dict[str, Any]
PART = "file"
FILE, UPLOAD, PASTED, PASTE, REPORT, TAKE, SAID, INTO, STYLE = (
    "data-file", "data-upload", "data-pasted", "data-paste", "data-report", "data-take", "data-said", "data-into",
    "data-style",
)  # fmt: skip
OWNER = "cut-off"
WHAT = (
    "Bring a table of measurements (CSV: rates, pressures, production logs) or a well log (LAS). It is read first and "
    "shown with all that is odd in it; nothing changes in the case until you say so."
)
HOWS = {
    "date_format": ("Dates", ("day first", "month first", "excel 1904")),
    "decimal": ("Decimal mark", ("point", "comma")),
    "rates": ("Rates are means of", ("of the day", "calendar day", "producing day")),
    "dates": ("A date stands at the", ("start of period", "end of period")),
    "layout": ("Layout", ("long", "wide")),
}
OF_LOG = {"hole": ("well", "hole"), "strengths": ("suitability", "strengths")}


def how(key: Any) -> Json:
    """An option of reading a table."""
    return {"type": "data-how", "key": key}


def error_of(kind: Any) -> Json:
    """The error of a kind of measurement that has none yet."""
    return {"type": "data-error", "kind": kind}


def curve_of(key: Any) -> Json:
    """Which curve of a log holds what."""
    return {"type": "data-curve", "key": key}


def take(what: Any) -> Json:
    """A button that takes what was read into the case."""
    return {"type": "data-take-it", "what": what}


def body(visit: Visit) -> list[Any]:
    """Ways to bring a file, and the places of what it holds."""
    choose = dcc.Upload(
        dmc.Button("Choose a file, or drop it here", variant="light", size="compact-sm"),
        id=UPLOAD, className="upload", max_size=10 * 1024 * 1024,
    )  # fmt: skip
    paste = dmc.Textarea(
        id=PASTED, value="", autosize=True, minRows=1, maxRows=4, size="xs", className="paste",
        placeholder="or paste the cells of a spreadsheet here, with their line of headers",
        attributes={"input": {"aria-label": "Cells of a spreadsheet with measurements"}},
    )  # fmt: skip
    return [
        html.Div(
            [
                dcc.Store(id=FILE),
                html.P(WHAT, className="hint"),
                html.Div(
                    [choose, paste, dmc.Button("Read what is pasted", id=PASTE, n_clicks=0, size="compact-sm",
                                               variant="light")],
                    className="chart-tools",
                ),
                html.Div(id=STYLE),
                html.Div(id=REPORT),
                html.Div(id=TAKE),
                html.Div(id=SAID, role="alert", className="problems"),
            ],
            className="scroll data-file",
        )
    ]  # fmt: skip


def options(name: str) -> Any:
    """What a table may leave open: how it is to be read."""
    if data_files.is_log(name):
        return ""
    picks = [
        dmc.Select(id=how(key), label=label, data=[{"value": "", "label": "as the table says"}, *words], value="",
                   size="xs", w=150, allowDeselect=False)
        for key, (label, words) in HOWS.items()
    ]  # fmt: skip
    return html.Div(picks, className="chart-tools low")


def report(facts: FileFacts) -> list[Any]:
    """Form, span, columns and remarks of a file."""
    head = html.Tr([html.Th(text) for text in ("Column", "Unit", "Read as", "Missing", "Least", "Most")])
    rows = [html.Tr([html.Td(cell) for cell in _cells(column)]) for column in facts.columns]
    odd = [html.Li(f"{one.place}: {one.message}. {one.remedy}") for one in facts.remarks]
    return [
        html.H3(f"{facts.name}: {facts.form}"),
        html.P(f"{facts.samples} lines, {facts.span}", className="quiet"),
        html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words"),
        html.H3("What was odd", className="gap-above") if odd else html.P("Nothing odd was found.", className="quiet"),
        html.Ul(odd, className="odd") if odd else "",
    ]


def _cells(column: ColumnFacts) -> list[str]:
    def text(value: float) -> str:
        return f"{value:.6g}" if math.isfinite(value) else "\u2013"

    read = column.description or column.kind
    return [column.name, column.unit, read, f"{100 * column.missing:.3g} %", text(column.least), text(column.most)]


def problems(bad: BadCase) -> Any:
    """Why a file cannot be read or taken, every reason."""
    lines, many = data_files.sentences(bad), len(bad.problems)
    count = f"{many} thing{'s' * (many != 1)} to settle first"
    return html.Div([html.B(count), html.Ul([html.Li(line) for line in lines])], className="problems")


def for_table(visit: Visit, house: House, name: str, typed: Json) -> Any:
    """What the table gives this case, errors that are lacking, and the buttons that take it."""
    rows = data_files.rows_of(visit, house.drawer.place(visit.project.id), name, typed)
    lacking = data_files.without_error(visit, rows)
    asks = [
        dmc.TextInput(id=error_of(kind), label=f"Error of {kind}", value="", size="xs", w=150, withAsterisk=True,
                      placeholder="such as 5 %" if data_files.ERRORS[kind].endswith("%") else "such as 0.02")
        for kind in lacking
    ]  # fmt: skip
    there = bool(visit.case.measured)
    hint = "One standard deviation of a number; the table gives none." if lacking else ""
    buttons = [dmc.Button("Take them into the case", id=take("instead"), n_clicks=0, size="compact-sm")]
    if there:
        buttons = [
            dmc.Button("Put them with those of the case", id=take("add"), n_clicks=0, size="compact-sm"),
            dmc.Button("Put them in place of those of the case", id=take("instead"), n_clicks=0, size="compact-sm",
                       variant="light"),
        ]  # fmt: skip
    parts = [html.H3(f"For {visit.case.well.name}"), html.P(data_files.told_of(rows)), html.P(hint, className="hint")]
    return [*parts, html.Div([*asks, *buttons], className="chart-tools low")]


def for_log(visit: Visit, facts: FileFacts) -> list[Any]:
    """What to make of a log: layers by cut-offs, or sizes of the hole."""
    names = [{"value": "", "label": "by its usual name"}, *[column.name for column in facts.columns]]
    pick = {"data": names, "value": "", "size": "xs", "allowDeselect": False}
    curves = [dmc.Select(id=curve_of(key), label=f"Curve of {key.replace('_', ' ')}", **pick) for key in CURVES]
    caliper = dmc.Select(id=curve_of("caliper"), label="Caliper, for hole size", **{**pick, "data": names[1:]})
    sonic = dmc.Select(id=curve_of("slowness"), label="Sonic, for rock strength", **{**pick, "data": names[1:]})
    small = {"n_clicks": 0, "size": "compact-sm"}
    unit = forms.Field("d", "number", "length").label(visit.system).partition(", ")[2]
    return [
        html.H3("Layers from this log", className="gap-above"),
        html.P("Rock that passes every cut-off is net; an empty cut-off does not count.", className="hint"),
        html.Div(curves, className="form-grid"),
        *form.inputs(OWNER, list(CUTS), {}, visit.system),
        dmc.Textarea(
            id={"type": INTO, "at": 0}, value=data_files.usual_intervals(visit), autosize=True, minRows=3, maxRows=8,
            size="xs",
            label=f"Intervals, one a line: {'; '.join(data_files.COLUMNS)}",
            description=f"depths along the hole and radius in {unit}; what stands last may be left out",
        ),
        html.Div([dmc.Button("Put these layers in place of the case's", id=take("layers"), **small)],
                 className="chart-tools"),
        html.H3("Other things in this log", className="gap-above"),
        html.Div(
            [caliper, dmc.Button("Take the hole size", id=take("hole"), variant="light", **small),
             sonic, dmc.Button("Take the slowness", id=take("strengths"), variant="light", **small)],
            className="chart-tools low",
        ),
    ]  # fmt: skip


def register(app: dash.Dash, house: House) -> None:
    """Bringing, reading, taking."""
    _bring(app, house)
    _read(app, house)
    _take(app, house)


def _bring(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(FILE, "data"),
        Output(STYLE, "children"),
        Output(SAID, "children"),
        Input(UPLOAD, "contents"),
        Input(PASTE, "n_clicks"),
        State(UPLOAD, "filename"),
        State(PASTED, "value"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def bring(contents: str | None, clicks: int, filename: str | None, pasted: str, here: Json | None) -> Any:
        visit = house.visit(here)
        if visit is None or not ctx.triggered[0]["value"]:
            return no_update, no_update, no_update
        if not visit.mine:
            return no_update, no_update, "This project belongs to another user: take a copy to change it."
        if ctx.triggered_id == PASTE:
            name, content = "pasted.csv", (pasted or "").encode()
        else:
            try:
                name, content = filename or "table.csv", base64.b64decode((contents or "").partition(",")[2])
            except (ValueError, binascii.Error):
                return no_update, no_update, "The file did not arrive whole; choose it again."
        if not content.strip():
            return None, "", f"{'There is nothing to read' if ctx.triggered_id == PASTE else f'{name} is empty'}."
        kept = house.drawer.put(visit.project.id, name, content)
        return {"name": kept, "turn": uuid.uuid4().hex}, options(kept), ""


def _read(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(REPORT, "children"),
        Output(TAKE, "children"),
        Input(FILE, "data"),
        Input(how(ALL), "value"),
        State(how(ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
    )
    def read(file: Json | None, values: Any, names: Any, here: Json | None, look: Json | None) -> tuple[Any, Any]:
        visit = house.visit(here, look)
        found = house.drawer.file(visit.project.id, (file or {}).get("name", "")) if visit else None
        if visit is None or found is None:
            return "", ""
        log = data_files.is_log(found.name)
        typed = {} if log else _typed(names, values)
        try:
            told = report(session.inspect(found, typed))
        except BadCase as bad:
            return [html.H3(f"{found.name} cannot be read yet"), problems(bad)], ""
        if log:
            return told, for_log(visit, session.inspect(found, {}))
        try:
            return told, for_table(visit, house, found.name, typed)
        except BadCase as bad:
            return told, [html.H3(f"It does not fit {visit.case.well.name} yet"), problems(bad)]


def _typed(names: Any, values: Any) -> Json:
    return {one["key"]: value for one, value in zip(names, values, strict=True) if value}


def _take(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Output(TAKE, "children", allow_duplicate=True),
        Output(form.form_field(OWNER, ALL), "error"),
        Input(take(ALL), "n_clicks"),
        State(FILE, "data"),
        State(how(ALL), "value"),
        State(how(ALL), "id"),
        State(error_of(ALL), "value"),
        State(error_of(ALL), "id"),
        State(curve_of(ALL), "value"),
        State(curve_of(ALL), "id"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State({"type": INTO, "at": ALL}, "value"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def take_it(
        clicks: Any, file: Any, hows: Any, how_ids: Any, errors: Any, error_ids: Any, curves: Any, curve_ids: Any,
        cuts: Any, cut_ids: Any, into: Any, here: Any, look: Any,
    ) -> Any:  # fmt: skip
        visit, asked = house.visit(here, look), ctx.triggered_id
        calm = [no_update] * len(cut_ids)
        name = (file or {}).get("name", "")
        if visit is None or not isinstance(asked, dict) or not ctx.triggered[0]["value"]:
            return no_update, no_update, no_update, calm
        if house.drawer.file(visit.project.id, name) is None:
            return no_update, "The file is not kept any more; choose it again.", no_update, calm
        what = asked["what"]
        chosen = {one["key"]: value for one, value in zip(curve_ids, curves, strict=True)}
        try:
            if what in ("add", "instead"):
                given = {one["kind"]: value for one, value in zip(error_ids, errors, strict=True)}
                case = _measured(visit, house, name, _typed(how_ids, hows), given, what == "add")
            else:
                case = _from_log(visit, house, name, what, chosen, form.typed(cut_ids, cuts), (into or [""])[0])
        except BadInput as bad:
            at_field = form.errors_at(cut_ids, bad.field, str(bad))
            return no_update, "" if any(at_field) else str(bad), no_update, at_field
        except BadCase as bad:
            return no_update, problems(bad), no_update, calm
        after, _, said = grid.apply(house, here, case, f"{_told(what)} from {name}")
        done = html.Div([html.B("Taken into the case. "), _result(case, what, visit)], className="done")
        return after, said, no_update if said else done, [None] * len(cut_ids)


def _measured(visit: Visit, house: House, name: str, typed: Json, errors: Json, add: bool) -> Case:
    rows = data_files.rows_of(visit, house.drawer.place(visit.project.id), name, typed)
    for kind in data_files.without_error(visit, rows):
        if not (errors.get(kind) or "").strip():
            raise BadInput("error", f"Give the error of {kind}: one standard deviation, such as '5 %' or '2 bar'.")
    return data_files.with_measurements(visit, rows, errors, add)


def _from_log(visit: Visit, house: House, name: str, what: str, curves: Json, cuts: Json, into: str) -> Case:
    folder = house.drawer.place(visit.project.id)
    if what == "layers":
        named = {key: value for key, value in curves.items() if key in CURVES}
        return session.case_from(data_files.layers_document(visit, name, named, cuts, into), folder)
    curve = curves.get("caliper" if what == "hole" else "slowness")
    if not curve:
        raise BadInput("curve", "Choose the curve of the log first.")
    document = records.exact(visit.case)
    section, key = OF_LOG[what]
    document.setdefault(section, {})[key] = {"log": name, "curve": curve}
    return session.case_from(document, folder)


def _told(what: str) -> str:
    words = {"add": "Measurements added", "instead": "Measurements", "layers": "Layers", "hole": "Hole size"}
    return words.get(what, "Sonic slowness")


def _result(case: Case, what: str, visit: Visit) -> Any:
    """What the case holds now."""
    if what == "layers":
        lines = [
            f"{one.name}: {amount(one.top_md, 'length', visit.system, 5)} to "
            f"{amount(one.base_md, 'length', visit.system, 5)}, "
            f"porosity {amount(one.porosity, 'fraction', visit.system)}, "
            f"{amount(one.permeability, 'permeability', visit.system)}"
            for one in case.layers
        ]
        return html.Span([f"{len(lines)} layers; Undo takes it back.", html.Ul([html.Li(line) for line in lines])])
    if what == "hole":
        return f"{len(case.well.hole)} sizes of the hole; Undo takes it back."
    if what == "strengths":
        return "The slowness stands in the table of rock strength; choose the relation under Hole and sand."
    return f"{len(case.measured.rows) if case.measured else 0} measurements in all; Undo takes it back."

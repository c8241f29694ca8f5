"""What a file holds, taken into the case: measurements with their errors, layers, hole sizes, sonic slowness."""

from __future__ import annotations

from typing import Any

import dash
from dash import ALL, Input, Output, State, ctx, html, no_update

from dashboard import data_files, ids, records, session
from dashboard.data_files import CURVES
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.measure import amount
from dashboard.session import BadCase
from dashboard.widgets import form, grid
from dashboard.widgets.data_file import FILE, INTO, OWNER, SAID, TAKE, curve_of, error_of, how, problems, take, typed_of
from planner.model.case import Case

Json = dict[str, Any]
OF_LOG = {"hole": ("well", "hole"), "strengths": ("suitability", "strengths")}


def register(app: dash.Dash, house: House) -> None:
    """The buttons that take what was read."""

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
                case = _measured(visit, house, name, typed_of(how_ids, hows), given, what == "add")
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

"""The inputs of the case, part by part: tables, forms, ranges, files; a good change is a new revision."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids, records, session
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.tables import FORMS, TABLES
from dashboard.widgets import data_file, grid, range_editor, section_form

Json = dict[str, Any]
SECTION, NAV, BODY, SAID, DOWN, DOWNLOAD, WARNED = (
    "input-section", "input-nav", "input-body", "input-said", "input-down", "input-download", "input-warned"
)  # fmt: skip
FIRST = "layers"
OWN = {range_editor.PART: "Ranges", data_file.PART: "From a file: CSV, LAS"}
GROUPS = {
    "Well and rock": ("well", "survey", "hole", "layers", "compartments", "rocks", "supports"),
    "String": ("string", "completions", "perforations", "later_element"),
    "Flow and time": ("fluid", "tubing", "controls", "schedule", "limits", "numerics"),
    "Money": ("economics", "prices", "ways", "elements"),
    "Not known for sure": (range_editor.PART, "failures"),
    "Measured": (data_file.PART, "rows", "measured"),
    "Plan": ("suitability", "sieves", "strengths", "split", "barriers", "rules", "futures", "late_life"),
}


def part(key: Any) -> Json:
    """A button that takes a part of the case in hand."""
    return {"type": "input-part", "key": key}


def title_of(key: str) -> str:
    """A part in words."""
    return OWN.get(key) or (TABLES[key].title if key in TABLES else FORMS[key])


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    warnings = visit.told.warnings
    told = [
        html.Summary(f"{len(warnings)} warning{'s' * (len(warnings) != 1)} about this case"),
        *map(html.P, warnings),
    ]
    return html.Div(
        [
            dcc.Store(id=SECTION, data=FIRST, storage_type="session"),
            dcc.Store(id=grid.DRAWN),
            html.Div(
                [
                    html.Nav(
                        [_group(name, keys) for name, keys in GROUPS.items()],
                        id=NAV, className="input-nav", **{"aria-label": "Parts of the case"},
                    ),
                    dmc.Button("Case files (ZIP)", id=DOWN, n_clicks=0, size="compact-xs", variant="light"),
                    dcc.Download(id=DOWNLOAD),
                ],
                className="input-sections",
            ),
            html.Section(
                [
                    html.Div(id=SAID, className="problems", role="alert"),
                    html.Div(id=BODY, className="input-body"),
                    html.Details(told, className="cautions", id=WARNED) if warnings else html.Div(id=WARNED),
                ],
                className="sheet pad inputs-sheet",
                **{"aria-label": "Inputs"},
            ),
        ],
        className="inputs",
    )  # fmt: skip


def _group(name: str, keys: tuple[str, ...]) -> Any:
    buttons = [html.Button(title_of(key), id=part(key), n_clicks=0, className="input-part") for key in keys]
    return html.Div([html.Span(name, className="input-group"), *buttons])


def body_of(visit: Visit, key: str) -> list[Any]:
    """What a part is edited in."""
    if key in TABLES:
        return grid.body(visit, TABLES[key])
    if key in FORMS:
        return section_form.body(visit, key)
    return range_editor.body(visit) if key == range_editor.PART else data_file.body(visit)


def drawn_from(visit: Visit, key: str) -> str:
    """A digest of what the form of a part shows."""
    held = records.exact(visit.case).get(key) if key in FORMS else None
    return records.digest(visit.project.id, key, held, visit.system)


def register(app: dash.Dash, house: House) -> None:
    """Parts, their editors, files."""
    _show(app, house)
    grid.register(app, house, SECTION, SAID)
    section_form.register(app, house, SECTION, SAID)
    range_editor.register(app, house)
    data_file.register(app, house)

    @app.callback(Output(DOWNLOAD, "data"), Input(DOWN, "n_clicks"), State(ids.HERE, "data"), prevent_initial_call=True)
    def download(clicks: int, here: Json | None) -> Any:
        visit = house.visit(here)
        if not clicks or visit is None:
            return no_update
        return dcc.send_bytes(session.case_as_zip(visit.case), f"{visit.case.well.name}.zip")


def _show(app: dash.Dash, house: House) -> None:
    @app.callback(Output(SECTION, "data"), Input(part(ALL), "n_clicks"), prevent_initial_call=True)
    def pick(clicks: list[int]) -> Any:
        asked = ctx.triggered_id
        return asked["key"] if isinstance(asked, dict) and ctx.triggered[0]["value"] else no_update

    @app.callback(
        Output(BODY, "children"),
        Output(SAID, "children"),
        Output(part(ALL), "aria-current"),
        Output(grid.DRAWN, "data"),
        Input(SECTION, "data"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(part(ALL), "id"),
        State(grid.DRAWN, "data"),
    )
    def show(key: str | None, here: Json | None, look: Json | None, names: list[Json], drawn: str) -> tuple[Any, ...]:
        visit = house.visit(here, look)
        key = key if key in {name["key"] for name in names} else FIRST
        if visit is None or not look:
            return no_update, no_update, [no_update] * len(names), no_update
        marks = ["true" if name["key"] == key else "false" for name in names]
        mark = drawn_from(visit, key)
        # a table is refilled by its own callback, an editor follows by itself: what is being typed must not go
        if ctx.triggered_id == ids.HERE and drawn and (key in TABLES or key in OWN or mark == drawn):
            return no_update, no_update, marks, no_update
        return body_of(visit, key), "", marks, mark


def _later(visit: Visit) -> list[Any]:
    """Every kind of body once."""
    bodies = [one for key in ("layers", "limits", data_file.PART) for one in body_of(visit, key)]
    return [*bodies, *range_editor.everything(visit)]


PAGE = Page(
    "inputs", "Inputs", "The case", layout, register, later=_later,
    says="Layers, string, survey, fluid, controls, prices, ranges, measurements.",
)  # fmt: skip

"""The sheet with the picture of the well: drawing, slider of its date, depth along the hole or true vertical."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, dcc, html, no_update

from dashboard import ids, report_dates
from dashboard.house import House, Visit
from dashboard.widgets import picture, standing

Json = dict[str, Any]
STEEPEST = 1.22  # rad from vertical; beyond it true vertical depth cannot order the parts of a string


def sheet(visit: Visit) -> Any:
    """The picture of the well with the slider of its date (report dates after the first) and the key to its signs."""
    schedule = visit.case.schedule
    steps = report_dates.steps(schedule)
    at = report_dates.index_of(visit.on, schedule)
    return html.Section(
        [
            dcc.Store(id=ids.PICTURE, data=still(visit)),
            html.Div(id=ids.WELL, className="well"),
            html.Div(
                [
                    dmc.Button("Play", id=ids.PLAY, n_clicks=0, size="compact-sm", variant="light", w=62),
                    html.Div(
                        dmc.Slider(
                            id=ids.DATE, min=0, max=steps, step=1, value=steps // 4 if at is None else at, size="sm",
                            label=None, updatemode="drag", thumbLabel="Date of the picture",
                        ),
                        className="date-slider",
                    ),
                    html.Output(id=ids.DATE_TEXT, className="date-text"),
                    _depth_choice(visit),
                ],
                className="date-bar",
            ),
            _key(visit),
        ],
        className="sheet well-sheet",
        **{"aria-label": "The well"},
    )  # fmt: skip


def _key(visit: Visit) -> Any:
    phases = [("oil", "oil"), ("water", "water"), ("gas", "gas, own scale")]
    if visit.case.well.kind.startswith("gas"):
        phases = [("gas", "gas"), ("water", "water, own scale")]
    return html.Div(
        [
            *[html.Span([html.I(className=f"key-swatch {phase}"), text]) for phase, text in phases],
            html.Span([html.I(className="key-swatch ghost"), "base"]),
            html.Span(
                "left of the hole: water in the rock", className="key-tip", title="Wheel, + and - zoom the picture"
            ),
        ],
        className="key",
    )


def _depth_choice(visit: Visit) -> Any:
    """Along the hole or true vertical; a nearly horizontal well is shown along the hole alone."""
    steep = any(station.inclination > STEEPEST for station in visit.case.well.survey)
    choice = dmc.SegmentedControl(
        id=ids.DEPTH, data=[{"value": "md", "label": "MD"}, {"value": "tvd", "label": "TVD", "disabled": steep}],
        value="md", size="xs", persistence=True,
        attributes={"root": {"aria-label": "Depth along the hole or vertical"}},
    )  # fmt: skip
    return html.Span(choice, title="Nearly horizontal: shown along the hole" if steep else "Depth of the picture")


def still(visit: Visit) -> Json:
    """The well before anything is computed: everything but the flow."""
    return {
        "project": visit.project.id,
        "start": visit.case.schedule.start.isoformat(),
        "well": picture.well(visit.case, visit.told, visit.system),
        "flow": None,
        "base": None,
    }


def register(app: dash.Dash, house: House) -> None:
    """The picture follows the work, the date and the part in hand."""

    @app.callback(
        Output(ids.PICTURE, "data"),
        Input(ids.STOOD, "data"),
        Input(ids.LOOK, "data"),
        State(ids.HERE, "data"),
        State(ids.TAB, "data"),
    )
    def drawn(stood: Json | None, look: Json | None, here: Json | None, tab: str) -> Any:
        visit = house.visit(here, look, tab)
        if visit is None or not look:
            return no_update
        if not stood:
            return still(visit)
        if not standing.fits(visit, stood):
            return no_update
        base, mine = standing.base_and_mine(standing.standings(house, visit), visit)
        if base is None:
            return still(visit)
        if stood["states"].get(visit.card["id"]) in ("waiting", "running"):
            return no_update
        told = (mine or base).forecast
        return {
            **still(visit),
            "well": picture.well(visit.case, told.description, visit.system),
            "flow": picture.flow(told, visit.system),
            "base": picture.flow(base.forecast, visit.system) if mine else None,
        }

    def here(name: str) -> ClientsideFunction:
        return ClientsideFunction("well", name)

    app.clientside_callback(here("show"), Output(ids.DATE_TEXT, "children"), Input(ids.PICTURE, "data"),
                            Input(ids.DATE, "value"), Input(ids.PICKED, "data"), Input(ids.DEPTH, "value"))  # fmt: skip
    app.clientside_callback(here("play"), Output(ids.PLAY, "children"), Input(ids.PLAY, "n_clicks"),
                            State(ids.DATE, "value"), State(ids.DATE, "max"), prevent_initial_call=True)  # fmt: skip

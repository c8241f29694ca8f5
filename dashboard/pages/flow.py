"""The flow of the well at a date: along the hole, by zone, against the base."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, dcc, html, no_update

from dashboard import ids, report_dates
from dashboard.figures import depth_tracks
from dashboard.house import House, Visit
from dashboard.measure import amount, month_year
from dashboard.pages.page import Page
from dashboard.session import Result
from dashboard.widgets import cards, charts, flow_table, standing

Json = dict[str, Any]
AT, SAID, TRACKS, BY_ZONE, HELD = "flow-at", "flow-said", "flow-tracks", "flow-by-zone", "flow-held"


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    schedule = visit.case.schedule
    at = report_dates.index_of(visit.on, schedule)
    return html.Div(
        [
            cards.section(),
            html.Div(
                [
                    html.Output(id=SAID, className="date-text wide"),
                    html.Div(
                        dmc.Slider(
                            id=AT, min=0, max=report_dates.steps(schedule), step=1, value=1 if at is None else at,
                            size="sm", label=None, updatemode="drag", thumbLabel="Date of the flow",
                        ),
                        className="date-slider",
                    ),
                    charts.line_key(),
                ],
                className="date-bar flow-bar",
            ),
            html.Div(
                [
                    html.Div(
                        dcc.Graph(
                            id=TRACKS, figure=charts.EMPTY, config=charts.CONFIG, responsive=True, className="graph"
                        ),
                        className="sheet chart",
                    ),
                    html.Div(
                        [html.Div(id=HELD), html.Div(id=BY_ZONE)], className="sheet pad scroll", tabIndex="0",
                        **{"aria-label": "Flow by zone"},
                    ),
                ],
                className="flow-body",
            ),
        ],
        className="flow",
    )  # fmt: skip


def held_by(result: Result, at: int, visit: Visit) -> list[Any]:
    """What the well gives on the day, and which control holds it."""
    run = result.forecast
    main = "gas" if run.description.kind.startswith("gas") else "oil"
    told = [
        f"{label} {amount(run.well[name][at], quantity, visit.system)}"
        for label, name, quantity in (
            (main, f"{main}_rate", "gas rate" if main == "gas" else "liquid rate"),
            ("water", "water_rate", "liquid rate"),
            ("bottom-hole pressure", "bottom_hole_pressure", "pressure"),
        )
        if name in run.well
    ]
    return [html.H2("The well"), html.P(", ".join(told)), html.P(f"Held by the {run.control[at]}.", className="quiet")]


def register(app: dash.Dash, house: House) -> None:
    """The tracks and the table follow the date and the work."""

    @app.callback(
        Output(TRACKS, "figure"),
        Output(BY_ZONE, "children"),
        Output(HELD, "children"),
        Output(SAID, "children"),
        Input(ids.STOOD, "data"),
        Input(ids.LOOK, "data"),
        Input(AT, "value"),
        State(ids.HERE, "data"),
        State(ids.TAB, "data"),
    )
    def show(stood: Json | None, look: Json | None, at: int, here: Json | None, tab: str) -> Any:
        visit = house.visit(here, look, tab)
        if visit is None or not stood or not look:
            return (no_update,) * 4
        base, mine = standing.base_and_mine(standing.standings(house, visit), visit)
        if base is None:
            return (no_update,) * 4
        run = mine or base
        at = min(int(at or 0), len(run.forecast.days) - 1)
        other = base.forecast if mine else None
        return (
            depth_tracks.along_hole(run.forecast, other, at, visit.system, visit.theme),
            flow_table.by_zone(run.forecast, other, at, visit.system),
            held_by(run, at, visit),
            month_year(run.forecast.dates[at]),
        )

    app.clientside_callback(
        ClientsideFunction("frame", "month"), Output(SAID, "title"), Input(AT, "value"), Input(SAID, "children")
    )


PAGE = Page("flow", "Flow", "Look", layout, register, says="What comes in where, and what flows past, at a date.")

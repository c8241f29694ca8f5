"""The life of the well: the what-if in hand against the base, whole or by zone, what happens when, limits."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, dcc, html, no_update

from dashboard import ids
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import answer_views, cards, charts, standing

Json = dict[str, Any]
OUTPUTS = charts.outputs("life", (*ids.CHARTS, *ids.ZONE_CHARTS))
SCOPE, ZONES, STORY, ANSWERS, SHOWN = "life-scope", "life-zones", "life-story", "life-answers", "life-shown"


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    zones = [{"value": "", "label": "Whole well"}, *({"value": z.name, "label": z.name} for z in visit.told.zones)]
    inside = html.Div(
        [
            dcc.Store(id=SHOWN),
            cards.section(),
            html.Div(
                [
                    dmc.SegmentedControl(
                        id=SCOPE, data=zones, value="", size="xs",
                        attributes={"root": {"aria-label": "Charts of the whole well or of one zone"}},
                    ),
                    charts.line_key(),
                ],
                className="section-head",
            ),
            html.Div(
                [
                    charts.time_grid("life"),
                    html.Div(
                        [
                            charts.zone_row("life"),
                            html.Div(
                                [html.Div(id=STORY), html.Div(id=ZONES)], className="sheet scroll", tabIndex="0",
                                role="region", **{"aria-label": "What happens, limits and zones"},
                            ),
                        ],
                        className="life-side",
                    ),
                ],
                className="life-body",
            ),
        ],
        id=ANSWERS,
        className="answers",
    )  # fmt: skip
    return html.Div(inside, className="life")


def register(app: dash.Dash, house: House) -> None:
    """Charts and stories follow the work."""

    @app.callback(
        output=(
            OUTPUTS,
            Output(ZONES, "children"),
            Output(STORY, "children"),
            Output(SHOWN, "data"),
        ),
        inputs=(
            Input(ids.STOOD, "data"),
            Input(ids.LOOK, "data"),
            Input(SCOPE, "value"),
            State(ids.HERE, "data"),
            State(ids.TAB, "data"),
        ),
    )
    def show(stood: Json | None, look: Json | None, scope: str, here: Json | None, tab: str) -> Any:
        nothing = dict.fromkeys(OUTPUTS, no_update), no_update, no_update, no_update
        visit = house.visit(here, look, tab)
        if visit is None or not stood or not look:
            return nothing
        base, mine = standing.base_and_mine(standing.standings(house, visit), visit)
        if base is None:
            return nothing
        given = (base.forecast, mine.forecast if mine else None, visit)
        return (
            {**charts.over_time(*given, scope or ""), **charts.zones(*given)},
            answer_views.zone_table(base, mine, visit.system),
            answer_views.happened(base, mine, visit.card["name"], visit.system),
            stood,
        )

    app.clientside_callback(ClientsideFunction("frame", "drawn"), Output(ANSWERS, "title"), Input(SHOWN, "data"))


PAGE = Page("life", "Life", "Look", layout, register, says="Rates, water, pressure and recovery to the end.")

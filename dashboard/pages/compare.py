"""What-ifs side by side: one column over time, volumes by zone, figures and limits, to a spreadsheet and to files."""

from __future__ import annotations

import csv
import io
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, dcc, html, no_update

from dashboard import ids, work
from dashboard.figures import compared as figures
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.session import Result
from dashboard.widgets import cards, charts, compared, standing
from dashboard.widgets.answers import csv_rows

Json = dict[str, Any]
COLUMN, SCOPE, GAP, BODY, TEXT, COPY, COPIED, SAVE, SAVED, ZONED = (
    "compare-column", "compare-scope", "compare-gap", "compare-body", "compare-text", "compare-copy",
    "compare-copied", "compare-save", "compare-saved", "compare-zoned",
)  # fmt: skip
TIME, ZONES = "compare-time", "compare-zones"
WELL = "whole well"


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    zones = [{"value": "", "label": WELL}, *({"value": z.name, "label": z.name} for z in visit.told.zones)]
    main = "gas" if visit.case.well.kind.startswith("gas") else "oil"
    names = figures.OVER_TIME
    choose = [{"value": name, "label": figures.words(name)} for name in names]
    by_zone = [{"value": name, "label": figures.words(name)} for name in
               ("recovery_factor", f"{main}_volume", "water_volume", f"{main}_rate", "water_cut", "pressure")
               ]  # fmt: skip
    pick = {"size": "xs", "allowDeselect": False}
    small = {"n_clicks": 0, "size": "compact-xs", "variant": "light"}
    return html.Div(
        [
            dcc.Store(id=TEXT),
            dcc.Download(id=SAVED),
            cards.section(),
            html.Div(
                [
                    html.Section(
                        [
                            html.Div(
                                [
                                    dmc.Select(id=COLUMN, data=choose, value=f"{main}_rate", w=190, **pick,
                                               attributes={"input": {"aria-label": "What over time"}}),
                                    dmc.Select(id=SCOPE, data=zones, value="", w=140, **pick,
                                               attributes={"input": {"aria-label": "Whole well or zone"}}),
                                    dmc.Switch(id=GAP, label="difference to the base", size="xs", checked=False),
                                ],
                                className="chart-tools",
                            ),
                            _graph(TIME),
                        ],
                        className="sheet chart",
                    ),
                    html.Section(
                        [
                            html.Div(
                                dmc.Select(id=ZONED, data=by_zone, value="recovery_factor", w=190, **pick,
                                           attributes={"input": {"aria-label": "What by zone, at the end"}}),
                                className="chart-tools",
                            ),
                            _graph(ZONES),
                        ],
                        className="sheet chart",
                    ),
                ],
                className="compare-charts",
            ),
            html.Section(
                [
                    html.Div(
                        [
                            html.H2("Figures to the end"),
                            dmc.Button("Copy for a spreadsheet", id=COPY, **small),
                            dmc.Button("Save all numbers (CSV)", id=SAVE, **small),
                            html.Span(id=COPIED, role="status", className="quiet"),
                        ],
                        className="chart-tools",
                    ),
                    html.Div(id=BODY),
                ],
                className="sheet pad scroll",
                tabIndex="0",
                **{"aria-label": "Figures and limits"},
            ),
        ],
        className="compare",
    )  # fmt: skip


def _graph(name: str) -> Any:
    return dcc.Graph(id=name, figure=charts.EMPTY, config=charts.CONFIG, responsive=True, className="graph")


def refused(visit: Visit, stood: dict[str, Any]) -> dict[str, str]:
    """Compared what-ifs that have no result, with the reason."""
    found = {}
    for card in visit.cards:
        one = stood.get(card["id"])
        if one and one.state in ("refused", "failed", "cancelled") and work.acts(card):
            found[card["name"]] = one.text
    return found


def csv_text(results: dict[str, Result], visit: Visit) -> str:
    """Every result in one long table as CSV."""
    rows = csv_rows(results, visit.system)
    text = io.StringIO()
    writer = csv.DictWriter(text, list(rows[0]), restval="")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def register(app: dash.Dash, house: House) -> None:
    """Charts, tables, copy and save."""

    def results_at(
        here: Json | None, look: Json | None, tab: str
    ) -> tuple[Visit | None, dict[str, Any], dict[str, Result]]:
        visit = house.visit(here, look, tab)
        if visit is None:
            return None, {}, {}
        stood = standing.standings(house, visit)
        return visit, stood, standing.compared(visit, stood)

    @app.callback(
        Output(TIME, "figure"),
        Output(ZONES, "figure"),
        Output(BODY, "children"),
        Output(TEXT, "data"),
        Input(ids.STOOD, "data"),
        Input(ids.LOOK, "data"),
        Input(COLUMN, "value"),
        Input(SCOPE, "value"),
        Input(GAP, "checked"),
        Input(ZONED, "value"),
        State(ids.HERE, "data"),
        State(ids.TAB, "data"),
    )
    def show(stood: Any, look: Any, column: str, scope: str, gap: bool, zoned: str, here: Any, tab: str) -> Any:
        visit, stands, results = results_at(here, look, tab)
        if visit is None or not look or standing.BASE not in results:
            return (no_update,) * 4
        runs = {name: result.forecast for name, result in results.items()}
        names = [zone.name for zone in visit.told.zones]
        zone = names.index(scope) if scope in names else None
        body = [
            compared.figures_table(visit.case, results, refused(visit, stands), visit.system, visit.theme),
            html.H2("Limits", className="gap-above"),
            compared.limits_table(results, visit.system),
        ]
        return (
            figures.over_time(runs, column, visit.system, visit.theme, zone, gap),
            figures.by_zone(runs, zoned, visit.system, visit.theme),
            body,
            compared.spreadsheet(visit.case, results, visit.system),
        )

    app.clientside_callback(
        ClientsideFunction("frame", "copy"), Output(COPIED, "children"), Input(COPY, "n_clicks"), State(TEXT, "data"),
        prevent_initial_call=True,
    )  # fmt: skip

    @app.callback(
        Output(SAVED, "data"),
        Input(SAVE, "n_clicks"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        State(ids.TAB, "data"),
        prevent_initial_call=True,
    )
    def save(clicks: int, here: Json | None, look: Json | None, tab: str) -> Any:
        visit, _, results = results_at(here, look, tab)
        if not clicks or visit is None or not results:
            return no_update
        return {
            "content": csv_text(results, visit),
            "filename": f"{visit.case.well.name} what-ifs.csv",
            "type": "text/csv",
        }


PAGE = Page("compare", "Compare", "Ask", layout, register, says="Rate, recovery, water, money and limits side by side.")

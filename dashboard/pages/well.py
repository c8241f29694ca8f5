"""The page of the main job: the well on the left, what-ifs and answers on the right."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from dashboard import ids, work
from dashboard.session import CaseDesk
from dashboard.theme import MANTINE
from dashboard.widgets import header, part_panel

CHART_CONFIG = {
    "displaylogo": False,
    "responsive": True,
    "modeBarButtonsToRemove": ["lasso2d", "select2d", "autoScale2d"],
    "toImageButtonOptions": {"format": "png", "scale": 2},
    "displayModeBar": "hover",
}
SECTIONS = {"time": "Over time", "zones": "By zone", "numbers": "In numbers", "events": "What happened"}


def layout(desk: CaseDesk) -> Any:
    """The whole page. The browser brings its own work; the seed is what a new browser starts from."""
    case = desk.case
    months = (
        (case.schedule.end.year - case.schedule.start.year) * 12 + case.schedule.end.month - case.schedule.start.month
    )
    steps = {"month": months, "quarter": months // 3, "year": months // 12}[case.schedule.report]
    seed = {
        "case": desk.key,
        "form": work.FORM,
        "start": case.schedule.start.isoformat(),
        "work": work.first(case.what_ifs, case.units),
    }
    return dmc.MantineProvider(
        [
            *header.stores(),
            dcc.Store(id=ids.SEED, data=seed),
            html.Div(
                [
                    header.header(case),
                    html.Main(
                        [
                            header.well_sheet(max(1, steps), case.well.kind),
                            html.Div([_cards(), _bench(), _answers(desk)], className="right"),
                        ],
                        className="main",
                    ),
                    header.footer(),
                ],
                className="page",
            ),
        ],
        id=ids.FRAME,
        theme=MANTINE,
        forceColorScheme="light",
    )


def every_panel(desk: CaseDesk) -> list[Any]:
    """The part panel of every zone, for Dash's validation of callbacks whose components come and go."""
    given = (desk.case, desk.description, desk.case.schedule.start, desk.case.units)
    return [html.Div(part_panel.panel({"kind": "zone", "name": zone.name}, *given)) for zone in desk.description.zones]


def _cards() -> Any:
    small = {"size": "compact-xs", "variant": "light", "n_clicks": 0}
    return html.Section(
        [
            html.Div(id=ids.CARDS, className="cards"),
            html.Div(
                [
                    dmc.Button("New", id=ids.NEW_CARD, **small),
                    dmc.Button("Copy", id=ids.COPY_CARD, **small),
                    dmc.Button("Remove", id=ids.REMOVE_CARD, **small),
                ],
                className="card-tools",
            ),
        ],
        className="card-strip",
        **{"aria-label": "What-ifs"},
    )


def _bench() -> Any:
    name = dmc.TextInput(
        id=ids.CARD_NAME, value="", size="xs", debounce=True, className="card-name",
        attributes={"input": {"aria-label": "Name of the what-if"}},
    )  # fmt: skip
    return html.Div(
        [
            html.Section(
                [html.Div(["What if", name], className="bench-head"), html.Div(id=ids.EVENTS)], className="sheet events"
            ),
            html.Section(id=ids.PART, className="sheet part-panel", **{"aria-label": "Part in hand"}),
        ],
        className="bench",
    )


def _status() -> Any:
    return html.Div(
        [
            html.Div(id=ids.STATUS, className="status-text", role="status", **{"aria-live": "polite"}),
            dmc.Button("Stop", id=ids.STOP, n_clicks=0, size="compact-xs", variant="light", display="none"),
            dmc.Button("Try again", id=ids.TRY_AGAIN, n_clicks=0, size="compact-xs", variant="light", display="none"),
            html.Div(id=ids.TROUBLE, className="trouble", role="alert"),
        ],
        className="status",
    )


def _answers(desk: CaseDesk) -> Any:
    zones = [{"value": "", "label": "whole well"}] + [
        {"value": zone.name, "label": zone.name} for zone in desk.description.zones
    ]
    return html.Section(
        [
            _status(),
            html.Div(id=ids.TILES, className="tiles"),
            html.Div(
                [
                    dmc.SegmentedControl(
                        id=ids.SECTION, data=[{"value": k, "label": v} for k, v in SECTIONS.items()], value="time",
                        size="xs", persistence=True, name="answers-shown",
                        attributes={"root": {"aria-label": "Answers shown"}},
                    ),
                    html.Div(
                        [
                            html.Span([html.I(className="line solid"), "what-if"]),
                            html.Span([html.I(className="line dashed"), "base"]),
                        ],
                        className="line-key",
                    ),
                    dmc.Select(
                        id=ids.SCOPE, data=zones, value="", size="xs", w=140, allowDeselect=False, persistence=True,
                        attributes={"input": {"aria-label": "Charts of the whole well or of one zone"}},
                    ),
                ],
                className="section-head",
            ),
            html.Div([_time(), _zones(), _numbers(), _happened()], id=ids.SECTIONS, className="sections show-time"),
        ],
        id=ids.ANSWERS,
        className="answers",
        **{"aria-label": "Answers"},
    )  # fmt: skip


def _chart(name: str) -> Any:
    empty = {"data": [], "layout": {"xaxis": {"visible": False}, "yaxis": {"visible": False}}}
    return html.Div(
        [
            html.H3("", id=ids.chart_title(name)),
            dcc.Graph(id=ids.chart(name), figure=empty, config=CHART_CONFIG, responsive=True, className="graph"),
        ],
        className="sheet chart",
    )


def _time() -> Any:
    return html.Div([_chart(name) for name in ids.CHARTS], className="section section-time")


def _zones() -> Any:
    charts = html.Div([_chart(name) for name in ids.ZONE_CHARTS], className="zone-charts")
    return html.Div([charts, html.Div(id=ids.ZONES, className="sheet scroll")], className="section section-zones")


def _numbers() -> Any:
    return html.Div(html.Div(id=ids.NUMBERS, className="sheet scroll"), className="section section-numbers")


def _happened() -> Any:
    return html.Div(html.Div(id=ids.HAPPENED, className="sheet scroll"), className="section section-events")

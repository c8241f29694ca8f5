"""Charts on a page: their places, and what fills them."""

from __future__ import annotations

from typing import Any

from dash import Output, dcc, html

from dashboard import ids
from dashboard.figures import by_zone
from dashboard.figures import over_time as lines
from dashboard.house import Visit
from dashboard.widgets import answer_views
from planner.model.results import Forecast

Json = dict[str, Any]
CONFIG = {
    "displaylogo": False,
    "responsive": True,
    "modeBarButtonsToRemove": ["lasso2d", "select2d", "autoScale2d"],
    "toImageButtonOptions": {"format": "png", "scale": 2},
    "displayModeBar": "hover",
}
CLEAR = "rgba(0,0,0,0)"
EMPTY = {
    "data": [],
    "layout": {
        "xaxis": {"visible": False},
        "yaxis": {"visible": False},
        "paper_bgcolor": CLEAR,
        "plot_bgcolor": CLEAR,
        "annotations": [
            {
                "text": "Nothing to draw yet;<br>the words above say why.",
                "font": {"size": 12, "color": "#75837f"},
                "xref": "paper", "yref": "paper", "x": 0.5, "y": 0.5, "showarrow": False,
            }
        ],
    },
}  # fmt: skip


def outputs(page: str, names: tuple[str, ...]) -> dict[str, Any]:
    """The figures and headings of charts of a page, for a callback that fills them."""
    return {
        **{f"chart {name}": Output(ids.chart(f"{page} {name}"), "figure") for name in names},
        **{f"title {name}": Output(ids.chart_title(f"{page} {name}"), "children") for name in names},
    }


def place(page: str, name: str) -> Any:
    """A sheet with the heading of a chart and the chart."""
    return html.Div(
        [
            html.H3("", id=ids.chart_title(f"{page} {name}")),
            dcc.Graph(id=ids.chart(f"{page} {name}"), figure=EMPTY, config=CONFIG, responsive=True, className="graph"),
        ],
        className="sheet chart",
    )


def time_grid(page: str) -> Any:
    """Rates, what spoils the well, volumes and pressure over time."""
    return html.Div([place(page, name) for name in ids.CHARTS], className="section-time")


def zone_row(page: str) -> Any:
    """Recovery, and volumes to the end, by zone."""
    return html.Div([place(page, name) for name in ids.ZONE_CHARTS], className="zone-charts")


def line_key(base: str = "dashed") -> Any:
    """Which line is the what-if, which the base; base: its look, dashed or thin."""
    return html.Div(
        [
            html.Span([html.I(className="line solid"), "what-if"]),
            html.Span([html.I(className=f"line {base}"), "base"]),
        ],
        className="line-key",
    )


def over_time(base: Forecast, other: Forecast | None, visit: Visit, scope: str) -> Json:
    """A value for each of the outputs of ids.CHARTS; scope: a zone, or '' for the whole well."""
    names = [zone.name for zone in base.description.zones]
    zone = names.index(scope) if scope in names else None
    drawn = lines.four(base, other, visit.system, visit.theme, zone)
    titles = lines.titles(base, visit.system, zone)
    where = f" \u2013 {scope}" if zone is not None else ""
    out: Json = {}
    for name, figure in zip(ids.CHARTS, drawn, strict=True):
        out[f"chart {name}"] = figure
        out[f"title {name}"] = answer_views.chart_head(titles[name] + where, lines.keys(name, base, zone))
    return out


def zones(base: Forecast, other: Forecast | None, visit: Visit) -> Json:
    """A value for each of the outputs of ids.ZONE_CHARTS."""
    main = lines.phases_of(base.description.kind)[0]
    out: Json = {
        "chart recovery": by_zone.recovery(base, other, visit.system, visit.theme),
        "chart main": by_zone.produced(base, other, main, visit.system, visit.theme),
        "chart water": by_zone.produced(base, other, "water", visit.system, visit.theme),
    }
    return out | {f"title {name}": title for name, title in by_zone.titles(main, visit.system).items()}

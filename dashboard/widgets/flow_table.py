"""Flow by zone and by layer at a date."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboard.measure import System, change_shown, in_percent, number, shown, unit
from planner.model.results import COLUMNS, Floats, Forecast

Json = dict[str, Any]
LIQUIDS = ("oil_rate", "water_rate", "water_cut", "pressure", "drawdown")
LEAST = 5e-3  # in the shown unit
GASES = ("gas_rate", "water_rate", "pressure", "drawdown")


def by_zone(run: Forecast, base: Forecast | None, at: int, system: System) -> list[Any]:
    """A table of zones with the difference to the base, and one of layers."""
    gas = run.description.kind.startswith("gas")
    names = [name for name in (GASES if gas else LIQUIDS) if name in run.zone]
    zones = [zone.name for zone in run.description.zones]
    layers = [layer.name for layer in run.description.layers]
    of_layers = [
        name for name in (*names[:3], "water_saturation", "pressure") if name in run.layer and name != "water_cut"
    ]
    return [
        html.H2("By zone"),
        _table("Zone", zones, names, run.zone, base.zone if base else None, at, system),
        html.H2("By layer", className="gap-above"),
        _table("Layer", layers, list(dict.fromkeys(of_layers)), run.layer, None, at, system),
    ]


def _table(
    what: str, names: list[str], columns: list[str], now: dict[str, Floats], before: dict[str, Floats] | None, at: int,
    system: System,
) -> Any:  # fmt: skip
    head = html.Tr([html.Th(what)] + [html.Th(_head(name, system)) for name in columns])
    rows = []
    for place, name in enumerate(names):
        cells: list[Any] = [html.Th(name, scope="row")]
        for column in columns:
            value = now[column][at, place]
            gap = _gap(value, before[column][at, place], column, system) if before and column in before else ""
            text = _short(float(in_percent(shown(value, COLUMNS[column], system), COLUMNS[column])))
            cells.append(html.Td([text, html.Span(gap, className="gap")] if gap else text, className="number"))
        rows.append(html.Tr(cells))
    return html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table")


def _short(value: float, sign: bool = False) -> str:
    """Three digits, and nothing where next to nothing flows."""
    return "0" if abs(value) < LEAST else number(value, 3, sign=sign)


def _head(column: str, system: System) -> str:
    words = column.replace("_", " ")
    return f"{words[:1].upper()}{words[1:]}, {unit(COLUMNS[column], system)}"


def _gap(now: float, before: float, column: str, system: System) -> str:
    text = _short(float(in_percent(change_shown(now - before, COLUMNS[column], system), COLUMNS[column])), sign=True)
    return "" if text in ("0", "\u2013") else text

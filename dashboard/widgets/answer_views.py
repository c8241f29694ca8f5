"""Components that show the answer: tiles, the table of what-ifs, happenings and limits."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
import numpy as np
from dash import html

from dashboard.measure import NOTHING, System, amount, month_year, number, shown, unit
from dashboard.session import Result
from dashboard.widgets.answers import Figure, broken, first_water, shown_figures, table
from planner.model.case import Case
from planner.model.results import Forecast


def tiles(case: Case, base: Result, other: Result | None, system: System) -> list[Any]:
    """The headline numbers of the what-if in hand with the difference to the base, or of the base alone."""
    figures = shown_figures(case, [base])[:4]
    told = other or base
    made = [
        _tile(f.header(system), f.bare(f.text(told, system), system), *_gap(f, other, base, system)) for f in figures
    ]
    made.append(_water_tile(base, other))
    crossed = broken(told.forecast)
    text = f"{len(crossed)} crossed" if crossed else "none crossed"
    if not told.forecast.limits:
        text = "none given"
    made.append(_tile("Limits", text, crossed[0] if crossed else "", "worse" if crossed else ""))
    return made


def _water_tile(base: Result, other: Result | None) -> Any:
    arrival, where = first_water((other or base).forecast)
    before, _ = first_water(base.forecast)
    note = f"in {where}" if where else "does not arrive"
    if other is not None and arrival != before:
        note += f"; base {before}"
    return _tile("First water", arrival, note, "")


def _gap(figure: Figure, other: Result | None, base: Result, system: System) -> tuple[str, str]:
    """Difference to the base in the tile's own unit, and whether that is better or worse."""
    if other is None:
        return "", ""
    gap = figure.of(other) - figure.of(base)
    text = figure.bare(figure.against(other, base, system), system)
    if text in ("same", NOTHING) or not figure.more_is:
        return ("same as base" if text == "same" else text), ""
    mood = "better" if (gap > 0) == (figure.more_is == "good") else "worse"
    return f"{text}, {mood}", mood


def _tile(name: str, value: str, note: str, mood: str) -> Any:
    is_number = value[:1].isdigit() or value[:1] in "\u2212\u2013"
    return html.Div(
        [
            html.Div(name, className="tile-name"),
            html.Div(value, className="tile-value" if is_number else "tile-value words", title=value),
            html.Div(note, className=f"tile-note {mood}", title=note),
        ],
        className="tile",
        **{"data-figure": name.split(",")[0]},
    )


def chart_head(title: str, keys: list[tuple[str, str]]) -> list[Any]:
    """Heading of a chart, and the names of its lines in their colours where there are several."""
    return [title, *(html.Span(name, className=f"chart-key ink-{colour}") for name, colour in keys)]


def numbers_table(case: Case, results: dict[str, Result], system: System) -> Any:
    """All what-ifs of the comparison against the base."""
    header, rows = table(case, results, system)
    head = dmc.TableThead(dmc.TableTr([dmc.TableTh(text) for text in header]))
    body = dmc.TableTbody([dmc.TableTr([dmc.TableTd(_cell(cell)) for cell in row]) for row in rows])
    return dmc.Table([head, body], className="numbers", striped="even", tabularNums=True, verticalSpacing=5)


def _cell(cell: tuple[str, str]) -> list[Any]:
    value, gap = cell
    return [value, html.Span(gap, className="gap")] if gap else [value]


def zone_table(base: Result, other: Result | None, system: System) -> Any:
    """Zones with what was in place, what they give until the end, and what could shut them."""
    shown_one = (other or base).forecast
    gas = shown_one.description.kind.startswith("gas")
    name, quantity = ("gas", "gas volume") if gas else ("oil", "liquid volume")
    header = [
        "Zone",
        f"{name.capitalize()} in place, {unit(quantity, system)}",
        "Recovery, %",
        f"Water rate at the end, {unit('liquid rate', system)}" if gas else "Water cut at the end, %",
        "Can be shut by",
    ]
    rows = []
    for at, zone in enumerate(shown_one.description.zones):
        place = zone.gas_in_place if gas else zone.oil_in_place
        cells = [
            zone.name,
            number(float(shown(place, quantity, system)), 4),
            _percent(shown_one, "recovery_factor", at),
            _last_rate(shown_one, "water_rate", at, system) if gas else _percent(shown_one, "water_cut", at),
            f"a {zone.shut_by}" if zone.shut_by else " ".join(zone.missing) or "nothing",
        ]
        rows.append(dmc.TableTr([dmc.TableTd(cell) for cell in cells]))
    head = dmc.TableThead(dmc.TableTr([dmc.TableTh(text) for text in header]))
    return dmc.Table([head, dmc.TableTbody(rows)], className="numbers", verticalSpacing=3)


def _percent(forecast: Forecast, column: str, zone: int) -> str:
    found = forecast.zone.get(column)
    return NOTHING if found is None else number(100 * float(found[-1, zone]))


def _last_rate(forecast: Forecast, column: str, zone: int, system: System) -> str:
    found = forecast.zone.get(column)
    return NOTHING if found is None else number(float(shown(found[-1, zone], "liquid rate", system)))


def happened(base: Result, other: Result | None, name: str, system: System) -> Any:
    """What happens when, and the limits with their margin, of the what-if in hand beside the base."""
    columns = [_timeline("Base", base)]
    if other is not None:
        columns.insert(0, _timeline(name, other))
    return html.Div([*columns, _limits((other or base), system)], className="happened")


def _timeline(name: str, result: Result) -> Any:
    listed = [
        html.Li(
            [html.Span(month_year(h.date), className="when"), html.Span(h.text)],
            className=f"happening kind-{h.kind.replace(' ', '-')}",
        )
        for h in result.forecast.happenings
    ]
    warnings = [html.Li(text, className="happening kind-warning") for text in result.forecast.warnings]
    return html.Div([html.H3(name), html.Ol(listed + warnings or [html.Li("Nothing to report.")])], className="story")


def _limits(result: Result, system: System) -> Any:
    made = []
    for check in sorted(result.forecast.limits, key=lambda c: c.margin if np.isfinite(c.margin) else 9.0):
        when = "crossed" if check.broken else "kept"
        text = (
            f"{check.name}, {check.where}: {amount(check.worst, check.quantity, system)} "
            f"of {amount(check.limit, check.quantity, system)}"
        )
        made.append(html.Li([html.Span(when, className=f"mark {when}"), html.Span(text)]))
    listed = made or [html.Li("No limits were given in the case, so none were checked.")]
    return html.Div([html.H3("Limits"), html.Ul(listed)], className="story")

"""Figures over time and between what-ifs: results in, plotly figure out, in the units of a style."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.decide.compare import outcomes
from planner.decide.money import CashFlow
from planner.model.results import COLUMNS, Comparison, Floats, Forecast
from planner.report.frames import Style, words
from planner.report.look import PHASES, bar, colour_of, dressed, faded, line, pattern_of


def rates_figure(forecast: Forecast, style: Style) -> go.Figure:
    """Rates of the well by phase: liquids above, gas below."""
    return _by_phase(forecast, style, "rate", f"Rates, {forecast.name}")


def cumulative_figure(forecast: Forecast, style: Style) -> go.Figure:
    """Cumulative volumes of the well by phase: liquids above, gas below."""
    return _by_phase(forecast, style, "volume", f"Cumulative volumes, {forecast.name}")


def column_figure(forecasts: Sequence[Forecast], column: str, style: Style, title: str) -> go.Figure:
    """One column of the well for several forecasts on one pair of axes."""
    figure = go.Figure()
    for index, forecast in enumerate(forecasts):
        if column in forecast.well:
            values = style.value(forecast.well[column], COLUMNS[column])
            figure.add_scatter(x=_dates(forecast), y=values, name=forecast.name, mode="lines", line=line(index))
    figure.update_yaxes(title=style.header(words(column), COLUMNS[column]))
    return dressed(figure, title, height=360 + 8 * len(forecasts))


def wetness_figure(forecast: Forecast, style: Style) -> go.Figure:
    """How wet the well and each zone is: water cut, or the water rate of a gas well, whose cut says nothing."""
    if forecast.description.kind.startswith("gas"):
        return _water_rate_figure(forecast, style)
    figure = go.Figure()
    lines = {"whole well": forecast.well.get("water_cut"), **_zone_lines(forecast, "water_cut")}
    _add_lines(figure, forecast, lines, style, "fraction")
    figure.update_yaxes(title="water cut (fraction)", range=[0, 1])
    return dressed(figure, f"Water cut, {forecast.name}")


def _water_rate_figure(forecast: Forecast, style: Style) -> go.Figure:
    figure = go.Figure()
    lines = {"whole well": forecast.well.get("water_rate"), **_zone_lines(forecast, "water_rate")}
    _add_lines(figure, forecast, lines, style, "liquid rate")
    figure.update_yaxes(title=style.header("water rate", "liquid rate"))
    return dressed(figure, f"Water rate, {forecast.name}")


def pressure_figure(forecast: Forecast, style: Style) -> go.Figure:
    """Bottom-hole pressure and the average pressure of each zone."""
    figure = go.Figure()
    lines = {"bottom hole": forecast.well.get("bottom_hole_pressure"), **_zone_lines(forecast, "pressure")}
    _add_lines(figure, forecast, lines, style, "pressure")
    figure.update_yaxes(title=style.header("pressure", "pressure"), rangemode="tozero")
    return dressed(figure, f"Pressure, {forecast.name}")


def zone_stack_figure(forecast: Forecast, column: str, style: Style) -> go.Figure:
    """What each zone adds to a rate of the well, stacked; a zone that takes fluid in (crossflow) goes below zero."""
    figure = go.Figure()
    for index, (name, values) in enumerate(_zone_lines(forecast, column).items(), start=1):
        for sign, group in ((1.0, "gives"), (-1.0, "takes")):
            part = sign * np.clip(sign * values, 0.0, None)
            if sign < 0.0 and not part.any():
                continue
            figure.add_scatter(
                x=_dates(forecast),
                y=style.value(part, COLUMNS[column]),
                name=name,
                legendgroup=name,
                showlegend=sign > 0.0,
                stackgroup=group,
                mode="lines",
                line={"width": 0.8, "color": colour_of(index)},
                fillcolor=faded(colour_of(index), 0.7),
                fillpattern=pattern_of(index),
            )
    figure.update_yaxes(title=style.header(words(column), COLUMNS[column]))
    return dressed(figure, f"{words(column).capitalize()} by zone, {forecast.name}")


def recovery_figure(comparison: Comparison, style: Style) -> go.Figure:
    """Recovery factor of each zone in each what-if."""
    figure = go.Figure()
    for index, row in enumerate(outcomes(comparison)):
        figure.add_bar(
            x=[zone.name for zone in row.zones],
            y=[zone.recovery_factor for zone in row.zones],
            name=row.name,
            marker=bar(index),
        )
    figure.update_yaxes(title="recovery factor (fraction)", rangemode="tozero")
    return dressed(figure, "Recovery by zone", height=360 + 8 * len(comparison.others))


def cash_figure(comparison: Comparison, style: Style) -> go.Figure | None:
    """Cumulative cash of each what-if less the base, undiscounted; None where the comparison carries no cash."""
    flows: dict[str, CashFlow] = comparison.extra.get("cash_flow", {})
    base = flows.get(comparison.base.name)
    if base is None or len(flows) < 2:
        return None
    figure = go.Figure()
    for index, (name, flow) in enumerate(flows.items()):
        if flow is not base:
            months = min(len(flow.net), len(base.net))
            total = np.cumsum(flow.net[:months] - base.net[:months]) / 1e6
            figure.add_scatter(x=_text(flow.month_ends[:months]), y=total, name=name, mode="lines", line=line(index))
    figure.update_yaxes(title=f"cumulative cash against base ({style.million})")
    return dressed(figure, "Cash against base, undiscounted")


def _by_phase(forecast: Forecast, style: Style, what: str, title: str) -> go.Figure:
    liquids = [phase for phase in ("oil", "water") if _flows(forecast, f"{phase}_{what}")]
    gases = ["gas"] if _flows(forecast, f"gas_{what}") else []
    panels = [panel for panel in (liquids, gases) if panel] or [["oil"]]
    figure = make_subplots(rows=len(panels), cols=1, shared_xaxes=True, vertical_spacing=0.07)
    for row, panel in enumerate(panels, start=1):
        for phase in panel:
            name = f"{phase}_{what}"
            if name in forecast.well:
                colour, dash = PHASES[phase]
                values = style.value(forecast.well[name], COLUMNS[name])
                trace = go.Scatter(
                    x=_dates(forecast), y=values, name=phase, mode="lines",
                    line={"color": colour, "dash": dash, "width": 2},
                )  # fmt: skip
                figure.add_trace(trace, row=row, col=1)
        first = f"{panel[0]}_{what}"
        head = f"{' and '.join(panel)} {what} ({style.unit(COLUMNS[first])})"
        figure.update_yaxes(title=head, rangemode="tozero", row=row, col=1)
    return dressed(figure, title, height=180 + 200 * len(panels))


def _flows(forecast: Forecast, column: str) -> bool:
    return column in forecast.well and bool(np.nanmax(np.abs(forecast.well[column]), initial=0.0) > 0.0)


def _zone_lines(forecast: Forecast, column: str) -> dict[str, Floats]:
    if column not in forecast.zone:
        return {}
    return {zone.name: forecast.zone[column][:, i] for i, zone in enumerate(forecast.description.zones)}


def _add_lines(
    figure: go.Figure, forecast: Forecast, lines: dict[str, Floats | None], style: Style, quantity: str
) -> None:
    for index, (name, values) in enumerate(lines.items()):
        if values is not None:
            shown = style.value(values, quantity)
            figure.add_scatter(x=_dates(forecast), y=shown, name=name, mode="lines", line=line(index))


def _dates(forecast: Forecast) -> list[str]:
    return _text(forecast.dates)


def _text(dates: Iterable[np.datetime64]) -> list[str]:
    return [str(one.astype("datetime64[D]")) for one in dates]

"""What-ifs side by side with those that break a limit marked, and the margin to every limit over time."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.model.results import COLUMNS, Forecast, LimitSeries
from planner.report.figures import column_figure
from planner.report.frames import Style, words
from planner.report.look import FAINT, INK, RUST, dressed, line
from planner.report.tables import dates_of

MARK = "\u25b2"  # stands before the name of a what-if that breaks a limit
OVERLAID = 4  # forecasts that one chart still holds
ACROSS = 3


def marked(forecast: Forecast) -> str:
    """Name of a forecast, with a mark and a word where it breaks a limit."""
    broken = len({one.name for one in forecast.limits if one.broken})
    return f"{MARK} {forecast.name} ({broken} limit{'s' if broken > 1 else ''} broken)" if broken else forecast.name


def what_ifs_figure(forecasts: Sequence[Forecast], column: str, style: Style, title: str) -> go.Figure:
    """One column of the well for the base and its what-ifs: overlaid where few, else a small chart each with the base.

    forecasts: the base first. Those that break a limit are marked.
    """
    if len(forecasts) <= OVERLAID:
        figure = column_figure(forecasts, column, style, title)
        for trace, forecast in zip(figure.data, [f for f in forecasts if column in f.well], strict=True):
            trace.name = marked(forecast)
        return figure
    base, *others = (forecast for forecast in forecasts if column in forecast.well)
    rows = math.ceil(len(others) / ACROSS)
    figure = make_subplots(
        rows=rows, cols=ACROSS, shared_xaxes=True, shared_yaxes=True, horizontal_spacing=0.03,
        vertical_spacing=0.36 / max(rows, 2), subplot_titles=[_broken_in_two(marked(other)) for other in others],
    )  # fmt: skip
    for index, other in enumerate(others):
        row, col = 1 + index // ACROSS, 1 + index % ACROSS
        for forecast, look, name in (
            (base, {"color": INK, "dash": "dash", "width": 1.4}, marked(base)),
            (other, {"color": RUST, "dash": "solid", "width": 2.2}, "the what-if"),
        ):
            figure.add_trace(
                go.Scatter(
                    x=dates_of(forecast), y=style.value(forecast.well[column], COLUMNS[column]), mode="lines",
                    name=name, line=look, showlegend=index == 0, legendgroup=name,
                ),
                row=row, col=col,
            )  # fmt: skip
    dressed(figure, title, height=80 + 170 * rows)
    figure.update_layout(margin={"t": 48}, legend={"y": -0.16 / rows})
    figure.update_annotations(font={"size": 12})
    figure.update_yaxes(rangemode="tozero", nticks=4)
    figure.update_xaxes(nticks=5)
    for col in range(1, ACROSS + 1):
        lowest = (len(others) - col) // ACROSS + 1
        if lowest >= 1:
            figure.update_xaxes(showticklabels=True, row=lowest, col=col)
    for row in range(1, rows + 1):
        figure.update_yaxes(title=style.header(words(column), COLUMNS[column]), row=row, col=1, title_font={"size": 12})
    return figure


def _broken_in_two(name: str) -> str:
    """A title on two lines where it is long."""
    if len(name) <= 34 or " " not in name:
        return name
    middle = min((k for k, c in enumerate(name) if c == " "), key=lambda k: abs(k - len(name) / 2))
    return f"{name[:middle]}<br>{name[middle + 1 :]}"


def nearest_series(forecast: Forecast) -> list[LimitSeries]:
    """The series worth a line: every limit that was crossed, and of every other kind the place nearest to it."""
    worst: dict[str, LimitSeries] = {}
    for one in forecast.limit_series:  # worst first
        worst.setdefault(one.name, one)
    return [one for one in forecast.limit_series if one.crossed.any() or worst[one.name] is one]


def margins_figure(forecast: Forecast, style: Style) -> go.Figure | None:
    """What is left before each limit over time, as a share of it; below the line at 0 it is broken. None without."""
    shown = [one for one in nearest_series(forecast) if np.isfinite(one.margin).any()]
    if not shown:
        return None
    figure = go.Figure()
    for index, one in enumerate(shown):
        told = one.name if one.at else f"{one.name}, {one.where}"
        name = f"{MARK} {told}" if one.crossed.any() else told
        figure.add_scatter(
            x=dates_of(forecast), y=np.clip(one.margin, -1.0, 1.0), mode="lines", name=name, line=line(index),
            customdata=np.column_stack([style.value(one.value, one.quantity), style.value(one.limit, one.quantity)]),
            hovertemplate=f"%{{customdata[0]:.4~g}} of %{{customdata[1]:.4~g}} {style.unit(one.quantity)}"
            f"<extra>{name}</extra>",
        )  # fmt: skip
    figure.add_hline(y=0.0, line={"color": INK, "width": 1.2})
    dressed(figure, f"Margin to limits, {forecast.name}", height=330 + 20 * len(shown))
    figure.update_yaxes(title="margin (share of the limit)", range=[-1.05, 1.05], gridcolor=FAINT)
    return figure

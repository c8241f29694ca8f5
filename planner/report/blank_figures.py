"""Figures of what blank pipes are worth: bars with standard errors, by way of acting and by blank."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.model.blank_value import BlankValues, Worth
from planner.report.frames import Style
from planner.report.look import INK, bar, dressed

LARGE = 1e6


def ways_figure(found: BlankValues, style: Style) -> go.Figure:
    """Value of each way of acting with every blank there, with two standard errors."""
    scale, unit = _scale([way.value for way in found.ways], style)
    figure = go.Figure()
    names = [way.name for way in found.ways][::-1]
    worths = [way.value for way in found.ways][::-1]
    _bars(figure, names, worths, scale, "value", 2)
    figure.update_xaxes(title=f"value against doing nothing ({unit}), with two standard errors")
    return _sized(dressed(figure, "What acting is worth", 150 + 40 * len(names)))


def by_blank_figure(found: BlankValues, style: Style) -> go.Figure:
    """What the removal of each blank costs, by way of acting, with two standard errors; the dearest on top."""
    ways = [way.name for way in found.ways[1:]]
    scale, unit = _scale([blank.worth[way] for blank in found.blanks for way in ways], style)
    figure = go.Figure()
    names = [blank.name for blank in found.blanks][::-1]
    for number, way in enumerate(ways):
        _bars(figure, names, [blank.worth[way] for blank in found.blanks][::-1], scale, way, number)
    figure.update_xaxes(title=f"what its removal costs ({unit}), with two standard errors")
    made = dressed(figure, "Blanks by what their removal costs", 160 + 22 * len(names) * len(ways))
    return _sized(made)


def _bars(figure: go.Figure, names: list[str], worths: list[Worth], scale: float, name: str, series: int) -> None:
    errors = {"type": "data", "array": [2.0 * one.error / scale for one in worths], "color": INK}
    figure.add_bar(
        y=names, x=[one.mean / scale for one in worths], error_x=errors, orientation="h", name=name,
        marker=bar(series),
    )  # fmt: skip


def _scale(worths: list[Worth], style: Style) -> tuple[float, str]:
    largest = max((abs(one.mean) for one in worths), default=0.0)
    return (1e6, style.million) if largest >= LARGE else (1.0, style.unit("money"))


def _sized(figure: go.Figure) -> go.Figure:
    figure.update_layout(hovermode="closest", margin_l=190)
    return figure

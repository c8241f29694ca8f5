"""Figures of what blank pipes are worth: bars with standard errors, by way of acting and by blank."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.model.blank_value import BlankValue, BlankValues, Worth
from planner.report.ensemble_tables import draw_text
from planner.report.frames import Style
from planner.report.look import INK, bar, colour_of, dressed, line

LARGE = 1e6


def ways_figure(found: BlankValues, style: Style) -> go.Figure:
    """Value of each way of acting with every blank there, with two standard errors."""
    scale, unit = _scale([way.value for way in found.ways], style)
    figure = go.Figure()
    names = [way.name for way in found.ways][::-1]
    worths = [way.value for way in found.ways][::-1]
    _bars(figure, names, worths, scale, "value", 2)
    figure.update_xaxes(title=f"value ({unit}), two standard errors")
    return _sized(dressed(figure, "What acting is worth", 150 + 40 * len(names)))


def by_blank_figure(found: BlankValues, style: Style) -> go.Figure:
    """What the removal of each blank, and of those that stand in for each other, costs, by way of acting.

    With two standard errors; the dearest blank on top, groups below.
    """
    ways = [way.name for way in found.ways[1:]]
    rows = [(blank.name, blank.worth) for blank in found.blanks]
    rows += [(" and ".join(group.blanks), group.worth) for group in found.groups[:-1]]
    scale, unit = _scale([worth[way] for _, worth in rows for way in ways], style)
    figure = go.Figure()
    names = [name for name, _ in rows][::-1]
    for number, way in enumerate(ways):
        _bars(figure, names, [worth[way] for _, worth in rows][::-1], scale, way, number)
    figure.update_xaxes(title=f"what is lost without it ({unit}), two standard errors")
    made = dressed(figure, "Blanks by what their removal costs", 160 + 22 * len(names) * len(ways))
    return _sized(made)


def convergence_figure(found: BlankValues, style: Style) -> go.Figure:
    """Value of each way of acting over the first so many members, with two standard errors."""
    ways = [way.name for way in found.ways[1:]]
    scale, unit = _scale([one.values[way] for one in found.convergence for way in ways], style)
    figure = go.Figure()
    for number, way in enumerate(ways):
        worths = [one.values[way] for one in found.convergence]
        shift = 1.0 + 0.03 * (number - 0.5 * (len(ways) - 1))  # beside each other, not on top
        figure.add_scatter(
            x=[one.members * shift for one in found.convergence], y=[one.mean / scale for one in worths], name=way,
            error_y={"type": "data", "array": [2.0 * one.error / scale for one in worths]}, mode="lines+markers",
            line=line(number), marker={"symbol": number, "size": 9},
        )  # fmt: skip
    sizes = [one.members for one in found.convergence]
    figure.update_xaxes(title="members", type="log", tickvals=sizes, ticktext=[str(one) for one in sizes])
    figure.update_yaxes(title=f"value against doing nothing ({unit})")
    made = dressed(figure, "Whether more members would change it", 460)
    made.update_layout(hovermode="closest", legend_y=-0.24, margin_b=70)
    return made


def futures_figure(found: BlankValues, blank: BlankValue, style: Style) -> go.Figure:
    """Worth less price of one blank in every future, by the rank of the input that tells most about it."""
    told = blank.futures
    assert told is not None
    largest = max((abs(one) for one in told.over), default=0.0)
    scale, unit = (LARGE, style.million) if largest >= LARGE else (1.0, style.unit("money"))
    figure = go.Figure()
    for number, (name, pays, symbol) in enumerate((("pays", True, "circle"), ("does not pay", False, "x"))):
        places = [k for k, one in enumerate(told.over) if (one > 0.0) == pays]
        figure.add_scatter(
            x=[100.0 * told.rank[k] for k in places], y=[told.over[k] / scale for k in places], mode="markers",
            name=name, marker={"symbol": symbol, "size": 7, "color": colour_of(2 - number)},
            text=[f"rank {100.0 * told.rank[k]:.0f} %" for k in places],
        )  # fmt: skip
    flip = blank.drivers[0]
    where = draw_text(flip.input, flip.threshold, found.extra["draws"].inputs, style)
    figure.add_vline(x=100.0 * told.threshold, line={"color": INK, "dash": "dash"}, annotation_text=where)
    figure.add_hline(y=0.0, line={"color": INK, "width": 1})
    figure.update_xaxes(title=f"{told.input}: rank of the draw (%), low to high", range=[0.0, 100.0])
    figure.update_yaxes(title=f"worth less price ({unit})")
    made = dressed(figure, f"{blank.name}: futures in which it is worth its price", 420)
    made.update_layout(hovermode="closest", legend_y=-0.24, margin_b=70)
    return made


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
    below = -75.0 / (float(figure.layout.height) - 120.0)  # of the plot's height: under the title of the axis
    figure.update_layout(hovermode="closest", margin_l=200, margin_b=70, legend_y=below)
    figure.update_yaxes(automargin=True)
    return figure

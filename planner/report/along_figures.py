"""Views along the string and up the tubing: small charts side by side on one depth axis, true to depth.

Lines are told apart by their dash and named above each chart, so that nothing rests on colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.model.along_depth import (
    DEPTHS,
    GLYPHS,
    Depth,
    Line,
    Panel,
    axis_range,
    panels,
    piece_depths,
    points,
    tubing_panels,
    tubing_points,
)
from planner.model.results import Floats, FlowProfile
from planner.report.frames import Style
from planner.report.look import FAINT, GREEN, INDIGO, INK, OLIVE, PAPER, PHASES, PINK, QUIET, RUST, dressed

ACROSS = 5  # charts in a row
ROW_HEIGHT = 380  # px
LINE_OF_KEY = 14
ROLES = {
    "plain": INK, "pressure": INK, "oil": PHASES["oil"][0], "water": PHASES["water"][0], "gas": PHASES["gas"][0],
    "liquid": PHASES["liquid"][0], "limit a": INK, "limit b": INDIGO, "limit c": GREEN, "limit d": RUST,
    "limit e": PINK, "limit f": OLIVE,
}  # fmt: skip
APART = 1.0  # m between measured and true vertical depth from which a choice of the two is offered
Json = dict[str, Any]


def profile_figure(flow: FlowProfile, style: Style, depth: Depth = "md", title: str = "") -> go.Figure:
    """Along the string at an instant: pressure, drawdown, inflow per length, rates, velocities, margins to limits."""
    shown = panels(flow)
    drawn = [
        (panel, line, *points(flow, panel, line, depth), points(flow, panel, line, "tvd")[1], panel.stepped)
        for panel in shown for line in panel.lines
    ]  # fmt: skip
    figure = _grid(shown, drawn, style, depth, title or f"Along the string on {flow.date}")
    _add_zones(figure, flow, style, depth, len(shown))
    _add_choice(figure, flow, style, depth, [line[4] for line in drawn], len(shown))
    return figure


def tubing_figure(flow: FlowProfile, style: Style, depth: Depth = "md") -> go.Figure | None:
    """From the wellhead down the tubing and on into the string, at an instant; None without a tubing."""
    if flow.tubing is None:
        return None
    shown = tubing_panels(flow.tubing)
    drawn = []
    for panel in shown:
        for line in panel.lines:
            values, at = tubing_points(flow.tubing, line, depth)
            drawn.append((panel, line, values, at, at, False))
        column = panel.lines[0].column
        if column in ("pressure", "temperature") and column in flow.piece:
            tops, bases = piece_depths(flow.description.pieces, depth)
            below = Line(column, "in the string", "plain", "dot")
            middle = 0.5 * (tops + bases)
            drawn.append((panel, below, flow.piece[column], middle, middle, False))
    title = f"From the wellhead to the string on {flow.date} ({flow.tubing.method})"
    return _grid(shown, drawn, style, depth, title, across=len(shown))


Drawn = tuple[Panel, Line, Floats, Floats, Floats, bool]  # values and depths, depths as true vertical, stepped


def _grid(
    shown: Sequence[Panel], drawn: Sequence[Drawn], style: Style, depth: Depth, title: str, across: int = ACROSS
) -> go.Figure:
    """Charts of one depth axis in rows of not more than `across`, each with its title, unit and key above it."""
    across = min(across, max(len(shown), 1))
    rows = max(math.ceil(len(shown) / across), 1)
    keys = max((sum(one is panel for one, *_ in drawn) for panel in shown[across:]), default=1)
    height, gap = ROW_HEIGHT * rows, 44 + LINE_OF_KEY * (1 + keys)
    figure = make_subplots(
        rows=rows, cols=across, shared_yaxes=True, horizontal_spacing=0.025, vertical_spacing=gap / height
    )  # fmt: skip
    place = {panel.name: (1 + k // across, 1 + k % across) for k, panel in enumerate(shown)}
    for panel, line, values, at, _, _ in drawn:
        row, col = place[panel.name]
        unit = style.unit(panel.quantity)
        figure.add_trace(
            go.Scatter(
                x=style.value(values, panel.quantity), y=style.value(at, "length"), mode="lines",
                name=f"{panel.title}: {line.label}", showlegend=False,
                line={"color": ROLES[line.role], "dash": line.dash, "width": 2.2 if line.dash == "solid" else 1.8},
                hovertemplate=f"%{{x:.4~g}} {unit} at %{{y:,.0f}}<extra>{line.label}</extra>",
            ),
            row=row, col=col,
        )  # fmt: skip
    first = max((sum(one is panel for one, *_ in drawn) for panel in shown[:across]), default=1)
    top = 38 + LINE_OF_KEY * (1 + first)
    dressed(figure, title, height=top + 36 + height)
    figure.update_layout(hovermode="closest", margin={"l": 64, "r": 78, "t": top, "b": 36})
    figure.update_yaxes(autorange="reversed")
    figure.update_xaxes(nticks=4, tickformat=",.4~g", tickangle=0)
    for panel in shown:
        row, col = place[panel.name]
        lines = [line for other, line, *_ in drawn if other.name == panel.name]
        _name(figure, panel, lines, style, row, col)
        values = np.concatenate([style.value(of, panel.quantity) for other, _, of, *_ in drawn if other is panel])
        figure.update_xaxes(range=axis_range(values, panel), row=row, col=col)
        if panel.name == "margin":
            figure.add_vline(x=0.0, line={"color": INK, "width": 1}, row=row, col=col)
    for row in range(1, rows + 1):
        figure.update_yaxes(title=style.header(DEPTHS[depth], "length"), row=row, col=1)
    return figure


def _name(figure: go.Figure, panel: Panel, lines: Sequence[Line], style: Style, row: int, col: int) -> None:
    """Title with unit and, where there is more than one line, a key in the lines' own dashes, above a chart."""
    key = [f'<span style="color:{ROLES[line.role]}">{GLYPHS[line.dash]}</span> {line.label}' for line in lines]
    text = "<br>".join([f"<b>{style.header(panel.title, panel.quantity)}</b>", *(key if len(lines) > 1 else [])])
    axis = next(figure.select_xaxes(row=row, col=col))
    base = next(figure.select_yaxes(row=row, col=col))
    figure.add_annotation(
        text=text, x=axis.domain[0], y=base.domain[1], xref="paper", yref="paper", xanchor="left", yanchor="bottom",
        showarrow=False, align="left", font={"size": 12}, yshift=2,
    )  # fmt: skip


def zone_spans(flow: FlowProfile, depth: Depth) -> list[tuple[str, float, float]]:
    """Zones with the depths [m] of the pieces that belong to them."""
    tops, bases = piece_depths(flow.description.pieces, depth)
    found = []
    for zone in flow.description.zones:
        own = [k for k, piece in enumerate(flow.description.pieces) if piece.zone == zone.name]
        if own:
            found.append((zone.name, float(tops[own].min()), float(bases[own].max())))
    return found


def _zones(flow: FlowProfile, style: Style, depth: Depth, ends: list[float]) -> tuple[list[Json], list[Json]]:
    """Shapes of every second zone over the width of each row, and names of all zones beside it."""
    shapes, names = [], []
    for row in range(len(ends)):
        axis = "y" if row == 0 else f"y{row * ACROSS + 1}"
        for index, (zone, top, base) in enumerate(zone_spans(flow, depth)):
            y0, y1 = (float(style.value(value, "length")) for value in (top, base))
            if index % 2 == 0:
                shapes.append({
                    "type": "rect", "xref": "paper", "x0": 0, "x1": ends[row], "yref": axis, "y0": y0, "y1": y1,
                    "fillcolor": FAINT, "opacity": 0.4, "line": {"width": 0}, "layer": "below",
                })  # fmt: skip
            names.append({
                "text": zone, "xref": "paper", "x": ends[row] + 0.005, "xanchor": "left", "yref": axis,
                "y": 0.5 * (y0 + y1), "showarrow": False, "font": {"size": 12},
            })  # fmt: skip
    return shapes, names


def _ends(figure: go.Figure, count: int) -> list[float]:
    """Right end of the last chart of each row, as a share of the width."""
    rows = max(math.ceil(count / ACROSS), 1)
    last = [min(count - row * ACROSS, ACROSS) for row in range(rows)]
    return [float(next(figure.select_xaxes(row=row + 1, col=max(col, 1))).domain[1]) for row, col in enumerate(last)]


def _add_zones(figure: go.Figure, flow: FlowProfile, style: Style, depth: Depth, count: int) -> None:
    shapes, names = _zones(flow, style, depth, _ends(figure, count))
    for shape in shapes:
        figure.add_shape(**shape)
    for name in names:
        figure.add_annotation(**name)


def _add_choice(
    figure: go.Figure, flow: FlowProfile, style: Style, depth: Depth, vertical: Sequence[Floats], count: int
) -> None:  # fmt: skip
    """Buttons for measured or true vertical depth, where the two differ in a well that has a survey."""
    pieces = flow.description.pieces
    md, tvd = piece_depths(pieces, "md")[1], piece_depths(pieces, "tvd")[1]
    if depth != "md" or not np.abs(md - tvd).max(initial=0.0) > APART:
        return
    ends = _ends(figure, count)
    own = [trace.y for trace in figure.data]
    fixed = list(figure.layout.annotations)[:count]
    lines = [shape for shape in figure.layout.shapes if shape.type == "line"]
    choices: tuple[tuple[Depth, list[Floats]], ...] = (
        ("md", own), ("tvd", [style.value(values, "length") for values in vertical]),
    )  # fmt: skip
    buttons = []
    for which, ys in choices:
        shapes, names = _zones(flow, style, which, ends)
        header = style.header(DEPTHS[which], "length")
        titles = {f"yaxis{'' if row == 0 else row * ACROSS + 1}.title.text": header for row in range(len(ends))}
        args = [{"y": ys}, {"shapes": [*lines, *shapes], "annotations": [*fixed, *names], **titles}]
        buttons.append({"label": DEPTHS[which], "method": "update", "args": args})
    figure.update_layout(updatemenus=[{
        "type": "buttons", "direction": "right", "buttons": buttons, "x": 1.0, "xanchor": "right", "y": 1.0,
        "yanchor": "bottom", "pad": {"b": figure.layout.margin.t - 34}, "font": {"size": 12, "color": INK},
        "active": -1, "showactive": False, "bgcolor": PAPER, "bordercolor": QUIET,
    }])  # fmt: skip

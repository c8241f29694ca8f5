"""Figure along the hole: caliper against what fits, seats for seals, barriers and sands, grain size, strength."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from planner.model.case import Case
from planner.model.suitability_results import SuitabilityResult
from planner.report.frames import Style
from planner.report.look import (
    BLUE,
    DASHES,
    ELEMENTS,
    GREEN,
    INK,
    ORANGE,
    PINK,
    RED,
    SAND,
    SERIES,
    SHALE,
    WHITE,
    block,
    dressed,
    faded,
)

SIZES = (("d10", BLUE, "triangle-up"), ("d50", INK, "circle"), ("d90", PINK, "triangle-down"))


def suitability_figure(result: SuitabilityResult, case: Case, style: Style) -> go.Figure:
    """Four tracks against measured depth: hole, rock and string, grain size, drawdown that the rock stands."""
    figure = make_subplots(rows=1, cols=4, shared_yaxes=True, column_widths=[0.34, 0.22, 0.22, 0.22],
                           horizontal_spacing=0.03)  # fmt: skip
    _hole(figure, result, style)
    _rock(figure, result, case, style)
    _grains(figure, result, style)
    _strength(figure, result, style)
    dressed(figure, "Hole and sand along the well", height=680)
    depths = [float(style.value(edge, "length")) for edge in (result.hole_md[-1], result.hole_md[0])]
    figure.update_yaxes(range=depths)
    figure.update_yaxes(title=style.header("measured depth", "length"), row=1, col=1)
    figure.update_layout(hovermode="closest", barmode="overlay", bargap=0.1)
    return figure


def _hole(figure: go.Figure, result: SuitabilityResult, style: Style) -> None:
    """The hole as steps, and the least and greatest hole of every kind."""
    depth = np.repeat(style.value(result.hole_md, "length"), 2)[1:-1]
    size = np.repeat(style.value(result.hole_diameter, "diameter"), 2)
    figure.add_trace(
        go.Scatter(x=size, y=depth, name="hole", mode="lines", line={"color": INK, "width": 1.5}), row=1, col=1
    )
    ends = style.value(np.array([result.hole_md[0], result.hole_md[-1]]), "length")
    for index, (kind, limits) in enumerate(result.ranges.items()):
        for word, limit in zip(("least", "greatest"), limits, strict=True):
            if not np.isfinite(limit):
                continue
            shown = float(style.value(limit, "diameter"))
            look = {"color": SERIES[(index + 1) % len(SERIES)], "dash": DASHES[(index + 1) % len(DASHES)], "width": 1.5}
            figure.add_trace(
                go.Scatter(
                    x=[shown, shown], y=ends, mode="lines", line=look, name=kind, legendgroup=kind,
                    showlegend=word == "greatest" or not np.isfinite(limits[1]), hovertext=f"{word} hole of {kind}",
                    hoverinfo="text",
                ),
                row=1, col=1,
            )  # fmt: skip
    figure.update_xaxes(title=style.header("hole diameter", "diameter"), row=1, col=1)


def _rock(figure: go.Figure, result: SuitabilityResult, case: Case, style: Style) -> None:
    """Sands and barriers, seats for seals, and the string as given."""
    for sand in result.sands:
        _bar(figure, "rock", sand.top_md, sand.base_md, sand.name, SAND, "", style)
    for barrier in result.barriers:
        _bar(figure, "rock", barrier.top_md, barrier.base_md, f"barrier {barrier.name}", SHALE, "-", style)
    for seat in result.seats:
        for part in seat.stretches:
            _bar(figure, "seats", part.top_md, part.base_md, f"seat in {seat.barrier.name}", GREEN, "/", style)
    for element in case.string:
        colour, pattern = ELEMENTS.get(element.kind, (WHITE, ""))
        if element.kind not in ("packer", "plug"):
            label = element.name or element.kind
            _bar(figure, "string", element.top_md, element.base_md, label, colour, pattern, style)
    figure.update_xaxes(title="rock, seats, string", row=1, col=2)


def _bar(
    figure: go.Figure, column: str, top: float, base: float, text: str, colour: str, pattern: str, style: Style
) -> None:
    start, end = (float(style.value(depth, "length")) for depth in (top, base))
    figure.add_trace(
        go.Bar(
            x=[column], y=[end - start], base=[start], marker=block(colour, pattern, outline=1), showlegend=False,
            hovertext=[f"{text}<br>{start:,.1f} to {end:,.1f} {style.unit('length')}"], hoverinfo="text",
        ),
        row=1, col=2,
    )  # fmt: skip


def _grains(figure: go.Figure, result: SuitabilityResult, style: Style) -> None:
    depth = style.value(np.array([one.md for one in result.gradings]), "length")
    for name, colour, symbol in SIZES:
        size = style.value(np.array([getattr(one, name) for one in result.gradings]), "grain size")
        marker = {"color": colour, "symbol": symbol, "size": 9}
        figure.add_trace(
            go.Scatter(x=size, y=depth, mode="markers", marker=marker, name=name.upper(),
                       text=[one.name for one in result.gradings]), row=1, col=3,
        )  # fmt: skip
    title = style.header("grain size", "grain size")
    if result.gradings:
        figure.update_xaxes(type="log", dtick="D2", title=title, row=1, col=3)
    else:
        _nothing(figure, "no sample was sieved", title, 3)


def _strength(figure: go.Figure, result: SuitabilityResult, style: Style) -> None:
    known = [one for one in result.strengths if np.isfinite(one.open_hole) or np.isfinite(one.perforation)]
    depth = style.value(np.array([one.md for one in known]), "length")
    for name, colour, symbol in (("open_hole", INK, "circle"), ("perforation", ORANGE, "x")):
        stands = style.value(np.array([getattr(one, name) for one in known]), "pressure")
        words = "open hole stands" if name == "open_hole" else "perforations stand"
        marker = {"color": colour, "symbol": symbol, "size": 8}
        figure.add_trace(go.Scatter(x=stands, y=depth, mode="markers", marker=marker, name=words), row=1, col=4)
    for number, sand in enumerate(result.sands):
        planned = result.planned_drawdown[sand.name]
        if np.isfinite(planned):
            shown = float(style.value(planned, "pressure"))
            ends = style.value(np.array([sand.top_md, sand.base_md]), "length")
            line = {"color": faded(RED, 0.9), "width": 3}
            figure.add_trace(
                go.Scatter(x=[shown, shown], y=ends, mode="lines", line=line, name="planned drawdown",
                           legendgroup="planned", showlegend=number == 0), row=1, col=4,
            )  # fmt: skip
    title = style.header("drawdown", "pressure")
    if known:
        figure.update_xaxes(title=title, row=1, col=4)
    else:
        _nothing(figure, "strength or stress was not given", title, 4)


def _nothing(figure: go.Figure, text: str, title: str, column: int) -> None:
    """A track without data says why."""
    figure.update_xaxes(title=title, row=1, col=column)
    figure.add_annotation(text=text, showarrow=False, xref=f"x{column} domain", yref="paper", x=0.5, y=0.5,
                          textangle=-90)  # fmt: skip

"""Figures of a proposed split: value against the number of seals, and the string beside rock and seats."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.model.split_results import SplitResult
from planner.report.frames import Style
from planner.report.look import ELEMENTS, FAINT, GREEN, INK, SAND, block, dressed

TRACKS = ("rock", "seats", "string")


def seals_figure(result: SplitResult, style: Style) -> go.Figure:
    """Best value with just so many seals."""
    counts, values = list(result.by_seals), [value / 1e6 for value in result.by_seals.values()]
    figure = go.Figure()
    line = {"color": INK, "width": 2}
    figure.add_scatter(x=counts, y=values, mode="lines+markers", line=line, marker={"size": 8}, name="sum of parts")
    if result.checks:
        whole = [(one.seals, one.value_whole / 1e6) for one in result.checks]
        figure.add_scatter(
            x=[seals for seals, _ in whole], y=[value for _, value in whole], mode="lines+markers",
            line={"color": GREEN, "width": 2, "dash": "dash"}, marker={"size": 8, "symbol": "diamond"},
            name="the same string forecast as a whole",
        )  # fmt: skip
    figure.update_xaxes(title="seals", dtick=1)
    figure.update_yaxes(title=f"value ({style.million})")
    return dressed(figure, "Value against number of seals")


def string_figure(result: SplitResult, style: Style) -> go.Figure:
    """Sands and barriers, seats for seals, and the proposed joints along the hole."""
    figure = go.Figure()
    for sand in result.sands:
        _bar(figure, "rock", sand.top_md, sand.base_md, sand.name, SAND, "", style)
    for barrier in result.barriers:
        _bar(figure, "rock", barrier.top_md, barrier.base_md, f"barrier {barrier.name}", FAINT, "-", style)
    for seat in result.seats:
        for part in seat.stretches:
            _bar(figure, "seats", part.top_md, part.base_md, f"seat in {seat.barrier.name}", GREEN, "/", style)
    for row in result.tally:
        colour, pattern = ELEMENTS[row.kind]
        text = f"joint {row.number}, {row.element}"
        _bar(figure, "string", row.top_md, row.base_md, text, colour, pattern, style)
    for kind in dict.fromkeys(row.kind for row in result.tally):
        figure.add_bar(x=["string"], y=[None], name=kind, marker=block(*ELEMENTS[kind]))
    dressed(figure, f"Proposed string of {result.well}", height=680)
    figure.update_yaxes(autorange="reversed", title=style.header("measured depth", "length"))
    figure.update_layout(barmode="overlay", hovermode="closest", bargap=0.12)
    figure.update_xaxes(categoryorder="array", categoryarray=TRACKS, side="top", showgrid=False)
    return figure


def _bar(
    figure: go.Figure, track: str, top: float, base: float, text: str, colour: str, pattern: str, style: Style
) -> None:
    start, end = (float(style.value(depth, "length")) for depth in (top, base))
    figure.add_bar(
        x=[track], y=[end - start], base=[start], marker=block(colour, pattern), showlegend=False,
        text=[text if colour == SAND else ""], textposition="inside", insidetextanchor="middle", textangle=0,
        textfont={"color": INK, "size": 12},
        hovertext=[f"{text}<br>{start:,.1f} to {end:,.1f} {style.unit('length')}"], hoverinfo="text",
    )  # fmt: skip

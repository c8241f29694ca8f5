"""The sketch of the well along its measured depth, which increases downwards."""

from __future__ import annotations

from itertools import groupby

import plotly.graph_objects as go

from planner.model.results import PieceInfo, WellDescription
from planner.report.frames import Style
from planner.report.look import ELEMENTS, INK, SAND, WHITE, block, colour_of, dressed, faded

LEAST_LABELLED = 0.025  # share of the drawn depth that a block must have to hold a line of text


def sketch_figure(description: WellDescription, style: Style) -> go.Figure:
    """The well along its measured depth: rock on the left, the string in the middle, the zones on the right."""
    figure = go.Figure()
    span = description.pieces[-1].base_md - description.pieces[0].top_md
    for index, layer in enumerate(description.layers):
        text = f"{layer.name}<br>kh {layer.kh / 9.869232667160130e-16:,.0f} md m"
        _block(
            figure, "layers", layer.top_md, layer.base_md, layer.name, text, SAND, "" if index % 2 else ".", style, span
        )
    for element, kind, top, base in _elements(description.pieces):
        colour, pattern = ELEMENTS.get(kind, (WHITE, ""))
        label = element if kind != "isolation joint" else ""
        _block(figure, "string", top, base, label, f"{element}<br>{kind}", colour, pattern, style, span)
    for index, zone in enumerate(description.zones):
        how = f"can be shut by a {zone.shut_by}" if zone.shut_by else "cannot be shut on its own"
        text = f"{zone.name}<br>{how}"
        colour = faded(colour_of(index + 1), 0.25)
        _block(figure, "zones", zone.top_md, zone.base_md, text, text, colour, "", style, span)
    _add_key(figure, {piece.kind for piece in description.pieces})
    dressed(figure, f"Well {description.well}", height=640)
    figure.update_yaxes(autorange="reversed", title=style.header("measured depth", "length"))
    figure.update_layout(barmode="overlay", hovermode="closest", bargap=0.12)
    figure.update_xaxes(side="top", showgrid=False)
    return figure


def _block(
    figure: go.Figure,
    column: str,
    top: float,
    base: float,
    label: str,
    hover: str,
    colour: str,
    pattern: str,
    style: Style,
    span: float,
) -> None:
    """A rectangle from top to base in a column of the sketch, labelled if there is room. span: m from top to bottom."""
    start, end = style.value(top, "length"), style.value(base, "length")
    room = (base - top) / span >= LEAST_LABELLED
    figure.add_bar(
        x=[column],
        y=[end - start],
        base=[start],
        text=[label if room else ""],
        constraintext="none",
        textposition="inside",
        insidetextanchor="middle",
        textfont={"color": INK, "size": 12},
        textangle=0,
        hovertext=[f"{hover}<br>{start:,.1f} to {end:,.1f} {style.unit('length')}"],
        hoverinfo="text",
        showlegend=False,
        marker=block(colour, pattern),
    )


def _add_key(figure: go.Figure, kinds: set[str]) -> None:
    """Legend of the kinds of element, which the blocks themselves leave out."""
    for kind, (colour, pattern) in ELEMENTS.items():
        if kind in kinds:
            figure.add_bar(x=["string"], y=[None], name=kind, marker=block(colour, pattern))


def _elements(pieces: tuple[PieceInfo, ...]) -> list[tuple[str, str, float, float]]:
    """Pieces of bore put together again to elements: name, kind, top and base."""
    found: list[tuple[str, str, float, float]] = []
    for (name, kind), members in groupby(pieces, key=lambda piece: (piece.element, piece.kind)):
        run = list(members)
        found.append((name, kind, run[0].top_md, run[-1].base_md))
    return found

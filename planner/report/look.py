"""Colours, line styles and patterns of the figures; told apart without colour as well.

Colours: the set for colour-blind readers by Okabe and Ito 2008, Color Universal Design; graphite in place of black,
and without its yellow, which is too light for lines on white paper.
"""

from __future__ import annotations

import plotly.graph_objects as go

INK = "#26313a"
FAINT = "#d9dee2"
BLUE, SKY, GREEN, ORANGE, RED, PINK = "#0072b2", "#56b4e9", "#009e73", "#e69f00", "#d55e00", "#cc79a7"

LIGHT_LINES = {"fillmode": "overlay", "fgcolor": "#ffffff", "size": 7, "solidity": 0.25}
SAND = "#f2d9a0"

SERIES = (INK, RED, BLUE, GREEN, PINK, ORANGE, SKY)
DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")
PATTERNS = ("", "/", "x", "-", "|", "+", "\\", ".")

PHASES: dict[str, tuple[str, str]] = {
    "oil": (INK, "solid"),
    "liquid": (PINK, "longdash"),
    "water": (BLUE, "dash"),
    "gas": (RED, "dot"),
}

ELEMENTS: dict[str, tuple[str, str]] = {
    "casing": ("#8b949b", ""),
    "hanger": (INK, ""),
    "screen": (SKY, "x"),
    "blank pipe": ("#ffffff", ""),
    "isolation joint": (RED, ""),
    "open hole": ("#f3eee6", "."),
    "perforated casing": ("#8b949b", "-"),
    "packer": (PINK, ""),
    "plug": (PINK, "x"),
}


def line(index: int) -> dict[str, object]:
    """Line of the series at an index, the first bold: colour and dash go round with periods of their own."""
    width = 3.5 if index == 0 else 2
    return {"color": SERIES[index % len(SERIES)], "dash": DASHES[index % len(DASHES)], "width": width}


def colour_of(index: int) -> str:
    """Colour of the series at an index."""
    return SERIES[index % len(SERIES)]


def faded(colour: str, opacity: float) -> str:
    """A colour written #rrggbb with an opacity."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},{opacity:g})"


def bar(index: int) -> dict[str, object]:
    """Marker of the bars of the series at an index: colour and pattern."""
    return block(faded(colour_of(index), 0.85), PATTERNS[index % len(PATTERNS)], outline=0)


def block(colour: str, pattern: str, outline: int = 1) -> dict[str, object]:
    """Marker of a filled block: colour, light pattern over it, outline in ink."""
    over = {**LIGHT_LINES, "shape": pattern}
    return {"color": colour, "line": {"color": INK, "width": outline}, "pattern": over}


def pattern_of(index: int) -> dict[str, object]:
    """Pattern of the filled area of the series at an index."""
    return {**LIGHT_LINES, "shape": PATTERNS[index % len(PATTERNS)]}


def dressed(figure: go.Figure, title: str, height: int = 380) -> go.Figure:
    """Put the common look on a figure: white ground, light grid, legend below, ink for text."""
    figure.update_layout(
        template="none",
        title={"text": title, "x": 0.0, "xref": "paper", "font": {"size": 15}},
        font={"family": "Georgia, 'Times New Roman', serif", "size": 12, "color": INK},
        height=height,
        margin={"l": 70, "r": 20, "t": 50, "b": 40},
        legend={"orientation": "h", "yanchor": "top", "y": -0.14, "x": 0.0},
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        hovermode="x unified",
        barmode="group",
    )
    frame = {"gridcolor": FAINT, "linecolor": INK, "showline": True, "ticks": "outside", "zeroline": False}
    figure.update_xaxes(**frame)
    figure.update_yaxes(**frame)
    return figure

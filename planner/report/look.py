"""Colours, line styles and patterns of the figures, on paper and on a dark screen; told apart without colour as well.

The hues are those of the screens. Every line has a dash and every bar a pattern of its own beside its colour. Figures
are drawn in the colours of light paper; `DARK` says what each of them becomes on a dark ground.
"""

from __future__ import annotations

import plotly.graph_objects as go

INK, QUIET, FAINT, PAPER = "#17282b", "#526367", "#d9d4c6", "#fffefa"
WHITE = "#ffffff"
BLUE, GREEN, ORANGE, RED, PINK = "#1b66a6", "#0b6b66", "#a35a00", "#a3123f", "#93407f"
RUST, INDIGO, OLIVE = "#b4500f", "#3a4fa3", "#5c6b12"
LIQUID = "#3f5357"
STEEL, SLOTS, HOLE, SAND, SHALE = "#8fa0a4", "#8aa0a3", "#f3efe4", "#ead9ae", "#bdb9ac"

DARK: dict[str, str] = {
    INK: "#e8eeea", QUIET: "#a9b8b8", FAINT: "#314044", PAPER: "#182326", WHITE: "#182326",
    BLUE: "#74b9f2", GREEN: "#5fd0c4", ORANGE: "#f0ab4e", RED: "#ff9bb3", PINK: "#e29bd0",
    RUST: "#ffab70", INDIGO: "#a9b8ff", OLIVE: "#c9d65f", LIQUID: "#c3d0d0",
    STEEL: "#728488", SLOTS: "#6d8386", HOLE: "#243236", SAND: "#5d543a", SHALE: "#4a5658",
}  # fmt: skip

UNDER_AXIS = 68  # px from the lower axis to the legend: room for its labels and title

LIGHT_LINES = {"fillmode": "overlay", "fgcolor": WHITE, "size": 7, "solidity": 0.25}

SERIES = (INK, RUST, INDIGO, GREEN, PINK, OLIVE, RED)  # seven, so that six dashes go round beside them
DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")
PATTERNS = ("", "/", "x", "-", "|", "+", "\\", ".")

PHASES: dict[str, tuple[str, str]] = {
    "oil": (ORANGE, "solid"),
    "liquid": (LIQUID, "longdash"),
    "water": (BLUE, "dash"),
    "gas": (PINK, "dot"),
}

ELEMENTS: dict[str, tuple[str, str]] = {
    "casing": (STEEL, ""),
    "hanger": (INK, ""),
    "screen": (SLOTS, "x"),
    "blank pipe": (WHITE, ""),
    "isolation joint": (RUST, ""),
    "open hole": (HOLE, "."),
    "perforated casing": (STEEL, "-"),
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


def dressed(figure: go.Figure, title: str, height: int = 350) -> go.Figure:
    """Put the common look on a figure: clear ground, faint grid, legend below, ink for text.

    The title is the figure's name; it stands above the figure as text of the page, so the chart leaves no room for it.
    """
    figure.update_layout(
        template="none",
        title={"text": title},
        font={"family": "sans-serif", "size": 12, "color": INK},
        height=height,
        margin={"l": 70, "r": 20, "t": 20, "b": 50},
        legend={"orientation": "h", "yanchor": "top", "y": -UNDER_AXIS / (height - 60), "x": 0.0},
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        hoverlabel={"bgcolor": PAPER, "bordercolor": QUIET, "font": {"color": INK}},
        modebar={"bgcolor": "rgba(0,0,0,0)", "color": QUIET, "activecolor": GREEN},
        hovermode="x unified",
        barmode="group",
    )
    frame = {"gridcolor": FAINT, "linecolor": QUIET, "showline": True, "ticks": "outside", "zeroline": False}
    figure.update_xaxes(**frame)
    figure.update_yaxes(**frame)
    return figure

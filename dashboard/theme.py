"""Colours, line styles and templates: one palette for page, picture and charts, light and dark.

Phases keep one hue each (amber oil, blue water, plum gas), chosen to stay apart for the common forms of colour
blindness, and each has a hatch and a line style as well, so that nothing is said by colour alone.
"""

from __future__ import annotations

from typing import Any, Literal

Theme = Literal["light", "dark"]
Json = dict[str, Any]

FONT = '-apple-system, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", Arial, sans-serif'

COLOURS: dict[Theme, dict[str, str]] = {
    "light": {
        "paper": "#f3f1ea",
        "sheet": "#fffefa",
        "ink": "#17282b",
        "quiet": "#526367",
        "line": "#d9d4c6",
        "accent": "#0b5d59",
        "warn": "#8c2f00",
        "oil": "#a35a00",
        "water": "#1b66a6",
        "gas": "#93407f",
        "liquid": "#3f5357",
        "pressure": "#4c4a8f",
        "base": "#6b7779",
    },
    "dark": {
        "paper": "#10181a",
        "sheet": "#182326",
        "ink": "#e8eeea",
        "quiet": "#a9b8b8",
        "line": "#314044",
        "accent": "#67cdbf",
        "warn": "#ffb08a",
        "oil": "#f0ab4e",
        "water": "#74b9f2",
        "gas": "#e29bd0",
        "liquid": "#c3d0d0",
        "pressure": "#b5b3f5",
        "base": "#96a5a6",
    },
}

# What-ifs beside one another: hues that stay apart for the common forms of colour blindness, and dashes and hatches.
SERIES: dict[Theme, tuple[str, ...]] = {
    "light": ("#0b6b66", "#b4500f", "#3a4fa3", "#93407f", "#5c6b12", "#a3123f", "#2f7fb5", "#6b5846"),
    "dark": ("#5fd0c4", "#ffab70", "#a9b8ff", "#eb9fd8", "#c9d65f", "#ff9bb3", "#8ccbf7", "#d1bda6"),
}
SERIES_DASHES = ("solid", "dashdot", "dot", "longdash", "longdashdot", "solid", "dashdot", "dot")
SERIES_HATCH = ("", "/", ".", "x", "\\", "-", "+", "|")
PHASE_HATCH = {"oil": "", "water": "/", "gas": "."}
# Zones in charts by zone: lightness steps and dashes, top to bottom.
ZONE_DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")

MANTINE: Json = {
    "primaryColor": "well",
    "primaryShade": {"light": 8, "dark": 4},
    "autoContrast": True,
    "luminanceThreshold": 0.36,
    "defaultRadius": "sm",
    "fontFamily": FONT,
    "fontSizes": {"xs": "12px", "sm": "13px", "md": "14px", "lg": "16px", "xl": "19px"},
    "headings": {"fontFamily": FONT},
    "colors": {
        "well": [
            "#e9f4f1", "#d3e8e3", "#a9d2ca", "#86c9bd", "#67cdbf",
            "#3d9f93", "#23837a", "#136c67", "#0b5d59", "#074744",
        ],
        "dark": [
            "#e8eeea", "#c4d0cf", "#a9b8b8", "#7d8d8e", "#48595d",
            "#314044", "#223034", "#182326", "#131c1f", "#0c1315",
        ],
    },
}  # fmt: skip


def template(theme: Theme) -> Json:
    """A plotly layout template in the product's look, as plain JSON."""
    c = COLOURS[theme]
    axis = {
        "gridcolor": c["line"],
        "linecolor": c["line"],
        "zeroline": False,
        "ticks": "outside",
        "ticklen": 3,
        "tickcolor": c["line"],
        "tickfont": {"size": 12, "color": c["quiet"]},
        "title": {"font": {"size": 12, "color": c["quiet"]}, "standoff": 4},
        "automargin": False,
    }
    return {
        "layout": {
            "font": {"family": FONT, "size": 12, "color": c["ink"]},
            "paper_bgcolor": "rgba(0,0,0,0)",
            "plot_bgcolor": "rgba(0,0,0,0)",
            "margin": {"l": 56, "r": 12, "t": 8, "b": 26},
            "xaxis": {**axis, "showgrid": False},
            "yaxis": {**axis, "rangemode": "tozero", "nticks": 6},
            "hovermode": "x unified",
            "hoverlabel": {"font": {"size": 12, "color": c["ink"]}, "bgcolor": c["sheet"], "bordercolor": c["line"]},
            "legend": {"orientation": "h", "x": 0, "y": 1.0, "yanchor": "bottom", "font": {"size": 12}},
            "modebar": {"color": c["quiet"], "activecolor": c["accent"], "bgcolor": "rgba(0,0,0,0)"},
            "bargap": 0.35,
        }
    }

"""Views along depth: which panels there are, which lines each holds, and the points of a line. No drawing, no units.

Report and dashboard draw the same panels from here, each in its own look.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from planner.model.results import COLUMNS, Floats, FlowProfile, Forecast, PieceInfo, TubingProfile

Depth = Literal["md", "tvd"]
# SI; a line that stays below shows no more than fluids at rest that creep
LEAST = {
    "liquid rate": 1e-7, "gas rate": 1e-5, "inflow per length": 1e-9, "gas inflow per length": 1e-7, "velocity": 1e-6,
    "pressure": 1e2,
}  # fmt: skip
IN_STEP = 1e4  # Pa: an annulus this near to the bore needs no line of its own
DEPTHS: dict[Depth, str] = {"md": "measured depth", "tvd": "true vertical depth"}
# How the key of a panel writes each dash of a line
GLYPHS = {
    "solid": "\u2501\u2501", "dash": "\u2505\u2505", "dot": "\u00b7\u00b7\u00b7", "dashdot": "\u2501\u00b7",
    "longdash": "\u2501 \u2501", "longdashdot": "\u2501 \u00b7", "12px,4px,4px,4px": "\u2501\u2501 \u2505",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A column of pieces or of tubing nodes: its name for people, its role (for colour) and its dash."""

    column: str
    label: str
    role: str
    dash: str = "solid"


@dataclass(frozen=True)
class Panel:
    """A small chart against depth. stepped: values hold over a piece; otherwise they are joined between middles."""

    name: str
    title: str
    quantity: str
    lines: tuple[Line, ...]
    stepped: bool = True


INFLOW = tuple(
    Line(f"{phase}_inflow_per_length", phase, phase, dash)
    for phase, dash in (("oil", "solid"), ("water", "dash"), ("gas", "solid"))
)
RATES = tuple(
    Line(f"{phase}_rate", phase, phase, dash) for phase, dash in (("oil", "solid"), ("water", "dash"), ("gas", "solid"))
)
MARGINS = (
    Line("drawdown_margin", "sand drawdown", "limit a", "solid"),
    Line("screen_margin", "screen flux", "limit b", "dash"),
    Line("bore_velocity_margin", "bore velocity", "limit c", "dot"),
    Line("erosional_margin", "erosional velocity", "limit d", "dashdot"),
    Line("seal_margin", "seals and plugs", "limit e", "longdash"),
    Line("fracture_margin", "fracture pressure", "limit f", "longdashdot"),
    Line("loading_margin", "liquid loading", "limit a", "12px,4px,4px,4px"),
)
STRING: tuple[Panel, ...] = (
    Panel(
        "pressure", "pressure", "pressure",
        (Line("pressure", "bore", "pressure"), Line("annulus_pressure", "annulus", "pressure", "dot")), stepped=False,
    ),
    Panel(
        "drawdown", "drawdown and losses", "pressure",
        (
            Line("drawdown", "rock less bore", "plain"), Line("skin_loss", "lost to skin", "plain", "dash"),
            Line("screen_loss", "lost in screen", "plain", "dot"),
        ),
    ),
    Panel(
        "inflow", "inflow", "inflow per length",
        (*INFLOW[:2], Line("reservoir_inflow_per_length", "all, in place", "plain", "dot")),
    ),
    Panel("gas inflow", "gas inflow", "gas inflow per length", INFLOW[2:]),
    Panel("rate", "rate in the bore", "liquid rate", (*RATES[:2], Line("bore_rate", "all, in place", "plain", "dot"))),
    Panel("gas rate", "gas in the bore", "gas rate", RATES[2:]),
    Panel(
        "velocity", "velocity", "velocity",
        (Line("velocity", "bore", "plain"), Line("annulus_velocity", "annulus", "plain", "dot")),
    ),
    Panel("screen flux", "flow through screen", "velocity", (Line("screen_velocity", "through screen", "plain"),)),
    Panel("margin", "margin to limits", "fraction", MARGINS),
)  # fmt: skip
TUBING: tuple[Panel, ...] = (
    Panel("pressure", "pressure", "pressure", (Line("pressure", "pressure", "pressure"),), stepped=False),
    Panel("temperature", "temperature", "temperature", (Line("temperature", "fluid", "plain"),), stepped=False),
    Panel("holdup", "liquid in place", "fraction", (Line("holdup", "liquid", "liquid"),), stepped=False),
    Panel(
        "velocity", "velocity", "velocity",
        (
            Line("velocity", "mixture", "plain"), Line("liquid_velocity", "liquid, superficial", "liquid", "dash"),
            Line("gas_velocity", "gas, superficial", "gas", "dot"),
        ),
        stepped=False,
    ),
    Panel(
        "density", "density of the mixture", "density", (Line("mixture_density", "in place", "plain"),), stepped=False
    ),
    Panel("margin", "margin to limits", "fraction", MARGINS, stepped=False),
)  # fmt: skip


def at_date(forecast: Forecast, row: int) -> FlowProfile:
    """A report date of a forecast as a profile along the string; limits as they stood on that date."""
    rows = slice(row, row + 1) if row >= 0 else slice(row, row + 1 or None)
    standing = [one for one in forecast.limit_series if np.isfinite(one.value[row])]
    return FlowProfile(
        date=str(forecast.dates[row].astype("datetime64[D]")),
        description=forecast.description,
        well={name: float(values[row]) for name, values in forecast.well.items()},
        zone={name: values[row] for name, values in forecast.zone.items()},
        layer={name: values[row] for name, values in forecast.layer.items()},
        piece={name: values[row] for name, values in forecast.piece.items()},
        control=forecast.control[row],
        limits=tuple(one.check(row, forecast.days, rows) for one in standing),
        warnings=forecast.warnings,
    )


def panels(profile: FlowProfile, wanted: Iterable[str] | None = None) -> tuple[Panel, ...]:
    """The panels along the string that hold something, each with the lines that do. wanted: names of panels."""
    gas_alone = profile.description.kind.startswith("gas")
    shown = [_with_content(panel, profile.piece) for panel in STRING if wanted is None or panel.name in wanted]
    if gas_alone:  # what all phases take in place is the gas; it would dwarf the liquids
        shown = [_less(panel, "reservoir_inflow_per_length", "bore_rate") for panel in shown]
    return tuple(panel for panel in shown if panel.lines)


def tubing_panels(profile: TubingProfile, wanted: Iterable[str] | None = None) -> tuple[Panel, ...]:
    """The panels along the tubing that hold something."""
    shown = [_with_content(panel, profile.columns) for panel in TUBING if wanted is None or panel.name in wanted]
    return tuple(panel for panel in shown if panel.lines)


def piece_depths(pieces: tuple[PieceInfo, ...], depth: Depth) -> tuple[Floats, Floats]:
    """Tops and bases of pieces [m]."""
    if depth == "md":
        return np.array([piece.top_md for piece in pieces]), np.array([piece.base_md for piece in pieces])
    tops = np.array([piece.tvd if np.isnan(piece.top_tvd) else piece.top_tvd for piece in pieces])
    bases = np.array([piece.tvd if np.isnan(piece.base_tvd) else piece.base_tvd for piece in pieces])
    return tops, bases


def points(profile: FlowProfile, panel: Panel, line: Line, depth: Depth = "md") -> tuple[Floats, Floats]:
    """(Values, depths) of a line along the string in SI: two points a piece where stepped, its middle otherwise."""
    tops, bases = piece_depths(profile.description.pieces, depth)
    values = np.asarray(profile.piece[line.column], dtype=np.float64)
    if not panel.stepped:
        return values, 0.5 * (tops + bases)
    return np.repeat(values, 2), np.column_stack([tops, bases]).ravel()


def tubing_points(profile: TubingProfile, line: Line, depth: Depth = "md") -> tuple[Floats, Floats]:
    """(Values, depths) of a line along the tubing in SI."""
    return profile.columns[line.column], profile.columns[depth]


def axis_range(values: Floats, panel: Panel) -> list[float]:
    """Range of a panel's axis for values in the shown unit, with room; from 0, but for temperature and density."""
    finite = values[np.isfinite(values)]
    low, high = (float(finite.min()), float(finite.max())) if finite.size else (0.0, 1.0)
    if panel.name not in ("temperature", "density"):
        low, high = min(low, 0.0), max(high, 0.0)
    room = 0.06 * (high - low) or 1.0
    return [low - (room if low else 0.3 * room), high + room]


def _with_content(panel: Panel, columns: Mapping[str, Floats]) -> Panel:
    kept = tuple(line for line in panel.lines if line.column in columns and _tells(columns[line.column], line.column))
    if any(line.column == "annulus_pressure" for line in kept) and "pressure" in columns:
        apart = np.abs(columns["annulus_pressure"] - columns["pressure"])
        if not np.nanmax(apart, initial=0.0) > IN_STEP:
            kept = tuple(line for line in kept if line.column != "annulus_pressure")
    return replace(panel, lines=kept)


def _tells(values: Floats, column: str) -> bool:
    finite = np.abs(values[np.isfinite(values)])
    if column.endswith("_margin"):
        return bool(finite.size)
    return bool(finite.size and finite.max() > LEAST.get(COLUMNS[column], 0.0))


def _less(panel: Panel, *columns: str) -> Panel:
    return replace(panel, lines=tuple(line for line in panel.lines if line.column not in columns))

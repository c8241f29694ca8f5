"""Charts that hold the zones side by side: recovery, and oil and water to date."""

from __future__ import annotations

from typing import Any

from dashboard.figures.frame import figure, values
from dashboard.measure import System, unit
from dashboard.theme import COLOURS, PHASE_HATCH, Theme
from planner.model.results import COLUMNS, Forecast

Json = dict[str, Any]


def _bars(forecast: Forecast, name: str, label: str, system: System, fill: str, edge: str, hatch: str, at: int) -> Json:
    return {
        "type": "bar",
        "orientation": "h",
        "name": label,
        "y": [zone.name for zone in forecast.description.zones],
        "x": values(forecast.zone[name][at], name, system),
        "marker": {
            "color": fill,
            "line": {"color": edge, "width": 1.2},
            "pattern": {"shape": hatch, "size": 6, "solidity": 0.25, "fillmode": "overlay"},
        },
        "hovertemplate": f"%{{x:,.4~r}} {unit(COLUMNS[name], system)}<extra>{label}</extra>",
    }


def _pair(
    base: Forecast, other: Forecast | None, name: str, label: str, colour: str, hatch: str, system: System,
    theme: Theme, at: int,
) -> list[Json]:  # fmt: skip
    """The base as an empty frame, the what-if as a filled bar above it."""
    c = COLOURS[theme]
    frame = [_bars(base, name, f"{label}, base", system, "rgba(0,0,0,0)", c["base"], "", at)]
    if other is None:
        return [_bars(base, name, label, system, c[colour], c[colour], hatch, at)]
    return [*frame, _bars(other, name, label, system, c[colour], c[colour], hatch, at)]


def recovery(base: Forecast, other: Forecast | None, system: System, theme: Theme, at: int = -1) -> Json:
    """Recovery factor by zone at a report date (the last by default), in percent of what was in place."""
    return _drawn(_pair(base, other, "recovery_factor", "recovery", "accent", "", system, theme, at), base, theme)


def produced(base: Forecast, other: Forecast | None, phase: str, system: System, theme: Theme, at: int = -1) -> Json:
    """Volume of a phase by zone up to a report date."""
    hatch = PHASE_HATCH[phase]
    return _drawn(_pair(base, other, f"{phase}_volume", phase, phase, hatch, system, theme, at), base, theme)


def titles(phase: str, system: System) -> dict[str, str]:
    """Headings of the three charts, with units."""
    volume = unit(COLUMNS[f"{phase}_volume"], system)
    water = unit(COLUMNS["water_volume"], system)
    return {
        "recovery": "Recovery at the end, %",
        "main": f"{phase.capitalize()} to the end, {volume}",
        "water": f"Water to the end, {water}",
    }


def _drawn(traces: list[Json], base: Forecast, theme: Theme) -> Json:
    """Bars side by side, the top zone on top; the left margin follows the longest name."""
    longest = max((len(zone.name) for zone in base.description.zones), default=4)
    return figure(
        theme,
        traces,
        barmode="group",
        hovermode="closest",
        showlegend=False,
        margin={"l": min(140, 14 + 7 * longest), "r": 12, "t": 6, "b": 24},
        yaxis={"autorange": "reversed", "ticks": "", "showgrid": False},
        xaxis={"showgrid": True, "rangemode": "tozero", "nticks": 4, "tickangle": 0},
    )

"""Charts that hold several what-ifs: one column over time, one column by zone."""

from __future__ import annotations

from typing import Any

from dashboard.figures.frame import column, dates, figure, values
from dashboard.measure import System, unit
from dashboard.theme import COLOURS, SERIES, SERIES_DASHES, SERIES_HATCH, Theme
from planner.model.results import COLUMNS, Forecast

Json = dict[str, Any]
BASE = "base"
OVER_TIME = (
    "oil_rate", "water_rate", "gas_rate", "liquid_rate", "water_cut", "gas_oil_ratio", "bottom_hole_pressure",
    "drawdown", "pressure", "oil_volume", "water_volume", "gas_volume", "recovery_factor",
)  # fmt: skip


def words(name: str) -> str:
    """'water_cut' as 'Water cut'; volumes are those to date."""
    text = name.replace("_volume", " to date").replace("_", " ")
    return text[:1].upper() + text[1:]


def columns_of(forecast: Forecast, zone: int | None) -> list[str]:
    """Columns over time that the engine gave, for the well or for a zone."""
    return [name for name in OVER_TIME if column(forecast, name, zone) is not None]


def style(name: str, at: int, theme: Theme) -> tuple[str, str, str]:
    """(colour, dash, hatch) of the what-if at a place of the comparison; the base is grey and dashed throughout."""
    if name == BASE:
        return COLOURS[theme]["base"], "dash", ""
    palette = SERIES[theme]
    return palette[at % len(palette)], SERIES_DASHES[at % len(SERIES_DASHES)], SERIES_HATCH[at % len(SERIES_HATCH)]


def over_time(
    runs: dict[str, Forecast], name: str, system: System, theme: Theme, zone: int | None = None, gap: bool = False
) -> Json:
    """One line a what-if; gap: the difference to the base instead of the value itself."""
    traces = []
    before = column(runs[BASE], name, zone)
    for at, (what_if, run) in enumerate(runs.items(), start=-1):
        found = column(run, name, zone)
        if found is None or (gap and what_if == BASE):
            continue
        if gap and before is not None:
            found = found[: len(before)] - before[: len(found)]
        colour, dash, _ = style(what_if, at, theme)
        told = "Base" if what_if == BASE else what_if
        traces.append(
            {
                "type": "scatter", "mode": "lines", "name": told, "x": dates(run), "y": values(found, name, system),
                "line": {"color": colour, "dash": dash, "width": 2.2},
                "hovertemplate": f"%{{y:,.4~r}} {unit(COLUMNS[name], system)}<extra>{told[:36]}</extra>",
            }
        )  # fmt: skip
    floor = "normal" if gap or name in ("pressure", "bottom_hole_pressure") else "tozero"
    return figure(
        theme, traces, yaxis={"rangemode": floor}, showlegend=False, margin={"l": 60, "r": 12, "t": 8, "b": 26}
    )


def by_zone(runs: dict[str, Forecast], name: str, system: System, theme: Theme) -> Json:
    """One bar a zone and what-if, at the end."""
    traces = []
    for at, (what_if, run) in enumerate(runs.items(), start=-1):
        if name not in run.zone:
            continue
        colour, _, hatch = style(what_if, at, theme)
        told = "Base" if what_if == BASE else what_if
        traces.append(
            {
                "type": "bar", "name": told, "x": [zone.name for zone in run.description.zones],
                "y": values(run.zone[name][-1], name, system),
                "marker": {"color": colour, "pattern": {"shape": hatch, "size": 5, "solidity": 0.3, "fgcolor": "#fff"}},
                "hovertemplate": f"%{{y:,.4~r}} {unit(COLUMNS[name], system)}<extra>{told[:36]}</extra>",
            }
        )  # fmt: skip
    return figure(theme, traces, barmode="group", hovermode="closest", showlegend=False, bargap=0.25)

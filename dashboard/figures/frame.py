"""What all charts share: an empty figure, a line of the base and a line of the what-if."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from dashboard.measure import System, in_percent, shown, unit
from dashboard.theme import Theme, template
from planner.model.results import COLUMNS, Floats, Forecast

Json = dict[str, Any]


def figure(theme: Theme, traces: list[Json], **layout: Any) -> Json:
    """A figure as plain JSON, in the look of the theme."""
    return {"data": traces, "layout": {"template": template(theme), "uirevision": "keep", **layout}}


def title_of(name: str, quantity: str, system: System) -> str:
    """'Oil rate, bbl/d'."""
    label = unit(quantity, system)
    return f"{name}, {label}" if label else name


def column(forecast: Forecast, name: str, zone: int | None = None) -> Floats | None:
    """A column of the well, or of one zone, in SI; None where the engine gave none."""
    if zone is None:
        return forecast.well.get(name)
    found = forecast.zone.get(name)
    return None if found is None else found[:, zone]


def values(si: Floats, name: str, system: System) -> list[float | None]:
    """A column in shown units, rounded to what a chart can show; gaps where it is not finite."""
    quantity = COLUMNS[name]
    numbers = np.asarray(in_percent(shown(si, quantity, system), quantity), dtype=float)
    sizes = np.where(np.isfinite(numbers) & (numbers != 0.0), np.abs(numbers), 1.0)
    digits = 5 - np.floor(np.log10(sizes)).astype(int)
    listed = numbers.tolist()
    return [round(x, d) if isfinite(x) else None for x, d in zip(listed, digits.tolist(), strict=True)]


def dates(forecast: Forecast) -> list[str]:
    """Report dates as text."""
    return [str(day) for day in forecast.dates]


def life_line(
    forecast: Forecast,
    name: str,
    label: str,
    colour: str,
    system: System,
    *,
    is_base: bool,
    zone: int | None = None,
) -> Json | None:
    """A line over time: the base dashed and thin, the what-if solid; None where the engine gave no such column."""
    found = column(forecast, name, zone)
    if found is None:
        return None
    text = unit(COLUMNS[name], system)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": label,
        "x": dates(forecast),
        "y": values(found, name, system),
        "line": {"color": colour, "width": 1.6 if is_base else 2.4, "dash": "dash" if is_base else "solid"},
        "opacity": 0.85 if is_base else 1.0,
        "hovertemplate": f"%{{y:,.4~r}} {text}<extra>{label}</extra>",
        "showlegend": False,
    }

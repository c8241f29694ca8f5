"""Flow along the hole at one report date: inflow by phase, flow in the bore, pressures; depth downwards."""

from __future__ import annotations

from typing import Any

import numpy as np

from dashboard.figures.frame import figure, values
from dashboard.measure import System, in_percent, shown, unit
from dashboard.theme import COLOURS, PHASE_HATCH, Theme
from planner.model.results import COLUMNS, Floats, Forecast

Json = dict[str, Any]
GAP = 0.05  # of the width, between tracks


def along_hole(run: Forecast, base: Forecast | None, at: int, system: System, theme: Theme) -> Json:
    """Three tracks on one depth axis: what comes in, what flows past, pressures. The base as a thin dashed line."""
    tracks = [
        _inflow(run, at, system, theme),
        _bore(run, base, at, system, theme),
        _pressure(run, base, at, system, theme),
    ]
    width = (1 - GAP * (len(tracks) - 1)) / len(tracks)
    traces: list[Json] = []
    layout: Json = {"barmode": "relative", "hovermode": "closest", "showlegend": False, "bargap": 0.0}
    for number, (title, drawn) in enumerate(tracks, start=1):
        mark = "" if number == 1 else str(number)
        start = (number - 1) * (width + GAP)
        layout[f"xaxis{mark}"] = {
            "domain": [start, start + width], "anchor": "y", "title": {"text": title}, "side": "top", "showgrid": True,
            "nticks": 5,
        }  # fmt: skip
        traces += [{**trace, "xaxis": f"x{mark}", "yaxis": "y"} for trace in drawn]
    layout["yaxis"] = {
        "autorange": "reversed",
        "title": {"text": f"MD, {unit('length', system)}"},
        "rangemode": "normal",
        "nticks": 12,
    }
    layout["margin"] = {"l": 62, "r": 12, "t": 44, "b": 8}
    layout["shapes"] = [_band(zone.top_md, zone.base_md, system, theme) for zone in run.description.zones]
    layout["annotations"] = [_label(zone.name, zone.top_md, system, theme) for zone in run.description.zones]
    return figure(theme, traces, **layout)


def _depths(run: Forecast, system: System) -> tuple[list[float], list[float]]:
    """Middle and length of each piece, in shown units."""
    pieces = run.description.pieces
    middle = [float(shown(0.5 * (p.top_md + p.base_md), "length", system)) for p in pieces]
    length = [float(shown(p.base_md - p.top_md, "length", system)) for p in pieces]
    return middle, length


def _inflow(run: Forecast, at: int, system: System, theme: Theme) -> tuple[str, list[Json]]:
    middle, length = _depths(run, system)
    main = ("gas",) if run.description.kind.startswith("gas") else ("oil", "water")
    traces = []
    for phase in main:
        name = f"{phase}_inflow"
        if name not in run.piece:
            continue
        traces.append(
            {
                "type": "bar", "orientation": "h", "name": phase, "y": middle, "width": length,
                "x": values(run.piece[name][at], name, system),
                "marker": {"color": COLOURS[theme][phase], "line": {"width": 0},
                           "pattern": {"shape": PHASE_HATCH[phase], "size": 5, "solidity": 0.25}},
                "customdata": [p.element for p in run.description.pieces],
                "hovertemplate": f"%{{customdata}}, %{{y:,.0f}} {unit('length', system)}: "
                                 f"%{{x:,.4~g}} {unit(COLUMNS[name], system)}<extra>{phase}</extra>",
            }
        )  # fmt: skip
    quantity = COLUMNS[f"{main[0]}_inflow"]
    return f"Inflow of a piece, {unit(quantity, system)}", traces


def _line(
    found: Floats, run: Forecast, quantity: str, name: str, colour: str, system: System, dash: str = "solid"
) -> Json:
    middle, _ = _depths(run, system)
    numbers = np.asarray(in_percent(shown(found, quantity, system), quantity), dtype=float)
    return {
        "type": "scatter", "mode": "lines", "name": name, "y": middle,
        "x": [float(f"{x:.6g}") if np.isfinite(x) else None for x in numbers],
        "line": {"color": colour, "width": 1.5 if dash != "solid" else 2.2, "dash": dash},
        "hovertemplate": f"%{{y:,.0f}} {unit('length', system)}: %{{x:,.5~g}} {unit(quantity, system)}"
                         f"<extra>{name}</extra>",
    }  # fmt: skip


def _bore(run: Forecast, base: Forecast | None, at: int, system: System, theme: Theme) -> tuple[str, list[Json]]:
    c, name = COLOURS[theme], "bore_rate"
    traces = (
        [_line(run.piece[name][at], run, COLUMNS[name], "in the bore", c["accent"], system)]
        if name in run.piece
        else []
    )
    if base is not None and name in base.piece:
        traces.insert(0, _line(base.piece[name][at], base, COLUMNS[name], "base", c["base"], system, "dash"))
    return f"Flow in the bore, {unit(COLUMNS[name], system)}", traces


def _pressure(run: Forecast, base: Forecast | None, at: int, system: System, theme: Theme) -> tuple[str, list[Json]]:
    c = COLOURS[theme]
    traces = []
    for name, told, colour in (
        ("pressure", "bore", c["liquid"]),
        ("annulus_pressure", "outside the screen", c["pressure"]),
    ):
        found = run.piece.get(name)
        if found is not None:
            traces.append(
                _line(found[at], run, "pressure", told, colour, system, "solid" if name == "pressure" else "dot")
            )
    if base is not None and "pressure" in base.piece:
        traces.insert(0, _line(base.piece["pressure"][at], base, "pressure", "bore, base", c["base"], system, "dash"))
    return f"Pressure, {unit('pressure', system)}", traces


def _band(top: float, base: float, system: System, theme: Theme) -> Json:
    return {
        "type": "rect", "xref": "paper", "x0": 0, "x1": 1, "y0": float(shown(top, "length", system)),
        "y1": float(shown(base, "length", system)), "fillcolor": COLOURS[theme]["line"], "opacity": 0.28,
        "line": {"width": 0}, "layer": "below",
    }  # fmt: skip


def _label(name: str, top: float, system: System, theme: Theme) -> Json:
    return {
        "xref": "paper", "x": 0.995, "y": float(shown(top, "length", system)), "text": f"<b>{name}</b>",
        "showarrow": False,
        "xanchor": "right", "yanchor": "top", "font": {"size": 12, "color": COLOURS[theme]["ink"]},
    }  # fmt: skip

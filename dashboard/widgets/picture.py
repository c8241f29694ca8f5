"""JSON that the drawing of the well needs: parts, zones and layers by depth, and the flow at every report date."""

from __future__ import annotations

from typing import Any

import numpy as np

from dashboard.measure import System, amount, in_percent, number, shown, unit
from planner.model.case import Case
from planner.model.results import COLUMNS, Floats, Forecast, WellDescription

Json = dict[str, Any]
SEALS = ("hanger", "isolation joint", "packer", "plug")


def numbers(si: Any, quantity: str, system: System, digits: int = 5) -> list[Any]:
    """Nested lists in shown units, rounded to significant digits; 0 where not finite."""
    values = np.asarray(in_percent(shown(si, quantity, system), quantity), dtype=float)
    values = np.where(np.isfinite(values), values, 0.0)
    step = 10.0 ** (np.floor(np.log10(np.where(values == 0, 1.0, np.abs(values)))) - digits + 1)
    rounded: list[Any] = np.round(np.round(values / step) * step, 9).tolist()
    return rounded


def well(case: Case, told: WellDescription, system: System) -> Json:
    """What stands still: zones, layers, parts, hole; depths in shown units along the hole."""
    parts = _parts(case, told, system)
    top, base = _window(case, told)
    sizes = sorted({round(float(shown(row.diameter, "diameter", system)), 2) for row in case.well.hole})
    return {
        "well": told.well,
        "kind": told.kind,
        "length": unit("length", system),
        "top": _depth(top, system),
        "base": _depth(base, system),
        "zones": [_zone(told, zone, system) for zone in told.zones],
        "layers": [_layer(case, told, layer, system) for layer in told.layers],
        "parts": parts,
        "hole": _hole(case, top, base, system),
        "hole_size": f"{number(sizes[0])} to {number(sizes[-1])} {unit('diameter', system)}"
        if len(sizes) > 1
        else amount(case.well.hole[0].diameter, "diameter", system),
        "true_depths": _true_depths(told, system),
    }


def _depth(value: float, system: System) -> float:
    return round(float(shown(value, "length", system)), 2)


def _window(case: Case, told: WellDescription) -> tuple[float, float]:
    """Depths drawn: from a little above the topmost seal or screen to a little below the bottom of the string."""
    below_casing = [e for e in case.string if e.kind != "casing"] or list(case.string)
    top = min([e.top_md for e in below_casing] + [layer.top_md for layer in told.layers])
    base = max([e.base_md for e in case.string] + [layer.base_md for layer in told.layers])
    margin = 0.035 * (base - top)
    return max(0.0, top - margin), base + margin


def _zone(told: WellDescription, zone: Any, system: System) -> Json:
    how = {"plug": "a plug can shut it", "straddle": "a straddle can shut it"}.get(zone.shut_by, "cannot be shut alone")
    span = f"{amount(zone.top_md, 'length', system, 5)} to {amount(zone.base_md, 'length', system, 5)}"
    return {
        "name": zone.name,
        "top": _depth(zone.top_md, system),
        "base": _depth(zone.base_md, system),
        "shut_by": zone.shut_by,
        "aria": f"Zone {zone.name}, {span}, {how}",
    }


def _layer(case: Case, told: WellDescription, layer: Any, system: System) -> Json:
    rock = next((given for given in case.layers if given.name == layer.name), None)
    permeability = rock.permeability if rock else None
    ks = [given.permeability for given in case.layers]
    low, high = np.log10(min(ks)), np.log10(max(ks))
    tint = 0.5 if permeability is None or high - low < 0.05 else (np.log10(permeability) - low) / (high - low)
    return {
        "name": layer.name,
        "zone": layer.zone,
        "top": _depth(layer.top_md, system),
        "base": _depth(layer.base_md, system),
        "note": amount(permeability, "permeability", system) if permeability else "",
        "tint": round(float(tint), 3),
    }


def _true_depths(told: WellDescription, system: System) -> list[list[float]]:
    """[depth along the hole, true vertical depth] from top to bottom: ends of layers and middles of pieces of bore."""
    pairs = {0.5 * (piece.top_md + piece.base_md): piece.tvd for piece in told.pieces}
    pairs |= {layer.top_md: layer.top_tvd for layer in told.layers}
    pairs |= {layer.base_md: layer.base_tvd for layer in told.layers}
    return [[_depth(md, system), _depth(tvd, system)] for md, tvd in sorted(pairs.items())]


def _spans(told: WellDescription) -> dict[str, Json]:
    """Elements of the string with top and base, from the pieces of bore that they are made of."""
    found: dict[str, Json] = {}
    for piece in told.pieces:
        span = found.setdefault(
            piece.element,
            {"kind": piece.kind, "zone": piece.zone, "top": piece.top_md, "base": piece.base_md, "open": False},
        )
        span["top"], span["base"] = min(span["top"], piece.top_md), max(span["base"], piece.base_md)
        span["open"] = span["open"] or piece.has_annulus
    return found


def _inside(case: Case, found: dict[str, Json]) -> None:
    """Add packers and plugs, which sit inside a blank and so have no bore of their own."""
    for count, element in enumerate((e for e in case.string if e.kind in ("packer", "plug")), start=1):
        name = element.name or f"{element.kind} {count}"
        if name not in found:
            span = {"kind": element.kind, "zone": "", "top": element.top_md, "base": element.base_md, "open": False}
            found[name] = span


def _parts(case: Case, told: WellDescription, system: System) -> list[Json]:
    spans = _spans(told)
    _inside(case, spans)
    fits = {blank.name: blank.fits for blank in told.blanks}
    kinds = {element.name: element.screen for element in case.string if element.kind == "screen"}
    parts = []
    for name, span in sorted(spans.items(), key=lambda item: (item[1]["top"], item[1]["kind"] in SEALS)):
        length = amount(span["base"] - span["top"], "length", system)
        parts.append(
            {
                "name": name,
                "kind": span["kind"],
                "zone": span["zone"],
                "top": _depth(span["top"], system),
                "base": _depth(span["base"], system),
                "fits": fits.get(name, False),
                "annulus": span["open"],
                "screen": kinds.get(name, ""),
                "aria": f"{name}, {span['kind']}, {length} at {amount(span['top'], 'length', system, 5)}",
            }
        )
    return parts


def _hole(case: Case, top: float, base: float, system: System) -> list[list[float]]:
    """Hole diameter against depth as steps: [depth, diameter in SI]."""
    rows = sorted((row.md, row.diameter) for row in case.well.hole)
    at_top = [d for md, d in rows if md <= top] or [rows[0][1]]
    steps = [[top, at_top[-1]]] + [[md, d] for md, d in rows if top < md < base]
    return [[_depth(md, system), round(float(d), 4)] for md, d in steps]


def flow(forecast: Forecast, system: System) -> Json:
    """What moves: inflow by zone and phase, bore flow, and what is set or shut, at every report date."""
    zone = forecast.zone
    return {
        "dates": [str(day) for day in forecast.dates],
        "liquid": unit("liquid rate", system),
        "gas_unit": unit("gas rate", system),
        "zones": {
            phase: numbers(zone[f"{phase}_rate"], COLUMNS[f"{phase}_rate"], system)
            for phase in ("oil", "water", "gas")
            if f"{phase}_rate" in zone
        },
        "cut": numbers(zone["water_cut"], "fraction", system, 3) if "water_cut" in zone else [],
        "saturation": numbers(forecast.layer["water_saturation"], "fraction", system, 3)
        if "water_saturation" in forecast.layer
        else [],
        "bore": _bore(forecast, system),
        "states": _changes(forecast),
    }


def _bore(forecast: Forecast, system: System) -> Json:
    rate: Floats | None = forecast.piece.get("bore_rate")
    if rate is None:
        return {"spans": [], "rate": []}
    spans = [[_depth(p.top_md, system), _depth(p.base_md, system)] for p in forecast.description.pieces]
    return {"spans": spans, "rate": numbers(rate, "liquid rate", system, 4)}


def _changes(forecast: Forecast) -> list[list[Any]]:
    """[first report index, states] each time the states of elements or zones change."""
    found: list[list[Any]] = []
    last: dict[str, str] = {}
    for at, states in enumerate(forecast.element_states):
        if states != last:
            found.append([at, states])
            last = states
    return found

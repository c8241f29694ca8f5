"""Layers by cut-offs and hole size by caliper, from a log.

A sample stands for the rock half-way to its neighbours. Samples that pass every cut-off are net; net samples closer
together than the largest gap make one layer, whose net-to-gross is the net share of its length. Porosity is the
thickness-weighted mean of the net samples, permeability likewise (flow along the layers adds up), water saturation
is weighted by porosity.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from planner.base.errors import Problem
from planner.io.logs import Floats, Log
from planner.io.places import TableSource
from planner.io.reporting import Report
from planner.model.quantity import (
    Fraction,
    Length,
    NotNegative,
    OpenFraction,
    Permeability,
    Positive,
    PositiveLength,
    TurbulenceCoefficient,
)
from planner.model.sandface import ForchheimerMethod


class _LogRecord(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Curves(_LogRecord):
    """Mnemonics of the curves; those not given are looked for under the usual names."""

    gamma_ray: str = ""
    shale_volume: str = ""
    porosity: str = ""
    water_saturation: str = ""
    permeability: str = ""


class CutOffs(_LogRecord):
    """What makes a sample net rock; a cut-off that is not given does not count."""

    gamma_ray: NotNegative | None = Field(default=None, description="most, API units")
    shale_volume: Fraction | None = Field(default=None, description="most")
    porosity: Fraction | None = Field(default=None, description="least")
    water_saturation: Fraction | None = Field(default=None, description="most")
    permeability: Permeability | None = Field(default=None, description="least")
    minimum_thickness: PositiveLength = Field(default=0.5, description="thinner layers are left out; along the hole")
    maximum_gap: Length = Field(default=0.5, description="net samples closer than this make one layer")


class GammaRayScale(_LogRecord):
    """Gamma ray of clean sand and of shale, for a shale volume by straight line."""

    clean: NotNegative
    shale: Positive


class PermeabilityFromPorosity(_LogRecord):
    """permeability * 10^(decades * (porosity - at))."""

    permeability: Permeability
    at: OpenFraction = Field(description="porosity that has this permeability")
    decades: Positive = Field(description="tenfold steps of permeability per unit of porosity")


class Interval(_LogRecord):
    """What the layers between two measured depths get; each key as in a layer."""

    name: str
    top_md: Length
    base_md: Length
    compartment: str
    rock: str
    support: str = ""
    drainage_radius: PositiveLength | None = None
    vertical_to_horizontal: NotNegative = 0.1
    skin: float = 0.0
    damaged_radius: PositiveLength | None = None
    damaged_permeability: Permeability | None = None
    deviation_skin: bool = False
    partial_entry: bool = False
    turbulence: NotNegative = 0.0
    forchheimer: TurbulenceCoefficient | None = None
    forchheimer_method: ForchheimerMethod = ""
    cells: int | None = Field(default=None, ge=1, le=2000)
    connected_below: bool = True


class LogLayers(_LogRecord):
    """The [layers] table of a case whose layers come from a log."""

    log: str
    curves: Curves = Curves()
    cutoffs: CutOffs
    gamma_ray_scale: GammaRayScale | None = Field(default=None, description="where the log has no shale volume")
    permeability_from_porosity: PermeabilityFromPorosity | None = None
    initial_saturation: bool = Field(default=False, description="water saturation from the log, not the contacts")
    intervals: tuple[Interval, ...] = Field(min_length=1)


_USUAL = {
    "gamma_ray": ("GR", "CGR", "SGR", "GRC"),
    "shale_volume": ("VSH", "VSHALE", "VCL"),
    "porosity": ("PHIE", "PHI", "PHIT", "POR"),
    "water_saturation": ("SW", "SWE", "SWT"),
    "permeability": ("PERM", "K", "KLOGH", "KH"),
}
_QUANTITIES = {"gamma_ray": "number", "permeability": "permeability"}


@dataclass(frozen=True)
class _Samples:
    """Tops and bases of the samples (m), net flags, and the properties that the layers need."""

    top: Floats
    base: Floats
    net: NDArray[np.bool_]
    porosity: Floats
    permeability: Floats
    water_saturation: Floats | None


def layers_from_log(log: Log, wanted: LogLayers, report: Report) -> tuple[list[dict[str, Any]], TableSource] | None:
    """Rows of layers (lengths as text in the log's unit) and where they came from; None after reports."""
    samples = _samples(log, wanted, report)
    if samples is None:
        return None
    rows: list[dict[str, Any]] = []
    for interval in wanted.intervals:
        rows += _rows(samples, interval, wanted, log.depth_unit)
    if not rows:
        remedy = "Loosen the cut-offs, or check the depths of the intervals against the log."
        report(Problem(log.name, "", "", "no sample passes the cut-offs inside the intervals", remedy))
        return None
    rows.sort(key=lambda row: float(row["top_md"].split()[0]))
    places = tuple(f"layer '{row['name']}' from {row['top_md']} to {row['base_md']}" for row in rows)
    return rows, TableSource(log.name, places)


def _samples(log: Log, wanted: LogLayers, report: Report) -> _Samples | None:
    cut = wanted.cutoffs
    needed = {name for name in ("gamma_ray", "shale_volume", "water_saturation") if getattr(cut, name) is not None}
    scale = wanted.gamma_ray_scale
    if scale is not None and "shale_volume" in needed:
        needed = needed - {"shale_volume"} | {"gamma_ray"}
    needed |= {"porosity"} | ({"water_saturation"} if wanted.initial_saturation else set())
    if wanted.permeability_from_porosity is None:
        needed.add("permeability")
    curves = {name: _find(log, name, wanted.curves, report) for name in sorted(needed)}
    found = {name: values for name, values in curves.items() if values is not None}
    if len(found) < len(curves):
        return None
    relation = wanted.permeability_from_porosity
    if relation is not None:
        exponent = relation.decades * (found["porosity"] - relation.at)
        found["permeability"] = relation.permeability * 10.0**exponent
    if scale is not None and "gamma_ray" in found:
        share = (found["gamma_ray"] - scale.clean) / (scale.shale - scale.clean)
        found["shale_volume"] = np.clip(share, 0.0, 1.0)
    middle = 0.5 * (log.depth[1:] + log.depth[:-1])
    top = np.concatenate(([1.5 * log.depth[0] - 0.5 * log.depth[1]], middle))
    base = np.concatenate((middle, [1.5 * log.depth[-1] - 0.5 * log.depth[-2]]))
    net = _net(found, cut)
    return _Samples(top, base, net, found["porosity"], found["permeability"], found.get("water_saturation"))


def _find(log: Log, name: str, given: Curves, report: Report) -> Floats | None:
    """A curve by the user's mnemonic or the first of the usual ones."""
    mnemonic = getattr(given, name)
    known = {curve.upper().split(":")[0] for curve in log.curves}
    if not mnemonic:
        mnemonic = next((usual for usual in _USUAL[name] if usual in known), "")
    if not mnemonic:
        words = name.replace("_", " ")
        remedy = f"Name it: layers.curves.{name}. The log holds {', '.join(log.curves)}."
        if name == "permeability":
            remedy += " Or give layers.permeability_from_porosity."
        report(Problem(log.name, "", "", f"no {words} curve under a usual name", remedy))
        return None
    return log.curve(mnemonic, _QUANTITIES.get(name, "fraction"), "curve section", report)


def _net(found: Mapping[str, Floats], cut: CutOffs) -> NDArray[np.bool_]:
    """Samples that pass every cut-off that is given and whose porosity and permeability are above 0 (nulls fail)."""
    with np.errstate(invalid="ignore"):
        net: NDArray[np.bool_] = (found["porosity"] > 0.0) & (found["permeability"] > 0.0)
        for name in ("gamma_ray", "shale_volume", "water_saturation"):
            if getattr(cut, name) is not None:
                net &= found[name] <= getattr(cut, name)
        for name in ("porosity", "permeability"):
            if getattr(cut, name) is not None:
                net &= found[name] >= getattr(cut, name)
    return net


def _rows(samples: _Samples, interval: Interval, wanted: LogLayers, unit: str) -> list[dict[str, Any]]:
    """Layers of one interval, from top to bottom."""
    top = np.maximum(samples.top, interval.top_md)
    base = np.minimum(samples.base, interval.base_md)
    inside = np.flatnonzero(samples.net & (base > top))
    if inside.size == 0:
        return []
    gap = top[inside[1:]] - base[inside[:-1]]
    groups = np.split(inside, np.flatnonzero(gap > wanted.cutoffs.maximum_gap + 1e-9) + 1)
    spans = [(group, top[group[0]], base[group[-1]]) for group in groups]
    kept = [span for span in spans if span[2] - span[1] >= wanted.cutoffs.minimum_thickness - 1e-9]
    rows = []
    for number, (group, start, end) in enumerate(kept, start=1):
        name = interval.name if len(kept) == 1 else f"{interval.name} {number}"
        rows.append(_row(samples, group, (float(start), float(end)), base[group] - top[group], interval, unit))
        rows[-1]["name"] = name
        if wanted.initial_saturation and samples.water_saturation is not None:
            pore = (base[group] - top[group]) * samples.porosity[group]
            saturation = np.average(np.nan_to_num(samples.water_saturation[group], nan=1.0), weights=pore)
            rows[-1]["water_saturation"] = round(float(np.clip(saturation, 0.0, 1.0)), 4)
    return rows


def _row(
    samples: _Samples, group: NDArray[np.int64], span: tuple[float, float], net: Floats, interval: Interval, unit: str
) -> dict[str, Any]:
    metre = 0.3048 if unit == "ft" else 1.0
    given = interval.model_dump(exclude={"name", "top_md", "base_md"}, exclude_none=True)
    for key, si in (("drainage_radius", "m"), ("damaged_radius", "m"), ("damaged_permeability", "m^2"),
                    ("forchheimer", "1/m")):  # fmt: skip
        if key in given:
            given[key] = f"{given[key]!r} {si}"
    return given | {
        "top_md": f"{span[0] / metre:.8g} {unit}",
        "base_md": f"{span[1] / metre:.8g} {unit}",
        "porosity": round(float(np.average(samples.porosity[group], weights=net)), 5),
        "permeability": f"{float(np.average(samples.permeability[group], weights=net)) / 9.869232667160130e-16:.6g} md",
        "net_to_gross": round(min(float(net.sum()) / (span[1] - span[0]), 1.0), 5),
    }


def hole_from_log(log: Log, curve: str, least: float, report: Report) -> list[dict[str, str]] | None:
    """Rows of hole sizes from a caliper: the median of each stretch of `least` m; None after reports."""
    found = _stretches(log, curve, "diameter", least, "the caliper", report)
    if found is None:
        return None
    rows: list[dict[str, str]] = []
    for depth, values in found:
        size = f"{float(np.median(values)) * 1000.0:.5g} mm"
        if not rows or rows[-1]["diameter"] != size:
            rows.append({"md": f"{depth[0]:.7g} {log.depth_unit}", "diameter": size})
    return rows


def slowness_from_log(log: Log, curve: str, least: float, report: Report) -> list[dict[str, str]] | None:
    """Rows of sonic slowness: the median of each stretch of `least` m, nulls left out; None after reports."""
    found = _stretches(log, curve, "slowness", least, "the curve", report)
    if found is None:
        return None
    return [
        {
            "md": f"{float(np.mean(depth)):.7g} {log.depth_unit}",
            "slowness": f"{float(np.median(values)) * 1e6:.6g} us/m",
        }
        for depth, values in found
    ]


def _stretches(
    log: Log, curve: str, quantity: str, least: float, called: str, report: Report
) -> list[tuple[Floats, Floats]] | None:
    """(depths in the log's unit, values in SI) of each stretch of `least` m, nulls left out; None after reports."""
    values = log.curve(curve, quantity, "curve section", report)
    if values is None:
        return None
    good = np.isfinite(values) & (values > 0.0)
    if not good.any():
        report(Problem(log.name, f"curve {curve}", "", f"{called} holds nulls alone", "Name another curve."))
        return None
    depth, values = log.depth[good], values[good]
    metre = 0.3048 if log.depth_unit == "ft" else 1.0
    bins = np.floor((depth - depth[0]) / least + 1e-9).astype(np.int64)
    parts = np.split(np.arange(depth.size), np.flatnonzero(np.diff(bins)) + 1)
    return [(depth[part] / metre, values[part]) for part in parts]

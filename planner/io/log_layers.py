"""Layers by cut-offs, from a log.

A sample stands for the rock half-way to its neighbours, and across a gap for half a usual step. Samples that pass
every cut-off are net; net samples closer together than the largest gap make one layer, whose net-to-gross is the net
share of its length. Porosity is the thickness-weighted mean of the net samples, permeability likewise (flow along the
layers adds up), water saturation is weighted by porosity.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.io.log_depth import GAP
from planner.io.log_layer_keys import Curves, CutOffs, Interval, LogLayers
from planner.io.logs import Floats, Log
from planner.io.places import TableSource
from planner.io.reporting import Report

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
    known: NDArray[np.bool_]  # where every curve that is asked for has a value


def layers_from_log(
    log: Log, wanted: LogLayers, report: Report, remark: Report = lambda problem: None
) -> tuple[list[dict[str, Any]], TableSource] | None:
    """Rows of layers (lengths as text in the log's unit) and where they came from; None after reports.

    What was assumed or left out is remarked on.
    """
    samples = _samples(log, wanted, report, remark)
    if samples is None:
        return None
    rows: list[dict[str, Any]] = []
    for interval in wanted.intervals:
        told = _Telling(log, interval, remark)
        told.of_samples(samples, wanted)
        rows += _rows(samples, interval, wanted, told)
    if not rows:
        remedy = "Loosen the cut-offs, or check the depths of the intervals against the log."
        report(Problem(log.name, "", "", "no sample passes the cut-offs inside the intervals", remedy))
        return None
    rows.sort(key=lambda row: float(row["top_md"].split()[0]))
    places = tuple(f"layer '{row['name']}' from {row['top_md']} to {row['base_md']}" for row in rows)
    return rows, TableSource(log.name, places)


def _samples(log: Log, wanted: LogLayers, report: Report, remark: Report) -> _Samples | None:
    cut = wanted.cutoffs
    needed = {name for name in ("gamma_ray", "shale_volume", "water_saturation") if getattr(cut, name) is not None}
    scale = wanted.gamma_ray_scale
    if scale is not None and "shale_volume" in needed:
        needed = needed - {"shale_volume"} | {"gamma_ray"}
    needed |= {"porosity"} | ({"water_saturation"} if wanted.initial_saturation else set())
    if wanted.permeability_from_porosity is None:
        needed.add("permeability")
    chosen = {name: _mnemonic(log, name, wanted.curves, report) for name in sorted(needed)}
    guessed = [f"{name.replace('_', ' ')} {chosen[name]}" for name in chosen if not getattr(wanted.curves, name)]
    if guessed and all(chosen.values()):
        told = f"curves taken by their usual names: {', '.join(guessed)}"
        remark(Problem(log.name, "curve section", "", told, "Name others in layers.curves."))
    curves = {
        name: log.curve(mnemonic, _QUANTITIES.get(name, "fraction"), "curve section", report, remark)
        for name, mnemonic in chosen.items() if mnemonic
    }  # fmt: skip
    found = {name: values for name, values in curves.items() if values is not None}
    if len(found) < len(needed):
        return None
    relation = wanted.permeability_from_porosity
    if relation is not None:
        exponent = relation.decades * (found["porosity"] - relation.at)
        found["permeability"] = relation.permeability * 10.0**exponent
    if scale is not None and "gamma_ray" in found:
        share = (found["gamma_ray"] - scale.clean) / (scale.shale - scale.clean)
        found["shale_volume"] = np.clip(share, 0.0, 1.0)
    top, base = _extents(log.depth)
    net = _net(found, cut)
    known = np.all(
        [np.isfinite(found[name]) for name in found if name != "water_saturation" or _cuts(cut, name)], axis=0
    )
    return _Samples(top, base, net, found["porosity"], found["permeability"], found.get("water_saturation"),
                    known)  # fmt: skip


def _cuts(cut: CutOffs, name: str) -> bool:
    """Whether there is a cut-off on a curve."""
    return getattr(cut, name) is not None


def _extents(depth: Floats) -> tuple[Floats, Floats]:
    """Top and base of the rock that each sample stands for, from depths [n] in m going down."""
    step = np.diff(depth)
    usual = float(np.median(step))
    half = np.where(step > GAP * usual, 0.5 * usual, 0.5 * step)
    top = depth - np.concatenate((half[:1], half))
    base = depth + np.concatenate((half, half[-1:]))
    return top, base


def _mnemonic(log: Log, name: str, given: Curves, report: Report) -> str:
    """The user's mnemonic or the first of the usual ones; '' after a report."""
    mnemonic: str = getattr(given, name)
    known = {curve.upper().split(":")[0] for curve in log.curves}
    if not mnemonic:
        mnemonic = next((usual for usual in _USUAL[name] if usual in known), "")
    if not mnemonic:
        words = name.replace("_", " ")
        remedy = f"Name it: layers.curves.{name}. The log holds {', '.join(log.curves)}."
        if name == "permeability":
            remedy += " Or give layers.permeability_from_porosity."
        report(Problem(log.name, "", "", f"no {words} curve under a usual name", remedy))
    return mnemonic


def _net(found: Mapping[str, Floats], cut: CutOffs) -> NDArray[np.bool_]:
    """Samples that pass every cut-off that is given and have a credible porosity and permeability (nulls fail)."""
    with np.errstate(invalid="ignore"):
        net: NDArray[np.bool_] = (found["porosity"] > 0.0) & (found["porosity"] < 1.0) & (found["permeability"] > 0.0)
        if cut.gamma_ray is not None:
            net &= found["gamma_ray"] >= 0.0
        for name in ("gamma_ray", "shale_volume", "water_saturation"):
            if getattr(cut, name) is not None:
                net &= found[name] <= getattr(cut, name)
        for name in ("porosity", "permeability"):
            if getattr(cut, name) is not None:
                net &= found[name] >= getattr(cut, name)
    return net


@dataclass(frozen=True)
class _Telling:
    """What is remarked on while the layers of one interval are made."""

    log: Log
    interval: Interval
    remark: Report

    def say(self, message: str, remedy: str) -> None:
        """A remark on this interval."""
        self.remark(Problem(self.log.name, f"interval '{self.interval.name}'", "", message, remedy))

    def length(self, metres: float) -> str:
        """A length in the log's unit, in words."""
        return f"{metres / (0.3048 if self.log.depth_unit == 'ft' else 1.0):.5g} {self.log.depth_unit}"

    def of_samples(self, samples: _Samples, wanted: LogLayers) -> None:
        """Parts of the interval that the log does not reach or has no values in."""
        top, base = self.interval.top_md, self.interval.base_md
        beyond = max(samples.top[0] - top, 0.0) + max(base - samples.base[-1], 0.0)
        if beyond > 1e-6:
            told = f"the log does not reach over {self.length(min(beyond, base - top))} of it"
            self.say(f"{told}; no rock is counted there", "Give a log over the whole interval.")
        inside = (samples.base > top) & (samples.top < base)
        lacking = int((inside & ~samples.known).sum())
        if lacking:
            message = (
                f"{lacking} of {int(inside.sum())} samples lack a value of a curve that is used; not counted as net"
            )
            self.say(message, "Check the curves there.")
        if wanted.initial_saturation and samples.water_saturation is not None:
            dry = int((inside & samples.net & ~np.isfinite(samples.water_saturation)).sum())
            if dry:
                self.say(
                    f"{dry} net samples have no water saturation; taken as full of water", "Check the curve there."
                )

    def thin(self, lengths: list[float], kh: float, kept: float) -> None:
        """Net stretches that are left out for being thin; kh of them and of what is kept."""
        if lengths:
            share = f"{100.0 * kh / max(kh + kept, 1e-300):.2g} % of its permeability-thickness"
            told = f"{len(lengths)} net stretches thinner than minimum_thickness, {self.length(sum(lengths))} together"
            self.say(f"{told} and {share}, are left out", "Lower minimum_thickness or widen maximum_gap to keep them.")

    def nothing(self) -> None:
        """No layer was made."""
        self.say("no layer: no stretch of it passes the cut-offs", "Loosen the cut-offs or take the interval out.")

    def tight_across(self, name: str, permeability: Floats, net: Floats) -> None:
        """Where net samples in series pass less across the layer than its ratio says."""
        ratio = float(net.sum() / np.sum(net / permeability) / np.average(permeability, weights=net))
        given = self.interval.vertical_to_horizontal
        if ratio < 0.5 * given:
            told = (
                f"layer '{name}': its samples in series conduct {ratio:.2g} of their mean, vertical_to_horizontal says"
            )
            self.say(f"{told} {given:g}", "Lower it if the layer is to hold flow across back.")


def _rows(samples: _Samples, interval: Interval, wanted: LogLayers, told: _Telling) -> list[dict[str, Any]]:
    """Layers of one interval, from top to bottom."""
    top = np.maximum(samples.top, interval.top_md)
    base = np.minimum(samples.base, interval.base_md)
    inside = np.flatnonzero(samples.net & (base > top))
    if inside.size == 0:
        told.nothing()
        return []
    gap = top[inside[1:]] - base[inside[:-1]]
    groups = np.split(inside, np.flatnonzero(gap > wanted.cutoffs.maximum_gap + 1e-9) + 1)
    spans = [(group, top[group[0]], base[group[-1]]) for group in groups]
    kept = [span for span in spans if span[2] - span[1] >= wanted.cutoffs.minimum_thickness - 1e-9]
    kh = [float(np.sum((base[group] - top[group]) * samples.permeability[group])) for group, _, _ in spans]
    thin = [k for k, span in enumerate(spans) if span[2] - span[1] < wanted.cutoffs.minimum_thickness - 1e-9]
    lost = sum(kh[k] for k in thin)
    told.thin([float(spans[k][2] - spans[k][1]) for k in thin], lost, sum(kh) - lost)
    if not kept:
        told.nothing()
    rows = []
    for number, (group, start, end) in enumerate(kept, start=1):
        name = interval.name if len(kept) == 1 else f"{interval.name} {number}"
        net = base[group] - top[group]
        rows.append(_row(samples, group, (float(start), float(end)), net, interval, told.log.depth_unit))
        rows[-1]["name"] = name
        told.tight_across(name, samples.permeability[group], net)
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

"""Reasons that come from the strength of the rock: the drawdown that is planned against the one it stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from planner.base.cards import CARDS
from planner.base.units import QUANTITIES, from_si
from planner.model.case import Case
from planner.model.results import WellDescription
from planner.model.suitability import COMPLETION_KINDS, Stress, Suitability
from planner.model.suitability_results import Reason, Sand, StrengthAt, Verdict
from planner.network.trajectory import Trajectory
from planner.physics.rock_strength import (
    critical_pressure,
    depleted_stress,
    mcnally_1987_strength,
    perforation_pressure,
    stress_tensor,
    vernik_1993_strength,
)

NAN = float("nan")
STEP = 1.0  # m: slope of the hole is taken over this length
SUPPORTED = "screen or gravel against the wall holds it up (common practice, no source)"
MOST_SAMPLES = 60  # strengths of a log are judged by the weakest of this many equal stretches of every sand


def pressure_in(sand: Sand, description: WellDescription) -> float:
    """Highest initial pressure of the layers of a sand [Pa]; NaN where none of them is in the well."""
    found = [layer.pressure for layer in description.layers if layer.name in sand.layers]
    return max(found, default=NAN)


def planned_drawdowns(case: Case, sands: Sequence[Sand], description: WellDescription) -> dict[str, float]:
    """Greatest drawdown that the controls and what-ifs allow by sand [Pa]; NaN where they do not say.

    Initial pressure less the lowest bottom-hole pressure, or a drawdown limit that holds from the start; the head
    between the top of the string and the sand is left out, so that the drawdown is too large rather than too small.
    """
    if not case.well.kind.endswith("producer"):
        return dict.fromkeys((sand.name for sand in sands), NAN)
    floors = [one.bottom_hole_pressure for one in case.controls if one.bottom_hole_pressure is not None]
    changed = [getattr(event, "bottom_hole_pressure", None) for w in case.what_ifs for event in w.events]
    floors += [value for value in changed if value is not None]
    running = [one for one in case.controls if not one.shut]
    limits = [one.drawdown for one in running]
    if running and all(limit is not None for limit in limits):
        most = max(limit for limit in limits if limit is not None)
        return dict.fromkeys((sand.name for sand in sands), most)
    unbounded = any(one.bottom_hole_pressure is None and one.drawdown is None for one in running)
    if not floors or unbounded:
        return dict.fromkeys((sand.name for sand in sands), NAN)
    return {sand.name: pressure_in(sand, description) - min(floors) for sand in sands}


def strengths_of(
    case: Case, asked: Suitability, sands: Sequence[Sand], description: WellDescription
) -> tuple[StrengthAt, ...]:
    """Strength and the drawdown it stands, at the samples of every sand; a log is thinned to its weakest places."""
    path = Trajectory(case.well.survey)
    found = []
    for sand in sands:
        pressure = pressure_in(sand, description)
        for md, strength in _weakest(sand, _samples(case, asked, sand)):
            stood = _drawdowns(asked, path, case, md, pressure, strength)
            found.append(StrengthAt(md, sand.name, strength, pressure, *stood))
    return tuple(found)


def _samples(case: Case, asked: Suitability, sand: Sand) -> list[tuple[float, float]]:
    """Depth and unconfined strength [Pa] of the samples inside a sand; from the porosity of its layers if asked for."""
    rows = [row for row in asked.strengths if sand.top_md <= row.md <= sand.base_md]
    found = [(row.md, row.strength) for row in rows if row.strength is not None]
    found += [(row.md, float(mcnally_1987_strength(row.slowness))) for row in rows if row.slowness is not None]
    if not found and asked.strength_relation == "vernik 1993":
        own = [layer for layer in case.layers if layer.name in sand.layers]
        found = [(0.5 * (o.top_md + o.base_md), float(vernik_1993_strength(o.porosity))) for o in own]
    return sorted(found)


def _weakest(sand: Sand, samples: list[tuple[float, float]]) -> list[tuple[float, float]]:
    if len(samples) <= MOST_SAMPLES:
        return samples
    edges = np.linspace(sand.top_md, sand.base_md, MOST_SAMPLES + 1)
    places = np.searchsorted(edges, [md for md, _ in samples], side="right")
    return [min((s for s, p in zip(samples, places, strict=True) if p == one), key=lambda s: s[1])
            for one in dict.fromkeys(places.tolist())]  # fmt: skip


def hole_axis(path: Trajectory, case: Case, md: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Direction of the hole [3] in north, east, down: inclination and azimuth of the survey between its stations."""
    stations = case.well.survey
    if not stations:
        return np.array([0.0, 0.0, 1.0])
    depths = [station.md for station in stations]
    vectors = np.array([
        [math.sin(s.inclination) * math.cos(s.azimuth), math.sin(s.inclination) * math.sin(s.azimuth),
         math.cos(s.inclination)] for s in stations
    ])  # fmt: skip
    axis = np.array([np.interp(md, depths, vectors[:, k]) for k in range(3)])
    made: np.ndarray[tuple[int], np.dtype[np.float64]] = axis / np.linalg.norm(axis)
    return made


def _drawdowns(
    asked: Suitability, path: Trajectory, case: Case, md: float, pressure: float, strength: float
) -> tuple[float, float, float, float]:
    """Drawdown that open hole and worst perforation stand [Pa], now and at the depleted pressure."""
    given = asked.stress
    if given is None or math.isnan(pressure):
        return NAN, NAN, NAN, NAN
    tvd = float(path.tvd(md))
    stress = stress_tensor(
        given.overburden * tvd, given.greatest_horizontal * tvd, given.least_horizontal * tvd,
        given.azimuth_of_greatest or 0.0,
    )  # fmt: skip
    axis = hole_axis(path, case, md)
    now = _pair(stress, axis, pressure, strength, given)
    late = asked.depleted_pressure
    if late is None:
        return *now, NAN, NAN
    changed = depleted_stress(stress, late - pressure, given.poisson, given.biot)
    return *now, *_pair(changed, axis, late, strength, given)


def _pair(
    stress: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    axis: np.ndarray[tuple[int], np.dtype[np.float64]],
    pressure: float,
    strength: float,
    given: Stress,
) -> tuple[float, float]:
    wall = strength * given.strength_factor
    terms = (pressure, wall, given.poisson, given.biot, given.friction_angle)
    return pressure - critical_pressure(stress, axis, *terms), pressure - perforation_pressure(stress, axis, *terms)


# ---- reasons ----------------------------------------------------------------------------------------------------


def strength_reasons(
    case: Case, asked: Suitability, sands: Sequence[Sand], strengths: Sequence[StrengthAt], drawdowns: dict[str, float]
) -> Iterator[Reason]:
    """The weakest sample of every sand against the planned drawdown, for every kind."""
    for sand in sands:
        own = [one for one in strengths if one.sand == sand.name]
        for kind in COMPLETION_KINDS:
            yield _judged(case, asked, sand, kind, own, drawdowns[sand.name])


def _judged(case: Case, asked: Suitability, sand: Sand, kind: str, own: Sequence[StrengthAt], planned: float) -> Reason:
    def reason(verdict: Verdict, text: str, at: StrengthAt | None = None) -> Reason:
        place = (at.md, at.md) if at else (sand.top_md, sand.base_md)
        return Reason(kind, sand.name, "rock strength", verdict, text, *place, 0.0, CARDS["kirsch_1898"].source)

    if not case.well.kind.endswith("producer"):
        return reason("open", "an injector: drawdown does not load the rock")
    if not own:
        return reason("open", "no rock strength is given in this sand")
    if asked.stress is None:
        return reason("open", "stresses in the ground are not given")
    if math.isnan(planned):
        return reason("open", "the planned drawdown is not known: no bottom-hole pressure or drawdown in the controls")
    weakest = min(own, key=lambda one: _stood(one, kind))
    stood, late = _stood(weakest, kind), min(_late(one, kind) for one in own)
    strength = _words(case, weakest.strength, "strength")
    stands = "perforations stand" if kind == "perforated casing" else "the wall of the hole stands"
    more = f"; at the depleted pressure {_words(case, late)}" if not math.isnan(late) else ""
    told = f"in rock of {strength} {stands} {_words(case, stood)} of drawdown, {_words(case, planned)} planned{more}"
    if stood < 0.0:
        told = f"in rock of {strength} {stands} no drawdown at all, {_words(case, planned)} planned"
    if stood >= planned:
        return reason("for", told, weakest)
    if kind in ("conforming screen", "gravel pack"):
        return reason("for", f"{told}: the rock fails; {SUPPORTED}", weakest)
    why = "failed rock fills the annulus" if kind == "stand-alone screen" else "sand is to be expected"
    return reason("against", f"{told}: {why}", weakest)


def _stood(one: StrengthAt, kind: str) -> float:
    return one.perforation if kind == "perforated casing" else one.open_hole


def _late(one: StrengthAt, kind: str) -> float:
    return one.depleted_perforation if kind == "perforated casing" else one.depleted_open_hole


def _words(case: Case, value: float, quantity: str = "pressure") -> str:
    if value < 0.0:
        return "none"
    return f"{float(from_si(value, quantity, case.units)):,.0f} {QUANTITIES[quantity].label(case.units)}"

"""Columns along the string on all report dates, from the states that were kept."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import STANDARD_GRAVITY
from planner.forecast.geometry import Straddle, StringGeometry
from planner.forecast.snapshots import StringStates
from planner.forecast.volumes import volume_in_place
from planner.network.compile import Network

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class AlongString:
    """Columns by piece [T, P] for people, and drawdown by sandface row [T, S] for the limits of layers.

    sign: +1 producer, -1 injector; inner [T, P]: index of the straddle whose inner pipe carries the flow, else -1.
    """

    columns: dict[str, Floats]
    face_drawdown: Floats
    inner: NDArray[np.int64]


def along_string(net: Network, at: StringGeometry, states: StringStates, sign: float) -> AlongString:
    """Pressures, inflow, rates, velocities, drawdown and losses by piece.

    Inside a straddle pressure, rates and velocity are those of its inner pipe; the shut bore around it stands in
    annulus_pressure where the string has no annulus. Rates and inflow are positive in the direction of the well.
    """
    bore, outside = states.pressure[:, at.bore], states.pressure[:, at.outside]
    density = states.density[:, at.bore]
    flux, rate = -sign * states.flux[:, at.top_row], -sign * states.rate[:, at.top_row]
    diameter = np.broadcast_to(at.diameter, bore.shape).copy()
    inner = np.full(bore.shape, -1, dtype=np.int64)
    pressure = bore.copy()
    for index, straddle in enumerate(at.straddles):
        _through(net, straddle, index, states, sign, (pressure, density, flux, rate, diameter, inner))
    inflow = np.zeros((*bore.shape, 3))
    for piece, row, direction in at.inflow:
        inflow[:, piece] += sign * direction * states.flux[:, row]
    reservoir = volume_in_place(net.fluids, outside, inflow)
    drawdown, skin, screen = _drawdown(at, states, sign)
    columns = {
        "pressure": pressure,
        "annulus_pressure": outside,
        "oil_inflow": inflow[..., 1],
        "water_inflow": inflow[..., 0],
        "gas_inflow": inflow[..., 2],
        "oil_inflow_per_length": inflow[..., 1] / at.length,
        "water_inflow_per_length": inflow[..., 0] / at.length,
        "gas_inflow_per_length": inflow[..., 2] / at.length,
        "reservoir_inflow": reservoir,
        "reservoir_inflow_per_length": reservoir / at.length,
        "bore_rate": rate,
        "oil_rate": flux[..., 1],
        "water_rate": flux[..., 0],
        "gas_rate": flux[..., 2],
        "velocity": np.abs(rate) / (0.25 * np.pi * diameter**2),
        "annulus_velocity": _annulus_velocity(at, states),
        "screen_velocity": np.abs(reservoir) / at.screen_area,
        "drawdown": _by_piece(at, drawdown, bore.shape[1]),
        "skin_loss": _by_piece(at, skin, bore.shape[1]),
        "screen_loss": _screen_loss(at, states, sign, screen),
        "mixture_density": density,
        "bore_diameter": diameter,
        "temperature": np.full(bore.shape, net.case.fluid.temperature),
    }
    return AlongString(columns, drawdown, inner)


def _through(
    net: Network, straddle: Straddle, index: int, states: StringStates, sign: float,
    held: tuple[Floats, Floats, Floats, Floats, Floats, NDArray[np.int64]],
) -> None:  # fmt: skip
    """Put the inner pipe of a straddle in the place of the bore that it bridges, on the dates on which it is there."""
    pressure, density, flux, rate, diameter, inner = held
    when = np.flatnonzero(states.multiplier[:, straddle.row] > 0.0)
    if not len(when):
        return
    u, b = straddle.upper, straddle.lower
    inside = np.arange(u + 1, b)
    pieces = net.graph.pieces
    tvd, md = (np.array([p.tvd if k else 0.5 * (p.top_md + p.base_md) for p in pieces]) for k in (1, 0))
    own_flux, own_rate = -sign * states.flux[when, straddle.row], -sign * states.rate[when, straddle.row]
    flux[when, b] += own_flux
    rate[when, b] += own_rate
    upward = (-states.rate[when, straddle.row] >= 0.0)[:, None]
    filled = np.where(upward, density[when, b][:, None], density[when, u][:, None])
    top, base = pressure[when, u][:, None], pressure[when, b][:, None]
    gravity = STANDARD_GRAVITY if net.case.numerics.gravity else 0.0
    head = gravity * 0.5 * (density[when, u] + density[when, b])[:, None] * (tvd[b] - tvd[u])
    fallen = (tvd[inside] - tvd[u]) / (tvd[b] - tvd[u]) if tvd[b] != tvd[u] else np.zeros(len(inside))
    gone = (md[inside] - md[u]) / (md[b] - md[u])
    place = np.ix_(when, inside)
    pressure[place] = top + head * fallen + (base - top - head) * gone
    density[place] = filled
    flux[place] = own_flux[:, None]
    rate[place] = own_rate[:, None]
    diameter[place] = straddle.diameter
    inner[place] = index


def _annulus_velocity(at: StringGeometry, states: StringStates) -> Floats:
    """Speed along the annulus by piece, the larger of its two ends; superficial in gravel; nan without an annulus."""
    shape = len(states.rate), len(at.bore)
    found = np.full(shape, np.nan)
    found[:, at.bore != at.outside] = 0.0
    for k in np.flatnonzero(at.annulus_row >= 0):
        speed = np.abs(states.rate[:, at.annulus_row[k]]) / at.annulus_area[k]
        for piece in (k, k + 1):
            found[:, piece] = np.maximum(found[:, piece], speed)
    return found


def _drawdown(at: StringGeometry, states: StringStates, sign: float) -> tuple[Floats, Floats, Floats]:
    """Of every sandface row [T, S], Pa: rock less pipe, the part lost to skin, the part lost to a screen in series."""
    pipe = states.pressure[:, at.outside[at.face_piece]]
    bore = states.pressure[:, at.bore[at.face_piece]]
    head = STANDARD_GRAVITY * at.fall * states.rock_density
    drop = _first_cell(at, states) + head - pipe
    row = at.face_row
    t = at.conductance * states.multiplier[:, row] * states.mobility
    one = 1.0 + t * states.linear[:, row]
    share = 2.0 / (one + np.sqrt(one * one + 4.0 * t * t * states.quadratic[:, row] * np.abs(drop)))
    beyond = 1.0 - at.conductance * states.multiplier[:, row] / at.bare
    screen = np.where(at.screened, (1.0 - share) * drop, 0.0)
    skin = share * drop * np.clip(beyond, 0.0, 1.0) + np.where(at.screened, 0.0, (1.0 - share) * drop)
    return sign * (_mean_pressure(at, states) + head - bore), sign * skin, sign * screen


def _first_cell(at: StringGeometry, states: StringStates) -> Floats:
    return states.cells[:, at.face_cell]


def _mean_pressure(at: StringGeometry, states: StringStates) -> Floats:
    return np.add.reduceat(states.cells * at.cell_weight, at.body_start, axis=1)[:, at.face_body]


def _by_piece(at: StringGeometry, values: Floats, pieces: int) -> Floats:
    """Mean over the sandface rows of each piece, by conductance; nan where a piece has none."""
    total = np.bincount(at.face_piece, at.conductance, pieces)
    found = np.zeros((len(values), pieces))
    for row, piece in enumerate(at.face_piece):
        found[:, piece] += at.conductance[row] / max(total[piece], 1e-30) * values[:, row]
    found[:, total <= 0.0] = np.nan
    return found


def _screen_loss(at: StringGeometry, states: StringStates, sign: float, in_series: Floats) -> Floats:
    """Pressure lost in the screen by piece: in series with the sandface, or between annulus and bore."""
    found = _by_piece(at, in_series, len(at.bore))
    found = np.where(np.isnan(at.screen_area), np.nan, found)
    behind = at.screen_row >= 0
    lost = sign * (states.pressure[:, at.outside] - states.pressure[:, at.bore])
    return np.where(behind, lost, found)

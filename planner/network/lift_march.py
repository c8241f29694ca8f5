"""Pressure along the tubing, from the wellhead down to the top of the string, at given surface rates. Compiled.

Steps of second order (midpoint) along the measured depth of the real trajectory. A producer flows against the march, an
injector with it.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.model.lift import Pump, Tubing
from planner.network.lift_fluids import LOWEST, TubingFluids, flowing_state
from planner.network.trajectory import Trajectory
from planner.physics.multiphase_gradient import METHODS, PATTERNS, gradient
from planner.physics.well_temperature import GAS_HEAT, OIL_HEAT, WATER_HEAT, ramey_1962_step, relaxation_length

Floats = NDArray[np.float64]

STEEPEST = 0.2  # of its pressure that a step may lose or gain
MOST_STEPS = 50  # of a segment
# columns of a traverse
PRESSURE, TEMPERATURE, HOLDUP, LIQUID_VELOCITY, GAS_VELOCITY, MIXTURE_DENSITY, PATTERN = range(7)


class Pipe(NamedTuple):
    """The tubing as arrays, top to bottom; n segments between n + 1 nodes.

    md, tvd, rock_temperature [n+1]: m, m, K. angle [n]: of the pipe above horizontal, of flow upward [rad]. method:
    index into METHODS. injecting: flow goes down. heat_transfer [W/(m2 K)], 0: as warm as the rock. lift_node: lift
    gas enters here and flows through the segments above; -1: none. lift_gas [sm3/s]. pump_node: -1 none; pump_rate
    [m3/s], pump_head [m] of all stages at the speed of the pump.
    """

    md: Floats
    tvd: Floats
    angle: Floats
    rock_temperature: Floats
    diameter: float
    roughness: float
    method: int
    injecting: bool
    surface_temperature: float
    heat_transfer: float
    lift_node: int
    lift_gas: float
    pump_node: int
    pump_rate: Floats
    pump_head: Floats


class Traverse(NamedTuple):
    """State along the tubing at its nodes, top to bottom: for tables and plots.

    md, tvd [m]; pressure [Pa]; temperature [K]; holdup [-]; liquid_velocity, gas_velocity: superficial [m/s];
    density: of the mixture in place [kg/m3]; pattern: name at each node.
    """

    md: Floats
    tvd: Floats
    pressure: Floats
    temperature: Floats
    holdup: Floats
    liquid_velocity: Floats
    gas_velocity: Floats
    density: Floats
    pattern: tuple[str, ...]


def method_index(method: str) -> int:
    """Index into METHODS of a tubing's method; the two columns are flow without slip."""
    return METHODS.index("no slip" if method in ("gas column", "liquid column") else method)


def _pump_arrays(pump: Pump | None) -> tuple[Floats, Floats]:
    """Rates and total heads at the pump's speed: rate goes with speed, head with its square."""
    if pump is None:
        return np.zeros(2), np.zeros(2)
    rate = np.array([point.rate for point in pump.curve]) * pump.speed
    head = np.array([point.head for point in pump.curve]) * pump.speed**2 * pump.stages
    return rate, head


def make_pipe(
    tubing: Tubing, trajectory: Trajectory, base_md: float, base_temperature: float, injecting: bool = False
) -> Pipe:
    """Arrays of a tubing down to base_md [m] (the tubing's own base_md goes before).

    base_temperature [K]: of the rock at the base; from the surface temperature it changes in a straight line with true
    vertical depth. Raises ValueError for a base above the top, or gas lift or a pump outside the tubing.
    """
    top, base = tubing.top_md, base_md if tubing.base_md is None else tubing.base_md
    if base <= top:
        raise ValueError(f"the tubing ends at {base:g} m, above its top at {top:g} m")
    marks = [top, base]
    for part in (tubing.gas_lift, tubing.pump):
        if part is not None:
            if not top < part.depth_md <= base:
                raise ValueError(f"{part.depth_md:g} m is outside the tubing, {top:g} to {base:g} m")
            marks.append(part.depth_md)
    marks = sorted(set(marks))
    pieces = [np.linspace(a, b, math.ceil((b - a) / tubing.segment) + 1)[1:] for a, b in pairwise(marks)]
    md = np.concatenate([[top], *pieces])
    tvd = trajectory.tvd(md)
    angle = np.arcsin(np.clip(np.diff(tvd) / np.diff(md), -1.0, 1.0))
    fall = tvd[-1] - tvd[0]
    share = (tvd - tvd[0]) / fall if fall > 0.0 else np.zeros_like(tvd)
    rock = tubing.surface_temperature + (base_temperature - tubing.surface_temperature) * share
    rate, head = _pump_arrays(tubing.pump)
    lift, pump = tubing.gas_lift, tubing.pump
    return Pipe(
        md, tvd, angle, rock, tubing.inner_diameter, tubing.roughness, method_index(tubing.method), injecting,
        tubing.surface_temperature, tubing.heat_transfer or 0.0,
        -1 if lift is None else int(np.searchsorted(md, lift.depth_md)), 0.0 if lift is None else lift.rate,
        -1 if pump is None else int(np.searchsorted(md, pump.depth_md)), rate, head)  # fmt: skip


@kernel
def _temperatures(fluids: TubingFluids, pipe: Pipe, oil: float, water: float, gas: float, record: Floats) -> None:
    """Fill the temperature of the fluid at every node."""
    n = pipe.md.shape[0]
    if pipe.heat_transfer <= 0.0:
        for k in range(n):
            record[k, TEMPERATURE] = pipe.rock_temperature[k]
        return
    w, o, g = water * fluids.density_water, oil * fluids.density_oil, gas * fluids.density_gas
    mass = w + o + g
    heat = (w * WATER_HEAT + o * OIL_HEAT + g * GAS_HEAT) / mass if mass > 0.0 else WATER_HEAT
    relaxation = relaxation_length(mass, heat, pipe.diameter, pipe.heat_transfer)
    first, step = (0, 1) if pipe.injecting else (n - 1, -1)
    record[first, TEMPERATURE] = pipe.surface_temperature if pipe.injecting else pipe.rock_temperature[n - 1]
    k = first
    for _ in range(n - 1):
        there = k + step
        length = abs(pipe.md[there] - pipe.md[k])
        record[there, TEMPERATURE] = ramey_1962_step(
            record[k, TEMPERATURE], pipe.rock_temperature[k], pipe.rock_temperature[there], length, relaxation
        )
        k = there


@kernel
def _slope(
    fluids: TubingFluids, pipe: Pipe, angle: float, pressure: float, temperature: float, oil: float, water: float,
    gas: float, record: Floats, node: int,
) -> float:  # fmt: skip
    """Rise of pressure with measured depth [Pa/m]; what flows there is noted in the record of the node (-1: not)."""
    liquid, free, rho_l, rho_g, mu_l, mu_g, sigma = flowing_state(fluids, pressure, temperature, oil, water, gas)
    area = 0.25 * math.pi * pipe.diameter * pipe.diameter
    v_l, v_g = liquid / area, free / area
    if v_l + v_g <= 1e-12:
        v_l = 1e-12
    along = -angle if pipe.injecting else angle
    total, _, _, _, holdup, pattern = gradient(
        pipe.method, max(pressure, LOWEST), v_l, v_g, rho_l, rho_g, mu_l, mu_g, sigma, pipe.diameter, pipe.roughness,
        along)  # fmt: skip
    if node >= 0:
        record[node, HOLDUP] = holdup
        record[node, LIQUID_VELOCITY] = v_l
        record[node, GAS_VELOCITY] = v_g
        record[node, MIXTURE_DENSITY] = holdup * rho_l + (1.0 - holdup) * rho_g
        record[node, PATTERN] = pattern
    return -total if pipe.injecting else total


@kernel
def pump_head(pipe: Pipe, rate: float) -> float:
    """Head of the pump [m] at a rate through it [m3/s], linear between points and beyond the last; never below 0."""
    x, y = pipe.pump_rate, pipe.pump_head
    k = 0
    while k < x.shape[0] - 2 and rate > x[k + 1]:
        k += 1
    head = y[k] + (y[k + 1] - y[k]) * (rate - x[k]) / (x[k + 1] - x[k])
    return float(min(max(head, 0.0), y[0]))


@kernel
def _pump_rise(
    fluids: TubingFluids, pipe: Pipe, intake: float, temperature: float, oil: float, water: float, gas: float
) -> float:
    """Pressure that the pump adds [Pa] at an intake pressure [Pa]."""
    liquid, free, rho_l, rho_g, _, _, _ = flowing_state(fluids, intake, temperature, oil, water, gas)
    rate = liquid + free
    if rate <= 0.0:
        return rho_l * STANDARD_GRAVITY * pump_head(pipe, 0.0)
    density = (liquid * rho_l + free * rho_g) / rate
    return density * STANDARD_GRAVITY * pump_head(pipe, rate)


@kernel
def _intake_pressure(
    fluids: TubingFluids, pipe: Pipe, discharge: float, temperature: float, oil: float, water: float, gas: float
) -> float:
    """Pressure below the pump [Pa] from that above it. May be below 0: then it cannot be drawn so low.

    By regula falsi (Illinois form) within twice the rise at discharge.
    """
    high = discharge
    f_high = _pump_rise(fluids, pipe, discharge, temperature, oil, water, gas)
    low = discharge - 2.0 * f_high - 1.0
    f_low = low - discharge + _pump_rise(fluids, pipe, low, temperature, oil, water, gas)
    last = 0
    for _ in range(60):
        middle = (low * f_high - high * f_low) / (f_high - f_low) if f_low < 0.0 < f_high else 0.5 * (low + high)
        f = middle - discharge + _pump_rise(fluids, pipe, middle, temperature, oil, water, gas)
        if abs(f) < 0.5 or high - low < 1.0:
            return middle
        if f > 0.0:
            high, f_high = middle, f
            f_low *= 0.5 if last == 1 else 1.0
            last = 1
        else:
            low, f_low = middle, f
            f_high *= 0.5 if last == -1 else 1.0
            last = -1
    return 0.5 * (low + high)


@kernel
def march(
    fluids: TubingFluids, pipe: Pipe, wellhead_pressure: float, oil: float, water: float, gas: float, record: Floats
) -> float:
    """Pressure at the base of the tubing [Pa] from that of the wellhead and surface rates [m3/s], together above 0.

    gas: all that the well makes or takes, free and dissolved, without lift gas. record [n+1, 7]: filled with the
    traverse (see its columns). The properties are held below 1 bar absolute, the pressure itself is not: an answer
    below that says that the rate cannot be pushed through.
    """
    _temperatures(fluids, pipe, oil, water, gas, record)
    p = wellhead_pressure
    n = pipe.angle.shape[0]
    for k in range(n):
        record[k, PRESSURE] = p
        if k == pipe.pump_node:
            p = _intake_pressure(fluids, pipe, p, record[k, TEMPERATURE], oil, water, gas)
        through = gas + (pipe.lift_gas if k < pipe.lift_node else 0.0)
        length = pipe.md[k + 1] - pipe.md[k]
        t, warming = record[k, TEMPERATURE], (record[k + 1, TEMPERATURE] - record[k, TEMPERATURE]) / length
        gone = 0.0
        while gone < length:
            here = t + warming * gone
            first = _slope(fluids, pipe, pipe.angle[k], p, here, oil, water, through, record, k if gone == 0.0 else -1)
            step = min(max(STEEPEST * max(p, LOWEST) / max(abs(first), 1e-6), length / MOST_STEPS), length - gone)
            middle, warm = p + 0.5 * step * first, here + 0.5 * step * warming
            p += step * _slope(fluids, pipe, pipe.angle[k], middle, warm, oil, water, through, record, -1)
            gone = length if step >= length - gone else gone + step
    record[n, PRESSURE] = p
    _slope(fluids, pipe, pipe.angle[n - 1], p, record[n, TEMPERATURE], oil, water, gas, record, n)
    if pipe.pump_node == n:
        p = _intake_pressure(fluids, pipe, p, record[n, TEMPERATURE], oil, water, gas)
    return p


def make_record(pipe: Pipe) -> Floats:
    """Scratch array for march."""
    return np.zeros((len(pipe.md), 7))


def bottom_hole_pressure(
    fluids: TubingFluids, pipe: Pipe, wellhead_pressure: float, oil: float, water: float, gas: float
) -> float:
    """Pressure at the base of the tubing [Pa]; see march."""
    return march(fluids, pipe, wellhead_pressure, oil, water, gas, make_record(pipe))


def traverse(
    fluids: TubingFluids, pipe: Pipe, wellhead_pressure: float, oil: float, water: float, gas: float
) -> Traverse:
    """State at every node of the tubing; see march. At a pump the pressure is that above it (discharge)."""
    record = make_record(pipe)
    march(fluids, pipe, wellhead_pressure, oil, water, gas, record)
    names = tuple(PATTERNS[int(k)] for k in record[:, PATTERN])
    return Traverse(
        pipe.md, pipe.tvd, record[:, PRESSURE], record[:, TEMPERATURE], record[:, HOLDUP], record[:, LIQUID_VELOCITY],
        record[:, GAS_VELOCITY], record[:, MIXTURE_DENSITY], names)  # fmt: skip


def pump_intake(
    fluids: TubingFluids, pipe: Pipe, wellhead_pressure: float, oil: float, water: float, gas: float
) -> tuple[float, float]:
    """(Pressure [Pa], share of free gas [-]) at the intake of the pump. Raises ValueError without a pump."""
    if pipe.pump_node < 0:
        raise ValueError("this tubing has no pump")
    k = pipe.pump_node
    record = make_record(pipe)
    march(fluids, pipe, wellhead_pressure, oil, water, gas, record)
    warm = record[k, TEMPERATURE]
    pressure = _intake_pressure(fluids, pipe, record[k, PRESSURE], warm, oil, water, gas)
    liquid, free = flowing_state(fluids, pressure, warm, oil, water, gas)[:2]
    return pressure, free / max(liquid + free, 1e-30)

"""Limits that depend on what flows: erosional velocity (API RP 14E) and liquid loading, in string and tubing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.units import QUANTITIES, from_si
from planner.forecast.snapshots import StringStates
from planner.forecast.volumes import at_pressure
from planner.model.case import Case
from planner.model.results import LimitSeries, margin_of
from planner.network.arrays import BO, GAS_EXPANSION, INVERSE_BW, RS, Fluids
from planner.network.compile import Network
from planner.network.fluid_tables import WATER_REFERENCE
from planner.network.lift import column_of_case
from planner.network.tubing_view import (
    GAS_DENSITY,
    GAS_SPEED,
    LEAST_GAS,
    LIQUID_DENSITY,
    NO_SLIP_DENSITY,
    TENSION,
    VELOCITY,
    TubingState,
    tubing_state,
)
from planner.physics.loading import coleman_1991_velocity, turner_1969_velocity
from planner.physics.pipe_flow import erosional_velocity
from planner.physics.surface_tension import baker_swerdloff_1956, hough_1951

Floats = NDArray[np.float64]

LOADING = "gas velocity that lifts liquid"
METHODS = {"turner 1969": turner_1969_velocity, "coleman 1991": coleman_1991_velocity}


def erosional_limit(density: Floats, constant: float) -> Floats:
    """Erosional velocity [m/s] at mixture densities [kg/m3]; constant in (m/s)(kg/m3)^0.5."""
    limit: Floats = erosional_velocity(np.maximum(density, 1e-3), constant)
    return limit


def loading_limit(method: str, liquid: Floats, gas: Floats, tension: Floats) -> Floats:
    """Least gas velocity that lifts the liquid [m/s]; densities [kg/m3], surface tension [N/m]."""
    limit: Floats = METHODS[method](liquid, gas, tension)
    return limit


def loading_at_top(case: Case, net: Network, well: dict[str, Floats]) -> Iterator[LimitSeries]:
    """Gas velocity at the top of the string of a gas producer, against the least that lifts what liquid there is."""
    method = case.limits.liquid_loading
    if method is None or case.well.kind != "gas producer":
        return
    pressure, gas = well["bottom_hole_pressure"], np.maximum(well["gas_rate"], 0.0)
    oil, water = (np.maximum(well[name], 0.0) for name in ("oil_rate", "water_rate"))
    expansion = at_pressure(net.fluids, pressure, GAS_EXPANSION)
    rs = np.zeros_like(gas) if net.fluids.dead else at_pressure(net.fluids, pressure, RS)
    free = np.maximum(gas - rs * oil, 0.0) / expansion
    area = 0.25 * np.pi * net.graph.pieces[0].inner_diameter ** 2
    liquid, tension = _lifted(case, net.fluids, pressure, (water > 0.0) | (oil <= 0.0))
    limit = loading_limit(method, liquid, net.fluids.density_gas * expansion, tension)
    value = np.where(gas > LEAST_GAS, free / area, np.nan)
    yield LimitSeries(LOADING, "top of the string", "velocity", value, limit, lower=True)


def _lifted(case: Case, fluids: Fluids, pressure: Floats, water: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Density and surface tension of the liquid to be lifted: water (the heavier) or the oil."""
    temperature = case.fluid.temperature
    density = fluids.density_water * at_pressure(fluids, pressure, INVERSE_BW)
    tension = np.asarray(hough_1951(pressure, temperature))
    if water.all():
        return density, tension
    rs = np.zeros_like(pressure) if fluids.dead else at_pressure(fluids, pressure, RS)
    oil = (fluids.density_oil + rs * fluids.density_gas) / at_pressure(fluids, pressure, BO)
    light = np.asarray(baker_swerdloff_1956(pressure, temperature, fluids.density_oil / WATER_REFERENCE))
    return np.where(water, density, oil), np.where(water, tension, light)


class Judged(NamedTuple):
    """Speeds along a tubing [nodes] against what is allowed, m/s."""

    value: Floats
    limit: Floats
    lower: bool


def tubing_speeds(case: Case, state: TubingState) -> dict[str, Judged]:
    """Speeds along a tubing against the limits that were given, by the margin that they make in results."""
    limits, flowing, found = case.limits, state.flowing, {}
    if limits.erosional_constant is not None:
        allowed = erosional_limit(flowing[:, NO_SLIP_DENSITY], limits.erosional_constant)
        found["erosional_margin"] = Judged(flowing[:, VELOCITY], allowed, False)
    if limits.liquid_loading is not None and case.well.kind == "gas producer":
        least = loading_limit(
            limits.liquid_loading, flowing[:, LIQUID_DENSITY], flowing[:, GAS_DENSITY], flowing[:, TENSION]
        )
        found["loading_margin"] = Judged(flowing[:, GAS_SPEED], least, True)
    return found


def tubing_limits(case: Case, states: StringStates, well: dict[str, Floats]) -> Iterator[LimitSeries]:
    """The same two limits along the tubing, at the worst place of it on every date, by the direct march."""
    limits = case.limits
    loading = limits.liquid_loading is not None and case.well.kind == "gas producer"
    if case.tubing is None or (limits.erosional_constant is None and not loading):
        return
    judged = [_judged(case, states, well, t) for t in range(len(states.wellhead))]
    for key, name in (("erosional_margin", "erosional velocity in the tubing"), ("loading_margin", LOADING)):
        if any(key in speeds for speeds, _ in judged):
            yield _worst_in_tubing(case, name, [(speeds.get(key), md) for speeds, md in judged])


def _judged(
    case: Case, states: StringStates, well: dict[str, Floats], row: int
) -> tuple[dict[str, Judged], Floats]:  # fmt: skip
    """Speeds along the tubing on a date, and depths of its nodes; nothing where nothing flows."""
    state, tubing = tubing_at(case, states, well, row), states.tubing[row]
    if state is None or tubing is None:
        return {}, np.zeros(0)
    return tubing_speeds(case, state), column_of_case(case, tubing).pipe.md


def tubing_at(case: Case, states: StringStates, well: dict[str, Floats], row: int) -> TubingState | None:
    """The tubing on a date; None where there is none or nothing flows."""
    tubing = states.tubing[row]
    if tubing is None:
        return None
    rates = (float(well[name][row]) for name in ("oil_rate", "water_rate", "gas_rate"))
    bottom = float(well["bottom_hole_pressure"][row])
    return tubing_state(column_of_case(case, tubing), bottom, float(states.wellhead[row]), *rates)


def _worst_in_tubing(case: Case, name: str, found: list[tuple[Judged | None, Floats]]) -> LimitSeries:
    value, limit = np.full(len(found), np.nan), np.full(len(found), np.nan)
    at = ["tubing"] * len(found)
    lower = False
    for t, (judged, md) in enumerate(found):
        if judged is not None:
            k = int(margin_of(*judged).argmin())
            value[t], limit[t], lower = judged.value[k], judged.limit[k], judged.lower
            at[t] = _place(case, float(md[k]), k)
    return LimitSeries(name, "tubing", "velocity", value, limit, lower, tuple(at))


def _place(case: Case, md: float, node: int) -> str:
    if node == 0:
        return "wellhead"
    return f"tubing at {float(from_si(md, 'length', case.units)):,.0f} {QUANTITIES['length'].label(case.units)}"

"""The fluids of a case as tables on a uniform pressure grid, and its rock types on a uniform saturation grid."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.base.cards import CARDS, out_of_range
from planner.base.constants import AIR_MOLAR_MASS, GAS_CONSTANT, STANDARD_PRESSURE, STANDARD_TEMPERATURE
from planner.model.case import Case, Fluid, Gas, Oil, RelativePermeability, Water
from planner.model.methods import of_fluids
from planner.network.arrays import (
    BO,
    GAS_EXPANSION,
    GAS_POTENTIAL,
    INVERSE_BW,
    KRG,
    KROG,
    KROW,
    KRW,
    MU_G,
    MU_O,
    MU_W,
    OIL_COMPRESSIBILITY,
    OIL_VISCOSITY_SLOPE,
    RS,
    Fluids,
    Rocks,
)
from planner.physics import gas as gas_physics
from planner.physics import oil as oil_physics
from planner.physics import relative_permeability as kr
from planner.physics import water as water_physics

Floats = NDArray[np.float64]

POINTS = 400
SATURATIONS = 401
LOWEST = 1.0e5  # Pa
WATER_REFERENCE = 999.0  # kg/m3, fresh water at standard conditions, for specific gravities
OIL_COMPRESSIBILITY_DEFAULT = 1.5e-9  # 1/Pa, common practice, no source: used where a table gives none
LOW_BUBBLE_POINT = 2.0e5  # Pa, of a constant oil with dissolved gas and no bubble point given


def highest_pressure(case: Case) -> float:
    """Top of the pressure grid: well above anything that the case names, Pa."""
    named = [c.pressure for c in case.compartments]
    named += [layer.pressure for layer in case.layers if layer.pressure is not None]
    named += [c.bottom_hole_pressure for c in case.controls if c.bottom_hole_pressure is not None]
    named += [s.pressure for s in case.supports.values() if s.pressure is not None]
    if case.fluid.oil is not None and case.fluid.oil.bubble_point is not None:
        named.append(case.fluid.oil.bubble_point)
    return 1.5 * max(named) + 5e6


def fluid_tables(case: Case) -> Fluids:
    """Tables of the case's fluids; see arrays.Fluids."""
    pressure = np.linspace(LOWEST, highest_pressure(case), POINTS)
    table = np.zeros((POINTS, 10))
    fluid = case.fluid
    reference = case.compartments[0].pressure
    density_gas = fluid.gas.gravity * AIR_MOLAR_MASS * STANDARD_PRESSURE / (GAS_CONSTANT * STANDARD_TEMPERATURE)
    density_water = _water(fluid.water, fluid.temperature, reference, pressure, table)
    _gas(fluid.gas, fluid.temperature, pressure, table)
    density_oil, dead = _oil(fluid, reference, pressure, table)
    step = float(pressure[1] - pressure[0])
    return Fluids(LOWEST, step, table, dead, density_water, density_oil, density_gas)


def _water(water: Water, temperature: float, reference: float, p: Floats, table: Floats) -> float:
    """Fill the water columns; returns its surface density."""
    salt = water.salinity
    surface = water.density or float(water_physics.water_density(STANDARD_PRESSURE, STANDARD_TEMPERATURE, salt))
    if water.method == "constant":
        at = water.reference_pressure or reference
        factor = water.formation_volume_factor or 1.0
        table[:, INVERSE_BW] = np.exp((water.compressibility or 0.0) * (p - at)) / factor
        table[:, MU_W] = water.viscosity or 1e-3
        return surface
    table[:, INVERSE_BW] = 1.0 / water_physics.water_formation_volume_factor(p, temperature, salt)
    table[:, MU_W] = water_physics.water_viscosity(p, temperature, salt)
    return surface


def _gas(gas: Gas, temperature: float, p: Floats, table: Floats) -> None:
    """Fill the gas columns."""
    if gas.method == "table":
        at = np.array([row.pressure for row in gas.table])
        factor = np.array([row.formation_volume_factor for row in gas.table])
        mu = np.array([row.viscosity for row in gas.table])
        # 1/(Bg p) varies slowly: interpolated, held constant outside the table
        table[:, GAS_EXPANSION] = np.interp(p, at, 1.0 / (factor * at)) * p
        table[:, MU_G] = np.interp(p, at, mu)
    elif gas.method == "ideal":
        table[:, GAS_EXPANSION] = p / STANDARD_PRESSURE * STANDARD_TEMPERATURE / temperature
        table[:, MU_G] = gas.viscosity or 2e-5
    else:
        critical_t, critical_p = gas_physics.pseudo_critical(
            gas.gravity, gas.carbon_dioxide, gas.hydrogen_sulphide, gas.nitrogen
        )
        z = gas_physics.z_factor(p, temperature, critical_t, critical_p)
        table[:, GAS_EXPANSION] = 1.0 / gas_physics.gas_bg(p, temperature, z, STANDARD_PRESSURE, STANDARD_TEMPERATURE)
        density = gas_physics.gas_density(p, temperature, z, gas.gravity)
        table[:, MU_G] = gas_physics.gas_viscosity(density, temperature, gas.gravity)
    slope = table[:, GAS_EXPANSION] / table[:, MU_G]
    table[1:, GAS_POTENTIAL] = np.cumsum(0.5 * (slope[1:] + slope[:-1]) * np.diff(p))


def _oil(fluid: Fluid, reference: float, p: Floats, table: Floats) -> tuple[float, bool]:
    """Fill the oil columns; returns surface density and whether no gas dissolves."""
    oil = fluid.oil
    if oil is None:
        table[:, BO] = 1.0
        table[:, MU_O] = 1e-3
        return 800.0, True
    density = oil_density(oil)
    dead = oil.solution_gas_ratio == 0.0 and oil.method != "table"
    if oil.method == "constant":
        _constant_oil(oil, reference, p, table)
    elif oil.method == "table":
        _table_oil(oil, p, table)
        dead = bool(np.all(table[:, RS] == 0.0))
    else:
        _correlated_oil(fluid, oil, density, reference, p, table)
    return density, dead


def oil_density(oil: Oil) -> float:
    """Density of stock-tank oil, kg/m3, from the density or the API gravity given."""
    if oil.density is not None:
        return oil.density
    return float(oil_physics.specific_gravity_from_api(oil.api or 35.0)) * WATER_REFERENCE


def _constant_oil(oil: Oil, reference: float, p: Floats, table: Floats) -> None:
    at = oil.reference_pressure or reference
    c = oil.compressibility or 0.0
    table[:, BO] = (oil.formation_volume_factor or 1.0) * np.exp(-c * (p - at))
    table[:, MU_O] = (oil.viscosity or 1e-3) * np.exp(oil.viscosity_slope * (p - at))
    table[:, OIL_COMPRESSIBILITY] = c
    table[:, OIL_VISCOSITY_SLOPE] = oil.viscosity_slope
    bubble = oil.bubble_point or LOW_BUBBLE_POINT
    table[:, RS] = oil.solution_gas_ratio * (p - LOWEST) / (bubble - LOWEST)


def _table_oil(oil: Oil, p: Floats, table: Floats) -> None:
    at = np.array([row.pressure for row in oil.table])
    for column, values in (
        (RS, [row.solution_gas_ratio for row in oil.table]),
        (BO, [row.formation_volume_factor for row in oil.table]),
        (MU_O, [row.viscosity for row in oil.table]),
    ):
        known = np.array(values)
        table[:, column] = np.interp(p, at, known)
        above = p > at[-1]
        if column != MU_O and len(at) > 1:
            slope = (known[-1] - known[-2]) / (at[-1] - at[-2])
            table[above, column] = known[-1] + slope * (p[above] - at[-1])
    compressibility = OIL_COMPRESSIBILITY_DEFAULT if oil.compressibility is None else oil.compressibility
    table[:, OIL_COMPRESSIBILITY] = compressibility
    table[:, OIL_VISCOSITY_SLOPE] = oil.viscosity_slope


def _correlated_oil(fluid: Fluid, oil: Oil, density: float, reference: float, p: Floats, table: Floats) -> None:
    """Saturated oil from the correlation, stretched in pressure so that a measured bubble point is met."""
    gravity = density / WATER_REFERENCE
    gas_gravity = fluid.gas.gravity
    temperature = fluid.temperature
    if oil.correlation == "standing 1947":
        rs_of, bo_of, bubble_of = (
            oil_physics.standing_1947_rs,
            oil_physics.standing_1947_bo,
            oil_physics.standing_1947_bubble_point,
        )
    else:
        rs_of, bo_of, bubble_of = (
            oil_physics.vasquez_beggs_1980_rs,
            oil_physics.vasquez_beggs_1980_bo,
            oil_physics.vasquez_beggs_1980_bubble_point,
        )
    stretch = 1.0
    if oil.solution_gas_ratio > 0.0:
        if oil.bubble_point is not None:
            stretch = float(bubble_of(oil.solution_gas_ratio, temperature, gravity, gas_gravity)) / oil.bubble_point
        table[:, RS] = np.maximum(rs_of(p * stretch, temperature, gravity, gas_gravity), 0.0)
        table[:, RS] -= table[0, RS]
        table[:, RS] = np.maximum.accumulate(table[:, RS]) + 1e-9 * np.arange(len(p))
    rs = table[:, RS]
    table[:, BO] = bo_of(rs, temperature, gravity, gas_gravity)
    dead_viscosity = oil_physics.beggs_robinson_1975_dead_viscosity(temperature, gravity)
    mu = oil_physics.beggs_robinson_1975_saturated_viscosity(dead_viscosity, rs)
    table[:, MU_O] = mu
    # Undersaturated: the correlations are powers of pressure; the exponent is set so that they are met exactly
    # at the initial pressure (or just above the bubble point where that is higher).
    at = np.maximum(reference, p + 1e5)
    if oil.compressibility is None:
        elastic = np.maximum(p, 1e6) * oil_physics.vasquez_beggs_1980_compressibility(
            np.maximum(p, 1e6), rs, temperature, gravity, gas_gravity
        )
        table[:, OIL_COMPRESSIBILITY] = np.maximum(elastic * np.log(at / p) / (at - p), 1e-10)
    else:
        table[:, OIL_COMPRESSIBILITY] = oil.compressibility
    thick = oil_physics.vasquez_beggs_1980_undersaturated_viscosity(at, p, mu)
    table[:, OIL_VISCOSITY_SLOPE] = np.maximum(np.log(thick / mu) / (at - p), 0.0)
    if oil.solution_gas_ratio == 0.0:
        c = oil.compressibility if oil.compressibility is not None else OIL_COMPRESSIBILITY_DEFAULT
        table[:, BO] *= np.exp(-c * (p - STANDARD_PRESSURE))
        slope = table[0, OIL_VISCOSITY_SLOPE]
        table[:, MU_O] *= np.exp(slope * (p - STANDARD_PRESSURE))


def fluid_warnings(case: Case) -> list[str]:
    """Sentences for every correlation that is used outside the range of its data, at the initial state."""
    fluid = case.fluid
    pressures = np.array([c.pressure for c in case.compartments])
    known: dict[str, Any] = {
        "temperature": fluid.temperature, "pressure": pressures, "gas_gravity": fluid.gas.gravity,
        "salinity": fluid.water.salinity,
    }  # fmt: skip
    if fluid.gas.method == "correlation":
        critical_t, critical_p = gas_physics.pseudo_critical(
            fluid.gas.gravity, fluid.gas.carbon_dioxide, fluid.gas.hydrogen_sulphide, fluid.gas.nitrogen)  # fmt: skip
        known |= {"reduced_pressure": pressures / critical_p, "reduced_temperature": fluid.temperature / critical_t}
    if fluid.oil is not None:
        known |= {"oil_gravity": oil_density(fluid.oil) / WATER_REFERENCE,
                  "solution_gas_ratio": fluid.oil.solution_gas_ratio}  # fmt: skip
    found: list[str] = []
    for key in dict.fromkeys(of_fluids(case)):
        if key in CARDS:
            ranges = CARDS[key].ranges
            found += out_of_range(key, **{name: value for name, value in known.items() if name in ranges})
    return found


def rock_tables(case: Case) -> Rocks:
    """Relative permeability of all rock types, and last a rock with straight lines for aquifers."""
    curves = np.zeros((len(case.rocks) + 1, SATURATIONS, 4))
    connate = np.zeros(len(case.rocks) + 1)
    gas_only = case.fluid.oil is None
    for row, rock in enumerate(case.rocks):
        curves[row] = _curves(rock.relative_permeability, gas_only)
        connate[row] = rock.relative_permeability.connate_water
    straight = np.linspace(0.0, 1.0, SATURATIONS)
    curves[-1] = straight[:, None]
    return Rocks(curves, connate)


def trapped(curve: RelativePermeability, gas_only: bool) -> float:
    """Saturation of oil (or of gas in a gas reservoir) that water leaves behind."""
    if not gas_only:
        return curve.residual_oil_to_water
    return curve.critical_gas if curve.residual_gas_to_water is None else curve.residual_gas_to_water


def _curves(c: RelativePermeability, gas_only: bool) -> Floats:
    s = np.linspace(0.0, 1.0, SATURATIONS)
    left = trapped(c, gas_only)
    immobile_gas = left if gas_only else c.critical_gas
    residual = 0.0 if gas_only else c.residual_oil_to_gas
    out = np.zeros((SATURATIONS, 4))
    if c.form == "let":
        water, oil = c.water_let or (2.0, 2.0, 2.0), c.oil_let or (2.0, 2.0, 2.0)
        gas, oil_gas = c.gas_let or (2.0, 2.0, 2.0), c.oil_gas_let or (2.0, 2.0, 2.0)
        out[:, KRW] = kr.let_water(s, c.connate_water, left, c.water_end_point, *water)
        out[:, KROW] = kr.let_oil(1.0 - s, c.connate_water, left, c.oil_end_point, *oil)
        out[:, KRG] = kr.let_gas(s, immobile_gas, c.connate_water, residual, c.gas_end_point, *gas)
        out[:, KROG] = kr.let_oil_gas(1.0 - c.connate_water - s, c.connate_water, residual, c.oil_end_point, *oil_gas)
    else:
        out[:, KRW] = kr.corey_water(s, c.connate_water, left, c.water_end_point, c.water_exponent)
        out[:, KROW] = kr.corey_oil(1.0 - s, c.connate_water, left, c.oil_end_point, c.oil_exponent)
        out[:, KRG] = kr.corey_gas(s, immobile_gas, c.connate_water, residual, c.gas_end_point, c.gas_exponent)
        out[:, KROG] = kr.corey_oil_gas(
            1.0 - c.connate_water - s, c.connate_water, residual, c.oil_end_point, c.oil_gas_exponent
        )
    if gas_only:
        out[:, KROW] = 0.0
        out[:, KROG] = 0.0
    # from the end point at residual oil a straight line to 1 in rock that never held oil
    above = s > 1.0 - left
    if left > 0.0 and c.water_end_point < 1.0:
        out[above, KRW] = c.water_end_point + (1.0 - c.water_end_point) * (s[above] - 1.0 + left) / left
    return out

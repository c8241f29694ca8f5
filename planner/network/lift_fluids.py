"""Oil, water and gas along the tubing: properties on a grid of pressure and temperature, compiled lookup.

The reservoir's tables hold one temperature; here the same correlations run over all temperatures of the tubing. A
measured bubble point stretches the correlation by the factor found at reservoir temperature. An oil or gas given by
constants or a table keeps its values of reservoir temperature (gas expansion goes with 1/T).
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.base.constants import AIR_MOLAR_MASS, GAS_CONSTANT, STANDARD_PRESSURE, STANDARD_TEMPERATURE
from planner.model.case import Fluid, Oil
from planner.physics import gas as gas_physics
from planner.physics import oil as oil_physics
from planner.physics import water as water_physics
from planner.physics.surface_tension import baker_swerdloff_1956, hough_1951

Floats = NDArray[np.float64]

PRESSURES, TEMPERATURES = 160, 24
LOWEST = 1.0e5  # Pa, as in the reservoir's tables: no gas is left in oil there
COLDEST_OIL = (70.0 + 459.67) / 1.8  # K, lower end of Beggs and Robinson's data; colder oil keeps this viscosity
WATER_REFERENCE = 999.0  # kg/m3, fresh water at standard conditions, for specific gravities
(
    INVERSE_BW, LN_MU_W, RS, BO, LN_MU_O, EXPANSION, MU_G, SIGMA_OIL, SIGMA_WATER, OIL_COMPRESSIBILITY,
    OIL_VISCOSITY_SLOPE,
) = range(11)  # fmt: skip


class TubingFluids(NamedTuple):
    """Tables on a grid uniform in ln p and in T.

    table [temperatures, pressures, 11]: 1/Bw, ln water viscosity, solution gas ratio, Bo and ln viscosity of saturated
    oil, 1/(Bg p), gas viscosity, surface tension of oil and of water, undersaturated compressibility and log viscosity
    slope at that bubble point. dead: no gas dissolves. Densities at surface conditions [kg/m3].
    """

    ln_start: float
    ln_step: float
    cold: float
    warm_step: float
    table: Floats
    dead: bool
    density_water: float
    density_oil: float
    density_gas: float


class _Grid(NamedTuple):
    p: Floats
    t: Floats
    table: Floats
    reservoir: float


def tubing_fluids(fluid: Fluid, reference: float, highest: float, coldest: float, hottest: float) -> TubingFluids:
    """Tables for pressures up to `highest` [Pa] and temperatures from `coldest` to `hottest` [K].

    reference: pressure at which constant fluids without a reference pressure of their own are known [Pa].
    """
    ln = np.linspace(math.log(LOWEST), math.log(highest), PRESSURES)
    warm = np.linspace(coldest, max(hottest, coldest + 1.0), TEMPERATURES)
    t, p = np.meshgrid(warm, np.exp(ln), indexing="ij")
    grid = _Grid(p, t, np.zeros((TEMPERATURES, PRESSURES, 11)), fluid.temperature)
    density_water = _fill_water(fluid, reference, grid)
    _fill_gas(fluid, grid)
    density_oil, dead = _fill_oil(fluid, reference, grid)
    density_gas = fluid.gas.gravity * AIR_MOLAR_MASS * STANDARD_PRESSURE / (GAS_CONSTANT * STANDARD_TEMPERATURE)
    return TubingFluids(
        float(ln[0]), float(ln[1] - ln[0]), float(warm[0]), float(warm[1] - warm[0]), grid.table, dead,
        density_water, density_oil, density_gas)  # fmt: skip


def _fill_water(fluid: Fluid, reference: float, grid: _Grid) -> float:
    water, table = fluid.water, grid.table
    surface = water.density or float(
        water_physics.water_density(STANDARD_PRESSURE, STANDARD_TEMPERATURE, water.salinity)
    )
    table[..., SIGMA_WATER] = hough_1951(grid.p, grid.t)
    if water.method == "constant":
        at = water.reference_pressure or reference
        table[..., INVERSE_BW] = np.exp((water.compressibility or 0.0) * (grid.p - at)) / (
            water.formation_volume_factor or 1.0
        )
        table[..., LN_MU_W] = math.log(water.viscosity or 1e-3)
        return surface
    table[..., INVERSE_BW] = 1.0 / water_physics.water_formation_volume_factor(grid.p, grid.t, water.salinity)
    table[..., LN_MU_W] = np.log(water_physics.water_viscosity(grid.p, grid.t, water.salinity))
    return surface


def _fill_gas(fluid: Fluid, grid: _Grid) -> None:
    gas, table = fluid.gas, grid.table
    ideal = STANDARD_TEMPERATURE / (STANDARD_PRESSURE * grid.t)
    if gas.method == "table":
        at = np.array([row.pressure for row in gas.table])
        factor = np.array([row.formation_volume_factor for row in gas.table])
        table[..., EXPANSION] = np.interp(grid.p, at, 1.0 / (factor * at)) * grid.reservoir / grid.t
        table[..., MU_G] = np.interp(grid.p, at, np.array([row.viscosity for row in gas.table]))
    elif gas.method == "ideal":
        table[..., EXPANSION] = ideal
        table[..., MU_G] = gas.viscosity or 2e-5
    else:
        critical = gas_physics.pseudo_critical(gas.gravity, gas.carbon_dioxide, gas.hydrogen_sulphide, gas.nitrogen)
        z = gas_physics.z_factor(grid.p, grid.t, *critical)
        table[..., EXPANSION] = ideal / z
        density = gas_physics.gas_density(grid.p, grid.t, z, gas.gravity)
        table[..., MU_G] = gas_physics.gas_viscosity(density, grid.t, gas.gravity)


def _fill_oil(fluid: Fluid, reference: float, grid: _Grid) -> tuple[float, bool]:
    """Returns surface density and whether no gas dissolves."""
    oil, table, p = fluid.oil, grid.table, grid.p
    if oil is None:
        table[..., BO] = 1.0
        table[..., LN_MU_O] = math.log(1e-3)
        table[..., SIGMA_OIL] = baker_swerdloff_1956(p, grid.t, 0.8)
        return 800.0, True
    density = oil.density
    if density is None:
        density = float(oil_physics.specific_gravity_from_api(oil.api or 35.0)) * WATER_REFERENCE
    table[..., SIGMA_OIL] = baker_swerdloff_1956(p, grid.t, density / WATER_REFERENCE)
    if oil.method == "constant":
        at, c = oil.reference_pressure or reference, oil.compressibility or 0.0
        table[..., BO] = (oil.formation_volume_factor or 1.0) * np.exp(-c * (p - at))
        table[..., LN_MU_O] = math.log(oil.viscosity or 1e-3) + oil.viscosity_slope * (p - at)
        table[..., OIL_COMPRESSIBILITY], table[..., OIL_VISCOSITY_SLOPE] = c, oil.viscosity_slope
        bubble = oil.bubble_point or 2.0 * LOWEST
        table[..., RS] = oil.solution_gas_ratio * (p - LOWEST) / (bubble - LOWEST)
        return density, oil.solution_gas_ratio == 0.0
    if oil.method == "table":
        _fill_table_oil(oil, grid)
        return density, bool(np.all(table[..., RS] == 0.0))
    _fill_correlated_oil(fluid, oil, density / WATER_REFERENCE, grid)
    return density, oil.solution_gas_ratio == 0.0


def _fill_table_oil(oil: Oil, grid: _Grid) -> None:
    at = np.array([row.pressure for row in oil.table])
    columns = (
        (RS, np.array([row.solution_gas_ratio for row in oil.table])),
        (BO, np.array([row.formation_volume_factor for row in oil.table])),
        (LN_MU_O, np.log([row.viscosity for row in oil.table])),
    )
    for column, known in columns:
        grid.table[..., column] = np.interp(grid.p, at, known)
        if column != LN_MU_O and len(at) > 1:
            slope = (known[-1] - known[-2]) / (at[-1] - at[-2])
            grid.table[..., column] += slope * np.maximum(grid.p - at[-1], 0.0)
    grid.table[..., OIL_COMPRESSIBILITY] = 1.5e-9 if oil.compressibility is None else oil.compressibility
    grid.table[..., OIL_VISCOSITY_SLOPE] = oil.viscosity_slope


def _fill_correlated_oil(fluid: Fluid, oil: Oil, gravity: float, grid: _Grid) -> None:
    """Saturated oil from the correlation at every temperature, stretched so that a measured bubble point is met."""
    if oil.correlation == "standing 1947":
        rs_of, bo_of = oil_physics.standing_1947_rs, oil_physics.standing_1947_bo
        bubble_of = oil_physics.standing_1947_bubble_point
    else:
        rs_of, bo_of = oil_physics.vasquez_beggs_1980_rs, oil_physics.vasquez_beggs_1980_bo
        bubble_of = oil_physics.vasquez_beggs_1980_bubble_point
    p, t, table, gas_gravity = grid.p, grid.t, grid.table, fluid.gas.gravity
    if oil.solution_gas_ratio > 0.0:
        stretch = 1.0
        if oil.bubble_point is not None:
            bubble = float(bubble_of(oil.solution_gas_ratio, grid.reservoir, gravity, gas_gravity))
            stretch = bubble / oil.bubble_point
        rs = np.maximum(rs_of(p * stretch, t, gravity, gas_gravity), 0.0)
        table[..., RS] = np.maximum(rs - rs[:, :1], 0.0)
    rs = table[..., RS]
    table[..., BO] = bo_of(rs, t, gravity, gas_gravity)
    dead = oil_physics.beggs_robinson_1975_dead_viscosity(np.maximum(t, COLDEST_OIL), gravity)
    mu = oil_physics.beggs_robinson_1975_saturated_viscosity(dead, rs)
    table[..., LN_MU_O] = np.log(mu)
    above = p + 5e6  # undersaturated laws are powers of pressure: taken as exponentials over the next 50 bar
    if oil.compressibility is None:
        stiff = np.maximum(p, 1e6)
        elastic = stiff * oil_physics.vasquez_beggs_1980_compressibility(stiff, rs, t, gravity, gas_gravity)
        table[..., OIL_COMPRESSIBILITY] = np.clip(elastic * np.log((stiff + 5e6) / stiff) / 5e6, 1e-10, 5e-9)
    else:
        table[..., OIL_COMPRESSIBILITY] = oil.compressibility
    thick = oil_physics.vasquez_beggs_1980_undersaturated_viscosity(above, p, mu)
    table[..., OIL_VISCOSITY_SLOPE] = np.maximum(np.log(thick / mu) / 5e6, 0.0)
    if oil.solution_gas_ratio == 0.0:
        table[..., BO] *= np.exp(-table[..., OIL_COMPRESSIBILITY] * (p - STANDARD_PRESSURE))
        table[..., LN_MU_O] += table[:, :1, OIL_VISCOSITY_SLOPE] * (p - STANDARD_PRESSURE)


# ---- compiled lookup ---------------------------------------------------------------------------------------------


@kernel
def _place(fluids: TubingFluids, pressure: float, temperature: float) -> tuple[int, float, int, float]:
    """Column of ln p and row of T below a state, with the shares of the way to the next; held inside the grid."""
    x = (math.log(max(pressure, LOWEST)) - fluids.ln_start) / fluids.ln_step
    y = (temperature - fluids.cold) / fluids.warm_step
    x = min(max(x, 0.0), fluids.table.shape[1] - 1.0)
    y = min(max(y, 0.0), fluids.table.shape[0] - 1.0)
    i = min(int(x), fluids.table.shape[1] - 2)
    j = min(int(y), fluids.table.shape[0] - 2)
    return i, x - i, j, y - j


@kernel
def _value(fluids: TubingFluids, i: int, a: float, j: int, b: float, column: int) -> float:
    t = fluids.table
    low = t[j, i, column] + a * (t[j, i + 1, column] - t[j, i, column])
    high = t[j + 1, i, column] + a * (t[j + 1, i + 1, column] - t[j + 1, i, column])
    return float(low + b * (high - low))


@kernel
def _bubble_place(fluids: TubingFluids, ratio: float, j: int, b: float, high: int) -> tuple[int, float]:
    """Column (below `high`) and share of ln p at which oil with this ratio of gas is saturated, at a temperature."""
    low = 0
    while high - low > 1:
        middle = (low + high) // 2
        if _value(fluids, middle, 0.0, j, b, RS) <= ratio:
            low = middle
        else:
            high = middle
    under = _value(fluids, low, 0.0, j, b, RS)
    rise = _value(fluids, low, 1.0, j, b, RS) - under
    return low, min(max((ratio - under) / rise, 0.0), 1.0) if rise > 0.0 else 0.0


@kernel
def _oil(
    fluids: TubingFluids, pressure: float, i: int, a: float, j: int, b: float, ratio: float
) -> tuple[float, float, float]:
    """(Bo, viscosity, dissolved gas ratio) of oil that has `ratio` of gas at hand, at a place of the tables."""
    most = 0.0 if fluids.dead else _value(fluids, i, a, j, b, RS)
    if fluids.dead or ratio >= most:
        return _value(fluids, i, a, j, b, BO), math.exp(_value(fluids, i, a, j, b, LN_MU_O)), most
    i, a = _bubble_place(fluids, ratio, j, b, i + 1)
    over = max(pressure - math.exp(fluids.ln_start + (i + a) * fluids.ln_step), 0.0)
    bo = _value(fluids, i, a, j, b, BO) * math.exp(-_value(fluids, i, a, j, b, OIL_COMPRESSIBILITY) * over)
    ln_mu = _value(fluids, i, a, j, b, LN_MU_O) + _value(fluids, i, a, j, b, OIL_VISCOSITY_SLOPE) * over
    return bo, math.exp(ln_mu), ratio


@kernel
def oil_in_place(fluids: TubingFluids, pressure: float, temperature: float, ratio: float) -> tuple[float, float, float]:
    """(Bo, viscosity [Pa s], dissolved gas ratio) of oil that has `ratio` of gas at hand; saturated or not."""
    i, a, j, b = _place(fluids, pressure, temperature)
    return _oil(fluids, pressure, i, a, j, b, ratio)


@kernel
def flowing_state(
    fluids: TubingFluids, pressure: float, temperature: float, oil: float, water: float, gas: float
) -> tuple[float, float, float, float, float, float, float]:
    """Rates and properties in place of what flows at surface rates oil, water, gas (all of it) [m3/s], at least 0.

    Returns (liquid rate, free gas rate [m3/s]; liquid density, gas density [kg/m3]; liquid viscosity, gas viscosity
    [Pa s]; surface tension [N/m]). The liquid is the average of oil and water by volume in density, viscosity and
    surface tension; an emulsion is more viscous than that.
    """
    i, a, j, b = _place(fluids, pressure, temperature)
    expansion = _value(fluids, i, a, j, b, EXPANSION) * max(pressure, LOWEST)
    mu_g = _value(fluids, i, a, j, b, MU_G)
    density_gas = fluids.density_gas * expansion
    inverse_bw = _value(fluids, i, a, j, b, INVERSE_BW)
    water_here, density_water = water / inverse_bw, fluids.density_water * inverse_bw
    if oil <= 0.0:
        mu_w, sigma_w = math.exp(_value(fluids, i, a, j, b, LN_MU_W)), _value(fluids, i, a, j, b, SIGMA_WATER)
        return water_here, gas / expansion, density_water, density_gas, mu_w, mu_g, sigma_w
    bo, viscosity, rs = _oil(fluids, pressure, i, a, j, b, gas / oil)
    sigma = _value(fluids, i, a, j, b, SIGMA_OIL)
    density = (fluids.density_oil + rs * fluids.density_gas) / bo
    liquid = oil * bo + water_here
    free = max(gas - oil * rs, 0.0) / expansion
    if water > 0.0:
        f = water_here / liquid
        density += f * (density_water - density)
        viscosity += f * (math.exp(_value(fluids, i, a, j, b, LN_MU_W)) - viscosity)
        sigma += f * (_value(fluids, i, a, j, b, SIGMA_WATER) - sigma)
    return liquid, free, density, density_gas, viscosity, mu_g, sigma

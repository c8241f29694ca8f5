"""Bottom-hole pressure tabulated on surface rates at one wellhead pressure: table and compiled lookup with derivatives.

Axes: a main rate and two ratios. An oil producer has liquid rate plus a share of the gas rate (about the volume in
place, on which the patterns of flow depend), water cut and gas-liquid ratio; a gas producer gas rate, water-gas and
oil-gas ratio; an injector its rate alone. Each axis is stretched by ln(1 + x/scale) (a water cut is
not), and the pressure by a law of its own (see `drawn`); see lift_axes for the interpolation and lift_build for the
nodes.

Two curves are read from it: the lift curve itself, and the stable one, where the branch of too little rate (pressure
falls steeply as rate rises: loading, heading) is replaced by a level line. The stable one is what an implicit solve can
follow; a well whose answer lies well below `least_stable_rate` cannot lift its fluids and dies.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.network.lift_axes import interpolated, linear_place, stretched, unstretched

Floats = NDArray[np.float64]

OIL_PRODUCER, GAS_PRODUCER, WATER_INJECTOR, GAS_INJECTOR = range(4)
LEAST = 1.0e5  # Pa, below which pressures are drawn as they are
LEAST_SHARE = 0.1  # of the wellhead pressure, the same for injectors


class LiftTable(NamedTuple):
    """Bottom-hole pressure of one tubing with its lift gas and pump at one wellhead pressure.

    kind: OIL_PRODUCER ...; wellhead_pressure [Pa]; rate, first, second: stretched nodes of the axes; scale [3]: of the
    stretch, 0: none; values: drawn pressures on the axes, with their slopes along the rate; lowest: coordinate of the
    rate on (first, second) left of which the lift curve is levelled (see lift_build.STEEPEST), the first node's if it
    is followed all along; error, stable_error:
    worst relative departure from the march at random points whose pressure lies below `highest` [Pa] (of a producer
    without a pump and of an injector: and above the wellhead's), everywhere and on the stable side, counted on the
    pressure and on its difference to the wellhead's; marches: how many it took. Outside these pressures no accuracy is
    meant.
    """

    kind: int
    wellhead_pressure: float
    rate: Floats
    first: Floats
    second: Floats
    scale: Floats
    values: Floats
    slopes: Floats
    lowest: Floats
    highest: float
    error: float
    stable_error: float
    marches: int


def empty_table() -> LiftTable:
    """Stands in where a well has no tubing; never looked up."""
    ends = np.array([0.0, 1.0])
    zeros = np.zeros((2, 2, 2))
    return LiftTable(
        OIL_PRODUCER, 1e5, ends, ends, ends, np.ones(3), zeros, zeros, np.zeros((2, 2)), 0.0, 0.0, 0.0, 0
    )  # fmt: skip


@kernel
def drawn(kind: int, wellhead_pressure: float, pressure: float) -> float:
    """What stands in the table for a bottom-hole pressure [Pa].

    Of a producer the logarithm, straight on below 1 bar. Of an injector the square (what friction takes from a column
    of gas is straight in the square of the rate), straight on below a tenth of the wellhead pressure.
    """
    if kind <= GAS_PRODUCER:
        return math.log(pressure) if pressure > LEAST else math.log(LEAST) + (pressure - LEAST) / LEAST
    low = LEAST_SHARE * wellhead_pressure
    return pressure * pressure if pressure > low else low * low + 2.0 * low * (pressure - low)


@kernel
def undrawn(kind: int, wellhead_pressure: float, value: float) -> tuple[float, float]:
    """Pressure [Pa] of what stands in the table, and its slope."""
    if kind <= GAS_PRODUCER:
        low = math.log(LEAST)
        if value <= low:
            return LEAST * (1.0 + value - low), LEAST
        pressure = math.exp(min(value, 40.0))
        return pressure, pressure
    low = LEAST_SHARE * wellhead_pressure
    if value <= low * low:
        return low + (value - low * low) / (2.0 * low), 0.5 / low
    pressure = math.sqrt(value)
    return pressure, 0.5 / pressure


@kernel
def gas_share(kind: int, wellhead_pressure: float) -> float:
    """Share of the surface gas rate in the main rate [-]: of an oil producer that of ideal gas in place.

    Taken at 3 times the wellhead pressure, at least 20 bar: any number would do, this one needs few nodes.
    """
    return 1.0e5 / max(3.0 * wellhead_pressure, 2.0e6) if kind == OIL_PRODUCER else 0.0


@kernel
def rates_of(
    kind: int, wellhead_pressure: float, main: float, first: float, second: float
) -> tuple[float, float, float]:
    """Surface rates of oil, water and gas [m3/s] from the main rate and the ratios of a table."""
    if kind == OIL_PRODUCER:
        liquid = main / (1.0 + second * gas_share(kind, wellhead_pressure))
        return liquid * (1.0 - first), liquid * first, liquid * second
    if kind == WATER_INJECTOR:
        return 0.0, main, 0.0
    return main * second, main * first, main


@kernel
def _ratio(part: float, whole: float, least: float) -> tuple[float, float, float]:
    """part/whole and its slopes to both, kept finite as the whole vanishes; parts below 0 count as 0."""
    base = max(whole, least)
    part_in = max(part, 0.0)
    ratio = part_in / base
    by_part = 1.0 / base if part > 0.0 else 0.0
    return ratio, by_part, -ratio / base if whole > least else 0.0


@kernel
def _lowest(table: LiftTable, y: float, z: float) -> tuple[float, float, float]:
    """Coordinate of the rate at which the lift curve of a mixture is levelled, and its slopes to y and z; bilinear."""
    j, b = linear_place(table.first, y)
    k, c = linear_place(table.second, z)
    known = table.lowest
    if known.shape[0] == 1 and known.shape[1] == 1:
        return known[0, 0], 0.0, 0.0
    if known.shape[1] == 1:
        rise = known[j + 1, 0] - known[j, 0]
        inside = table.first[0] < y < table.first[-1]
        return known[j, 0] + b * rise, rise / (table.first[j + 1] - table.first[j]) if inside else 0.0, 0.0
    near = known[j, k] + c * (known[j, k + 1] - known[j, k])
    far = known[j + 1, k] + c * (known[j + 1, k + 1] - known[j + 1, k])
    across = (1.0 - b) * (known[j, k + 1] - known[j, k]) + b * (known[j + 1, k + 1] - known[j + 1, k])
    by_y = (far - near) / (table.first[j + 1] - table.first[j]) if table.first[0] < y < table.first[-1] else 0.0
    by_z = across / (table.second[k + 1] - table.second[k]) if table.second[0] < z < table.second[-1] else 0.0
    return near + b * (far - near), by_y, by_z


@kernel
def lift_pressure(
    table: LiftTable, oil: float, water: float, gas: float, stable: bool
) -> tuple[float, float, float, float]:
    """Bottom-hole pressure [Pa] and its slopes to (oil, water, gas surface rate).

    Rates in m3/s, gas without lift gas, positive in the direction of the well (out of a producer, into an injector);
    below 0 they count as 0, with slope 0. Beyond the axes: straight lines in the stretched coordinates. stable: the
    curve without the branch of too little rate.
    """
    s = table.scale
    least = 1e-6 * s[0]
    share = gas_share(table.kind, table.wellhead_pressure)
    if table.kind == OIL_PRODUCER:
        liquid = max(oil, 0.0) + max(water, 0.0)
        main = liquid + share * max(gas, 0.0)
        first, first_part, first_whole = _ratio(water, liquid, least)
        second, second_part, second_whole = _ratio(gas, liquid, least)
    elif table.kind == GAS_PRODUCER:
        main = max(gas, 0.0)
        first, first_part, first_whole = _ratio(water, main, least)
        second, second_part, second_whole = _ratio(oil, main, least)
    else:
        main = max(water if table.kind == WATER_INJECTOR else gas, 0.0)
        first = first_part = first_whole = second = second_part = second_whole = 0.0
    x = max(stretched(main, s[0]), table.rate[0])
    y = max(stretched(first, s[1]), table.first[0])
    z = stretched(second, s[2])
    low, low_y, low_z = _lowest(table, y, z) if stable else (x, 0.0, 0.0)
    u, by_x, by_y, by_z = interpolated(
        table.rate, table.first, table.second, table.values, table.slopes, max(x, low), y, z
    )
    if x < low:
        by_x, by_y, by_z = 0.0, by_y + by_x * low_y, by_z + by_x * low_z
    v, by_u = undrawn(table.kind, table.wellhead_pressure, u)
    by_main = by_u * by_x / (s[0] + main) if x > table.rate[0] else 0.0
    by_first = by_u * by_y / (s[1] + first) if s[1] > 0.0 else by_u * by_y
    if y <= table.first[0]:
        by_first = 0.0
    by_second = by_u * by_z / (s[2] + second) if s[2] > 0.0 else by_u * by_z
    whole = by_main + by_first * first_whole + by_second * second_whole
    if table.kind == OIL_PRODUCER:
        by_water = whole + by_first * first_part if water > 0.0 else 0.0
        return (
            v,
            whole if oil > 0.0 else 0.0,
            by_water,
            by_second * second_part + (share * by_main if gas > 0.0 else 0.0),
        )
    if table.kind == GAS_PRODUCER:
        return v, by_second * second_part, by_first * first_part, whole if gas > 0.0 else 0.0
    if table.kind == WATER_INJECTOR:
        return v, 0.0, by_main if water > 0.0 else 0.0, 0.0
    return v, 0.0, 0.0, by_main if gas > 0.0 else 0.0


@kernel
def least_stable_rate(table: LiftTable, oil: float, water: float, gas: float) -> float:
    """Rate [m3/s] below which this mixture loads or heads: its lift curve is levelled there; 0 if it is nowhere steep.

    Of liquid of an oil producer, of gas of a gas producer.
    """
    if table.kind > GAS_PRODUCER:
        return 0.0
    least = 1e-6 * table.scale[0]
    main = max(gas, least) if table.kind == GAS_PRODUCER else max(max(oil, 0.0) + max(water, 0.0), least)
    other = max(oil, 0.0) if table.kind == GAS_PRODUCER else max(gas, 0.0)
    y = max(stretched(max(water, 0.0) / main, table.scale[1]), table.first[0])
    low, _, _ = _lowest(table, y, stretched(other / main, table.scale[2]))
    if low <= table.rate[0]:
        return 0.0
    share = gas_share(table.kind, table.wellhead_pressure)
    return float(unstretched(low, table.scale[0]) / (1.0 + share * other / main))

"""Bottom-hole pressure tabulated on wellhead pressure and rates: the table and its compiled lookup with derivatives.

Axes: wellhead pressure; a main rate; two ratios. An oil producer has liquid rate, water cut and gas-liquid ratio; a gas
producer gas rate, water-gas and oil-gas ratio; an injector its rate alone. Each axis is stretched by ln(1 + x/scale) (a
water cut is not); see lift_axes for the interpolation and lift_build for the nodes.

Two curves are kept: the lift curve itself, and the stable one, where the branch of too little rate (pressure falls as
rate rises: loading, heading) is replaced by the least pressure. The stable one is what an implicit solve can follow; a
well whose answer lies below `least_stable_rate` cannot lift its fluids and dies.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.network.lift_axes import interpolated, linear_place, stretched

Floats = NDArray[np.float64]

OIL_PRODUCER, GAS_PRODUCER, WATER_INJECTOR, GAS_INJECTOR = range(4)


class LiftTable(NamedTuple):
    """Bottom-hole pressure of one tubing with its lift gas and pump.

    kind: OIL_PRODUCER ...; pressure, rate, first, second: stretched nodes of the axes; scale [4]: of the stretch, 0:
    none; values, stable [Pa]: on the axes; least_rate [m3/s] on (pressure, first, second): where the lift curve is
    lowest, 0 if it only rises; error, stable_error: worst relative departure from the march at
    random points whose pressure lies between the wellhead's and `highest` [Pa], everywhere and on the stable side;
    marches: how many it took. Far above `highest`, or below half of the least wellhead pressure,
    pressures are held back (they go on as logarithms) and no accuracy is meant.
    """

    kind: int
    pressure: Floats
    rate: Floats
    first: Floats
    second: Floats
    scale: Floats
    values: Floats
    stable: Floats
    least_rate: Floats
    highest: float
    error: float
    stable_error: float
    marches: int


def empty_table() -> LiftTable:
    """Stands in where a well has no tubing; never looked up."""
    ends = np.array([0.0, 1.0])
    zeros = np.zeros((2, 2, 2, 2))
    return LiftTable(
        OIL_PRODUCER, ends, ends, ends, ends, np.ones(4), zeros, zeros, np.zeros((2, 2, 2)), 0.0, 0.0, 0.0, 0
    )  # fmt: skip


@kernel
def rates_of(kind: int, main: float, first: float, second: float) -> tuple[float, float, float]:
    """Surface rates of oil, water and gas [m3/s] from the main rate and the ratios of a table."""
    if kind == OIL_PRODUCER:
        return main * (1.0 - first), main * first, main * second
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
def lift_pressure(
    table: LiftTable, wellhead_pressure: float, oil: float, water: float, gas: float, stable: bool
) -> tuple[float, float, float, float, float]:
    """Bottom-hole pressure [Pa] and its slopes to (oil, water, gas surface rate, wellhead pressure).

    Rates in m3/s, gas without lift gas, positive in the direction of the well (out of a producer, into an injector);
    below 0 they count as 0, with slope 0. Beyond the axes: straight lines in the stretched coordinates. stable: the
    curve without the branch of too little rate.
    """
    s = table.scale
    least = 1e-6 * s[1]
    at = np.empty(4)
    at[0] = stretched(max(wellhead_pressure, 0.0), s[0])
    if table.kind == OIL_PRODUCER:
        main = max(oil, 0.0) + max(water, 0.0)
        first, first_part, first_whole = _ratio(water, main, least)
        second, second_part, second_whole = _ratio(gas, main, least)
    elif table.kind == GAS_PRODUCER:
        main = max(gas, 0.0)
        first, first_part, first_whole = _ratio(water, main, least)
        second, second_part, second_whole = _ratio(oil, main, least)
    else:
        main = max(water if table.kind == WATER_INJECTOR else gas, 0.0)
        first = first_part = first_whole = second = second_part = second_whole = 0.0
    at[1] = max(stretched(main, s[1]), table.rate[0])
    at[2] = max(stretched(first, s[2]), table.first[0])
    at[3] = stretched(second, s[3])
    values = table.stable if stable else table.values
    v, v0, v1, v2, v3 = interpolated(table.pressure, table.rate, table.first, table.second, values, at)
    by_main = v1 / (s[1] + main) if at[1] > table.rate[0] else 0.0
    by_first = v2 / (s[2] + first) if s[2] > 0.0 else v2
    if at[2] <= table.first[0]:
        by_first = 0.0
    by_whp = v0 / (s[0] + max(wellhead_pressure, 0.0))
    by_second = v3 / (s[3] + second) if s[3] > 0.0 else v3
    whole = by_main + by_first * first_whole + by_second * second_whole
    if table.kind == OIL_PRODUCER:
        return (v, whole if oil > 0.0 else 0.0, (whole if water > 0.0 else 0.0) + by_first * first_part,
                by_second * second_part, by_whp)  # fmt: skip
    if table.kind == GAS_PRODUCER:
        return v, by_second * second_part, by_first * first_part, whole if gas > 0.0 else 0.0, by_whp
    if table.kind == WATER_INJECTOR:
        return v, 0.0, by_main if water > 0.0 else 0.0, 0.0, by_whp
    return v, 0.0, 0.0, by_main if gas > 0.0 else 0.0, by_whp


@kernel
def least_stable_rate(table: LiftTable, wellhead_pressure: float, oil: float, water: float, gas: float) -> float:
    """Main rate [m3/s] below which this mixture loads or heads: where its lift curve is lowest; 0 if it only rises.

    The main rate is liquid of an oil producer, gas of a gas producer. Linear between nodes of the table.
    """
    if table.kind > GAS_PRODUCER:
        return 0.0
    least = 1e-6 * table.scale[1]
    main = max(gas, least) if table.kind == GAS_PRODUCER else max(max(oil, 0.0) + max(water, 0.0), least)
    other = max(oil, 0.0) if table.kind == GAS_PRODUCER else max(gas, 0.0)
    i, a = linear_place(table.pressure, stretched(max(wellhead_pressure, 0.0), table.scale[0]))
    j, b = linear_place(table.first, stretched(max(water, 0.0) / main, table.scale[2]))
    k, c = linear_place(table.second, stretched(other / main, table.scale[3]))
    total = 0.0
    for x in range(2):
        for y in range(2):
            for z in range(2):
                weight = (a if x else 1.0 - a) * (b if y else 1.0 - b) * (c if z else 1.0 - c)
                if weight > 0.0:
                    total += weight * table.least_rate[i + x, j + y, k + z]
    return total

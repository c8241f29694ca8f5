"""The lift curve of a fixed mixture: its minimum, and where it meets an inflow."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from planner.network.lift_axes import unstretched
from planner.network.lift_table import GAS_INJECTOR, GAS_PRODUCER, LiftTable, lift_pressure, rates_of

Floats = NDArray[np.float64]


def lift_curve(table: LiftTable, first: float, second: float, points: int = 100) -> tuple[Floats, Floats]:
    """(Rates [m3/s], bottom-hole pressures [Pa]) of a fixed mixture over the range of the table.

    Rates of liquid of an oil producer, of gas of a gas producer, of what is injected.
    """
    rates, pressures = np.empty(points), np.empty(points)
    for k, place in enumerate(np.linspace(table.rate[0], table.rate[-1], points)):
        main = unstretched(float(place), float(table.scale[0]))
        oil, water, gas = rates_of(table.kind, table.wellhead_pressure, main, first, second)
        rates[k] = gas if table.kind in (GAS_PRODUCER, GAS_INJECTOR) else oil + water
        pressures[k] = lift_pressure(table, oil, water, gas, False)[0]
    return rates, pressures


def lift_minimum(table: LiftTable, first: float, second: float) -> tuple[float, float]:
    """(Rate [m3/s], bottom-hole pressure [Pa]) where the lift curve of a fixed mixture is lowest.

    Left of it the well loads or heads. A rate of 0: the curve only rises.
    """
    rates, pressures = lift_curve(table, first, second, 400)
    k = int(np.argmin(pressures))
    return float(rates[k]), float(pressures[k])


def largest_rate(table: LiftTable, first: float, second: float, inflow: Callable[[float], float]) -> float:
    """Largest rate [m3/s] at which the well lifts a fixed mixture against an inflow; nan if it cannot lift.

    inflow: bottom-hole pressure [Pa] that the reservoir gives at a rate, falling with rate. The highest rate at
    which the two curves meet is the stable one.
    """
    rates, lift = lift_curve(table, first, second, 400)
    spare = np.array([inflow(float(q)) for q in rates]) - lift
    enough = np.flatnonzero(spare >= 0.0)
    if enough.size == 0:
        return math.nan
    k = int(enough[-1])
    if k == len(rates) - 1:
        return float(rates[-1])
    share = spare[k] / (spare[k] - spare[k + 1])
    return float(rates[k] + share * (rates[k + 1] - rates[k]))

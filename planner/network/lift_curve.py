"""The lift curve of a fixed mixture: its minimum, and where it meets an inflow."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from planner.network.lift_axes import unstretched
from planner.network.lift_table import LiftTable, lift_pressure, rates_of

Floats = NDArray[np.float64]


def lift_curve(
    table: LiftTable, wellhead_pressure: float, first: float, second: float, points: int = 100
) -> tuple[Floats, Floats]:
    """(Main rates [m3/s], bottom-hole pressures [Pa]) of a fixed mixture over the range of the table."""
    places = np.linspace(table.rate[0], table.rate[-1], points)
    rates = np.array([unstretched(float(y), float(table.scale[1])) for y in places])
    pressures = np.array([
        lift_pressure(table, wellhead_pressure, *rates_of(table.kind, float(q), first, second), False)[0]
        for q in rates
    ])  # fmt: skip
    return rates, pressures


def lift_minimum(table: LiftTable, wellhead_pressure: float, first: float, second: float) -> tuple[float, float]:
    """(Main rate [m3/s], bottom-hole pressure [Pa]) where the lift curve of a fixed mixture is lowest.

    Left of it the well loads or heads. A rate of 0: the curve only rises.
    """
    rates, pressures = lift_curve(table, wellhead_pressure, first, second, 400)
    k = int(np.argmin(pressures))
    return float(rates[k]), float(pressures[k])


def largest_rate(
    table: LiftTable, wellhead_pressure: float, first: float, second: float, inflow: Callable[[float], float]
) -> float:
    """Largest main rate [m3/s] at which the well lifts a fixed mixture against an inflow; nan if it cannot lift.

    inflow: bottom-hole pressure [Pa] that the reservoir gives at a main rate, falling with rate. The highest rate at
    which the two curves meet is the stable one.
    """
    rates, lift = lift_curve(table, wellhead_pressure, first, second, 400)
    spare = np.array([inflow(float(q)) for q in rates]) - lift
    enough = np.flatnonzero(spare >= 0.0)
    if enough.size == 0:
        return math.nan
    k = int(enough[-1])
    if k == len(rates) - 1:
        return float(rates[-1])
    share = spare[k] / (spare[k] - spare[k + 1])
    return float(rates[k] + share * (rates[k + 1] - rates[k]))

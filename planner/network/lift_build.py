"""Tabulating the march of a tubing: the axes are refined until cubic interpolation meets it."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.network.lift_axes import axis_weights, parabola_slopes, stretched, unstretched
from planner.network.lift_fluids import TubingFluids
from planner.network.lift_march import Pipe, make_record, march
from planner.network.lift_table import (
    GAS_INJECTOR,
    GAS_PRODUCER,
    LEAST_SHARE,
    OIL_PRODUCER,
    WATER_INJECTOR,
    LiftTable,
    drawn,
    least_stable_rate,
    lift_pressure,
    rates_of,
    undrawn,
)

Floats = NDArray[np.float64]

TOLERANCE = 0.004  # of the pressure and of its difference to the wellhead's, at the check points
# nodes of each axis to begin with, and most of them, by kind of well
FIRST_NODES = ((17, 5, 9), (33, 17, 5), (80, 1, 1), (80, 1, 1))
MOST_NODES = ((84, 24, 64), (220, 110, 14), (200, 1, 1), (200, 1, 1))
MOST_MARCHES = 70_000
CHECKS = 1000
LEAST_RATE = 3e-3  # of the largest main rate: a smaller one takes its pressure
LEAST_WATER = 2e-6  # sm3/sm3, condensed vapour (common practice, no source): a gas well with water makes this at least
FLOOR = 2.0e5  # Pa, below which an error is counted as if of this pressure, and a pump's intake is not looked at
LEAST_DIFFERENCE = 0.05  # of the pressure: where the difference to the wellhead's is smaller, it counts as this
# Left of its lowest point a lift curve still crosses an inflow steadily as long as it falls less steeply with rate:
# dln(p)/dln(rate) down to minus this is followed, which is safe for drawdowns of more than a tenth of the pressure.
STEEPEST = 0.1
MARGIN = 1.25  # of the highest pressure, up to which the axes are refined


class LiftRange(NamedTuple):
    """What a table covers: the wellhead pressure [Pa], largest main rate [m3/s], largest ratios [-], highest pressure.

    Of an oil producer `first` is a water cut, so 1; `second` a gas-liquid ratio. Of a gas producer water-gas and
    oil-gas ratio. A ratio of 0 leaves its axis out. highest [Pa]: bottom-hole pressure up to which accuracy counts.
    """

    wellhead_pressure: float
    rate: float
    first: float
    second: float
    highest: float


def usual_range(
    kind: int, diameter: float, wellhead_pressure: float, highest: float, solution_gas: float = 0.0,
    liquid_in_gas: bool = True, condensate: bool = False,
) -> LiftRange:  # fmt: skip
    """A range that a tubing of that diameter [m] will not leave in ordinary use: common practice, no source.

    Liquid up to 8 m/s; gas up to 30 m/s at the highest pressure taken as ideal; gas-liquid ratio up to 10 times the
    dissolved gas, at least 1000 sm3/sm3; water-gas ratio up to 1e-2, oil-gas up to 1e-3 sm3/sm3.
    """
    area = 0.25 * math.pi * diameter**2
    if kind == OIL_PRODUCER:
        ratio = max(10.0 * solution_gas, 1000.0)
        return LiftRange(wellhead_pressure, 8.0 * area, 1.0, ratio, highest)
    if kind == WATER_INJECTOR:
        return LiftRange(wellhead_pressure, 8.0 * area, 0.0, 0.0, highest)
    rate = 30.0 * area * highest / 1.0e5
    if kind == GAS_INJECTOR:
        return LiftRange(wellhead_pressure, rate, 0.0, 0.0, highest)
    return LiftRange(wellhead_pressure, rate, 1e-2 if liquid_in_gas else 0.0, 1e-3 if condensate else 0.0, highest)


@kernel
def _fill(
    fluids: TubingFluids, pipe: Pipe, kind: int, wellhead: float, scale: Floats, rate: Floats, first: Floats,
    second: Floats, record: Floats, out: Floats,
) -> None:  # fmt: skip
    """March at every combination of nodes of the three axes; drawn pressures into out [rates, firsts, seconds]."""
    for i in range(rate.shape[0]):
        main = unstretched(rate[i], scale[0])
        for j in range(first.shape[0]):
            for k in range(second.shape[0]):
                a, b = unstretched(first[j], scale[1]), unstretched(second[k], scale[2])
                o, w, g = rates_of(kind, wellhead, main, a, b)
                out[i, j, k] = drawn(kind, wellhead, march(fluids, pipe, wellhead, o, w, g, record))


@kernel
def _undraw(kind: int, wellhead: float, values: Floats) -> Floats:
    """Pressures of a flat array of drawn ones."""
    out = np.empty_like(values)
    for k in range(values.shape[0]):
        out[k] = undrawn(kind, wellhead, values[k])[0]
    return out


@kernel
def _random_errors(
    fluids: TubingFluids, pipe: Pipe, table: LiftTable, least: float, shares: Floats, record: Floats
) -> tuple[float, float]:
    """Worst departure of the table from the march at random places [n, 3] of its axes: everywhere, stable side."""
    worst = stable = 0.0
    for n in range(shares.shape[0]):
        at = np.empty(3)
        for k, x in enumerate((table.rate, table.first, table.second)):
            at[k] = unstretched(x[0] + shares[n, k] * (x[-1] - x[0]), table.scale[k])
        oil, water, gas = rates_of(table.kind, table.wellhead_pressure, at[0], at[1], at[2])
        exact = march(fluids, pipe, table.wellhead_pressure, oil, water, gas, record)
        if exact >= table.highest or exact <= least:
            continue
        for side in range(2):
            main = gas if table.kind == GAS_PRODUCER else oil + water
            if side == 1 and main < least_stable_rate(table, oil, water, gas):
                continue
            found = lift_pressure(table, oil, water, gas, side == 1 and table.kind <= GAS_PRODUCER)[0]
            difference = max(abs(exact - table.wellhead_pressure), LEAST_DIFFERENCE * exact)
            error = abs(found - exact) / min(max(exact, FLOOR), difference)
            if side == 0:
                worst = max(worst, error)
            else:
                stable = max(stable, error)
    return worst, stable


class _Builder:
    """Refines the axes of a table; holds the marches done so far."""

    def __init__(self, fluids: TubingFluids, pipe: Pipe, kind: int, span: LiftRange, tolerance: float) -> None:
        self.fluids, self.pipe, self.kind, self.span, self.tolerance = fluids, pipe, kind, span, tolerance
        self.record = make_record(pipe)
        self.marches = 0
        # of a producer without a pump the bottom cannot be below the wellhead; of an injector nobody asks for that
        self.least = FLOOR if pipe.pump_node >= 0 else span.wellhead_pressure
        rate = self.reachable(span.rate) if kind in (WATER_INJECTOR, GAS_INJECTOR) else span.rate
        water_cut = kind == OIL_PRODUCER
        self.scale = np.array([rate / 300.0, 0.0 if water_cut else span.first / 100.0, span.second / 50.0])
        wet = LEAST_WATER if kind == GAS_PRODUCER else 0.0
        self.axes = [
            np.linspace(stretched(low, s), stretched(top, s), count) if top > low else np.array([stretched(low, s)])
            for low, top, s, count in zip(
                (LEAST_RATE * rate, wet, 0.0),
                (rate, span.first, span.second),
                self.scale.tolist(),
                FIRST_NODES[kind],
                strict=True,
            )
        ]
        self.values = self.marched(self.axes)
        self.passed = [np.zeros(len(x) - 1, dtype=bool) for x in self.axes]

    def reachable(self, rate: float) -> float:
        """Rate up to `rate` [m3/s] at which friction leaves an injector little of its wellhead pressure."""
        wellhead, low, high = self.span.wellhead_pressure, 0.0, rate

        def left(q: float) -> float:
            return march(self.fluids, self.pipe, wellhead, *rates_of(self.kind, wellhead, q, 0.0, 0.0), self.record)

        if left(rate) > LEAST_SHARE * wellhead:
            return rate
        for _ in range(30):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if left(middle) > LEAST_SHARE * wellhead else (low, middle)
        return low

    def marched(self, axes: list[Floats]) -> Floats:
        """Drawn bottom-hole pressures on a grid."""
        rate, first, second = axes
        out = np.empty((len(rate), len(first), len(second)))
        wellhead = self.span.wellhead_pressure
        _fill(self.fluids, self.pipe, self.kind, wellhead, self.scale, rate, first, second, self.record, out)
        self.marches += out.size
        return out

    def counted(self, exact: Floats, found: Floats) -> Floats:
        """Relative error of drawn pressures where it counts: see LiftTable."""
        wellhead = self.span.wellhead_pressure
        p, q = (_undraw(self.kind, wellhead, x.ravel()).reshape(x.shape) for x in (exact, found))
        difference = np.maximum(np.abs(p - wellhead), LEAST_DIFFERENCE * np.abs(p))
        error = np.abs(q - p) / np.minimum(np.maximum(p, FLOOR), difference)
        return np.where((p < MARGIN * self.span.highest) & (p > self.least), error, 0.0)

    def refine(self, k: int) -> bool:
        """Halve the intervals of axis k that miss the march at their middle; returns whether any did."""
        x = self.axes[k]
        open_ = np.flatnonzero(~self.passed[k])
        room = MOST_NODES[self.kind][k] - len(x)
        if open_.size == 0 or room <= 0 or self.marches >= MOST_MARCHES:
            return False
        middle = 0.5 * (x[open_] + x[open_ + 1])
        error = self._missed(k, middle)
        self.passed[k][open_] = error <= 0.5 * self.tolerance
        wanted = np.flatnonzero(error > 0.5 * self.tolerance)
        wanted = np.sort(wanted[np.argsort(-error[wanted])][:room])
        if wanted.size == 0:
            return False
        parts = list(self.axes)
        parts[k] = middle[wanted]
        where = open_[wanted] + 1
        self.axes[k] = np.insert(x, where, middle[wanted])
        self.values = np.insert(self.values, where, self.marched(parts), axis=k)
        self.passed[k] = np.insert(self.passed[k], where, False)
        return True

    def _missed(self, k: int, middle: Floats) -> Floats:
        """Error at the middles of intervals of axis k, over every second node of the other axes."""
        chosen = [np.unique(np.append(np.arange(0, len(x), 2), len(x) - 1)) for x in self.axes]
        chosen[k] = np.arange(len(self.axes[k]))
        parts = [x[rows] for x, rows in zip(self.axes, chosen, strict=True)]
        parts[k] = middle
        known = self.values[np.ix_(*chosen)]
        found = np.moveaxis(np.stack([self._between(k, y, known) for y in middle]), 0, k)
        others = tuple(axis for axis in range(3) if axis != k)
        worst: Floats = self.counted(self.marched(parts), found).max(axis=others)
        return worst

    def _between(self, k: int, y: float, values: Floats) -> Floats:
        """Interpolated values at coordinate y of axis k, on the nodes of the others that values [3 axes] hold."""
        weight, slope = np.zeros(4), np.zeros(4)
        first, count = axis_weights(self.axes[k], y, weight, slope)
        near = np.take(values, range(first, first + count), axis=k)
        found: Floats = np.tensordot(weight[:count], near, axes=(0, k))
        return found


def _lowest(kind: int, values: Floats, rate: Floats) -> Floats:
    """Coordinate of the rate at which each curve of values [rates, firsts, seconds] is lowest, by a parabola.

    Of an injector the first node: more rate is less pressure all along.
    """
    index = values.argmin(axis=0) if kind <= GAS_PRODUCER else np.zeros(values.shape[1:], dtype=np.int64)
    best: Floats = rate[index]
    for place, k in np.ndenumerate(index):
        if 0 < k < len(rate) - 1:
            column = values[(slice(k - 1, k + 2), *place)]
            left, right = rate[k] - rate[k - 1], rate[k + 1] - rate[k]
            fall, rise = (column[1] - column[0]) / left, (column[2] - column[1]) / right
            if rise > fall:
                x = 0.5 * (rate[k] + rate[k + 1] - (left + right) * rise / (rise - fall))
                best[place] = min(max(x, float(rate[k - 1])), float(rate[k + 1]))
    return best


def _turning(kind: int, values: Floats, slopes: Floats, rate: Floats, lowest: Floats) -> Floats:
    """Coordinate of the rate, left of the lowest point, at which the pressure begins to rise faster than STEEPEST.

    In the logarithms of pressure and rate, so that the stretch of the axis is undone.
    """
    if kind > GAS_PRODUCER:
        return lowest
    grown = np.expm1(rate) / np.exp(rate)  # d stretched / d ln(rate)
    steep = slopes * grown[:, None, None]
    turning = lowest.copy()
    for place in np.ndindex(*lowest.shape):
        left = np.flatnonzero((rate < lowest[place]) & (steep[(slice(None), *place)] < -STEEPEST))
        if lowest[place] > rate[0]:
            turning[place] = min(float(rate[left[-1] + 1]), float(lowest[place])) if left.size else float(rate[0])
    return turning


def build_lift_table(
    fluids: TubingFluids, pipe: Pipe, kind: int, span: LiftRange, tolerance: float = TOLERANCE
) -> LiftTable:
    """Tabulate the march of a tubing, refined until cubic interpolation meets it within `tolerance`.

    The error reached at random check points stands in the table; it may stay above the tolerance, as refinement stops
    at MOST_NODES of an axis or about MOST_MARCHES.
    """
    made = _Builder(fluids, pipe, kind, span, tolerance)
    table = _refined(made)
    if table.error > tolerance and made.marches < 0.5 * MOST_MARCHES:
        made.passed = [np.zeros(len(x) - 1, dtype=bool) for x in made.axes]
        table = _refined(made)
    return table


def _refined(made: _Builder) -> LiftTable:
    """Refine as far as it goes, and check at random points."""
    going = True
    while going:
        going = any([made.refine(k) for k in (0, 2, 1)])
    rate, first, second = (np.ascontiguousarray(x) for x in made.axes)
    slopes = np.ascontiguousarray(parabola_slopes(rate, made.values))
    lowest = _lowest(made.kind, made.values, rate)
    turning = _turning(made.kind, made.values, slopes, rate, lowest)
    table = LiftTable(
        made.kind, made.span.wellhead_pressure, rate, first, second, made.scale, np.ascontiguousarray(made.values),
        slopes, turning, made.span.highest, math.inf, math.inf, made.marches)  # fmt: skip
    shares = np.random.default_rng(1).random((CHECKS, 3))
    error, stable_error = _random_errors(made.fluids, made.pipe, table, made.least, shares, made.record)
    return table._replace(error=error, stable_error=stable_error, marches=made.marches + CHECKS)

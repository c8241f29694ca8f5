"""Tabulating the march of a tubing: the axes are refined until cubic interpolation meets it."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.network.lift_axes import axis_weights, interpolated, stretched, unstretched
from planner.network.lift_fluids import TubingFluids
from planner.network.lift_march import Pipe, make_record, march
from planner.network.lift_table import (
    GAS_INJECTOR,
    GAS_PRODUCER,
    OIL_PRODUCER,
    WATER_INJECTOR,
    LiftTable,
    least_stable_rate,
    rates_of,
)

Floats = NDArray[np.float64]

TOLERANCE = 0.003  # of the pressure, at the check points
# most nodes of each axis, by kind of well
MOST_NODES = ((8, 34, 7, 20), (14, 40, 14, 10), (24, 60, 1, 1), (24, 60, 1, 1))
MOST_MARCHES = 50_000
CHECKS = 200
LEAST_RATE = 4e-3  # of the largest main rate: a smaller one takes its pressure
LEAST_WATER = 2e-6  # sm3/sm3, condensed vapour (common practice, no source): a gas well with water makes this at least
JUMPS = 0.98  # quantile of the errors along an axis that counts: patterns of flow that jump cannot be refined away
FLOOR = 1.0e5  # Pa, below which an error is counted as if of this pressure


class LiftRange(NamedTuple):
    """What a table covers: wellhead pressures [Pa], largest main rate [m3/s], largest ratios [-], highest pressure.

    Of an oil producer `first` is a water cut, so 1; `second` a gas-liquid ratio. Of a gas producer water-gas and
    oil-gas ratio. A ratio of 0 leaves its axis out. highest [Pa]: bottom-hole pressure up to which accuracy counts.
    """

    least_pressure: float
    most_pressure: float
    rate: float
    first: float
    second: float
    highest: float


def usual_range(
    kind: int, diameter: float, least_pressure: float, most_pressure: float, highest: float, solution_gas: float = 0.0,
    liquid_in_gas: bool = True, condensate: bool = False,
) -> LiftRange:  # fmt: skip
    """A range that a tubing of that diameter [m] will not leave in ordinary use: common practice, no source.

    Liquid up to 8 m/s; gas up to 30 m/s at the highest pressure taken as ideal; gas-liquid ratio up to 10 times the
    dissolved gas, at least 1000 sm3/sm3; water-gas ratio up to 1e-3, oil-gas up to 1e-3 sm3/sm3.
    """
    area = 0.25 * math.pi * diameter**2
    if kind == OIL_PRODUCER:
        ratio = max(10.0 * solution_gas, 1000.0)
        return LiftRange(least_pressure, most_pressure, 8.0 * area, 1.0, ratio, highest)
    if kind == WATER_INJECTOR:
        return LiftRange(least_pressure, most_pressure, 8.0 * area, 0.0, 0.0, highest)
    rate = 30.0 * area * highest / 1.0e5
    if kind == GAS_INJECTOR:
        return LiftRange(least_pressure, most_pressure, rate, 0.0, 0.0, highest)
    return LiftRange(
        least_pressure, most_pressure, rate, 1e-3 if liquid_in_gas else 0.0, 1e-3 if condensate else 0.0, highest
    )


@kernel
def _fill(
    fluids: TubingFluids, pipe: Pipe, kind: int, scale: Floats, pressure: Floats, rate: Floats, first: Floats,
    second: Floats, record: Floats, out: Floats,
) -> None:  # fmt: skip
    """March at every combination of nodes of the four axes into out [np, nr, na, nb]."""
    for j in range(rate.shape[0]):
        main = unstretched(rate[j], scale[1])
        for a in range(first.shape[0]):
            for b in range(second.shape[0]):
                o, w, g = rates_of(kind, main, unstretched(first[a], scale[2]), unstretched(second[b], scale[3]))
                for i in range(pressure.shape[0]):
                    out[i, j, a, b] = march(fluids, pipe, unstretched(pressure[i], scale[0]), o, w, g, record)


class _Builder:
    """Refines the axes of a table; holds the marches done so far."""

    def __init__(self, fluids: TubingFluids, pipe: Pipe, kind: int, span: LiftRange, tolerance: float) -> None:
        self.fluids, self.pipe, self.kind, self.span, self.tolerance = fluids, pipe, kind, span, tolerance
        self.record = make_record(pipe)
        self.marches = 0
        water_cut = kind == OIL_PRODUCER
        self.scale = np.array([
            5.0e5, span.rate / 300.0, 0.0 if water_cut else span.first / 100.0, span.second / 50.0,
        ])  # fmt: skip
        tops = [span.most_pressure, span.rate, span.first, span.second]
        wet = LEAST_WATER if kind == GAS_PRODUCER else 0.0
        lows = [span.least_pressure, LEAST_RATE * span.rate, wet, 0.0]
        counts = (3, 7, 4, 5)
        self.axes = [
            np.linspace(stretched(low, s), stretched(top, s), count) if top > low else np.array([stretched(low, s)])
            for low, top, s, count in zip(lows, tops, self.scale.tolist(), counts, strict=True)
        ]
        self.values = self.marched(self.axes)
        self.passed = [np.zeros(len(x) - 1, dtype=bool) for x in self.axes]

    def marched(self, axes: list[Floats]) -> Floats:
        """Bottom-hole pressures on a grid."""
        pressure, rate, first, second = axes
        out = np.empty((len(pressure), len(rate), len(first), len(second)))
        _fill(self.fluids, self.pipe, self.kind, self.scale, pressure, rate, first, second, self.record, out)
        self.marches += out.size
        # far out of any use values are held back by a logarithm, so that they do not bend the rest
        top, low = 1.5 * self.span.highest, 0.5 * self.span.least_pressure
        out = np.where(out > top, top * (1.0 + np.log(np.maximum(out, top) / top)), out)
        return np.where(out < low, low * (1.0 - np.log1p((low - np.minimum(out, low)) / low)), out)

    def wellhead(self, places: Floats) -> Floats:
        """Wellhead pressures [Pa] at places of their axis, as a column for the other three axes."""
        scale = float(self.scale[0])
        return np.array([unstretched(float(y), scale) for y in places])[:, None, None, None]

    def counted(self, exact: Floats, found: Floats, wellhead: Floats) -> Floats:
        """Relative error where it counts: below the highest pressure, and above the wellhead's."""
        error = np.abs(found - exact) / np.maximum(np.abs(exact), FLOOR)
        return np.where((exact < self.span.highest) & (exact > wellhead), error, 0.0)

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
        others = tuple(axis for axis in range(4) if axis != k)
        missed = self.counted(self.marched(parts), found, self.wellhead(parts[0]))
        error: Floats = np.quantile(missed, JUMPS, axis=others)
        return error

    def _between(self, k: int, y: float, values: Floats) -> Floats:
        """Interpolated values at coordinate y of axis k, on the nodes of the others that values [4 axes] hold."""
        n = len(self.axes[k])
        weight, slope, scratch = np.zeros(n), np.zeros(n), np.zeros((2, n))
        axis_weights(self.axes[k], y, weight, slope, scratch)
        return np.tensordot(weight, values, axes=(0, k))


def _stable_side(values: Floats, rate: Floats, scale: float) -> tuple[Floats, Floats]:
    """The values with the branch left of the minimum levelled, and the main rate of that minimum."""
    lowest = values.argmin(axis=1)
    index = np.arange(values.shape[1])[None, :, None, None]
    floor = values.min(axis=1, keepdims=True)
    stable = np.where(index < lowest[:, None], floor, values)
    best = np.empty(lowest.shape)
    for place, k in np.ndenumerate(lowest):
        i, a, b = place
        x = float(rate[k])
        if 0 < k < len(rate) - 1:
            left, right = rate[k] - rate[k - 1], rate[k + 1] - rate[k]
            fall = (values[i, k, a, b] - values[i, k - 1, a, b]) / left
            rise = (values[i, k + 1, a, b] - values[i, k, a, b]) / right
            x = 0.5 * (rate[k] + rate[k + 1] - (left + right) * rise / (rise - fall)) if rise > fall else x
            x = min(max(x, float(rate[k - 1])), float(rate[k + 1]))
        best[place] = unstretched(x, scale) if k > 0 else 0.0
    return stable, best


def build_lift_table(
    fluids: TubingFluids, pipe: Pipe, kind: int, span: LiftRange, tolerance: float = TOLERANCE
) -> LiftTable:
    """Tabulate the march of a tubing, refined until cubic interpolation meets it within `tolerance`.

    The error reached at random check points stands in the table; where patterns of flow jump it may stay above the
    tolerance, as refinement stops at MOST_NODES of an axis or about MOST_MARCHES.
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
        going = any([made.refine(k) for k in (1, 3, 2, 0)])
    stable, least = _stable_side(made.values, made.axes[1], float(made.scale[1]))
    pressure, rate, first, second = (np.ascontiguousarray(x) for x in made.axes)
    table = LiftTable(
        made.kind, pressure, rate, first, second, made.scale, np.ascontiguousarray(made.values),
        np.ascontiguousarray(stable), least, made.span.highest, math.inf, math.inf, made.marches)  # fmt: skip
    error, stable_error = _checked(made, table)
    return table._replace(error=error, stable_error=stable_error, marches=made.marches + CHECKS)


def _checked(made: _Builder, table: LiftTable) -> tuple[float, float]:
    """Worst error at random points of the table, everywhere and on the stable side."""
    worst = stable = 0.0
    for share in np.random.default_rng(1).random((CHECKS, 4)):
        at = np.array([x[0] + u * (x[-1] - x[0]) for x, u in zip(made.axes, share, strict=True)])
        places = zip(at.tolist(), made.scale.tolist(), strict=True)
        pressure, main, first, second = (unstretched(y, scale) for y, scale in places)
        rates = rates_of(made.kind, main, first, second)
        exact = march(made.fluids, made.pipe, pressure, *rates, made.record)
        found = interpolated(table.pressure, table.rate, table.first, table.second, table.values, at)[0]
        error = float(made.counted(np.array(exact), np.array(found), np.array(pressure)))
        worst = max(worst, error)
        if main >= least_stable_rate(table, pressure, *rates):
            stable = max(stable, error)
    return worst, stable

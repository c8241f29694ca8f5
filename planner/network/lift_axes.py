"""Interpolation in three stretched axes, cubic with continuous slopes inside and straight lines outside. Compiled.

Slopes at the nodes are those of parabolas through neighbours; along the first axis (the rate) they are stored.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel

Floats = NDArray[np.float64]


@kernel
def stretched(x: float, scale: float) -> float:
    """Coordinate of a value on its axis."""
    return math.log1p(x / scale) if scale > 0.0 else x


@kernel
def unstretched(y: float, scale: float) -> float:
    """Value of a coordinate."""
    return scale * math.expm1(y) if scale > 0.0 else y


@kernel
def interval(x: Floats, y: float) -> int:
    """Index of the node below a coordinate, held so that a node follows it."""
    low, high = 0, x.shape[0] - 1
    while high - low > 1:
        middle = (low + high) // 2
        if x[middle] <= y:
            low = middle
        else:
            high = middle
    return low


@kernel
def linear_place(x: Floats, y: float) -> tuple[int, float]:
    """Node below a coordinate and the share of the way to the next, held inside the axis."""
    if x.shape[0] == 1 or y <= x[0]:
        return 0, 0.0
    i = interval(x, y)
    return i, min((y - x[i]) / (x[i + 1] - x[i]), 1.0)


@kernel
def _parabola(x: Floats, i: int, first: int, w: Floats) -> None:
    """Add to w [4], which starts at node `first`, the weights of the slope at node i by a parabola through three."""
    n = x.shape[0]
    if n == 2:
        h = x[1] - x[0]
        w[0] -= 1.0 / h
        w[1] += 1.0 / h
        return
    k = min(max(i, 1), n - 2)
    left, right = x[k] - x[k - 1], x[k + 1] - x[k]
    at = x[i] - x[k]
    w[k - 1 - first] += (2.0 * at - right) / (left * (left + right))
    w[k - first] -= (2.0 * at + left - right) / (left * right)
    w[k + 1 - first] += (2.0 * at + left) / (right * (left + right))


@kernel
def axis_weights(x: Floats, y: float, weight: Floats, slope: Floats) -> tuple[int, int]:
    """Weights [4] of nodes of an axis for the value and the slope at coordinate y; returns the first and their number.

    Cubic Hermite with parabola slopes inside, straight lines outside.
    """
    n = x.shape[0]
    if n == 1:
        weight[0], slope[0] = 1.0, 0.0
        return 0, 1
    i = interval(x, y)
    first = max(min(i - 1, n - 4), 0)
    low, high = np.zeros(4), np.zeros(4)
    h = x[i + 1] - x[i]
    t = (y - x[i]) / h
    if t < 0.0 or t > 1.0:
        edge = i if t < 0.0 else i + 1
        _parabola(x, edge, first, low)
        for k in range(4):
            weight[k], slope[k] = low[k] * (y - x[edge]), low[k]
        weight[edge - first] += 1.0
        return first, min(n, 4)
    _parabola(x, i, first, low)
    _parabola(x, i + 1, first, high)
    up, up_slope = t * t * (3.0 - 2.0 * t), 6.0 * t * (1.0 - t) / h
    for k in range(4):
        weight[k] = h * (t * (1.0 - t) * (1.0 - t) * low[k] - t * t * (1.0 - t) * high[k])
        slope[k] = (1.0 - t) * (1.0 - 3.0 * t) * low[k] + t * (3.0 * t - 2.0) * high[k]
    weight[i - first] += 1.0 - up
    weight[i + 1 - first] += up
    slope[i - first] -= up_slope
    slope[i + 1 - first] += up_slope
    return first, min(n, 4)


@kernel
def interpolated(
    rate: Floats, first: Floats, second: Floats, values: Floats, slopes: Floats, x: float, y: float, z: float
) -> tuple[float, float, float, float]:
    """Value and its three slopes at the coordinates x, y, z of the stretched axes.

    values, slopes (to the rate's coordinate) [rate, first, second].
    """
    w, d = np.empty((2, 4)), np.empty((2, 4))
    j0, nj = axis_weights(first, y, w[0], d[0])
    k0, nk = axis_weights(second, z, w[1], d[1])
    i = interval(rate, x)
    h = rate[i + 1] - rate[i]
    t = (x - rate[i]) / h
    ends = np.zeros((2, 2, 3))  # (value, slope) at both nodes of the rate; by themselves, to y, to z
    for side in range(2):
        for part in range(2):
            at = values if part == 0 else slopes
            for j in range(nj):
                line = line_z = 0.0
                for k in range(nk):
                    known = at[i + side, j0 + j, k0 + k]
                    line += w[1, k] * known
                    line_z += d[1, k] * known
                ends[side, part, 0] += w[0, j] * line
                ends[side, part, 1] += d[0, j] * line
                ends[side, part, 2] += w[0, j] * line_z
    if t < 0.0 or t > 1.0:
        side = 0 if t < 0.0 else 1
        out = x - rate[i + side]
        a = ends[side]
        return a[0, 0] + out * a[1, 0], a[1, 0], a[0, 1] + out * a[1, 1], a[0, 2] + out * a[1, 2]
    b = t * t * (3.0 - 2.0 * t)
    c, e = h * t * (1.0 - t) * (1.0 - t), -h * t * t * (1.0 - t)
    by_b, by_c, by_e = 6.0 * t * (1.0 - t) / h, (1.0 - t) * (1.0 - 3.0 * t), t * (3.0 * t - 2.0)
    a, z1 = ends[0], ends[1]
    value = (1.0 - b) * a[0, 0] + b * z1[0, 0] + c * a[1, 0] + e * z1[1, 0]
    by_x = by_b * (z1[0, 0] - a[0, 0]) + by_c * a[1, 0] + by_e * z1[1, 0]
    by_y = (1.0 - b) * a[0, 1] + b * z1[0, 1] + c * a[1, 1] + e * z1[1, 1]
    by_z = (1.0 - b) * a[0, 2] + b * z1[0, 2] + c * a[1, 2] + e * z1[1, 2]
    return value, by_x, by_y, by_z


def parabola_slopes(x: Floats, values: Floats) -> Floats:
    """Slopes along the first axis of values [n, ...] at its nodes, each by the parabola through three nodes; n >= 3."""
    h = np.diff(x).reshape(-1, *[1] * (values.ndim - 1))
    chord = np.diff(values, axis=0) / h
    inside = (h[1:] * chord[:-1] + h[:-1] * chord[1:]) / (h[:-1] + h[1:])
    start = 2.0 * chord[:1] - inside[:1]
    end = 2.0 * chord[-1:] - inside[-1:]
    return np.concatenate([start, inside, end])

"""Interpolation in four stretched axes: cubic with continuous slope inside, straight lines outside. Compiled."""

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
def linear_place(x: Floats, y: float) -> tuple[int, float]:
    """Node below a coordinate and the share of the way to the next, held inside the axis."""
    n = x.shape[0]
    if n == 1 or y <= x[0]:
        return 0, 0.0
    i = 0
    while i < n - 2 and y > x[i + 1]:
        i += 1
    return i, min((y - x[i]) / (x[i + 1] - x[i]), 1.0)


@kernel
def _node_slope(x: Floats, i: int, w: Floats) -> None:
    """Write into w [n] the weights of the slope at node i by the parabola through it and its neighbours."""
    n = x.shape[0]
    if n == 2:
        h = x[1] - x[0]
        w[0], w[1] = -1.0 / h, 1.0 / h
        return
    k = min(max(i, 1), n - 2)
    left, right = x[k] - x[k - 1], x[k + 1] - x[k]
    at = x[i] - x[k]
    # derivative at `at` of the parabola through the nodes k-1, k, k+1
    w[k - 1] = (2.0 * at - right) / (left * (left + right))
    w[k] = -(2.0 * at + left - right) / (left * right)
    w[k + 1] = (2.0 * at + left) / (right * (left + right))


@kernel
def axis_weights(x: Floats, y: float, weight: Floats, slope: Floats, scratch: Floats) -> tuple[int, int]:
    """Weights of the nodes of an axis for the value and the slope at coordinate y.

    Cubic Hermite with parabola slopes inside, straight lines outside. Fills weight and slope [n] over the stencil, and
    returns its first node and the one after the last. scratch [2, n].
    """
    n = x.shape[0]
    if n == 1:
        weight[0], slope[0] = 1.0, 0.0
        return 0, 1
    i = 0
    high = n - 1
    while high - i > 1:
        middle = (i + high) // 2
        if x[middle] <= y:
            i = middle
        else:
            high = middle
    start, stop = max(i - 2, 0), min(i + 4, n)
    for k in range(start, stop):
        weight[k] = slope[k] = scratch[0, k] = scratch[1, k] = 0.0
    h = x[i + 1] - x[i]
    t = (y - x[i]) / h
    if t < 0.0 or t > 1.0:
        edge = i if t < 0.0 else i + 1
        _node_slope(x, edge, scratch[0])
        for k in range(start, stop):
            weight[k] = scratch[0, k] * (y - x[edge])
            slope[k] = scratch[0, k]
        weight[edge] += 1.0
        return start, stop
    _node_slope(x, i, scratch[0])
    _node_slope(x, i + 1, scratch[1])
    for k in range(start, stop):
        weight[k] = h * (t * (1.0 - t) * (1.0 - t) * scratch[0, k] - t * t * (1.0 - t) * scratch[1, k])
        slope[k] = (1.0 - t) * (1.0 - 3.0 * t) * scratch[0, k] + t * (3.0 * t - 2.0) * scratch[1, k]
    up = t * t * (3.0 - 2.0 * t)
    up_slope = 6.0 * t * (1.0 - t) / h
    weight[i] += 1.0 - up
    weight[i + 1] += up
    slope[i] -= up_slope
    slope[i + 1] += up_slope
    return start, stop


@kernel
def interpolated(
    pressure: Floats, rate: Floats, first: Floats, second: Floats, values: Floats, at: Floats
) -> tuple[float, float, float, float, float]:
    """Value and its four slopes at the coordinates `at` [4] of the stretched axes."""
    n0, n1, n2, n3 = values.shape
    most = max(max(n0, n1), max(n2, n3))
    w = np.empty((4, most))
    d = np.empty((4, most))
    scratch = np.empty((2, most))
    s0, e0 = axis_weights(pressure, at[0], w[0], d[0], scratch)
    s1, e1 = axis_weights(rate, at[1], w[1], d[1], scratch)
    s2, e2 = axis_weights(first, at[2], w[2], d[2], scratch)
    s3, e3 = axis_weights(second, at[3], w[3], d[3], scratch)
    v = v0 = v1 = v2 = v3 = 0.0
    for i in range(s0, e0):
        for j in range(s1, e1):
            u = u2 = u3 = 0.0
            for a in range(s2, e2):
                line = line_b = 0.0
                for b in range(s3, e3):
                    line += w[3, b] * values[i, j, a, b]
                    line_b += d[3, b] * values[i, j, a, b]
                u += w[2, a] * line
                u2 += d[2, a] * line
                u3 += w[2, a] * line_b
            v += w[0, i] * w[1, j] * u
            v0 += d[0, i] * w[1, j] * u
            v1 += w[0, i] * d[1, j] * u
            v2 += w[0, i] * w[1, j] * u2
            v3 += w[0, i] * w[1, j] * u3
    return v, v0, v1, v2, v3

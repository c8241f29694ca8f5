"""Bounded least squares in the normal numbers behind the ranges, on plain arrays; knows no wells."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Floats = NDArray[np.float64]
Forward = Callable[[Floats], Floats]  # parameters [m, n] -> data [m, d], a row of nan where the member failed

BOUND = 4.0  # normal numbers: 3e-5 of the range lies beyond
STEP = 0.02  # of a normal number, for differences to both sides
FAILED = 1.0e3  # scaled residual of a trial whose forecast failed: worse than anything that is kept


@dataclass(frozen=True)
class Fit:
    """best [n]; data [d] there; jacobian [d, n] of the data over their errors; covariance [n, n] with the prior.

    evaluations: rounds of forecasts; message: why it stopped.
    """

    best: Floats
    data: Floats
    jacobian: Floats
    covariance: Floats
    evaluations: int
    message: str


class NoFit(RuntimeError):
    """The forecast of the starting point, or of all points round it, failed."""


def fit(
    forward: Forward, data: Floats, error: Floats, correlation: Floats, prior: bool = True, start: Floats | None = None,
    tolerance: float = 1e-4, most: int = 30,
) -> Fit:  # fmt: skip
    """The parameters whose data are nearest to those measured, in units of their errors.

    prior: the distance from the prior (mean 0, `correlation` [n, n]) counts too: the most probable point; without it
    the data alone count. The search keeps inside -BOUND to BOUND. Raises NoFit.
    """
    count = len(correlation)
    root = np.linalg.inv(np.linalg.cholesky(correlation + 1e-12 * np.eye(count)))
    known: dict[bytes, Floats] = {}

    def residual(z: Floats) -> Floats:
        if z.tobytes() not in known:
            known[z.tobytes()] = forward(z[None, :])[0]
        found = known[z.tobytes()]
        if not np.isfinite(found).all():
            if len(known) == 1:
                raise NoFit("the forecast of the starting point failed")
            found = data + FAILED * error
        misses = (found - data) / error
        return np.concatenate([misses, root @ z]) if prior else misses

    def slopes(z: Floats) -> Floats:
        jacobian = scaled_slopes(forward, z, error)
        return np.vstack([jacobian, root]) if prior else jacobian

    first = np.zeros(count) if start is None else start
    found = least_squares(
        residual, first, slopes, (-BOUND, BOUND), method="trf", x_scale=1.0, max_nfev=most, ftol=tolerance,
        xtol=tolerance, gtol=tolerance,
    )  # fmt: skip
    best = np.asarray(found.x, dtype=np.float64)
    jacobian = np.asarray(found.jac, dtype=np.float64)[: data.size]
    covariance = np.linalg.inv(jacobian.T @ jacobian + root.T @ root)
    residual(best)
    return Fit(best, known[best.tobytes()], jacobian, covariance, int(found.nfev), str(found.message))


def scaled_slopes(forward: Forward, z: Floats, error: Floats) -> Floats:
    """Jacobian [d, n] of the data over their errors by differences to both sides, one where a side failed."""
    count = z.size
    up = np.minimum(z + STEP, BOUND)
    down = np.maximum(z - STEP, -BOUND)
    points = np.repeat(z[None, :], 2 * count, axis=0)
    points[np.arange(count), np.arange(count)] = up
    points[np.arange(count, 2 * count), np.arange(count)] = down
    found = forward(points)
    high, low, width = found[:count], found[count:], up - down
    bad_high, bad_low = (np.asarray(~np.isfinite(part).all(axis=1), dtype=np.bool_) for part in (high, low))
    if (bad_high | bad_low).any():
        here = forward(z[None, :])[0]
        high = np.where(bad_high[:, None], here, high)
        low = np.where(bad_low[:, None], here, low)
        width = np.where(bad_high, z - down, np.where(bad_low, up - z, width))
        if (bad_high & bad_low).any() or not np.isfinite(here).all():
            raise NoFit("the forecasts round a point of the search failed")
    return np.asarray(((high - low) / np.maximum(width, 1e-12)[:, None]).T / error[:, None], dtype=np.float64)

"""Ranges as quantile functions: a share of the members in, the value that it stays below out. SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from planner.base.constants import YEAR
from planner.model.uncertain import Failure, Uncertain, amount, amounts

Floats = NDArray[np.float64]
Quantile = Callable[[Floats], Floats]

Z10 = float(ndtri(0.9))  # normal number that is exceeded with 10 %
EVEN = 1e-9  # of P10 less P90: closer to the middle than this a P50 makes a normal of three percentiles


@dataclass(frozen=True)
class Bell:
    """Normal, or lognormal about a location: x = shift + turn exp(mean + sd z), or mean + sd z where turn is 0.

    turn: 1 skewed to high values, -1 mirrored, 0 normal.
    """

    mean: float
    sd: float
    shift: float = 0.0
    turn: int = 0

    def value(self, z: Floats) -> Floats:
        """Values at normal numbers."""
        line = self.mean + self.sd * (z if self.turn >= 0 else -z)
        return line if self.turn == 0 else self.shift + self.turn * np.exp(line)

    def below(self, value: float) -> float:
        """Probability of being below a value."""
        if self.turn == 0:
            return float(ndtr((value - self.mean) / self.sd))
        distance = self.turn * (value - self.shift)
        if distance <= 0.0:
            return 0.0 if self.turn > 0 else 1.0
        z = self.turn * (np.log(distance) - self.mean) / self.sd
        return float(ndtr(z))


def quantile_function(row: Uncertain, quantity: str) -> Quantile:
    """Quantile function of a range; quantity: of the input that it acts on.

    The function takes probabilities of being below, any shape, above 0 and below 1. A range that is cut off is the
    bell between its ends, enlarged to a whole (a truncated distribution), not values moved to the ends.
    """
    given = amounts(row, quantity)
    if row.kind in ("normal", "lognormal"):
        return _cut(bell_of(row.kind, given), given)
    if row.kind == "uniform":
        low, high = given["low"], given["high"]
        return lambda u: low + (high - low) * u
    if row.kind == "triangular":
        return _triangular(given["low"], given["likely"], given["high"])
    if row.kind == "discrete":
        listed = np.array([amount(one, quantity, row.acts_as) for one in row.values])
        return _discrete(listed, np.array(row.weights or [1.0] * len(listed)))
    listed = np.array([amount(one.value, quantity, row.acts_as) for one in row.table])
    below = np.array([one.below for one in row.table])
    return lambda u: np.interp(u, below, listed)


def bell_of(kind: str, given: dict[str, float]) -> Bell:
    """Normal or lognormal from mean and sd, from two percentiles, or from three.

    Three percentiles that no lognormal meets are met by one with a location: (P50 - c)^2 = (P90 - c)(P10 - c).
    Mean and sd of a lognormal: s^2 = ln(1 + (sd/mean)^2), m = ln(mean) - s^2/2 (Johnson, Kotz, Balakrishnan 1994,
    Continuous univariate distributions 1, chapter 14).
    """
    if kind == "normal":
        if "mean" in given:
            return Bell(given["mean"], given["sd"])
        return Bell(*_line(given))
    if "mean" in given:
        spread = np.log1p((given["sd"] / given["mean"]) ** 2)
        return Bell(float(np.log(given["mean"]) - 0.5 * spread), float(np.sqrt(spread)), 0.0, 1)
    if not {"p90", "p50", "p10"} <= set(given):
        return Bell(*_line({name: float(np.log(value)) for name, value in given.items()}), 0.0, 1)
    low, mid, high = given["p90"], given["p50"], given["p10"]
    skew = low + high - 2.0 * mid
    if abs(skew) <= EVEN * (high - low):
        return Bell(mid, (high - low) / (2.0 * Z10))
    shift = (low * high - mid**2) / skew
    turn = 1 if skew > 0.0 else -1
    tail = high if turn > 0 else low
    sd = float(np.log((tail - shift) / (mid - shift))) / Z10
    return Bell(float(np.log(turn * (mid - shift))), sd, shift, turn)


def _line(given: dict[str, float]) -> tuple[float, float]:
    """Mean and sd of a normal through two of its percentiles, or its outer two of three."""
    z = {"p90": -Z10, "p50": 0.0, "p10": Z10}
    names = [name for name in z if name in given]
    first, last = names[0], names[-1]
    sd = (given[last] - given[first]) / (z[last] - z[first])
    return given[first] - sd * z[first], sd


def _cut(bell: Bell, given: dict[str, float]) -> Quantile:
    least = bell.below(given["at_least"]) if "at_least" in given else 0.0
    most = bell.below(given["at_most"]) if "at_most" in given else 1.0
    low, high = given.get("at_least", -np.inf), given.get("at_most", np.inf)

    def quantile(u: Floats) -> Floats:
        return np.clip(bell.value(ndtri(least + (most - least) * u)), low, high)

    return quantile


def _triangular(low: float, likely: float, high: float) -> Quantile:
    corner = (likely - low) / (high - low)

    def quantile(u: Floats) -> Floats:
        rising = low + np.sqrt(u * (high - low) * (likely - low))
        falling = high - np.sqrt((1.0 - u) * (high - low) * (high - likely))
        return np.where(u < corner, rising, falling)

    return quantile


def _discrete(values: Floats, weights: Floats) -> Quantile:
    order = np.argsort(values, kind="stable")
    ends = np.cumsum(weights[order]) / weights.sum()

    def quantile(u: Floats) -> Floats:
        found: Floats = values[order][np.minimum(np.searchsorted(ends, u, side="right"), len(values) - 1)]
        return found

    return quantile


def choice_of(probabilities: Floats, u: Floats) -> Floats:
    """Number of the choice that holds, from 0, for shares u."""
    ends = np.cumsum(probabilities) / probabilities.sum()
    return np.minimum(np.searchsorted(ends, u, side="right"), len(probabilities) - 1).astype(np.float64)


def time_to_failure(row: Failure, u: Floats) -> Floats:
    """Seconds from the start to a failure: Weibull, t = scale (-ln(1 - u))^(1/shape); exponential with shape 1.

    Source: Weibull 1951, A statistical distribution function of wide applicability, J. Appl. Mech. 18.
    """
    scale = row.scale if row.scale is not None else YEAR / float(row.rate or 1.0)
    found: Floats = scale * (-np.log1p(-u)) ** (1.0 / row.shape)
    return found

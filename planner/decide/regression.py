"""What is expected of a number, given what is seen: a small regression that falls back to the mean where it must."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Estimate = Callable[[Floats], Floats]

FEW = 12  # kinds of observation up to which each has a mean of its own
LEAST = 5  # members a kind, on average, that this needs
RIDGES = (1e-3, 1e-2, 0.1, 1.0)  # share of the number of members
SURE = 1.0  # standard errors by which a regression has to beat the mean on members left out


@dataclass(frozen=True)
class ByKind:
    """The mean of each kind of observation that was met; the mean of all for any other."""

    kinds: Floats
    means: Floats
    mean: float

    def __call__(self, seen: Floats) -> Floats:
        """Expected values [members]."""
        made = np.full(len(seen), self.mean)
        for kind, mean in zip(self.kinds, self.means, strict=True):
            made[(seen == kind).all(axis=1)] = mean
        return made


@dataclass(frozen=True)
class Smooth:
    """A polynomial of what is seen, each column kept inside the range that was met."""

    low: Floats
    high: Floats
    middle: Floats
    spread: Floats
    squares: bool
    centre: Floats
    weights: Floats
    mean: float

    def __call__(self, seen: Floats) -> Floats:
        """Expected values [members]."""
        inside = (np.clip(seen, self.low, self.high) - self.middle) / self.spread
        return np.asarray(self.mean + (_terms(inside, self.squares) - self.centre) @ self.weights)


def fitted(seen: Floats, values: Floats) -> Estimate:
    """The expectation of values [members], given what is seen [members, columns].

    Few kinds of observation: the mean of each. Else a ridge regression (Hoerl and Kennard 1970, Technometrics 12) on
    the columns, with or without their squares, by the error on members left out one at a time (Allen 1974,
    Technometrics 16); the mean alone where nothing beats it by more than the error's own standard error.
    """
    mean = float(values.mean())
    flat = ByKind(np.empty((0, seen.shape[1])), np.empty(0), mean)
    if len(values) < 2 or np.ptp(values) == 0.0 or not seen.shape[1]:
        return flat
    kinds, place = np.unique(seen, axis=0, return_inverse=True)
    if len(kinds) <= FEW and len(values) >= LEAST * len(kinds):
        place = place.ravel()
        return ByKind(kinds, np.bincount(place, weights=values) / np.bincount(place), mean)
    best: Estimate = flat
    alone = ((values - mean) * len(values) / (len(values) - 1)) ** 2
    least = float(alone.mean())
    for squares, ridge in product((False, True), RIDGES):
        smooth, left_out = _ridge(seen, values, squares, ridge * len(values))
        gain = alone - left_out**2
        sure = float(gain.mean()) > SURE * float(gain.std(ddof=1)) / np.sqrt(len(gain))
        if sure and float(np.mean(left_out**2)) < least:
            best, least = smooth, float(np.mean(left_out**2))
    return best


def _ridge(seen: Floats, values: Floats, squares: bool, penalty: float) -> tuple[Smooth, Floats]:
    """A ridge regression, and its residuals on each member left out."""
    low, high, middle = seen.min(axis=0), seen.max(axis=0), seen.mean(axis=0)
    deviation = seen.std(axis=0)
    spread = np.where(deviation > 1e-9 * (np.abs(middle) + 1e-30), deviation, np.inf)
    terms = _terms((seen - middle) / spread, squares)
    centre, mean = terms.mean(axis=0), float(values.mean())
    u, s, vt = np.linalg.svd(terms - centre, full_matrices=False)
    shrink = s**2 / (s**2 + penalty)
    weights = vt.T @ (s / (s**2 + penalty) * (u.T @ (values - mean)))
    expected = mean + u @ (shrink * (u.T @ (values - mean)))
    leverage = 1.0 / len(values) + (u**2) @ shrink
    left_out = (values - expected) / np.maximum(1.0 - leverage, 1e-9)
    return Smooth(low, high, middle, spread, squares, centre, weights, mean), left_out


def _terms(x: Floats, squares: bool) -> Floats:
    return np.hstack([x, x**2]) if squares else x

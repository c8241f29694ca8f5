"""What is expected of a number, given what is seen: a small regression that falls back to the mean where it must."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Estimate = Callable[[Floats], Floats]

FEW = 12  # kinds of observation up to which each has a mean of its own
LEAST = 5  # members a kind, on average, that this needs
RIDGES = (1e-3, 1e-2, 0.1, 1.0)  # share of the number of members
SIGHTS = 256  # what is seen, kept apart in memory for so many dates and halves
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


class Sight:
    """What is seen [members, columns], made ready once for many values to be fitted to it."""

    def __init__(self, seen: Floats) -> None:
        self.seen = seen
        kinds, place = np.unique(seen, axis=0, return_inverse=True)
        few = bool(seen.shape[1]) and len(kinds) <= FEW and len(seen) >= LEAST * len(kinds)
        self.kinds: Floats | None = kinds if few else None
        self.place = place.ravel()
        self._parts: dict[bool, _Parts] = {}

    def parts(self, squares: bool) -> _Parts:
        """The terms of a regression, taken apart."""
        if squares not in self._parts:
            self._parts[squares] = _Parts.of(self.seen, squares)
        return self._parts[squares]


@dataclass(frozen=True)
class _Parts:
    """Terms of a regression: where they are centred, how they are scaled, and their singular value decomposition."""

    low: Floats
    high: Floats
    middle: Floats
    spread: Floats
    centre: Floats
    u: Floats
    s: Floats
    vt: Floats

    @staticmethod
    def of(seen: Floats, squares: bool) -> _Parts:
        """Those of what is seen."""
        middle, deviation = seen.mean(axis=0), seen.std(axis=0)
        spread = np.where(deviation > 1e-9 * (np.abs(middle) + 1e-30), deviation, np.inf)
        terms = _terms((seen - middle) / spread, squares)
        centre = terms.mean(axis=0)
        u, s, vt = np.linalg.svd(terms - centre, full_matrices=False)
        return _Parts(seen.min(axis=0), seen.max(axis=0), middle, spread, centre, u, s, vt)


@lru_cache(maxsize=SIGHTS)
def _sight(shape: tuple[int, ...], raw: bytes) -> Sight:
    return Sight(np.frombuffer(raw).reshape(shape))


def sight_of(seen: Floats) -> Sight:
    """What is seen, made ready; the same numbers asked again are not taken apart again."""
    whole = np.ascontiguousarray(seen, dtype=np.float64)
    return _sight(whole.shape, whole.tobytes())


def fitted(seen: Floats, values: Floats) -> Estimate:
    """The expectation of values [members], given what is seen [members, columns]. See `fitted_all`."""
    return fitted_all(seen, values[:, None])[0]


def fitted_all(seen: Floats, values: Floats) -> tuple[Estimate, ...]:
    """The expectation of each column of values [members, k], given what is seen [members, columns].

    Few kinds of observation: the mean of each. Else a ridge regression (Hoerl and Kennard 1970, Technometrics 12) on
    the columns, with or without their squares, by the error on members left out one at a time (Allen 1974,
    Technometrics 16); the mean alone where nothing beats it by more than the error's own standard error.
    """
    means = values.mean(axis=0)
    found: list[Estimate] = [ByKind(np.empty((0, seen.shape[1])), np.empty(0), float(mean)) for mean in means]
    if len(values) < 2 or not seen.shape[1]:
        return tuple(found)
    sight = sight_of(seen)
    moving = np.flatnonzero(np.ptp(values, axis=0) > 0.0)
    if sight.kinds is not None:
        count = np.bincount(sight.place)
        for k in moving:
            by_kind = np.bincount(sight.place, weights=values[:, k]) / count
            found[k] = ByKind(sight.kinds, by_kind, float(means[k]))
    elif len(moving):
        for k, best in zip(moving, _ridges(sight, values[:, moving]), strict=True):
            found[k] = best or found[k]
    return tuple(found)


def _ridges(sight: Sight, values: Floats) -> list[Smooth | None]:
    """The best ridge regression of each column; None where the mean alone is as good."""
    members = len(values)
    mean = values.mean(axis=0)
    off = values - mean
    alone = (off * members / (members - 1)) ** 2
    least = alone.mean(axis=0)
    best: list[Smooth | None] = [None] * values.shape[1]
    for squares, ridge in product((False, True), RIDGES):
        parts, penalty = sight.parts(squares), ridge * members
        inside = parts.u.T @ off
        shrink = parts.s**2 / (parts.s**2 + penalty)
        leverage = 1.0 / members + (parts.u**2) @ shrink
        left_out = (off - parts.u @ (shrink[:, None] * inside)) / np.maximum(1.0 - leverage, 1e-9)[:, None]
        gain, error = alone - left_out**2, (left_out**2).mean(axis=0)
        sure = gain.mean(axis=0) > SURE * gain.std(axis=0, ddof=1) / np.sqrt(members)
        for k in np.flatnonzero(sure & (error < least)):
            weights = parts.vt.T @ (parts.s / (parts.s**2 + penalty) * inside[:, k])
            best[k], least[k] = Smooth(
                parts.low, parts.high, parts.middle, parts.spread, squares, parts.centre, weights, float(mean[k])
            ), error[k]  # fmt: skip
    return best


def _terms(x: Floats, squares: bool) -> Floats:
    return np.hstack([x, x**2]) if squares else x

"""Ensemble smoother with multiple data assimilation, on plain arrays; knows no wells.

Source: Emerick and Reynolds 2013, Ensemble smoother with multiple data assimilation, Computers & Geosciences 55.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Forward = Callable[[Floats], Floats]  # parameters [m, n] -> data [m, d], a row of nan where the member failed

LEAST_MEMBERS = 5


@dataclass(frozen=True)
class Smoothed:
    """prior, posterior [m, n]; prior_data, posterior_data [m, d]; kept [m]: place of each member among the first ones.

    Members that failed on the way are in none of them; lost: how many.
    """

    prior: Floats
    posterior: Floats
    prior_data: Floats
    posterior_data: Floats
    kept: NDArray[np.int64]
    lost: int


class TooFewMembers(RuntimeError):
    """So many members failed that nothing can be learned from the rest."""


def inflation_factors(rounds: int, ratio: float = 1.0) -> Floats:
    """Factors of the data errors [rounds] whose inverses add up to 1; each `ratio` times smaller than the one before.

    ratio 1: all are `rounds` (Emerick and Reynolds 2013, equation 11).
    """
    shares = float(ratio) ** np.arange(rounds, dtype=np.float64)
    return np.asarray(shares.sum() / shares, dtype=np.float64)


def smooth(
    first: Floats,
    forward: Forward,
    data: Floats,
    error: Floats,
    factors: Floats,
    rng: np.random.Generator,
    localise: bool = False,
) -> Smoothed:
    """Posterior members from prior ones [m, n].

    forward: parameters -> data, called once a round and once at the end. data [d] with independent normal errors of
    standard deviation error [d]; factors [rounds]: inflation, inverses adding up to 1. localise: dampen the gain where
    the correlation could be chance. Raises TooFewMembers.
    """
    assert abs(float(np.sum(1.0 / factors)) - 1.0) < 1e-9
    kept = np.arange(len(first))
    prior, now = first, first
    prior_data = np.zeros((0, data.size))
    for number, factor in enumerate(factors):
        found = forward(now)
        good = _whole(found)
        _enough(good)
        prior, now, kept, found = prior[good], now[good], kept[good], found[good]
        prior_data = found if number == 0 else prior_data[good]
        now = update(now, found, data, error, float(factor), rng, localise)
    last = forward(now)
    good = _whole(last)
    _enough(good)
    return Smoothed(prior[good], now[good], prior_data[good], last[good], kept[good], len(first) - int(good.sum()))


def _whole(found: Floats) -> NDArray[np.bool_]:
    """Members whose data are all there."""
    return np.asarray(np.isfinite(found).all(axis=1), dtype=np.bool_)


def _enough(good: NDArray[np.bool_]) -> None:
    if good.sum() < LEAST_MEMBERS:
        raise TooFewMembers(
            f"{int(good.sum())} of {good.size} members could be computed; at least {LEAST_MEMBERS} are needed"
        )


def update(
    members: Floats, found: Floats, data: Floats, error: Floats, factor: float, rng: np.random.Generator, localise: bool
) -> Floats:
    """One assimilation with errors inflated by the root of `factor` (equation 7 of the source).

    Exact in the space that the members span, whatever the number of data: with scaled deviations of the data
    D = U S V', the gain is Z V S (S S + factor)^-1 U'.
    """
    scale = 1.0 / np.sqrt(len(members) - 1.0)
    deviation = (members - members.mean(axis=0)) * scale  # [m, n]
    spread = (found - found.mean(axis=0)) / error * scale  # [m, d]
    noise = rng.standard_normal(found.shape)
    noise -= noise.mean(axis=0)
    miss = (data - found) / error + np.sqrt(factor) * noise  # [m, d]
    left, size, right = np.linalg.svd(spread, full_matrices=False)  # spread = left size right
    if localise:
        gain = deviation.T @ (left * (size / (size**2 + factor))) @ right  # [n, d]
        gain *= taper(members, found)
        return np.asarray(members + miss @ gain.T, dtype=np.float64)
    return np.asarray(members + (miss @ right.T * (size / (size**2 + factor))) @ (left.T @ deviation), dtype=np.float64)


def taper(members: Floats, found: Floats) -> Floats:
    """Shares [n, d] of the gain that are kept: r2 / (r2 + (1 + r2) / m), r the sample correlation.

    Source: Furrer and Bengtsson 2007, Estimation of high-dimensional prior and posterior covariance matrices in Kalman
    filter variants, J. Multivariate Analysis 98, equation 3.10 in terms of correlations.
    """
    z = members - members.mean(axis=0)
    y = found - found.mean(axis=0)
    size = np.linalg.norm(z, axis=0)[:, None] * np.linalg.norm(y, axis=0)[None, :]
    with np.errstate(invalid="ignore", divide="ignore"):
        square = np.where(size > 0.0, (z.T @ y / size) ** 2, 0.0)
    return np.asarray(square / (square + (1.0 + square) / len(members) + 1e-300), dtype=np.float64)

"""The smoother on linear problems with normal prior and errors, whose posterior is known in closed form.

posterior covariance = (C^-1 + G' R^-1 G)^-1, mean = covariance (G' R^-1 d): Tarantola 2005, Inverse problem theory,
equations 3.37 and 3.38.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from planner.uncertainty.smoother import TooFewMembers, inflation_factors, smooth, taper

Floats = NDArray[np.float64]

G = np.array([[1.0, 0.0, 0.5], [0.5, 1.0, 0.0], [1.0, 1.0, 0.2], [0.0, 0.3, -1.0], [1.0, -1.0, 0.0]])
ERROR = np.array([0.5, 0.8, 1.0, 0.6, 2.0])
DATA = np.array([1.0, -0.5, 0.7, 0.4, 1.5])
PRIOR = np.array([[1.0, 0.5, 0.0], [0.5, 1.0, 0.0], [0.0, 0.0, 1.0]])


def exact() -> tuple[Floats, Floats]:
    covariance = np.linalg.inv(np.linalg.inv(PRIOR) + G.T @ np.diag(ERROR**-2) @ G)
    return covariance @ G.T @ (DATA / ERROR**2), covariance


def run(members: int, seed: int, rounds: int = 4, ratio: float = 1.0, localise: bool = False) -> tuple[Floats, Floats]:
    rng = np.random.default_rng(seed)
    first = rng.standard_normal((members, 3)) @ np.linalg.cholesky(PRIOR).T
    found = smooth(first, lambda z: z @ G.T, DATA, ERROR, inflation_factors(rounds, ratio), rng, localise)
    return found.posterior.mean(axis=0), np.cov(found.posterior, rowvar=False)


@pytest.mark.parametrize(("rounds", "ratio"), [(1, 1.0), (4, 1.0), (4, 2.0)])
def test_linear_gaussian_posterior_within_sampling_error(rounds: int, ratio: float) -> None:
    mean, covariance = exact()
    sd = np.sqrt(np.diag(covariance))
    members = 20_000
    got_mean, got_covariance = run(members, 7, rounds, ratio)
    # sampling error of a mean is sd / sqrt(m), of a covariance about sd sd sqrt(2 / m); perturbed data add as much
    assert np.all(np.abs(got_mean - mean) < 5.0 * sd / np.sqrt(members))
    assert np.all(np.abs(got_covariance - covariance) < 8.0 * np.outer(sd, sd) * np.sqrt(2.0 / members))


def test_error_falls_with_the_root_of_the_members() -> None:
    mean, _ = exact()
    errors = []
    for members in (100, 1600, 25_600):
        misses = [run(members, seed)[0] - mean for seed in range(12 if members < 10_000 else 4)]
        errors.append(float(np.sqrt(np.mean(np.square(misses)))))
    # sixteen times the members, a quarter of the error; half to double of it for a dozen repeats
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.6)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.6)


def test_more_data_than_members() -> None:
    """Repeating each datum 200 times with an error sqrt(200) larger changes nothing in the exact posterior."""
    mean, covariance = exact()
    sd = np.sqrt(np.diag(covariance))
    rng = np.random.default_rng(3)
    first = rng.standard_normal((600, 3)) @ np.linalg.cholesky(PRIOR).T
    many, data, error = np.repeat(G, 200, axis=0), np.repeat(DATA, 200), np.repeat(ERROR, 200) * np.sqrt(200.0)
    found = smooth(first, lambda z: z @ many.T, data, error, inflation_factors(4), rng)
    assert np.all(np.abs(found.posterior.mean(axis=0) - mean) < 5.0 * sd / np.sqrt(600))
    assert np.cov(found.posterior, rowvar=False) == pytest.approx(covariance, abs=0.25 * float(sd.max() ** 2))


def test_inflation_factors() -> None:
    assert inflation_factors(4) == pytest.approx([4.0] * 4)  # Emerick and Reynolds 2013
    falling = inflation_factors(4, 2.0)
    assert np.sum(1.0 / falling) == pytest.approx(1.0)
    assert falling[0] == pytest.approx(15.0) and falling[3] == pytest.approx(15.0 / 8.0)


def test_failed_members_are_left_out() -> None:
    calls = []

    def forward(z: Floats) -> Floats:
        found = z @ G.T
        calls.append(len(z))
        if len(calls) == 2:
            found[[1, 5]] = np.nan
        if len(calls) == 3:
            found[0] = np.inf
        return found

    rng = np.random.default_rng(1)
    first = rng.standard_normal((50, 3))
    result = smooth(first, forward, DATA, ERROR, inflation_factors(3), rng)
    assert calls == [50, 50, 48, 47]
    assert result.lost == 3 and set(result.kept) == set(range(50)) - {0, 1, 5}
    assert result.prior == pytest.approx(first[result.kept])
    assert result.prior_data == pytest.approx(first[result.kept] @ G.T)
    assert result.posterior_data == pytest.approx(result.posterior @ G.T)


def test_too_few_members_are_refused() -> None:
    rng = np.random.default_rng(1)
    with pytest.raises(TooFewMembers, match="0 of 10"):
        smooth(np.ones((10, 3)), lambda z: np.full((10, 5), np.nan), DATA, ERROR, inflation_factors(2), rng)


def test_taper_keeps_strong_links_and_drops_chance() -> None:
    rng = np.random.default_rng(2)
    z = rng.standard_normal((50, 2))
    y = np.column_stack([z[:, 0] + 0.01 * rng.standard_normal(50), rng.standard_normal(50)])
    kept = taper(z, y)
    assert kept[0, 0] > 0.95
    assert kept[1, 1] < 0.7 and kept[1, 0] < 0.7
    # r2 / (r2 + (1 + r2) / m) by hand at r = 0.5, m = 50: 0.25 / (0.25 + 0.025) = 0.909
    t = np.linspace(-1, 1, 50)
    x = t - t.mean()
    other = np.array([(-1.0) ** k for k in range(50)])
    other -= other.mean()
    other -= x * (other @ x) / (x @ x)
    mixed = 0.5 * x / np.linalg.norm(x) + np.sqrt(0.75) * other / np.linalg.norm(other)
    assert taper(x[:, None], mixed[:, None])[0, 0] == pytest.approx(0.25 / 0.275, rel=1e-9)

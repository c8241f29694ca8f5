"""Shares of the variance against the g-function and SALib; swings and flips on figures whose answer is known."""

from __future__ import annotations

import numpy as np
import pytest
from SALib.analyze import sobol as reference
from scipy.stats import qmc

from planner.uncertainty.sensitivity import (
    class_share,
    flips_of,
    shares_of_design,
    shares_of_members,
    swings_of_members,
)
from tests.unit.uncertainty.ranged import made_ensemble

A = np.array([0.0, 1.0, 4.5, 9.0])  # the smaller, the more an input matters


def g_function(x: np.ndarray) -> np.ndarray:
    """Sobol's g-function. Source: Saltelli et al. 2008, Global sensitivity analysis: the primer, section 4."""
    return np.prod((np.abs(4.0 * x - 2.0) + A) / (1.0 + A), axis=-1)


def exact_shares() -> tuple[np.ndarray, np.ndarray]:
    """First and total shares of the g-function in closed form, same source: V_i = 1 / (3 (1 + a_i)^2)."""
    single = 1.0 / (3.0 * (1.0 + A) ** 2)
    variance = np.prod(1.0 + single) - 1.0
    total = [single[i] * np.prod(np.delete(1.0 + single, i)) for i in range(len(A))]
    return single / variance, np.array(total) / variance


def design(points: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    both = qmc.Sobol(2 * len(A), rng=np.random.default_rng(1)).random(points)
    a, b = both[:, : len(A)], both[:, len(A) :]
    mixed = np.repeat(a[None], len(A), axis=0)
    for k in range(len(A)):
        mixed[k, :, k] = b[:, k]
    return g_function(a), g_function(b), g_function(mixed)


def test_shares_of_the_g_function_from_a_design() -> None:
    first, first_error, total, total_error = shares_of_design(*design(4096))
    exact_first, exact_total = exact_shares()
    assert first == pytest.approx(exact_first, abs=0.01)
    assert total == pytest.approx(exact_total, abs=0.01)
    assert (np.abs(first - exact_first) < 4.0 * first_error + 1e-3).all()
    assert (np.abs(total - exact_total) < 4.0 * total_error + 1e-3).all()


def test_the_estimators_are_those_of_a_reference_library() -> None:
    a, b, mixed = design(256)
    y = np.column_stack([a, mixed.T, b]).ravel()
    problem = {"num_vars": len(A), "names": list("abcd"), "bounds": [[0, 1]] * len(A)}
    known = reference.analyze(problem, y, calc_second_order=False, num_resamples=10)
    first, _, total, _ = shares_of_design(a, b, mixed)
    assert first == pytest.approx(known["S1"], rel=1e-9)
    assert total == pytest.approx(known["ST"], rel=1e-9)


def test_shares_of_the_g_function_from_the_members() -> None:
    """First shares by classes of 200 members: within 0.03 (20 classes of a peaked dependence, 4000 members)."""
    x = qmc.LatinHypercube(len(A), rng=np.random.default_rng(3)).random(4000)
    ensemble = made_ensemble({"npv": g_function(x)[:, None]}, {name: x[:, k] for k, name in enumerate("abcd")})
    found = {one.input: one for one in shares_of_members(ensemble, "npv", "base")}
    for name, exact in zip("abcd", exact_shares()[0], strict=True):
        assert found[name].first == pytest.approx(exact, abs=0.03)
        assert abs(found[name].first - exact) < 4.0 * found[name].first_error + 0.01
        assert np.isnan(found[name].total) and found[name].method == "members"
    assert [one.input for one in shares_of_members(ensemble, "npv", "base")][:2] == ["a", "b"]


def test_an_input_without_influence_has_no_share_on_average() -> None:
    rng = np.random.default_rng(4)
    found = [class_share(rng.normal(size=200), rng.integers(0, 20, 200)) for _ in range(300)]
    assert abs(np.mean(found)) < 4.0 * np.std(found) / np.sqrt(300)


def test_swings_of_a_straight_line_are_its_slopes() -> None:
    """y = 3a - b: mean of the highest fifth of even numbers is 0.9, of the lowest 0.1."""
    x = qmc.LatinHypercube(2, rng=np.random.default_rng(5)).random(2000)
    y = 3.0 * x[:, 0] - x[:, 1]
    swings = swings_of_members(made_ensemble({"npv": y[:, None]}, {"a": x[:, 0], "b": x[:, 1]}), "npv", "base")
    assert [one.input for one in swings] == ["a", "b"]
    for one, slope in zip(swings, (3.0, -1.0), strict=True):
        assert one.high - one.low == pytest.approx(0.8 * slope, abs=4.0 * one.error)
        assert (one.low_draw, one.high_draw) == pytest.approx((0.1, 0.9), abs=0.002)


def test_the_input_that_flips_the_decision_is_found_with_its_threshold() -> None:
    rng = np.random.default_rng(6)
    x, noise = rng.random((2, 1000))
    gain = np.where(x > 0.7, 5.0, -5.0)
    figures = {"npv": np.column_stack([np.full(1000, 100.0), 100.0 + gain])}
    flips = flips_of(made_ensemble(figures, {"n": noise, "x": x}, ("base", "acid")), "npv", "acid", "base")
    assert flips[0].input == "x" and flips[0].strength == 1.0 and flips[0].significance < 1e-10
    assert flips[0].threshold == pytest.approx(0.7, abs=0.005)
    assert (flips[0].wins_below, flips[0].wins_above) == (0.0, 1.0)
    assert flips[1].strength < 0.15 and flips[1].significance > 0.001


def test_where_one_always_wins_nothing_flips() -> None:
    figures = {"npv": np.column_stack([np.zeros(50), np.ones(50)])}
    assert flips_of(made_ensemble(figures, {"x": np.arange(50.0)}, ("base", "acid")), "npv", "acid", "base") == ()


def test_shares_of_a_function_with_interplay_and_an_input_that_acts_only_through_it() -> None:
    """Ishigami: the third input has no share by itself and a quarter of the variance in all. Closed form: Ishigami and
    Homma 1990, An importance quantification technique in uncertainty analysis for computer models, with a 7, b 0.1."""
    from SALib.test_functions import Ishigami

    both = qmc.Sobol(6, rng=np.random.default_rng(2)).random(8192)
    a, b = (np.pi * (2.0 * part - 1.0) for part in (both[:, :3], both[:, 3:]))
    mixed = []
    for k in range(3):
        one = a.copy()
        one[:, k] = b[:, k]
        mixed.append(Ishigami.evaluate(one))
    first, first_error, total, total_error = shares_of_design(
        Ishigami.evaluate(a), Ishigami.evaluate(b), np.array(mixed)
    )
    alone = np.array([0.5 * (1.0 + 0.1 * np.pi**4 / 5.0) ** 2, 49.0 / 8.0, 0.0])
    joint = 0.1**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    variance = alone.sum() + joint
    exact_total = (alone + np.array([joint, 0.0, joint])) / variance
    assert first == pytest.approx(alone / variance, abs=0.015)
    assert total == pytest.approx(exact_total, abs=0.015)
    assert (np.abs(first - alone / variance) < 4.0 * first_error + 1e-3).all()
    assert (np.abs(total - exact_total) < 4.0 * total_error + 1e-3).all()

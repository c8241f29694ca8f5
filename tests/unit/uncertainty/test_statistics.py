"""Percentiles, bands and comparisons against exact distributions."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from planner.uncertainty.statistics import (
    band,
    convergence_of,
    duel_of,
    fan_of,
    percentile,
    range_of,
    share_band,
)
from tests.unit.uncertainty.ranged import made_ensemble

NAN = float("nan")


def even_lognormal(count: int) -> np.ndarray:
    """Members in the middle of their strata of a lognormal with P90 50, P50 100, P10 200."""
    return stats.lognorm(np.log(2.0) / stats.norm.ppf(0.9), scale=100.0).ppf((np.arange(count) + 0.5) / count)


def test_percentiles_of_a_known_lognormal() -> None:
    values = even_lognormal(2000)
    rng = np.random.default_rng(0)
    rng.shuffle(values)
    found = range_of(made_ensemble({"oil_volume": values[:, None]}, {"x": values}), "oil_volume", "base")
    assert found is not None
    assert (found.p90, found.p50, found.p10) == pytest.approx((50.0, 100.0, 200.0), rel=1e-3)
    s2 = (np.log(2.0) / stats.norm.ppf(0.9)) ** 2
    assert found.mean == pytest.approx(100.0 * np.exp(0.5 * s2), rel=2e-3)
    assert found.mean_error == pytest.approx(found.sd / np.sqrt(2000), rel=1e-12)
    assert (found.quantity, found.members) == ("liquid volume", 2000)


def test_bands_of_percentiles_hold_as_often_as_they_say() -> None:
    """300 random samples of 60: the band of each percentile holds it in at least 85 % (at least 90 % expected; the
    binomial spread of 300 trials is 1.7 %)."""
    rng = np.random.default_rng(1)
    truth = {"p90": stats.norm.ppf(0.1), "p50": 0.0, "p10": stats.norm.ppf(0.9)}
    held = dict.fromkeys(truth, 0)
    for sample in rng.normal(size=(300, 60)):
        for name, value in truth.items():
            low, high = band(sample, name)
            held[name] += low <= value <= high
    assert all(count / 300 >= 0.85 for count in held.values()), held
    assert all(count / 300 < 0.99 for count in held.values()), held


def test_a_band_without_an_end_is_nan() -> None:
    """Of 8 members at most 2 lie below P90 with 96 %, at most 1 with 81 %: the third smallest is the upper end."""
    low, high = band(np.arange(8.0), "p90")
    assert np.isnan(low) and high == 2.0


def test_members_without_a_number_are_left_out() -> None:
    values = np.array([[1.0], [NAN], [3.0]])
    found = range_of(made_ensemble({"npv": values}, {"x": np.arange(3.0)}), "npv", "base")
    assert found is not None and (found.members, found.mean, found.quantity) == (2, 2.0, "money")
    assert range_of(made_ensemble({"npv": values[:2]}, {"x": np.arange(2.0)}), "npv", "base") is None


def test_a_duel_counts_members_pairwise_and_ties_as_alike() -> None:
    base = np.array([100.0, 100.0, 100.0, 100.0, NAN])
    other = np.array([110.0, 90.0, 100.0 + 1e-7, 120.0, 200.0])
    ensemble = made_ensemble({"npv": np.column_stack([base, other])}, {"x": base}, ("base", "acid"))
    found = duel_of(ensemble, "npv", "acid", "base")
    assert found is not None
    assert (found.probability, found.alike, found.members, found.gain_mean) == (0.5, 0.25, 4, 5.0)
    mirror = duel_of(ensemble, "npv", "base", "acid")
    assert mirror is not None and (mirror.probability, mirror.gain_p50) == (0.25, -found.gain_p50)


def test_the_band_of_a_share_is_that_of_wilson() -> None:
    """Reference: scipy.stats.binomtest(...).proportion_ci(method='wilson')."""
    for wins, count in ((0, 20), (7, 20), (20, 20), (480, 1000)):
        known = stats.binomtest(wins, count).proportion_ci(0.9, method="wilson")
        assert share_band(wins / count, count) == pytest.approx((known.low, known.high), abs=1e-12)


def test_a_fan_holds_the_percentiles_of_every_date() -> None:
    rows = np.arange(101.0)
    cube = np.stack([rows, 2.0 * rows], axis=-1)[:, None, :]
    ensemble = made_ensemble({}, {"x": rows})
    fan = fan_of(ensemble, "oil_rate", "base", cube)
    assert fan.p50 == pytest.approx([50.0, 100.0])
    assert fan.p90 == pytest.approx(np.array([1.0, 2.0]) * float(percentile(rows, "p90")))
    assert (fan.mean < fan.p10).all() and (fan.p90 < fan.p50).all()


def test_convergence_ends_at_the_percentiles_of_all_members() -> None:
    values = np.random.default_rng(2).permutation(even_lognormal(400))
    ensemble = made_ensemble({"npv": values[:, None]}, {"x": values})
    runs, whole = convergence_of(ensemble, "npv", "base"), range_of(ensemble, "npv", "base")
    assert runs is not None and whole is not None
    assert runs.counts[-1] == 400 and (np.diff(runs.counts) > 0).all()
    assert (runs.p90[-1], runs.p50[-1], runs.p10[-1]) == (whole.p90, whole.p50, whole.p10)
    width = runs.p50_band[:, 1] - runs.p50_band[:, 0]
    assert width[-1] < 0.5 * width[0]

"""Quantile functions against the reference distributions of scipy.stats, percentiles as they were given."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from planner.model.uncertain import Failure, Uncertain
from planner.uncertainty.distributions import YEAR, choice_of, quantile_function, time_to_failure

SHARES = np.linspace(0.001, 0.999, 999)


def row(**parameters: object) -> Uncertain:
    return Uncertain.model_validate({"name": "x", "path": "y", **parameters})


@pytest.mark.parametrize(
    ("given", "reference"),
    [
        ({"kind": "normal", "mean": 10, "sd": 2}, stats.norm(10, 2)),
        ({"kind": "lognormal", "mean": 10, "sd": 5},
         stats.lognorm(np.sqrt(np.log(1.25)), scale=10 / np.sqrt(1.25))),
        ({"kind": "uniform", "low": -1, "high": 3}, stats.uniform(-1, 4)),
        ({"kind": "triangular", "low": 2, "likely": 3, "high": 7}, stats.triang(0.2, 2, 5)),
        ({"kind": "triangular", "low": 2, "likely": 2, "high": 7}, stats.triang(0.0, 2, 5)),
        ({"kind": "normal", "mean": 10, "sd": 2, "at_least": 9, "at_most": 13}, stats.truncnorm(-0.5, 1.5, 10, 2)),
    ],
)  # fmt: skip
def test_quantiles_are_those_of_the_reference(given, reference) -> None:
    assert quantile_function(row(**given), "number")(SHARES) == pytest.approx(reference.ppf(SHARES), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    "given",
    [
        {"kind": "normal", "p90": 5, "p50": 10, "p10": 15},
        {"kind": "lognormal", "p90": 5, "p50": 10, "p10": 20},
        {"kind": "lognormal", "p90": 5, "p50": 10, "p10": 30},  # heavier to the right than a plain lognormal
        {"kind": "lognormal", "p90": 5, "p50": 10, "p10": 17},
        {"kind": "lognormal", "p90": 5, "p50": 20, "p10": 25},  # skewed to the left
        {"kind": "lognormal", "p90": -3, "p50": 0, "p10": 3},  # even: a normal
        {"kind": "lognormal", "p90": 5, "p10": 20},
        {"kind": "lognormal", "p50": 10, "p10": 20},
        {"kind": "normal", "p90": 5, "p50": 10},
    ],
)
def test_percentiles_are_met_with_p90_as_the_low_one(given) -> None:
    at = dict(
        zip(("p90", "p50", "p10"), quantile_function(row(**given), "number")(np.array([0.1, 0.5, 0.9])), strict=True)
    )
    for name, value in given.items():
        if name != "kind":
            assert at[name] == pytest.approx(value, abs=1e-9)
    values = quantile_function(row(**given), "number")(SHARES)
    assert (np.diff(values) > 0.0).all()


def test_a_cut_range_stays_inside_and_keeps_its_shape() -> None:
    cut = quantile_function(row(kind="lognormal", p90=50, p10=200, at_least=40, at_most=150), "number")(SHARES)
    whole = stats.lognorm(np.log(4) / (2 * stats.norm.ppf(0.9)), scale=100)
    low, high = whole.cdf(40), whole.cdf(150)
    assert cut.min() > 40 and cut.max() < 150
    assert cut == pytest.approx(whole.ppf(low + (high - low) * SHARES), rel=1e-9)


def test_units_are_those_of_the_input_and_shifts_have_no_zero() -> None:
    md = 9.869232667160130e-16
    values = quantile_function(row(kind="uniform", low="100 md", high="200 md"), "permeability")(np.array([0.5]))
    assert values == pytest.approx(150.0 * md, rel=1e-12)
    shift = quantile_function(row(kind="normal", acts_as="shift", mean="0 degC", sd="9 degF"), "temperature")
    assert shift(np.array([0.5, stats.norm.cdf(1.0)])) == pytest.approx([0.0, 5.0], abs=1e-9)
    spread = quantile_function(row(kind="normal", mean="90 degC", sd="5 degC"), "temperature")
    assert spread(np.array([stats.norm.cdf(1.0)])) == pytest.approx(368.15, abs=1e-9)


def test_tables_and_discrete_values_come_as_often_as_they_should() -> None:
    table = row(kind="table", table=[{"value": 1, "below": 0}, {"value": 3, "below": 0.5}, {"value": 4, "below": 1}])
    assert quantile_function(table, "number")(np.array([0.25, 0.5, 0.9])) == pytest.approx([2.0, 3.0, 3.8])
    discrete = quantile_function(row(kind="discrete", values=[7, 3], weights=[1, 3]), "number")(SHARES)
    assert (discrete == 3.0).mean() == pytest.approx(0.75, abs=0.002)
    assert np.bincount(choice_of(np.array([0.2, 0.5, 0.3]), SHARES).astype(int)) == pytest.approx(
        [0.2 * 999, 0.5 * 999, 0.3 * 999], abs=1.0
    )


def test_times_to_failure_are_exponential_or_weibull() -> None:
    rate = time_to_failure(Failure(name="a", do="leak seal", rate=0.02), SHARES)
    assert rate == pytest.approx(stats.expon(scale=50 * YEAR).ppf(SHARES), rel=1e-9)
    worn = time_to_failure(
        Failure.model_validate({"name": "a", "do": "leak seal", "scale": "3650 day", "shape": 2.5}), SHARES
    )
    assert worn == pytest.approx(stats.weibull_min(2.5, scale=3650 * 86400).ppf(SHARES), rel=1e-9)


@pytest.mark.parametrize(
    ("given", "mean", "sd"),
    [
        ({"kind": "normal", "p90": 5, "p10": 15}, 10.0, 5.0 / stats.norm.ppf(0.9)),
        ({"kind": "lognormal", "mean": 10, "sd": 5}, 10.0, 5.0),
        ({"kind": "triangular", "low": 2, "likely": 3, "high": 7}, 4.0, np.sqrt((4 + 9 + 49 - 6 - 14 - 21) / 18.0)),
        ({"kind": "uniform", "low": -1, "high": 3}, 1.0, 4.0 / np.sqrt(12.0)),
        ({"kind": "discrete", "values": [1, 2, 5], "weights": [1, 2, 1]}, 2.5, np.sqrt(34.0 / 4.0 - 6.25)),
        ({"kind": "table", "table": [{"value": v, "below": p} for v, p in ((0, 0), (2, 0.25), (3, 1))]}, 2.125,
         np.sqrt(0.25 * 4.0 / 3.0 + 0.75 * 19.0 / 3.0 - 2.125**2)),
    ],
)  # fmt: skip
def test_moments_are_those_in_closed_form(given, mean, sd) -> None:
    """Mean and spread of a kind from its own formula (Johnson, Kotz and Balakrishnan 1994); of a table piece by piece:
    a piece from a to b has the mean square (a2 + ab + b2) / 3."""
    shares = (np.arange(400_000) + 0.5) / 400_000
    values = quantile_function(row(**given), "number")(shares)
    assert (values.mean(), values.std()) == pytest.approx((mean, sd), rel=1e-3)

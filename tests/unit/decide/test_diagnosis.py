"""The diagnostic slopes on ratios whose slopes follow from calculus."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.decide.diagnosis import diagnose, mechanism_of, slopes, water_ratio
from planner.model.results import Forecast
from tests.unit.synthetic import made_case, made_forecast

DAYS = np.arange(30.0, 3000.0, 30.0)


@pytest.mark.parametrize(
    ("ratio", "slope", "mechanism"),
    [
        (0.1 * (DAYS / 30.0) ** 2, 1.0, "channelling"),  # d/dt t^2 ~ t
        (0.1 * (DAYS / 30.0), 0.0, "even displacement"),  # a straight line has a flat derivative
        (0.1 + 0.3 * np.log(DAYS / 20.0), -1.0, "coning"),  # d/dt ln t = 1 / t
        (2.0 * np.sqrt(DAYS / 30.0), -0.5, "coning"),  # d/dt t^(1/2) ~ t^(-1/2)
    ],
)
def test_slope_of_the_derivative(ratio, slope, mechanism):
    found = slopes(DAYS, ratio)
    assert found.derivative == pytest.approx(slope, abs=0.03)
    assert mechanism_of(found, float(ratio[-1])) == mechanism


def test_slope_of_the_ratio_itself():
    assert slopes(DAYS, 0.1 * (DAYS / 30.0) ** 1.7).ratio == pytest.approx(1.7, abs=1e-9)


def test_only_what_came_after_the_water_counts():
    """Dry for 1500 days, then a straight rise; the rows before it would bend the slope."""
    ratio = np.where(DAYS > 1500.0, 0.02 * (DAYS - 1470.0) / 30.0, 0.0)
    found = slopes(DAYS, ratio)
    assert found.points == int((DAYS > 1500.0).sum())
    assert found.derivative == pytest.approx(0.0, abs=0.05)


def test_too_few_rows_tell_nothing():
    found = slopes(DAYS[:5], np.ones(5))
    assert np.isnan(found.derivative) and mechanism_of(found, 1.0) == "too little to tell"
    assert mechanism_of(found, 0.0) == "dry"


def test_rows_in_which_the_well_stands_are_left_out():
    ratio = 0.1 * (DAYS / 30.0) ** 2
    ratio[20:24] = np.nan
    assert slopes(DAYS, ratio).derivative == pytest.approx(1.0, abs=0.05)


def wet(power: float) -> Forecast:
    """The made-up forecast with a lower zone whose water-oil ratio rises with a power of time."""
    made = made_forecast()
    zone = {name: values.copy() for name, values in made.zone.items()}
    zone["water_rate"][:, 1] = 0.05 * (made.days / 30.0) ** power * zone["oil_rate"][:, 1]
    well = {**made.well, "water_rate": zone["water_rate"].sum(axis=1)}
    return replace(made, zone=zone, well=well)


def test_the_wet_zone_is_found_with_its_share():
    case, forecast = made_case(), wet(2.0)
    whole, (upper, lower) = diagnose(case, forecast, len(forecast.days) - 1)
    assert (upper.mechanism, upper.share_of_water) == ("dry", 0.0)
    assert (lower.mechanism, lower.plot) == ("channelling", "channelling")
    assert lower.share_of_water == pytest.approx(1.0)
    assert whole.zone == "" and whole.water_rate == pytest.approx(lower.water_rate)
    assert water_ratio(forecast, 1)[-1] == pytest.approx(lower.ratio)


def test_a_model_that_cannot_cone_is_not_said_to_cone():
    """One layer a zone and no vertical flow: the falling derivative is told, the mechanism is not coning."""
    forecast = wet(0.3)
    _, (_, lower) = diagnose(made_case(), forecast, len(forecast.days) - 1)
    assert lower.plot == "coning" and lower.mechanism == "even displacement"
    assert any("no flow between layers" in reason for reason in lower.reasons)
    coning = made_case(numerics={"vertical_flow": True})
    assert diagnose(coning, forecast, len(forecast.days) - 1)[1][1].mechanism == "coning"


def test_a_spent_dry_zone_is_depleted():
    made = made_forecast()
    zone = {**made.zone, "pressure": made.zone["pressure"] * np.linspace(1.0, 0.5, len(made.days))[:, None]}
    _, (upper, _) = diagnose(made_case(), replace(made, zone=zone), len(made.days) - 1)
    assert upper.mechanism == "depletion"

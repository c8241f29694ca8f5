"""Comparison of made-up forecasts in round numbers."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from planner.base.errors import CaseError
from planner.decide.compare import Ran, chosen_what_ifs, comparison_of, outcome, outcomes
from tests.unit.synthetic import made_case, made_forecast, shut_lower


def test_outcome_of_well_and_zones():
    """Two years of 730 days: 30 and 10 m3/d of oil out of 200 000 and 100 000 m3; 10 m3/d of water."""
    base = made_forecast()
    found = outcome(base, base)
    assert found.oil_volume == 730 * 40.0
    assert found.water_volume == 730 * 10.0
    assert found.recovery_factor == pytest.approx(730 * 40.0 / 300_000.0)
    assert [zone.recovery_factor for zone in found.zones] == pytest.approx([730 * 30 / 2e5, 730 * 10 / 1e5])
    assert [zone.water_arrival for zone in found.zones] == ["", "2030-04-11"]
    assert found.water_arrival == "2030-04-11"
    assert found.peak_water_cut == pytest.approx(0.2)
    assert found.well_end == "2032-01-01"
    assert [limit.where for limit in found.broken] == ["upper"]


def test_recovery_of_a_gas_well_is_of_gas_and_an_injector_has_none():
    forecast = made_forecast()
    for kind, expected in (("gas producer", 730 * 4000.0 / 15e6), ("water injector", math.nan)):
        other = replace(forecast, description=replace(forecast.description, kind=kind))
        assert outcome(other, other).recovery_factor == pytest.approx(expected, nan_ok=True)


def test_comparison_keeps_differences_money_and_reasons():
    case = made_case()
    ran = [
        Ran(None, made_forecast()),
        Ran(shut_lower(), made_forecast("shut lower", "lower")),
        Ran(case.what_ifs[1], refused="no blank pipe above it"),
        Ran(case.what_ifs[2], failed="the pressure went below nought"),
    ]
    comparison = comparison_of(case, ran)
    base, shut = outcomes(comparison)
    assert shut.oil_difference == -365 * 10.0 and shut.water_difference == -365 * 10.0
    assert base.oil_difference == 0.0
    assert comparison.refused == {"shut upper": "no blank pipe above it"}
    assert comparison.extra["failed"] == {"seal leaks": "the pressure went below nought"}
    assert set(comparison.money) == {"base", "shut lower"}
    assert comparison.money["shut lower"]["job_cost"] == 500_000.0


def test_a_comparison_needs_a_base():
    with pytest.raises(ValueError, match="base"):
        comparison_of(made_case(), [Ran(None, failed="no")])


def test_what_ifs_are_chosen_by_name_in_the_order_of_the_case():
    case = made_case()
    assert chosen_what_ifs(case, None) == case.what_ifs
    assert [one.name for one in chosen_what_ifs(case, ["seal leaks", "shut lower"])] == ["shut lower", "seal leaks"]
    assert chosen_what_ifs(case, ["base"]) == ()
    with pytest.raises(CaseError, match="shut lower") as wrong:
        chosen_what_ifs(case, ["nothing of the sort"])
    assert "nothing of the sort" in str(wrong.value)

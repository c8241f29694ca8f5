"""The shipped gas injector: profile, mass, limits, the weight of its gas column by an outside equation of state."""

from __future__ import annotations

import math
import re
from pathlib import Path

import CoolProp.CoolProp as coolprop
import numpy as np
import pytest

from planner import api
from planner.base.constants import DAY
from planner.model.results import Comparison, Forecast

CASE = Path(__file__).parents[2] / "cases" / "curlew"
ROW = re.compile(r"^\| (?P<name>[^|]+?) \| (?P<rates>\d+(?: \| \d+){3}) \|$", re.MULTILINE)
STRADDLE, STAGE = "straddle over Hazel", "straddle over Hazel, another compressor stage"
HAZEL = 1
AT = 60  # row of 1 January 2034


@pytest.fixture(scope="module")
def curlew() -> Comparison:
    return api.compare(api.read_case(CASE))


def by_name(comparison: Comparison, name: str) -> Forecast:
    return comparison.base if name == "base" else next(r for r in comparison.others if r.name == name)


def test_profile_is_that_of_the_readme(curlew: Comparison) -> None:
    text = (CASE / "README.md").read_text(encoding="utf-8")
    told = {row["name"]: [float(x) for x in row["rates"].split(" | ")] for row in ROW.finditer(text)}
    assert set(told) == {"base", *(one.name for one in curlew.others)}
    for name, rates in told.items():
        profile = by_name(curlew, name).zone["gas_rate"][AT] * DAY / 1e3
        assert profile == pytest.approx(rates, rel=0.02, abs=1.0), name


def test_zones_take_what_goes_in_and_none_gives_back(curlew: Comparison) -> None:
    for result in (curlew.base, *curlew.others):
        profile, total = result.zone["gas_rate"][1:] * DAY, result.well["gas_rate"][1:] * DAY
        assert np.all(total > 4e5)
        assert profile.sum(axis=1) == pytest.approx(total, rel=2e-3), result.name
        assert np.all(profile > -1e-3), result.name
        assert np.abs(result.well["water_rate"]).max() * DAY < 1e-3
        assert np.abs(result.well["oil_rate"]).max() * DAY < 1e-3
        assert max(abs(share) for share in result.facts.balance.values()) < 1e-6


def test_pressures_stay_below_the_limits_but_with_another_stage(curlew: Comparison) -> None:
    broken = {(r.name, check.name) for r in (curlew.base, *curlew.others) for check in r.limits if check.broken}
    assert broken == {
        (STAGE, "injection below fracture pressure"),
        (STAGE, "differential across seal or plug"),
    }


def test_a_leaking_seal_gives_the_thief_its_gas_back(curlew: Comparison) -> None:
    tight, leaking = by_name(curlew, STRADDLE), by_name(curlew, f"{STRADDLE}, seal 1 leaks")
    assert tight.zone["gas_rate"][AT][HAZEL] * DAY == pytest.approx(0.0, abs=1.0)
    before = int(np.searchsorted(tight.days, 731.0)) + 12  # the straddle sits, the seal still holds
    assert leaking.zone["gas_rate"][before][HAZEL] * DAY == pytest.approx(0.0, abs=1.0)
    more = leaking.zone["gas_rate"][AT] - tight.zone["gas_rate"][AT]
    assert more[HAZEL] * DAY > 2e4
    assert np.all(np.delete(more, HAZEL) < 0.0)
    # and the well as a whole takes more, so that it looks better from above
    assert leaking.well["gas_rate"][AT] > tight.well["gas_rate"][AT]


def column(wellhead: float, rate: float) -> float:
    """Pressure [Pa] under the tubing of the case at a surface rate [sm3/s], by hand.

    Gas of gravity 0.65 as a mixture of methane and ethane of its molar mass (CoolProp, Helmholtz energy as in
    GERG-2008); temperature relaxes to the rock's along the pipe (Ramey 1962, steady); friction by Haaland 1983;
    survey of the case.
    """
    diameter, roughness, transfer, length = 0.076, 3e-5, 25.0, 2584.0
    area, mass_of_mole = math.pi / 4 * diameter**2, 0.65 * 28.964e-3
    ethane = (mass_of_mole - 16.043e-3) / (30.07e-3 - 16.043e-3)
    state = coolprop.AbstractState("HEOS", "Methane&Ethane")
    state.set_mole_fractions([1.0 - ethane, ethane])
    state.specify_phase(coolprop.iphase_supercritical_gas)
    mass = rate * 101325.0 * mass_of_mole / (8.314463 * 288.15)
    turns = np.radians(np.array([0.0, 0.0, 12.0, 24.0, 24.0, 23.0])), [0.0, 600.0, 950.0, 1300.0, 2000.0, 2800.0]
    steps = 100
    step, pressure, temperature, true_vertical = length / steps, wellhead, 285.15, 0.0
    bottom = sum(step * math.cos(np.interp((k + 0.5) * step, turns[1], turns[0])) for k in range(steps))
    for k in range(steps):
        fall = step * math.cos(np.interp((k + 0.5) * step, turns[1], turns[0]))
        state.update(coolprop.PT_INPUTS, pressure, temperature)
        density, heat = state.rhomass(), state.cpmass()
        speed = mass / density / area
        reynolds = density * speed * diameter / 2.5e-5
        friction = (-1.8 * math.log10((roughness / diameter / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
        pressure += density * 9.80665 * fall - friction * density * speed**2 / (2 * diameter) * step
        rock = 285.15 + (365.15 - 285.15) * (true_vertical + fall / 2) / bottom
        temperature += (rock - temperature) * step * math.pi * diameter * transfer / (mass * heat)
        true_vertical += fall
    return pressure


def test_weight_of_the_gas_column(curlew: Comparison) -> None:
    # 2 % of the pressure: reference equation, two components and a round viscosity against the engine's correlations
    result = by_name(curlew, STRADDLE)
    assert result.control[AT] == "wellhead pressure"
    found = float(result.well["bottom_hole_pressure"][AT])
    by_hand = column(250e5, float(result.well["gas_rate"][AT]))
    assert found == pytest.approx(by_hand, rel=0.02)
    assert 0.015e5 < (found - 250e5) / 2400.0 < 0.025e5

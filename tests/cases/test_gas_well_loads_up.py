"""The shipped gas well that loads up: limit before death, its day by Turner's published form, what buys time."""

from __future__ import annotations

import math
import re
from datetime import date
from pathlib import Path

import CoolProp.CoolProp as coolprop
import numpy as np
import pytest

from planner import api
from planner.base.constants import DAY
from planner.forecast.run import forecast
from planner.model.results import Comparison, Forecast, LimitSeries
from planner.network.lift import column_of_case

CASE = Path(__file__).parents[2] / "cases" / "siskin"
ROW = re.compile(r"^\| (?P<name>[^|]+?) \| (?P<slow>never|\d{4}-\d\d-\d\d) \| (?P<dies>\d{4}-\d\d-\d\d) \|$", re.M)
LIFTS = "gas velocity that lifts liquid"
DIAMETER = 0.076


@pytest.fixture(scope="module")
def siskin() -> Comparison:
    return api.compare(api.read_case(CASE))


def by_name(comparison: Comparison, name: str) -> Forecast:
    return comparison.base if name == "base" else next(r for r in comparison.others if r.name == name)


def flagged(result: Forecast) -> float:
    """First day [d] on which the gas was too slow anywhere; inf: never."""
    broken = [check.first_broken_day for check in result.limits if check.name == LIFTS and check.broken]
    return min(broken, default=math.inf)


def death(result: Forecast) -> tuple[float, str]:
    """Day and date of the last death."""
    last = [h for h in result.happenings if "dies" in h.text][-1]
    return last.day, last.date


def at_foot(result: Forecast) -> LimitSeries:
    """Gas against its least velocity at the top of the string, which is as wide as the tubing."""
    return next(one for one in result.limit_series if one.name == LIFTS and one.where == "top of the string")


def by_hand(result: Forecast, row: int, tension: float | None = None) -> tuple[float, float]:
    """Gas velocity and the least that lifts water [m/s] at the top of the string, from recorded rate and pressure.

    Turner, Hubbard and Dukler 1969 in the units of the paper: 1.593 (sigma (rho_l - rho_g))^(1/4) / rho_g^(1/2) ft/s
    with dyn/cm and lb/ft3, and their 20 %. Gas of gravity 0.65 as methane and ethane of its molar mass, water by
    CoolProp, 4 % of salt as 0.7 % of density for each (from memory). Tension: by default Hough et al. 1951 in the fit
    of Beggs and Brill (psia, degF).
    """
    pressure, temperature = float(result.well["bottom_hole_pressure"][row]), 355.15
    mole = 0.65 * 28.964e-3
    ethane = (mole - 16.043e-3) / (30.07e-3 - 16.043e-3)
    state = coolprop.AbstractState("HEOS", "Methane&Ethane")
    state.set_mole_fractions([1.0 - ethane, ethane])
    state.specify_phase(coolprop.iphase_supercritical_gas)
    state.update(coolprop.PT_INPUTS, pressure, temperature)
    gas = state.rhomass()
    water = coolprop.PropsSI("D", "P", pressure, "T", temperature, "Water") * (1.0 + 0.7 * 0.04)
    mass = float(result.well["gas_rate"][row]) * 101325.0 * mole / (8.314463 * 288.15)
    if tension is None:
        psia, share = pressure / 6894.757, (180.0 - 0.4 - 74.0) / 206.0  # 82 degC is 179.6 degF
        cold, hot = 75.0 - 1.108 * psia**0.349, 53.0 - 0.1048 * psia**0.637
        tension = cold + (hot - cold) * share
    cubic = 16.01846  # kg/m3 in a lb/ft3
    least = 1.2 * 1.593 * (tension * (water - gas) / cubic) ** 0.25 / (gas / cubic) ** 0.5 * 0.3048
    return mass / gas / (math.pi / 4 * DIAMETER**2), least


def crossing(days: np.ndarray, margin: np.ndarray) -> float:
    """Day on which a margin passes 0, straight between report dates."""
    k = int(np.flatnonzero(margin < 0.0)[0])
    return float(days[k - 1] + (days[k] - days[k - 1]) * margin[k - 1] / (margin[k - 1] - margin[k]))


def test_days_are_those_of_the_readme(siskin: Comparison) -> None:
    text = (CASE / "README.md").read_text(encoding="utf-8")
    told = {row["name"]: (row["slow"], row["dies"]) for row in ROW.finditer(text)}
    assert set(told) == {"base", *(one.name for one in siskin.others)}
    for name, (slow, dies) in told.items():
        result = by_name(siskin, name)
        first = flagged(result)
        found = "never" if math.isinf(first) else str(result.dates[int(np.searchsorted(result.days, first))])
        # a death may move by days when the engine is refined, a report date by one
        assert (found == "never") == (slow == "never"), name
        if slow != "never":
            assert abs(np.datetime64(found[:10]) - np.datetime64(slow)) <= np.timedelta64(31, "D"), name
        assert abs(np.datetime64(death(result)[1][:10]) - np.datetime64(dies)) <= np.timedelta64(31, "D"), name


def test_the_limit_is_crossed_before_the_well_dies(siskin: Comparison) -> None:
    base = siskin.base
    assert 1000.0 < flagged(base) < death(base)[0] - 100.0
    assert base.well["water_rate"][base.days < death(base)[0]].max() * DAY > 50.0
    # and not before water came
    arrived = next(h.day for h in base.happenings if h.kind == "water arrives")
    assert arrived < flagged(base)


def test_its_day_is_that_of_turner_by_hand(siskin: Comparison) -> None:
    base, told = siskin.base, at_foot(siskin.base)
    rows = [k for k in range(1, len(base.days)) if base.well["gas_rate"][k] > 0.0]
    hand = np.array([by_hand(base, k) for k in rows])
    # 3 %: a gravity alone leaves the gas open, here two components, in the engine the mean of natural gases (z 1 to
    # 2.5 % apart); the least velocity goes with the root of the density
    assert told.value[rows] == pytest.approx(hand[:, 0], rel=0.03)
    assert told.limit[rows] == pytest.approx(hand[:, 1], rel=0.015)
    days = base.days[rows]
    day = crossing(days, hand[:, 0] - hand[:, 1])
    assert day == pytest.approx(crossing(days, told.value[rows] - told.limit[rows]), abs=5.0)
    first = flagged(base)
    before = float(base.days[int(np.searchsorted(base.days, first)) - 1])
    assert before < day <= first
    # the paper's round 60 dyn/cm for water: higher by 4 %, the day within the same month
    rounded = np.array([by_hand(base, k, 60.0) for k in rows])
    assert crossing(days, rounded[:, 0] - rounded[:, 1]) == pytest.approx(day, abs=20.0)


def test_the_jobs_extend_or_revive_it(siskin: Comparison) -> None:
    base = siskin.base
    end, gas = death(base)[0], float(base.well["gas_volume"][-1])
    assert base.well["gas_rate"][-1] == pytest.approx(0.0, abs=1e-9)
    for result in siskin.others:
        assert death(result)[0] > end + 60.0, result.name
        later = result.days > end + 20.0
        assert result.well["gas_rate"][later].max() * DAY > 2e4, result.name
    best = by_name(siskin, "plug above Sedge, then compressor")
    assert math.isinf(flagged(best))
    assert max(siskin.money, key=lambda name: siskin.money[name]["npv"]) == best.name
    assert float(best.well["gas_volume"][-1]) > 1.2 * gas
    plugged = by_name(siskin, "plug above Sedge")
    assert plugged.well["water_volume"][-1] < 0.05 * base.well["water_volume"][-1]
    assert by_name(siskin, "smaller tubing").well["gas_volume"][-1] < gas


def test_mass_signs_and_the_march(siskin: Comparison) -> None:
    column = column_of_case(api.read_case(CASE))
    for result in (siskin.base, *siskin.others):
        assert max(abs(share) for share in result.facts.balance.values()) < 1e-6
        assert result.well["gas_rate"].min() > -1e-9
        assert np.all(np.diff(result.well["gas_volume"]) > -1e-3)
    base = siskin.base
    # up to 1 m3 of water in 1000 m3 of gas, where the table of the tubing ends
    ratio = base.well["water_rate"] / np.maximum(base.well["gas_rate"], 1e-9)
    held = [k for k, mode in enumerate(base.control) if mode == "wellhead pressure" and ratio[k] <= 1e-3]
    assert len(held) >= 10
    for k in held:
        exact = column.bottom_hole_pressure(
            45e5, *(float(base.well[name][k]) for name in ("oil_rate", "water_rate", "gas_rate"))
        )
        assert float(base.well["bottom_hole_pressure"][k]) == pytest.approx(exact, rel=0.01)


def test_water_that_was_pressed_into_a_sand_and_comes_back_is_no_arrival():
    """Dead for two months, Sedge's water runs into Gorse and Broom; a kick-off brings it back, no water of theirs."""
    case = api.read_case(CASE)
    (what_if,) = [one for one in case.what_ifs if one.name == "compressor when the gas is too slow"]
    late = what_if.events[0].model_copy(update={"on": date(2034, 1, 16)})
    found = forecast(case, what_if.model_copy(update={"events": (late,)}), until=date(2034, 3, 1))
    assert (found.zone["water_volume"][-1][:2] < -100.0).all()  # both have taken more than they gave
    assert [one.where for one in found.happenings if one.kind == "water arrives"] == ["Sedge"]

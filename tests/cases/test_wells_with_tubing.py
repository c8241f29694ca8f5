"""The shipped wells with a tubing: profile, signs, mass, the direct march at what was recorded, death and revival."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from planner import api
from planner.base.constants import DAY
from planner.model.results import Comparison, Forecast
from planner.network.lift import column_of_case

CASES = Path(__file__).parents[2] / "cases"
ROW = re.compile(r"^\| (?P<name>[^|]+?) \| (?P<rates>\d+(?: \| \d+){3}) \|$", re.MULTILINE)


@pytest.fixture(scope="module")
def dipper() -> Comparison:
    return api.compare(api.read_case(CASES / "dipper"))


@pytest.fixture(scope="module")
def dunlin() -> Comparison:
    return api.compare(api.read_case(CASES / "dunlin"))


def departures(name: str, result: Forecast, pressure: float) -> np.ndarray:
    """Bottom-hole pressure over that of the direct march, at the rows controlled by the wellhead pressure [Pa]."""
    column = column_of_case(api.read_case(CASES / name))
    found = []
    for k, mode in enumerate(result.control):
        rates = [abs(float(result.well[stream][k])) for stream in ("oil_rate", "water_rate", "gas_rate")]
        if mode == "wellhead pressure":
            exact = column.bottom_hole_pressure(pressure, *rates)
            found.append(float(result.well["bottom_hole_pressure"][k]) / exact - 1.0)
    return np.array(found)


def by_name(comparison: Comparison, name: str) -> Forecast:
    return comparison.base if name == "base" else next(r for r in comparison.others if r.name == name)


def test_profile_of_dipper_is_that_of_its_readme(dipper: Comparison) -> None:
    text = (CASES / "dipper" / "README.md").read_text(encoding="utf-8")
    told = {row["name"]: [float(x) for x in row["rates"].split(" | ")] for row in ROW.finditer(text)}
    assert len(told) == 6
    for name, rates in told.items():
        result = by_name(dipper, name)
        profile = result.zone["water_rate"][60] * DAY
        assert profile == pytest.approx(rates, rel=0.03, abs=3.0), name
        # the zones take what goes in, none gives back
        assert profile.sum() == pytest.approx(float(result.well["water_rate"][60]) * DAY, rel=1e-3)
        assert np.all(profile > -1e-6)


def test_dipper_stays_below_its_limits_but_with_the_booster(dipper: Comparison) -> None:
    broken = {r.name for r in (dipper.base, *dipper.others) for check in r.limits
              if "fracture" in check.name and np.isfinite(check.first_broken_day)}  # fmt: skip
    assert broken == {"straddle over Alder, booster pump"}
    shut = by_name(dipper, "straddle over Alder")
    found = departures("dipper", shut, 95e5)
    assert len(found) > 50
    assert np.abs(found).max() < 0.01


def test_mass_of_both_wells(dipper: Comparison, dunlin: Comparison) -> None:
    for result in (dipper.base, *dipper.others, dunlin.base, *dunlin.others):
        assert max(abs(share) for share in result.facts.balance.values()) < 1e-6


def test_pressure_of_dunlin_is_that_of_the_march(dunlin: Comparison) -> None:
    # every row of the base that the wellhead pressure holds, until the day it dies
    found = departures("dunlin", dunlin.base, 14e5)
    assert len(found) >= 5
    assert np.abs(found).max() < 0.01


def test_every_job_brings_dunlin_back(dunlin: Comparison) -> None:
    died = next(h for h in dunlin.base.happenings if "dies" in h.text)
    assert dunlin.base.well["liquid_rate"][-1] == pytest.approx(0.0, abs=1e-9)
    for result in dunlin.others:
        after = result.days > died.day + 150.0
        assert result.well["oil_rate"][after].max() * DAY > 100.0, result.name


def test_dunlin_dies_when_no_rate_satisfies_sands_and_tubing(dunlin: Comparison) -> None:
    # by hand: inflow of the last row alive, straight from the pressure at which the well then stands (Heath, drawn
    # down, takes what the others give), against the direct march at the water cut of the weeks that follow
    case, base = api.read_case(CASES / "dunlin"), dunlin.base
    column = column_of_case(case)
    last = max(k for k, mode in enumerate(base.control) if mode == "wellhead pressure")
    standing = float(base.well["bottom_hole_pressure"][last + 1])
    liquid = float(base.well["liquid_rate"][last])
    index = liquid / (standing - float(base.well["bottom_hole_pressure"][last]))
    ratio = float(base.well["gas_rate"][last] / base.well["oil_rate"][last])
    rates = np.linspace(20.0, 1200.0, 120) / DAY

    def spare(water_cut: float) -> float:
        """Most pressure left over at any rate."""
        left = [
            standing - q / index
            - column.bottom_hole_pressure(14e5, q * (1.0 - water_cut), q * water_cut, q * (1.0 - water_cut) * ratio)
            for q in rates
        ]  # fmt: skip
        return max(left)

    assert spare(float(base.well["water_cut"][last])) > 0.0
    # what the same sands give when gas lift carries it: too heavy to rise by itself
    lifted = by_name(dunlin, "gas lift when the well is dead")
    wet = int(np.searchsorted(lifted.days, next(h for h in base.happenings if "dies" in h.text).day + 150.0))
    assert lifted.well["water_cut"][wet] > 0.4
    assert spare(float(lifted.well["water_cut"][wet])) < 0.0

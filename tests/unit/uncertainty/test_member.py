"""A member: draws in their places; failures become events; failed jobs cost money and do nothing."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from planner.base.errors import CaseError
from planner.decide.jobs import jobs_done
from planner.forecast.run import forecast
from planner.model.change import ChangeControl, LeakSeal, PlugScreen
from planner.model.ensemble import Draws
from planner.model.paths import read
from planner.uncertainty.draws import draw, inputs_of
from planner.uncertainty.member import member_of, what_if_of_member
from tests.building import MD
from tests.unit.uncertainty.ranged import KH, PERMEABILITY, PRESSURE, ranged_case

ZONES = {"upper": ("A",), "lower": ("B",)}
YEAR = 365.25 * 86400.0


def one_member(case, *values: float):
    return member_of(case, Draws(inputs_of(case, ZONES), np.array([values])), 0, ZONES)


def test_draws_are_put_as_value_multiplier_and_shift() -> None:
    member = one_member(ranged_case(), 80 * MD, 1.5, -3e5)
    assert read(member.case, "layers.A.permeability") == 80 * MD
    assert read(member.case, "layers.B.permeability") == pytest.approx(150 * MD, rel=1e-12)
    assert read(member.case, "compartments.c.pressure") == pytest.approx(217e5)
    assert (member.case.uncertain, member.events) == ((), ())


def test_ranges_of_one_input_act_one_after_another() -> None:
    case = ranged_case(uncertain=[PERMEABILITY, {**KH, "path": "layers.*.permeability"}])
    member = one_member(case, 80 * MD, 1.5)
    assert read(member.case, "layers.A.permeability") == pytest.approx(120 * MD, rel=1e-12)
    assert read(member.case, "layers.B.permeability") == pytest.approx(150 * MD, rel=1e-12)


def test_a_what_if_takes_the_draws_of_its_own_events() -> None:
    case = ranged_case(
        uncertain=[{"name": "s", "path": "what_ifs.acid.events.0.skin", "kind": "uniform", "low": -3, "high": 0}]
    )
    member = one_member(case, -1.25)
    asked = what_if_of_member(case, case.what_ifs[0], member)
    assert asked is not None and asked.events[0].skin == -1.25  # type: ignore[union-attr]
    assert what_if_of_member(case, None, member) is None


def test_alternatives_set_what_their_choice_says() -> None:
    case = ranged_case(
        uncertain=[PRESSURE],
        alternatives=[{"name": "edge", "choices": [
            {"name": "open", "probability": 0.5},
            {"name": "shut", "probability": 0.5, "set": {"layers.A.support": "", "layers.B.skin": "+2"}},
        ]}],
    )  # fmt: skip
    assert one_member(case, 0.0, 0.0).case.layers[0].support == "edge"
    shut = one_member(case, 0.0, 1.0).case
    assert (shut.layers[0].support, shut.layers[1].skin) == ("", 5.0)


FAILURES = [
    {"name": "leak", "do": "leak seal", "element": "seal 1", "conductance": "1 m^3/day/bar", "rate": 0.1},
    {"name": "plugging", "do": "plug screen", "zone": "lower", "remaining": 0.3, "scale": "3650 day", "shape": 2.0},
    {"name": "job", "do": "job fails", "job": "shut zone", "zone": "upper", "success": 0.9},
]


def test_failures_within_the_schedule_are_events_of_every_what_if() -> None:
    case = ranged_case(uncertain=[], failures=FAILURES)
    member = one_member(case, 0.5 * YEAR, 30 * YEAR, 1.0)
    for what_if in (None, *case.what_ifs):
        asked = what_if_of_member(case, what_if, member)
        assert asked is not None
        leak = asked.events[-1]
        assert isinstance(leak, LeakSeal) and leak.on == date(2027, 7, 2) and leak.conductance > 0.0
        assert asked.name == (what_if.name if what_if else "base")
        assert not any(isinstance(event, PlugScreen) for event in asked.events)
    assert forecast(member.case, what_if_of_member(case, None, member)).happenings


def test_a_failed_job_costs_its_money_and_changes_nothing() -> None:
    case = ranged_case(uncertain=[], failures=FAILURES)
    never = 1e12
    works, fails = one_member(case, never, never, 1.0), one_member(case, never, never, 0.0)
    shut = case.what_ifs[1]
    assert what_if_of_member(case, shut, works) == shut
    tried = what_if_of_member(case, shut, fails)
    assert tried is not None and isinstance(tried.events[0], ChangeControl)
    assert what_if_of_member(case, case.what_ifs[0], fails) == case.what_ifs[0]
    base, run = forecast(case), forecast(case, tried)
    assert run.well["oil_volume"][-1] == pytest.approx(base.well["oil_volume"][-1], rel=1e-5)
    assert [(job.cost, job.day) for job in jobs_done(case, tried, run)] == [(1e6, date(2028, 1, 1))]


def test_draws_that_do_not_fit_together_are_refused() -> None:
    case = ranged_case(
        compartments=[{"name": "c", "datum": "2000 m", "pressure": "220 bar", "oil_water_contact": "2100 m",
                       "gas_oil_contact": "1990 m"}],
        uncertain=[{"name": "contact", "path": "compartments.c.oil_water_contact", "kind": "uniform", "low": "1900 m",
                    "high": "2100 m"}],
    )  # fmt: skip
    with pytest.raises(CaseError, match="gas-oil contact is not above"):
        one_member(case, 1950.0)
    with pytest.raises(CaseError, match="must be above 0"):
        one_member(ranged_case(uncertain=[PERMEABILITY]), -1.0)


def test_a_job_with_a_chance_is_drawn_once_for_all_what_ifs() -> None:
    """Its own chance stands for a row of failures; where it fails it costs its money and its time all the same."""
    shut = {"do": "shut zone", "zone": "upper", "on": "2028-01-01", "chance": 0.7, "cost": 5e5, "duration": "10 day"}
    case = ranged_case(uncertain=[KH], what_ifs=[
        {"name": "shut", "events": [shut]},
        {"name": "shut later", "events": [{**shut, "on": "2028-06-01"}]},
    ])  # fmt: skip
    inputs = inputs_of(case, ZONES)
    assert [one.name for one in inputs] == ["kh", "shut zone upper, chance 0.7"]
    drawn = draw(case, 100, 1, ZONES).column("shut zone upper, chance 0.7")
    assert (drawn == 1.0).mean() == pytest.approx(0.7, abs=0.011)
    works, fails = one_member(case, 1.0, 1.0), one_member(case, 1.0, 0.0)
    for what_if in case.what_ifs:
        assert what_if_of_member(case, what_if, works) == what_if
        tried = what_if_of_member(case, what_if, fails)
        assert tried is not None and isinstance(tried.events[0], ChangeControl)
        assert (tried.events[0].cost, tried.events[0].duration) == (5e5, 10 * 86400.0)


def test_chances_of_failure_over_time_are_those_in_closed_form() -> None:
    """Share of the members whose seal leaks, or whose screen plugs, before a day: exponential and Weibull. With 500
    evenly spread draws each share lies within one member of the closed form, whole days aside."""
    end = {"start": "2027-01-01", "end": "2047-01-01", "report": "year"}
    case = ranged_case(uncertain=[], failures=FAILURES[:2], schedule=end)
    draws = draw(case, 500, 1, ZONES)
    events = [one for k in range(500) for one in member_of(case, draws, k, ZONES).events]
    leaks = [one.on for one in events if isinstance(one, LeakSeal)]
    plugs = [one.on for one in events if isinstance(one, PlugScreen)]
    for years in (1, 5, 12, 20):
        day = date(2027 + years, 1, 1)
        time = (day - date(2027, 1, 1)).days
        leak = 1.0 - np.exp(-0.1 * time / 365.25)
        plug = 1.0 - np.exp(-((time / 3650.0) ** 2.0))
        assert sum(one < day for one in leaks if one) / 500 == pytest.approx(leak, abs=2.1 / 500)
        assert sum(one < day for one in plugs if one) / 500 == pytest.approx(plug, abs=2.1 / 500)

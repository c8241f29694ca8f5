"""Which events of a what-if are jobs, and that only those that came to pass are paid."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from planner.decide.jobs import jobs_done
from planner.model.change import WhatIf
from planner.model.results import Happening
from tests.unit.synthetic import made_case, made_forecast


def done(*events: dict[str, object], happenings: list[tuple[str, int | None]]) -> list[tuple[str, date, float]]:
    what_if = WhatIf.model_validate({"name": "asked", "events": events})
    seen = tuple(Happening(0.0, day, "event", "lower", "something was done", event) for day, event in happenings)
    forecast = replace(made_forecast("asked"), happenings=seen)
    return [(job.what, job.day, job.cost) for job in jobs_done(made_case(), what_if, forecast)]


def test_a_dated_job_costs_the_intervention_cost_of_the_case():
    event = {"do": "shut zone", "zone": "lower", "on": "2031-01-01"}
    found = done(event, happenings=[("2031-01-01", 0)])
    assert found == [("shut zone", date(2031, 1, 1), 500_000.0)]


def test_a_job_in_a_blank_is_told_of_the_well():
    event = {"do": "set plug", "blank": "blank 1", "on": "2031-01-01"}
    assert done(event, happenings=[("2031-01-01", 0)])[0][2] == 500_000.0


def test_a_cost_of_its_own_wins():
    event = {"do": "shut zone", "zone": "lower", "on": "2031-01-01", "cost": 7}
    assert done(event, happenings=[("2031-01-01", 0)])[0][2] == 7.0


def test_a_triggered_job_is_paid_on_the_day_on_which_it_was_done():
    event = {"do": "shut zone", "zone": "lower", "when": {"zone": "lower", "water_cut_above": 0.8}}
    seen = [("2031-05-01", None), ("2031-08-13", 0)]
    assert done(event, happenings=seen) == [("shut zone", date(2031, 8, 13), 500_000.0)]


def test_a_trigger_that_was_never_met_costs_nothing():
    event = {"do": "shut zone", "zone": "lower", "when": {"zone": "lower", "water_cut_above": 0.8}}
    assert done(event, happenings=[("2032-01-01", None)]) == []


def test_early_water_is_not_taken_for_the_job_that_answers_it():
    events = (
        {"do": "shut zone", "zone": "lower", "when": {"zone": "lower", "water_cut_above": 0.8}},
        {"do": "early water", "zone": "lower", "by": "2031-01-01"},
    )
    seen = [("2030-01-01", 1), ("2031-08-13", 0)]
    assert done(*events, happenings=seen) == [
        ("early water", date(2030, 1, 1), 0.0),
        ("shut zone", date(2031, 8, 13), 500_000.0),
    ]


@pytest.mark.parametrize("happenings", [[], [("2031-01-01", None)], [("2031-01-01", 1)]])
def test_what_never_came_to_pass_costs_nothing(happenings):
    assert done({"do": "shut zone", "zone": "lower", "on": "2031-01-01"}, happenings=happenings) == []


def test_a_misfortune_costs_nothing_unless_the_case_says_so():
    leak = {"do": "leak seal", "element": "seal 1", "conductance": 0.0, "on": "2031-01-01"}
    leak["conductance"] = "1 m^3/day/bar"
    happened = [("2031-01-01", 0)]
    assert done(leak, happenings=happened)[0][2] == 0.0
    assert done({**leak, "cost": 3}, happenings=happened)[0][2] == 3.0


def test_stimulation_is_a_job_and_damage_is_not():
    """The layers have a skin of 2: to -1 is stimulation, to 8 is damage."""
    event = {"do": "set skin", "zone": "lower", "on": "2031-01-01"}
    happened = [("2031-01-01", 0)]
    assert done({**event, "skin": -1.0}, happenings=happened)[0][2] == 500_000.0
    assert done({**event, "skin": 8.0}, happenings=happened)[0][2] == 0.0


def test_a_change_of_control_does_not_take_the_place_of_a_job_on_the_same_day():
    events = (
        {"do": "change control", "shut": False, "on": "2031-01-01"},
        {"do": "shut zone", "zone": "lower", "on": "2031-01-01"},
    )
    found = done(*events, happenings=[("2031-01-01", 0), ("2031-01-01", 1)])
    assert sorted(cost for _, _, cost in found) == [0.0, 500_000.0]


def test_the_base_has_no_jobs():
    assert jobs_done(made_case(), None, made_forecast()) == ()

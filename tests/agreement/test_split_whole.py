"""A split by its parts and as a whole, against forecasts and cash flows made here; processes and draws too."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from planner import api
from planner.decide.cure import cure
from planner.decide.jobs import jobs_done
from planner.decide.money import cash_flow
from planner.decide.split_problem import layout_of
from planner.decide.split_string import one_each, valuing_case
from planner.decide.value import net_present_value
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.split_results import SplitResult
from tests.building import element, layer, make

TERMS: dict[str, Any] = {
    "screen": {"joint_length": "10 m", "per_length": "3000 1/m", "running_speed": "200 m/hour"},
    "blank pipe": {"joint_length": "10 m", "per_length": "300 1/m", "running_speed": "300 m/hour"},
    "isolation joint": {"joint_length": "5 m", "each": 80000, "rig_time": "3 hour"},
}
MONEY: dict[str, Any] = {
    "rig_rate": "200000 1/day", "rig_time": "2 day", "elements": TERMS, "oil_price": "300 1/sm3",
    "water_cost": "25 1/m^3", "intervention_cost": 4e5,
}  # fmt: skip


def well(**changes: Any) -> Case:
    """Three sands flooded from their edges, the best one first; liquid is limited, so shutting water brings oil."""
    edge = {"support": "flood", "drainage_radius": "95 m"}
    given: dict[str, Any] = {
        "layers": [
            layer("a", 2000, 2020, permeability="60 md", **edge), layer("b", 2060, 2080, permeability="400 md", **edge),
            layer("c", 2110, 2130, permeability="150 md", **edge),
        ],
        "supports": {"flood": {"kind": "constant pressure"}},
        "string": [element("hanger", 1982, 1985), element("blank pipe", 1985, 2000), element("screen", 2000, 2130)],
        "zones": ["a", "b", "c"],
        "controls": [{"date": "2027-01-01", "bottom_hole_pressure": "150 bar", "liquid_rate": "120 m^3/day"}],
        "schedule": {"start": "2027-01-01", "end": "2035-01-01", "report": "quarter"},
        "numerics": {"friction": False, "gravity": False, "cells": 6},
        "economics": MONEY,
        "split": {"pup_joint": "5 m", "rules": [{"water_cut_above": 0.7}, {"water_cut_above": 0.9}]},
        "units": "metric",
    }  # fmt: skip
    return make(**{**given, **changes})


@pytest.fixture(scope="module")
def found() -> SplitResult:
    return api.split(well())


def worth(case: Case, what_if: WhatIf | None = None) -> float:
    """Net present value of one forecast, without the cost of the string."""
    run = forecast(case, what_if)
    flow = cash_flow(run, case.economics, jobs_done(case, what_if, run))
    return net_present_value(flow.net, case.economics.discount_rate, flow.years)


def test_the_whole_is_the_proposed_string_with_all_of_its_rules_in_one_forecast(found):
    case = well()
    layout = layout_of(case, case.split)[0]
    full = worth(valuing_case(case, layout, one_each(layout)))
    bare = found.case
    left = worth(bare)
    rules = [one for one in bare.what_ifs if one.name.endswith("by the split's rule")]
    acting = WhatIf(name="all", events=tuple(event for one in rules for event in one.events))
    assert len(rules) >= 1 and found.shut_worth > 0.0
    check = found.check
    assert check.screen_whole == pytest.approx(left - full, abs=1e-6 * abs(full))
    assert check.choice_whole == pytest.approx(worth(bare, acting) - left, rel=1e-9)
    assert check.choice_parts == pytest.approx(found.shut_worth) and check.screen_parts == pytest.approx(
        -found.lost_worth
    )
    parts = check.screen_whole - check.screen_parts + check.choice_whole - check.choice_parts
    assert check.difference == pytest.approx(parts) and check.value_parts == pytest.approx(found.value)


def test_each_number_of_seals_is_forecast_as_a_whole(found):
    assert [one.seals for one in found.checks] == sorted(found.by_seals)
    assert [one.value_parts for one in found.checks] == pytest.approx(list(found.by_seals.values()))
    assert found.checks[0].choice_whole == 0.0  # one zone: there is nothing to shut on its own
    assert found.check in found.checks


def test_the_worth_of_shutting_a_sand_is_that_of_the_rule_that_does_best_by_hand(found):
    """The lowest sand, shut by a plug on the day on which each rule fires on the string with every seal."""
    case = well()
    layout = layout_of(case, case.split)[0]
    made = valuing_case(case, layout, one_each(layout))
    (told,) = [one for one in found.groups if one.first == one.last == "b"]
    gains = []
    for limit in (0.7, 0.9):
        event = {"do": "shut zone", "zone": "b", "when": {"zone": "b", "water_cut_above": limit}}
        gains.append(worth(made, WhatIf.model_validate({"name": "b", "events": [event]})) - worth(made))
    assert told.worth == pytest.approx(max(gains), rel=2e-3) and told.worth > 0.0
    assert f"{(0.7, 0.9)[gains.index(max(gains))]:g}" in told.rule


def test_two_processes_find_what_one_finds(found):
    other = api.split(well(title="the same in another process"), processes=2)
    assert other.value == pytest.approx(found.value, rel=1e-9) and other.by_seals == pytest.approx(found.by_seals)
    assert other.tally == found.tally and other.check.value_whole == pytest.approx(found.check.value_whole, rel=1e-9)


def test_draws_that_are_the_case_change_nothing_and_others_are_their_mean(found, tmp_path):
    """Worths are expectations: over two members they are the mean of those of each."""

    def over(*permeabilities: float) -> SplitResult:
        file = tmp_path / f"draws{len(list(tmp_path.iterdir()))}.csv"
        pd.DataFrame({"layers.b.permeability [md]": permeabilities}).to_csv(file, index=False)
        return api.split(well(), draws=file)

    same = over(400.0)
    assert same.members == 1 and same.value == pytest.approx(found.value, rel=1e-9)
    low, both = over(200.0), over(200.0, 400.0)
    assert both.members == 2
    for part in range(3):
        mean = 0.5 * (low.pay_worth[1][part] + found.pay_worth[1][part])
        assert both.pay_worth[1][part] == pytest.approx(mean, rel=1e-6, abs=1e-6 * abs(found.pay_worth[1][1]))


def test_a_job_that_may_fail_is_worth_less_by_its_chance():
    ways = {"ways": {"rig": {"cost": 4e5, "chance": 0.5}}, "default_ways": {"shut zone": "rig"}}
    sure, risky = (api.split(well(economics={**MONEY, **more})) for more in ({}, ways))
    for one, other in zip(sure.groups, risky.groups, strict=True):
        if one.worth > 0.0 and one.rule == other.rule:
            assert other.if_done == pytest.approx(one.if_done, rel=1e-9)
            assert other.worth < one.worth


def test_the_proposed_case_goes_on_to_its_cure(found):
    """What split writes can be asked what later helps: zones of the proposal are among the jobs."""
    told = cure(found.case, step=None)
    assert {one.name for one in told.jobs} >= {f"shut {zone.name}" for zone in found.zones if zone.shuttable}

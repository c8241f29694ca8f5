"""Forecasts that start from kept states against forecasts from the start: the same to the last bit."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from planner.base.errors import Cancelled
from planner.forecast.kept import Kept
from planner.forecast.run import forecast
from planner.model.change import WhatIf
from planner.model.results import Forecast
from tests.agreement.test_cure import well

SHUT = {"do": "shut zone", "zone": "lower", "on": "2029-01-01"}
SKIN = {"do": "set skin", "zone": "upper", "skin": -2.0, "duration": "30 day", "on": "2031-03-01"}
LESS = {"do": "change control", "liquid_rate": "90 m^3/day", "on": "2028-07-01"}
WET = {"do": "shut zone", "zone": "lower", "when": {"zone": "lower", "water_cut_above": 0.3}}


def asked(*events: dict[str, object]) -> WhatIf | None:
    return WhatIf.model_validate({"name": "asked", "events": events}) if events else None


def same(one: Forecast, other: Forecast) -> None:
    """Every number of two forecasts, but the seconds that they took."""
    for field in fields(Forecast):
        mine, theirs = getattr(one, field.name), getattr(other, field.name)
        if isinstance(mine, dict) and all(isinstance(value, np.ndarray) for value in mine.values()):
            assert mine.keys() == theirs.keys()
            for name in mine:
                assert np.array_equal(mine[name], theirs[name], equal_nan=True), (field.name, name)
    assert np.array_equal(one.days, other.days)
    for name in ("happenings", "control", "element_states", "warnings", "name"):
        assert getattr(one, name) == getattr(other, name), name
    assert repr(one.limits) == repr(other.limits)
    assert (one.facts.steps, one.facts.newton_iterations) == (other.facts.steps, other.facts.newton_iterations)
    assert one.facts.balance == other.facts.balance


LISTS = [
    (),
    (LESS,),
    (LESS, SKIN),
    ({**LESS, "on": "2030-02-11"}, SKIN),
    (SKIN,),
    (SHUT,),
    ({**SHUT, "on": "2031-01-01"},),
    ({**SHUT, "on": "2027-01-01"},),
    (SHUT, SKIN),
    (SHUT, LESS),
    (WET,),
    (WET, SKIN),
    (WET, {**SKIN, "on": "2030-06-15"}),
    ({**WET, "when": {"zone": "lower", "water_cut_above": 0.5}}, SKIN),
    (SHUT,),
]


def test_what_is_asked_in_any_order_gets_the_numbers_of_a_forecast_from_the_start():
    case, kept = well(), Kept()
    for events in LISTS:
        same(kept.forecast(case, asked(*events)), forecast(case, asked(*events)))


def steps(kept: Kept, *events: dict[str, object]) -> int:
    """Report dates that are marched for a forecast."""
    told: list[float] = []
    kept.forecast(well(), asked(*events), progress=lambda share, text: told.append(share))
    return len(told)


def test_what_was_marched_before_is_not_marched_again():
    kept = Kept()
    whole = steps(kept, SKIN)
    assert steps(kept, {**SKIN, "on": "2031-04-01"}) < 0.8 * whole
    assert steps(kept, {**SHUT}) == whole, "a straddle is in no network so far"


def test_another_case_starts_anew():
    kept = Kept()
    kept.forecast(well(), None)
    other = well().model_copy(update={"title": "another"})
    same(kept.forecast(other, asked(LESS)), forecast(other, asked(LESS)))
    assert all(len(trail) for trail in kept.trails.values()) and kept.case.title == "another"


def test_what_was_stopped_leaves_states_that_can_be_gone_on_from():
    kept = Kept()
    count = iter(range(10_000))
    with pytest.raises(Cancelled):
        kept.forecast(well(), None, cancelled=lambda: next(count) > 60)
    same(kept.forecast(well(), None), forecast(well(), None))

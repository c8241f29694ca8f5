"""Branches of one march against forecasts from the start: two roads to one answer."""

from __future__ import annotations

from datetime import date

import pytest

from planner.base.errors import Refusal
from planner.forecast.branches import Trunk
from planner.forecast.run import forecast
from planner.model.change import WhatIf
from planner.model.measured import Measured
from tests.agreement.test_cure import well

EVENTS = [
    {"do": "shut zone", "zone": "lower"},
    {"do": "choke zone", "zone": "upper", "nozzle_area": "60 mm^2"},
    {"do": "set skin", "zone": "upper", "skin": -2.0, "duration": "30 day"},
]
DAYS = [date(2031, 1, 1), date(2027, 1, 1), date(2029, 2, 17), date(2031, 1, 1), date(2029, 7, 1)]
CLOSE = 2e-4  # the two roads take other steps on the way, each within the tolerance of the march


def asked(event: dict[str, object], day: date, *before: dict[str, object]) -> WhatIf:
    return WhatIf.model_validate({"name": "asked", "events": [*before, {**event, "on": str(day)}]})


@pytest.mark.parametrize("before", [(), ({"do": "change control", "liquid_rate": "90 m^3/day", "on": "2029-05-01"},)])
def test_a_branch_ends_where_a_forecast_from_the_start_ends(before):
    case = well()
    possible = [asked(event, DAYS[0]).events[0] for event in EVENTS]
    under = WhatIf.model_validate({"name": "anyway", "events": list(before)}) if before else None
    trunk = Trunk(case, under, possible)
    for day in DAYS:
        for event in EVENTS:
            what_if = asked(event, day, *before)
            branch, whole = trunk.forecast(what_if, day), forecast(case, what_if)
            for name in ("oil_volume", "water_volume"):
                assert branch.well[name][-1] == pytest.approx(whole.well[name][-1], rel=CLOSE), (event, day, name)
                assert branch.zone[name][-1] == pytest.approx(whole.zone[name][-1], rel=10 * CLOSE, abs=1.0)
            done = [(one.date, one.event) for one in branch.happenings if one.event is not None]
            assert done == [(one.date, one.event) for one in whole.happenings if one.event is not None]
            assert (branch.dates[-1], branch.name) == (whole.dates[-1], "asked")
            assert abs(branch.facts.balance["oil"]) < 1e-8


def test_branches_do_not_touch_one_another():
    case = well()
    possible = [asked(event, DAYS[0]).events[0] for event in EVENTS]
    trunk = Trunk(case, None, possible)
    first = trunk.forecast(asked(EVENTS[0], DAYS[0]), DAYS[0])
    trunk.forecast(asked(EVENTS[1], DAYS[0]), DAYS[0])
    again = trunk.forecast(asked(EVENTS[0], DAYS[0]), DAYS[0])
    assert (first.well["oil_volume"] == again.well["oil_volume"]).all()


def test_a_branch_that_the_string_cannot_do_is_refused():
    trunk = Trunk(well(), None, ())
    with pytest.raises(Refusal):
        trunk.forecast(asked({"do": "set plug", "blank": "no such"}, DAYS[0]), DAYS[0])


def test_measured_history_controls_a_trunk_as_it_controls_a_forecast():
    rows = [
        {"date": f"{year}-07-01", "since": f"{year}-01-01", "kind": "liquid rate", "value": rate, "error": "1 m^3/day"}
        for year, rate in ((2027, "35 m^3/day"), (2028, "60 m^3/day"))
    ]
    measured = Measured.model_validate({"rows": rows, "control": "liquid rate"})
    case = well().model_copy(update={"measured": measured})
    what_if = asked(EVENTS[0], DAYS[0])
    branch, whole = Trunk(case, None, what_if.events).forecast(what_if, DAYS[0]), forecast(case, what_if)
    free = forecast(well(), what_if)
    assert branch.well["oil_volume"][-1] == pytest.approx(whole.well["oil_volume"][-1], rel=CLOSE)
    at = list(whole.dates.astype("datetime64[D]").astype(str)).index("2027-07-01")
    given = branch.well["oil_volume"][at] + branch.well["water_volume"][at]
    assert given == pytest.approx(35.0 * 181, rel=1e-6)
    assert given < 0.9 * (free.well["oil_volume"][at] + free.well["water_volume"][at])

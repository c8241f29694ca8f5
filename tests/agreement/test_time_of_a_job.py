"""The time that a job takes is a true shut-in: the same as a control that shuts the well and opens it again."""

from __future__ import annotations

import numpy as np
import pytest

from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import Forecast
from tests.building import intervals, layer, make, zoned_string

DAYS = 40


def well(**economics: object) -> Case:
    """Two zones; the lower one can be plugged."""
    pair = intervals(2)
    return make(
        layers=[layer(name, *depths) for name, depths in zip("ab", pair, strict=True)],
        string=zoned_string(pair),
        zones=["upper", "lower"],
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "150 bar", "liquid_rate": "15 m^3/day"}],
        economics={"oil_price": "400 1/m^3", **economics},
        schedule={"start": "2027-01-01", "end": "2029-01-01"},
    )


def asked(*events: dict[str, object]) -> WhatIf:
    return WhatIf.model_validate({"name": "asked", "events": events})


def oil(found: Forecast) -> np.ndarray:
    return found.well["oil_volume"]


def test_the_well_stands_for_as_long_as_the_job_takes():
    case = well(ways={"wireline": {"duration": f"{DAYS} day", "cost": 1}})
    job = {"do": "shut zone", "zone": "lower", "on": "2028-02-01"}
    timed = forecast(case, asked({**job, "way": "wireline"}))
    by_hand = forecast(case, asked(
        job,
        {"do": "change control", "shut": True, "on": "2028-02-01"},
        {"do": "change control", "shut": False, "on": "2028-03-12"},
    ))  # fmt: skip
    quick = forecast(case, asked(job))
    assert oil(timed) == pytest.approx(oil(by_hand), rel=1e-9)
    at = list(timed.dates.astype("datetime64[D]").astype(str)).index("2028-03-01")
    assert timed.well["oil_rate"][at] == pytest.approx(0.0, abs=1e-9)
    assert timed.well["oil_rate"][at + 1] > 0.0
    assert oil(timed)[at] < oil(quick)[at]
    (done,) = [one for one in timed.happenings if one.event == 0]
    assert done.date == "2028-02-01" and "shut in for it for 40 days" in done.text


def test_the_default_way_of_a_job_counts_and_misfortunes_take_no_time():
    case = well(ways={"rig": {"duration": "30 day"}}, default_ways={"set skin": "rig"})
    better = {"do": "set skin", "zone": "upper", "skin": -2.0, "on": "2028-02-01"}
    texts = [forecast(case, asked({**better, "skin": skin})).happenings for skin in (-2.0, 10.0)]
    assert ["shut in for it" in " ".join(one.text for one in found) for found in texts] == [True, False]


def test_jobs_on_one_day_are_done_one_after_another():
    case = well(ways={"rig": {"duration": "20 day"}})
    both = [
        {"do": "set skin", "zone": name, "skin": -1.0, "on": "2028-02-01", "way": "rig"} for name in ("upper", "lower")
    ]
    found = forecast(case, asked(*both))
    one_long = forecast(case, asked(
        {**both[0], "duration": "40 day"}, {**both[1], "duration": "0 day"}
    ))  # fmt: skip
    assert oil(found) == pytest.approx(oil(one_long), rel=1e-9)


def test_a_control_of_the_case_in_between_waits_for_the_job():
    case = well(ways={"rig": {"duration": "40 day"}})
    controls = [
        {"date": "2027-01-01", "bottom_hole_pressure": "150 bar", "liquid_rate": "15 m^3/day"},
        {"date": "2028-02-15", "bottom_hole_pressure": "120 bar", "liquid_rate": "12 m^3/day"},
    ]
    changed = case.model_copy(update={"controls": make(controls=controls).controls})
    found = forecast(changed, asked({"do": "set plug", "blank": "blank pipe 2", "on": "2028-02-01", "way": "rig"}))
    dates = list(found.dates.astype("datetime64[D]").astype(str))
    assert found.well["oil_rate"][dates.index("2028-03-01")] == pytest.approx(0.0, abs=1e-9)
    assert found.well["oil_rate"][dates.index("2028-04-01")] * 86400.0 == pytest.approx(12.0, rel=1e-4)

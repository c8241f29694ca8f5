"""The cure of a small well against enumeration: every job on every date by forecasts and cash flows of their own."""

from __future__ import annotations

from datetime import date

import pytest

from planner.base.errors import Cancelled, CaseError
from planner.decide.best_date import grid
from planner.decide.compare import Ran, comparison_of
from planner.decide.cure import cure
from planner.decide.runs import Forecasts
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.report.documents import to_json
from planner.report.late_life_documents import cure_document
from planner.report.late_life_html import cure_chapter
from planner.report.markup import page_text
from planner.report.tables import style_for
from tests.building import intervals, layer, make, zoned_string

CLOSE = 2e-3  # branches and forecasts from the start take other steps, each within the tolerance of the march
END_TRIED = date(2034, 1, 1)  # last date of the yearly grid
START, NOW, END = date(2027, 1, 1), date(2029, 1, 1), date(2035, 1, 1)


def well(**economics: object) -> Case:
    """A dry zone above one that is flooded from its edge; pressures held, so the water displaces oil in both."""
    upper, lower = intervals(2)
    edge = {"support": "flood", "drainage_radius": "95 m"}
    return make(
        layers=[layer("a", *upper, support="flood"), layer("b", *lower, permeability="400 md", **edge)],
        supports={"flood": {"kind": "constant pressure"}},
        string=zoned_string([upper, lower]),
        zones=["upper", "lower"],
        controls=[{"date": str(START), "bottom_hole_pressure": "150 bar", "liquid_rate": "120 m^3/day"}],
        schedule={"start": str(START), "end": str(END), "report": "quarter"},
        economics={
            "oil_price": "300 1/m^3", "water_cost": "25 1/m^3", "intervention_cost": 4e5, **economics,
        },
        late_life={"jobs": ["shut zone", "set plug", "set skin", "choke zone"]},
        numerics={"friction": False, "gravity": False, "cells": 8},
    )  # fmt: skip


def by_hand(case: Case, event: dict[str, object], day: date) -> float:
    """Net present value against the base of one job on one day, of the day of the decision (two years after start)."""
    what_if = WhatIf.model_validate({"name": "by hand", "events": [{**event, "on": str(day)}]})
    ran = [Ran(None, forecast(case)), Ran(what_if, forecast(case, what_if))]
    return comparison_of(case, ran).money["by hand"]["npv_against_base"] * 1.1**2


def test_jobs_dates_and_values_are_those_of_enumeration():
    case = well()
    found = cure(case, NOW, step="year")
    days = grid(NOW, END, "year")
    (job,) = [one for one in found.jobs if one.name == "shut lower"]
    values = {day: by_hand(case, {"do": "shut zone", "zone": "lower"}, day) for day in days}
    best = max(days, key=lambda day: values[day])
    assert date.fromisoformat(job.best_date) == best
    assert job.value == pytest.approx(values[best], rel=CLOSE)
    assert job.value_now == pytest.approx(values[NOW], rel=CLOSE)
    for day, value in zip(job.dates, job.values, strict=True):
        assert value == pytest.approx(values[date.fromisoformat(day)], rel=CLOSE, abs=CLOSE * values[best])
    paying = [day for day in days if values[day] > 0.0]
    assert job.pays_until == str(paying[-1])
    assert found.jobs == tuple(sorted(found.jobs, key=lambda one: -one.value))


@pytest.mark.parametrize("prices", [(300, 20, 900), (60, 500, 20), (20, 20, 300), (500, 40, 400)])
def test_the_best_date_under_prices_that_fall_and_rise_is_that_of_enumeration(prices):
    """Three prices by turns make values with two humps, or with a jump: every quarter is computed beside the search."""
    first, *later = prices
    rows = [{"date": f"{year}-01-01", "oil_price": f"{p} 1/m^3"} for year, p in zip((2030, 2032), later, strict=True)]
    case = well(oil_price=f"{first} 1/m^3", prices=rows)
    days = grid(NOW, END, "quarter")
    jobs = [WhatIf.model_validate({"name": str(day), "events": [{"do": "shut zone", "zone": "lower", "on": str(day)}]})
            for day in days]  # fmt: skip
    money = comparison_of(case, [Ran(None, forecast(case)), *(Ran(job, forecast(case, job)) for job in jobs)]).money
    values = [money[str(day)]["npv_against_base"] * 1.1**2 for day in days]
    (job,) = [one for one in cure(case, NOW, step="quarter").jobs if one.name == "shut lower"]
    scale = max(map(abs, values))
    assert job.value == pytest.approx(max(values), abs=CLOSE * scale)
    assert values[days.index(date.fromisoformat(job.best_date))] == pytest.approx(max(values), abs=CLOSE * scale)
    assert job.value_of_waiting == pytest.approx(max(values) - values[0], abs=CLOSE * scale)
    if max(values) > CLOSE * scale:
        assert job.pays_until >= job.best_date


def test_doing_nothing_stands_among_the_jobs_and_parts_those_that_pay_from_those_that_do_not():
    found = cure(well(), NOW, step="year")
    place = [job.do for job in found.jobs].index("do nothing")
    assert all(job.pays for job in found.jobs[:place]) and not any(job.pays for job in found.jobs[place:])
    none = found.jobs[place]
    assert (none.value, none.cost, none.best_date, none.pays_until) == (0.0, 0.0, "", "")


def test_a_job_that_cannot_be_computed_on_one_date_is_judged_on_the_others(monkeypatch):
    """One date of the first round fails: the job stays, the failure is told, and no value is made up for it."""
    real = Forecasts.run

    def run(self, what_ifs, progress=None):
        failed, name = "the step does not converge", f"shut lower, {END_TRIED}"
        return [Ran(one, failed=failed) if one is not None and one.name == name else ran
                for one, ran in zip(what_ifs, real(self, what_ifs, progress), strict=True)]  # fmt: skip

    monkeypatch.setattr(Forecasts, "run", run)
    found = cure(well(), NOW, step="year")
    (job,) = [one for one in found.jobs if one.name == "shut lower"]
    assert str(END_TRIED) not in job.dates and job.best_date in job.dates
    assert any("shut lower could not be computed on 2034-01-01" in text for text in found.warnings)


def test_the_wet_zone_is_found_and_impossible_jobs_have_reasons():
    found = cure(well(), NOW, step=None)
    assert max(found.zones, key=lambda zone: zone.share_of_water).zone == "lower"
    assert all(one.reason for one in found.forbidden)
    assert {job.name for job in found.jobs} >= {"shut lower", "shut upper", "choke lower"}
    real = [job for job in found.jobs if job.do != "do nothing"]
    assert all(job.best_date == str(NOW) and job.value_of_waiting == 0.0 for job in real)
    names = [one.name for one in found.forbidden]
    assert "stimulate upper" in names  # its skin is 0 already


def test_a_risked_value_weighs_success_and_failure_and_the_time_that_a_failure_costs():
    sure = well(ways={"rig": {"cost": 4e5, "duration": "30 day"}}, default_ways={"shut zone": "rig"})
    risky = well(ways={"rig": {"cost": 4e5, "duration": "30 day", "chance": 0.6}}, default_ways={"shut zone": "rig"})
    one, other = (
        next(job for job in cure(case, NOW, step=None).jobs if job.name == "shut lower") for case in (sure, risky)
    )
    idle = by_hand(
        risky, {"do": "change control", "duration": "30 day", "cost": 4e5, "liquid_rate": "120 m^3/day"}, NOW
    )
    assert other.value_if_done == pytest.approx(one.value, rel=1e-9)
    assert other.value_if_failed == pytest.approx(idle, rel=5e-3)
    assert other.value == pytest.approx(0.6 * one.value + 0.4 * idle, rel=5e-3)
    assert (other.chance, other.cost, other.way) == (0.6, 4e5, "rig")


def test_jobs_come_on_top_of_what_happens_anyway():
    """Under a what-if that has shut the lower zone already it cannot be shut again."""
    shut = WhatIf.model_validate({"name": "shut", "events": [{"do": "shut zone", "zone": "lower", "on": "2028-01-01"}]})
    found = cure(well(), NOW, shut, step=None)
    assert found.what_if == "shut"
    assert any(one.name == "shut lower" and "already" in one.reason for one in found.forbidden)


def test_document_and_page_say_what_was_found():
    found = cure(well(), NOW, step=None)
    text = to_json(cure_document(found, "metric"))
    page = page_text(cure_chapter(found, style_for("metric", "EUR")))
    for job in found.jobs:
        assert job.name in text and job.name in page
    for one in found.forbidden:
        assert one.name in text and one.name in page
    assert "Chan 1995" in page


def test_a_day_outside_the_schedule_is_refused():
    with pytest.raises(CaseError, match="outside the schedule"):
        cure(well(), date(2040, 1, 1))


def test_it_can_be_cancelled():
    with pytest.raises(Cancelled):
        cure(well(), NOW, step=None, cancelled=lambda: True)


def test_in_turn_and_in_processes_is_the_same():
    """Two roads to one answer: one process, and two that are started afresh."""
    case = well()
    one, two = cure(case, NOW, step=None), cure(case, NOW, step=None, processes=2)
    assert [job.name for job in two.jobs] == [job.name for job in one.jobs]
    assert [job.value for job in two.jobs] == pytest.approx([job.value for job in one.jobs], rel=1e-9)
    assert two.forecasts == one.forecasts


def test_a_lift_is_looked_at_where_there_is_a_tubing_and_refused_where_there_is_none():
    lifts = {"lifts": [
        {"name": "lower bottom hole", "bottom_hole_pressure": "100 bar", "cost": 1e5},
        {"name": "lower wellhead", "wellhead_pressure": "5 bar"},
    ]}  # fmt: skip
    case = well()
    found = cure(case.model_copy(update={"late_life": type(case.late_life).model_validate(lifts)}), NOW, step=None)
    assert "lower bottom hole" in {job.name for job in found.jobs}
    (refused,) = [one for one in found.forbidden if one.name == "lower wellhead"]
    assert "no tubing" in refused.reason

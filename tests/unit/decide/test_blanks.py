"""What blanks are worth on a tiny well: against forecasts of their own, who needs which blank, and the verb."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from planner import api
from planner.base.errors import Cancelled, CaseError
from planner.cli import main
from planner.decide.blank_futures import Shut, blank_summary, cost_on, decision_dates, ensemble_of, futures_of, jobs_of
from planner.decide.blanks import blanks, price_of
from planner.decide.compare import Ran, comparison_of
from planner.forecast.run import forecast
from planner.model.blank_value import BY_LOG, BY_WELL, NOTHING, PERFECT, PLAN
from planner.model.change import WhatIf
from planner.model.results import BlankInfo
from planner.network.zone_layers import zone_layers
from planner.report.blank_tables import blanks_chapter, blanks_document, by_way_table, ranking_for_reading
from planner.report.documents import to_json
from planner.report.markup import page_text
from planner.report.tables import keys_for, style_for
from planner.uncertainty.draws import draw
from planner.uncertainty.pool import Crew
from tests.building import element, intervals, layer, make, zoned_string

DAY = date(2030, 1, 1)
FLOOD = {"name": "streak", "path": "layers.b.permeability", "kind": "lognormal", "p90": "250 md", "p10": "900 md"}


def string():
    """Blank above, and one below the joint between the zones."""
    return [
        element("blank pipe", 1988.0, 2000.0, name="top"),
        element("screen", 2000.0, 2020.0),
        element("isolation joint", 2020.0, 2026.0, name="joint"),
        element("blank pipe", 2026.0, 2060.0, name="between"),
        element("screen", 2060.0, 2080.0),
        element("blank pipe", 2080.0, 2090.0, name="shoe"),
    ]


def well(**changes: object):
    """A dry zone above one that is flooded from its edge, which the well's liquid rate makes them share."""
    upper, lower = intervals(2)
    sections = {
        "layers": [
            layer("a", *upper, support="flood"),
            layer("b", *lower, permeability="400 md", support="flood", drainage_radius="95 m"),
        ],
        "supports": {"flood": {"kind": "constant pressure"}},
        "string": string(),
        "zones": ["upper", "lower"],
        "controls": [{"date": "2027-01-01", "bottom_hole_pressure": "150 bar", "liquid_rate": "120 m^3/day"}],
        "schedule": {"start": "2027-01-01", "end": "2033-01-01", "report": "quarter"},
        "economics": {"oil_price": "300 1/m^3", "water_cost": "25 1/m^3", "intervention_cost": 4e5, "tax": 0.25,
                      "elements": {"blank pipe": {"each": 1000, "per_length": "50 1/m"}}},
        "numerics": {"friction": False, "gravity": False, "cells": 4},
        "uncertain": [FLOOD],
    }  # fmt: skip
    return make(**{**sections, **changes})


@pytest.fixture(scope="module")
def found():
    return blanks(well(), 12, dates=2, log_cost=20_000.0)


def test_gains_are_those_of_forecasts_from_the_start(tmp_path):
    """Two explicit forecasts and their cash flows, with the draw put in by hand, against a member's branch and base."""
    case = well()
    jobs, _ = jobs_of(case)
    draws = draw(case, 2, 1, zone_layers(case))
    made = ensemble_of(case, draws, jobs, (DAY,), tmp_path / "run", Crew(), None, None)
    futures, rows, _ = futures_of(case, made, jobs, (DAY,), None)
    assert list(rows) == [0, 1]
    layers = (case.layers[0], case.layers[1].model_copy(update={"permeability": float(draws.values[0, 0])}))
    own = case.model_copy(update={"layers": layers, "uncertain": ()})
    for k, job in enumerate(jobs):
        asked = job.on(DAY)
        ran = [Ran(None, forecast(own)), Ran(asked, forecast(own, asked))]
        money = comparison_of(own, ran).money[asked.name]
        assert futures.gains[0, 0, k] == pytest.approx(money["npv_against_base"], abs=3e-4 * money["npv"])
    base = ran[0].forecast
    at = int(np.flatnonzero(base.dates.astype("datetime64[D]") == np.datetime64(DAY))[0])
    assert futures.well[0, 0, 0] == pytest.approx(base.well["water_cut"][at], abs=1e-3)
    assert futures.log[0, 0, 2] == pytest.approx(base.zone["water_cut"][at][1], abs=1e-3)


def test_the_flooded_zone_gives_its_blank_all_the_worth(found):
    """The lower zone floods in every member and is shut by a plug in the blank above it."""
    best = found.blanks[0]
    assert best.name == "between" and best.shuts == ("upper", "lower")
    ways = {way.name: way for way in found.ways}
    assert best.worth[PLAN].mean == pytest.approx(ways[PLAN].value.mean)
    assert ways[NOTHING].value.mean == 0.0 < ways[PLAN].value.mean <= ways[PERFECT].value.mean
    assert ways[BY_LOG].value.mean <= ways[PERFECT].value.mean and ways[BY_WELL].logs == 0.0
    useless = [one for one in found.blanks if not one.shuts]
    assert useless and all(worth.mean == worth.error == 0.0 for one in useless for worth in one.worth.values())
    means = [one.worth[found.main].mean for one in found.blanks]
    assert means == sorted(means, reverse=True)
    for one in found.blanks:
        assert one.worth[PERFECT].mean >= 0.0 and one.worth[PERFECT].error >= 0.0


def test_who_needs_which_blank():
    """The lowest zone needs a blank above it, the upper one a blank on either side; blanks may stand in for others."""
    jobs, forbidden = jobs_of(well())
    assert not forbidden
    assert jobs == [Shut("upper", "straddle", ("top", "between")), Shut("lower", "plug", ("between",))]
    two_a_gap, _ = jobs_of(well(string=zoned_string(intervals(2))))
    assert [job.blanks for job in two_a_gap] == [("blank pipe 1",), ()]  # either blank beside the joint will do


def test_a_case_where_leaving_blank_is_worth_nothing():
    dry = well(layers=[layer("a", 2000.0, 2020.0), layer("b", 2060.0, 2080.0)], supports={},
               uncertain=[{**FLOOD, "path": "layers.b.permeability"}])  # fmt: skip
    found = blanks(dry, 6, dates=1)
    assert all(worth.mean == worth.error == 0.0 for one in found.blanks for worth in one.worth.values())
    assert [way.value.mean for way in found.ways] == [0.0] * 5


def test_dates_prices_and_costs():
    case = well()
    assert decision_dates(case, 2) == (date(2028, 1, 1), date(2030, 1, 1))
    assert [day.year for day in decision_dates(case, 9)] == [2028, 2029, 2030, 2031, 2032]
    info = BlankInfo("b", 100.0, 112.0, "", True, (), ())
    assert price_of(case, info) == pytest.approx(1000.0 + 12.0 * 50.0)
    assert np.isnan(price_of(well(economics={}), info))
    assert cost_on(case, 100.0, date(2029, 1, 1)) == pytest.approx(100.0 / 1.1**2 * 0.75)
    assert Shut("x", "plug", ()).on(DAY).events[0].on == DAY


def test_branches_keep_no_series_and_the_base_does():
    case = well()
    base = forecast(case)
    assert blank_summary(case, None, base).well and not blank_summary(case, Shut("x", "", ()).on(DAY), base).well


def test_the_answer_does_not_depend_on_the_crew_and_can_be_cancelled(found, tmp_path):
    again = blanks(well(), 12, dates=2, log_cost=20_000.0, crew=Crew(2))
    assert [one.worth for one in again.blanks] == [one.worth for one in found.blanks]
    with pytest.raises(Cancelled):
        blanks(well(), 4, dates=1, folder=tmp_path / "run", cancelled=lambda: True)


def test_a_first_job_that_happens_anyway(tmp_path):
    """On top of a stimulation, the gain of shutting a zone is that over the stimulated well."""
    event = {"do": "set skin", "zone": "upper", "skin": -2.0, "on": "2029-02-01", "cost": 1e5}
    under = WhatIf.model_validate({"name": "acid", "events": [event]})
    case = well()
    jobs, _ = jobs_of(case, under, (DAY,))
    made = ensemble_of(
        case, draw(case, 2, 1, zone_layers(case)), jobs, (DAY,), tmp_path / "run", Crew(), None, None, under
    )
    futures, _, _ = futures_of(case, made, jobs, (DAY,), None)
    upper = case.layers[0]
    lower = case.layers[1].model_copy(update={"permeability": float(made.draws.values[1, 0])})
    own = case.model_copy(update={"layers": (upper, lower), "uncertain": ()})
    both = jobs[1].on(DAY, under)
    ran = [Ran(None, forecast(own)), Ran(under, forecast(own, under)), Ran(both, forecast(own, both))]
    money = comparison_of(own, ran).money
    gain = money[both.name]["npv"] - money["acid"]["npv"]
    assert futures.gains[1, 0, 1] == pytest.approx(gain, abs=3e-4 * money["acid"]["npv"])
    shut, refused = jobs_of(case, jobs[1].on(date(2028, 1, 1)), (DAY,))
    assert [job.zone for job in shut] == ["upper"] and refused[0][0] == "lower"


def test_refusals():
    with pytest.raises(CaseError, match="no zone can be shut"):
        blanks(well(string=[{"kind": "screen", "top_md": "2000 m", "base_md": "2080 m"}], zones=["all"],
                    uncertain=[FLOOD]), 4)  # fmt: skip


def test_document_table_and_page(found):
    text = to_json(blanks_document(found, "metric"))
    document = json.loads(text)
    assert document["main_way"] == BY_LOG and document["caution"]
    first = document["blanks"][0]
    assert first["worth"][BY_LOG]["mean_money"] == pytest.approx(found.blanks[0].worth[BY_LOG].mean)
    assert "top_md_m" in first and first["price_money"] > 0.0
    table = by_way_table(found, keys_for("metric"))
    assert len(table) == len(found.blanks) * 5
    page = page_text(blanks_chapter(found, style_for("metric")))
    assert "What acting is worth" in page and "Not modelled" in page and "well-control" in page


def test_the_verb(tmp_path: Path, capsys):
    api.write_case(well(), tmp_path / "well")
    page, table = tmp_path / "page.html", tmp_path / "t.csv"
    line = ["blanks", str(tmp_path / "well"), "--members", "4", "--dates", "1", "--workers", "1", "--report", str(page),
            "--csv", str(table), "--json"]  # fmt: skip
    assert main(line) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["members"] == 4 and document["log_cost_money"] is None
    assert page.read_text().startswith("<!doctype html>") and table.read_text().startswith("blank,way_of_acting,worth_")


def test_draws_of_a_match_are_the_members(found, tmp_path):
    """The same draws given as a table: the same worth, whatever the number of members that is asked for."""
    draws = found.extra["draws"]
    table = pd.DataFrame(draws.values, columns=[f"{one.name} [m^2]" for one in draws.inputs])
    again = blanks(well(), 99, dates=2, log_cost=20_000.0, table=table)
    assert again.members == 12
    assert [one.worth for one in again.blanks] == [one.worth for one in found.blanks]


def test_prices_are_shown_where_the_case_gives_them(found):
    style = style_for("metric", "EUR")
    assert any("worth less price" in name for name in ranking_for_reading(found, style).columns)
    bare = replace(found, blanks=tuple(replace(one, price=float("nan")) for one in found.blanks))
    assert not any("price" in name for name in ranking_for_reading(bare, style).columns)


def test_the_ranking_of_another_seed_lies_within_the_errors(found):
    again = blanks(well(), 12, dates=2, log_cost=20_000.0, seed=7)
    other = {one.name: one.worth for one in again.blanks}
    for one in found.blanks:
        for way, worth in one.worth.items():
            gap, error = worth.mean - other[one.name][way].mean, np.hypot(worth.error, other[one.name][way].error)
            assert abs(gap) <= 3.0 * error + 1.0, (one.name, way, gap, error)
    assert [one.name for one in again.blanks if not one.tied][:1] == [one.name for one in found.blanks if not one.tied][
        :1
    ]

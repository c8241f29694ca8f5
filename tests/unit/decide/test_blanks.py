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
from planner.decide.blank_futures import blank_summary, cost_on, decision_dates, ensemble_of, futures_of
from planner.decide.blank_grid import grid_of
from planner.decide.blank_jobs import Shut, Strings, jobs_of, luck_of
from planner.decide.blank_price import prices_of
from planner.decide.blanks import blanks
from planner.decide.compare import Ran, comparison_of
from planner.forecast.branches import Trunk
from planner.forecast.run import forecast
from planner.model.blank_value import BY_LOG, BY_WELL, NOTHING, PERFECT, PLAN, BlankPrice
from planner.model.change import ChangeControl, ShutZone, WhatIf
from planner.model.results import BlankInfo
from planner.network.describe import describe_case
from planner.network.zone_layers import zone_layers
from planner.report.blank_document import blanks_document
from planner.report.blank_html import blanks_chapter
from planner.report.blank_tables import answer, by_way_table, ranking_for_reading
from planner.report.documents import to_json
from planner.report.markup import page_text
from planner.report.tables import keys_for, style_for
from planner.uncertainty.draws import draw
from planner.uncertainty.pool import Crew
from tests.building import element, intervals, layer, make, zoned_string

DAY = date(2030, 1, 1)
FLOOD = {"name": "streak", "path": "layers.b.permeability", "kind": "lognormal", "p90": "250 md", "p10": "900 md"}

MONEY = {"oil_price": "300 1/m^3", "water_cost": "25 1/m^3", "intervention_cost": 4e5, "tax": 0.25,
         "elements": {"blank pipe": {"each": 1000, "per_length": "50 1/m"}}}  # fmt: skip


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
        "economics": MONEY,
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
    assert prices_of(case, (info,))["b"].total == pytest.approx(0.75 * (1000.0 + 12.0 * 50.0) / 1.1 ** (1 / 12))
    assert np.isnan(prices_of(well(economics={}), (info,))["b"].total)
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
    nothing = BlankPrice(float("nan"), float("nan"), 0.0, float("nan"))
    bare = replace(found, blanks=tuple(replace(one, parts=nothing) for one in found.blanks))
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


# --- one sure future


def test_a_zone_sure_to_water_out_gives_its_blank_the_discounted_oil_that_is_saved():
    """Volumes of two forecasts, discounted by hand month by month, against the worth of the blank: to the cent."""
    money = {"oil_price": "300 1/m^3", "water_cost": "25 1/m^3", "intervention_cost": 4e5, "discount_rate": 0.1}
    case = well(uncertain=[], economics=money, schedule={"start": "2027-01-01", "end": "2033-01-01", "report": "month"})
    found = blanks(case, dates=1)
    assert found.members == 2 and any("same future" in text for text in found.warnings)
    day = date.fromisoformat(found.dates[0])
    jobs, _ = jobs_of(case)
    trunk = Trunk(case, None, [job.on(day).events[0] for job in jobs])
    event = jobs[1].on(day).events[0]
    none = ChangeControl.model_construct(on=date(2033, 1, 1), cost=0.0, duration=0.0)
    lives = [trunk.forecast(WhatIf(name="", events=(one,)), one.on) for one in (event, none)]
    oil, water = (np.diff(lives[0].well[name] - lives[1].well[name]) for name in ("oil_volume", "water_volume"))
    worn = 1.1 ** -(np.arange(1, 73) / 12.0)
    months = 12 * (day.year - 2027)
    saved = float((worn * (300.0 * oil - 25.0 * water)).sum()) - 4e5 * worn[months - 1]
    assert lives[1].zone["water_cut"][months][1] > 0.5 and oil.sum() > 1e3 and water.sum() < -1e3
    best = found.blanks[0]
    assert best.name == "between"
    for way, worth in best.worth.items():
        expected = 0.0 if way == NOTHING else saved
        assert worth.mean == pytest.approx(expected, abs=0.005) and worth.error == pytest.approx(0.0, abs=1e-6), way


# --- blanks that stand in for each other


def test_two_blanks_that_stand_in_for_each_other():
    """One blank on either side of the joint: each by itself is not missed, without both nothing can be shut."""
    found = blanks(well(string=zoned_string(intervals(2))), 8, dates=1)
    assert all(one.worth[found.main].mean == 0.0 for one in found.blanks if one.stands_in)
    assert [one.name for one in found.blanks if one.stands_in] == ["blank pipe 2", "blank pipe 3"]
    pair, together = found.groups
    assert pair.blanks == ("blank pipe 2", "blank pipe 3") and pair.shuts == ("upper", "lower")
    ways = {way.name: way.value.mean for way in found.ways}
    for way, worth in pair.worth.items():
        assert worth.mean == pytest.approx(ways[way]) and together.worth[way].mean == pytest.approx(ways[way])
    assert ways[PLAN] > 0.0 and "all of them together are worth" in answer(found, style_for("metric"))
    for one in found.blanks:  # a plug in either shuts the lower zone without any other blank
        assert (one.alone[PLAN].mean == pytest.approx(ways[PLAN])) == one.stands_in


def test_strings_without_some_blanks():
    """Three zones with two blanks a gap, by hand: the lowest needs one above it, the others one on either side."""
    case = well(layers=[layer(name, *span) for name, span in zip("abc", intervals(3), strict=True)], supports={},
                zones=["upper", "middle", "lower"], string=zoned_string(intervals(3)), uncertain=[])  # fmt: skip
    jobs, _ = jobs_of(case)
    strings = Strings(case, jobs)
    names = [f"blank pipe {k}" for k in (1, 2, 3, 4, 5)]
    assert strings.blanks == set(names) and [job.zone for job in jobs] == ["upper", "middle", "lower"]
    assert strings.without(()) == (0, 1, 2) and strings.without((names[0],)) == (1, 2)
    assert strings.without((names[1],)) == (0, 1, 2) and strings.without(names[1:3]) == (2,)
    assert strings.without(names[3:]) == (0,) and strings.without(names) == ()
    assert strings.alone(names[4]) == (2,) and strings.alone(names[1]) == ()
    assert strings.groups() == [(names[1], names[2]), (names[3], names[4])]


# --- what a blank costs


def test_a_blank_beside_a_layer_costs_the_screen_that_is_lost():
    """Two forecasts of their own, with the cemented blank and with a screen in its place, against what is told."""
    upper = [element("screen", 2000.0, 2012.0), element("blank pipe", 2012.0, 2020.0, name="in the pay", cemented=True)]
    terms = {"blank pipe": {"each": 1000}, "screen": {"each": 500, "per_length": "200 1/m"}}
    more = {"economics": MONEY | {"elements": terms},
            "controls": [{"date": "2027-01-01", "bottom_hole_pressure": "150 bar"}]}  # fmt: skip
    case = well(string=[string()[0], *upper, *string()[2:]], **more)
    prices = prices_of(case, describe_case(case).blanks)
    beside = prices["in the pay"]
    assert beside.beside == ("a",) and prices["between"].beside == () and prices["between"].lost_screen == 0.0
    upper[1] = element("screen", 2012.0, 2020.0)
    whole = well(string=[string()[0], *upper, *string()[2:]], **more)
    values = [blank_summary(one, None, forecast(one)).figures["npv"] for one in (case, whole)]
    paid = 0.75 / 1.1 ** (1 / 12)  # of what the string costs, in the first month, less tax
    saved = paid * (500.0 + 8.0 * 200.0)
    assert beside.pipe == pytest.approx(paid * 1000.0) and beside.screen_saved == pytest.approx(saved)
    assert beside.lost_screen == pytest.approx(values[1] - values[0] + saved - beside.pipe, rel=1e-6)
    assert beside.lost_screen > 1e5 and beside.total == pytest.approx(values[1] - values[0])


# --- jobs that may fail


@pytest.mark.parametrize("days", [0, 20])
def test_a_job_that_may_fail(days, tmp_path):
    """A failed job costs its money and its time: against a forecast of its own in which the well is shut in so long."""
    way = {"cost": 3e5, "duration": f"{days} day", "chance": 0.8}
    money = MONEY | {"ways": {"wireline": way}, "default_ways": {"shut zone": "wireline"}}
    case = well(economics=money)
    jobs, _ = jobs_of(case)
    draws = draw(case, 2, 1, zone_layers(case))
    made = ensemble_of(case, draws, jobs, (DAY,), tmp_path / "run", Crew(), None, None)
    futures, _, _ = futures_of(case, made, jobs, (DAY,), None)
    assert list(futures.chance) == [0.8, 0.8] and futures.luck == (0, 1)
    lower = case.layers[1].model_copy(update={"permeability": float(draws.values[0, 0])})
    own = case.model_copy(update={"layers": (case.layers[0], lower), "uncertain": ()})
    tried = ChangeControl(on=DAY, cost=3e5, duration=f"{days} day")
    idle_job = WhatIf(name="tried in vain", events=(tried,))
    ran = [Ran(None, forecast(own)), Ran(idle_job, forecast(own, idle_job))]
    money = comparison_of(own, ran).money["tried in vain"]
    assert futures.failed[0, 0] == pytest.approx([money["npv_against_base"]] * 2, abs=3e-4 * money["npv"])
    if not days:  # paid on the day and nothing else: 3 years of 1.1, tax relief at once
        assert futures.failed[0, 0, 0] == pytest.approx(-3e5 * 0.75 / 1.1**3)
    assert futures.expected == pytest.approx(0.8 * futures.gains + 0.2 * futures.failed)


def test_failures_of_the_case_are_averaged_over_and_not_drawn():
    rows = [{"name": "any job", "do": "job fails", "job": "shut zone", "success": 0.5}]
    case = well(failures=rows)
    assert luck_of(case, "upper") == luck_of(case, "lower") and luck_of(case, "upper").chance == 0.5
    found = blanks(case, 6, dates=1)
    assert all(zone.chance == 0.5 for zone in found.zones)
    assert [one.name for one in found.extra["draws"].inputs] == ["streak"]
    assert any("chance of success 50%" in note for note in found.notes)


# --- the coarse grid


def test_the_coarse_grid_tells_its_error(tmp_path):
    case = well(numerics={"friction": False, "gravity": False, "cells": 12})
    quick = blanks(case, 6, dates=1, grid="coarse", folder=tmp_path / "run")
    own = blanks(case, 6, dates=1, grid="own")
    assert quick.grid == "coarse" and own.grid == "own" and own.extra["grid_check"] is None
    check = quick.extra["grid_check"]
    assert check.members == 2 and 0.0 < check.share < 0.05
    gap = quick.blanks[0].worth[PLAN].mean - own.blanks[0].worth[PLAN].mean
    assert quick.blanks[0].name == own.blanks[0].name and abs(gap) <= 3.0 * check.off
    assert any("off by" in note for note in quick.notes)
    assert grid_of("auto", 1001) == "coarse" and grid_of("auto", 1000) == "own"
    with pytest.raises(CaseError, match="no such grid"):
        grid_of("fine", 1)


def test_the_measured_history_controls_branches_too():
    """A branch of a well with a history honours what was measured, as a forecast from the start does."""
    rows = [{"date": f"2027-{month:02d}-01", "kind": "oil rate", "value": "60 m^3/day"} for month in range(2, 13)]
    case = well(measured={"rows": rows, "control": "oil rate", "errors": {"oil rate": "5 %"}}, uncertain=[])
    event = ShutZone(zone="lower", on=DAY)
    trunk = Trunk(case, None, [event])
    branch = trunk.forecast(WhatIf(name="shut", events=(event,)), DAY)
    whole = forecast(case, WhatIf(name="shut", events=(event,)))
    assert whole.well["oil_rate"][2] == pytest.approx(60.0 / 86400.0, rel=1e-3)
    assert branch.well["oil_volume"] == pytest.approx(whole.well["oil_volume"], rel=1e-3)


def test_a_stopped_run_goes_on_from_its_folder(tmp_path):
    """Cancelled after the second of four members; the same call computes the other two and gives the same answer."""
    told: list[str] = []

    def progress(share: float, text: str) -> None:
        assert 0.0 <= share <= 1.0
        told.append(text)

    with pytest.raises(Cancelled):
        blanks(well(), 4, dates=1, folder=tmp_path / "run", progress=progress,
               cancelled=lambda: any(text.startswith("2 of 4") for text in told))  # fmt: skip
    told.clear()
    again = blanks(well(), 4, dates=1, folder=tmp_path / "run", progress=progress)
    assert [text.split(",")[0] for text in told[1:]] == ["3 of 4 members", "4 of 4 members"] and "left" in told[-1]
    assert [one.worth for one in again.blanks] == [one.worth for one in blanks(well(), 4, dates=1).blanks]

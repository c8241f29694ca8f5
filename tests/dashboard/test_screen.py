"""What the screen says is what the engine said: tiles, table, picture, CSV, panel, refusals, cautions."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import plotly.utils
import pytest

from dashboard import events, frame, report_dates, work
from dashboard.house import House, Visit
from dashboard.measure import shown
from dashboard.pages import compare, well
from dashboard.session import Result
from dashboard.widgets import answer_views, answers, at_once, cards, compared, part_panel, picture, standing
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.results import Forecast
from tests.dashboard import synthetic

SHUT_CEDAR = {"do": "shut zone", "zone": "Cedar", "on": "2031-01-01"}


def text_of(component: Any) -> str:
    """All text in a component, in order."""
    return json.dumps(component, cls=plotly.utils.PlotlyJSONEncoder, ensure_ascii=False)


def with_event(house: House, visit: Visit, raw: dict) -> Visit:
    """The visit after an event was added to the card in hand."""
    step = {"do": "add event", "card": visit.card["id"], "event": raw}
    return house.of(house.shelf.apply(visit.project.id, "", step), visit.card["id"], {"units": "field"}, "a")


def on_card(house: House, visit: Visit, at: int) -> Visit:
    return house.of(visit.project, visit.cards[at]["id"], {"units": "field"}, "a")


def test_tiles_say_the_forecasts_numbers(visit: Visit, base: Forecast, other: Forecast) -> None:
    oil, before = (shown(f.well["oil_volume"][-1], "liquid volume", "field") for f in (other, base))
    made = answer_views.tiles(visit.case, Result(base), Result(other), "field")
    tiles = {tile.children[0].children: tile.children for tile in made}
    assert tiles["Oil, Mbbl"][1].children == f"{oil:,.0f}"
    assert tiles["Oil, Mbbl"][2].children == f"\u2212{before - oil:,.0f}, worse"
    assert tiles["First water"][1].children == "Jun 2028"
    assert tiles["Limits"][1].children == "1 crossed"


def test_the_table_has_the_base_and_the_what_if_in_hand(house: House, visit: Visit, other: Forecast) -> None:
    there = on_card(house, visit, 1)
    results = standing.compared(there, standing.standings(house, there))
    said = text_of(compared.figures_table(there.case, results, {}, "field", "light"))
    assert "Base" in said and "Shut Birch early" in said
    water = shown(other.well["water_volume"][-1], "liquid volume", "field")
    assert f"{water:,.0f}" in said
    sheet = [line.split("\t") for line in compared.spreadsheet(there.case, results, "field").splitlines()]
    assert float(sheet[2][sheet[0].index("Water, Mbbl")]) == pytest.approx(water, rel=1e-3)
    assert len({len(line) for line in sheet}) == 1


def test_without_events_the_base_stands_alone(house: House, visit: Visit) -> None:
    stood = standing.standings(house, visit)
    assert standing.sentence(visit, stood).startswith("Showing the base")
    assert standing.base_and_mine(stood, visit)[1] is None
    assert not standing.marks(visit, stood)["open"]


def test_a_refused_what_if_says_why_and_shows_the_base(house: House, visit: Visit) -> None:
    asked = with_event(house, visit, SHUT_CEDAR)
    stood = standing.standings(house, asked)
    assert "blank 4 below it is 2.0 m" in standing.sentence(asked, stood)
    assert "Showing the base" in standing.sentence(asked, stood)
    assert "not possible" in text_of(cards.strip(asked, standing.marks(asked, stood)["states"]))
    assert compare.refused(asked, stood) == {asked.card["name"]: stood[asked.card["id"]].text}


def test_a_failed_what_if_says_what_failed_and_keeps_the_events(house: House, visit: Visit) -> None:
    raw = {"do": "change control", "shut": True, "on": "2031-01-01"}
    asked = with_event(house, visit, raw)
    assert "water balance of Birch sand" in standing.sentence(asked, standing.standings(house, asked))
    assert work.active(asked.card) == [raw]


def test_the_first_answer_is_that_of_the_first_day(house: House, visit: Visit) -> None:
    asked = with_event(house, visit, {"do": "shut zone", "zone": "Birch", "on": "2040-01-01"})
    said = text_of(at_once.words(house, asked))
    shut = synthetic.flow(asked.case, events.what_if("w", [{"do": "shut zone", "zone": "Birch", "on": "2026-01-01"}]))
    assert f"{shown(shut.well['oil_rate'], 'liquid rate', 'field'):,.0f} bbl/d" in said
    assert at_once.words(house, visit) == []


def test_the_picture_is_true_to_depth_and_to_the_flow(visit: Visit, base: Forecast) -> None:
    drawn = picture.well(visit.case, visit.told, "metric")
    at = synthetic.depths()
    for part in drawn["parts"]:
        assert (part["top"], part["base"]) == pytest.approx(at[part["name"]], abs=0.01)
    assert drawn["top"] < at["hanger"][0] < at["screen 5"][1] < drawn["base"]
    assert [zone["name"] for zone in drawn["zones"]] == synthetic.ZONES
    flow = picture.flow(base, "metric")
    assert np.allclose(flow["zones"]["oil"], shown(base.zone["oil_rate"], "liquid rate", "metric"), rtol=1e-4)
    assert np.allclose(
        flow["bore"]["rate"][0][0], shown(base.piece["bore_rate"][0, 0], "liquid rate", "metric"), rtol=1e-3
    )
    json.dumps([drawn, flow], allow_nan=False)


def test_a_number_that_is_not_finite_does_not_reach_the_picture(base: Forecast) -> None:
    assert picture.numbers(np.array([[np.nan, np.inf], [1.0, 2.0]]), "fraction", "field")[0][0] == 0


def test_states_are_sent_when_they_change(other: Forecast) -> None:
    changes = picture.flow(other, "field")["states"]
    assert [str(other.dates[at]) for at, _ in changes] == ["2031-01-01"]
    assert changes[0][1]["Birch"] == "shut"


def test_csv_carries_every_report_date_with_units(base: Forecast, other: Forecast) -> None:
    rows = answers.csv_rows({"base": Result(base), "x": Result(other)}, "field")
    assert len(rows) == 2 * len(base.dates)
    oil = shown(other.well["oil_rate"][-1], "liquid rate", "field")
    assert float(rows[-1]["oil rate (bbl/d)"]) == pytest.approx(oil, rel=1e-7)
    assert rows[-1]["what_if"] == "x"
    assert "Birch: water cut" in rows[0]


def test_a_zone_that_cannot_be_shut_shows_the_reason_instead_of_the_button(visit: Visit) -> None:
    assert "Cedar cannot be shut alone" in panel(visit, "zone", "Cedar")
    assert "Shut it" not in panel(visit, "zone", "Cedar")
    assert "Shut it" in panel(visit, "zone", "Birch")
    assert "needs 6.0 m" in panel(visit, "blank pipe", "blank 4")
    assert "Set plug here" not in panel(visit, "blank pipe", "blank 4")
    assert "Let it leak" in panel(visit, "seal", "seal 4")
    assert "Bottom-hole pressure" in panel(visit, "well", "well")
    assert "Pick a part" in panel(visit, "", "")


def test_a_straddle_is_offered_between_blanks_that_take_an_element(visit: Visit) -> None:
    blank = next(b for b in visit.told.blanks if b.name == "blank 3")
    ends = part_panel.straddles(blank, visit.told)
    assert [end["value"] for end in ends] == ["blank 3|blank 5", "blank 2|blank 3"]
    assert "Birch" in ends[1]["label"] and "Amber" not in ends[1]["label"]


def test_the_cautions_are_round_every_page() -> None:
    assert CAUTION[:60] in text_of(frame.layout())


def test_names_that_meet_are_kept_apart_in_the_table(house: House, visit: Visit) -> None:
    for step in ({"do": "copy card", "made": "aa"}, {"do": "rename", "name": "base"}):
        house.shelf.apply(visit.project.id, "", {"card": visit.cards[1]["id"], **step})
    there = house.visit({"project": visit.project.id, "card": visit.cards[1]["id"]}, tab="a")
    assert there is not None
    names = list(standing.compared(there, standing.standings(house, there)))
    assert names == ["base", "base (2)", "Shut Birch early (copy)"]


@pytest.mark.parametrize(
    ("trigger", "value", "step"),
    [
        ("card-name", "x", {"do": "rename", "card": "c", "name": "x"}),
        ({"type": "event-remove", "event": "e"}, 1, {"do": "remove event", "event_id": "e"}),
        ({"type": "event-remove", "event": "e"}, 0, None),
        ({"type": "event-switch", "event": "e"}, False, {"do": "switch event", "event_id": "e", "on": False}),
        ({"type": "compare-card", "card": "d"}, 1, {"do": "compare", "card": "d"}),
        ({"type": "card-tool", "name": "remove"}, 1, {"do": "remove card", "card": "c"}),
    ],
)
def test_a_click_becomes_a_step(trigger: Any, value: Any, step: Any) -> None:
    assert cards.step_of(trigger, value, "c") == step


def test_the_date_of_a_job_follows_the_slider(visit: Visit) -> None:
    schedule = visit.case.schedule
    assert report_dates.date_at(60, schedule) == date(2031, 1, 1)
    assert report_dates.date_at(0, schedule) == date(2026, 2, 1)
    assert report_dates.date_at(10_000, schedule) == schedule.end
    assert report_dates.index_of("2031-01", schedule) == 60
    assert report_dates.index_of("2099-01", schedule) is None


def test_after_a_job_the_picture_moves_to_the_first_report_that_shows_it(house: House, visit: Visit) -> None:
    schedule = visit.case.schedule
    at = report_dates.index_after("2031-01-01", schedule)
    assert report_dates.date_at(at, schedule) == date(2031, 2, 1)
    assert report_dates.date_at(report_dates.index_after("2031-01-17", schedule), schedule) == date(2031, 2, 1)
    assert report_dates.date_at(report_dates.index_after("2046-01-01", schedule), schedule) == date(2046, 1, 1)
    shut = with_event(house, visit, {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"})
    assert well.job_date(at, shut) == date(2031, 1, 1)
    assert well.job_date(at + 5, shut) == date(2031, 7, 1)
    assert well.job_date(at, visit) == date(2031, 2, 1)


def panel(visit: Visit, kind: str, name: str, arrivals: Any = None) -> str:
    return text_of(part_panel.panel({"kind": kind, "name": name}, visit, date(2031, 1, 1), arrivals))


def test_the_panel_knows_when_water_comes_in_the_base(house: House, visit: Visit, base: Forecast) -> None:
    assert house.engine.base_arrivals(visit.case) == {}
    standing.standings(house, visit)
    arrivals = house.engine.base_arrivals(visit.case)
    told = {h.where: h.date for h in base.happenings if h.kind == "water arrives"}
    assert {zone: day.isoformat() for zone, day in arrivals.items()} == told
    assert f"water in the base: {arrivals['Birch']:%b %Y}" in panel(visit, "zone", "Birch", arrivals)
    assert "water in the base" not in panel(visit, "zone", "Birch")


def gas_case(case: Case) -> Case:
    return case.model_copy(update={"well": case.well.model_copy(update={"kind": "gas producer"})})


def test_a_gas_well_speaks_of_water_rate_and_gas_rate(house: House, visit: Visit) -> None:
    case = gas_case(visit.case)
    names = [figure.name for figure in answers.figures_of(case)]
    assert "Water rate at the end" in names and not {"Water cut at the end", "Oil"} & set(names)
    gas = replace(visit, project=replace(visit.project, case=case))
    zone = panel(gas, "zone", "Birch")
    assert "water cut" not in zone and "as soon as water comes" in zone
    head = panel(gas, "well", "well")
    assert "Gas rate" in head and "Liquid rate" not in head


def test_what_is_set_already_can_be_taken_out_or_moved(house: House, visit: Visit) -> None:
    assert "Take out" not in panel(visit, "blank pipe", "blank 5")
    there = with_event(house, visit, {"do": "set plug", "blank": "blank 5", "on": "2031-01-01"})
    assert "Take out" in panel(there, "blank pipe", "blank 5")
    assert "Move" in panel(there, "blank pipe", "blank 5")


def test_depths_are_true_ones_between_the_pieces(visit: Visit) -> None:
    zone = next(z for z in visit.told.zones if z.name == "Birch")
    middle = 0.5 * (zone.top_md + zone.base_md)
    assert part_panel.true_depth(visit.told, middle) == pytest.approx(middle, abs=40.0)  # a vertical well
    drawn = picture.well(visit.case, visit.told, "metric")["true_depths"]
    assert drawn == sorted(drawn) and len(drawn) > 10

"""What the screen says is what the engine said: tiles, table, picture, CSV, panel, refusals, cautions."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import numpy as np
import plotly.utils
import pytest
from dash import no_update

from dashboard import work
from dashboard.measure import shown
from dashboard.pages import well, well_callbacks, well_view
from dashboard.session import CaseDesk, Result
from dashboard.widgets import answers, part_panel, picture
from planner.model.cautions import CAUTION
from planner.model.results import Forecast
from tests.dashboard import synthetic

VIEW = well_view.View("field", "light")


def text_of(component: Any) -> str:
    """All text in a component, in order."""
    return json.dumps(component, cls=plotly.utils.PlotlyJSONEncoder, ensure_ascii=False)


@pytest.fixture
def answered(desk: CaseDesk, mine: dict) -> dict:
    shut = work.after(mine, {"do": "choose", "card": mine["cards"][1]["id"]}, "field")
    return well_view.answer(desk, "a", shut, VIEW, None, only_polled=False)


def test_tiles_say_the_forecasts_numbers(answered: dict, base: Forecast, other: Forecast) -> None:
    oil, before = (shown(f.well["oil_volume"][-1], "liquid volume", "field") for f in (other, base))
    tiles = {tile.children[0].children: tile.children for tile in answered["tiles"]}
    assert tiles["Oil, Mbbl"][1].children == f"{oil:,.0f}"
    assert tiles["Oil, Mbbl"][2].children == f"\u2212{before - oil:,.0f}, worse"
    assert tiles["First water"][1].children == "Jun 2028"
    assert tiles["Limits"][1].children == "1 crossed"


def test_the_table_has_the_base_and_the_what_if_in_hand(desk: CaseDesk, answered: dict, other: Forecast) -> None:
    said = text_of(answered["numbers"])
    assert "Base" in said and "Shut Birch early" in said
    water = shown(other.well["water_volume"][-1], "liquid volume", "field")
    assert f"{water:,.0f}" in said


def test_without_events_the_base_stands_alone(desk: CaseDesk, mine: dict) -> None:
    out = well_view.answer(desk, "a", mine, VIEW, None, only_polled=False)
    assert out["status"].startswith("Showing the base")
    assert out["picture"]["base"] is None
    assert out["quiet"] is True


def test_a_refused_what_if_says_why_and_shows_the_base(desk: CaseDesk, mine: dict) -> None:
    raw = {"do": "shut zone", "zone": "Cedar", "on": "2031-01-01"}
    asked = work.after(mine, {"do": "add event", "event": raw}, "field")
    out = well_view.answer(desk, "a", asked, VIEW, None, only_polled=False)
    assert "blank 4 below it is 2.0 m" in out["status"]
    assert "Showing the base" in out["status"]
    assert "not possible" in text_of(out["cards"])


def test_a_failed_what_if_says_what_failed_and_keeps_the_events(desk: CaseDesk, mine: dict) -> None:
    raw = {"do": "change control", "shut": True, "on": "2031-01-01"}
    asked = work.after(mine, {"do": "add event", "event": raw}, "field")
    out = well_view.answer(desk, "a", asked, VIEW, None, only_polled=False)
    assert "water balance of Birch sand" in out["status"]
    assert out["retry"] != "none"
    assert work.active(work.chosen(asked)) == [raw]


def test_a_poll_without_news_changes_no_chart(desk: CaseDesk, mine: dict) -> None:
    first = well_view.answer(desk, "a", mine, VIEW, None, only_polled=False)
    again = well_view.answer(desk, "a", mine, VIEW, first["shown"], only_polled=True)
    assert again["picture"] is no_update
    assert again["chart rate"] is no_update


def test_the_picture_is_true_to_depth_and_to_the_flow(desk: CaseDesk, base: Forecast) -> None:
    drawn = picture.well(desk.case, desk.description, "metric")
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


def test_a_zone_that_cannot_be_shut_shows_the_reason_instead_of_the_button(desk: CaseDesk) -> None:
    def panel(kind: str, name: str) -> str:
        return text_of(
            part_panel.panel({"kind": kind, "name": name}, desk.case, desk.description, date(2031, 1, 1), "field")
        )

    assert "Cedar cannot be shut alone" in panel("zone", "Cedar")
    assert "Shut it" not in panel("zone", "Cedar")
    assert "Shut it" in panel("zone", "Birch")
    assert "needs 6.0 m" in panel("blank pipe", "blank 4")
    assert "Set plug here" not in panel("blank pipe", "blank 4")
    assert "Let it leak" in panel("seal", "seal 4")
    assert "Bottom-hole pressure" in panel("well", "well")
    assert "Pick a part" in panel("", "")


def test_a_straddle_is_offered_between_blanks_that_take_an_element(desk: CaseDesk) -> None:
    blank = next(b for b in desk.description.blanks if b.name == "blank 3")
    ends = part_panel.straddles(blank, desk.description)
    assert [end["value"] for end in ends] == ["blank 3|blank 5", "blank 2|blank 3"]
    assert "Birch" in ends[1]["label"] and "Amber" not in ends[1]["label"]


def test_the_cautions_are_on_the_page(desk: CaseDesk) -> None:
    assert CAUTION[:60] in text_of(well.layout(desk))


def test_names_that_meet_are_kept_apart_in_the_table(desk: CaseDesk, mine: dict) -> None:
    twin = work.after(mine, {"do": "choose", "card": mine["cards"][1]["id"]}, "field")
    twin = work.after(twin, {"do": "copy card"}, "field")
    twin = work.after(twin, {"do": "rename", "name": "base"}, "field")
    stood = well_view.standings(desk, "a", twin)
    assert list(well_view.compared(twin, stood)) == ["base", "base (2)"]


@pytest.mark.parametrize(
    ("trigger", "value", "step"),
    [
        ("undo", 1, {"do": "undo"}),
        ("undo", 0, None),
        ("card-name", "x", {"do": "rename", "name": "x"}),
        ({"type": "pick-card", "card": "c"}, 2, {"do": "choose", "card": "c"}),
        ({"type": "pick-card", "card": "c"}, 0, None),
        ({"type": "event-remove", "event": "e"}, 1, {"do": "remove event", "event_id": "e"}),
        ({"type": "event-switch", "event": "e"}, False, {"do": "switch event", "event_id": "e", "on": False}),
        ({"type": "compare-card", "card": "c"}, 1, {"do": "compare", "card": "c"}),
    ],
)
def test_a_click_becomes_a_step(trigger: Any, value: Any, step: Any) -> None:
    assert well_callbacks.step_of(trigger, value) == step


def test_the_date_of_a_job_follows_the_slider(desk: CaseDesk) -> None:
    assert well_callbacks.date_at(60, desk) == date(2031, 1, 1)
    assert well_callbacks.date_at(0, desk) == date(2026, 2, 1)
    assert well_callbacks.date_at(10_000, desk) == desk.case.schedule.end


def test_another_case_in_the_same_browser_is_left_alone(desk: CaseDesk, mine: dict) -> None:
    assert well_callbacks.work_in({"works": {"other": mine}}, desk) is None
    assert well_callbacks.work_in({"works": {desk.key: mine}}, desk) is mine


def test_after_a_job_the_picture_moves_to_the_first_report_that_shows_it(desk: CaseDesk, mine: dict) -> None:
    at = well_callbacks.index_after("2031-01-01", desk)
    assert well_callbacks.date_at(at, desk) == date(2031, 2, 1)
    assert well_callbacks.date_at(well_callbacks.index_after("2031-01-17", desk), desk) == date(2031, 2, 1)
    assert well_callbacks.date_at(well_callbacks.index_after("2046-01-01", desk), desk) == date(2046, 1, 1)
    raw = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}
    shut = work.after(mine, {"do": "add event", "event": raw}, "field")
    assert well_callbacks.job_date(at, shut, desk) == date(2031, 1, 1)
    assert well_callbacks.job_date(at + 5, shut, desk) == date(2031, 7, 1)
    assert well_callbacks.job_date(at, mine, desk) == date(2031, 2, 1)


def test_the_panel_knows_when_water_comes_in_the_base(desk: CaseDesk, mine: dict, base: Forecast) -> None:
    assert desk.base_arrivals() == {}
    well_view.answer(desk, "a", mine, VIEW, None, only_polled=False)
    arrivals = desk.base_arrivals()
    told = {h.where: h.date for h in base.happenings if h.kind == "water arrives"}
    assert {zone: day.isoformat() for zone, day in arrivals.items()} == told
    given = ({"kind": "zone", "name": "Birch"}, desk.case, desk.description, date(2031, 1, 1), "field")
    said = text_of(part_panel.panel(*given, arrivals))
    assert f"water in the base: {arrivals['Birch']:%b %Y}" in said
    assert "water in the base" not in text_of(part_panel.panel(*given))


def test_a_gas_well_speaks_of_water_rate_and_gas_rate(desk: CaseDesk, base: Forecast) -> None:
    case = desk.case.model_copy(update={"well": desk.case.well.model_copy(update={"kind": "gas producer"})})
    names = [figure.name for figure in answers.figures_of(case)]
    assert "Water rate at the end" in names and not {"Water cut at the end", "Oil"} & set(names)
    zone = text_of(
        part_panel.panel({"kind": "zone", "name": "Birch"}, case, desk.description, date(2031, 1, 1), "field")
    )
    assert "water cut" not in zone and "as soon as water comes" in zone
    head = text_of(
        part_panel.panel({"kind": "well", "name": "well"}, case, desk.description, date(2031, 1, 1), "field")
    )
    assert "Gas rate" in head and "Liquid rate" not in head


def test_depths_are_true_ones_between_the_pieces(desk: CaseDesk) -> None:
    zone = next(z for z in desk.description.zones if z.name == "Birch")
    middle = 0.5 * (zone.top_md + zone.base_md)
    assert part_panel.true_depth(desk.description, middle) == pytest.approx(middle, abs=40.0)  # a vertical well
    drawn = picture.well(desk.case, desk.description, "metric")["true_depths"]
    assert drawn == sorted(drawn) and len(drawn) > 10

"""Events as JSON: nothing is lost on the way to the browser and back, and each says in words what it does."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from dashboard import actions, events
from planner import api
from planner.model import change
from planner.model.case import Case
from tests.dashboard import synthetic

EVERY = [
    change.ShutZone(zone="Birch", on=date(2031, 1, 1)),
    change.ShutZone(zone="Birch", when={"zone": "Birch", "water_cut_above": 0.8, "delay": "30 day"}),
    change.OpenZone(zone="Birch", on=date(2032, 1, 1)),
    change.SetPlug(blank="blank 3", on=date(2031, 1, 1), cost=2e6),
    change.SetStraddle(upper_blank="blank 2", lower_blank="blank 3", on=date(2031, 1, 1)),
    change.ChokeZone(zone="Birch", nozzle_area="60 mm^2", on=date(2031, 1, 1)),
    change.Stimulate(zone="Birch", skin=-2.0, on=date(2031, 1, 1)),
    change.LeakSeal(element="seal 4", conductance="3 bbl/day/psi", on=date(2031, 1, 1)),
    change.PlugScreen(zone="Birch", remaining=0.4, over="90 day", on=date(2031, 1, 1)),
    change.LoseSupport(support="west aquifer", remaining=0.2, on=date(2031, 1, 1)),
    change.EarlyWater(zone="Birch", by=date(2028, 1, 1)),
    change.ChangeControl(bottom_hole_pressure="150 bar", liquid_rate="500 m^3/day", on=date(2031, 1, 1)),
    change.ShutZone(zone="Birch", when={"oil_rate_below": "50 bbl/day"}),
    change.ShutZone(zone="Birch", when={"pressure_below": "100 bar"}),
    change.ShutZone(zone="Birch", when={"gas_oil_ratio_above": "900 m^3/m^3"}),
]


@pytest.mark.parametrize("event", EVERY, ids=lambda e: f"{e.do} {e.when is not None}")
@pytest.mark.parametrize("system", ["field", "metric"])
def test_an_event_comes_back_from_the_browser_as_it_went(event: change.Event, system: str) -> None:
    back = events.read(events.to_json(event, system)).model_dump()
    for key, value in event.model_dump().items():
        if isinstance(value, float):
            assert back[key] == pytest.approx(value, rel=1e-10)
        elif isinstance(value, dict):
            assert {k: v for k, v in back[key].items() if not isinstance(v, float)} == {
                k: v for k, v in value.items() if not isinstance(v, float)
            }
        else:
            assert back[key] == value


def test_every_kind_of_event_has_words_of_its_own() -> None:
    said = {events.sentence(events.to_json(event, "field"), "field") for event in EVERY}
    assert len(said) == len(EVERY)
    assert "Shut Birch on 1 Jan 2031" in said
    assert "Shut Birch when the water cut of Birch passes 80.0 %, 30.0 d later" in said


def test_an_event_that_cannot_be_read_says_which_field_and_why() -> None:
    with pytest.raises(events.BadInput) as caught:
        events.read({"do": "leak seal", "element": "seal 4", "conductance": "3 apples"})
    assert caught.value.field == "conductance"
    assert "apples" in str(caught.value)
    assert "apples" in events.sentence({"do": "leak seal", "element": "x", "conductance": "3 apples"}, "field")


FIELDS = {
    "date": "2031-06-01", "cut": 80, "nozzle": 0.5, "skin": -2, "remaining": 40, "early": 24, "to": "blank 2|blank 3",
    "leak": 2, "pressure": 2500, "liquid": 4000, "gas": 9000, "support": "west aquifer", "support-left": 0,
}  # fmt: skip


@pytest.mark.parametrize("action", actions._MAKERS)
def test_every_button_makes_an_event_that_the_engine_reads(action: str) -> None:
    raw = actions.event_for(action, {"kind": "zone", "name": "Birch"}, FIELDS, synthetic.case(), "field")
    assert events.read(raw).do == raw["do"]


def test_the_nozzle_is_asked_by_its_bore_and_kept_as_its_area() -> None:
    raw = actions.event_for("choke", {"name": "Birch"}, FIELDS, synthetic.case(), "field")
    # half an inch: pi/4 times 12.7 mm squared
    assert events.read(raw).nozzle_area == pytest.approx(3.14159265 / 4 * 0.0127**2, rel=1e-7)


def test_water_by_a_month_of_the_forecast() -> None:
    raw = actions.event_for("early", {"name": "Birch"}, {"early": 25}, synthetic.case(), "field")
    assert raw["by"] == "2028-02-01"


@pytest.mark.parametrize(
    ("action", "field", "value", "word"),
    [
        ("shut on", "date", "2070-01-01", "runs from"),
        ("shut on", "date", None, "date is needed"),
        ("shut when", "cut", 140, "must lie"),
        ("shut when", "cut", "wet", "is needed"),
        ("choke", "nozzle", 0, "above zero"),
        ("choke", "nozzle", "", "number is needed"),
        ("skin", "skin", -40, "must lie"),
        ("plug screens", "remaining", 0, "must lie"),
        ("straddle", "to", "", "other end"),
        ("leak", "leak", -1, "negative"),
        ("pressure", "pressure", -5, "above zero"),
        ("liquid", "liquid", -5, "negative"),
        ("gas", "gas", -5, "negative"),
        ("support", "support", "moon", "which support"),
        ("early", "early", 900, "ends on"),
    ],
)
def test_bad_input_is_a_sentence_at_its_field(action: str, field: str, value: object, word: str) -> None:
    with pytest.raises(events.BadInput) as caught:
        actions.event_for(action, {"name": "Birch"}, {**FIELDS, field: value}, synthetic.case(), "field")
    assert caught.value.field == field
    assert word in str(caught.value)
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize(
    ("raw", "name"),
    [
        ({"do": "leak seal", "element": "seal 2", "conductance": "2.3 m^3/day/bar"}, "seal 2 leaks, Jan 2033"),
        ({"do": "choke zone", "zone": "Birch", "nozzle_area": "60 mm^2"}, "Choke Birch, Jan 2033"),
        ({"do": "change control", "gas_rate": "9 MMcf/day"}, "Gas rate, Jan 2033"),
    ],
)
def test_the_name_of_a_what_if_holds_no_number_with_a_unit(raw: dict, name: str) -> None:
    assert events.short({**raw, "on": "2033-01-01"}) == name


def gas_well() -> Case:
    case = synthetic.case()
    return case.model_copy(update={"well": case.well.model_copy(update={"kind": "gas producer"})})


def test_in_a_gas_well_wet_means_the_first_water() -> None:
    raw = actions.event_for("shut when", {"name": "Birch"}, {"date": "2031-06-01"}, gas_well(), "field")
    event = events.read(raw)
    assert 0 < event.when.water_cut_above < 1
    assert events.when(event, "field", gas_well=True) == "when water comes from Birch"


def test_every_event_of_the_shipped_cases_goes_to_json_and_back() -> None:
    files = sorted((Path(__file__).parents[2] / "cases").glob("*/case.toml"))
    for case in map(api.read_case, files):
        for event in (event for what_if in case.what_ifs for event in what_if.events):
            there = json.loads(json.dumps(events.to_json(event, "metric")))
            back = events.read(there)
            assert json.loads(json.dumps(events.to_json(back, "metric"))) == there

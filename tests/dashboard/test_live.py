"""The live answer: work begun before it is asked for, which makes way for what is asked, is shown for that alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest
from dash import no_update

from dashboard import work
from dashboard.engine import Engine
from dashboard.house import House, Visit
from dashboard.pages import well
from dashboard.session import content_key
from dashboard.shelf import Shelf
from dashboard.widgets import cards, standing
from planner.model.change import WhatIf
from tests.dashboard import synthetic
from tests.dashboard.test_session import Held

SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}
OTHER = {"do": "shut zone", "zone": "Elder", "on": "2031-01-01"}


@pytest.fixture
def waiting(engine: SimpleNamespace, tmp_path: Path) -> tuple[House, Held]:
    """A server whose work stands still until it is told to finish."""
    runner = Held()
    return House(Shelf(tmp_path), Engine(runner)), runner


def visit_to(house: House) -> Visit:
    project = house.shelf.make(synthetic.case())
    return house.of(project, "", {"units": "field"}, "a")


def added(house: House, visit: Visit, raw: dict) -> Visit:
    """The visit after an event was added as the page adds it."""
    here = {"project": visit.project.id, "page": "well", "card": visit.card["id"], "revision": 1}
    after = house.apply(here, {"do": "add event", "card": visit.card["id"], "event": raw})
    found = house.visit(after, {"units": "field"}, "a")
    assert found is not None
    return found


def key(visit: Visit, *events: dict) -> str:
    return content_key(visit.case, WhatIf.model_validate({"name": "w", "events": events}) if events else None)


def test_a_change_begins_its_forecast_before_the_page_asks_and_the_page_joins_it(waiting: tuple[House, Held]) -> None:
    house, runner = waiting
    visit = added(house, visit_to(house), SHUT)
    assert list(runner.jobs) == [key(visit), key(visit, SHUT)]
    first = dict(runner.jobs)
    stood = standing.standings(house, visit)
    assert [s.state for s in stood.values()] == ["running", "running"]
    assert runner.jobs == first and runner.cancelled == []
    for name in first:
        runner.finish(name)
    assert all(s.state == "done" for s in standing.standings(house, visit).values())
    assert runner.jobs == {}, "nothing is computed twice"


def test_work_that_was_over_before_the_page_came_is_there(waiting: tuple[House, Held]) -> None:
    house, runner = waiting
    visit = added(house, visit_to(house), SHUT)
    for name in list(runner.jobs):
        runner.finish(name)
    assert standing.standings(house, visit)[visit.card["id"]].state == "done"
    assert runner.jobs == {}


def test_a_right_guess_goes_on_and_a_wrong_one_makes_way(waiting: tuple[House, Held]) -> None:
    house, runner = waiting
    visit = visit_to(house)
    house.guess(visit, [SHUT, OTHER])
    assert list(runner.jobs) == [key(visit, SHUT), key(visit, OTHER)]
    visit = added(house, visit, SHUT)
    assert runner.cancelled == [key(visit, OTHER)]
    standing.standings(house, visit)
    assert runner.cancelled == [key(visit, OTHER)]


def test_stop_stops_what_was_begun_ahead_too(waiting: tuple[House, Held]) -> None:
    house, runner = waiting
    visit = added(house, visit_to(house), SHUT)
    standing.standings(house, visit)
    house.engine.cancel("a")
    assert set(runner.cancelled) == {key(visit), key(visit, SHUT)}


def test_a_change_gives_up_the_forecast_of_the_work_before_it(waiting: tuple[House, Held]) -> None:
    house, runner = waiting
    visit = added(house, visit_to(house), SHUT)
    standing.standings(house, visit)
    standing.standings(house, added(house, visit, OTHER))
    assert runner.cancelled == [key(visit, SHUT)]


def test_the_likeliest_question_is_the_picked_zone_and_none_that_cannot_be_shut(
    house: House, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(house, "guess", lambda visit, raws: asked.extend(raw["zone"] for raw in raws))
    able = [zone.name for zone in visit.told.zones if zone.shut_by]
    day = date(2031, 1, 1)
    well.likely_next(house, visit, {"kind": "zone", "name": able[1]}, day)
    assert asked == [], "the base comes first"
    standing.standings(house, visit)
    well.likely_next(house, visit, {"kind": "zone", "name": able[1]}, day)
    assert asked == [able[1]]
    asked.clear()
    well.likely_next(house, visit, None, day)
    assert asked == able and "Cedar" not in able
    asked.clear()
    well.likely_next(house, replace(visit, mine=False), None, day)
    assert asked == [], "who only looks will not ask"


def test_an_answer_is_shown_for_its_own_question_alone(house: House, visit: Visit) -> None:
    stood = standing.marks(visit, standing.standings(house, visit))
    assert standing.fits(visit, stood)
    later = added(house, visit, SHUT)
    assert not standing.fits(later, stood), "the work has gone on"
    other_card = house.of(visit.project, visit.cards[1]["id"], None, "a")
    assert not standing.fits(other_card, stood)
    assert not standing.fits(visit_to(house), stood)


def test_how_cards_stand_is_left_alone_where_the_word_is_about_another_project(house: House, visit: Visit) -> None:
    there = added(house, visit, SHUT)
    stood = standing.marks(there, standing.standings(house, there))
    assert cards.fact_of(there, there.card["id"], stood) == "1 event"
    assert cards.fact_of(there, there.card["id"], {**stood, "states": {there.card["id"]: "running"}}).endswith(
        "computing"
    )
    assert cards.fact_of(there, "gone", stood) is no_update
    assert cards.fact_of(visit_to(house), there.card["id"], stood) is no_update
    assert work.find(there.cards, there.card["id"]) is not None

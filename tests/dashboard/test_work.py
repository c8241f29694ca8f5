"""The reducer of the user's work: every step is a new work, and can be undone."""

from __future__ import annotations

import copy
import json

import pytest

from dashboard import events, work

SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}


def add(mine: dict, raw: dict = SHUT) -> dict:
    return work.after(mine, {"do": "add event", "event": raw}, "field")


def test_a_new_browser_has_an_empty_what_if_and_those_of_the_case(mine: dict) -> None:
    assert [card["name"] for card in mine["cards"]] == ["My what-if", "Shut Birch early", "Seal 4 leaks"]
    assert work.chosen(mine)["events"] == []
    assert work.usable(json.loads(json.dumps(mine)))


def test_adding_an_event_names_the_card_and_leaves_the_old_work_alone(mine: dict) -> None:
    before = copy.deepcopy(mine)
    new = add(mine)
    assert mine == before
    assert work.chosen(new)["name"] == "Shut Birch, Jan 2031"
    assert work.active(work.chosen(new)) == [SHUT]
    assert new["revision"] == mine["revision"] + 1


def test_an_event_that_cannot_be_read_does_not_get_in(mine: dict) -> None:
    with pytest.raises(events.BadInput):
        add(mine, {"do": "shut zone", "zone": "Birch", "on": "soon"})


def test_undo_and_redo_walk_the_whole_way(mine: dict) -> None:
    one = add(mine)
    two = add(one, {"do": "set plug", "blank": "blank 3", "on": "2035-01-01"})
    back = work.after(work.after(two, {"do": "undo"}, "field"), {"do": "undo"}, "field")
    assert back["cards"] == mine["cards"]
    forth = work.after(work.after(back, {"do": "redo"}, "field"), {"do": "redo"}, "field")
    assert forth["cards"] == two["cards"]
    assert forth["future"] == []
    assert work.after(forth, {"do": "redo"}, "field") is forth


def test_a_new_step_after_undo_forgets_the_undone(mine: dict) -> None:
    undone = work.after(add(mine), {"do": "undo"}, "field")
    other = add(undone, {"do": "set plug", "blank": "blank 3", "on": "2035-01-01"})
    assert other["future"] == []


def test_history_has_an_end(mine: dict) -> None:
    for year in range(2030, 2030 + work.KEPT_STEPS + 10):
        mine = add(mine, {**SHUT, "on": f"{year}-01-01"})
    assert len(mine["past"]) == work.KEPT_STEPS


def test_an_event_can_be_switched_off_moved_and_removed(mine: dict) -> None:
    new = add(mine)
    event_id = work.chosen(new)["events"][0]["id"]
    off = work.after(new, {"do": "switch event", "event_id": event_id, "on": False}, "field")
    assert work.active(work.chosen(off)) == []
    moved = work.after(off, {"do": "date event", "event_id": event_id, "date": "2033-04-01"}, "field")
    assert work.chosen(moved)["events"][0]["event"]["on"] == "2033-04-01"
    gone = work.after(moved, {"do": "remove event", "event_id": event_id}, "field")
    assert work.chosen(gone)["events"] == []
    assert work.chosen(gone)["name"] == "My what-if"


def test_steps_that_change_nothing_give_the_same_work_back(mine: dict) -> None:
    new = add(mine)
    event = work.chosen(new)["events"][0]
    for step in (
        {"do": "switch event", "event_id": event["id"], "on": True},
        {"do": "date event", "event_id": event["id"], "date": SHUT["on"]},
        {"do": "rename", "name": work.chosen(new)["name"]},
        {"do": "rename", "name": "  "},
        {"do": "choose", "card": new["chosen"]},
        {"do": "remove event", "event_id": "nobody"},
        {"do": "dance"},
    ):
        assert work.after(new, step, "field") is new


def test_early_water_is_moved_by_its_own_date(mine: dict) -> None:
    new = add(mine, {"do": "early water", "zone": "Elder", "by": "2028-01-01"})
    event_id = work.chosen(new)["events"][0]["id"]
    moved = work.after(new, {"do": "date event", "event_id": event_id, "date": "2029-01-01"}, "field")
    assert work.chosen(moved)["events"][0]["event"]["by"] == "2029-01-01"


def test_cards_are_copied_renamed_and_removed(mine: dict) -> None:
    new = work.after(add(mine), {"do": "rename", "name": "Early straddle"}, "field")
    twin = work.after(new, {"do": "copy card"}, "field")
    assert work.chosen(twin)["name"] == "Early straddle (copy)"
    assert work.active(work.chosen(twin)) == [SHUT]
    ids = [listed["id"] for card in twin["cards"] for listed in card["events"]]
    assert len(ids) == len(set(ids))
    for _ in twin["cards"]:
        twin = work.after(twin, {"do": "remove card"}, "field")
    assert [card["name"] for card in twin["cards"]] == ["My what-if"]


def test_a_name_given_by_the_user_stays(mine: dict) -> None:
    new = work.after(add(mine), {"do": "rename", "name": "Mine"}, "field")
    assert work.chosen(add(new))["name"] == "Mine"


def test_choosing_is_not_a_step_to_undo(mine: dict) -> None:
    other = work.after(mine, {"do": "choose", "card": mine["cards"][1]["id"]}, "field")
    assert work.chosen(other)["name"] == "Shut Birch early"
    assert other["past"] == []


def test_what_is_stored_from_another_form_is_not_used() -> None:
    assert not work.usable(None)
    assert not work.usable({"form": -1, "cards": [1]})

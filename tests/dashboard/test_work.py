"""The reducer of the user's work: every step is a new work, and can be undone."""

from __future__ import annotations

import copy

import pytest

from dashboard import events, work

SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}


def first(mine: dict) -> dict:
    return mine["cards"][0]


def add(mine: dict, raw: dict = SHUT) -> dict:
    return work.after(mine, {"do": "add event", "card": first(mine)["id"], "event": raw})


def on_first(mine: dict, do: str, **more: object) -> dict:
    return work.after(mine, {"do": do, "card": first(mine)["id"], **more})


def test_a_new_project_has_an_empty_what_if_and_those_of_the_case(mine: dict) -> None:
    assert [card["name"] for card in mine["cards"]] == ["My what-if", "Shut Birch early", "Seal 4 leaks"]
    assert first(mine)["events"] == []


def test_adding_an_event_names_the_card_and_leaves_the_old_work_alone(mine: dict) -> None:
    before = copy.deepcopy(mine)
    new = add(mine)
    assert mine == before
    assert first(new)["name"] == "Shut Birch, Jan 2031"
    assert work.active(first(new)) == [SHUT]


@pytest.mark.parametrize(
    ("raw", "field", "word"),
    [
        ({**SHUT, "zone": "Nowhere"}, "zone", "Nowhere"),
        ({**SHUT, "on": "2090-01-01"}, "on", "2046"),
        ({"do": "shut zone", "zone": "Birch", "when": {"zone": "Birch"}}, "when", "condition"),
    ],
)
def test_what_does_not_fit_the_case_is_refused_in_the_readers_words(
    mine: dict, raw: dict, field: str, word: str
) -> None:
    with pytest.raises(events.BadInput, match=word) as bad:
        add(mine, raw)
    assert bad.value.field == field


def test_an_event_that_cannot_be_read_does_not_get_in(mine: dict) -> None:
    with pytest.raises(events.BadInput):
        add(mine, {"do": "shut zone", "zone": "Birch", "on": "soon"})


def test_an_event_can_be_switched_off_moved_and_removed(mine: dict) -> None:
    new = add(mine)
    event_id = first(new)["events"][0]["id"]
    off = work.after(new, {"do": "switch event", "event_id": event_id, "on": False})
    assert work.active(first(off)) == []
    moved = work.after(off, {"do": "date event", "event_id": event_id, "date": "2033-04-01"})
    assert first(moved)["events"][0]["event"]["on"] == "2033-04-01"
    gone = work.after(moved, {"do": "remove event", "event_id": event_id})
    assert first(gone)["events"] == []
    assert first(gone)["name"] == "My what-if"


def test_steps_that_change_nothing_give_the_same_work_back(mine: dict) -> None:
    new = add(mine)
    event = first(new)["events"][0]
    for step in (
        {"do": "switch event", "event_id": event["id"], "on": True},
        {"do": "date event", "event_id": event["id"], "date": SHUT["on"]},
        {"do": "rename", "card": first(new)["id"], "name": first(new)["name"]},
        {"do": "rename", "card": first(new)["id"], "name": "  "},
        {"do": "replace event", "event_id": event["id"], "event": SHUT},
        {"do": "set case", "case": new["case"]},
        {"do": "remove event", "event_id": "nobody"},
        {"do": "dance"},
    ):
        assert work.after(new, step) is new


def test_early_water_is_moved_by_its_own_date(mine: dict) -> None:
    new = add(mine, {"do": "early water", "zone": "Elder", "by": "2028-01-01"})
    event_id = first(new)["events"][0]["id"]
    moved = work.after(new, {"do": "date event", "event_id": event_id, "date": "2029-01-01"})
    assert first(moved)["events"][0]["event"]["by"] == "2029-01-01"


def test_an_event_is_replaced_in_its_place(mine: dict) -> None:
    new = add(add(mine), {"do": "set plug", "blank": "blank 5", "on": "2035-01-01"})
    event_id = first(new)["events"][0]["id"]
    raw = {"do": "shut zone", "zone": "Elder", "on": "2032-01-01"}
    other = work.after(new, {"do": "replace event", "event_id": event_id, "event": raw})
    assert [listed["event"]["do"] for listed in first(other)["events"]] == ["shut zone", "set plug"]
    assert first(other)["events"][0]["event"] == raw


def test_cards_are_copied_renamed_and_removed(mine: dict) -> None:
    new = on_first(add(mine), "rename", name="Early straddle")
    twin = on_first(new, "copy card", made="abc")
    assert (twin["cards"][1]["name"], twin["cards"][1]["id"]) == ("Early straddle (copy)", "abc")
    assert work.active(twin["cards"][1]) == [SHUT]
    ids = [listed["id"] for card in twin["cards"] for listed in card["events"]]
    assert len(ids) == len(set(ids))
    for _ in twin["cards"]:
        twin = on_first(twin, "remove card")
    assert [card["name"] for card in twin["cards"]] == ["My what-if"]


def test_a_name_given_by_the_user_stays(mine: dict) -> None:
    assert first(add(on_first(mine, "rename", name="Mine")))["name"] == "Mine"


def test_the_case_with_its_cards_has_what_ifs_of_different_names(mine: dict) -> None:
    twin = on_first(on_first(add(mine), "rename", name="Seal 4 leaks"), "switch event", event_id="nobody")
    case = work.with_what_ifs(twin["case"], twin["cards"])
    assert [what_if.name for what_if in case.what_ifs] == ["Seal 4 leaks", "Shut Birch early", "Seal 4 leaks (2)"]

"""The user's work: what-if cards, their events, undo and redo; a pure reducer over plain JSON.

work = {revision, chosen, cards: [{id, name, named, compared, events: [{id, on, event}]}], past: [...], future: [...]}
Every step is {do, ...}; `after(work, step)` returns a new work and never changes the old one.
"""

from __future__ import annotations

import copy
import uuid
from typing import Any

from dashboard import events
from dashboard.measure import System
from planner.model.change import WhatIf

Json = dict[str, Any]
KEPT_STEPS = 30
FORM = 1  # of the stored JSON; raised when it changes


def _new_id() -> str:
    return uuid.uuid4().hex[:8]


def card(
    name: str, raws: list[Json] | None = None, named: bool = False, compared: bool = False, note: str = ""
) -> Json:
    """A what-if card; note: what its author says about it."""
    listed = [{"id": _new_id(), "on": True, "event": raw} for raw in raws or []]
    return {"id": _new_id(), "name": name, "named": named, "compared": compared, "note": note, "events": listed}


def first(what_ifs: tuple[WhatIf, ...], system: System) -> Json:
    """The work at the very start: an empty what-if, then those that the case brings."""
    cards = [card("My what-if", compared=True)]
    for given in what_ifs:
        raws = [events.to_json(event, system) for event in given.events]
        one = card(given.name, raws, named=True, note=_note(given))
        cards.append(one if given.completion is None else {**one, "completion": given.completion})
    return {"form": FORM, "revision": 1, "chosen": cards[0]["id"], "cards": cards, "past": [], "future": []}


def _note(given: WhatIf) -> str:
    """What the author says about a what-if, and the completion that it is run with."""
    completed = f"Completed as {given.completion} from the start." if given.completion else ""
    return " ".join(text for text in (given.description, completed) if text)


def usable(work: Any) -> bool:
    """Whether stored JSON is a work of this form."""
    return isinstance(work, dict) and work.get("form") == FORM and bool(work.get("cards"))


def chosen(work: Json) -> Json:
    """The card in hand."""
    return find(work, work["chosen"]) or work["cards"][0]


def find(work: Json, card_id: str) -> Json | None:
    """A card by its id."""
    return next((c for c in work["cards"] if c["id"] == card_id), None)


def active(a_card: Json) -> list[Json]:
    """The events of a card that are switched on."""
    return [listed["event"] for listed in a_card["events"] if listed["on"]]


def what_if_of(a_card: Json) -> WhatIf:
    """The card as the engine takes it. Raises events.BadInput."""
    return events.what_if(a_card["name"], active(a_card), a_card.get("completion"))


def after(work: Json, step: Json, system: System) -> Json:
    """The work after a step; unknown or impossible steps leave it as it is."""
    if step["do"] in ("undo", "redo"):
        return _travel(work, step["do"])
    new = copy.deepcopy(work)
    change = _STEPS.get(step["do"])
    if change is None or not change(new, step, system):
        return work
    new["revision"] = work["revision"] + 1
    if step["do"] not in _NOT_UNDONE:
        new["past"] = [*work["past"], _snapshot(work)][-KEPT_STEPS:]
        new["future"] = []
    return new


def _snapshot(work: Json) -> Json:
    return copy.deepcopy({"chosen": work["chosen"], "cards": work["cards"]})


def _travel(work: Json, way: str) -> Json:
    source, target = ("past", "future") if way == "undo" else ("future", "past")
    if not work[source]:
        return work
    moved = copy.deepcopy(work[source][-1])
    return {
        **work,
        **moved,
        "revision": work["revision"] + 1,
        source: work[source][:-1],
        target: [*work[target], _snapshot(work)],
    }


def _rename_from_events(a_card: Json) -> None:
    """A card that the user has not named is called after its first events."""
    if a_card["named"]:
        return
    names = [events.short(listed["event"]) for listed in a_card["events"][:2]]
    more = "" if len(a_card["events"]) <= 2 else f" and {len(a_card['events']) - 2} more"
    a_card["name"] = ("; ".join(names) + more) if names else "My what-if"


def _add_event(work: Json, step: Json, system: System) -> bool:
    into = chosen(work)
    raw = {key: value for key, value in step["event"].items() if value is not None}
    events.read(raw)
    into["events"].append({"id": _new_id(), "on": True, "event": raw})
    into["compared"] = True
    _rename_from_events(into)
    return True


def _each_event(work: Json, step: Json) -> tuple[Json, Json] | tuple[None, None]:
    for a_card in work["cards"]:
        for listed in a_card["events"]:
            if listed["id"] == step.get("event_id"):
                return a_card, listed
    return None, None


def _remove_event(work: Json, step: Json, system: System) -> bool:
    a_card, listed = _each_event(work, step)
    if a_card is None:
        return False
    a_card["events"].remove(listed)
    _rename_from_events(a_card)
    return True


def _switch_event(work: Json, step: Json, system: System) -> bool:
    _, listed = _each_event(work, step)
    if listed is None or listed["on"] == bool(step["on"]):
        return False
    listed["on"] = bool(step["on"])
    return True


def _date_event(work: Json, step: Json, system: System) -> bool:
    """Move an event to another date (or the date by which water comes)."""
    a_card, listed = _each_event(work, step)
    if a_card is None or listed is None or not step.get("date"):
        return False
    key = "by" if listed["event"]["do"] == "early water" else "on"
    if listed["event"].get(key) == step["date"] or "when" in listed["event"]:
        return False
    moved = {**listed["event"], key: step["date"]}
    events.read(moved)
    listed["event"] = moved
    _rename_from_events(a_card)
    return True


def _choose(work: Json, step: Json, system: System) -> bool:
    found = find(work, step.get("card", ""))
    if found is None or work["chosen"] == found["id"]:
        return False
    work["chosen"] = found["id"]
    return True


def _new_card(work: Json, step: Json, system: System) -> bool:
    made = card(f"What-if {len(work['cards']) + 1}", compared=True)
    work["cards"].append(made)
    work["chosen"] = made["id"]
    return True


def _copy_card(work: Json, step: Json, system: System) -> bool:
    source = chosen(work)
    made = card(f"{source['name']} (copy)", copy.deepcopy([e["event"] for e in source["events"]]), True, True)
    if source.get("completion"):
        made["completion"] = source["completion"]
    for old, new in zip(source["events"], made["events"], strict=True):
        new["on"] = old["on"]
    work["cards"].insert(work["cards"].index(source) + 1, made)
    work["chosen"] = made["id"]
    return True


def _remove_card(work: Json, step: Json, system: System) -> bool:
    gone = chosen(work)
    place = work["cards"].index(gone)
    work["cards"].remove(gone)
    if not work["cards"]:
        work["cards"].append(card("My what-if", compared=True))
    work["chosen"] = work["cards"][min(place, len(work["cards"]) - 1)]["id"]
    return True


def _rename(work: Json, step: Json, system: System) -> bool:
    name = (step.get("name") or "").strip()[:80]
    a_card = chosen(work)
    if not name or name == a_card["name"]:
        return False
    a_card["name"], a_card["named"] = name, True
    return True


def _compare(work: Json, step: Json, system: System) -> bool:
    found = find(work, step.get("card", ""))
    if found is None:
        return False
    found["compared"] = not found["compared"]
    return True


_NOT_UNDONE = {"choose"}
_STEPS = {
    "add event": _add_event,
    "remove event": _remove_event,
    "switch event": _switch_event,
    "date event": _date_event,
    "choose": _choose,
    "new card": _new_card,
    "copy card": _copy_card,
    "remove card": _remove_card,
    "rename": _rename,
    "compare": _compare,
}

"""The user's work as a pure reducer: what-if cards with their events, and the case that they stand on.

work = {cards: [{id, name, named, compared, note, events: [{id, on, event}]}], case: Case}
Every step is {do, ...}; `after(work, step)` returns a new work, or the same one where nothing changes, and never
changes the old one. Undo, redo and going back are matters of the shelf, which keeps every work that ever was.
"""

from __future__ import annotations

import copy
import uuid
from typing import Any

from dashboard import events
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.consistency import check

Json = dict[str, Any]
KEPT_STEPS = 40  # that undo can take back
FIRST_NAME = "My what-if"


def new_id() -> str:
    """A name for a card or an event that no other has."""
    return uuid.uuid4().hex[:8]


def card(
    name: str, raws: list[Json] | None = None, named: bool = False, compared: bool = False, note: str = ""
) -> Json:
    """A what-if card; note: what its author says about it."""
    listed = [{"id": new_id(), "on": True, "event": raw} for raw in raws or []]
    return {"id": new_id(), "name": name, "named": named, "compared": compared, "note": note, "events": listed}


def first_cards(case: Case) -> list[Json]:
    """The cards of a new project: an empty one, then those that the case brings."""
    cards = [card(FIRST_NAME, compared=True)]
    for given in case.what_ifs:
        raws = [events.to_json(event, case.units) for event in given.events]
        one = card(given.name, raws, named=True, note=_note(given))
        cards.append(one if given.completion is None else {**one, "completion": given.completion})
    return cards


def _note(given: WhatIf) -> str:
    """What the author says about a what-if."""
    return given.description


def acts(a_card: Json) -> bool:
    """Whether a card differs from the base: by an event that is switched on, or by its completion."""
    return bool(active(a_card) or a_card.get("completion"))


def completed(a_card: Json) -> str:
    """The completion of a card in words; '' where it is that of the case."""
    name = a_card.get("completion")
    return "" if not name else f"{name} screens" if name in ("conforming", "stand-alone") else str(name)


def find(cards: list[Json], card_id: str | None) -> Json | None:
    """A card by its id."""
    return next((c for c in cards if c["id"] == card_id), None)


def in_hand(cards: list[Json], card_id: str | None) -> Json:
    """The card that a page is about: the one named, or the first."""
    return find(cards, card_id) or cards[0]


def find_event(a_card: Json, event_id: str | None) -> Json | None:
    """An event of a card by its id."""
    return next((listed for listed in a_card["events"] if listed["id"] == event_id), None)


def active(a_card: Json) -> list[Json]:
    """The events of a card that are switched on."""
    return [listed["event"] for listed in a_card["events"] if listed["on"]]


def what_if_of(a_card: Json) -> WhatIf:
    """The card as the engine takes it. Raises events.BadInput."""
    return events.what_if(a_card["name"], active(a_card), a_card.get("completion"))


def with_what_ifs(case: Case, cards: list[Json]) -> Case:
    """The case with the cards that do something as its what-ifs, each under its own name; unreadable ones left out."""
    made: dict[str, WhatIf] = {}
    for a_card in cards:
        if not acts(a_card):
            continue
        name, number = a_card["name"], 2
        while name in made or name == "base":
            name, number = f"{a_card['name']} ({number})", number + 1
        try:
            made[name] = what_if_of(a_card).model_copy(update={"name": name, "description": a_card.get("note", "")})
        except events.BadInput:
            continue
    return case.model_copy(update={"what_ifs": tuple(made.values())})


def after(work: Json, step: Json) -> Json:
    """The work after a step; unknown or impossible steps give the same work back. Raises events.BadInput."""
    change = _STEPS.get(step["do"])
    if change is None:
        return work
    new = {"cards": copy.deepcopy(work["cards"]), "case": work["case"]}
    return new if change(new, step) else work


def told(step: Json, before: Json, new: Json) -> str:
    """A sentence on a step, for the list of revisions."""
    if step.get("told"):
        return str(step["told"])
    a_card = find(new["cards"], step.get("card")) or find(before["cards"], step.get("card"))
    name = a_card["name"] if a_card else ""
    if step["do"] in ("add event", "replace event"):
        return f"{name}: {events.sentence(step['event'], new['case'].units)}"
    return f"{step['do'].capitalize()}: {name}" if name else step["do"].capitalize()


def _name_after_events(a_card: Json) -> None:
    """A card that the user has not named is called after its first events."""
    if a_card["named"]:
        return
    names = [completed(a_card)] if a_card.get("completion") else []
    names += [events.short(listed["event"]) for listed in a_card["events"][:2]]
    more = "" if len(a_card["events"]) <= 2 else f" and {len(a_card['events']) - 2} more"
    a_card["name"] = ("; ".join(names) + more) if names else FIRST_NAME


def _raw_event(step: Json, case: Case) -> Json:
    """The event of a step, proved to be readable and to fit the case. Raises events.BadInput."""
    raw = {key: value for key, value in step["event"].items() if value is not None}
    alone = WhatIf(name="w", events=(events.read(raw),))
    for problem in check(case.model_copy(update={"what_ifs": (alone,)})):
        if problem.place.startswith("what_ifs"):
            text = f"{problem.message[:1].upper()}{problem.message[1:]}. {problem.remedy}"
            raise events.BadInput(problem.place.rpartition(".")[2], text)
    return raw


def _add_event(work: Json, step: Json) -> bool:
    into = find(work["cards"], step["card"])
    if into is None:
        return False
    into["events"].append({"id": step.get("event_id") or new_id(), "on": True, "event": _raw_event(step, work["case"])})
    into["compared"] = True
    _name_after_events(into)
    return True


def _each_event(work: Json, step: Json) -> tuple[Json, Json] | tuple[None, None]:
    for a_card in work["cards"]:
        for listed in a_card["events"]:
            if listed["id"] == step.get("event_id"):
                return a_card, listed
    return None, None


def _replace_event(work: Json, step: Json) -> bool:
    a_card, listed = _each_event(work, step)
    if a_card is None or listed is None:
        return False
    raw = _raw_event(step, work["case"])
    if raw == listed["event"]:
        return False
    listed["event"] = raw
    _name_after_events(a_card)
    return True


def _remove_event(work: Json, step: Json) -> bool:
    a_card, listed = _each_event(work, step)
    if a_card is None:
        return False
    a_card["events"].remove(listed)
    _name_after_events(a_card)
    return True


def _switch_event(work: Json, step: Json) -> bool:
    _, listed = _each_event(work, step)
    if listed is None or listed["on"] == bool(step["on"]):
        return False
    listed["on"] = bool(step["on"])
    return True


def _date_event(work: Json, step: Json) -> bool:
    """Move an event to another date (or the date by which water comes)."""
    _, listed = _each_event(work, step)
    if listed is None or not step.get("date"):
        return False
    key = "by" if listed["event"]["do"] == "early water" else "on"
    if listed["event"].get(key) == step["date"] or "when" in listed["event"]:
        return False
    return _replace_event(work, {**step, "event": {**listed["event"], key: step["date"]}})


def _new_card(work: Json, step: Json) -> bool:
    made = card(f"What-if {len(work['cards']) + 1}", compared=True)
    work["cards"].append({**made, "id": step.get("made") or made["id"]})
    return True


def _copy_card(work: Json, step: Json) -> bool:
    source = find(work["cards"], step["card"])
    if source is None:
        return False
    made = card(f"{source['name']} (copy)", copy.deepcopy([e["event"] for e in source["events"]]), True, True)
    if source.get("completion"):
        made["completion"] = source["completion"]
    for old, new in zip(source["events"], made["events"], strict=True):
        new["on"] = old["on"]
    work["cards"].insert(work["cards"].index(source) + 1, {**made, "id": step.get("made") or made["id"]})
    return True


def _remove_card(work: Json, step: Json) -> bool:
    gone = find(work["cards"], step["card"])
    if gone is None:
        return False
    work["cards"].remove(gone)
    if not work["cards"]:
        work["cards"].append(card(FIRST_NAME, compared=True))
    return True


def _rename(work: Json, step: Json) -> bool:
    name = (step.get("name") or "").strip()[:80]
    a_card = find(work["cards"], step["card"])
    if a_card is None or not name or name == a_card["name"]:
        return False
    a_card["name"], a_card["named"] = name, True
    return True


def _compare(work: Json, step: Json) -> bool:
    found = find(work["cards"], step["card"])
    if found is None:
        return False
    found["compared"] = not found["compared"]
    return True


def _complete(work: Json, step: Json) -> bool:
    """Give a card another completion from the start; an empty one: that of the case. Raises events.BadInput."""
    found, name = find(work["cards"], step["card"]), step.get("completion") or None
    if found is None or name == found.get("completion"):
        return False
    if name is not None:
        events.what_if(found["name"], [], name)
        if work["case"].completions.of(name) is None:
            raise events.BadInput("completion", f"The case has no numbers for the completion '{name}'.")
        found["compared"] = True
    found["completion"] = name
    _name_after_events(found)
    return True


def _set_case(work: Json, step: Json) -> bool:
    """Put another case under the cards; the step carries it read and checked."""
    if work["case"] == step["case"]:
        return False
    work["case"] = step["case"]
    return True


_STEPS = {
    "add event": _add_event,
    "replace event": _replace_event,
    "remove event": _remove_event,
    "switch event": _switch_event,
    "date event": _date_event,
    "new card": _new_card,
    "copy card": _copy_card,
    "remove card": _remove_card,
    "rename": _rename,
    "compare": _compare,
    "complete": _complete,
    "set case": _set_case,
}

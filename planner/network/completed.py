"""The case that a what-if is run on: the same one, or the same well completed another way from the start."""

from __future__ import annotations

from collections import Counter

from planner.base.errors import CaseError, Refusal
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.completion import recompleted
from planner.network.pieces import cut_string, mean_hole_diameter
from planner.network.records import TOUCH, Zone
from planner.network.trajectory import Trajectory
from planner.network.zones import Division, divide


def completed(case: Case, what_if: WhatIf | None) -> Case:
    """The case with the completion of a what-if; the case itself where it names none.

    Zones are what the new string makes of them; each takes the name of the zones of the case's own string that it
    covers ('Ochre + Umber' where no seal parts them any more, 'Ochre 1', 'Ochre 2' where cement parts one). Raises
    CaseError when `completions` lacks what is needed, Refusal when the new string does not fit the hole or opens to no
    layer, and when an event names a zone that it does not have.
    """
    if what_if is None or what_if.completion is None:
        return case
    swapped = _expanded(recompleted(case, what_if.completion))
    own = _division(case)
    try:
        new = _division(swapped)
    except CaseError as error:
        faults = "; ".join(problem.message for problem in error.problems)
        raise Refusal(f"the well cannot be completed as {what_if.completion}: {faults}") from error
    flowing = [k for k in range(len(new.zones)) if not new.zones[k].name.startswith("behind ")]
    names = _names([new.zones[k] for k in flowing], [z for z in own.zones if not z.name.startswith("behind ")])
    _refuse_unknown(what_if, names)
    return swapped.model_copy(update={"zones": tuple(names)})


def _expanded(case: Case) -> Case:
    """A conforming screen without an outer diameter stands against the hole wall."""
    string = tuple(
        e.model_copy(update={"outer_diameter": mean_hole_diameter(case.well.hole, e.top_md, e.base_md)})
        if e.kind == "screen" and e.screen == "conforming" and e.outer_diameter is None
        else e
        for e in case.string
    )
    return case.model_copy(update={"string": string})


def _division(case: Case) -> Division:
    trajectory = Trajectory(case.well.survey)
    return divide(case, cut_string(case, trajectory), trajectory)


def _names(zones: list[Zone], own: list[Zone]) -> list[str]:
    """Names of zones by the zones of the case's own string that they cover, top-down."""
    covers = [[z.name for z in own if min(z.base_md, one.base_md) - max(z.top_md, one.top_md) > TOUCH] for one in zones]
    times = Counter(name for covered in covers for name in covered)
    used: Counter[str] = Counter()
    names = []
    for covered in covers:
        base = " + ".join(covered) or "outside"
        used[base] += 1
        parted = any(times[name] > 1 for name in covered) or not covered
        names.append(f"{base} {used[base]}" if parted else base)
    return names


def _refuse_unknown(what_if: WhatIf, names: list[str]) -> None:
    """Events and triggers name zones of the string as it is completed in this what-if."""
    for event in what_if.events:
        wanted = [getattr(event, "zone", ""), event.when.zone if event.when else ""]
        for name in wanted:
            if name and name not in names:
                raise Refusal(
                    f"there is no zone '{name}' in the {what_if.completion} completion: the outside seals of that "
                    f"string make {', '.join(names)}"
                )

"""What may fail in a case: its failures, and jobs whose way or own word gives them less than a sure success."""

from __future__ import annotations

from collections.abc import Iterable
from math import prod

from planner.model.case import Case
from planner.model.change import Event
from planner.model.paths import Zones
from planner.model.uncertain import Failure
from planner.model.ways import chance_of

SETTLED = (0.0, 1.0)  # chances that leave nothing to draw


def failures_of(case: Case, zones: Zones) -> tuple[Failure, ...]:
    """The case's failures, then one for each uncertain job of its what-ifs that none of them covers.

    Jobs of one kind on one place with one chance share their draw in all what-ifs. A job whose own word is a chance of
    0 or 1 is settled: nothing is drawn for it.
    """
    found = {one.name: one for one in case.failures}
    for what_if in case.what_ifs:
        for event in what_if.events:
            chance = chance_of(case, event, zones.get(getattr(event, "zone", ""), ()))
            if chance < 1.0 and event.chance not in SETTLED and not any(covers(one, event) for one in case.failures):
                name = f"{event.do} {place_of(event)}, chance {chance:g}"
                found.setdefault(name, Failure(name=name, do="job fails", job=event.do, success=chance))
    return tuple(found.values())


def covers(failure: Failure, event: Event) -> bool:
    """Whether a row of the case's failures is about an event."""
    zone = getattr(event, "zone", "")
    return failure.do == "job fails" and failure.job == getattr(event, "do", "") and failure.zone in ("", zone)


def fails(case: Case, event: Event, failing: tuple[Failure, ...], zones: Zones) -> bool:
    """Whether an event is among the jobs that fail. case: with its failures, before any draw."""
    if event.chance in SETTLED:
        return event.chance == 0.0
    if any(covers(one, event) for one in case.failures):
        return any(covers(one, event) for one in failing if one in case.failures)
    chance = chance_of(case, event, zones.get(getattr(event, "zone", ""), ()))
    name = f"{getattr(event, 'do', '')} {place_of(event)}, chance {chance:g}"
    return any(one.name == name for one in failing)


def chance_in_members(case: Case, event: Event, layers: Iterable[str]) -> float:
    """Chance of success of a job as members draw it: that of the case's failures that cover it, else its own."""
    rows = [one for one in case.failures if covers(one, event)]
    if rows and event.chance not in SETTLED:
        return prod(float(one.success or 0.0) for one in rows)
    return chance_of(case, event, layers)


def place_of(event: Event) -> str:
    """Where a job is done, in words."""
    named = (getattr(event, key, "") for key in ("zone", "blank", "upper_blank"))
    return next((name for name in named if name), "the well")

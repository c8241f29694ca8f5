"""What a job costs, how long it takes and how likely it is to succeed: its own word, else that of its way."""

from __future__ import annotations

from collections.abc import Iterable

from planner.model.case import Case
from planner.model.change import ChangeLift, ChokeZone, Event, OpenZone, SetPlug, SetStraddle, ShutZone, Stimulate
from planner.model.economics import Way

INTERVENTIONS = (ShutZone, OpenZone, SetPlug, SetStraddle, ChokeZone)


def is_job(case: Case, event: Event, layers: Iterable[str] = ()) -> bool:
    """Whether somebody has to go out and do it. layers: names of those of the event's zone; a worse skin is no job."""
    if isinstance(event, Stimulate):
        members = set(layers)
        return any(layer.skin > event.skin for layer in case.layers if layer.name in members)
    return isinstance(event, INTERVENTIONS)


def way_of(case: Case, event: Event, layers: Iterable[str] = ()) -> Way | None:
    """The way in which an event is done: the one it names, else the default of what it does where it is a job."""
    if event.way:
        return case.economics.ways.get(event.way)
    if isinstance(event, ChangeLift) or is_job(case, event, layers):
        return case.economics.way_of(str(getattr(event, "do", "")))
    return None


def duration_of(case: Case, event: Event, layers: Iterable[str] = ()) -> float:
    """For how long (s) the well is shut in to do it; 0 where neither the event nor its way says."""
    if event.duration is not None:
        return event.duration
    way = way_of(case, event, layers)
    return way.duration if way is not None else 0.0


def chance_of(case: Case, event: Event, layers: Iterable[str] = ()) -> float:
    """Chance of success; 1 where neither the event nor its way says."""
    if event.chance is not None:
        return event.chance
    way = way_of(case, event, layers)
    return way.chance if way is not None else 1.0


def cost_of_way(case: Case, event: Event, layers: Iterable[str] = ()) -> float:
    """Cost of doing it without what is left in the hole: its own, that of its way, or the case's intervention cost."""
    if event.cost is not None:
        return event.cost
    way = way_of(case, event, layers)
    if way is not None:
        duration = event.duration if event.duration is not None else way.duration
        return way.cost + way.daily_cost * duration
    return case.economics.intervention_cost if is_job(case, event, layers) else 0.0


def left_in_hole(case: Case, event: Event, shut_by: str = "") -> float:
    """Cost of the plug or straddle that a job sets. shut_by: what shuts the zone of a job on a zone."""
    kind = ""
    if isinstance(event, SetPlug):
        kind = "plug"
    elif isinstance(event, SetStraddle):
        kind = "straddle"
    elif isinstance(event, ShutZone | ChokeZone):
        kind = shut_by
    return case.economics.terms_of(kind).each

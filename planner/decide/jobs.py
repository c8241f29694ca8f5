"""Jobs of a what-if: what somebody has to go out and do, when it was done in a forecast, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from planner.model.case import Case
from planner.model.change import (
    AnyEvent,
    ChokeZone,
    OpenZone,
    SetPlug,
    SetStraddle,
    ShutZone,
    Stimulate,
    WhatIf,
)
from planner.model.results import Forecast

INTERVENTIONS = (ShutZone, OpenZone, SetPlug, SetStraddle, ChokeZone)


@dataclass(frozen=True)
class Job:
    """A job done on a day, at a cost in the case's currency."""

    what: str
    day: date
    cost: float


def jobs_done(case: Case, what_if: WhatIf | None, forecast: Forecast) -> tuple[Job, ...]:
    """Jobs of a what-if that the forecast carried out, with their dates and costs.

    An event that never came to pass (its trigger never held, or the well was dead) costs nothing. Misfortunes (a seal
    leaks, a screen plugs, support fails, early water) and changes of the well's control cost only what the case says.
    """
    if what_if is None:
        return ()
    days = {one.event: date.fromisoformat(one.date) for one in forecast.happenings if one.event is not None}
    return tuple(
        Job(event.do, days[number], cost_of(case, event, forecast))
        for number, event in sorted(enumerate(what_if.events), key=lambda pair: days.get(pair[0], date.max))
        if number in days
    )


def cost_of(case: Case, event: AnyEvent, forecast: Forecast) -> float:
    """Cost of one event: its own, or the case's intervention cost where it is a job."""
    if event.cost is not None:
        return event.cost
    is_job = isinstance(event, INTERVENTIONS) or (isinstance(event, Stimulate) and _improves(case, event, forecast))
    return case.economics.intervention_cost if is_job else 0.0


def _improves(case: Case, event: Stimulate, forecast: Forecast) -> bool:
    """Whether the new skin is lower than that of some layer of the zone."""
    members = {name for zone in forecast.description.zones if zone.name == event.zone for name in zone.layers}
    return any(layer.skin > event.skin for layer in case.layers if layer.name in members)

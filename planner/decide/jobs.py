"""Jobs of a what-if: what somebody has to go out and do, when it was done in a forecast, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import prod

from planner.model.case import Case
from planner.model.change import AnyEvent, WhatIf
from planner.model.results import Forecast
from planner.model.ways import chance_of, cost_of_way, duration_of, left_in_hole


@dataclass(frozen=True)
class Job:
    """A job done on a day, at a cost in the case's currency. duration: s that the well is shut in; chance: 0 to 1."""

    what: str
    day: date
    cost: float
    duration: float = 0.0
    chance: float = 1.0


def jobs_done(case: Case, what_if: WhatIf | None, forecast: Forecast) -> tuple[Job, ...]:
    """Jobs of a what-if that the forecast carried out, with their dates and costs.

    An event that never came to pass (its trigger never held, or the well was dead) costs nothing. Misfortunes (a seal
    leaks, a screen plugs, support fails, early water) and changes of the well's control cost only what the case says.
    """
    if what_if is None:
        return ()
    days = {one.event: date.fromisoformat(one.date) for one in forecast.happenings if one.event is not None}
    found = sorted(enumerate(what_if.events), key=lambda pair: days.get(pair[0], date.max))
    return tuple(_job(case, event, forecast, days[number]) for number, event in found if number in days)


def chance_of_all(jobs: tuple[Job, ...]) -> float:
    """Chance that every one of some jobs succeeds, taken as independent."""
    return prod(job.chance for job in jobs)


def cost_of(case: Case, event: AnyEvent, forecast: Forecast) -> float:
    """Cost of one event: its own, or that of its way (or the case's intervention cost) and of what is left in the hole.

    An event with a cost of its own costs that and nothing else.
    """
    done = cost_of_way(case, event, _layers(event, forecast))
    return done if event.cost is not None else done + _left_in_hole(case, event, forecast)


def _job(case: Case, event: AnyEvent, forecast: Forecast, day: date) -> Job:
    layers = _layers(event, forecast)
    cost, duration = cost_of(case, event, forecast), duration_of(case, event, layers)
    return Job(event.do, day, cost, duration, chance_of(case, event, layers))


def _layers(event: AnyEvent, forecast: Forecast) -> tuple[str, ...]:
    """Layers of the zone that an event names."""
    name = getattr(event, "zone", "")
    return tuple(layer for zone in forecast.description.zones if zone.name == name for layer in zone.layers)


def _left_in_hole(case: Case, event: AnyEvent, forecast: Forecast) -> float:
    """Cost of the plug or straddle that a job sets."""
    named = getattr(event, "zone", "")
    return left_in_hole(case, event, next((z.shut_by for z in forecast.description.zones if z.name == named), ""))

"""Early water in a named zone: a thief streak sized by root finding.

A share of a layer's kh is put into a streak with a smaller share of its pore volume, so that water from the layer's
support reaches the well through the streak on the day asked for. Mass stays conserved, nothing is painted.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np
from scipy.optimize import brentq

from planner.base.constants import DAY
from planner.base.errors import Refusal
from planner.forecast.calendar import seconds
from planner.forecast.life import Life
from planner.model.case import Case
from planner.model.change import EarlyWater, WhatIf
from planner.network.compile import Streak
from planner.network.completed import completed
from planner.network.well_graph import build

LEAST_VOLUME = 1e-4  # of the layer's pore volume that a streak may have
CLOSE = 2.0  # days


@dataclass(frozen=True)
class Found:
    """A streak and how it was found."""

    streak: Streak
    zone: str
    text: str
    event: int  # place in the what-if's list


def find_streak(
    case: Case,
    what_if: WhatIf | None,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Found | None:
    """The streak that a what-if's early water needs; None when it has none. Raises Refusal when it cannot be."""
    wanted = [e for e in (what_if.events if what_if else ()) if isinstance(e, EarlyWater)]
    if not wanted or what_if is None:
        return None
    if len(wanted) > 1:
        raise Refusal("a what-if can make water come early in one zone only; put the other one in its own what-if")
    event = wanted[0]
    layer = _layer(completed(case, what_if), event)
    number = what_if.events.index(event)
    due = seconds(case, event.by) / DAY
    if due < 1.0:
        raise Refusal(f"early water in {event.zone}: {event.by} is not after the start of the forecast")
    rest = what_if.model_copy(
        update={
            "events": tuple(
                e for e in what_if.events if e is not event and (e.on is None or e.on >= event.by) and e.when is None
            )
        }
    )
    tries: dict[float, float] = {}

    def miss(log_volume: float) -> float:
        volume = math.exp(log_volume)
        if volume not in tries:
            if progress is not None:
                progress(0.0, f"{what_if.name}: sizing the streak, try {len(tries) + 1}")
            tries[volume] = arrival(case, rest, Streak(layer, event.share, volume), event, cancelled)
        return math.log(tries[volume] / due)

    largest = math.log(event.share)
    if miss(largest) <= 0.0:
        day = tries[math.exp(largest)]
        text = (
            f"water reaches {event.zone} by day {day:.0f} without any streak, before the date asked for: "
            "the layer was left as it is"
        )
        return Found(Streak(layer, event.share, event.share), event.zone, text, number)
    smallest = math.log(LEAST_VOLUME)
    if miss(smallest) > 0.0:
        raise Refusal(
            f"early water in {event.zone}: even a streak of {LEAST_VOLUME:.2%} of the pore volume of layer "
            f"{case.layers[layer].name} brings water only after day {tries[math.exp(smallest)]:.0f}; ask for a later "
            "date, a larger share of kh, or give the layer a stronger water support"
        )
    root = float(brentq(miss, smallest, largest, xtol=2e-3, rtol=1e-6, maxiter=30))
    volume = min(tries, key=lambda v: abs(tries[v] - due)) if tries else math.exp(root)
    text = (
        f"a streak with {event.share:.0%} of the kh and {volume:.2%} of the pore volume of layer "
        f"{case.layers[layer].name} brings water on day {tries[volume]:.0f} (asked: {due:.0f})"
    )
    return Found(Streak(layer, event.share, volume), event.zone, text, number)


def in_this_string(sized: Found, what_if: WhatIf | None) -> Found | None:
    """A streak found in another string of the same rock, as the early water of this what-if; None where it has none."""
    for number, event in enumerate(what_if.events if what_if else ()):
        if isinstance(event, EarlyWater):
            return replace(sized, zone=event.zone, event=number)
    return None


def arrival(
    case: Case, what_if: WhatIf, streak: Streak, event: EarlyWater, cancelled: Callable[[], bool] | None
) -> float:
    """Day on which the zone's water cut reaches the event's value; far beyond the date when it does not."""
    life = Life(case, what_if, streak)
    life.arrivals.threshold = event.water_cut
    zone = [z.name for z in life.graph.zones].index(event.zone)
    span = (event.by - case.schedule.start).days
    stop = case.schedule.start + timedelta(days=int(span * 1.6) + 30)
    longer = case.model_copy(update={"schedule": case.schedule.model_copy(update={"end": stop})})
    life.case = longer
    life.run(stop, None, cancelled)
    day = float(life.arrivals.day[zone]) / DAY
    return day if np.isfinite(day) else 1.6 * span * 4.0 + 30.0


def _layer(case: Case, event: EarlyWater) -> int:
    """Index of the layer that gets the streak. Raises Refusal when the zone has none with water support."""
    graph = build(case)
    names = [zone.name for zone in graph.zones]
    if event.zone not in names:
        raise Refusal(f"there is no zone called {event.zone}; zones are {', '.join(names)}")
    zone = names.index(event.zone)
    inside = [c.layer for c in graph.columns if c.zone == zone]
    wet = [k for k in inside if _watered(case, k)]
    if event.layer:
        wanted = [k for k in inside if case.layers[k].name == event.layer]
        if not wanted:
            raise Refusal(f"layer {event.layer} does not lie in {event.zone}")
        wet = [k for k in wanted if _watered(case, k)]
    if not wet:
        raise Refusal(
            f"early water in {event.zone}: no layer there has water behind it; give one a support (aquifer, injector "
            "or constant pressure of water), so that there is water to come"
        )
    return max(wet, key=lambda k: case.layers[k].permeability * (case.layers[k].base_md - case.layers[k].top_md))


def _watered(case: Case, layer: int) -> bool:
    support = case.supports.get(case.layers[layer].support)
    return support is not None and support.kind != "closed" and support.fluid == "water"

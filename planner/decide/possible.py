"""Whether the string can do the jobs of a what-if, before any forecast."""

from __future__ import annotations

from datetime import date

from planner.base.errors import Refusal
from planner.model.case import Case
from planner.model.change import ChokeZone, OpenZone, SetPlug, SetStraddle, SetValve, ShutZone, WhatIf
from planner.network.completed import completed
from planner.network.interventions import Action, plan
from planner.network.setting import refuse_valve
from planner.network.well_graph import build

IN_STRING = (ShutZone, OpenZone, SetPlug, SetStraddle, ChokeZone)


def refusal_of(case: Case, what_if: WhatIf) -> str:
    """Why the string cannot do a what-if; '' where it can.

    Jobs are tried in the order of their dates, triggered ones last in the order of the list; a forecast in which
    triggers come in another order may still find a place taken.
    """
    try:
        graph = build(completed(case, what_if), what_if)
        done: list[Action] = []
        for event in sorted(what_if.events, key=lambda one: one.on or date.max):
            if isinstance(event, SetValve):
                refuse_valve(graph, event.element)
            if isinstance(event, IN_STRING):
                done.append(plan(graph, event, done))
    except Refusal as reason:
        return str(reason)
    return ""

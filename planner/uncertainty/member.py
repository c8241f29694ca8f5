"""One member: the case with its draws put in, and its what-ifs with what fails in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.base.errors import CaseError
from planner.model.case import Case
from planner.model.change import (
    AnyEvent,
    ChangeControl,
    ChokeZone,
    LeakSeal,
    LoseSupport,
    PlugScreen,
    ShutZone,
    WhatIf,
)
from planner.model.consistency import check
from planner.model.ensemble import BASE, Draws, Input
from planner.model.paths import NewValue, Plus, Times, Zones, put
from planner.model.uncertain import Failure
from planner.model.ways import cost_of_way, duration_of, left_in_hole
from planner.network.closures import describe_zone
from planner.network.completed import completed
from planner.network.well_graph import build
from planner.uncertainty.chances import fails, failures_of

Floats = NDArray[np.float64]
_NOTHING = {name: info.get_default() for name, info in ChangeControl.model_fields.items()}


@dataclass(frozen=True)
class Member:
    """The case of a member without its ranges, the events of what fails in it, and the jobs that fail."""

    case: Case
    events: tuple[AnyEvent, ...]
    failing: tuple[Failure, ...]
    zones: Zones


def member_of(case: Case, draws: Draws, number: int, zones: Zones) -> Member:
    """The member with this number. Raises CaseError where its draws do not fit together."""
    values = draws.values[number]
    made = _with_choices(case, draws.inputs, values, zones)
    made = _with_ranges(made, draws.inputs, values, zones)
    failures = {one.name: one for one in failures_of(case, zones)}
    events: list[AnyEvent] = []
    failing: list[Failure] = []
    for one, value in zip(draws.inputs, values, strict=True):
        if one.kind != "failure":
            continue
        failure = failures[one.name]
        if failure.do == "job fails":
            failing += [failure] if value < 0.5 else []
        else:
            events += _event(made, failure, float(value))
    bare = made.model_copy(update={"uncertain": (), "correlation": (), "alternatives": (), "failures": ()})
    problems = check(bare)
    if problems:
        raise CaseError(problems)
    return Member(bare, tuple(events), tuple(failing), zones)


def what_if_of_member(case: Case, what_if: WhatIf | None, member: Member) -> WhatIf | None:
    """A what-if (None: the base) as it goes in a member: with its draws, failed jobs dropped, failures added.

    case: the one without draws, whose what-ifs are known by name. A failed job keeps its day and its money.
    """
    if what_if in case.what_ifs and what_if is not None:
        what_if = member.case.what_ifs[case.what_ifs.index(what_if)]
    events = tuple(_tried(case, member, event) for event in what_if.events) if what_if else ()
    if what_if is None and not member.events:
        return None
    whole = (*events, *member.events)
    return WhatIf(name=BASE, events=whole) if what_if is None else what_if.model_copy(update={"events": whole})


def _with_choices(case: Case, inputs: tuple[Input, ...], values: Floats, zones: Zones) -> Case:
    rows = {one.name: one for one in case.alternatives}
    made = case
    for one, value in zip(inputs, values, strict=True):
        if one.kind == "alternative":
            made = put(made, rows[one.name].choices[int(value)].set, zones)
    return made


def _with_ranges(case: Case, inputs: tuple[Input, ...], values: Floats, zones: Zones) -> Case:
    """The case with what the ranges set; several ranges of one path act in their order."""
    made = case
    changes: dict[str, NewValue] = {}
    for one, value in zip(inputs, values, strict=True):
        if one.kind in ("alternative", "failure"):
            continue
        if any(path in changes for path in one.paths):
            made, changes = put(made, changes, zones), {}
        drawn = float(value)
        new: NewValue = Times(drawn) if one.kind == "multiplier" else Plus(drawn) if one.kind == "shift" else drawn
        changes |= dict.fromkeys(one.paths, new)
    return put(made, changes, zones)


def _event(case: Case, failure: Failure, seconds: float) -> list[AnyEvent]:
    """The event of a failure, none where it comes after the end."""
    days = seconds / DAY
    if days >= (case.schedule.end - case.schedule.start).days:
        return []
    day: date = case.schedule.start + timedelta(days=int(days))
    if failure.do == "leak seal":
        leak = failure.conductance or 0.0
        return [LeakSeal.model_construct(
            do="leak seal", element=failure.element, conductance=leak, on=day, when=None, cost=0.0
        )]  # fmt: skip
    if failure.do == "plug screen":
        return [PlugScreen.model_construct(
            do="plug screen", zone=failure.zone, remaining=failure.remaining, over=failure.over, on=day, when=None,
            cost=0.0,
        )]  # fmt: skip
    return [LoseSupport.model_construct(
        do="lose support", support=failure.support, remaining=failure.remaining, on=day, when=None, cost=0.0,
    )]  # fmt: skip


def _tried(case: Case, member: Member, event: AnyEvent) -> AnyEvent:
    """The event itself, or in its place one of the same day, time and cost that changes nothing."""
    if not fails(case, event, member.failing, member.zones):
        return event
    layers = member.zones.get(getattr(event, "zone", ""), ())
    cost, duration = _cost(member, event, layers), duration_of(member.case, event, layers)
    return ChangeControl.model_construct(
        **{**_NOTHING, "on": event.on, "when": event.when, "cost": cost, "duration": duration}
    )


def _cost(member: Member, event: AnyEvent, layers: Iterable[str]) -> float:
    """What a job costs with what it leaves in the hole, in the member's own money."""
    done = cost_of_way(member.case, event, layers)
    if event.cost is not None:
        return done
    shut_by = ""
    if isinstance(event, ShutZone | ChokeZone):
        graph = build(completed(member.case, None))
        names = [zone.name for zone in graph.zones]
        shut_by = describe_zone(graph, names.index(event.zone)).kind if event.zone in names else ""
    return done + left_in_hole(member.case, event, shut_by)

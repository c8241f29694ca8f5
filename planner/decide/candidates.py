"""Every job that could be done to a string, with what it needs, or what forbids it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from planner.base.errors import Refusal
from planner.decide.possible import IN_STRING, refusal_of
from planner.model.case import Case
from planner.model.change import (
    AnyEvent,
    ChangeControl,
    ChangeLift,
    ChokeZone,
    OpenZone,
    SetPlug,
    SetStraddle,
    ShutZone,
    Stimulate,
    WhatIf,
)
from planner.model.cures import Forbidden
from planner.model.late_life import LiftOption
from planner.model.results import WellDescription, ZoneInfo
from planner.model.ways import is_job
from planner.network.completed import completed
from planner.network.interventions import Action, plan
from planner.network.well_graph import build


@dataclass(frozen=True)
class Candidate:
    """A job without its date, in SI (records made without reading text). needs: what it does to the string."""

    name: str
    do: str
    zone: str
    event: AnyEvent
    needs: str = ""

    def on(self, day: date, under: WhatIf | None) -> WhatIf:
        """The what-if in which it is done on a day, on top of what happens anyway."""
        done = self.event.model_copy(update={"on": day})
        if under is None:
            return WhatIf(name=f"{self.name}, {day}", events=(done,))
        return under.model_copy(update={"name": f"{self.name}, {day}", "events": (*under.events, done)})


def candidates(
    case: Case, description: WellDescription, under: WhatIf | None, day: date
) -> tuple[list[Candidate], list[Forbidden]]:
    """Jobs that the string allows on a day, and those that something forbids, on top of what happens anyway."""
    wanted = set(case.late_life.jobs)
    allowed: list[Candidate] = []
    forbidden: list[Forbidden] = []
    every = [*_zone_jobs(case, description), *_plugs(description), *_straddles(description), *_lifts(case)]
    for one in every:
        if isinstance(one, Forbidden):
            forbidden += [one] if not wanted or one.do in wanted else []
        elif not wanted or one.do in wanted:
            reason = refusal_of(case, one.on(day, under))
            if one.do == "open zone" and reason == f"{one.zone} is open already":
                continue
            if reason:
                forbidden.append(Forbidden(one.name, one.do, one.zone, reason))
            else:
                allowed.append(_with_needs(case, one, day, under))
    return _once(allowed), forbidden


Found = Candidate | Forbidden


def _zone_jobs(case: Case, description: WellDescription) -> list[Found]:
    """Shut, choke, open and stimulate each zone."""
    late = case.late_life
    found: list[Found] = []
    for zone in description.zones:
        name = zone.name
        found.append(Candidate(f"shut {name}", "shut zone", name, ShutZone(zone=name)))
        choke = ChokeZone.model_construct(zone=name, nozzle_area=late.nozzle_area)
        found.append(Candidate(f"choke {name}", "choke zone", name, choke))
        found.append(Candidate(f"open {name}", "open zone", name, OpenZone(zone=name)))
        found.append(_stimulation(case, zone))
    return found


def _stimulation(case: Case, zone: ZoneInfo) -> Found:
    event = Stimulate(zone=zone.name, skin=case.late_life.stimulated_skin)
    name = f"stimulate {zone.name}"
    if not is_job(case, event, zone.layers):
        skins = max((layer.skin for layer in case.layers if layer.name in zone.layers), default=float("nan"))
        reason = f"the skin of {zone.name} is {skins:g} at most, no higher than the {event.skin:g} after stimulation"
        return Forbidden(name, event.do, zone.name, reason)
    return Candidate(name, event.do, zone.name, event, f"skin of {zone.name} to {event.skin:g}")


def _plugs(description: WellDescription) -> list[Found]:
    """A plug in each blank pipe; those that shut a single zone are told as shutting it."""
    return [
        Candidate(f"plug in {blank.name}", "set plug", ", ".join(blank.shuts), SetPlug(blank=blank.name))
        for blank in description.blanks
        if len(blank.shuts) != 1
    ]


def _straddles(description: WellDescription) -> list[Found]:
    """A straddle over every run of two or more neighbouring zones that has another one below it."""
    zones = description.zones
    found: list[Found] = []
    for first in range(len(zones)):
        for last in range(first + 1, len(zones) - 1):
            name = f"straddle {zones[first].name} to {zones[last].name}"
            covered = ", ".join(zone.name for zone in zones[first : last + 1])
            upper = _blank_between(description, zones[first - 1] if first else None, zones[first])
            lower = _blank_between(description, zones[last], zones[last + 1])
            missing = " and ".join(side for side, blank in (("above", upper), ("below", lower)) if not blank)
            if missing:
                reason = f"no blank pipe {missing} that holds an element"
                found.append(Forbidden(name, "set straddle", covered, reason))
            else:
                event = SetStraddle(upper_blank=upper, lower_blank=lower)
                found.append(Candidate(name, "set straddle", covered, event))
    return found


def _blank_between(description: WellDescription, upper: ZoneInfo | None, lower: ZoneInfo) -> str:
    """Name of a blank pipe that holds an element between the screens of two zones; '' where there is none."""
    screens = [p for p in description.pieces if p.kind in ("screen", "open hole", "casing")]
    top = max((p.base_md for p in screens if upper and p.zone == upper.name), default=-float("inf"))
    base = min((p.top_md for p in screens if p.zone == lower.name), default=float("inf"))
    fitting = [b.name for b in description.blanks if b.fits and b.top_md >= top - 0.01 and b.base_md <= base + 0.01]
    return fitting[-1] if fitting else ""


def _lifts(case: Case) -> list[Found]:
    """The changes of lift that the case gives."""
    if not case.late_life.lifts:
        reason = "the case gives no other lift; list some under late_life.lifts"
        return [Forbidden("change lift", "change lift", "", reason)]
    return [_lift(case, option) for option in case.late_life.lifts]


def _lift(case: Case, option: LiftOption) -> Found:
    needs_tubing = option.bottom_hole_pressure is None
    if case.tubing is None and needs_tubing:
        return Forbidden(option.name, "change lift", "", "the case has no tubing: nobody knows what lifts the well")
    way = option.way or case.economics.default_ways.get("change lift", "")
    if option.wellhead_pressure is not None or option.bottom_hole_pressure is not None:
        event: AnyEvent = ChangeControl.model_construct(
            wellhead_pressure=option.wellhead_pressure, bottom_hole_pressure=option.bottom_hole_pressure, way=way,
            cost=option.cost,
        )  # fmt: skip
    else:
        event = ChangeLift.model_construct(
            gas_lift=option.gas_lift, pump=option.pump, inner_diameter=option.inner_diameter, way=way, cost=option.cost
        )
    return Candidate(option.name, "change lift", "", event, "another lift: " + option.name)


def _with_needs(case: Case, one: Candidate, day: date, under: WhatIf | None) -> Candidate:
    """The same with what the string needs for it, where it is a job in the string."""
    if not isinstance(one.event, IN_STRING):
        return one
    graph = build(completed(case, under), one.on(day, under))
    done: list[Action] = []
    for event in under.events if under else ():
        if isinstance(event, IN_STRING):
            try:
                done.append(plan(graph, event, done))
            except Refusal:
                continue
    action = plan(graph, one.event, done)
    whole = isinstance(one.event, SetPlug) and set(one.zone.split(", ")) >= {zone.name for zone in graph.zones}
    given_up = ("no zone is left open: the well is given up",) if whole else ()
    needs = "; ".join((action.text, *given_up, *action.warnings))
    return Candidate(one.name, one.do, one.zone, one.event, needs)


def _once(found: list[Candidate]) -> list[Candidate]:
    """Each job once: a straddle or plug that does what another one does is left out."""
    seen: dict[str, Candidate] = {}
    for one in found:
        seen.setdefault(one.needs or one.name, one)
    return list(seen.values())

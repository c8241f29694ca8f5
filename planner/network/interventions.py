"""Jobs in the string: decides whether it can be done, where, and which links it closes or opens.

A plug or packer goes into a blank pipe long enough for it. It parts the well there only if the outside is sealed too:
that is asked of the graph (nothing may reach the far side once the bore is closed), so an open annulus, a missing
seal and a conforming screen need no rule of their own. Ratings are checked by the limits at run time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from planner.base.errors import Refusal
from planner.base.units import QUANTITIES, from_si
from planner.model.change import ChokeZone, Event, OpenZone, SetPlug, SetStraddle, ShutZone
from planner.model.names import in_words
from planner.network.closures import (
    State,
    closure_of,
    initial_state,
    plug_outlook,
    straddle_outlook,
)
from planner.network.reach import leaks_of, live_zones, waterways
from planner.network.records import Blank, Link, WellGraph
from planner.network.setting import blank_named, zone_index

Job = ShutZone | OpenZone | SetPlug | SetStraddle | ChokeZone


@dataclass(frozen=True)
class Action:
    """What a job does to the links of a graph, by index.

    close: links that close; open: links that become plain open again (a nozzle there comes out); nozzle: links that
    flow through a nozzle of this area [m2]. text: what was done; elements: states for the sketch, blank pipe or zone
    -> 'plug set', 'straddle set', 'shut', 'choked', 'open'; zones: those shut, choked or opened; warnings.
    kind: 'plug', 'straddle' or 'removal'.
    """

    close: tuple[int, ...]
    open: tuple[int, ...]
    nozzle: tuple[tuple[int, float], ...]
    text: str
    elements: dict[str, str] = field(default_factory=dict)
    zones: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    kind: str = ""

    @property
    def places(self) -> frozenset[int]:
        """Links that the job has taken: those closed and those with a nozzle."""
        return frozenset(self.close) | {link for link, _ in self.nozzle}


def plan(graph: WellGraph, event: Event, done: Sequence[Action] = ()) -> Action:
    """What a job does to the string after the jobs already done (actions in their order).

    event: ShutZone, OpenZone, SetPlug, SetStraddle or ChokeZone. Raises Refusal with what is missing and where;
    TypeError for other events; ValueError when the graph was built without the what-if that holds the event.
    """
    if isinstance(event, ShutZone):
        return _shut_zone(graph, event.zone, None, done)
    if isinstance(event, ChokeZone):
        return _shut_zone(graph, event.zone, event.nozzle_area, done)
    if isinstance(event, SetPlug):
        return _set_plug(graph, event.blank, done)
    if isinstance(event, SetStraddle):
        return _set_straddle(graph, event, done)
    if isinstance(event, OpenZone):
        return _open_zone(graph, event.zone, done)
    raise TypeError(f"{type(event).__name__} is not a job in the string")


def state_after(graph: WellGraph, done: Iterable[Action]) -> State:
    """State of the string after the jobs done, in their order."""
    first = initial_state(graph)
    opened, nozzles = set(first.open), set(first.nozzles)
    for action in done:
        opened = (opened - set(action.close)) | set(action.open) | {k for k, _ in action.nozzle}
        nozzles = (nozzles - set(action.close) - set(action.open)) | {k for k, _ in action.nozzle}
    return State(frozenset(opened), frozenset(nozzles))


def in_place(done: Iterable[Action]) -> list[Action]:
    """The plugs and straddles that still sit in the string, oldest first."""
    sitting: list[Action] = []
    for action in done:
        if action.kind == "removal":
            sitting = [a for a in sitting if not a.places & set(action.open)]
        else:
            sitting = [a for a in sitting if a.places != action.places]
            sitting.append(action)
    return sitting


def _shut_zone(graph: WellGraph, name: str, nozzle: float | None, done: Sequence[Action]) -> Action:
    zone = zone_index(graph, name)
    state = state_after(graph, done)
    for action in in_place(done):
        if action.zones == (name,) and (action.nozzle or nozzle is not None):
            return _turn(graph, action, nozzle)
    found = closure_of(graph, zone, state)
    if found.upper is None:
        raise Refusal(f"{name} cannot be {'choked' if nozzle else 'shut'} on its own: {'; '.join(found.missing)}")
    if found.lower is None:
        return _plug(graph, found.upper, (zone,), nozzle, done)
    return _straddle(graph, found.upper, found.lower, (zone,), nozzle, done)


def _turn(graph: WellGraph, action: Action, nozzle: float | None) -> Action:
    """A nozzle that is there already is closed, or another one is put in its place."""
    top = min(action.places)
    states = {name: ("shut" if nozzle is None else "choked") if name in action.zones else value
              for name, value in action.elements.items()}  # fmt: skip
    what = "closed" if nozzle is None else f"changed to a nozzle of {_area(graph, nozzle)}"
    text = f"element at {in_words(graph.case, graph.depth_of(top))} {what}: {_list(action.zones, states)}"
    return Action(
        close=tuple(sorted(action.places - {top})) if nozzle is not None else tuple(sorted(action.places)),
        open=action.open, nozzle=((top, nozzle),) if nozzle is not None else (), text=text, elements=states,
        zones=action.zones, warnings=action.warnings, kind=action.kind,
    )  # fmt: skip


def _set_plug(graph: WellGraph, name: str, done: Sequence[Action]) -> Action:
    blank = blank_named(graph, name)
    outlook = plug_outlook(graph, blank, state_after(graph, done))
    if outlook.missing:
        raise Refusal(f"a plug in {name} would not shut anything in: {'; '.join(outlook.missing)}")
    return _plug(graph, blank, outlook.shuts, None, done)


def _set_straddle(graph: WellGraph, event: SetStraddle, done: Sequence[Action]) -> Action:
    upper, lower = blank_named(graph, event.upper_blank), blank_named(graph, event.lower_blank)
    between = f"a straddle from {upper.name} to {lower.name}"
    if lower.first <= upper.last:
        raise Refusal(f"{between} cannot be set: {lower.name} is not below {upper.name}")
    outlook = straddle_outlook(graph, upper, lower, state_after(graph, done))
    if outlook.missing:
        raise Refusal(f"{between} would not shut anything in: {'; '.join(outlook.missing)}")
    return _straddle(graph, upper, lower, outlook.shuts, event.nozzle_area, done)


def _plug(
    graph: WellGraph, blank: Blank, zones: tuple[int, ...], nozzle: float | None, done: Sequence[Action]
) -> Action:
    names = tuple(graph.zones[k].name for k in zones)
    states = {blank.name: "plug set" if nozzle is None else "nozzle set"}
    states |= dict.fromkeys(names, "shut" if nozzle is None else "choked")
    what = "packer with plug" if nozzle is None else f"packer with a nozzle of {_area(graph, nozzle)}"
    depth = in_words(graph.case, graph.depth_of(blank.lower))
    return Action(
        close=(blank.lower,) if nozzle is None else (), open=(),
        nozzle=() if nozzle is None else ((blank.lower, nozzle),),
        text=f"{what} set in {blank.name} at {depth}: {_list(names, states)}", elements=states, zones=names,
        warnings=leaks_of(graph, set(zones)) + _passage(graph, blank.lower, done), kind="plug",
    )  # fmt: skip


def _straddle(
    graph: WellGraph, upper: Blank, lower: Blank, zones: tuple[int, ...], nozzle: float | None, done: Sequence[Action]
) -> Action:
    bypass = _bypass(graph, upper.lower, lower.upper)
    names = tuple(graph.zones[k].name for k in zones)
    states = {upper.name: "straddle set", lower.name: "straddle set"}
    states |= dict.fromkeys(names, "shut" if nozzle is None else "choked")
    depths = " to ".join(in_words(graph.case, graph.depth_of(k)) for k in (upper.lower, lower.upper))
    what = "straddle" if nozzle is None else f"straddle with a nozzle of {_area(graph, nozzle)}"
    return Action(
        close=(upper.lower, lower.upper) if nozzle is None else (lower.upper,), open=(bypass.index,),
        nozzle=() if nozzle is None else ((upper.lower, nozzle),),
        text=f"{what} set from {upper.name} to {lower.name} ({depths}): {_list(names, states)}",
        elements=states, zones=names, kind="straddle",
        warnings=leaks_of(graph, set(zones)) + _passage(graph, upper.lower, done),
    )  # fmt: skip


def _open_zone(graph: WellGraph, name: str, done: Sequence[Action]) -> Action:
    zone = zone_index(graph, name)
    sitting = in_place(done)
    for action in reversed(sitting):
        if name in action.zones:
            rest = [other for other in sitting if other is not action]
            return _take_out(graph, action, rest)
    state = state_after(graph, done)
    if zone in live_zones(graph, waterways(graph, state.open)):
        raise Refusal(f"{name} is open already")
    last = len(graph.pieces) - 1
    plugs = [link for link in graph.links[:last] if link.index not in state.open and link.elements]
    freed = [link for link in plugs if zone in live_zones(graph, waterways(graph, state.open | {link.index}))]
    if not freed:
        raise Refusal(f"{name} cannot be opened: no single plug or straddle holds it shut")
    names = " and ".join(freed[0].elements)
    states = dict.fromkeys((*freed[0].elements, name), "open")
    return Action((), (freed[0].index,), (), f"{names} taken out: {name} open", states, (name,), kind="removal")


def _take_out(graph: WellGraph, action: Action, rest: list[Action]) -> Action:
    bypasses = {k for k in action.open if graph.links[k].kind == "bypass"}
    states = dict.fromkeys(action.elements, "open")
    for other in rest:
        states |= {name: value for name, value in other.elements.items() if name in states}
    what = f"{action.kind} in {' and '.join(k for k in action.elements if k not in action.zones)}"
    return Action(
        close=tuple(sorted(bypasses)), open=tuple(sorted(action.places)), nozzle=(),
        text=f"{what} taken out: {_list(action.zones, states)}", elements=states, zones=action.zones, kind="removal",
    )  # fmt: skip


def _bypass(graph: WellGraph, upper: int, lower: int) -> Link:
    for link in graph.links:
        if link.kind == "bypass" and (link.piece, link.other_piece) == (upper, lower + 1):
            return link
    raise ValueError("the graph was built without the what-if that sets this straddle")


def _passage(graph: WellGraph, place: int, done: Sequence[Action]) -> tuple[str, ...]:
    """Warning when tools must pass straddles that sit above the place of the job. Common practice, no source."""
    found = []
    for action in in_place(done):
        for link in (graph.links[k] for k in action.open):
            if link.kind == "bypass" and link.piece < place:
                bore = float(from_si(link.diameter, "diameter", graph.case.units))
                unit = QUANTITIES["diameter"].label(graph.case.units)
                found.append(f"the element must be run through the {link.name} (bore {bore:.3g} {unit})")
    return tuple(found)


def _area(graph: WellGraph, area: float) -> str:
    shown = float(from_si(area, "area", graph.case.units))
    return f"{shown:.3g} {QUANTITIES['area'].label(graph.case.units)}"


def _list(names: tuple[str, ...], states: dict[str, str]) -> str:
    return ", ".join(f"{name} {states[name]}" for name in names)

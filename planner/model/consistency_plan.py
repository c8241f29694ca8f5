"""Checks of names, schedule, controls and what-ifs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from planner.base.errors import Problem
from planner.model.case import Case
from planner.model.change import (
    AnyEvent,
    ChangeControl,
    EarlyWater,
    LeakSeal,
    LoseSupport,
    SetPlug,
    SetStraddle,
    SetValve,
    Stimulate,
    Trigger,
)
from planner.model.consistency_parts import Show, problem, unknown_name
from planner.model.names import element_names

BOUNDS = ("bottom_hole_pressure", "wellhead_pressure", "oil_rate", "liquid_rate", "water_rate", "gas_rate", "drawdown")
CONDITIONS = ("water_cut_above", "gas_oil_ratio_above", "oil_rate_below", "water_rate_above", "pressure_below")
SEALING = ("hanger", "isolation joint", "packer", "plug")


def names(case: Case, show: Show) -> Iterator[Problem]:
    """Names that others refer to are there once."""
    for what, kind, given in (
        ("compartments", "compartments", [one.name for one in case.compartments]),
        ("layers", "layers", [one.name for one in case.layers]),
        ("rocks", "rocks", [one.name for one in case.rocks]),
        ("string", "elements of the string", element_names(case)),
        ("zones", "zones", list(case.zones)),
        ("what_ifs", "what-ifs", [one.name for one in case.what_ifs]),
    ):
        yield from doubled(what, kind, given)


def doubled(part: str, kind: str, given: Sequence[str]) -> Iterator[Problem]:
    """Names of a part of the case that are empty or there twice."""
    counted = Counter(given)
    seen: set[str] = set()
    for number, name in enumerate(given, start=1):
        place = f"{part}[{number}]" + ("" if part == "zones" else ".name")
        if not name.strip():
            yield problem(place, "the name is empty", "Give a name.")
        elif counted[name] > 1 and name in seen:
            yield problem(place, f"two {kind} are called '{name}'", "Give each a name of its own.", name)
        seen.add(name)


def schedule(case: Case, show: Show) -> Iterator[Problem]:
    """The forecast ends after it starts."""
    if case.schedule.end <= case.schedule.start:
        message = f"the schedule ends before it starts, {case.schedule.start}"
        yield problem("schedule.end", message, "Swap or correct the two dates.", str(case.schedule.end))


def control_dates(case: Case, show: Show) -> Iterator[Problem]:
    """Controls stand in date order, the first at or before the start, none after the end."""
    first = case.controls[0]
    if first.date > case.schedule.start:
        message = f"the first control is after the start of the schedule, {case.schedule.start}"
        yield problem("controls[1].date", message, "Give a control that holds from the start on.", str(first.date))
    for number, control in enumerate(case.controls, start=1):
        if number > 1 and control.date <= case.controls[number - 2].date:
            message = f"controls are not in date order: the one before is of {case.controls[number - 2].date}"
            remedy = "List them by date, each date once."
            yield problem(f"controls[{number}].date", message, remedy, str(control.date))
        if control.date > case.schedule.end:
            message = f"the control is after the end of the schedule, {case.schedule.end}"
            yield problem(f"controls[{number}].date", message, "Leave it out or move the end.", str(control.date))


def control_bounds(case: Case, show: Show) -> Iterator[Problem]:
    """Every control bounds the well."""
    for number, control in enumerate(case.controls, start=1):
        if not control.shut and all(getattr(control, key) is None for key in BOUNDS):
            remedy = f"Give at least one of {', '.join(BOUNDS)}, or shut = true."
            yield problem(f"controls[{number}]", "the control does not bound the well at all", remedy)


def tubing(case: Case, show: Show) -> Iterator[Problem]:
    """What acts at the wellhead, or on the lift, needs a tubing."""
    if case.tubing is not None:
        return
    remedy = "Give [tubing] with its inner_diameter, or control the bottom-hole pressure instead."
    for number, control in enumerate(case.controls, start=1):
        if control.wellhead_pressure is not None:
            yield problem(f"controls[{number}].wellhead_pressure", "the case has no tubing to the wellhead", remedy)
    for place, event in _events(case):
        if getattr(event, "wellhead_pressure", None) is not None or event.do == "change lift":
            yield problem(place, "the case has no tubing to the wellhead", remedy)


def event_dates(case: Case, show: Show) -> Iterator[Problem]:
    """Events happen within the schedule."""
    start, end = case.schedule.start, case.schedule.end
    for place, event in _events(case):
        dates: list[tuple[str, date | None]] = [("on", event.on)]
        if event.when is not None:
            dates.append(("when.after", event.when.after))
        if isinstance(event, EarlyWater):
            dates.append(("by", event.by))
        for key, day in dates:
            if day is not None and day < start and key != "when.after":
                message = f"the event is before the start of the schedule, {start}"
                yield problem(f"{place}.{key}", message, "Move it into the schedule.", str(day))
            if day is not None and day > end:
                message = f"the event is after the end of the schedule, {end}"
                yield problem(f"{place}.{key}", message, "Move it into the schedule, or move the end.", str(day))


def triggers(case: Case, show: Show) -> Iterator[Problem]:
    """An event has a date or a trigger; a trigger has one condition."""
    for place, event in _events(case):
        both = event.on is not None and event.when is not None
        if isinstance(event, EarlyWater):
            if event.on is not None or event.when is not None:
                message = "early water comes by its date 'by'; it takes neither 'on' nor 'when'"
                yield problem(place, message, "Leave out on and when.")
        elif both or (event.on is None and event.when is None):
            message = (
                "the event has both a date and a trigger" if both else "the event has neither a date nor a trigger"
            )
            remedy = "Give on = a date, or when = { ... } with a condition" + (", not both." if both else ".")
            yield problem(place, message, remedy)
        if event.when is not None:
            yield from _conditions(f"{place}.when", event.when)


def _conditions(place: str, trigger: Trigger) -> Iterator[Problem]:
    given = [key for key in CONDITIONS if getattr(trigger, key) is not None]
    if len(given) != 1:
        message = (
            f"the trigger has {len(given)} conditions ({', '.join(given)})" if given else "the trigger has no condition"
        )
        yield problem(place, message, f"Give exactly one of {', '.join(CONDITIONS)}.")


def event_names(case: Case, show: Show) -> Iterator[Problem]:
    """Events name zones, blanks, elements, layers and supports that exist. Zones: checked where the case names them."""
    named = list(zip(element_names(case), case.string, strict=True))
    blanks = [name for name, element in named if element.kind == "blank pipe"]
    sealing = [name for name, element in named if element.kind in SEALING]
    valves = [name for name, element in named if element.nozzle_area is not None]
    layers = [layer.name for layer in case.layers]
    for place, event in _events(case):
        wanted: list[tuple[str, str, str, Sequence[str]]] = []
        if case.zones and not _recompleted(case, place):  # zones are then those of another string
            wanted.append(("zone", "zone", getattr(event, "zone", ""), case.zones))
            wanted.append(("when.zone", "zone", event.when.zone if event.when else "", case.zones))
        if isinstance(event, SetPlug):
            wanted.append(("blank", "blank pipe", event.blank, blanks))
        if isinstance(event, SetStraddle):
            wanted.append(("upper_blank", "blank pipe", event.upper_blank, blanks))
            wanted.append(("lower_blank", "blank pipe", event.lower_blank, blanks))
        if isinstance(event, LeakSeal):
            wanted.append(("element", "seal, packer or plug", event.element, [*sealing, *set_later(case)]))
        if isinstance(event, SetValve):
            wanted.append(("element", "screen or blank pipe with nozzles", event.element, valves))
        if isinstance(event, EarlyWater):
            wanted.append(("layer", "layer", event.layer, layers))
        if isinstance(event, LoseSupport):
            wanted.append(("support", "support", event.support, list(case.supports)))
        for key, kind, name, known in wanted:
            if name and name not in known:
                yield unknown_name(f"{place}.{key}", kind, name, known)
        if isinstance(event, SetStraddle) and {event.upper_blank, event.lower_blank} <= set(blanks):
            yield from _straddle_order(place, event, blanks)


def _recompleted(case: Case, place: str) -> bool:
    """Whether the what-if of an event's place completes the well another way."""
    return case.what_ifs[int(place.split("[")[1].split("]")[0]) - 1].completion is not None


def set_later(case: Case) -> list[str]:
    """Elements that other events of the what-ifs set, which may leak too: they go by the name of their blank."""
    found = []
    for _, event in _events(case):
        if isinstance(event, SetPlug):
            found.append(event.blank)
        if isinstance(event, SetStraddle):
            found += [event.upper_blank, event.lower_blank]
    return found


def _straddle_order(place: str, event: SetStraddle, blanks: Sequence[str]) -> Iterator[Problem]:
    if blanks.index(event.upper_blank) >= blanks.index(event.lower_blank):
        message = f"the upper blank '{event.upper_blank}' is not above the lower one '{event.lower_blank}'"
        yield problem(f"{place}.upper_blank", message, "Swap the two, or name two different blank pipes.")


def early_water(case: Case, show: Show) -> Iterator[Problem]:
    """The thief streak of an early-water event leaves some of its layer; arrival is a water cut above 0."""
    for place, event in _events(case):
        if not isinstance(event, EarlyWater):
            continue
        if event.share >= 1.0:
            message = "the streak's share of the layer's kh must be below 1"
            yield problem(f"{place}.share", message, "Give a share such as 0.3.", f"{event.share:g}")
        if not 0.0 < event.water_cut < 1.0:
            message = "the water cut that counts as arrival must lie between 0 and 1"
            yield problem(f"{place}.water_cut", message, "Give a value such as 0.05.", f"{event.water_cut:g}")


def changes(case: Case, show: Show) -> Iterator[Problem]:
    """A change of control changes something; skins are finite numbers."""
    for place, event in _events(case):
        if isinstance(event, ChangeControl) and all(getattr(event, key) is None for key in ("shut", *BOUNDS)):
            remedy = f"Give at least one of shut, {', '.join(BOUNDS)}."
            yield problem(place, "the change of control changes nothing", remedy)
        if isinstance(event, Stimulate) and not math.isfinite(event.skin):
            message = "the skin is not a finite number"
            yield problem(f"{place}.skin", message, "Give a number, 0 for none.", f"{event.skin}")


def _events(case: Case) -> Iterator[tuple[str, AnyEvent]]:
    for number, what_if in enumerate(case.what_ifs, start=1):
        for count, event in enumerate(what_if.events, start=1):
            yield f"what_ifs[{number}].events[{count}]", event

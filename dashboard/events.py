"""Events of a what-if as plain JSON: text with units, which lives in a browser's storage and reads back exactly."""

from __future__ import annotations

import math
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from dashboard.measure import NOTHING, System, amount, as_text, month_year
from planner.model.change import AnyEvent, ChangeControl, Trigger, WhatIf
from planner.model.quantity import QUANTITIES, parse, quantity_of

Json = dict[str, Any]
_READER: TypeAdapter[AnyEvent] = TypeAdapter(AnyEvent)


class BadInput(ValueError):
    """What the user typed cannot be an event; `field` names where, the text says why."""

    def __init__(self, field: str, sentence: str) -> None:
        self.field = field
        super().__init__(sentence)


def to_json(record: BaseModel, system: System) -> Json:
    """An event or trigger as JSON; numbers with a unit become text in the units of the system."""
    found: Json = {}
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if value is None:
            continue
        quantity = quantity_of(field)
        if isinstance(value, BaseModel):
            found[name] = to_json(value, system)
        elif isinstance(value, tuple):
            found[name] = [to_json(one, system) if isinstance(one, BaseModel) else one for one in value]
        elif quantity and QUANTITIES[quantity].si:
            found[name] = as_text(value, quantity, system)
        else:
            found[name] = value.isoformat() if hasattr(value, "isoformat") else value
    return found


def read(raw: Json) -> AnyEvent:
    """JSON to an event. Raises BadInput with the field and a sentence."""
    try:
        return _READER.validate_python(raw)
    except ValidationError as error:
        first = error.errors()[0]
        place = [str(part) for part in first["loc"] if part not in ("when", raw.get("do"))]
        sentence = str(first["msg"]).removeprefix("Value error, ")
        raise BadInput(place[-1] if place else "", sentence[:1].upper() + sentence[1:] + ".") from error


def what_if(name: str, raws: list[Json], completion: Any = None) -> WhatIf:
    """A what-if of the engine from a name and events as JSON, completed another way where asked. Raises BadInput."""
    events = tuple(read(raw) for raw in raws)
    try:
        return WhatIf.model_validate({"name": name, "completion": completion, "events": events})
    except ValidationError as error:
        raise BadInput("completion", f"There is no completion called '{completion}'.") from error


def when(event: AnyEvent, system: System, gas_well: bool = False) -> str:
    """When an event takes place: 'on 1 Jun 2031', 'when the water cut of Birch passes 80 %'.

    gas_well: whether the well's liquid is all water, so that any water cut means the first of it.
    """
    if event.do == "early water":
        return f"by {event.by:%-d %b %Y}"
    if event.when:
        later = f", {amount(event.when.delay, 'time', system)} later" if event.when.delay else ""
        if gas_well and event.when.water_cut_above is not None:
            return f"when water comes from {event.when.zone or 'the well'}{later}"
        return "when " + _condition(event.when, system) + later
    return f"on {event.on:%-d %b %Y}" if event.on else "from the start"


def _condition(trigger: Trigger, system: System) -> str:
    of = f" of {trigger.zone}" if trigger.zone else " of the well"
    if trigger.water_cut_above is not None:
        return f"the water cut{of} passes {amount(trigger.water_cut_above, 'fraction', system)}"
    if trigger.gas_oil_ratio_above is not None:
        return f"the gas-oil ratio{of} passes {amount(trigger.gas_oil_ratio_above, 'gas-oil ratio', system)}"
    if trigger.water_rate_above is not None:
        return f"the water rate{of} rises above {amount(trigger.water_rate_above, 'liquid rate', system)}"
    if trigger.oil_rate_below is not None:
        return f"the oil rate{of} falls below {amount(trigger.oil_rate_below, 'liquid rate', system)}"
    if trigger.pressure_below is not None:
        return f"the pressure{of} falls below {amount(trigger.pressure_below, 'pressure', system)}"
    return "its condition is met"


def deed(event: AnyEvent, system: System) -> str:
    """What an event does, in a few words and without its date."""
    match event.do:
        case "shut zone":
            return f"Shut {event.zone}"
        case "open zone":
            return f"Open {event.zone} again"
        case "set plug":
            return f"Plug in {event.blank}"
        case "set straddle":
            kind = "Straddle" if event.nozzle_area is None else "Straddle with nozzle"
            return f"{kind} from {event.upper_blank} to {event.lower_blank}"
        case "choke zone":
            bore = math.sqrt(4 * event.nozzle_area / math.pi)
            return f"Choke {event.zone} with a {amount(bore, 'diameter', system)} nozzle"
        case "set skin":
            return f"Skin of {event.zone} becomes {event.skin:g}"
        case "leak seal":
            return f"{event.element} leaks {amount(event.conductance, 'leak conductance', system)}"
        case "plug screen":
            return f"Screens of {event.zone} keep {amount(event.remaining, 'fraction', system)} of their inflow"
        case "lose support":
            return f"{event.support} falls to {amount(event.remaining, 'fraction', system)}"
        case "set valve":
            share = amount(event.opening, "fraction", system)
            return (
                f"Close the valves of {event.element}"
                if event.opening == 0
                else f"Valves of {event.element} {share} open"
            )
        case "early water":
            return f"Water reaches {event.zone} early"
        case "change control":
            return _control(event, system)
    return str(event.do)


def _control(event: ChangeControl, system: System) -> str:
    if event.shut is not None:
        return "Shut the well in" if event.shut else "Open the well"
    parts = []
    for name, field in type(event).model_fields.items():
        value, quantity = getattr(event, name), quantity_of(field)
        if value is not None and quantity and name != "cost":
            parts.append(f"{name.replace('_', ' ')} {amount(value, quantity, system)}")
    return "Control: " + (", ".join(parts) or NOTHING)


def sentence(raw: Json, system: System) -> str:
    """One line for a list: 'Shut Birch on 1 Jan 2031'. Events that cannot be read say so."""
    try:
        event = read(raw)
    except BadInput as bad:
        return f"{raw.get('do', 'event')}: {bad}"
    return f"{deed(event, system)} {when(event, system)}"


def short(raw: Json) -> str:
    """The name that a what-if gets from its first event: 'Shut Birch, Jan 2031'; no number that has a unit."""
    event = read(raw)
    on = getattr(event, "by", None) or event.on
    return f"{_bare(event)}, {month_year(on)}" if on else _bare(event)


def _bare(event: AnyEvent) -> str:
    """What an event does, without numbers that would change with the units."""
    match event.do:
        case "choke zone":
            return f"Choke {event.zone}"
        case "leak seal":
            return f"{event.element} leaks"
        case "change control" if event.shut is None:
            given = (n.replace("_", " ") for n, f in type(event).model_fields.items() if quantity_of(f) and n != "cost")
            named = [name for name in given if getattr(event, name.replace(" ", "_")) is not None]
            return ", ".join(named).capitalize() or "Control"
    return deed(event, "metric")


def measured(value: Any, quantity: str, system: System, field: str) -> str:
    """A number from a form field as text with its unit. Raises BadInput when it is empty or no number."""
    if value in (None, ""):
        raise BadInput(field, "A number is needed here.")
    text = f"{value} {QUANTITIES[quantity].unit(system)}".strip()
    try:
        parse(text if QUANTITIES[quantity].si else float(value), quantity)
    except (ValueError, TypeError) as error:
        raise BadInput(field, f"Not a number that can be used here: {value}.") from error
    return text

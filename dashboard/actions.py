"""From the buttons and fields of the part panel to an event; pure. Bad input raises events.BadInput with the field."""

from __future__ import annotations

import math
from typing import Any

from dashboard import events
from dashboard.events import BadInput, measured
from dashboard.house import Visit
from dashboard.measure import System
from planner.model.case import Case
from planner.model.quantity import QUANTITIES, parse

Json = dict[str, Any]
GAS_WELL_SHARE = 0.8  # of kh: gas is so much more mobile that water in a lesser streak is hardly seen in the well
GAS_WELL_CUT = 0.5  # a gas well without oil has a cut of nought or of one: any value between tells its first water


def step_for(action: str, part: Json, fields: Json, visit: Visit) -> Json:
    """The step of the reducer that a button of the panel asks for: a new event, or one of the card moved or taken out.

    Raises BadInput with the name of the field and a sentence.
    """
    if action == "take out":
        return {
            "do": "remove event",
            "event_id": _setting(part["name"], visit.card, fields)["id"],
            "card": visit.card["id"],
        }
    if action == "move":
        listed = _setting(part["name"], visit.card, fields)
        return {"do": "replace event", "event_id": listed["id"], "card": visit.card["id"],
                "event": moved(listed["event"], part["name"], str(fields.get("move-to") or ""))}  # fmt: skip
    event = event_for(action, part, fields, visit.case, visit.system)
    return {"do": "add event", "card": visit.card["id"], "event": event}


def settings(name: str, card: Json) -> list[Json]:
    """The events of a card that set something in a blank pipe, or do something to a zone."""
    keys = ("blank", "upper_blank", "lower_blank", "zone")
    return [listed for listed in card["events"] if name in [listed["event"].get(key) for key in keys]]


def _setting(name: str, card: Json, fields: Json) -> Json:
    found = settings(name, card)
    if not found:
        raise BadInput("", f"Nothing of this what-if concerns {name}.")
    return found[-1]


def moved(raw: Json, blank: str, to: str) -> Json:
    """An event with one of its blank pipes replaced by another."""
    if not to:
        raise BadInput("move-to", "Choose the blank pipe to move it to.")
    return {key: to if value == blank and key.endswith("blank") else value for key, value in raw.items()}


def event_for(action: str, part: Json, fields: Json, case: Case, system: System) -> Json:
    """The event that a button of the panel asks for.

    action: name of the button; part: {'kind', 'name'} of what was picked; fields: field name -> value.
    Raises BadInput with the name of the field and a sentence.
    """
    if action not in _MAKERS:
        raise BadInput("", f"There is no action called '{action}'.")
    raw = _MAKERS[action](part["name"], fields, case, system)
    events.read(raw)
    return raw


def _date(fields: Json, name: str, case: Case) -> str:
    value = str(fields.get(name) or "")[:10]
    if not value:
        raise BadInput(name, "A date is needed, such as 2031-06-01.")
    first, last = case.schedule.start.isoformat(), case.schedule.end.isoformat()
    if not first <= value <= last:
        raise BadInput(name, f"The forecast runs from {first} to {last}.")
    return value


def _number(fields: Json, name: str, least: float, most: float, what: str) -> float:
    value = fields.get(name)
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise BadInput(name, f"{what} is needed, from {least:g} to {most:g}.") from None
    if not least <= number <= most:
        raise BadInput(name, f"{what} must lie from {least:g} to {most:g}.")
    return number


def _shut_on(name: str, fields: Json, case: Case, system: System) -> Json:
    return {"do": "shut zone", "zone": name, "on": _date(fields, "date", case)}


def _shut_when(name: str, fields: Json, case: Case, system: System) -> Json:
    """Once the water cut passes a value; in a gas well, whose liquid is all water, once water comes."""
    if "cut" not in fields and case.well.kind == "gas producer":
        return {"do": "shut zone", "zone": name, "when": {"zone": name, "water_cut_above": GAS_WELL_CUT}}
    cut = _number(fields, "cut", 1, 99.9, "A water cut in percent")
    return {"do": "shut zone", "zone": name, "when": {"zone": name, "water_cut_above": round(cut / 100, 6)}}


def _open_on(name: str, fields: Json, case: Case, system: System) -> Json:
    return {"do": "open zone", "zone": name, "on": _date(fields, "date", case)}


def _choke(name: str, fields: Json, case: Case, system: System) -> Json:
    bore = parse(measured(fields.get("nozzle"), "diameter", system, "nozzle"), "diameter")
    if not bore > 0:
        raise BadInput("nozzle", "The bore of the nozzle must be above zero.")
    return {
        "do": "choke zone",
        "zone": name,
        "nozzle_area": f"{math.pi * bore**2 / 4:.9g} {QUANTITIES['area'].si}",
        "on": _date(fields, "date", case),
    }


def _skin(name: str, fields: Json, case: Case, system: System) -> Json:
    skin = _number(fields, "skin", -7, 500, "A skin")
    return {"do": "set skin", "zone": name, "skin": skin, "on": _date(fields, "date", case)}


def _early(name: str, fields: Json, case: Case, system: System) -> Json:
    month = _number(fields, "early", 1, 1200, "A month of the forecast")
    start = case.schedule.start
    years, rest = divmod(start.month - 1 + int(month), 12)
    by = start.replace(year=start.year + years, month=rest + 1, day=1)
    if by > case.schedule.end:
        raise BadInput("early", f"The forecast ends on {case.schedule.end.isoformat()}.")
    raw = {"do": "early water", "zone": name, "by": by.isoformat()}
    return {**raw, "share": GAS_WELL_SHARE} if case.well.kind == "gas producer" else raw


def _plug_screens(name: str, fields: Json, case: Case, system: System) -> Json:
    share = _number(fields, "remaining", 0.1, 100, "The share that remains, in percent,")
    return {"do": "plug screen", "zone": name, "remaining": share / 100, "on": _date(fields, "date", case)}


def _plug(name: str, fields: Json, case: Case, system: System) -> Json:
    return {"do": "set plug", "blank": name, "on": _date(fields, "date", case)}


def _straddle(name: str, fields: Json, case: Case, system: System) -> Json:
    """Between the picked blank and another; the order along the hole does not matter to the user."""
    to = str(fields.get("to") or "")
    if "|" not in to:
        raise BadInput("to", "Choose the blank pipe for the other end.")
    upper, lower = to.split("|", 1)
    return {"do": "set straddle", "upper_blank": upper, "lower_blank": lower, "on": _date(fields, "date", case)}


def _leak(name: str, fields: Json, case: Case, system: System) -> Json:
    rate = measured(fields.get("leak"), "leak conductance", system, "leak")
    if parse(rate, "leak conductance") < 0:
        raise BadInput("leak", "A leak cannot be negative; zero makes the seal tight again.")
    return {"do": "leak seal", "element": name, "conductance": rate, "on": _date(fields, "date", case)}


def _pressure(name: str, fields: Json, case: Case, system: System) -> Json:
    value = measured(fields.get("pressure"), "pressure", system, "pressure")
    if not parse(value, "pressure") > 0:
        raise BadInput("pressure", "The pressure must be above zero.")
    return {"do": "change control", "bottom_hole_pressure": value, "on": _date(fields, "date", case)}


def _liquid(name: str, fields: Json, case: Case, system: System) -> Json:
    value = measured(fields.get("liquid"), "liquid rate", system, "liquid")
    if parse(value, "liquid rate") < 0:
        raise BadInput("liquid", "The rate cannot be negative.")
    return {"do": "change control", "liquid_rate": value, "on": _date(fields, "date", case)}


def _gas(name: str, fields: Json, case: Case, system: System) -> Json:
    value = measured(fields.get("gas"), "gas rate", system, "gas")
    if parse(value, "gas rate") < 0:
        raise BadInput("gas", "The rate cannot be negative.")
    return {"do": "change control", "gas_rate": value, "on": _date(fields, "date", case)}


def _support(name: str, fields: Json, case: Case, system: System) -> Json:
    share = _number(fields, "support-left", 0, 100, "The share that remains, in percent,")
    which = str(fields.get("support") or "")
    if which not in case.supports:
        raise BadInput("support", "Choose which support fails.")
    return {"do": "lose support", "support": which, "remaining": share / 100, "on": _date(fields, "date", case)}


_MAKERS = {
    "shut on": _shut_on,
    "shut when": _shut_when,
    "open on": _open_on,
    "choke": _choke,
    "skin": _skin,
    "early": _early,
    "plug screens": _plug_screens,
    "plug": _plug,
    "straddle": _straddle,
    "leak": _leak,
    "pressure": _pressure,
    "liquid": _liquid,
    "gas": _gas,
    "support": _support,
}

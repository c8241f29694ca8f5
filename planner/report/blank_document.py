"""What blank pipes are worth as plain data, units in the keys."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from planner.base.units import UnitSystem
from planner.model.blank_value import BlankValue, BlankValues, GroupValue
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.report.blank_tables import threshold_text
from planner.report.documents import Document, record
from planner.report.frames import Style
from planner.report.tables import keys_for

_PARTS = ("pipe", "rig", "lost_screen", "screen_saved")
_DEPTHS = {"top_md": "length", "base_md": "length"}


def blanks_document(found: BlankValues, system: UnitSystem) -> Document:
    """Everything as plain data, units in the keys."""
    style = keys_for(system)
    case = found.extra.get("case")
    money = {"mean": "money", "error": "money"}
    return {
        "well": found.well,
        "kind": found.kind,
        "units": system,
        "currency": case.economics.currency if isinstance(case, Case) else "money",
        "caution": CAUTION,
        "members": found.members,
        "members_left_out": found.left_out,
        "seed": found.seed,
        "dates": list(found.dates),
        "what_if": found.extra.get("under", "base"),
        **record({"log_cost": found.log_cost}, {"log_cost": "money"}, style),
        "main_way": found.main,
        "doing_nothing": record(asdict(found.base), money, style),
        "ways": [
            {"name": way.name, **record(asdict(way.value), money, style), "acts_fraction": way.acts,
             "logs_a_member": way.logs}
            for way in found.ways
        ],
        "zones": [
            {"zone": zone.zone, "shut_by": zone.shut_by, "blanks": list(zone.blanks),
             "one_of": [list(one) for one in zone.either], "shut_fraction": zone.used,
             "chance_fraction": zone.chance, "gains": [record(asdict(one), money, style) for one in zone.gains]}
            for zone in found.zones
        ],
        "blanks": [_blank(found, one, style) for one in found.blanks],
        "groups": [_group(found, one, style) for one in found.groups],
        "cannot_be_shut": [{"zone": zone, "reason": reason} for zone, reason in found.forbidden],
        "convergence": [
            {"members": one.members,
             "values": {way: record(asdict(worth), money, style) for way, worth in one.values.items()}}
            for one in found.convergence
        ],
        "forecasts": found.forecasts,
        "seconds": found.seconds,
        "grid": _grid(found, style),
        "notes": list(found.notes),
        "warnings": list(found.warnings),
    }  # fmt: skip


def _grid(found: BlankValues, style: Style) -> dict[str, Any]:
    """The grid of the forecasts, and where it is the coarse one how far it lies from the case's own."""
    check = found.extra.get("grid_check")
    if check is None:
        return {"name": found.grid}
    money = dict.fromkeys(("gain_size", "gain_off", "gain_shift"), "money")
    values = {"gain_size": check.size, "gain_off": check.off, "gain_shift": check.shift}
    return {"name": found.grid, "members_compared": check.members, **record(values, money, style)}


def _group(found: BlankValues, one: GroupValue, style: Style) -> dict[str, Any]:
    money = {"mean": "money", "error": "money", "price": "money"}
    return {
        "blanks": list(one.blanks),
        "all": one is found.groups[-1],
        "cannot_be_shut_then": list(one.shuts),
        **record({"price": one.price}, money, style),
        "worth": {way: record(asdict(worth), money, style) for way, worth in one.worth.items()},
    }


def _blank(found: BlankValues, one: BlankValue, style: Style) -> dict[str, Any]:
    money = dict.fromkeys(("mean", "error", "price", "worth_less_price", *_PARTS), "money")
    place = {"name": one.name, "top_md": one.top_md, "base_md": one.base_md}
    return {
        **record(place, _DEPTHS, style),
        "needed_to_shut": list(one.shuts),
        **record({"price": one.price, "worth_less_price": one.net(found.main)}, money, style),
        **record({name: getattr(one.parts, name) for name in _PARTS}, money, style),
        "beside": list(one.parts.beside),
        "another_can_stand_in": one.stands_in,
        "used_fraction": one.used,
        "pays_fraction": one.pays,
        "apart_from_next": not one.tied,
        "worth": {way: record(asdict(worth), money, style) for way, worth in one.worth.items()},
        "alone": {way: record(asdict(worth), money, style) for way, worth in one.alone.items()},
        "drivers": [
            {"input": flip.input, "threshold": threshold_text(found, flip, style), "strength": flip.strength,
             "significance": flip.significance, "pays_below_fraction": flip.wins_below,
             "pays_above_fraction": flip.wins_above}
            for flip in one.drivers
        ],
    }  # fmt: skip

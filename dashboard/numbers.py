"""Every number of a case that a range can be about: its path, what it is in words, its value; pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel

from dashboard import session
from dashboard.measure import System, amount
from planner.model.case import Case
from planner.model.names import element_names
from planner.model.quantity import quantity_of
from planner.model.results import WellDescription

SECTIONS = ("layers", "compartments", "rocks", "supports", "fluid", "string", "tubing", "perforations", "economics")
ONE = {"layers": "layer", "compartments": "compartment", "rocks": "rock", "supports": "support", "string": "string"}
OF_LAYERS = ("permeability", "porosity", "net_to_gross", "skin", "vertical_to_horizontal", "drainage_radius")
PLACES = ("top_md", "base_md")  # where things are is not a matter of a range here


@dataclass(frozen=True)
class Number:
    """A number of the case. value: SI, None where the path means several that differ."""

    path: str
    words: str
    quantity: str
    value: float | None

    def label(self, system: System) -> str:
        """'layer Reed A: permeability (220 md)'."""
        told = "" if self.value is None else f" ({amount(self.value, self.quantity, system)})"
        return f"{self.words}{told}"


def zones_of(told: WellDescription) -> Mapping[str, tuple[str, ...]]:
    """Zone -> names of its layers, as paths need it."""
    return {zone.name: zone.layers for zone in told.zones}


def numbers_of(case: Case, told: WellDescription) -> list[Number]:
    """Every number that can have a range: first of whole zones and of all layers, then one by one."""
    found: list[Number] = []
    for zone in told.zones:
        if zone.layers:
            found += [_several(case, told, f"zones.{zone.name}.{key}", f"zone {zone.name}") for key in OF_LAYERS]
    found += [_several(case, told, f"layers.*.{key}", "all layers") for key in OF_LAYERS]
    for section in SECTIONS:
        held = getattr(case, section)
        for path, words, quantity, value in _walk(held, section, ONE.get(section, section), case):
            found.append(Number(path, words, quantity, value))
    return [one for one in found if one.quantity]


def number_at(case: Case, told: WellDescription, path: str) -> Number:
    """The number at any path, in words. Raises session.BadCase where there is none."""
    known = {one.path: one for one in numbers_of(case, told)}
    return known.get(path) or _at(case, told, path, path.replace(".", ", "))


def _several(case: Case, told: WellDescription, path: str, owner: str) -> Number:
    try:
        return _at(case, told, path, f"{owner}: {path.rpartition('.')[2].replace('_', ' ')}")
    except session.BadCase:
        return Number(path, owner, "", None)


def _at(case: Case, told: WellDescription, path: str, words: str) -> Number:
    found, quantity = session.numbers_at(case, path, zones_of(told))
    values = set(found.values())
    return Number(path, words, quantity, values.pop() if len(values) == 1 else None)


def _walk(held: object, path: str, words: str, case: Case) -> Iterator[tuple[str, str, str, float]]:
    """(path, words, quantity, value) of every number below a place."""
    if isinstance(held, BaseModel):
        for name, info in type(held).model_fields.items():
            value, told = getattr(held, name), name.replace("_", " ")
            if name in PLACES:
                continue
            if isinstance(value, float) and not isinstance(value, bool):
                yield f"{path}.{name}", f"{words}: {told}", quantity_of(info) or "number", value
            elif isinstance(value, BaseModel):
                yield from _walk(value, f"{path}.{name}", f"{words}, {told}", case)
    elif isinstance(held, Mapping):
        for name, value in held.items():
            yield from _walk(value, f"{path}.{name}", f"{words} {name}", case)
    elif isinstance(held, tuple):
        named = element_names(case) if path == "string" else [getattr(one, "name", "") for one in held]
        for name, value in zip(named, held, strict=True):
            if name:
                yield from _walk(value, f"{path}.{name}", f"{words} {name}", case)

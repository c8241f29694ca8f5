"""Any value of a case by its path: read it, or make a new case with it replaced. Nothing changes in place.

A path names keys with dots between them; an item of a list goes by its name or by its number, counted from 0:

    layers.A sand.permeability      layers.*.skin (all)      what_ifs.stimulate.events.0.skin
    string.upper seal.leak          supports.north.volume    controls.2030-01-01.liquid_rate
    zones.upper.permeability        every layer of a zone; needs `zones` (network.zone_layers.zone_layers gives it)

A new value is a number in SI, `Times(1.3)` or `Plus(5.0)` of what the case holds, or text: "250 md" in place of the
case's value, "x1.3" a multiple of it, "+5 m" or "-5 m" a shift of it (text with a sign is a shift: write -2.0, not
"-2", for a skin of -2). Words, dates and true or false are replaced by a value of their own kind.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from planner.base.errors import CaseError, Problem
from planner.base.units import QUANTITIES, parse, parse_difference
from planner.model.case import Case
from planner.model.names import element_names
from planner.model.quantity import Of, quantity_of

Location = tuple[str | int, ...]
Zones = Mapping[str, Sequence[str]]  # zone -> names of its layers
ALL = "*"


@dataclass(frozen=True)
class Times:
    """A multiple of what the case holds."""

    factor: float


@dataclass(frozen=True)
class Plus:
    """What the case holds and this much more, SI."""

    amount: float


NewValue = float | int | str | bool | date | Times | Plus | None


def read(case: Case, path: str) -> float:
    """The number at a path, SI. Raises CaseError where there is none, or where the path means several."""
    found = read_all(case, path)
    if len(found) > 1:
        raise _error(path, f"the path means {len(found)} numbers", f"Name one of them: {', '.join(found)}.")
    return next(iter(found.values()))


def read_all(case: Case, path: str, zones: Zones | None = None) -> dict[str, float]:
    """Numbers at a path, SI, by the path of each. Raises CaseError where there is none."""
    return {_written(case, one): _number(case, one, path) for one in _locations(case, path, zones)}


def expand(case: Case, path: str, zones: Zones | None = None) -> tuple[str, ...]:
    """The paths without '*' and without zones that a path means. Raises CaseError where nothing is there."""
    return tuple(_written(case, one) for one in _locations(case, path, zones))


def quantity_at(case: Case, path: str, zones: Zones | None = None) -> str:
    """Name of the quantity at a path ('pressure'; 'number' without one); '' for words, dates, true or false."""
    return _quantity(case, _locations(case, path, zones)[0])


def put(case: Case, changes: Mapping[str, NewValue], zones: Zones | None = None) -> Case:
    """A new case with other values at these paths, every record that changed validated again.

    Changes of one place act in the order given, so that two multipliers multiply. Checks of more than one record
    (`consistency.check`) are the caller's. Raises CaseError with every path that is wrong and every value refused.
    """
    wanted: dict[Location, Any] = {}
    problems: list[Problem] = []
    for path, value in changes.items():
        try:
            for location in _locations(case, path, zones):
                wanted[location] = _changed(case, location, path, value, wanted)
        except CaseError as error:
            problems += error.problems
    if problems:
        raise CaseError(problems)
    made = _rebuilt(case, case, (), _tree(wanted))
    assert isinstance(made, Case)
    return made


def change_of(text: str, quantity: str) -> float | Times | Plus:
    """A number as text for a quantity: '250 md', 'x1.3', '+5 m', '-5 m'. Raises ValueError with the remedy."""
    bare = text.strip()
    if bare[:1] in ("x", "X", "*"):
        return Times(parse(bare[1:].strip(), "number"))
    if bare[:1] in ("+", "-"):
        return Plus(parse_difference(bare, quantity))
    return parse(bare, quantity)


# --- from a path to locations


def _locations(case: Case, path: str, zones: Zones | None) -> list[Location]:
    """Every place that a path means, none twice."""
    parts = path.split(".")
    if len(parts) > 1 and parts[0].strip() == "zones":
        return _in_zone(case, path, parts[1:], zones)
    return list(dict.fromkeys(_walk(case, case, parts, (), path)))


def _in_zone(case: Case, path: str, parts: list[str], zones: Zones | None) -> list[Location]:
    if zones is None:
        raise _error(path, "the layers of a zone are not known here", "Name the layers: layers.NAME.KEY.")
    found: list[Location] = []
    name, rest = _taken(parts, [*zones, ALL], "zones", path)
    for zone in zones if name == ALL else [str(name)]:
        if not zones[zone]:
            raise _error(path, f"no layer opens in zone '{zone}'", "Name a layer instead: layers.NAME.KEY.")
        for layer in zones[zone]:
            number = [one.name for one in case.layers].index(layer)
            found += _walk(case, case.layers[number], rest, ("layers", number), path)
    return list(dict.fromkeys(found))


def _walk(case: Case, here: Any, parts: list[str], at: Location, path: str) -> list[Location]:
    """Locations that the parts of a path mean below a place."""
    if not parts:
        return [at]
    where = _written(case, at) or "the case"
    if isinstance(here, BaseModel):
        fields = type(here).model_fields
        name, rest = _taken(parts, list(fields), where, path)
        return _walk(case, getattr(here, str(name)), rest, (*at, name), path)
    if isinstance(here, Mapping):
        name, rest = _taken(parts, [*here, ALL], where, path)
        keys = list(here) if name == ALL else [str(name)]
        return [one for key in keys for one in _walk(case, here[key], rest, (*at, key), path)]
    if isinstance(here, tuple):
        labels = _labels(case, here, at)
        name, rest = _taken(parts, [*labels, ALL], where, path, len(here))
        if name == ALL:
            numbers = range(len(here))
        else:
            number = name if isinstance(name, int) else labels.index(name)
            numbers = range(number, number + 1)
        return [one for k in numbers for one in _walk(case, here[k], rest, (*at, k), path)]
    if here is None:
        raise _error(path, f"the case gives no {where}", f"Give {where} in the case first.")
    raise _error(path, f"{where} is a single value; nothing lies below it", f"Write {where}.")


def _taken(parts: list[str], known: list[str], where: str, path: str, count: int = 0) -> tuple[str | int, list[str]]:
    """The next key of a path, and the parts left; names with dots in them are taken whole."""
    for length in range(len(parts), 0, -1):
        name = ".".join(parts[:length]).strip()
        if name in known:
            return name, parts[length:]
    first = parts[0].strip()
    if first.isdecimal() and int(first) < count:
        return int(first), parts[1:]
    named = [name for name in known if name != ALL]
    numbers = f" or a number from 0 to {count - 1}" if count else ""
    near = difflib.get_close_matches(first.lower(), [name.lower() for name in named], n=1, cutoff=0.6)
    meant = next((f"Did you mean '{name}'? " for name in named if near and name.lower() == near[0]), "")
    there = f"There: {', '.join(named)}{numbers}." if named or count else "Nothing is there."
    raise _error(path, f"{where} has no '{first}'", meant + there)


def _labels(case: Case, items: tuple[Any, ...], at: Location) -> list[str]:
    """Names that the items of a list go by: their own, the elements' of the string, or the dates of controls."""
    if at == ("string",):
        return list(element_names(case))
    found = [getattr(item, "name", None) or getattr(item, "date", None) for item in items]
    return [str(label) for label in found] if all(found) else []


def _written(case: Case, at: Location) -> str:
    """A location as a path, with names where items have them."""
    here: Any = case
    parts: list[str] = []
    for n, part in enumerate(at):
        labels = _labels(case, here, at[:n]) if isinstance(part, int) else []
        unique = bool(labels) and labels.count(labels[int(part)]) == 1
        parts.append(labels[int(part)] if unique else str(part))
        here = _child(here, part)
    return ".".join(parts)


def _child(here: Any, part: str | int) -> Any:
    return getattr(here, str(part)) if isinstance(here, BaseModel) else here[part]


def _at(case: Case, at: Location) -> Any:
    here: Any = case
    for part in at:
        here = _child(here, part)
    return here


# --- values


def _quantity(case: Case, at: Location) -> str:
    """Quantity of a place: of the field that holds it; items of a list of numbers share theirs."""
    named = [n for n, part in enumerate(at) if isinstance(part, str)]
    for n in reversed(named):
        holder = _at(case, at[:n])
        if isinstance(holder, BaseModel):
            return _of_field(type(holder), str(at[n]))
    return ""


def _of_field(record: type[BaseModel], name: str) -> str:
    info = record.model_fields[name]
    known = quantity_of(info)
    if known is not None:
        return known
    kinds = _plain_kinds(info.annotation)
    return "number" if (float in kinds or int in kinds) and bool not in kinds else ""


def _plain_kinds(kind: Any) -> set[Any]:
    """Types that an annotation allows, without Annotated, 'or None' and the list around them."""
    if get_origin(kind) is Annotated:
        inner = get_args(kind)
        return {float} if any(isinstance(mark, Of) for mark in inner[1:]) else _plain_kinds(inner[0])
    if get_origin(kind) in (Union, UnionType, tuple):
        return {found for part in get_args(kind) for found in _plain_kinds(part)}
    return {kind}


def _number(case: Case, at: Location, path: str) -> float:
    value = _at(case, at)
    if value is None:
        where = _written(case, at)
        raise _error(path, f"the case gives no {where}", "Give it in the case, or set a value of its own.")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _error(path, f"{_written(case, at)} is not a number", "Choose a path that ends at a number.")
    return float(value)


def _changed(case: Case, at: Location, path: str, value: NewValue, wanted: Mapping[Location, Any]) -> Any:
    """The new value of a place, relative changes worked out."""
    if isinstance(_at(case, at), BaseModel | Mapping | tuple):
        raise _error(path, f"{_written(case, at)} is a whole section", "Go on to one of its values.")
    quantity = _quantity(case, at)
    if isinstance(value, str) and quantity:
        try:
            value = change_of(value, quantity)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            raise _error(path, message, remedy or "Correct the value.", str(value)) from None
    if not isinstance(value, Times | Plus):
        return value
    if not quantity:
        raise _error(path, f"{_written(case, at)} is not a number", "Give the value itself.")
    if isinstance(value, Times) and quantity == "temperature":
        raise _error(path, "a multiple of a temperature has no meaning", "Give a shift, such as +5 degC.")
    before = float(wanted[at]) if at in wanted else _number(case, at, path)
    return before * value.factor if isinstance(value, Times) else before + value.amount


def _tree(wanted: Mapping[Location, Any]) -> dict[str | int, Any]:
    """Locations as a tree: inner dicts are places to go through, leaves are one-tuples of the new value."""
    root: dict[str | int, Any] = {}
    for location, value in wanted.items():
        here = root
        for part in location[:-1]:
            here = here.setdefault(part, {})
        here[location[-1]] = (value,)
    return root


def _rebuilt(case: Case, here: Any, at: Location, tree: Mapping[str | int, Any]) -> Any:
    """A value with what the tree says replaced, records validated from the inside out."""
    if isinstance(here, BaseModel):
        return _record(case, here, at, tree)
    below = {part: _new(case, _child(here, part), (*at, part), change) for part, change in tree.items()}
    if isinstance(here, Mapping):
        return {**here, **below}
    return tuple(below.get(k, item) for k, item in enumerate(here))


def _new(case: Case, here: Any, at: Location, change: Any) -> Any:
    return change[0] if isinstance(change, tuple) else _rebuilt(case, here, at, change)


def _record(case: Case, here: BaseModel, at: Location, tree: Mapping[str | int, Any]) -> BaseModel:
    kind = type(here)
    values = {name: getattr(here, name) for name in here.model_fields_set}
    values |= {str(part): _new(case, getattr(here, str(part)), (*at, part), change) for part, change in tree.items()}
    raw = {name: _raw(kind, name, value) for name, value in values.items()}
    try:
        return kind.model_validate(raw)
    except ValidationError as error:
        raise CaseError([_refused(case, at, kind, detail, values) for detail in error.errors()]) from None


def _raw(kind: type[BaseModel], name: str, value: Any) -> Any:
    """A value as the validation takes it: numbers with a unit as text, whole numbers as such."""
    quantity = quantity_of(kind.model_fields[name])
    if quantity is not None and QUANTITIES[quantity].si and isinstance(value, int | float):
        return f"{float(value)!r} {QUANTITIES[quantity].si}"
    return value


def _refused(case: Case, at: Location, kind: type[BaseModel], detail: Any, values: Mapping[str, Any]) -> Problem:
    place = tuple(part for part in detail["loc"][:1] if part in kind.model_fields)
    text = str(detail.get("ctx", {}).get("error", "")) or str(detail["msg"])
    message, _, remedy = (text[:1].lower() + text[1:]).partition("; ")
    quantity = _of_field(kind, str(place[0])) if place else ""
    unit = QUANTITIES[quantity].si if quantity else ""
    shown = f"{values[str(place[0])]} {unit}".rstrip() if place and str(place[0]) in values else ""
    return Problem("", _written(case, (*at, *place)), shown, message, remedy or "Correct the value.")


def _error(path: str, message: str, remedy: str, value: str = "") -> CaseError:
    return CaseError([Problem("", path, value, message, remedy)])


def problems_of_paths(case: Case, paths: Iterable[str], zones: Zones | None = None) -> list[Problem]:
    """What is wrong with paths as such; empty where each leads somewhere."""
    found: list[Problem] = []
    for path in paths:
        try:
            _locations(case, path, zones)
        except CaseError as error:
            found += error.problems
    return found

"""Complaints of the record validation, turned into problems with file, place, value, message and remedy."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from planner.base.errors import Problem
from planner.base.units import example
from planner.io.places import Location, Places, shown
from planner.model.quantity import quantity_of


def suggestion(word: str, known: Iterable[str]) -> str:
    """Remedy for an unknown word: the nearest known one, else all of them."""
    names = list(known)
    near = difflib.get_close_matches(word.lower(), [name.lower() for name in names], n=1, cutoff=0.6)
    if near:
        meant = next(name for name in names if name.lower() == near[0])
        return f"Did you mean '{meant}'?"
    return f"Known here: {', '.join(names)}." if names else "Leave it out."


def problems_of(error: ValidationError, record: Any, prefix: Location, places: Places) -> list[Problem]:
    """All complaints of a validation of `record` (a type) whose data sit at `prefix` of the case."""
    details = [one for one in error.errors(include_url=False) if not (one["type"] == "too_short" and one["input"])]
    return [
        _problem(detail, record, prefix, places) for detail in details
    ]  # too short for its bad entries: told already


def _problem(detail: ErrorDetails, root: Any, prefix: Location, places: Places) -> Problem:
    location, holder, kind = _walk(root, detail["loc"])
    last = location[-1] if location else (prefix[-1] if prefix else "")
    message, remedy = _words(detail, str(last), holder, kind)
    value = "" if detail["type"] in ("missing", "extra_forbidden") else shown(detail["input"])
    file, place = places.of(prefix + location)
    return Problem(file, place, value, message, remedy)


def _words(detail: ErrorDetails, key: str, holder: Any, kind: Any) -> tuple[str, str]:
    """Message and remedy of one complaint about `key` (of type `kind`) inside the record `holder`."""
    type_, context = detail["type"], detail.get("ctx", {})
    if type_ == "missing":
        return f"'{key}' is missing", f"Add {key}{_meaning(holder, key)}."
    if type_ == "extra_forbidden":
        return f"unknown key '{key}'", suggestion(key, _keys(holder))
    if type_ == "literal_error":
        return _choice(str(detail["input"]), [str(word) for word in get_args(_bare(kind))])
    if type_ == "union_tag_invalid":
        return _choice(str(context["tag"]), _tags(holder if kind is None else kind))
    if type_ == "union_tag_not_found":
        return "'do' is missing: what happens", f"Add do = one of: {', '.join(_tags(kind))}."
    if type_ == "value_error":
        message, _, remedy = str(context["error"]).partition("; ")
        return message, sentence(remedy) or "Correct the value."
    if type_ == "too_short":
        return f"'{key}' is empty", f"Give at least one entry of '{key}'."
    return _plain(type_, str(detail["msg"]), context)


def _plain(type_: str, text: str, context: Mapping[str, Any]) -> tuple[str, str]:
    """Complaints about plain types."""
    if type_.startswith(("date", "datetime")):
        return "not a date", "Write year-month-day without quotes, such as 2030-01-31."
    if type_ in ("model_type", "model_attributes_type", "dict_type"):
        return "a table of keys is needed here", "Write it as [name] with keys below, or { key = value }."
    if type_ in ("tuple_type", "list_type"):
        return "a list is needed here", "Write it as [[name]] for each entry, or as [ ... ]."
    if type_.startswith("bool"):
        return "neither true nor false", "Write true or false, without quotes."
    if type_.startswith("string"):
        return "text is needed here", "Put it in quotes."
    if type_.startswith(("float", "int")):
        whole = "whole number" if type_.startswith("int") else "number"
        return f"not a {whole}", f"Write a {whole} without a unit."
    bounds = {"greater_than_equal": "ge", "less_than_equal": "le", "greater_than": "gt", "less_than": "lt"}
    if type_ in bounds:
        words = {"ge": "at least", "le": "at most", "gt": "above", "lt": "below"}[bounds[type_]]
        return f"must be {words} {context[bounds[type_]]}", "Correct the value."
    return text[:1].lower() + text[1:], "Correct the value."


def _choice(given: str, allowed: list[str]) -> tuple[str, str]:
    near = difflib.get_close_matches(given.lower(), allowed, n=1, cutoff=0.6)
    start = f"Did you mean '{near[0]}'? " if near else ""
    return "not one of the words allowed here", f"{start}Allowed: {', '.join(word for word in allowed if word)}."


def sentence(text: str) -> str:
    """A remedy with a capital and a full stop; '' stays."""
    return text[:1].upper() + text[1:].rstrip(".") + "." if text else ""


def _meaning(holder: Any, key: str) -> str:
    """' (measured depth, with a unit such as ...)' of a key, from its one description."""
    if not _is_record(holder) or key not in holder.model_fields:
        return ""
    field = holder.model_fields[key]
    quantity = quantity_of(field)
    parts = [part for part in (field.description, f"with {example(quantity)}" if quantity else "") if part]
    return f" ({', '.join(parts)})" if parts else ""


# Keys that the reader of files takes away before the record is made (planner.io.filed).
_IN_FILES = {
    "Well": ("hole_diameter",),
    "Measured": ("file", "files", "layout", "well", "date_format", "decimal", "units", "rates", "dates"),
}


def _keys(holder: Any) -> list[str]:
    return [*holder.model_fields, *_IN_FILES.get(holder.__name__, ())] if _is_record(holder) else []


def _is_record(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _bare(kind: Any) -> Any:
    """A type without Annotated and without 'or None'."""
    while get_origin(kind) is Annotated:
        kind = get_args(kind)[0]
    if get_origin(kind) in (Union, UnionType):
        left = [part for part in get_args(kind) if part is not type(None)]
        if len(left) == 1:
            return _bare(left[0])
    return kind


def _members(kind: Any) -> dict[str, Any]:
    """Records of a union told apart by the word under 'do'."""
    bare = _bare(kind)
    if get_origin(bare) not in (Union, UnionType):
        return {}
    members = [part for part in get_args(bare) if _is_record(part) and "do" in part.model_fields]
    return {get_args(part.model_fields["do"].annotation)[0]: part for part in members}


def _tags(kind: Any) -> list[str]:
    return list(_members(kind))


def _walk(kind: Any, path: Location) -> tuple[Location, Any, Any]:
    """Location without the words that only the validation adds; the record that holds it; its type."""
    location: list[str | int] = []
    holder: Any = None
    here = _bare(kind)
    for part in path:
        members = _members(here)
        if part in members:
            here = members[str(part)]
            continue
        location.append(part)
        holder = here
        here = _child(here, part)
    return tuple(location), holder, here


def _child(kind: Any, part: str | int) -> Any:
    """Type of what sits under a key or number of a type; None when unknown."""
    bare = _bare(kind)
    if _is_record(bare) and part in bare.model_fields:
        field = bare.model_fields[str(part)]
        return _bare(field.annotation)
    if get_origin(bare) in (tuple, list):
        arguments = get_args(bare)
        several = isinstance(part, int) and len(arguments) > part and Ellipsis not in arguments
        return _bare(arguments[int(part)] if several else arguments[0])
    if get_origin(bare) is dict:
        return _bare(get_args(bare)[1])
    return None

"""Records of planner.model as JSON: exact in SI for keeping, or in the units of a system for showing."""

from __future__ import annotations

import hashlib
import json
from datetime import date
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from dashboard.measure import System, as_text
from planner.model.quantity import QUANTITIES, quantity_of

Json = dict[str, Any]


def exact(record: BaseModel) -> Json:
    """A record as JSON that reads back to the very same numbers: what was given, numbers with their SI unit."""
    return _dump(record, None)


def in_units(record: BaseModel, system: System) -> Json:
    """A record as JSON with its numbers in the units of a system."""
    return _dump(record, system)


def _dump(record: BaseModel, system: System | None) -> Json:
    found: Json = {}
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if value is None or not (name in record.model_fields_set or _is_tag(field)):
            continue
        found[name] = _plain(value, quantity_of(field), system)
    return found


def _is_tag(field: FieldInfo) -> bool:
    """Whether a field holds one word only, which tells the kind of a record."""
    return get_origin(field.annotation) is Literal and len(get_args(field.annotation)) == 1


def _plain(value: Any, quantity: str | None, system: System | None) -> Any:
    if isinstance(value, BaseModel):
        return _dump(value, system)
    if isinstance(value, dict):
        return {key: _plain(one, None, system) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one, None, system) for one in value]
    if quantity and QUANTITIES[quantity].si and not isinstance(value, bool):
        return as_text(value, quantity, system) if system else f"{value!r} {QUANTITIES[quantity].si}"
    return value.isoformat() if isinstance(value, date) else value


def digest(*parts: Any) -> str:
    """A short digest of JSON: what an editor was drawn from, so that it is drawn anew only for another content."""
    return hashlib.sha256(json.dumps(parts, sort_keys=True, default=str).encode()).hexdigest()[:24]

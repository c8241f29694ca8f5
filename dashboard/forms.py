"""Forms that follow from the one description of a record: fields with meaning, unit, choices; values in, JSON out."""

from __future__ import annotations

import re
import types
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from dashboard.events import BadInput
from dashboard.measure import System, number, shown, unit, unit_as_read
from planner.model.case import Case
from planner.model.names import element_names
from planner.model.quantity import QUANTITIES, parse, quantity_of
from planner.model.results import WellDescription

Json = dict[str, Any]
Choices = Mapping[str, list[str]]


@dataclass(frozen=True)
class Field:
    """One field of a form. path: 'when.zone'; kind: number, whole, text, date, choice, yes or no, rows."""

    path: str
    kind: str
    quantity: str = ""
    choices: tuple[str, ...] = ()
    required: bool = False
    meaning: str = ""
    record: type[BaseModel] | None = None
    default: Any = None

    @property
    def name(self) -> str:
        """Last part of the path."""
        return self.path.rpartition(".")[2]

    def label(self, system: System) -> str:
        """Name in words, with its unit."""
        words = self.name.replace("_", " ")
        label = unit(self.quantity, system) if self.quantity else ""
        label = "" if label == "money" else label
        return f"{words[:1].upper()}{words[1:]}{f', {label}' if label else ''}"


def choices_of(case: Case, told: WellDescription) -> Choices:
    """Names that a field of this name can take in a case."""
    blanks = [blank.name for blank in told.blanks]
    named = zip(case.string, element_names(case), strict=True)
    seals = [name for element, name in named if element.kind in ("hanger", "isolation joint", "packer", "plug")]
    return {
        "zone": [zone.name for zone in told.zones],
        "blank": blanks, "upper_blank": blanks, "lower_blank": blanks,
        "element": seals + blanks, "support": list(case.supports), "layer": [layer.name for layer in case.layers],
        "way": list(case.economics.ways),
        "compartment": [one.name for one in case.compartments], "rock": [rock.name for rock in case.rocks],
    }  # fmt: skip


def fields_of(record: type[BaseModel], choices: Choices, prefix: str = "", skip: tuple[str, ...] = ()) -> list[Field]:
    """The fields of a record, those of records inside it under dotted paths."""
    found: list[Field] = []
    for name, info in record.model_fields.items():
        path = f"{prefix}{name}"
        if path in skip or name in skip:
            continue
        kind = plain_type(info.annotation)
        given = {
            "required": info.is_required(), "meaning": info.description or "",
            "default": None if info.is_required() else info.get_default(call_default_factory=True),
        }  # fmt: skip
        quantity = quantity_of(info)
        if quantity:
            found.append(Field(path, "number", quantity, **given))
        elif isinstance(kind, type) and issubclass(kind, BaseModel):
            found += fields_of(kind, choices, f"{path}.")
        elif get_origin(kind) is Literal:
            words = tuple(str(word) for word in get_args(kind))
            found += [Field(path, "choice", choices=words, **given)] if len(words) > 1 else []
        elif kind is date:
            found.append(Field(path, "date", **given))
        elif kind is bool:
            found.append(Field(path, "yes or no", choices=("yes", "no"), **given))
        elif kind in (int, float):
            found.append(Field(path, "number" if kind is float else "whole", **given))
        elif get_origin(kind) is tuple and _is_record(get_args(kind)[0]):
            found.append(Field(path, "rows", record=get_args(kind)[0], **given))
        elif name in choices and kind is str:
            found.append(Field(path, "choice", choices=tuple(choices[name]), **given))
        elif kind is str:
            found.append(Field(path, "text", **given))
    return found


def plain_type(kind: Any) -> Any:
    """A type without its marks and without None."""
    if get_origin(kind) is Annotated:
        return plain_type(get_args(kind)[0])
    if get_origin(kind) in (Union, types.UnionType):
        rest = [part for part in get_args(kind) if part is not type(None)]
        return plain_type(rest[0]) if len(rest) == 1 else kind
    return kind


def _is_record(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def at(raw: Any, path: str) -> Any:
    """What lies at a dotted path of JSON; None where nothing does."""
    for part in path.split("."):
        raw = raw.get(part) if isinstance(raw, dict) else None
    return raw


def shown_value(field: Field, raw: Any, system: System) -> Any:
    """JSON of a field as the form shows it: a number in the shown unit, words, rows as lines."""
    if raw is None:
        return "" if field.kind in ("number", "whole", "text", "rows") else None
    if field.kind == "number":
        return tidy(parse(raw, field.quantity) if field.quantity else float(raw), field.quantity, system)
    if field.kind == "yes or no":
        return "yes" if raw else "no"
    if field.kind == "rows":
        return "\n".join(", ".join(_row_cells(field, row, system)) for row in raw)
    return raw


def tidy(si: float, quantity: str, system: System) -> float:
    """An SI number in the shown unit (fractions in percent), without the dust of the conversion."""
    if not quantity:
        return si
    value = float(shown(si, quantity, system)) * (100.0 if quantity == "fraction" else 1.0)
    return float(f"{value:.10g}")


def _row_cells(field: Field, row: Json, system: System) -> list[str]:
    return [str(shown_value(one, row.get(one.name), system)) for one in columns(field)]


def columns(field: Field) -> list[Field]:
    """The columns of a field of rows."""
    return fields_of(field.record, {}) if field.record else []


def row_head(field: Field, system: System) -> str:
    """What stands in each line of a field of rows."""
    return "one row a line: " + ", ".join(one.label(system).lower() for one in columns(field))


def read(fields: list[Field], values: Mapping[str, Any], system: System) -> Json:
    """What was typed into a form as JSON of the record; empty fields are left out. Raises BadInput at a field."""
    made: Json = {}
    for field in fields:
        value = values.get(field.path)
        if value in (None, ""):
            if field.required and _begun(field, values):
                raise BadInput(field.path, "This is needed.")
            continue
        put(made, field.path, _read_one(field, value, system))
    return made


def _begun(field: Field, values: Mapping[str, Any]) -> bool:
    """Whether anything was typed into the record that a field belongs to; the outermost record always counts."""
    holder = field.path.rpartition(".")[0]
    return not holder or any(v not in (None, "") for path, v in values.items() if path.startswith(f"{holder}."))


def put(made: Json, path: str, value: Any) -> None:
    """Put a value at a dotted path of JSON."""
    *holders, name = path.split(".")
    for part in holders:
        made = made.setdefault(part, {})
    made[name] = value


def _read_one(field: Field, value: Any, system: System) -> Any:
    if field.kind == "number":
        return as_written(value, field, system)
    if field.kind == "whole":
        try:
            return int(value)
        except (TypeError, ValueError):
            raise BadInput(field.path, "A whole number is needed here.") from None
    if field.kind == "yes or no":
        return value == "yes"
    if field.kind == "rows":
        return _read_rows(field, str(value), system)
    return str(value)[:10] if field.kind == "date" else value


def as_written(value: Any, field: Field, system: System) -> Any:
    """A number typed in the shown unit, as the reader of cases takes it: '2500 ft', 0.3. Raises BadInput."""
    text = str(value).strip().replace("\u2212", "-")
    if re.match(r"[-+]?[.,]?\d", text) and re.search(r"[a-zA-Z%]", text.lstrip("-+0123456789.,eE ")):
        return text  # with a unit of its own: the reader judges it
    try:
        typed = float(text.replace(",", "") if "," in text and "." in text else text.replace(",", "."))
    except ValueError:
        raise BadInput(field.path, f"Not a number: {value}.") from None
    if not field.quantity or not QUANTITIES[field.quantity].si:
        return float(f"{typed / 100:.12g}") if field.quantity == "fraction" else typed
    return f"{typed!r} {unit_as_read(field.quantity, system)}"


def _read_rows(field: Field, text: str, system: System) -> list[Json]:
    rows = []
    for count, line in enumerate([line for line in text.splitlines() if line.strip()], 1):
        cells = [cell.strip() for cell in re.split(r"[,;\t]\s*|\s{2,}|\s", line.strip()) if cell.strip()]
        names = columns(field)
        if len(cells) != len(names):
            raise BadInput(field.path, f"Line {count} has {len(cells)} numbers where {len(names)} are needed.")
        rows.append({one.name: _read_one(one, cell, system) for one, cell in zip(names, cells, strict=True)})
    return rows


def default_words(field: Field, system: System) -> str:
    """What holds where nothing is typed, for the hint in an empty field."""
    if field.default is None or field.default == "" or field.kind in ("rows", "yes or no", "date"):
        return ""
    if field.kind == "number" and isinstance(field.default, float):
        return f"{number(tidy(field.default, field.quantity, system), 4)} if empty"
    return f"{field.default} if empty" if field.kind in ("whole", "text") else ""

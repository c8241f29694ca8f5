"""Write a case as a folder: case.toml and CSV tables that read back as the same case."""

from __future__ import annotations

import csv
import io
import os
import secrets
import stat
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.items import AoT, Table

from planner.base.errors import CaseError, Problem
from planner.base.units import QUANTITIES, UnitSystem, from_si, parse
from planner.io.filed import FILED
from planner.io.read import CASE_FILE
from planner.io.schema import schema
from planner.io.starting_case import STARTING_FILES
from planner.model.case import Case
from planner.model.change import Trigger
from planner.model.quantity import quantity_of

__all__ = ["new_case", "replace_text", "schema", "write_case", "written"]

# Order of the sections, as one reads a well; what is not a table must come first in TOML.
SECTIONS = (
    "title", "units", "zones", "well", "compartments", "layers", "rocks", "supports", "fluid", "string",
    "tubing", "perforations", "completions", "later_element", "controls", "limits", "economics", "late_life",
    "schedule", "numerics", "what_ifs", "uncertain", "correlation", "alternatives", "failures",
)  # fmt: skip


def write_case(case: Case, folder: str | Path) -> Path:
    """Write a case to a folder (made if need be); returns the path of its case.toml.

    Numbers stand in the case's unit system with as many digits as bring back the same number. Each file is replaced
    at once, the case file last, so that a stop in between leaves the old case or the new one. Raises OSError.
    """
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    tables: dict[str, str] = {}
    document = tomlkit.document()
    for name in SECTIONS:
        value = getattr(case, name)
        if value == Case.model_fields[name].get_default(call_default_factory=True):
            continue
        if (name,) in FILED:
            section = tomlkit.table()
            section.add("file", _filed(value, (name,), case.units, tables))
        else:
            section = _item(value, (name,), case.units, tables)
        document.add(name, section)
    for file, text in tables.items():
        replace_text(place / file, text)
    replace_text(place / CASE_FILE, tomlkit.dumps(document))
    return place / CASE_FILE


def new_case(folder: str | Path) -> Path:
    """Write a commented case to start from; returns the path of its case.toml.

    Raises CaseError, and writes nothing, when one of the files is there already.
    """
    place = Path(folder)
    taken = [name for name in STARTING_FILES if (place / name).exists()]
    if taken:
        remedy = "Choose another folder, or move the files away."
        raise CaseError([Problem(name, "", "", f"there is one already in {place}", remedy) for name in taken])
    place.mkdir(parents=True, exist_ok=True)
    for name, text in STARTING_FILES.items():
        replace_text(place / name, text)
    return place / CASE_FILE


def replace_text(path: Path, text: str) -> None:
    """Write a file beside its place and move it in at once, so that a reader never meets half a file.

    A new file gets the permissions that the user's umask gives, one that was there keeps its own.
    """
    temporary = path.parent / f".{path.name}.{secrets.token_hex(6)}"
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            with suppress(FileNotFoundError):
                os.chmod(temporary, stat.S_IMODE(path.stat().st_mode))
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(temporary, path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


# --- values


def written(value: float, quantity: str, system: UnitSystem) -> str | float:
    """An SI number as a user writes it, with the fewest digits that read back as the same number.

    In the unit of the system; in that of the other system, else in SI, where that is much shorter ('8.5 in', not
    '215.89999999999998 mm'). A plain number for quantities without a unit.
    """
    if not QUANTITIES[quantity].si:
        return value
    unit, texts = _best_unit([value], quantity, system)
    return f"{texts[0]} {unit}"


_MUCH_SHORTER = 8  # characters a number, before a unit of the other system is taken


def _best_unit(values: list[float], quantity: str, system: UnitSystem) -> tuple[str, list[str]]:
    """The unit to write some numbers in, and the numbers in it."""
    known = QUANTITIES[quantity]
    choices = [(len(max(texts, key=len)), known.si, texts) for texts in [[repr(float(value)) for value in values]]]
    for units in ("field", "metric"):
        texts = [text for text in (_shortest(value, quantity, units) for value in values) if text is not None]
        if len(texts) == len(values):
            bonus = _MUCH_SHORTER if units == system else 0
            choices.append((max(map(len, texts)) - bonus, known.unit(units), texts))
    _, unit, texts = min(choices, key=lambda choice: choice[0])
    return unit, texts


def _shortest(value: float, quantity: str, system: UnitSystem) -> str | None:
    """The number in the unit of a system, with the fewest digits that bring it back; None where none do."""
    unit = QUANTITIES[quantity].unit(system)
    shown = float(from_si(value, quantity, system))
    for digits in range(1, 18):
        text = repr(float(f"{shown:.{digits}g}")).removesuffix(".0")
        if parse(f"{text} {unit}", quantity) == value:
            return text
    return None


def _plain(value: Any) -> Any:
    """A value without a unit as TOML takes it."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    if isinstance(value, bool | int | float | str | date):
        return value
    return [_plain(item) for item in value]


def _item(value: Any, location: tuple[str | int, ...], system: UnitSystem, tables: dict[str, str]) -> Any:
    """A section as a TOML item; lists that read better as a table go into `tables` by file name."""
    if isinstance(value, BaseModel):
        return _table(value, location, system, tables)
    if isinstance(value, dict):
        table = tomlkit.table(is_super_table=all(isinstance(one, BaseModel) for one in value.values()))
        for key, one in value.items():
            table.add(key, _item(one, (*location, key), system, tables))
        return table
    if isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
        if location in FILED:
            inline = tomlkit.inline_table()
            inline.append("file", _filed(value, location, system, tables))
            return inline
        array: AoT = tomlkit.aot()
        for number, one in enumerate(value):
            array.append(_table(one, (*location, number), system, tables))
        return array
    return _plain(value)


def _table(record: BaseModel, location: tuple[str | int, ...], system: UnitSystem, tables: dict[str, str]) -> Table:
    """A record as a TOML table: keys that differ from their default, plain ones before tables."""
    table = tomlkit.table()
    later: list[tuple[str, Any]] = []
    fields = type(record).model_fields
    for key in sorted(fields, key=lambda name: name != "do"):  # what happens stands first
        info, value = fields[key], getattr(record, key)
        if value is None or (not info.is_required() and key != "do" and value == info.get_default()):
            continue
        quantity = quantity_of(info)
        if quantity is not None and isinstance(value, float):
            table.add(key, _plain(written(value, quantity, system)))
        elif isinstance(value, Trigger):
            inline = tomlkit.inline_table()
            inline.update(_table(value, (*location, key), system, tables).unwrap())
            table.add(key, inline)
        elif isinstance(value, dict) and not any(isinstance(one, BaseModel) for one in value.values()):
            inline = tomlkit.inline_table()
            inline.update({name: _plain(one) for name, one in value.items()})
            table.add(key, inline)
        elif isinstance(value, BaseModel | dict) or (isinstance(value, tuple) and _records(value)):
            later.append((key, value))
        else:
            table.add(key, _plain(value))
    for key, value in later:
        table.add(key, _item(value, (*location, key), system, tables))
    return table


def _records(values: tuple[Any, ...]) -> bool:
    return bool(values) and isinstance(values[0], BaseModel)


# --- tables in files of their own


def _filed(
    records: Sequence[BaseModel], location: tuple[str | int, ...], system: UnitSystem, tables: dict[str, str]
) -> str:
    """Name of the file of a list, the table itself added to `tables`."""
    name = f"{location[-2] if len(location) == 3 else location[-1]}.csv"
    tables[name] = _csv(records, system)
    return name


def _csv(records: Sequence[BaseModel], system: UnitSystem) -> str:
    """Records as CSV; columns that hold defaults alone are left out."""
    columns: list[list[str]] = []
    for key, info in type(records[0]).model_fields.items():
        values = [getattr(record, key) for record in records]
        if not info.is_required():
            values = [None if value == info.get_default() else value for value in values]
            if all(value is None for value in values):
                continue
        columns.append(_column(key, values, quantity_of(info), system))
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows(zip(*columns, strict=True))
    return stream.getvalue()


def _column(key: str, values: list[Any], quantity: str | None, system: UnitSystem) -> list[str]:
    """Header and cells; None is an empty cell."""
    name = key.replace("_", " ")
    if quantity is None or not QUANTITIES[quantity].si:
        return [name, *(_cell(value) for value in values)]
    unit, texts = _best_unit([value for value in values if value is not None], quantity, system)
    left = iter(texts)
    return [f"{name} [{unit}]", *("" if value is None else next(left) for value in values)]


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(_plain(value))

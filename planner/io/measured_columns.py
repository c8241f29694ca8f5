"""Tables of measurements: finding the header, what each column holds and in which unit."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from planner.base.errors import Problem
from planner.base.units import QUANTITIES, example
from planner.io.messages import sentence, suggestion
from planner.io.numbers import is_nothing, looks_like_number
from planner.io.reporting import Report
from planner.io.text import read_or_report
from planner.io.unit_spellings import is_refused, value_in_si
from planner.model.measured import KINDS

Cells = list[tuple[int, list[str]]]

PERIOD_VOLUMES = {"oil volume": "oil rate", "water volume": "water rate", "gas volume": "gas rate",
                  "liquid volume": "liquid rate"}  # fmt: skip
_HEADER = re.compile(r"^\s*(?P<name>[^\[(]*?)\s*(?:\[(?P<square>[^\]]*)\]|\((?P<round>.*)\))?\s*$")
_KEYS = {
    "date": "date", "month": "date", "day": "date", "since": "since", "from": "since", "well": "well",
    "well name": "well", "zone": "zone", "layer": "zone", "sand": "zone", "kind": "kind", "value": "value",
    "error": "error", "standard deviation": "error", "unit": "unit", "units": "unit", "days": "days", "days on": "days",
    "producing days": "days", "days produced": "days", "hours": "hours", "hours on": "hours",
    "producing hours": "hours",
}  # fmt: skip
_OTHER_NAMES = {
    "bhp": "bottom-hole pressure", "flowing bottom hole pressure": "bottom-hole pressure",
    "whp": "wellhead pressure", "thp": "wellhead pressure", "tubing head pressure": "wellhead pressure",
    "reservoir pressure": "formation pressure", "gor": "gas-oil ratio", "watercut": "water cut", "wct": "water cut",
    "permeability thickness": "kh",
}  # fmt: skip
_FLUID = re.compile(r"^(?P<cum>cum(?:ulative)?\s+)?(?P<fluid>oil|water|gas|liquid)(?:\s+prod(?:uction|uced)?)?"
                    r"(?:\s+(?P<what>rate|volume))?(?P<after>\s+cum(?:ulative)?)?$")  # fmt: skip


@dataclass(frozen=True)
class RawTable:
    """Cells as they stand in the file: header and lines below it, with their line numbers."""

    name: str
    header_line: int
    header: list[str]
    body: Cells
    delimiter: str
    encoding: str
    above: int = 0  # lines of words above the header, left out


@dataclass(frozen=True)
class Column:
    """What a column holds. role: 'date', 'since', 'well', 'zone', 'kind', 'value', 'error', 'unit', 'days', 'hours',
    'measure' (of `kind`), 'measure error' (of `kind`) or '' (not read)."""

    index: int
    header: str
    role: str
    kind: str = ""
    unit: str = ""


def read_raw(path: Path, name: str, report: Report) -> RawTable | None:
    """The cells of a table; None after a report. Lines above the header, such as titles, are left out."""
    read = read_or_report(path, name, "", report)
    if read is None:
        return None
    text, encoding = read
    lines = text.split("\n")
    nearly: tuple[int, str] | None = None  # a line with a date column and nothing else that is known
    for number, line in enumerate(lines[:40]):
        for mark in sorted(";\t,|", key=line.count, reverse=True):
            if not line.count(mark):
                break
            taken, header = _header(lines[number:], mark)
            roles = [_named(_split(cell)[0])[0] for cell in header]
            if "date" in roles and sum(bool(role) for role in roles) > 1:
                body = [(k + number + taken, cells) for k, cells in _cells(lines[number + taken :], mark)]
                filled = [(k, cells) for k, cells in body if any(cell.strip() for cell in cells)]
                return RawTable(name, number + 1, header, filled, mark, encoding, _words_above(lines[:number]))
            if "date" in roles and nearly is None:
                nearly = number + 1, ", ".join(cell for cell, role in zip(header, roles, strict=True) if not role)
    first = next((line for line in lines if line.strip()), "")
    remedy = "Give a header line with the columns 'date', 'kind', 'value', or 'date' and one column a quantity."
    row, shown, message = 1, first[:60], "no header with a column 'date' and something measured"
    if nearly is not None:
        (row, shown), message = nearly, "beside the date no column is known"
        remedy = f"Known: {', '.join((*KINDS, *PERIOD_VOLUMES))}, with the unit in brackets; zones in a column 'zone'."
    report(Problem(name, f"row {row}", shown[:60], message, remedy))
    return None


def _words_above(lines: list[str]) -> int:
    """How many lines with words stand above the header; the mark of a delimiter, 'sep=;', is none."""
    return sum(bool(line.strip(" ;,\t|")) and not line.lower().startswith(("sep=", "#")) for line in lines)


def _header(lines: list[str], mark: str) -> tuple[int, list[str]]:
    """The first record, whose cells may hold line ends inside quotes, and how many lines it takes (4 at most)."""
    reader = csv.reader(lines[:4], delimiter=mark, skipinitialspace=True)
    cells = next(reader, [])
    return max(reader.line_num, 1), [" ".join(cell.split()) for cell in cells]


def _cells(lines: list[str], mark: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=mark, skipinitialspace=True)
    return [(reader.line_num, [cell.strip() for cell in cells]) for cells in reader]


def _split(text: str) -> tuple[str, str]:
    """'oil rate [m3/d]' as ('oil rate', 'm3/d')."""
    match = _HEADER.match(text)
    if match is None:
        return text, ""
    unit = (match["square"] or match["round"] or "").strip()
    parts = match["name"].strip().split("_")
    if not unit and len(parts) > 2 and not _named(match["name"])[0]:  # our own tables: oil_rate_bbl_per_d
        for cut in range(len(parts) - 1, 0, -1):
            if _named(" ".join(parts[:cut]))[0]:
                return " ".join(parts[:cut]), "_".join(parts[cut:]).replace("_per_", "/").replace("_", " ")
    return match["name"], unit


def _plain(name: str) -> str:
    return " ".join(re.sub(r"[_\-.]+", " ", name).lower().split())


_PLAIN_KINDS = {_plain(kind): kind for kind in KINDS}


def _named(name: str) -> tuple[str, str]:
    """Role and kind of a column by its bare name; ('', '') when it is not known."""
    plain = _plain(name)
    if plain in _KEYS:
        return _KEYS[plain], ""
    if plain.endswith(" error"):
        role, kind = _named(plain.removesuffix(" error"))
        return ("measure error", kind) if role == "measure" else ("", "")
    kind = _PLAIN_KINDS.get(plain) or _OTHER_NAMES.get(plain, "")
    if kind:
        return "measure", kind
    match = _FLUID.match(plain)
    if match is None:
        return "", ""
    if match["cum"] or match["after"]:
        return ("measure", f"cumulative {match['fluid']}") if match["fluid"] != "liquid" else ("", "")
    return "measure", f"{match['fluid']} {match['what'] or ''}".strip()


def columns_of(
    table: RawTable, units: Mapping[str, str], report: Report, remark: Report
) -> tuple[list[Column], Cells] | None:
    """Columns with their units, and the lines below a line of units; None after reports.

    units: what the case says, by the name of the column or the kind.
    """
    body = table.body
    if table.above:
        above = f"{table.above} lines above the header; left out"
        remark(Problem(table.name, f"row {table.header_line}", "", above, "Check that the columns are found."))
    under = _unit_line(table)
    if under is not None:
        body = body[1:]
    found: list[Column] = []
    bad = False
    for index, text in enumerate(table.header):
        name, unit = _split(text)
        unit = unit or (under[index] if under is not None and index < len(under) else "")
        role, kind = _named(name)
        given = {_plain(key): value for key, value in units.items()}
        unit = given.get(_plain(name), given.get(_plain(kind), unit)) if role == "measure" else unit
        column = Column(index, name.strip() or f"column {index + 1}", role, kind, unit)
        told = _settled(column, table, report)
        bad = bad or told is None
        found.append(told or column)
    bad = _doubled(found, table, report) or bad
    _tell_unread(found, table, body, remark)
    return None if bad else (found, body)


def _unit_line(table: RawTable) -> list[str] | None:
    """Cells of a line of units right below the header."""
    if not table.body:
        return None
    cells = table.body[0][1]
    known = [_named(_split(text)[0]) for text in table.header]
    at = next(k for k, (role, _) in enumerate(known) if role == "date")
    first = cells[at].lower().strip("[]()") if len(cells) > at else ""
    if first not in ("", "-", "unit", "units", "date", "yyyy-mm-dd", "dd/mm/yyyy", "dd.mm.yyyy", "month"):
        return None
    rest = [cell.strip("[]() ") for cell in cells]
    if any(looks_like_number(cell) for cell in rest) or all(is_nothing(cell) for cell in rest):
        return None
    return rest


def _settled(column: Column, table: RawTable, report: Report) -> Column | None:
    """The column with its kind made out by its unit, and the unit known to fit; None after a report."""
    if column.role not in ("measure", "measure error"):
        return column
    place = f"row {table.header_line} column {column.header}"
    choices = _quantities(column.kind)
    usual = QUANTITIES[next(iter(choices.values()))]
    if not column.unit and usual.si:
        if column.role == "measure error":
            return column
        remedy = f"Write it in the header: '{column.header} [{usual.metric}]', or in units."
        report(Problem(table.name, place, column.header, "a unit is missing", remedy))
        return None
    if column.role == "measure error" and column.unit == "%":
        return column
    for kind, quantity in choices.items():
        try:
            value_in_si(1.0, column.unit, quantity)
            return replace(column, kind=kind)
        except ValueError as error:
            message = str(error)
    quantity = next(iter(choices.values()))
    if not is_refused(column.unit):
        message = f"not a unit of {' or '.join(dict.fromkeys(choices.values()))}"
    message, _, remedy = message.partition("; ")
    remedy = sentence(remedy) or f"Use one such as {example(quantity)}."
    report(Problem(table.name, place, column.unit, message, remedy))
    return None


def _quantities(kind: str) -> dict[str, str]:
    """Kinds that a name may stand for, with their quantities: 'oil' is a rate or a volume, by its unit."""
    if kind in KINDS:
        return {kind: KINDS[kind].quantity}
    fluid, _, what = kind.partition(" ")
    sort = "gas" if fluid == "gas" else "liquid"
    both = {f"{fluid} rate": f"{sort} rate", f"{fluid} volume": f"{sort} volume"}
    return {kind: both[kind]} if what else both


def _doubled(columns: list[Column], table: RawTable, report: Report) -> bool:
    seen: set[tuple[str, str]] = set()
    bad = False
    for column in columns:
        at = (column.role, column.kind)
        if column.role and at in seen:
            place = f"row {table.header_line} column {column.header}"
            report(Problem(table.name, place, column.header, "this column is there twice", "Keep one of them."))
            bad = True
        seen.add(at)
    return bad


def _tell_unread(columns: list[Column], table: RawTable, body: Cells, remark: Report) -> None:
    """Columns that hold something and are not read."""
    names = [kind for kind in (*KINDS, *PERIOD_VOLUMES, *_KEYS)]
    for column in columns:
        filled = any(len(cells) > column.index and cells[column.index] for _, cells in body)
        if not column.role and filled:
            place = f"row {table.header_line}"
            told = "a column that is not known; not read"
            remark(
                Problem(table.name, place, table.header[column.index], told, suggestion(_plain(column.header), names))
            )

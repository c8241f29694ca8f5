"""CSV tables: header 'top md [ft]', one record a line."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel

from planner.base.errors import Problem
from planner.base.units import QUANTITIES, example, to_si
from planner.io.messages import suggestion
from planner.io.places import TableSource
from planner.io.text import read_or_report
from planner.model.quantity import quantity_of

_HEADER = re.compile(r"^\s*(?P<name>[^\[(]*?)\s*(?:\[(?P<square>.*)\]|\((?P<round>.*)\))?\s*$")


@dataclass(frozen=True)
class Table:
    """Rows as the records take them (text with units), and where they stand."""

    rows: list[dict[str, str]]
    source: TableSource
    units: dict[str, str]


@dataclass(frozen=True)
class _Column:
    field: str
    header: str
    unit: str


def read_table(path: Path, name: str, record: type[BaseModel], report: Callable[[Problem], None]) -> Table | None:
    """A CSV file as rows for `record`; None when it cannot be used, after a report of each reason.

    name: the file as the user wrote it. Lines are counted as a spreadsheet counts them, the header usually being 1.
    """
    read = read_or_report(path, name, "", report)
    if read is None:
        return None
    try:
        lines = list(_lines(read[0]))
    except csv.Error as error:
        report(Problem(name, "", "", f"not a readable table ({error})", "Save it as plain CSV text."))
        return None
    if len(lines) < 2:
        report(Problem(name, "", "", "the table has no rows", "Give a header line and at least one line below it."))
        return None
    (header_line, header), body = lines[0], lines[1:]
    columns = [_column(text, record) for text in header]
    bad = _header_problems(name, header_line, header, columns, record, body)
    for problem in bad:
        report(problem)
    rows = [_row(cells, columns) for _, cells in body]
    for line, cells in body:
        if any(cell.strip() for cell in cells[len(columns) :]):
            bad.append(Problem(name, f"row {line}", ",".join(cells), "more cells than the header", "Check the commas."))
            report(bad[-1])
    if bad:
        return None
    places = tuple(f"row {line}" for line, _ in body)
    known = [column for column in columns if column is not None]
    source = TableSource(name, places, {column.field: column.header for column in known})
    return Table(rows, source, {column.field: column.unit for column in known if column.unit})


def _lines(text: str) -> list[tuple[int, list[str]]]:
    """Line number and cells of every line that is not empty, without '#' comments above the header."""
    first = next((line for line in text.split("\n") if line.strip() and not line.startswith("#")), "")
    mark = max(",;\t", key=first.count)
    reader = csv.reader(text.split("\n"), delimiter=mark, skipinitialspace=True)
    found = [(reader.line_num, cells) for cells in reader]
    filled = [(number, cells) for number, cells in found if any(cell.strip() for cell in cells)]
    while filled and filled[0][1][0].startswith("#"):
        del filled[0]
    return filled


def field_name(text: str) -> str:
    """'Top MD' as 'top_md'."""
    return re.sub(r"[\s_\-]+", "_", text.strip()).lower()


def _column(text: str, record: type[BaseModel]) -> _Column | None:
    match = _HEADER.match(text)
    if match is None:
        return None
    name = field_name(match["name"])
    return (
        _Column(name, match["name"].strip(), (match["square"] or match["round"] or "").strip())
        if name in record.model_fields
        else None
    )


def _header_problems(
    name: str,
    line: int,
    header: list[str],
    columns: list[_Column | None],
    record: type[BaseModel],
    body: list[tuple[int, list[str]]],
) -> list[Problem]:
    """Unknown, doubled and missing columns, missing and wrong units: each once, not once a row."""
    found: list[Problem] = []
    seen: set[str] = set()
    spaced = {field.replace("_", " "): field for field in record.model_fields}
    for number, (text, column) in enumerate(zip(header, columns, strict=True)):
        place = f"row {line} column {text.strip() or number + 1}"
        if column is None:
            if text.strip() or any(len(cells) > number and cells[number].strip() for _, cells in body):
                bare = re.split(r"[\[(]", text)[0].strip().replace("_", " ")
                found.append(Problem(name, place, text.strip(), "unknown column", suggestion(bare, spaced)))
            continue
        if column.field in seen:
            found.append(Problem(name, place, text.strip(), "this column is there twice", "Keep one of them."))
        seen.add(column.field)
        cells = [row[number].strip() for _, row in body if len(row) > number]
        found += _unit_problems(name, f"row {line} column {column.header}", column, record, cells)
    for field, info in record.model_fields.items():
        if info.is_required() and field not in seen:
            wanted = _with_unit(field, quantity_of(info))
            found.append(
                Problem(
                    name,
                    f"row {line}",
                    "",
                    f"column '{field.replace('_', ' ')}' is missing",
                    f"Add a column with the header {wanted}.",
                )
            )
    return found


def _unit_problems(name: str, place: str, column: _Column, record: type[BaseModel], cells: list[str]) -> list[Problem]:
    quantity = quantity_of(record.model_fields[column.field])
    if quantity is None:
        if column.unit and column.unit != "-":
            return [
                Problem(name, place, column.unit, "this column has no unit", f"Write the header as {column.header}.")
            ]
        return []
    if not column.unit:
        if QUANTITIES[quantity].si and any(_is_number(cell) for cell in cells):
            remedy = (
                f"Write it in the header, such as {_with_unit(column.field, quantity)}; known: {example(quantity)}."
            )
            return [Problem(name, place, column.header, "a unit is missing", remedy)]
        return []
    try:
        to_si(1.0, "" if column.unit == "-" else column.unit, quantity)
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        return [Problem(name, place, column.unit, message, remedy[:1].upper() + remedy[1:] + ".")]
    return []


def _with_unit(field: str, quantity: str | None) -> str:
    name = field.replace("_", " ")
    unit = QUANTITIES[quantity].metric if quantity else ""
    return f"'{name} [{unit}]'" if unit else f"'{name}'"


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _row(cells: list[str], columns: list[_Column | None]) -> dict[str, str]:
    row: dict[str, str] = {}
    for cell, column in zip(cells, columns, strict=False):
        text = cell.strip()
        if column is not None and text:
            row[column.field] = f"{text} {column.unit}" if column.unit and column.unit != "-" else text
    return row

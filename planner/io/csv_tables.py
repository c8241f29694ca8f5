"""CSV tables: header 'top md [ft]', one record a line."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import BaseModel

from planner.base.errors import Problem
from planner.base.units import QUANTITIES, example, to_si
from planner.io.messages import suggestion
from planner.io.numbers import decimal_mark, looks_like_number, number
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
        lines, delimiter = _lines(read[0])
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
    mark = _decimal(name, columns, record, body, delimiter, report)
    if mark is None:
        bad.append(Problem(name, "", "", "no decimal mark", ""))
    rows = [_row(cells, columns, record, mark or ".") for _, cells in body]
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


def _lines(text: str) -> tuple[list[tuple[int, list[str]]], str]:
    """Line number and cells of every line that is not empty, without remarks that begin with '#'; the delimiter."""
    first = next((line for line in text.split("\n") if line.strip() and not line.startswith("#")), "")
    mark = max(",;\t|", key=first.count)
    reader = csv.reader(text.split("\n"), delimiter=mark, skipinitialspace=True)
    found = [(reader.line_num, cells) for cells in reader]
    filled = [(number, cells) for number, cells in found if any(cell.strip() for cell in cells)]
    while filled and filled[0][1][0].startswith("#"):
        del filled[0]
    return [(line, cells) for line, cells in filled if not (cells[0].startswith("#") and not any(cells[1:]))], mark


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
    for place_in_line, (text, column) in enumerate(zip(header, columns, strict=True)):
        place = f"row {line} column {text.strip() or place_in_line + 1}"
        if column is None:
            if text.strip() or any(len(cells) > place_in_line and cells[place_in_line].strip() for _, cells in body):
                bare = re.split(r"[\[(]", text)[0].strip().replace("_", " ")
                found.append(Problem(name, place, text.strip(), "unknown column", suggestion(bare, spaced)))
            continue
        if column.field in seen:
            found.append(Problem(name, place, text.strip(), "this column is there twice", "Keep one of them."))
        seen.add(column.field)
        cells = [row[place_in_line].strip() for _, row in body if len(row) > place_in_line]
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


def _decimal(
    name: str, columns: list[_Column | None], record: type[BaseModel], body: list[tuple[int, list[str]]],
    delimiter: str, report: Callable[[Problem], None],
) -> str | None:  # fmt: skip
    """The decimal mark of the numbers; None after a report of why it cannot be told."""
    cells = [
        (f"row {line} column {column.header}", cell) for line, row in body
        for cell, column in zip(row, columns, strict=False) if column is not None and _of_quantity(record, column)
    ]  # fmt: skip

    def told(problem: Problem) -> None:
        report(replace(problem, remedy="Write numbers with a decimal point and without marks for thousands."))

    return decimal_mark(cells, "", name, told, delimiter)


def _of_quantity(record: type[BaseModel], column: _Column) -> bool:
    return quantity_of(record.model_fields[column.field]) is not None


def _plain(text: str, mark: str) -> str:
    """A number with decimal comma or marks for thousands as one that records read; other text as it is."""
    if _is_number(text) or not looks_like_number(text):
        return text
    try:
        return repr(number(text, mark))
    except ValueError:
        return text


def _row(cells: list[str], columns: list[_Column | None], record: type[BaseModel], mark: str) -> dict[str, str]:
    row: dict[str, str] = {}
    for cell, column in zip(cells, columns, strict=False):
        text = cell.strip()
        if column is not None and _of_quantity(record, column):
            text = _plain(text, mark)
        if column is not None and text:
            row[column.field] = f"{text} {column.unit}" if column.unit and column.unit != "-" else text
    return row

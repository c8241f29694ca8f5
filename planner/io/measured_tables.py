"""Measurements from a table, one a line ('long') or one column a quantity ('wide'): rows as the records take them.

Nothing is guessed that the table does not settle: dates, decimal marks, what a rate is a mean of, units. Each is
either made out from the whole table, or asked for by an option, all problems in one go.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.base.errors import Problem
from planner.io.measured_amounts import bare_number
from planner.io.measured_columns import Column, columns_of, read_raw
from planner.io.measured_file import MeasuredFile
from planner.io.measured_long import read_long
from planner.io.measured_open import OpenTable, Row, cell_of
from planner.io.measured_rows import is_long, mark_of, rows_of
from planner.io.measured_wide import read_wide
from planner.io.numbers import is_nothing, looks_like_number, number
from planner.io.places import TableSource
from planner.io.reporting import Report
from planner.model.data_facts import ColumnFacts, FileFacts

_MARKS = {";": "semicolons", ",": "commas", "\t": "tabs", "|": "bars"}


@dataclass(frozen=True)
class MeasuredTable:
    """Rows for the record of measurements, where each stands, and what was read."""

    rows: list[dict[str, str]]
    source: TableSource
    facts: FileFacts


def read_measured(path: Path, how: MeasuredFile, well: str, report: Report) -> MeasuredTable | None:
    """A table of measurements of one well; None after a report of each problem. well: '' takes every well."""
    raw = read_raw(path, how.file, report)
    if raw is None:
        return None
    remarks: list[Problem] = []
    columns = columns_of(raw, how.units, report, remarks.append)
    if columns is None:
        return None
    return _read(OpenTable(raw, columns[0], columns[1], how, well, report, remarks))


def _read(table: OpenTable) -> MeasuredTable | None:
    """Rows and facts, or None after all problems."""
    long = is_long(table)
    rows = rows_of(table) if long is not None else None
    if rows is not None:
        mark = mark_of(table, bool(long))
        if mark is not None:
            if long:
                read_long(table, rows, mark)
            else:
                read_wide(table, rows, mark)
    for problem in table.problems:
        table.report(problem)
    if table.problems or rows is None:
        return None
    if not table.out:
        table.report(Problem(table.name, "", "", "the table holds no measured value", "Check its columns."))
        return None
    headers = {"date": "date", "kind": "kind", "zone": "zone", "value": "value", "error": "error"}
    return MeasuredTable(
        table.out, TableSource(table.name, tuple(table.places), headers), _facts(table, rows, str(mark))
    )


def _facts(table: OpenTable, rows: list[Row], mark: str) -> FileFacts:
    words = [_MARKS[table.raw.delimiter], f"decimal {'point' if mark == '.' else 'comma'}"]
    words.insert(0, "one measurement a line" if "kind" in table.by_role else "one column a quantity")
    first, last = min(row.day.date for row in rows), max(row.day.end for row in rows)
    zones = sorted({row.zone for row in rows if row.zone})
    span = f"{first} to {last}" + (f"; zones {', '.join(zones)}" if zones else "")
    columns = tuple(_column_facts(table, column, rows, mark) for column in table.columns if column.role)
    return FileFacts(table.name, "table, " + ", ".join(words), table.raw.encoding, len(rows), span, columns,
                     tuple(table.remarks))  # fmt: skip


def _column_facts(table: OpenTable, column: Column, rows: list[Row], mark: str) -> ColumnFacts:
    cells = [cell_of(row.cells, column) for row in rows]
    there = [cell for cell in cells if not is_nothing(cell)]
    missing = 1.0 - len(there) / max(len(cells), 1)
    nan = float("nan")
    if column.role in ("date", "since"):
        return ColumnFacts(column.header, "", "date", column.role, len(cells), missing, nan, nan)
    values = [number(head, mark) for head in map(bare_number, there) if looks_like_number(head)]
    if not values or column.role in ("well", "zone", "kind", "unit"):
        return ColumnFacts(column.header, column.unit, "text", column.role, len(cells), missing, nan, nan)
    read_as = column.kind or column.role
    return ColumnFacts(column.header, column.unit, "number", read_as, len(cells), missing, min(values), max(values))

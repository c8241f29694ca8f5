"""Tables of measurements with one measurement a line."""

from __future__ import annotations

from datetime import timedelta

from planner.io.dates import days_of
from planner.io.measured_amounts import amount
from planner.io.measured_columns import Column
from planner.io.measured_open import OpenTable, Row, cell_of
from planner.io.numbers import is_nothing
from planner.model.measured import KINDS


def read_long(table: OpenTable, rows: list[Row], mark: str) -> None:
    """Put every line of a long table as a row; mark: the decimal mark."""
    value, error, unit = (table.by_role.get(role) for role in ("value", "error", "unit"))
    since = table.by_role.get("since")
    begun = _since(table, rows, since)
    missing = 0
    seen: dict[tuple[tuple[str, str], ...], int] = {}
    others: dict[tuple[str, ...], int] = {}
    for row in rows:
        kind = cell_of(row.cells, table.by_role["kind"]).replace("_", " ").strip()
        text = cell_of(row.cells, value)
        if is_nothing(text):
            missing += 1
            continue
        known = next(
            (one for one in KINDS if one.casefold().replace("-", " ") == kind.casefold().replace("-", " ")), kind
        )
        units = {key.replace("_", " ").casefold(): one for key, one in table.how.units.items()}
        own = cell_of(row.cells, unit) if unit else (value.unit if value else "") or units.get(known.casefold(), "")
        made = {"date": row.day.date.isoformat(), "kind": known}
        if row.zone:
            made["zone"] = row.zone
        if begun is not None and begun.get(row.line):
            made["since"] = begun[row.line]
        elif row.day.month_only:
            made |= in_month(table, row, known)
        place = f"row {row.line}"
        made["value"] = amount(table, text, own, known, mark, place, "value")
        if error is not None and not is_nothing(cell_of(row.cells, error)):
            made["error"] = amount(table, cell_of(row.cells, error), error.unit or own, known, mark, place, "error")
        twin = seen.setdefault(tuple(sorted({**made, "well": row.well}.items())), row.line)
        if twin != row.line:
            table.remark(place, made["value"], f"the same measurement as in row {twin}; left out", "")
        else:
            _tell_other_value(table, made, row, others)
            table.put(made, place)
    if missing:
        table.remark("column value", "", f"{missing} rows without a value; left out", "")


def _tell_other_value(table: OpenTable, made: dict[str, str], row: Row, others: dict[tuple[str, ...], int]) -> None:
    """A remark where the same thing was measured with another value on the same date; both are kept."""
    at = (row.well, made["date"], made.get("since", ""), made["kind"], made.get("zone", ""))
    before = others.setdefault(at, row.line)
    if before != row.line:
        told = f"the {made['kind']} of this date stands in row {before} too, with another value; both are kept"
        table.remark(f"row {row.line}", made["value"], told, "")


def _since(table: OpenTable, rows: list[Row], column: Column | None) -> dict[int, str] | None:
    """Start of the time that a mean stands for, by the number of the line."""
    if column is None:
        return None
    cells = [(row.line, cell_of(row.cells, column)) for row in rows if not is_nothing(cell_of(row.cells, column))]
    form = table.how.date_format
    days = days_of(cells, column.header, form, table.name, table.problems.append, table.remarks.append) if cells else []
    found = zip(cells, days or [], strict=bool(days))
    return {line: day.date.isoformat() for (line, _), day in found}


def in_month(table: OpenTable, row: Row, kind: str) -> dict[str, str]:
    """Dates of a value whose date is a month: a mean over it, the total at its end, or its middle."""
    if kind in KINDS and KINDS[kind].mean:
        return {"since": row.day.date.isoformat(), "date": row.day.end.isoformat()}
    if kind.startswith("cumulative"):
        return {"date": row.day.end.isoformat()}
    table.remark("column date", "", f"the {kind} of a month is put in its middle", "Give the day if it is known.", True)
    return {"date": (row.day.date + timedelta(days=14)).isoformat()}

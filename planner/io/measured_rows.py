"""Lines of a table of measurements: those of the well that is asked for, with their dates."""

from __future__ import annotations

import re

from planner.io.dates import days_of
from planner.io.measured_amounts import bare_number
from planner.io.measured_columns import PERIOD_VOLUMES, Cells, Column
from planner.io.measured_open import WHOLE_WELL, OpenTable, Row, cell_of, zone_of
from planner.io.numbers import decimal_mark, is_nothing
from planner.model.measured import KINDS


def is_long(table: OpenTable) -> bool | None:
    long = "kind" in table.by_role and "value" in table.by_role
    if table.how.layout == "long" and not long:
        table.bad(f"row {table.raw.header_line}", "", "a long table needs the columns 'kind' and 'value'", "Add them.")
        return None
    if table.how.layout == "wide" or not long:
        if not table.measures:
            what = ", ".join((*KINDS, *PERIOD_VOLUMES))
            table.bad(f"row {table.raw.header_line}", "", "no column holds something measured", f"Known: {what}.")
            return None
        return False
    return True


def rows_of(table: OpenTable) -> list[Row] | None:
    """Lines of the well that is asked for, with dates, in order of date."""
    table.body = body = _without_words(table)
    width = len(table.raw.header)
    for line, cells in body:
        if any(cell for cell in cells[width:]):
            text, message = table.raw.delimiter.join(cells)[:60], "more cells than the header"
            table.bad(f"row {line}", text, message, "Check the delimiters; decimal commas need quotes or semicolons.")
    if table.problems:
        return None
    body = _of_well(table, body)
    if not body:
        if not table.problems:
            table.bad("", "", "the table has no rows", "Give at least one line below the header.")
        return None
    column = table.by_role["date"]
    dates = [(line, cell_of(cells, column)) for line, cells in body]
    for line, text in dates:
        if is_nothing(text):
            table.bad(f"row {line} column {column.header}", text, "no date", "Write 2030-01-31.")
    if table.problems:
        return None
    days = days_of(dates, column.header, table.how.date_format, table.name, table.problems.append, table.remarks.append)
    if days is None:
        return None
    zone, well = table.by_role.get("zone"), table.by_role.get("well")
    _tell_zones(table, body, zone)
    rows = [
        Row(line, cells, day, zone_of(cells, zone), cell_of(cells, well) if well else "")
        for (line, cells), day in zip(body, days, strict=True)
    ]
    ordered = sorted(rows, key=lambda row: (row.well, row.zone, row.day.date))
    if not table.by_role.get("kind") and ordered != rows:
        groups = [row.day.date for row in rows]
        if groups != sorted(groups):
            table.remark("", "", "rows were not in order of date; put in order", "")
    return ordered


_SUMS = re.compile(r"(?i)^(grand\s+)?(sub-?)?(total|sum|summe|average|mean|min|max|minimum|maximum|count)s?\b.{0,20}$")


def _without_words(table: OpenTable) -> Cells:
    """The lines without remarks, sums, lines of text and headers that come again; those are told."""
    date = table.by_role["date"]
    header = [cell.strip() for cell in table.raw.header]
    kept: Cells = []
    left: dict[str, list[tuple[int, str]]] = {}
    for line, cells in table.body:
        filled = [cell for cell in cells if not is_nothing(cell)]
        first = cell_of(cells, date)
        what = ""
        if not filled:
            continue
        if cells[0].startswith("#"):
            what = "remarks"
        elif cells[: len(header)] == header:
            what = "repeat the header"
        elif _SUMS.match(first):
            what = "are sums or means"
        elif len(filled) == 1 and not re.search(r"\d", filled[0]):
            what = "hold words alone"
        if what:
            left.setdefault(what, []).append((line, filled[0]))
        else:
            kept.append((line, cells))
    for what, lines in left.items():
        told = f"{len(lines)} lines {'are ' if what == 'remarks' else ''}{what}; left out"
        table.remark(f"row {lines[0][0]}", lines[0][1][:40], told, "")
    return kept


def _tell_zones(table: OpenTable, body: Cells, zone: Column | None) -> None:
    """Zones that stand for the well, and names that differ in their case alone."""
    if zone is None:
        return
    names = list(dict.fromkeys(cell_of(cells, zone) for _, cells in body))
    for name in names:
        if name.casefold() in WHOLE_WELL:
            table.remark(f"column {zone.header}", name, "rows of this zone are taken as those of the whole well", "")
        twin = next((one for one in names[: names.index(name)] if one.casefold() == name.casefold()), None)
        if twin is not None:
            told = f"is read as another zone than '{twin}'"
            table.remark(f"column {zone.header}", name, told, "Write the name alike in all rows.")


def _of_well(table: OpenTable, body: Cells) -> Cells:
    column = table.by_role.get("well")
    if column is None or (not table.well and not table.how.well):
        return body
    names = list(dict.fromkeys(cell_of(cells, column) for _, cells in body if cell_of(cells, column)))
    wanted = table.how.well or table.well
    same = [name for name in names if name.casefold() == wanted.casefold()]
    if not same and not table.how.well and len(names) == 1:
        told = f"the table is of '{names[0]}', the case of '{wanted}'; taken as the same well"
        table.remark(f"column {column.header}", names[0], told, "Say well in [measured] if it is not.")
        same = names
    if not same:
        shown = ", ".join(names[:8])
        message = f"no row is of the well '{wanted}'"
        table.bad(f"column {column.header}", shown, message, 'Say which: well = "NAME" in [measured].')
        return []
    kept = [(line, cells) for line, cells in body if cell_of(cells, column).casefold() == same[0].casefold()]
    others = len(names) - 1
    if others:
        table.remark(
            f"column {column.header}", "", f"{len(body) - len(kept)} rows of {others} other wells left out", ""
        )
    return kept


def mark_of(table: OpenTable, long: bool) -> str | None:
    roles = ("value", "error") if long else ("measure", "measure error", "days", "hours")
    cells = [
        (f"row {line} column {column.header}", bare_number(cell_of(row, column)))
        for line, row in table.body for column in table.columns if column.role in roles
    ]  # fmt: skip
    return decimal_mark(
        cells, table.how.decimal, table.name, table.problems.append, table.raw.delimiter, table.remarks.append
    )

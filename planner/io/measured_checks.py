"""What contradicts itself in a table of measurements: doubled dates, totals that fall, zones and well that differ."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from planner.io.measured_columns import PERIOD_VOLUMES, Column
from planner.io.measured_open import OpenTable, Row


def check_group(table: OpenTable, group: list[Row]) -> None:
    """Doubled dates; totals that fall; volumes that look like totals; months left out."""
    for before, row in pairwise(group):
        if before.day.date == row.day.date:
            message = f"the same date as row {before.line}" + (f", zone {row.zone}" if row.zone else "")
            table.bad(f"row {row.line}", str(row.day.date), message, "Keep one of them.")
    months = [row for row in group if row.day.month_only]
    if months and len(months) < len(group):
        shown = f"{months[0].day.date:%Y-%m}"
        table.bad(f"row {months[0].line}", shown, "some dates are months, some are days", "Write all of them alike.")
    for column in table.measures:
        _tell_doubtful(table, column, group)
        series = [(row, row.numbers[column.index]) for row in group if column.index in row.numbers]
        values = np.array([value for _, value in series])
        if column.kind.startswith("cumulative"):
            for k in np.flatnonzero(np.diff(values) < -1e-9 * np.abs(values).max(initial=0.0)):
                message = f"a total that falls, from {values[k]:g}"
                table.bad(f"row {series[k + 1][0].line} column {column.header}", f"{values[k + 1]:g}", message,
                          "Correct it, or name the column a volume or a rate.")  # fmt: skip
        elif column.kind in PERIOD_VOLUMES and values.size >= 8 and np.all(np.diff(values) >= 0.0):
            if values[-1] > 2.0 * values[0] and values[-1] > 0.0:
                told = f"volumes that never fall, from {values[0]:g} to {values[-1]:g}: a total?"
                remedy = f"If so, call the column 'cumulative {column.kind.split()[0]}'."
                table.remark(f"column {column.header}", "", told, remedy)
    if all(row.day.month_only for row in group):
        counted = [12 * row.day.date.year + row.day.date.month for row in group]
        lacking = counted[-1] - counted[0] + 1 - len(set(counted))
        if lacking:
            table.remark("column date", "", f"{lacking} months of the table are not there", "Nothing is put in them.")


def _tell_doubtful(table: OpenTable, column: Column, group: list[Row]) -> None:
    """Values of nines that may stand for nothing, and per cent that look like fractions; they are kept."""
    values = [row.numbers[column.index] for row in group if column.index in row.numbers]
    place = f"column {column.header}"
    for nines in (999.0, 999.25, 9999.0, 99999.0):
        others = [abs(value) for value in values if value != nines]
        if nines in values and max(others, default=0.0) < 0.5 * nines:
            told = f"{len(values) - len(others)} values are exactly {nines:g}; kept as measured"
            table.remark(place, f"{nines:g}", told, "Empty these cells if they stand for no value.")
    if column.unit == "%" and len(values) > 1 and 0.0 < max(values) <= 1.0:
        told = f"no value is above 1 %, the largest is {max(values):g}; read as per cent"
        table.remark(place, "", told, "If they are fractions, change the unit in the header to '-'.")


def check_sums(table: OpenTable, groups: dict[tuple[str, str], list[Row]]) -> None:
    """Zones of a date against the well's own row."""
    for (well, zone), group in groups.items():
        if zone:
            continue
        parts = [row for (of, name), rows in groups.items() if name and of == well for row in rows]
        for column in table.measures:
            if not column.kind.endswith(("rate", "volume")):
                continue
            worst, where = 0.0, 0
            for row in group:
                own = [one.numbers[column.index] for one in parts
                       if one.day == row.day and column.index in one.numbers]  # fmt: skip
                total = row.numbers.get(column.index)
                if own and total is not None and abs(sum(own) - total) > max(worst, 0.02 * abs(total) + 1e-9):
                    worst, where = abs(sum(own) - total), row.line
            if where:
                told = f"zones and well differ, most by {worst:g}"
                table.remark(f"row {where} column {column.header}", "", told, "Both are kept; check the allocation.")

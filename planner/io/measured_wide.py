"""Tables of measurements with one column a quantity: rates, volumes of a period, totals, pressures."""

from __future__ import annotations

from planner.io.measured_amounts import with_unit
from planner.io.measured_checks import check_group, check_sums
from planner.io.measured_columns import PERIOD_VOLUMES, Column
from planner.io.measured_long import in_month
from planner.io.measured_open import OpenTable, Row, cell_of
from planner.io.measured_periods import Period, RateMeaning, periods_of, producing_share
from planner.io.numbers import USUAL_NULLS, is_nothing, number
from planner.io.unit_spellings import value_in_si
from planner.model.measured import KINDS


def read_wide(table: OpenTable, rows: list[Row], mark: str) -> None:
    for row in rows:
        _numbers(table, row, mark)
    if table.problems:
        return
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.well, row.zone), []).append(row)
    for group in groups.values():
        check_group(table, group)
        if not table.problems:
            _group(table, group)
    check_sums(table, groups)


def _numbers(table: OpenTable, row: Row, mark: str) -> None:
    for column in table.columns:
        if column.role not in ("measure", "measure error", "days", "hours"):
            continue
        text = cell_of(row.cells, column)
        if is_nothing(text):
            continue
        place = f"row {row.line} column {column.header}"
        try:
            value = number(text, mark)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            table.bad(place, text, message, remedy[:1].upper() + remedy[1:] + ".")
            continue
        if any(value == usual for usual in USUAL_NULLS):
            told = f"{value:g} means no value by custom; left out"
            table.remark(f"column {column.header}", f"{value:g}", told, "", True)
            continue
        row.numbers[column.index] = value


def _group(table: OpenTable, group: list[Row]) -> None:
    """Measurements of one well and zone."""
    meaning = _rates_meaning(table, group)
    if meaning is None:
        return
    needs = any(column.kind in PERIOD_VOLUMES for column in table.measures) or meaning != "of the day"
    places = [f"row {row.line}" for row in group]
    periods: list[Period | None] | None = [None] * len(group)
    if needs:
        periods = periods_of([row.day for row in group], table.how.dates, places, table.name, table.problems.append,
                             table.remarks.append)  # fmt: skip
    if periods is None:
        return
    for row, period in zip(group, periods, strict=True):
        row.period = period
        share = _share(table, row)
        for column in table.measures:
            if column.index in row.numbers:
                _measure(table, row, column, meaning, share)


def _rates_meaning(table: OpenTable, group: list[Row]) -> RateMeaning | None:
    """What the rates are means of; None after a report."""
    rates = [column for column in table.measures if column.kind.endswith("rate")]
    timed = "days" in table.by_role or "hours" in table.by_role
    if table.how.rates:
        if table.how.rates == "producing day" and not timed and rates:
            message = "rates by producing day need the producing time"
            table.bad(
                f"row {table.raw.header_line}", "", message, "Add a column 'producing days' or 'producing hours'."
            )
            return None
        return table.how.rates
    if rates and timed:
        message = "are the rates means by calendar day or by producing day?"
        table.bad(f"row {table.raw.header_line} column {rates[0].header}", "", message,
                  'Say rates = "calendar day" or "producing day".')  # fmt: skip
        return None
    if all(row.day.month_only for row in group):
        if rates:
            told = "rates of a month are taken as means by calendar day"
            table.remark(
                f"column {rates[0].header}", "", told, 'Say rates = "producing day" with the producing time.', True
            )
        return "calendar day"
    if rates:
        told = "rates are taken as those of the date, not as means since the last"
        table.remark(f"column {rates[0].header}", "", told, 'Say rates = "calendar day" if they are means.', True)
    return "of the day"


def _share(table: OpenTable, row: Row) -> float | None:
    """Share of the row's time that was produced; None where it is not known."""
    if row.period is None:
        return None
    days, hours = (
        row.numbers.get(table.by_role[role].index) if role in table.by_role else None for role in ("days", "hours")
    )
    if days is None and hours is None and ("days" in table.by_role or "hours" in table.by_role):
        return None
    try:
        return producing_share(row.period, days, hours)
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        role = "days" if days is not None else "hours"
        shown = f"{days if days is not None else hours:g}"
        table.bad(f"row {row.line} column {table.by_role[role].header}", shown, message, remedy.capitalize() + ".")
        return None


def _measure(table: OpenTable, row: Row, column: Column, meaning: RateMeaning, share: float | None) -> None:
    value = row.numbers[column.index]
    place = f"row {row.line} column {column.header}"
    made = {"date": row.day.date.isoformat(), "kind": column.kind}
    if row.zone:
        made["zone"] = row.zone
    factor = 1.0
    if column.kind in PERIOD_VOLUMES:
        if row.period is None:
            return
        made["kind"] = PERIOD_VOLUMES[column.kind]
        quantity = "gas volume" if column.kind.startswith("gas") else "liquid volume"
        per_second = value_in_si(value, column.unit, quantity) / (row.period.days * 86_400.0)
        made["value"] = f"{per_second:.12g} m^3/s"
        factor = value_in_si(1.0, column.unit, quantity) / (row.period.days * 86_400.0)
    elif column.kind.endswith("rate") and meaning == "producing day":
        if row.period is None:
            return
        if share is None:
            table.bad(place, f"{value:g}", "a rate by producing day without its producing time", "Give the time.")
            return
        made["value"], factor = with_unit(table, value * share, column.unit, column.kind), share
    else:
        made["value"] = with_unit(table, value, column.unit, column.kind)
    mean = column.kind in PERIOD_VOLUMES or (KINDS[made["kind"]].mean and meaning != "of the day")
    if mean and row.period is not None:
        made |= {"since": row.period.start.isoformat(), "date": row.period.end.isoformat()}
    elif row.day.month_only:
        made |= in_month(table, row, made["kind"])
    _add_error(table, made, row, column, factor)
    table.put(made, place)


def _add_error(table: OpenTable, made: dict[str, str], row: Row, column: Column, factor: float) -> None:
    of = next((one for one in table.columns if one.role == "measure error" and one.kind == column.kind), None)
    if of is None or of.index not in row.numbers:
        return
    value, unit = row.numbers[of.index], of.unit or column.unit
    if unit == "%":
        made["error"] = f"{value:.12g} %"
    elif column.kind in PERIOD_VOLUMES:
        made["error"] = f"{value * factor:.12g} m^3/s"
    else:
        made["error"] = with_unit(table, value * factor, unit, made["kind"])

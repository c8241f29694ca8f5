"""Measurements from a table, one a line ('long') or one column a quantity ('wide'): rows as the records take them.

Nothing is guessed that the table does not settle: dates, decimal marks, what a rate is a mean of, units. Each is
either made out from the whole table, or asked for by an option, all problems in one go.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from typing import Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from planner.base.errors import Problem
from planner.base.units import QUANTITIES
from planner.io.dates import DateForm, Day, days_of
from planner.io.measured_columns import PERIOD_VOLUMES, Cells, Column, RawTable, columns_of, read_raw
from planner.io.measured_periods import DateMeaning, Period, RateMeaning, periods_of, producing_share
from planner.io.numbers import USUAL_NULLS, DecimalMark, decimal_mark, is_nothing, looks_like_number, number
from planner.io.places import TableSource
from planner.io.reporting import Report
from planner.io.unit_spellings import is_gauge, spelled, value_in_si
from planner.model.data_facts import ColumnFacts, FileFacts
from planner.model.measured import KINDS

_MARKS = {";": "semicolons", ",": "commas", "\t": "tabs", "|": "bars"}


class MeasuredFile(BaseModel):
    """How the file of [measured] is to be read."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    file: str
    layout: Literal["", "long", "wide"] = Field(default="", description="none: by its columns")
    well: str = Field(default="", description="which well of the table; none: the case's, or the only one")
    date_format: DateForm = ""
    decimal: DecimalMark = ""
    units: dict[str, str] = Field(default={}, description="of columns or kinds whose header has none")
    rates: RateMeaning = Field(default="", description="what rates of a wide table are means of")
    dates: DateMeaning = Field(default="", description="where the date stands in the time of a volume or mean rate")


@dataclass
class _Row:
    """One line of the table with its date; numbers by column."""

    line: int
    cells: list[str]
    day: Day
    zone: str = ""
    well: str = ""
    numbers: dict[int, float] = field(default_factory=dict)
    period: Period | None = None


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
    return _Table(raw, columns[0], columns[1], how, well, report, remarks).read()


class _Table:
    """One table while it is read."""

    def __init__(
        self, raw: RawTable, columns: list[Column], body: Cells, how: MeasuredFile, well: str, report: Report,
        remarks: list[Problem],
    ) -> None:  # fmt: skip
        self.raw, self.columns, self.body, self.how, self.well = raw, columns, body, how, well
        self.name = raw.name
        self.remarks = remarks
        self.problems: list[Problem] = []
        self.report_out = report
        self.by_role = {column.role: column for column in columns}
        self.measures = [column for column in columns if column.role == "measure"]
        self.out: list[dict[str, str]] = []
        self.places: list[str] = []

    def read(self) -> MeasuredTable | None:
        """Rows and facts, or None after all problems."""
        long = self._layout()
        rows = self._rows() if long is not None else None
        if rows is not None:
            mark = self._mark(bool(long))
            if mark is not None:
                if long:
                    self._long(rows, mark)
                else:
                    self._wide(rows, mark)
        for problem in self.problems:
            self.report_out(problem)
        if self.problems or rows is None:
            return None
        if not self.out:
            self.report_out(Problem(self.name, "", "", "the table holds no measured value", "Check its columns."))
            return None
        headers = {"date": "date", "kind": "kind", "zone": "zone", "value": "value", "error": "error"}
        return MeasuredTable(
            self.out, TableSource(self.name, tuple(self.places), headers), self._facts(rows, str(mark))
        )

    # --- what there is

    def _layout(self) -> bool | None:
        long = "kind" in self.by_role and "value" in self.by_role
        if self.how.layout == "long" and not long:
            self._bad(
                f"row {self.raw.header_line}", "", "a long table needs the columns 'kind' and 'value'", "Add them."
            )
            return None
        if self.how.layout == "wide" or not long:
            if not self.measures:
                what = ", ".join((*KINDS, *PERIOD_VOLUMES))
                self._bad(f"row {self.raw.header_line}", "", "no column holds something measured", f"Known: {what}.")
                return None
            return False
        return True

    def _rows(self) -> list[_Row] | None:
        """Lines of the well that is asked for, with dates, in order of date."""
        body = [(line, cells) for line, cells in self.body if any(not is_nothing(cell) for cell in cells)]
        width = len(self.raw.header)
        for line, cells in body:
            if any(cell for cell in cells[width:]):
                text, message = self.raw.delimiter.join(cells)[:60], "more cells than the header"
                self._bad(
                    f"row {line}", text, message, "Check the delimiters; decimal commas need quotes or semicolons."
                )
        if self.problems:
            return None
        body = self._of_well(body)
        if not body:
            if not self.problems:
                self._bad("", "", "the table has no rows", "Give at least one line below the header.")
            return None
        column = self.by_role["date"]
        dates = [(line, _cell(cells, column)) for line, cells in body]
        for line, text in dates:
            if is_nothing(text):
                self._bad(f"row {line} column {column.header}", text, "no date", "Write 2030-01-31.")
        if self.problems:
            return None
        days = days_of(dates, column.header, self.how.date_format, self.name, self.problems.append, self.remarks.append)
        if days is None:
            return None
        zone, well = self.by_role.get("zone"), self.by_role.get("well")
        rows = [
            _Row(line, cells, day, _zone(cells, zone), _cell(cells, well) if well else "")
            for (line, cells), day in zip(body, days, strict=True)
        ]
        ordered = sorted(rows, key=lambda row: (row.well, row.zone, row.day.date))
        if not self.by_role.get("kind") and ordered != rows:
            groups = [row.day.date for row in rows]
            if groups != sorted(groups):
                self._remark("", "", "rows were not in order of date; put in order", "")
        return ordered

    def _of_well(self, body: Cells) -> Cells:
        column = self.by_role.get("well")
        if column is None or (not self.well and not self.how.well):
            return body
        names = list(dict.fromkeys(_cell(cells, column) for _, cells in body if _cell(cells, column)))
        wanted = self.how.well or self.well
        same = [name for name in names if name.casefold() == wanted.casefold()]
        if not same and not self.how.well and len(names) == 1:
            told = f"the table is of '{names[0]}', the case of '{wanted}'; taken as the same well"
            self._remark(f"column {column.header}", names[0], told, "Say well in [measured] if it is not.")
            same = names
        if not same:
            shown = ", ".join(names[:8])
            message = f"no row is of the well '{wanted}'"
            self._bad(f"column {column.header}", shown, message, 'Say which: well = "NAME" in [measured].')
            return []
        kept = [(line, cells) for line, cells in body if _cell(cells, column).casefold() == same[0].casefold()]
        others = len(names) - 1
        if others:
            self._remark(
                f"column {column.header}", "", f"{len(body) - len(kept)} rows of {others} other wells left out", ""
            )
        return kept

    def _mark(self, long: bool) -> str | None:
        roles = ("value", "error") if long else ("measure", "measure error", "days", "hours")
        cells = [
            (f"row {line} column {column.header}", _bare_number(_cell(row, column)))
            for line, row in self.body for column in self.columns if column.role in roles
        ]  # fmt: skip
        return decimal_mark(cells, self.how.decimal, self.name, self.problems.append)

    # --- long tables

    def _long(self, rows: list[_Row], mark: str) -> None:
        value, error, unit = (self.by_role.get(role) for role in ("value", "error", "unit"))
        since = self.by_role.get("since")
        begun = self._since(rows, since)
        missing = 0
        for row in rows:
            kind = _cell(row.cells, self.by_role["kind"]).replace("_", " ").strip()
            text = _cell(row.cells, value)
            if is_nothing(text):
                missing += 1
                continue
            known = next(
                (one for one in KINDS if one.casefold().replace("-", " ") == kind.casefold().replace("-", " ")), kind
            )
            units = {key.replace("_", " ").casefold(): one for key, one in self.how.units.items()}
            own = _cell(row.cells, unit) if unit else (value.unit if value else "") or units.get(known.casefold(), "")
            made = {"date": row.day.date.isoformat(), "kind": known}
            if row.zone:
                made["zone"] = row.zone
            if begun is not None and begun.get(row.line):
                made["since"] = begun[row.line]
            elif row.day.month_only:
                made |= self._in_month(row, known)
            place = f"row {row.line}"
            made["value"] = self._amount(text, own, known, mark, place, "value")
            if error is not None and not is_nothing(_cell(row.cells, error)):
                made["error"] = self._amount(_cell(row.cells, error), error.unit or own, known, mark, place, "error")
            self._put(made, place)
        if missing:
            self._remark("column value", "", f"{missing} rows without a value; left out", "")

    def _since(self, rows: list[_Row], column: Column | None) -> dict[int, str] | None:
        if column is None:
            return None
        cells = [(row.line, _cell(row.cells, column)) for row in rows if not is_nothing(_cell(row.cells, column))]
        form = self.how.date_format
        days = (
            days_of(cells, column.header, form, self.name, self.problems.append, self.remarks.append) if cells else []
        )
        found = zip(cells, days or [], strict=bool(days))
        return {line: day.date.isoformat() for (line, _), day in found}

    def _in_month(self, row: _Row, kind: str) -> dict[str, str]:
        """Dates of a value whose date is a month: a mean over it, the total at its end, or its middle."""
        if kind in KINDS and KINDS[kind].mean:
            return {"since": row.day.date.isoformat(), "date": row.day.end.isoformat()}
        if kind.startswith("cumulative"):
            return {"date": row.day.end.isoformat()}
        self._remark(
            "column date", "", f"the {kind} of a month is put in its middle", "Give the day if it is known.", True
        )
        return {"date": (row.day.date + timedelta(days=14)).isoformat()}

    def _amount(self, text: str, unit: str, kind: str, mark: str, place: str, what: str) -> str:
        """'250 bar' from a cell and the unit of its column; the cell's own unit counts first."""
        head, own = _parted(text)
        try:
            value = number(head, mark)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            self._bad(f"{place} column {what}", text, message, remedy[:1].upper() + remedy[1:] + ".")
            return text
        return self._with_unit(value, own or unit, kind)

    def _with_unit(self, value: float, unit: str, kind: str) -> str:
        """A number with a unit that the records read; gauge pressures are changed to absolute ones."""
        if unit.strip() == "%":
            return f"{value:.12g} %"
        if kind in KINDS and unit and (is_gauge(unit) or spelled(unit) == "percent"):
            quantity = KINDS[kind].quantity
            try:
                si = value_in_si(value, unit, quantity)
            except ValueError:
                return f"{value:.12g} {unit}"
            if is_gauge(unit):
                told = "gauge pressures; 1.01325 bar of the standard atmosphere were added"
                self._remark(
                    f"column {kind}", unit, told, "Give absolute pressures if the place is high above the sea.", True
                )
            return f"{si:.12g} {QUANTITIES[quantity].si}".strip()
        return f"{value:.12g} {_spelled_for(unit, kind)}".strip()

    # --- wide tables

    def _wide(self, rows: list[_Row], mark: str) -> None:
        for row in rows:
            self._numbers(row, mark)
        if self.problems:
            return
        groups: dict[tuple[str, str], list[_Row]] = {}
        for row in rows:
            groups.setdefault((row.well, row.zone), []).append(row)
        for group in groups.values():
            self._check_group(group)
            if not self.problems:
                self._group(group)
        self._check_sums(groups)

    def _numbers(self, row: _Row, mark: str) -> None:
        for column in self.columns:
            if column.role not in ("measure", "measure error", "days", "hours"):
                continue
            text = _cell(row.cells, column)
            if is_nothing(text):
                continue
            place = f"row {row.line} column {column.header}"
            try:
                value = number(text, mark)
            except ValueError as error:
                message, _, remedy = str(error).partition("; ")
                self._bad(place, text, message, remedy[:1].upper() + remedy[1:] + ".")
                continue
            if any(value == usual for usual in USUAL_NULLS):
                told = f"{value:g} means no value by custom; left out"
                self._remark(f"column {column.header}", f"{value:g}", told, "", True)
                continue
            row.numbers[column.index] = value

    def _check_group(self, group: list[_Row]) -> None:
        """Doubled dates; totals that fall; volumes that look like totals; months left out."""
        for before, row in pairwise(group):
            if before.day.date == row.day.date:
                message = f"the same date as row {before.line}" + (f", zone {row.zone}" if row.zone else "")
                self._bad(f"row {row.line}", str(row.day.date), message, "Keep one of them.")
        for column in self.measures:
            series = [(row, row.numbers[column.index]) for row in group if column.index in row.numbers]
            values = np.array([value for _, value in series])
            if column.kind.startswith("cumulative"):
                for k in np.flatnonzero(np.diff(values) < -1e-9 * np.abs(values).max(initial=0.0)):
                    message = f"a total that falls, from {values[k]:g}"
                    self._bad(f"row {series[k + 1][0].line} column {column.header}", f"{values[k + 1]:g}", message,
                              "Correct it, or name the column a volume or a rate.")  # fmt: skip
            elif column.kind in PERIOD_VOLUMES and values.size >= 8 and np.all(np.diff(values) >= 0.0):
                if values[-1] > 2.0 * values[0] and values[-1] > 0.0:
                    told = f"volumes that never fall, from {values[0]:g} to {values[-1]:g}: a total?"
                    remedy = f"If so, call the column 'cumulative {column.kind.split()[0]}'."
                    self._remark(f"column {column.header}", "", told, remedy)
        if all(row.day.month_only for row in group):
            months = [12 * row.day.date.year + row.day.date.month for row in group]
            lacking = months[-1] - months[0] + 1 - len(set(months))
            if lacking:
                self._remark(
                    "column date", "", f"{lacking} months of the table are not there", "Nothing is put in them."
                )

    def _group(self, group: list[_Row]) -> None:
        """Measurements of one well and zone."""
        meaning = self._rates_meaning(group)
        if meaning is None:
            return
        needs = any(column.kind in PERIOD_VOLUMES for column in self.measures) or meaning != "of the day"
        places = [f"row {row.line}" for row in group]
        periods: list[Period | None] | None = [None] * len(group)
        if needs:
            periods = periods_of([row.day for row in group], self.how.dates, places, self.name, self.problems.append,
                                 self.remarks.append)  # fmt: skip
        if periods is None:
            return
        for row, period in zip(group, periods, strict=True):
            row.period = period
            share = self._share(row)
            for column in self.measures:
                if column.index in row.numbers:
                    self._measure(row, column, meaning, share)

    def _rates_meaning(self, group: list[_Row]) -> RateMeaning | None:
        """What the rates are means of; None after a report."""
        rates = [column for column in self.measures if column.kind.endswith("rate")]
        timed = "days" in self.by_role or "hours" in self.by_role
        if self.how.rates:
            if self.how.rates == "producing day" and not timed and rates:
                message = "rates by producing day need the producing time"
                self._bad(
                    f"row {self.raw.header_line}", "", message, "Add a column 'producing days' or 'producing hours'."
                )
                return None
            return self.how.rates
        if rates and timed:
            message = "are the rates means by calendar day or by producing day?"
            self._bad(f"row {self.raw.header_line} column {rates[0].header}", "", message,
                      'Say rates = "calendar day" or "producing day".')  # fmt: skip
            return None
        if all(row.day.month_only for row in group):
            if rates:
                told = "rates of a month are taken as means by calendar day"
                self._remark(
                    f"column {rates[0].header}", "", told, 'Say rates = "producing day" with the producing time.', True
                )
            return "calendar day"
        if rates:
            told = "rates are taken as those of the date, not as means since the last"
            self._remark(f"column {rates[0].header}", "", told, 'Say rates = "calendar day" if they are means.', True)
        return "of the day"

    def _share(self, row: _Row) -> float | None:
        """Share of the row's time that was produced; None where it is not known."""
        if row.period is None:
            return None
        days, hours = (
            row.numbers.get(self.by_role[role].index) if role in self.by_role else None for role in ("days", "hours")
        )
        if days is None and hours is None and ("days" in self.by_role or "hours" in self.by_role):
            return None
        try:
            return producing_share(row.period, days, hours)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            role = "days" if days is not None else "hours"
            shown = f"{days if days is not None else hours:g}"
            self._bad(f"row {row.line} column {self.by_role[role].header}", shown, message, remedy.capitalize() + ".")
            return None

    def _measure(self, row: _Row, column: Column, meaning: RateMeaning, share: float | None) -> None:
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
                self._bad(place, f"{value:g}", "a rate by producing day without its producing time", "Give the time.")
                return
            made["value"], factor = self._with_unit(value * share, column.unit, column.kind), share
        else:
            made["value"] = self._with_unit(value, column.unit, column.kind)
        mean = column.kind in PERIOD_VOLUMES or (KINDS[made["kind"]].mean and meaning != "of the day")
        if mean and row.period is not None:
            made |= {"since": row.period.start.isoformat(), "date": row.period.end.isoformat()}
        elif row.day.month_only:
            made |= self._in_month(row, made["kind"])
        self._add_error(made, row, column, factor)
        self._put(made, place)

    def _add_error(self, made: dict[str, str], row: _Row, column: Column, factor: float) -> None:
        of = next((one for one in self.columns if one.role == "measure error" and one.kind == column.kind), None)
        if of is None or of.index not in row.numbers:
            return
        value, unit = row.numbers[of.index], of.unit or column.unit
        if unit == "%":
            made["error"] = f"{value:.12g} %"
        elif column.kind in PERIOD_VOLUMES:
            made["error"] = f"{value * factor:.12g} m^3/s"
        else:
            made["error"] = self._with_unit(value * factor, unit, made["kind"])

    def _check_sums(self, groups: dict[tuple[str, str], list[_Row]]) -> None:
        """Zones of a date against the well's own row."""
        for (well, zone), group in groups.items():
            if zone:
                continue
            parts = [row for (of, name), rows in groups.items() if name and of == well for row in rows]
            for column in self.measures:
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
                    self._remark(
                        f"row {where} column {column.header}", "", told, "Both are kept; check the allocation."
                    )

    # --- what is told

    def _put(self, made: dict[str, str], place: str) -> None:
        self.out.append(made)
        self.places.append(place)

    def _bad(self, place: str, value: str, message: str, remedy: str) -> None:
        self.problems.append(Problem(self.name, place, value, message, remedy))

    def _remark(self, place: str, value: str, message: str, remedy: str, once: bool = False) -> None:
        found = Problem(self.name, place, value, message, remedy or "Check that this is meant.")
        if not once or found not in self.remarks:
            self.remarks.append(found)

    def _facts(self, rows: list[_Row], mark: str) -> FileFacts:
        words = [_MARKS[self.raw.delimiter], f"decimal {'point' if mark == '.' else 'comma'}"]
        words.insert(0, "one measurement a line" if "kind" in self.by_role else "one column a quantity")
        first, last = min(row.day.date for row in rows), max(row.day.end for row in rows)
        zones = sorted({row.zone for row in rows if row.zone})
        span = f"{first} to {last}" + (f"; zones {', '.join(zones)}" if zones else "")
        columns = tuple(self._column_facts(column, rows, mark) for column in self.columns if column.role)
        return FileFacts(self.name, "table, " + ", ".join(words), self.raw.encoding, len(rows), span, columns,
                         tuple(self.remarks))  # fmt: skip

    def _column_facts(self, column: Column, rows: list[_Row], mark: str) -> ColumnFacts:
        cells = [_cell(row.cells, column) for row in rows]
        there = [cell for cell in cells if not is_nothing(cell)]
        missing = 1.0 - len(there) / max(len(cells), 1)
        nan = float("nan")
        if column.role in ("date", "since"):
            return ColumnFacts(column.header, "", "date", column.role, len(cells), missing, nan, nan)
        values = [number(head, mark) for head in map(_bare_number, there) if looks_like_number(head)]
        if not values or column.role in ("well", "zone", "kind", "unit"):
            return ColumnFacts(column.header, column.unit, "text", column.role, len(cells), missing, nan, nan)
        read_as = column.kind or column.role
        return ColumnFacts(column.header, column.unit, "number", read_as, len(cells), missing, min(values), max(values))


def _cell(cells: list[str], column: Column | None) -> str:
    return cells[column.index].strip() if column is not None and len(cells) > column.index else ""


def _zone(cells: list[str], column: Column | None) -> str:
    text = _cell(cells, column)
    return "" if is_nothing(text) or text.casefold() in ("all", "total", "well") else text


def _parted(text: str) -> tuple[str, str]:
    """'1 250,5 bar' as ('1 250,5', 'bar')."""
    bare = text.strip()
    for cut in range(len(bare), 0, -1):
        if looks_like_number(bare[:cut]):
            return bare[:cut].strip(), bare[cut:].strip()
    return bare, ""


def _bare_number(text: str) -> str:
    return _parted(text)[0]


def _spelled_for(unit: str, kind: str) -> str:
    """The unit as the records take it: fractions and plain numbers have none."""
    if kind in KINDS and KINDS[kind].quantity == "fraction" and unit.upper() in ("V/V", "FRAC", "FRACTION", "-"):
        return ""
    return "" if unit == "-" else spelled(unit)

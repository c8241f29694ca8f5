"""One table of measurements while it is read: what it holds, what was found, what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.base.errors import Problem
from planner.io.dates import Day
from planner.io.measured_columns import Cells, Column, RawTable
from planner.io.measured_file import MeasuredFile
from planner.io.measured_periods import Period
from planner.io.numbers import is_nothing
from planner.io.reporting import Report


@dataclass
class Row:
    """One line of the table with its date; numbers by column."""

    line: int
    cells: list[str]
    day: Day
    zone: str = ""
    well: str = ""
    numbers: dict[int, float] = field(default_factory=dict)
    period: Period | None = None


@dataclass
class OpenTable:
    """A table while it is read. out and places: rows for the record of measurements, and where each stands."""

    raw: RawTable
    columns: list[Column]
    body: Cells
    how: MeasuredFile
    well: str
    report: Report
    remarks: list[Problem]
    problems: list[Problem] = field(default_factory=list)
    out: list[dict[str, str]] = field(default_factory=list)
    places: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.name = self.raw.name
        self.by_role = {column.role: column for column in self.columns}
        self.measures = [column for column in self.columns if column.role == "measure"]

    def put(self, made: dict[str, str], place: str) -> None:
        """A row for the record, and where it stands."""
        self.out.append(made)
        self.places.append(place)

    def bad(self, place: str, value: str, message: str, remedy: str) -> None:
        """A problem that makes the table unusable."""
        self.problems.append(Problem(self.name, place, value, message, remedy))

    def remark(self, place: str, value: str, message: str, remedy: str, once: bool = False) -> None:
        """What was odd and how it was taken. once: not again where it was said."""
        found = Problem(self.name, place, value, message, remedy or "Check that this is meant.")
        if not once or found not in self.remarks:
            self.remarks.append(found)


WHOLE_WELL = ("all", "total", "well")  # names of a zone that mean the well


def cell_of(cells: list[str], column: Column | None) -> str:
    """Text of a column's cell; '' where the line ends before."""
    return cells[column.index].strip() if column is not None and len(cells) > column.index else ""


def zone_of(cells: list[str], column: Column | None) -> str:
    """The zone of a line; '' for the well."""
    text = cell_of(cells, column)
    return "" if is_nothing(text) or text.casefold() in WHOLE_WELL else text

"""What was read from a user's data file, and what was odd about it. Shown before anybody trusts the numbers."""

from __future__ import annotations

from dataclasses import dataclass

from planner.base.errors import Problem


@dataclass(frozen=True)
class ColumnFacts:
    """One curve of a log or one column of a table, in the file's own unit.

    kind: 'number', 'text' or 'date'. missing: share of the samples without a value. least, most: of the values that
    are there, nan where there is none (dates: as text in `span`).
    """

    name: str
    unit: str
    kind: str
    description: str
    samples: int
    missing: float
    least: float
    most: float
    span: str = ""


@dataclass(frozen=True)
class FileFacts:
    """A file as it was read.

    form: such as 'LAS 2.0, wrapped' or 'table, semicolons, decimal commas'. span: range of the index in words of its
    unit. remarks: what was odd and how it was taken; nothing that made the file unusable, which is told as an error.
    """

    name: str
    form: str
    encoding: str
    samples: int
    span: str
    columns: tuple[ColumnFacts, ...]
    remarks: tuple[Problem, ...]

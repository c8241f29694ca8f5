"""Where in the user's files a piece of the case was written.

A *location* is the path inside the records: ('layers', 3, 'top_md'). People are shown the file and, for a table, the
line and column; for the case file the dotted key, list items counted from 1: controls[2].oil_rate.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

Location = tuple[str | int, ...]

_PART = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


@dataclass(frozen=True)
class TableSource:
    """A list of records that came from another file: place in words of each row, header of each field."""

    file: str
    rows: tuple[str, ...]
    headers: Mapping[str, str] = field(default_factory=dict)

    def place(self, rest: Location) -> str:
        """Words for what lies at `rest` below the table."""
        if not rest:
            return ""
        row = rest[0]
        words = self.rows[row] if isinstance(row, int) and row < len(self.rows) else str(row)
        if len(rest) > 1:
            name = str(rest[1])
            words += f" column {self.headers.get(name, name.replace('_', ' '))}"
        return words


@dataclass(frozen=True)
class RowSource(TableSource):
    """One record of a list whose records came from several files; `rows` holds its place alone."""

    def place(self, rest: Location) -> str:
        """Words for what lies at `rest` below the record."""
        return self.rows[0] + (
            f" column {str(rest[0]).replace('_', ' ')}" if rest and " column " not in self.rows[0] else ""
        )


@dataclass
class Places:
    """Which file and place each location of the case came from."""

    file: str
    tables: dict[Location, TableSource] = field(default_factory=dict)

    def of(self, location: Location) -> tuple[str, str]:
        """File and place, in words, of a location."""
        for length in range(len(location), 0, -1):
            source = self.tables.get(location[:length])
            if source is not None:
                return source.file, source.place(location[length:])
        return self.file, dotted(location)


def dotted(location: Location) -> str:
    """('controls', 1, 'oil_rate') as 'controls[2].oil_rate'."""
    text = ""
    for part in location:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.lstrip(".")


def undotted(place: str) -> Location:
    """The location that a dotted place names."""
    return tuple(int(number) - 1 if number else name for name, number in _PART.findall(place))


def raw_value(document: object, location: Location) -> str:
    """What the user wrote at a location, as text; '' when nothing was or when it is a whole table."""
    here: Any = document
    for part in location:
        inside = isinstance(here, Mapping) and part in here
        among = isinstance(here, list) and isinstance(part, int) and part < len(here)
        if not inside and not among:
            return ""
        here = here[part]
    return shown(here)


def shown(value: object) -> str:
    """A value as the user wrote it; tables and lists of tables are not repeated."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None or isinstance(value, Mapping):
        return ""
    if isinstance(value, list | tuple):
        return "" if any(isinstance(item, Mapping) for item in value) else str(list(value))
    return str(value)

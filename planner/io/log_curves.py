"""Cells of a log as numbers: nulls, words among numbers, columns of text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.io.log_depth import as_number
from planner.io.log_header import HeaderLine
from planner.io.log_samples import Rows
from planner.io.reporting import Report

Floats = NDArray[np.float64]

# Values that logs carry for 'nothing measured' whatever their header says (common practice, no source).
USUAL_NULLS = (
    -999.25, -999.0, -999.2, -999.3, -999.9, -999.99, -999.999, -9999.0, -9999.25, -9999.9, -9999.99, -9999.999,
    -99999.0, -99999.25, -999999.0, -32768.0, -32767.0, -2147483648.0,
)  # fmt: skip
_SUSPECTS = (999.0, 999.25, 9999.0, 9999.25, 99999.0)  # may be nulls, may be values
_FORTRAN = re.compile(r"^([-+]?(?:\d+\.?\d*|\.\d+))[dD]([-+]?\d+)$")
_HUGE = 1e29
_NO_VALUE = re.compile(
    r"(?i)^(nan|null|none|n/?a|#n/a|na|nil|inf|-inf|-+|\*+|\.|absent|missing|\(null\)|err(or)?|#n/v|#value!|#div/0!)?$"
)


@dataclass(frozen=True)
class Column:
    """values [n] with nan where there is none; text where the column holds words (values are then empty)."""

    line: HeaderLine
    name: str
    values: Floats
    text: bool = False


def null_value(well: dict[str, HeaderLine], name: str, remark: Report) -> float | None:
    """NULL of the header; None, with a remark, where it has none that can be read."""
    line = well.get("NULL")
    value = as_number(line.value) if line is not None else None
    if value is None:
        shown = line.value if line else ""
        message = "the header names no null value"
        remark(Problem(name, "well section", shown, message, "Usual ones, such as -999.25, were taken as nulls."))
    return value


def columns_of(rows: Rows, header: Sequence[HeaderLine], null: float | None, name: str, remark: Report) -> list[Column]:
    """Every curve as numbers or, where its cells are words, as text."""
    names = _names(header, name, remark)
    return [
        _column([row[k] for row in rows.cells], k, rows.lines, line, names[k], null, name, remark)
        for k, line in enumerate(header)
    ]


def _names(header: Sequence[HeaderLine], name: str, remark: Report) -> list[str]:
    """Mnemonics, numbered where one is there more than once: GR:1, GR:2."""
    bare = [line.mnemonic or "UNKNOWN" for line in header]
    upper = [one.upper() for one in bare]
    twice = {one for one in upper if upper.count(one) > 1}
    for one in sorted(twice):
        told = f"{upper.count(one)} curves are called {one}; they are read as {one}:1, {one}:2 ..."
        remark(Problem(name, f"curve {one}", "", told, "Name the one that is meant."))
    return [f"{one}:{upper[: k + 1].count(upper[k])}" if upper[k] in twice else one for k, one in enumerate(bare)]


def _column(
    cells: list[str], place: int, lines: list[int], line: HeaderLine, title: str, null: float | None, name: str,
    remark: Report,
) -> Column:  # fmt: skip
    if line.is_text:
        return Column(line, title, np.full(len(cells), np.nan), True)
    try:
        if any("_" in cell for cell in cells):
            raise ValueError("Python takes 1_000 as a number")
        values = np.array(cells, dtype=np.float64)
    except ValueError:
        values, words = _with_words(cells)
        if len(words) > 0.5 * len(cells):
            return Column(line, title, np.full(len(cells), np.nan), True)
        if words:
            number, word = lines[words[0]], cells[words[0]]
            told = f"{len(words)} cells hold words among numbers; taken as nulls"
            remark(Problem(name, f"curve {title}, line {number}", word, told, "Check these cells."))
    values[~np.isfinite(values)] = np.nan
    if null is not None and (place or null != 0.0):
        values[np.isclose(values, null, rtol=1e-6, atol=1e-9)] = np.nan
    _take_usual_nulls(values, title, null, name, remark)
    if place:
        _tell_suspects(values, title, name, remark)
    return Column(line, title, values)


def _with_words(cells: list[str]) -> tuple[Floats, list[int]]:
    """Numbers, nan elsewhere, and the places of cells that are words rather than a mark of no value."""
    values = np.full(len(cells), np.nan)
    words = []
    for k, cell in enumerate(cells):
        try:
            values[k] = float(_FORTRAN.sub(r"\1e\2", cell) if "_" not in cell else "a word")
        except ValueError:
            if not _NO_VALUE.match(cell.strip()):
                words.append(k)
    return values, words


def _take_usual_nulls(values: Floats, title: str, null: float | None, name: str, remark: Report) -> None:
    """Nulls that the header does not name; told unless the header names none at all."""
    with np.errstate(invalid="ignore"):
        hit = np.abs(values) >= _HUGE
    for usual in USUAL_NULLS:
        hit |= np.isclose(values, usual, rtol=1e-9, atol=1e-9)
    if not hit.any():
        return
    shown = ", ".join(f"{one:g}" for one in np.unique(values[hit])[:3])
    values[hit] = np.nan
    if null is not None:
        told = f"{int(hit.sum())} values are not the NULL of the header but mean the same by custom; taken as nulls"
        remark(Problem(name, f"curve {title}", shown, told, "Correct NULL or these values."))


def _tell_suspects(values: Floats, title: str, name: str, remark: Report) -> None:
    """Values of nines that may stand for nothing measured; they are kept."""
    for suspect in _SUSPECTS:
        count = int(np.count_nonzero(values == suspect))
        if count > 1 or (count == 1 and np.nanmax(values[values != suspect], initial=0.0) < 0.2 * suspect):
            told = f"{count} values are exactly {suspect:g}; kept as measured, though that may stand for no value"
            remark(Problem(name, f"curve {title}", f"{suspect:g}", told, "If so, put the null of the header there."))

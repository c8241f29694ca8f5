"""The data section of a LAS file as rows of cells: delimiters, wrapped lines, lines too short or too long."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.base.errors import Problem
from planner.io.log_sections import Line
from planner.io.reporting import Report

Split = Callable[[str], list[str]]

_RUN_ON = re.compile(r"(?<=[\d.])(?=-)")  # '12.5-999.25': columns of fixed width that touch
_DECIMAL_COMMA = re.compile(r"^[-+]?\d+,\d+([eE][-+]?\d+)?$")
_COULD_BE_THOUSANDS = re.compile(r"^[-+]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?$")
_LEAST_SHARE_OF_GOOD_LINES = 0.99


@dataclass(frozen=True)
class Rows:
    """Cells by row, the line of the file that each row starts on, and how they were written."""

    cells: list[list[str]]
    lines: list[int]
    form: str


def rows_of(
    data: Sequence[Line], count: int, delimiter: str, wrapped: bool | None, name: str, report: Report, remark: Report
) -> Rows | None:
    """Rows of `count` cells; None after a report of why the lines cannot be told apart into rows.

    delimiter: what the header says (COMMA, SPACE, TAB, ''); wrapped: the same (None: it does not say).
    """
    if not data:
        report(Problem(name, "", "", "the log holds no samples", "Check its curve and data sections."))
        return None
    data = _without_titles(data, name, remark)
    split, form = _splitter(data, count, delimiter, name, report)
    if split is None:
        return None
    cells = [split(text) for _, text in data]
    lines = [number for number, _ in data]
    full = sum(len(row) == count for row in cells)
    short = sum(len(row) < count for row in cells)
    looks_wrapped = full == 0 and short == len(cells) and wrapped is not True and _depth_alone(cells, count)
    if wrapped is False and looks_wrapped:
        told = "WRAP says NO, but no line holds all the values; read as wrapped lines"
        remark(Problem(name, f"line {lines[0]}", "", told, "Correct WRAP in the version section."))
    if wrapped and full == len(cells):
        told = "WRAP says YES, but every line holds all the values; read as lines that are not wrapped"
        remark(Problem(name, f"line {lines[0]}", "", told, "Correct WRAP in the version section."))
    elif wrapped or looks_wrapped:
        return _unwrapped(cells, lines, count, form, name, report, remark)
    return _checked(cells, lines, count, form, name, report, remark)


def without_cut_number(rows: Rows, name: str, remark: Report) -> Rows:
    """The rows without the last one where its last number has fewer digits than those above, as in a file cut off."""
    digits = [len(row[-1].partition(".")[2]) for row in rows.cells[-51:]]
    if len(digits) < 4 or len(set(digits[:-1])) > 1 or digits[-1] >= digits[0]:
        return rows
    told = "the file stops within its last line, whose last number is shorter than those above; left out"
    remark(Problem(name, f"line {rows.lines[-1]}", rows.cells[-1][-1], told, "Check that the file is complete."))
    return Rows(rows.cells[:-1], rows.lines[:-1], rows.form)


def _without_titles(data: Sequence[Line], name: str, remark: Report) -> Sequence[Line]:
    """The lines without those at their top that hold words alone: names or units of the columns."""
    first = next((k for k, (_, line) in enumerate(data) if re.search(r"\d", re.split(r"[\s,;]", line.strip())[0])), 0)
    if first == 0 or first > 5:
        return data
    told = f"{first} lines of words above the data; taken as titles of the columns and left out"
    remark(Problem(name, f"line {data[0][0]}", data[0][1].strip()[:40], told, "Mark such lines with #."))
    return data[first:]


def _depth_alone(cells: list[list[str]], count: int) -> bool:
    """Whether every sample starts with a line that holds the depth alone, as LAS asks of wrapped lines."""
    held = 0
    for row in cells:
        if held == 0 and len(row) != 1:
            return False
        held += len(row)
        if held > count:
            return False
        held %= count
    return len(cells) > 1


def _splitter(data: Sequence[Line], count: int, delimiter: str, name: str, report: Report) -> tuple[Split | None, str]:
    """How to cut a line into cells, and its name; None after a report."""
    word = delimiter.strip().upper()
    text = [line for _, line in data[:200]]
    if any(";" in line for line in text) and all(";" in line or len(line.split()) == 1 for line in text):
        return _by_semicolon(data, name, report)
    commas = sum("," in line for line in text)
    if word in ("COMMA", "COM", ",") or (word not in ("SPACE", "TAB") and commas == len(text)):
        by_blank = sum(len(line.split()) == count for line in text)
        by_comma = sum(len(_by_comma(line)) == count for line in text)
        # '4000,0 12,5 1,0' is as many cells either way; commas that delimit leave no blanks inside a cell
        apart = all(len(cell.split()) < 2 for line in text for cell in _by_comma(line))
        if by_comma > by_blank or (by_comma == by_blank and apart) or word.startswith("COM"):
            return _by_comma, "commas"
    if any("," in cell for line in text for cell in line.split() if not _text(cell)):
        return _with_decimal_commas(data, name, report)
    if word == "TAB" or (word != "SPACE" and sum(len(line.split("\t")) == count for line in text) > 0.5 * len(text)):
        if not all(len(line.split()) == count for line in text):
            return (lambda line: [cell.strip() for cell in line.split("\t")]), "tabs"
    if any('"' in line for line in text):
        return _by_blank_quoted, "blanks"
    return str.split, "blanks"


def _by_comma(line: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line], skipinitialspace=True))]


def _by_semicolon(data: Sequence[Line], name: str, report: Report) -> tuple[Split | None, str]:
    """Semicolons between the cells; commas inside them are decimal marks, as in 'Without blanks'."""
    spaced = [(number, line.replace(";", " ; ")) for number, line in data]
    if not any("," in cell for _, line in spaced for cell in line.split() if not _text(cell)):
        return (lambda line: [cell.strip() for cell in line.split(";")]), "semicolons"
    marks, form = _with_decimal_commas(spaced, name, report)
    if marks is None:
        return None, ""
    return (lambda line: [cell.strip().replace(",", ".") for cell in line.split(";")]), f"semicolons, {form}"


def _by_blank_quoted(line: str) -> list[str]:
    return [cell for cell in next(csv.reader([re.sub(r"\s+", " ", line)], delimiter=" ")) if cell]


def _text(cell: str) -> bool:
    return any(letter.isalpha() and letter not in "eE" for letter in cell)


def _with_decimal_commas(data: Sequence[Line], name: str, report: Report) -> tuple[Split | None, str]:
    """Blanks between the cells, commas inside numbers: decimal marks, unless they could divide thousands."""
    inside = [(number, cell) for number, line in data for cell in line.split() if "," in cell and not _text(cell)]
    mixed = next(((number, cell) for number, cell in inside if not _DECIMAL_COMMA.match(cell)), None)
    unsure = all(_COULD_BE_THOUSANDS.match(cell) for _, cell in inside)
    dots = next(((n, cell) for n, line in data for cell in line.split() if re.match(r"^[-+]?\d+\.\d", cell)), None)
    if mixed or unsure or dots:
        number, cell = mixed or dots or inside[0]
        message = "commas inside numbers: decimal marks or thousands? They cannot be told apart"
        report(Problem(name, f"line {number}", cell, message, "Write numbers with a decimal point and no commas."))
        return None, ""
    return (lambda line: [cell if _text(cell) else cell.replace(",", ".") for cell in line.split()]), "decimal commas"


def _unwrapped(
    cells: list[list[str]], lines: list[int], count: int, form: str, name: str, report: Report, remark: Report
) -> Rows | None:
    """Rows from wrapped lines: lines are joined until a row is full."""
    found: list[list[str]] = []
    starts: list[int] = []
    row: list[str] = []
    start = lines[0]
    alone = len(cells[0]) == 1 < max(map(len, cells))  # the depth stands alone, as LAS asks
    for part, number in zip(cells, lines, strict=True):
        if not row:
            start = number
            if alone and len(part) != 1:
                message = f"here a depth should stand alone; the {count} values of the sample above do not end there"
                report(Problem(name, f"line {number}", " ".join(part)[:40], message, "Look for a missing value above."))
                return None
        row = row + part
        if len(row) > count:
            message = f"the wrapped lines from line {start} on hold {len(row)} values, the curve section names {count}"
            report(Problem(name, f"line {number}", " ".join(part)[:40], message, "Correct the lines or the curves."))
            return None
        if len(row) == count:
            found.append(row)
            starts.append(start)
            row = []
    if row:
        message = f"the last sample ends after {len(row)} of {count} values; left out"
        remark(Problem(name, f"line {start}", " ".join(row)[:40], message, "Check that the file is complete."))
    return Rows(found, starts, f"wrapped, {form}")


def _checked(
    cells: list[list[str]], lines: list[int], count: int, form: str, name: str, report: Report, remark: Report
) -> Rows | None:
    """One row a line. Touching numbers are parted where that makes the row whole; few bad lines are left out."""
    found: list[list[str]] = []
    starts: list[int] = []
    bad: list[tuple[int, int]] = []
    touching = 0
    for row, number in zip(cells, lines, strict=True):
        if len(row) < count:
            parted = [piece for cell in row for piece in (_RUN_ON.split(cell) if not _text(cell) else [cell]) if piece]
            if len(parted) == count:
                touching += 1
                row = parted
        if len(row) == count:
            found.append(row)
            starts.append(number)
        else:
            bad.append((number, len(row)))
    if touching:
        told = f"{touching} lines with numbers that touch, such as 12.5-999.25; parted before the minus sign"
        remark(Problem(name, "data section", "", told, "Check these lines if the values matter."))
    if bad and bad[-1][0] == lines[-1] and bad[-1][1] < count:
        number, held = bad.pop()
        told = f"the last line ends after {held} of {count} values; left out"
        remark(Problem(name, f"line {number}", "", told, "Check that the file is complete."))
    if not bad:
        return Rows(found, starts, form)
    number, held = bad[0]
    told = f"{len(bad)} of {len(cells)} lines do not hold {count} values as the curve section says (the first: {held})"
    if len(found) < _LEAST_SHARE_OF_GOOD_LINES * len(cells):
        report(Problem(name, f"line {number}", "", told, "Correct the curve section or the lines."))
        return None
    remark(Problem(name, f"line {number}", "", f"{told}; left out", "Correct these lines."))
    return Rows(found, starts, form)

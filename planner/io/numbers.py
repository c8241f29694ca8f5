"""Numbers of a table as people write them: decimal commas, thousands, words for nothing.

What the comma and the point mean is settled once for the whole table, from cells that can be meant in one way alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Literal

from planner.base.errors import Problem
from planner.io.reporting import Report

DecimalMark = Literal["", "point", "comma"]
Cell = tuple[str, str]  # place, text

NOTHING = ("", "-", "--", "n/a", "na", "nan", "null", "none", "#n/a", "#n/v", "nil", ".", "?", "*", "x")
USUAL_NULLS = (-999.25, -999.0, -9999.0, -99999.0)
_SPACES = re.compile(r"(?<=\d)[\s\u00a0\u202f\u2009'\u2019](?=\d{3}(\D|$))")
_SHAPE = re.compile(r"^[-+]?(\d[\d.,]*|[.,]\d+)([eE][-+]?\d+)?$")
_GROUPED = re.compile(r"^[-+]?[1-9]\d{0,2}([.,]\d{3})+$")


def is_nothing(text: str) -> bool:
    """Whether a cell says that there is no value."""
    return text.strip().lower() in NOTHING


def looks_like_number(text: str) -> bool:
    """Whether a cell is a number in some spelling."""
    return bool(_SHAPE.match(_SPACES.sub("", text.strip()).replace("\u2212", "-")))


def decimal_mark(
    cells: Sequence[Cell],
    given: DecimalMark,
    name: str,
    report: Report,
    delimiter: str = ",",
    remark: Report = lambda problem: None,
) -> Literal[".", ","] | None:
    """The decimal mark of a table; None after a report of cells that contradict or cannot be told apart.

    delimiter: between cells; where it is the semicolon, of places that write decimal commas, '1.500' is in doubt too.
    """
    if given:
        return "." if given == "point" else ","
    points: list[Cell] = []
    commas: list[Cell] = []
    unsure: list[Cell] = []
    for place, text in cells:
        bare = _SPACES.sub("", text.strip())
        if not _SHAPE.match(bare):
            continue
        mark = _mark(bare)
        {".": points, ",": commas, "?": unsure}.get(mark, []).append((place, text))
    if points and commas:
        (place, text), (other, first) = commas[0], points[0]
        message = f"a decimal comma here, a decimal point at {other}: {first}"
        report(Problem(name, place, text, message, 'Write all numbers alike, or say decimal = "point" or "comma".'))
        return None
    if points or commas:
        return "." if points else ","
    doubtful = [one for one in unsure if "," in one[1] or delimiter == ";"]
    if doubtful:
        place, text = doubtful[0]
        message = f"decimal {'comma' if ',' in text else 'point'} or thousands? No number of the table tells"
        report(Problem(name, place, text, message, 'Say decimal = "point" or "comma".'))
        return None
    if unsure:
        place, text = unsure[0]
        told = "read with a decimal point, though it could divide thousands; no number of the table tells"
        remark(Problem(name, place, text, told, 'Say decimal = "comma" if it does.'))
    return "."


def _mark(text: str) -> str:
    """Decimal mark that a number shows: '.', ',', '' (none needed) or '?' (two ways)."""
    body = re.split(r"[eE]", text.lstrip("+-"))[0]
    if "." in body and "," in body:
        return "." if body.rindex(".") > body.rindex(",") else ","
    for mark, other in ((".", ","), (",", ".")):
        if body.count(mark) > 1:
            return other
        if mark in body:
            return "?" if _GROUPED.match(body) else mark
    return ""


def number(text: str, mark: str) -> float:
    """A cell as a number. Raises ValueError with the remedy."""
    bare = _SPACES.sub("", text.strip()).replace("\u2212", "-")
    thousands = "," if mark == "." else "."
    whole, _, rest = bare.partition(mark)
    if thousands in rest:
        raise ValueError(f"not a number with a decimal {'point' if mark == '.' else 'comma'}; correct the cell")
    if thousands in whole and not re.match(rf"^[-+]?\d{{1,3}}([{thousands}]\d{{3}})+$", whole):
        raise ValueError(f"not a number with a decimal {'point' if mark == '.' else 'comma'}; correct the cell")
    try:
        value = float(whole.replace(thousands, "") + ("." + rest if rest else ""))
    except ValueError:
        raise ValueError(_WORDS.get(bare[:1], "not a number; correct the cell, or leave it empty")) from None
    if "_" in bare or not math.isfinite(value):
        raise ValueError("not a number; correct the cell, or leave it empty")
    return value


_WORDS = {
    "<": "a limit of detection and no number; write a number, such as 0, or leave the cell empty",
    ">": "a limit and no number; write a number, or leave the cell empty",
}

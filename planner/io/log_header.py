"""Header lines of a LAS file, read by lasio; units as they were written, which it changes at times."""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Sequence
from dataclasses import dataclass

import lasio

from planner.base.errors import Problem
from planner.io.log_sections import Line
from planner.io.reporting import Report

logging.getLogger("lasio").setLevel(logging.CRITICAL)  # what it finds is told in our own words

# A mnemonic up to the first dot, the unit from there to the first blank; lasio reads '..1IN' as '1IN'.
_UNIT = re.compile(r"^[^.:]*\.(?P<unit>[^\s:]*)")
_FORMAT = re.compile(r"\{\s*([A-Za-z])")


@dataclass(frozen=True)
class HeaderLine:
    """One line MNEM.UNIT VALUE : DESCRIPTION. line: its number in the file."""

    mnemonic: str
    unit: str
    value: str
    description: str
    line: int
    is_text: bool = False  # LAS 3 declares the column as text or date: {S}, {D}, {T}


def header_lines(lines: Sequence[Line], section: str, version: float, name: str, remark: Report) -> list[HeaderLine]:
    """The lines of a section ('Version', 'Well' or 'Curve') that can be read; the others are remarked on."""
    kept = []
    for number, text in lines:
        if "." in text or ":" in text:
            kept.append((number, text))
        else:
            remark(
                Problem(name, f"line {number}", text[:40], f"not a line of the {section.lower()} section; left out",
                        "Write it as MNEM.UNIT value : description.")
            )  # fmt: skip
    found = []
    for number, text in kept:
        item = _item(text, section, version)
        unit = _UNIT.match(text)
        if item is None:
            remark(
                Problem(name, f"line {number}", text[:40], "a header line that cannot be read; left out", "Check it.")
            )
            continue
        mnemonic, value = str(item.original_mnemonic or "").strip(" ."), str(item.value).strip()
        written = unit["unit"].strip() if unit is not None else str(item.unit or "")
        form = _FORMAT.search(text)
        is_text = form is not None and form[1].upper() in "SDT"
        found.append(HeaderLine(mnemonic, written, value, str(item.descr or "").strip(), number, is_text))
    return found


def _item(text: str, section: str, version: float) -> lasio.HeaderItem | None:
    """One header line by lasio, which knows the order of value and description of each version."""
    head = f"~Version\nVERS. {min(version, 2.0)} :\nWRAP. NO :\n"
    body = "" if section == "Version" else f"~{section}\n"
    try:
        las = lasio.read(io.StringIO(f"{head}{body}{text}\n"), ignore_data=True, ignore_header_errors=True)
    except Exception:
        return None
    items = {"Version": las.version, "Well": las.well, "Curve": las.curves}[section]
    return items[-1] if len(items) > (2 if section == "Version" else 0) else None

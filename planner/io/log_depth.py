"""The index of a log: its unit, its direction, and whether it agrees with what the header says of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.io.log_header import HeaderLine
from planner.io.reporting import Report

Floats = NDArray[np.float64]

GAP = 5.0  # usual steps: samples farther apart have a gap between them
_FOOT, _INCH = 0.3048, 0.0254
# Spellings of lengths in log headers, in m. The US survey foot differs from the foot by two parts in a million.
_LENGTHS = {
    "M": 1.0, "MD": 1.0, "METER": 1.0, "METERS": 1.0, "METRE": 1.0, "METRES": 1.0, "MTR": 1.0, "MTRS": 1.0, "MT": 1.0,
    "METROS": 1.0, "METRO": 1.0, "METRI": 1.0, "\u041c": 1.0, "\u041c\u0415\u0422\u0420": 1.0,
    "\u041c\u0415\u0422\u0415\u0420": 1.0, "\u041c\u0415\u0422\u0420\u042b": 1.0,
    "\u041c\u0415\u0422\u0420\u041e\u0412": 1.0,  # metre, metres, of metres in Cyrillic letters
    "F": _FOOT, "FT": _FOOT, "FEET": _FOOT, "FOOT": _FOOT, "FTUS": _FOOT, "USFT": _FOOT, "USFEET": _FOOT, "SFT": _FOOT,
    "FEETUS": _FOOT, "FTS": _FOOT, "PIES": _FOOT, "PIE": _FOOT,
    "\u0424\u0423\u0422": _FOOT, "\u0424\u0423\u0422\u042b": _FOOT,  # foot, feet
    "IN": _INCH, "INCH": _INCH, "INCHES": _INCH, "CM": 0.01, "MM": 0.001, "DM": 0.1, "KM": 1000.0,
}  # fmt: skip
_TIMES = {"S", "SEC", "SECONDS", "SECOND", "MS", "MIN", "MINS", "MINUTES", "H", "HR", "HRS", "HOUR", "HOURS", "D",
          "DAY", "DAYS", "US", "HHMMSS", "DATE", "DD/MM/YY"}  # fmt: skip
_REFERENCES = ("MDRKB", "MDKB", "MD", "RKB", "KB", "RT", "DF")  # from where or along what a depth is counted
_TRUE_VERTICAL = re.compile(r"(?i)^TVD|true\s+vertical|\bTVD\b")
_BELOW_SEA = re.compile(r"(?i)TVDSS|SSTVD|^ELEV|sub-?\s?sea|below\s+(?:mean\s+)?sea\s+level")
_STRETCHED = re.compile(r"^(\d*\.?\d+)\s*([A-Z]+)$")


@dataclass(frozen=True)
class DepthUnit:
    """metre: m in one unit of the file; shown: 'm' or 'ft', in which depths are told; written: as in the file."""

    metre: float
    shown: str
    written: str
    vertical: bool = False  # a true vertical depth, read as measured


def length_unit(written: str) -> DepthUnit | None:
    """What a unit of depth means: M, FEET, .1IN, 0.5FT ...; None when it is not one."""
    text = _latin(written.strip().strip("()[]").upper())
    text = re.sub(r"[\s()_]|(?<=[A-Z])[.\-](?=[A-Z])", "", text).rstrip(".")
    number = 1.0
    stretched = _STRETCHED.match(text)
    if stretched:
        number, text = float(stretched[1]), stretched[2]
    metre = _LENGTHS.get(text) or _LENGTHS.get(_without_reference(text))
    if metre is None or number <= 0.0:
        return None
    shown = "ft" if abs(metre - _FOOT) < 1e-9 or abs(metre - _INCH) < 1e-9 else "m"
    return DepthUnit(number * metre, shown, written.strip())


def _latin(text: str) -> str:
    """Letters of Windows 1251 that were read as Windows 1252, put right where they then make a unit."""
    try:
        cyrillic = text.encode("cp1252").decode("cp1251").upper()
    except UnicodeError:
        return text
    return cyrillic if cyrillic in _LENGTHS and text not in _LENGTHS else text


def _without_reference(text: str) -> str:
    """'MMD' and 'FTRKB' without what the depth is counted from."""
    return next((text.removesuffix(one) for one in _REFERENCES if text.endswith(one)), text)


def depth_unit(index: HeaderLine, well: Mapping[str, HeaderLine], first: float, last: float, name: str,
               report: Report, remark: Report) -> DepthUnit | None:  # fmt: skip
    """Unit of the index curve; None after a report. first, last: of the data, to judge units that contradict."""
    limits = [well[key] for key in ("STRT", "STOP", "STEP") if key in well]
    if index.mnemonic.upper().startswith(("TIME", "ETIM", "DATE")) or _is_time(index, limits):
        report(
            Problem(name, f"curve {index.mnemonic}", index.unit, "the log is indexed by time, not by depth",
                    "Give a log against measured depth.")
        )  # fmt: skip
        return None
    unit = length_unit(index.unit)
    others = [found for found in (length_unit(line.unit) for line in limits) if found is not None]
    if unit is None and not index.unit and others:
        remark(
            Problem(name, f"curve {index.mnemonic}", "", f"no unit of depth; taken from STRT: {others[0].written}",
                    f"Write {index.mnemonic or 'DEPT'}.{others[0].written} in the curve section.")
        )  # fmt: skip
        unit = others[0]
    if unit is None:
        shown = index.unit or next((line.unit for line in limits), "")
        message = "the unit of depth is neither m nor ft" if shown else "the depth has no unit"
        report(Problem(name, "curve section", shown, message, "Give the depth curve M or FT."))
        return None
    if not _agree(unit, others, well, first, last, name, report):
        return None
    return _as_measured(unit, index, name, report, remark)


def _as_measured(unit: DepthUnit, index: HeaderLine, name: str, report: Report, remark: Report) -> DepthUnit | None:
    """None after a report where the index counts from the sea; a remark where it is vertical."""
    words = f"{index.mnemonic} {index.description}"
    if _BELOW_SEA.search(index.mnemonic.strip()) or _BELOW_SEA.search(index.description):
        message = "the index is a depth below the sea, not a measured depth"
        report(Problem(name, f"curve {index.mnemonic}", words.strip(), message, "Give a log against measured depth."))
        return None
    if _TRUE_VERTICAL.search(index.mnemonic.strip()) or _TRUE_VERTICAL.search(index.description):
        told = "the index is a true vertical depth; it is read as measured depth"
        remark(
            Problem(name, f"curve {index.mnemonic}", "", told, "Give a log against measured depth in a deviated hole.")
        )
        return replace(unit, vertical=True)
    return unit


def _is_time(index: HeaderLine, limits: list[HeaderLine]) -> bool:
    if index.mnemonic.upper().startswith(("DEP", "MD", "TDEP", "BDEP")):
        return False
    return index.unit.upper() in _TIMES or (not index.unit and any(line.unit.upper() in _TIMES for line in limits))


def _agree(unit: DepthUnit, others: list[DepthUnit], well: Mapping[str, HeaderLine], first: float, last: float,
           name: str, report: Report) -> bool:  # fmt: skip
    """Whether the units of STRT and STOP fit the curve's: equal, or other numbers for the same depth."""
    if not others or all(abs(other.metre / unit.metre - 1.0) < 1e-9 for other in others):
        return True
    for key in ("STRT", "STOP"):
        number, other = (
            as_number(well[key].value) if key in well else None,
            length_unit(well[key].unit) if key in well else None,
        )
        if number is None or other is None:
            continue
        reach = 0.02 * max(abs(last - first), 1.0) * unit.metre
        near = min(abs(number * other.metre - end * unit.metre) for end in (first, last))
        if near > reach:
            message = f"the curve section gives depth in {unit.written}, {key} in {other.written}, and they do not meet"
            report(Problem(name, f"line {well[key].line}", well[key].value, message, "Correct the one that is wrong."))
            return False
    return True


def as_number(text: str) -> float | None:
    """A number as a header has it; None when it is none."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None


def remarks_on_range(well: Mapping[str, HeaderLine], depth: Floats, unit: DepthUnit, name: str, remark: Report) -> None:
    """STRT, STOP, STEP and NULL against the data; depth [n] in the file's unit and order."""
    step = np.diff(depth)
    usual = float(np.median(step)) if step.size else 0.0
    for key, met in (("STRT", depth[0]), ("STOP", depth[-1])):
        line = well.get(key)
        said = as_number(line.value) if line else None
        if line is None or said is None:
            remark(
                Problem(
                    name, "well section", key, f"no readable {key}", f"Give {key}; the data were taken as they are."
                )
            )
            continue
        other = length_unit(line.unit) or unit
        if abs(said * other.metre - met * unit.metre) > max(0.6 * abs(usual), 1e-3) * unit.metre:
            message = f"{key} does not meet the data, which {'start' if key == 'STRT' else 'stop'} at {met:g}"
            remark(Problem(name, f"line {line.line}", line.value, message, "The data were taken; correct the header."))
    line = well.get("STEP")
    said = as_number(line.value) if line else None
    uneven = float(np.mean(np.abs(step - usual) > 0.05 * abs(usual) + 1e-6)) if step.size else 0.0
    if line is not None and said:
        if (
            abs(said - usual) > 0.05 * abs(usual)
            and abs((length_unit(line.unit) or unit).metre / unit.metre - 1) < 1e-9
        ):
            message = f"STEP does not meet the data, whose usual step is {usual:g}"
            remark(Problem(name, f"line {line.line}", line.value, message, "The data were taken; correct the header."))
        elif uneven > 0.0:
            message = f"{100 * uneven:.3g} % of the steps are not the STEP of the header"
            remark(
                Problem(name, f"line {line.line}", line.value, message, "Each sample stands for half-way to the next.")
            )
    gaps = np.flatnonzero(np.abs(step) > GAP * abs(usual)) if usual else np.zeros(0, dtype=np.int64)
    if gaps.size:
        worst = gaps[np.argmax(np.abs(step[gaps]))]
        message = f"{gaps.size} gaps of more than five steps, the largest from {depth[worst]:g} to {depth[worst + 1]:g}"
        remark(Problem(name, "data section", "", message, "No rock inside a gap is counted as net."))

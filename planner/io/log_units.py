"""Values of a log's curve in SI: units as logs spell them, and whether the values can have them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.base.units import example, to_si
from planner.io.log_depth import length_unit
from planner.io.reporting import Report

Floats = NDArray[np.float64]

_FRACTIONS = (
    "", "V/V", "M3/M3", "DEC", "DECP", "FRAC", "FRACTION", "UNITLESS", "-", "NONE", "CFCF", "CF/CF", "FT3/FT3", "F3/F3",
    "C3/C3", "CC/CC", "CM3/CM3", "V/V_DECIMAL", "VOL/VOL", "DECIMAL", "RATIO", "1",
)  # fmt: skip
_PER_CENT = ("%", "PU", "P.U.", "P.U", "PERCENT", "PCT", "PERC", "%V/V", "S.U.", "SU")
_SPELLED = {
    "slowness": {
        "US/F": "us/ft", "US/FT": "us/ft", "USEC/FT": "us/ft", "US/FOOT": "us/ft", "USPF": "us/ft", "USFT": "us/ft",
        "US/M": "us/m", "USEC/M": "us/m", "USPM": "us/m",
    },
    "permeability": {
        "D": "darcy", "DARCY": "darcy", "DARCIES": "darcy", "MDARCY": "md", "MILLIDARCY": "md", "MDA": "md",
        "UM2": "um^2", "\u00b5M2": "um^2", "\u039cM2": "um^2", "M2": "m^2",
    },
    "diameter": {'"': "in", "INS": "in", "INCHES": "in", "CMS": "cm", "MMS": "mm"},
}  # fmt: skip
# Middle value that a curve of rock or hole can have, SI (common practice, no source); beyond it the unit is in doubt.
_CREDIBLE = {"diameter": (0.05, 1.6), "slowness": (1.2e-4, 8.6e-4), "permeability": (0.0, 1e-10)}
_SPIKES = 0.02  # share of samples above 1 that may be spikes in a curve of fractions


def is_loose_unit(text: str) -> bool:
    """Whether a word that stands apart from the dot of a header line is a unit."""
    return length_unit(text) is not None or text.upper() in (*_FRACTIONS, *_PER_CENT, "MD", "GAPI")


def curve_in_si(
    name: str, curve: str, values: Floats, unit: str, quantity: str, report: Report, remark: Report
) -> Floats | None:
    """Values [n] of a curve in the SI unit of a quantity, NaN where null; None after a report.

    name: of the file; unit: as the file has it. 'number' is taken as it is.
    """
    bare = unit.strip()
    if quantity == "number":
        return values
    if quantity == "fraction":
        return _fraction(name, curve, values, bare, report, remark)
    try:
        factor = _factor(bare, quantity)
    except ValueError as error:
        message = str(error).partition("; ")[0]
        remedy = f"Correct the unit of {curve} in the log's curve section, such as {example(quantity)}."
        report(Problem(name, f"curve {curve}", bare, message, remedy))
        return None
    made: Floats = values * factor
    return made if _credible(name, curve, made, bare, quantity, report) else None


def _factor(unit: str, quantity: str) -> float:
    """What to multiply a value with for SI. Raises ValueError."""
    length = length_unit(unit) if quantity in ("length", "diameter") else None
    if length is not None:
        return length.metre
    known = _SPELLED.get(quantity, {}).get(unit.upper().rstrip("."), unit.lower())
    return to_si(1.0, known, quantity) - to_si(0.0, known, quantity)


def _credible(name: str, curve: str, values: Floats, unit: str, quantity: str, report: Report) -> bool:
    """Whether the middle of the values is one that rock or hole can have; a report where not."""
    there = values[np.isfinite(values) & (values > 0.0)]
    least, most = _CREDIBLE.get(quantity, (0.0, np.inf))
    if not there.size or least <= float(np.median(there)) <= most:
        return True
    middle = float(np.median(there)) / _factor(unit, quantity)
    message = f"half of the values lie above {middle:g} {unit}, which no {quantity} of a well does: another unit?"
    if float(np.median(there)) < least:
        message = message.replace("above", "below")
    remedy = f"Correct the unit of {curve} in the log's curve section, such as {example(quantity)}."
    report(Problem(name, f"curve {curve}", unit, message, remedy))
    return False


def _fraction(name: str, curve: str, values: Floats, unit: str, report: Report, remark: Report) -> Floats | None:
    """Shares of 1; a few spikes above are taken as nulls and told."""
    place = f"curve {curve}"
    per_cent = unit.upper() in _PER_CENT
    if not per_cent and unit.upper() not in _FRACTIONS:
        report(Problem(name, place, unit, "not a unit of a fraction", "Use V/V or % in the log's curve section."))
        return None
    share: Floats = values / 100.0 if per_cent else values.copy()
    finite = share[np.isfinite(share)]
    if per_cent and finite.size and 0.0 < finite.max() <= 0.01:
        message = f"no value is above 1 {unit}: are these fractions?"
        report(Problem(name, place, f"{100.0 * finite.max():g}", message, "Give the curve the unit V/V."))
        return None
    high = share > 1.5
    if not high.any():
        return share
    shown = f"{float(np.nanmax(values)):g}"
    if per_cent or high.sum() <= _SPIKES * finite.size:
        told = f"{int(high.sum())} values above 1.5, or 150 %; taken as nulls"
        remark(Problem(name, place, shown, told, "Check these samples."))
        share[high] = np.nan
        return share
    report(Problem(name, place, shown, "above 1: are these per cent?", "Give the curve the unit %."))
    return None

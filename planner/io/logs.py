"""Well logs in the open LAS standard: curves against measured depth, in SI."""

from __future__ import annotations

import io
import logging
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import lasio
import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Problem
from planner.base.units import example, to_si
from planner.io.messages import suggestion
from planner.io.text import read_text

logging.getLogger("lasio").setLevel(logging.ERROR)  # its remarks on harmless headers are not for the user

Report = Callable[[Problem], None]
Floats = NDArray[np.float64]

# Spellings of units in log headers that the reader of units does not know, in its own spelling.
_UNITS = {
    "F": "ft",
    "FEET": "ft",
    "FOOT": "ft",
    "METRES": "m",
    "METERS": "m",
    "METRE": "m",
    "METER": "m",
    "INCHES": "in",
    "INCH": "in",
    "US/F": "us/ft",
    "USEC/FT": "us/ft",
    "USEC/M": "us/m",
}
_DEPTH_UNITS = {"M": "m", "FT": "ft"}
_PLAIN = ("", "V/V", "M3/M3", "DEC", "FRAC", "FRACTION", "UNITLESS", "-", "NONE")
_PERCENT = ("%", "PU", "PERCENT", "PCT")


@dataclass(frozen=True)
class Log:
    """A log file: measured depth of the samples in m, going down; curves by mnemonic, in the file's units."""

    name: str
    depth: Floats
    depth_unit: str
    curves: dict[str, Floats]
    units: dict[str, str]

    def curve(self, mnemonic: str, quantity: str, place: str, report: Report) -> Floats | None:
        """Values of a curve in the SI unit of a quantity, NaN where null; None after a report of what is wrong."""
        known = {name.upper(): name for name in self.curves}
        name = known.get(mnemonic.upper())
        if name is None:
            report(Problem(self.name, place, mnemonic, "no such curve in the log", suggestion(mnemonic, self.curves)))
            return None
        unit = self.units[name].strip()
        values = self.curves[name]
        if quantity == "fraction":
            return self._fraction(name, values, unit, report)
        if quantity == "number":
            return values
        try:
            scale_to = _UNITS.get(unit.upper(), unit.lower())
            return values * (to_si(1.0, scale_to, quantity) - to_si(0.0, scale_to, quantity))
        except ValueError as error:
            message = str(error).partition("; ")[0]
            remedy = f"Correct the unit of {name} in the log's curve section, such as {example(quantity)}."
            report(Problem(self.name, f"curve {name}", unit, message, remedy))
            return None

    def _fraction(self, name: str, values: Floats, unit: str, report: Report) -> Floats | None:
        share = values / 100.0 if unit.upper() in _PERCENT else values
        if unit.upper() not in _PLAIN + _PERCENT:
            report(
                Problem(
                    self.name,
                    f"curve {name}",
                    unit,
                    "not a unit of a fraction",
                    "Use V/V or % in the log's curve section.",
                )
            )
            return None
        finite = share[np.isfinite(share)]
        if finite.size and finite.max() > 1.5:
            value = f"{finite.max():g}"
            report(
                Problem(self.name, f"curve {name}", value, "above 1: are these per cent?", "Give the curve the unit %.")
            )
            return None
        return share


def read_log(path: Path, name: str, place: str, report: Report) -> Log | None:
    """A LAS file (1.2, 2.0, wrapped or not); None after a report of what is wrong.

    name: the file as the user wrote it; place: where the case names it. Nulls become NaN, samples are put in order.
    """
    try:
        text = read_text(path)
    except OSError:
        report(
            Problem(name, place, "", "file not found or not readable", f"Put it at {path.name} beside the case file.")
        )
        return None
    try:
        las = lasio.read(io.StringIO(text), engine="normal", null_policy="common", ignore_header_errors=True)
        table = np.array([np.asarray(curve.data, dtype=np.float64) for curve in las.curves])
    except Exception as error:  # the reader raises many kinds; the user needs the file and the reason
        report(
            Problem(
                name, "", "", f"not a readable LAS file ({_reason(error)})", "Check that it is a LAS 1.2 or 2.0 file."
            )
        )
        return None
    if len(table) < 2 or table.shape[1] < 2:
        report(Problem(name, "", "", "the log holds no samples", "Check its curve and data sections."))
        return None
    unit = _depth_unit(las)
    if unit is None:
        shown = str(las.curves[0].unit)
        report(
            Problem(
                name, "curve section", shown, "the unit of depth is neither m nor ft", "Give the depth curve M or FT."
            )
        )
        return None
    depth = table[0] * to_si(1.0, unit, "length")
    order = np.argsort(depth[np.isfinite(depth)], kind="stable")
    table = table[:, np.isfinite(depth)][:, order]
    curves = {curve.mnemonic: table[i] for i, curve in enumerate(las.curves)}
    units = {curve.mnemonic: str(curve.unit or "") for curve in las.curves}
    return Log(name, depth[np.isfinite(depth)][order], unit, curves, units)


def _depth_unit(las: lasio.LASFile) -> str | None:
    written = str(las.curves[0].unit or "").strip().upper()
    guess = _UNITS.get(written, "").upper() or written
    if guess in _DEPTH_UNITS:
        return _DEPTH_UNITS[guess]
    found = str(las.index_unit or "").strip().upper()
    return _DEPTH_UNITS.get(_UNITS.get(found, "").upper() or found)


def _reason(error: Exception) -> str:
    return str(error).split("\n")[0].strip()[:120] or type(error).__name__

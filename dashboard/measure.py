"""Numbers as people see them: SI in, text with the unit of the chosen system out."""

from __future__ import annotations

import math
from datetime import date
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from planner.model.quantity import QUANTITIES, parse

System = Literal["field", "metric"]
NOTHING = "\u2013"


@lru_cache(maxsize=512)
def _affine(quantity: str, system: System) -> tuple[float, float]:
    """Scale and shift of the shown unit: si = scale * shown + shift."""
    unit = QUANTITIES[quantity].unit(system)
    if not unit or not QUANTITIES[quantity].si:
        return 1.0, 0.0
    zero, one = parse(f"0 {unit}", quantity), parse(f"1 {unit}", quantity)
    return one - zero, zero


def shown(value: Any, quantity: str, system: System) -> Any:
    """SI number or array to the unit that the system shows; fractions stay fractions."""
    scale, shift = _affine(quantity, system)
    return (value - shift) / scale


def change_shown(value: Any, quantity: str, system: System) -> Any:
    """A difference of two SI numbers, in the shown unit (no shift of the zero)."""
    return value / _affine(quantity, system)[0]


def unit(quantity: str, system: System) -> str:
    """Unit as printed; '%' for a fraction, which is shown in percent."""
    return "%" if quantity == "fraction" else QUANTITIES[quantity].label(system)


def unit_as_read(quantity: str, system: System) -> str:
    """Unit in the spelling that the reader of case files understands."""
    return QUANTITIES[quantity].unit(system)


def in_percent(value: Any, quantity: str) -> Any:
    """Fractions times one hundred, everything else as it is."""
    return value * 100.0 if quantity == "fraction" else value


def number(value: float, digits: int = 3, sign: bool = False) -> str:
    """A number for reading: three significant digits, whole above a hundred, thousands parted by commas."""
    if value is None or not math.isfinite(value):
        return NOTHING
    size = abs(value)
    if size == 0 or size < 10 ** -(digits + 2):
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(size)))
    mark = "+" if sign else ""
    return f"{value:{mark},.{min(places, 4)}f}".replace("-", "\u2212")


def amount(value: float, quantity: str, system: System, digits: int = 3) -> str:
    """SI number as text with its unit: '1,240 bbl/d', '63.2 %'."""
    if value is None or not np.isfinite(value):
        return NOTHING
    text = number(float(in_percent(shown(value, quantity, system), quantity)), digits)
    return _with_unit(text, unit(quantity, system))


def change(value: float, quantity: str, system: System, digits: int = 3) -> str:
    """Difference to the base as text with sign and unit; 'same' when nothing is left at the digits shown."""
    if value is None or not np.isfinite(value):
        return NOTHING
    number_shown = float(in_percent(change_shown(value, quantity, system), quantity))
    text = number(number_shown, digits, sign=True)
    label = "points" if quantity == "fraction" else unit(quantity, system)
    return "same" if text == "0" else _with_unit(text, label)


def _with_unit(text: str, label: str) -> str:
    """Number and unit; a unit that begins with a number is multiplied by it, such as 2,000 times 1000 m3."""
    return f"{text} \u00d7 {label}" if label[:1].isdigit() else f"{text} {label}".rstrip()


def as_text(value: float, quantity: str, system: System) -> str:
    """SI number in the form that the reader of case files takes back: '3.2 bbl/day/psi'."""
    return f"{shown(value, quantity, system):.12g} {unit_as_read(quantity, system)}".rstrip()


def month_year(day: Any) -> str:
    """A date as people say it on charts: 'Jun 2031'."""
    return f"{date.fromisoformat(str(day)[:10]):%b %Y}"

"""The one place where units are converted: text with a unit in, SI inside, the user's unit system out.

A *quantity* is a named kind of number ('pressure', 'liquid rate' ...). Each has its SI unit and the unit shown in
the field and the metric system. Tables, labels, JSON keys and the case schema all follow from QUANTITIES.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

import pint

UnitSystem = Literal["field", "metric"]


@dataclass(frozen=True)
class Quantity:
    """A kind of number: its SI unit and the units shown to people (pint spelling first, label second)."""

    name: str
    si: str
    field: str
    metric: str
    field_label: str = ""
    metric_label: str = ""

    def unit(self, system: UnitSystem) -> str:
        """Unit of this quantity in a system, in the spelling that the reader of units understands."""
        return self.field if system == "field" else self.metric

    def label(self, system: UnitSystem) -> str:
        """Unit as printed in a header."""
        return (self.field_label or self.field) if system == "field" else (self.metric_label or self.metric)


def _quantities(*rows: Quantity) -> dict[str, Quantity]:
    return {row.name: row for row in rows}


QUANTITIES: dict[str, Quantity] = _quantities(
    Quantity("fraction", "", "", ""),
    Quantity("number", "", "", ""),
    Quantity("length", "m", "ft", "m"),
    Quantity("diameter", "m", "in", "mm"),
    Quantity("roughness", "m", "in", "mm"),
    Quantity("area", "m^2", "in^2", "mm^2", "in2", "mm2"),
    Quantity("angle", "rad", "deg", "deg"),
    Quantity("pressure", "Pa", "psi", "bar"),
    Quantity("temperature", "K", "degF", "degC"),
    Quantity("time", "s", "day", "day", "d", "d"),
    Quantity("permeability", "m^2", "md", "md"),
    Quantity("kh", "m^3", "md*ft", "md*m", "md ft", "md m"),
    Quantity("viscosity", "Pa*s", "cP", "cP"),
    Quantity("density", "kg/m^3", "lb/ft^3", "kg/m^3", "lb/ft3", "kg/m3"),
    Quantity("compressibility", "1/Pa", "1/psi", "1/bar"),
    Quantity("liquid rate", "m^3/s", "bbl/day", "m^3/day", "bbl/d", "m3/d"),
    Quantity("gas rate", "m^3/s", "Mcf/day", "e3m3/day", "Mscf/d", "1000 m3/d"),
    Quantity("liquid volume", "m^3", "Mbbl", "e3m3", "Mbbl", "1000 m3"),
    Quantity("gas volume", "m^3", "MMcf", "e6m3", "MMscf", "million m3"),
    Quantity("gas-oil ratio", "m^3/m^3", "cf/bbl", "m^3/m^3", "scf/bbl", "m3/m3"),
    Quantity("volume factor", "", "", "", "rb/stb", "m3/m3"),
    Quantity("velocity", "m/s", "ft/s", "m/s"),
    Quantity("productivity index", "m^3/s/Pa", "bbl/day/psi", "m^3/day/bar", "bbl/d/psi", "m3/d/bar"),
    Quantity("inflow per length", "m^2/s", "bbl/day/ft", "m^3/day/m", "bbl/d/ft", "m3/d/m"),
    Quantity("gas inflow per length", "m^2/s", "Mcf/day/ft", "e3m3/day/m", "Mscf/d/ft", "1000 m3/d/m"),
    Quantity(
        "erosional constant",
        "m/s*(kg/m^3)**0.5",
        "ft/s*(lb/ft^3)^0.5",
        "m/s*(kg/m^3)^0.5",
        "(ft/s)(lb/ft3)^0.5",
        "(m/s)(kg/m3)^0.5",
    ),
    Quantity("linear loss", "Pa*s/m", "psi/(ft/s)", "bar/(m/s)", "psi per ft/s", "bar per m/s"),
    Quantity("quadratic loss", "Pa*s^2/m^2", "psi/(ft/s)^2", "bar/(m/s)^2", "psi per (ft/s)2", "bar per (m/s)2"),
    Quantity("leak conductance", "m^3/s/Pa", "bbl/day/psi", "m^3/day/bar", "bbl/d/psi", "m3/d/bar"),
    Quantity("plugging", "Pa*s/m^2", "psi/(ft/s)/ft", "bar/(m/s)/m", "psi per ft/s per ft", "bar per m/s per m"),
    Quantity("turbulence coefficient", "1/m", "1/ft", "1/m", "1/ft", "1/m"),
    Quantity("shot density", "1/m", "1/ft", "1/m", "shots/ft", "shots/m"),
    Quantity("strength", "Pa", "psi", "MPa"),
    Quantity("grain size", "m", "um", "um", "micron", "micron"),
    Quantity("pressure gradient", "Pa/m", "psi/ft", "bar/m"),
    Quantity("slowness", "s/m", "us/ft", "us/m"),
    Quantity("liquid price", "1/m^3", "1/bbl", "1/m^3", "per bbl", "per m3"),
    Quantity("gas price", "1/m^3", "1/Mcf", "1/e3m3", "per Mscf", "per 1000 m3"),
    Quantity("money", "", "", "", "money", "money"),
    Quantity("money rate", "1/s", "1/day", "1/day", "per d", "per d"),
    Quantity("money per length", "1/m", "1/ft", "1/m", "per ft", "per m"),
    Quantity("salinity", "", "", ""),
)

_DEFINITIONS = (
    "md = 9.869232667160130e-16 * meter**2 = millidarcy",
    "darcy = 1000 * md",
    "bbl = 42 * gallon",
    "stb = bbl",
    "rb = bbl",
    "Mbbl = 1000 * bbl",
    "MMbbl = 1e6 * bbl",
    "scf = foot**3",
    "cf = foot**3",
    "Mcf = 1000 * foot**3 = Mscf",
    "MMcf = 1e6 * foot**3 = MMscf",
    "sm3 = meter**3",
    "m3 = meter**3",
    "e3m3 = 1000 * meter**3",
    "e6m3 = 1e6 * meter**3",
    "ft3 = foot**3",
    "usft = 1200 / 3937 * meter = ftUS",  # the foot of United States surveys
    "in2 = inch**2",
    "mm2 = millimeter**2",
    "psia = psi",
    "mD = 9.869232667160130e-16 * meter**2",
)
# Spellings with a prefix of ten that the trade uses for other powers (common practice, no source).
_DOUBTFUL = {
    "mcf": "'Mcf'", "mscf": "'Mscf'", "mbbl": "'Mbbl'", "mstb": "'Mbbl'", "mmbbl": "'MMbbl'", "mmcf": "'MMcf'",
    "mmscf": "'MMscf'", "km3": "'e3m3'", "Mm3": "'e3m3' or 'e6m3'", "mm3": "'e3m3' or 'e6m3'", "ksm3": "'e3m3'",
    "Msm3": "'e3m3' or 'e6m3'", "mPa": "'MPa' or 'bar'",
}  # fmt: skip


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """The unit registry with the trade's units added; made once, since it takes a moment."""
    made: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True, cache_folder=None)
    for definition in _DEFINITIONS:
        made.define(definition)
    return made


@lru_cache(maxsize=4096)
def _affine(unit: str, quantity: str) -> tuple[float, float]:
    """Scale and shift from a unit to the SI unit of a quantity: si = scale * value + shift."""
    ureg = registry()
    target = QUANTITIES[quantity].si
    if not unit:
        if target:
            raise ValueError(f"a unit is missing; a {quantity} needs one, such as {example(quantity)}")
        return 1.0, 0.0
    doubtful = next((one for one in re.findall(r"[A-Za-z]+\d?", unit) if one in _DOUBTFUL), "")
    if doubtful and (doubtful != "mPa" or unit == "mPa"):  # mPa*s is a viscosity
        meant = _DOUBTFUL[doubtful]
        raise ValueError(f"'{doubtful}' can be meant in several ways; use one such as {meant}")
    try:
        zero = ureg.Quantity(0.0, unit).to(target or "dimensionless").magnitude
        one = ureg.Quantity(1.0, unit).to(target or "dimensionless").magnitude
    except Exception as error:
        raise ValueError(f"'{unit}' is not a unit of {quantity}; use one such as {example(quantity)}") from error
    return float(one) - float(zero), float(zero)


def example(quantity: str) -> str:
    """Units that a quantity may be given in, for messages: 'ft or m'."""
    known = QUANTITIES[quantity]
    shown = dict.fromkeys(u for u in (known.field, known.metric, known.si) if u)
    return " or ".join(f"'{u}'" for u in shown) or "a plain number"


def to_si(value: float, unit: str, quantity: str) -> float:
    """Value in `unit` to SI of `quantity`. Raises ValueError with the remedy in its text."""
    scale, shift = _affine(unit.strip(), quantity)
    return value * scale + shift


def from_si(value: Any, quantity: str, system: UnitSystem) -> Any:
    """SI number or array to the unit that `system` shows for `quantity`."""
    scale, shift = _affine(QUANTITIES[quantity].unit(system), quantity)
    return (value - shift) / scale


def parse(text: str | float | int, quantity: str) -> float:
    """'2500 ft' to SI; a plain number is taken only where the quantity has no unit.

    Raises ValueError saying what is wrong and which units would do.
    """
    if isinstance(text, bool):
        raise ValueError("true or false where a number is needed")
    if isinstance(text, int | float):
        number, unit = float(text), ""
    else:
        number, unit = _split(str(text))
    if isinstance(text, str) and "_" in text.partition(" ")[0]:
        raise ValueError("not a number with a unit")
    if not math.isfinite(number):
        raise ValueError("not a finite number")
    if not unit and QUANTITIES[quantity].si:
        raise ValueError(f"a unit is missing; write it behind the number, such as {example(quantity)}")
    return to_si(number, unit, quantity)


def parse_difference(text: str | float | int, quantity: str) -> float:
    """As `parse`, for a difference: '5 degC' is 5 K, without the zero of the scale."""
    zero = 0.0
    if isinstance(text, str) and QUANTITIES[quantity].si:
        zero = to_si(0.0, _split(text)[1], quantity)
    return parse(text, quantity) - zero


def _split(text: str) -> tuple[float, str]:
    """'1.5e3 psi' to (1500.0, 'psi')."""
    stripped = text.strip()
    head, _, tail = stripped.partition(" ")
    try:
        return float(head), tail.strip()
    except ValueError:
        pass
    for cut in range(len(stripped), 0, -1):
        try:
            return float(stripped[:cut]), stripped[cut:].strip()
        except ValueError:
            continue
    raise ValueError("not a number with a unit")


def key(name: str, quantity: str, system: UnitSystem) -> str:
    """Stable JSON or CSV key with the unit in it: key('oil rate', 'liquid rate', 'field') = 'oil_rate_bbl_per_d'."""
    label = QUANTITIES[quantity].label(system)
    unit = label.replace("/", "_per_").replace(" ", "_").replace("(", "").replace(")", "").replace("-", "_")
    return name.replace(" ", "_").replace("-", "_") + (f"_{unit}" if unit else "")

"""Units as production tables spell them. A spelling that can be meant in two ways, such as MSm3, is not taken."""

from __future__ import annotations

import re

from planner.base.units import to_si

_ATMOSPHERE = 101_325.0  # Pa, standard atmosphere (ISO 2533)

_KNOWN = {
    "BOPD": "bbl/day", "BWPD": "bbl/day", "BLPD": "bbl/day", "BPD": "bbl/day", "BBL/D": "bbl/day", "STB/D": "bbl/day",
    "STBD": "bbl/day", "STB/DAY": "bbl/day", "BBL/DAY": "bbl/day", "BBLS/D": "bbl/day", "BBLS/DAY": "bbl/day",
    "SM3/D": "m^3/day", "SM3/DAY": "m^3/day", "M3/D": "m^3/day", "M3/DAY": "m^3/day", "NM3/D": "",
    "MCF/D": "Mcf/day", "MSCF/D": "Mcf/day", "MCFD": "Mcf/day", "MSCFD": "Mcf/day", "MSCF/DAY": "Mcf/day",
    "MMCF/D": "MMcf/day", "MMSCF/D": "MMcf/day", "MMSCFD": "MMcf/day", "SCF/D": "cf/day", "CF/D": "cf/day",
    "SCF/STB": "cf/bbl", "SCF/BBL": "cf/bbl", "CF/BBL": "cf/bbl", "MSCF/STB": "Mcf/bbl", "MCF/BBL": "Mcf/bbl",
    "SM3/SM3": "m^3/m^3", "M3/M3": "m^3/m^3", "V/V": "", "FRAC": "", "FRACTION": "", "%": "percent", "PCT": "percent",
    "PERCENT": "percent", "STB": "bbl", "BBL": "bbl", "BBLS": "bbl", "MSTB": "Mbbl", "MBBL": "Mbbl",
    "MMSTB": "MMbbl", "MMBBL": "MMbbl", "SM3": "m^3", "M3": "m^3", "SCF": "cf", "MSCF": "Mcf", "MCF": "Mcf",
    "MMSCF": "MMcf", "MMCF": "MMcf", "1000 SM3": "e3m3", "1000 M3": "e3m3", "1000 SM3/D": "e3m3/day",
    "1000 M3/D": "e3m3/day",
    "MBBL/D": "Mbbl/day", "MSTB/D": "Mbbl/day", "MMSTB/D": "MMbbl/day", "E3M3/D": "e3m3/day",
    "E3M3": "e3m3", "E6M3": "e6m3", "10^3 M3": "e3m3", "10^3M3": "e3m3", "10^3 SM3": "e3m3", "1000M3": "e3m3",
    "THOUSAND M3": "e3m3", "10^3 M3/D": "e3m3/day", "10^3M3/D": "e3m3/day", "10^6 M3": "e6m3", "10^6M3": "e6m3",
    "PSI": "psi", "PSIA": "psi", "BAR": "bar", "BARA": "bar", "KPA": "kPa", "KPAA": "kPa", "MPA": "MPa", "ATM": "atm",
    "MD.M": "md*m", "MD.FT": "md*ft", "MD-FT": "md*ft", "MD-M": "md*m", "MD*FT": "md*ft", "MD*M": "md*m",
    "MD FT": "md*ft", "MD M": "md*m",
    "D": "day", "DAY": "day", "DAYS": "day", "H": "hour", "HR": "hour", "HRS": "hour", "HOURS": "hour",
}  # fmt: skip
_TWO_MEANINGS = ("KM3", "KM3/D", "MM3", "MM3/D", "MSM3", "MSM3/D", "MMM3", "MMM3/D", "KSM3", "KSM3/D")
_PREFIXED = re.compile(r"(?i)^(?:da|[a-z\u00b5]{1,3})(?<!e\d)[sn]?m\^?[3\u00b3]\b")  # Tm3, Nm3, hm3, kSm3
_TONNES = re.compile(r"(?i)^(?:k|m|mm)?(?:t|te|ton|tons|tonne|tonnes|kg)(?:\s?/\s?\w+|pd|d)?$")
_PER_MONTH = re.compile(r"(?i)(?:/|\bper\s+)\s*(?:mo|mon|mth|month|months|yr|year|a)\.?$")
_GAUGE = {"PSIG": "psi", "BARG": "bar", "KPAG": "kPa"}


def spelled(unit: str) -> str:
    """The unit as the reader of units knows it; what is not in the list is left as it is."""
    bare = unit.strip()
    return _KNOWN.get(" ".join(bare.upper().split()), bare) or bare


def is_gauge(unit: str) -> bool:
    """Whether a unit of pressure counts from the atmosphere."""
    return unit.strip().upper() in _GAUGE


def is_refused(unit: str) -> bool:
    """Whether a unit is one that nobody can take as it stands: a mass, of several meanings, of uneven months."""
    return bool(_refusal(unit.strip()))


def _refusal(unit: str) -> str:
    """Why a spelling cannot be taken, '; ', and the remedy; '' where nothing is against it."""
    several = "write '1000 m3' or 'e6m3', per day '1000 m3/d'"
    if unit.upper() in _TWO_MEANINGS:
        return f"may mean thousands or millions; {several}"
    if _TONNES.match(unit):
        return "is a mass, and a volume is needed; divide by the density at surface conditions"
    if _PER_MONTH.search(unit):
        return "is by months, which are not equally long; call the column a volume, in the unit of the volume"
    if unit.upper() not in _KNOWN and _PREFIXED.match(unit):
        return f"may mean several things; {several}"
    return ""


def value_in_si(value: float, unit: str, quantity: str) -> float:
    """A number in a spelled unit to SI; gauge pressures by the standard atmosphere. Raises ValueError."""
    if quantity == "pressure" and is_gauge(unit):
        return to_si(value, _GAUGE[unit.strip().upper()], quantity) + _ATMOSPHERE
    why = _refusal(unit.strip())
    if why:
        raise ValueError(f"'{unit}' {why}")
    known = spelled(unit)
    if quantity == "fraction" and unit.strip().upper() in ("V/V", "FRAC", "FRACTION", "-"):
        known = ""
    return to_si(value, known, quantity)

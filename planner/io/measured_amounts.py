"""Cells of a table of measurements as amounts: the number, its unit, and gauge pressures made absolute."""

from __future__ import annotations

from planner.base.units import QUANTITIES
from planner.io.measured_open import OpenTable
from planner.io.messages import sentence
from planner.io.numbers import looks_like_number, number
from planner.io.unit_spellings import is_gauge, is_refused, spelled, value_in_si
from planner.model.measured import KINDS


def amount(table: OpenTable, text: str, unit: str, kind: str, mark: str, place: str, what: str) -> str:
    """'250 bar' from a cell and the unit of its column; the cell's own unit counts first."""
    head, own = parted(text)
    try:
        value = number(head, mark)
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        table.bad(f"{place} column {what}", text, message, remedy[:1].upper() + remedy[1:] + ".")
        return text
    if kind in KINDS and (own or unit):
        try:
            value_in_si(1.0, own or unit, KINDS[kind].quantity)
        except ValueError as error:
            message, _, remedy = str(error).partition("; ")
            if remedy and is_refused(own or unit):  # the others are told by the record
                table.bad(f"{place} column {what}", text, message, sentence(remedy))
    return with_unit(table, value, own or unit, kind)


def with_unit(table: OpenTable, value: float, unit: str, kind: str) -> str:
    """A number with a unit that the records read; gauge pressures are changed to absolute ones."""
    if unit.strip() == "%":
        return f"{value:.12g} %"
    if kind in KINDS and unit and (is_gauge(unit) or spelled(unit) == "percent"):
        quantity = KINDS[kind].quantity
        try:
            si = value_in_si(value, unit, quantity)
        except ValueError:
            return f"{value:.12g} {unit}"
        if is_gauge(unit):
            told = "gauge pressures; 1.01325 bar of the standard atmosphere were added"
            table.remark(
                f"column {kind}", unit, told, "Give absolute pressures if the place is high above the sea.", True
            )
        return f"{si:.12g} {QUANTITIES[quantity].si}".strip()
    return f"{value:.12g} {spelled_for(unit, kind)}".strip()


def parted(text: str) -> tuple[str, str]:
    """'1 250,5 bar' as ('1 250,5', 'bar')."""
    bare = text.strip()
    for cut in range(len(bare), 0, -1):
        if looks_like_number(bare[:cut]):
            return bare[:cut].strip(), bare[cut:].strip()
    return bare, ""


def bare_number(text: str) -> str:
    return parted(text)[0]


def spelled_for(unit: str, kind: str) -> str:
    """The unit as the records take it: fractions and plain numbers have none."""
    if kind in KINDS and KINDS[kind].quantity == "fraction" and unit.upper() in ("V/V", "FRAC", "FRACTION", "-"):
        return ""
    return "" if unit == "-" else spelled(unit)

"""Published methods that a case uses, for the report: source, form, range, and where the case leaves a range."""

from __future__ import annotations

import math

from planner.base.cards import CARDS, RANGE_UNITS, out_of_range
from planner.model.case import Case, Oil
from planner.model.methods import used
from planner.report.frames import Style, words

# Ranges are kept in SI; these are shown as a quantity of planner.base.units, the others as they are.
SHOWN_AS = {
    "temperature": "temperature",
    "pressure": "pressure",
    "solution_gas_ratio": "gas-oil ratio",
    "viscosity": "viscosity",
    "liquid_viscosity": "viscosity",
    "inclination": "angle",
    "perforation_phasing": "angle",
    "diameter": "diameter",
    "velocity": "velocity",
}
WATER_DENSITY = 999.0  # kg/m3, fresh water at standard conditions, for specific gravities


def methods(case: Case, style: Style) -> list[dict[str, str]]:
    """The published methods that a case uses, by name: name, source, equation, range and note as text."""
    rows = [
        {
            "name": card.name,
            "source": card.source,
            "equation": card.equation,
            "range": "; ".join(range_text(name, low, high, style) for name, (low, high) in card.ranges.items()),
            "note": card.note,
        }
        for card in (CARDS[key] for key in used(case))
    ]
    return sorted(rows, key=lambda row: (row["name"], row["source"]))


def range_warnings(case: Case, style: Style) -> list[str]:
    """Sentences for the inputs of a case that leave the range of a method that it uses, in the user's units."""
    given = _given(case)
    return [
        f"{CARDS[key].name} ({CARDS[key].source.split(',')[0]}): {words(name)} "
        f"{_number(value, name, style)} is outside its range, {range_text(name, *CARDS[key].ranges[name], style)}"
        for key in used(case)
        for name, values in given.items()
        if name in CARDS[key].ranges
        for value in values
        if out_of_range(key, **{name: value})
    ]


def _given(case: Case) -> dict[str, list[float]]:
    """Inputs of the case that ranges of methods speak of, SI, the extremes of each."""
    pressures = [one.pressure for one in case.compartments]
    pressures += [one.bottom_hole_pressure for one in case.controls if one.bottom_hole_pressure is not None]
    gas, oil = case.fluid.gas, case.fluid.oil
    found = {
        "temperature": [case.fluid.temperature],
        "pressure": sorted({min(pressures), max(pressures)}),
        "gas_gravity": [gas.gravity],
        "co2": [gas.carbon_dioxide],
        "h2s": [gas.hydrogen_sulphide],
        "n2": [gas.nitrogen],
        "salinity": [case.fluid.water.salinity],
    }
    if oil is not None:
        found |= {"oil_gravity": [_gravity(oil)], "solution_gas_ratio": [oil.solution_gas_ratio]}
    return found


def _gravity(oil: Oil) -> float:
    if oil.density is not None:
        return oil.density / WATER_DENSITY
    return 141.5 / (131.5 + (oil.api or 35.0))


def _number(value: float, name: str, style: Style) -> str:
    quantity = SHOWN_AS.get(name, "")
    unit = style.unit(quantity) if quantity else RANGE_UNITS[name]
    return f"{style.value(value, quantity):.4g} {unit}".rstrip()


def range_text(name: str, low: float, high: float, style: Style) -> str:
    """'temperature 100 to 258 degF'; a side without a bound is left out."""
    quantity = SHOWN_AS.get(name, "")
    unit = style.unit(quantity) if quantity else RANGE_UNITS[name]
    bounds = [f"{style.value(value, quantity):.4g}" if math.isfinite(value) else "" for value in (low, high)]
    if all(bounds):
        text = " to ".join(bounds)
    else:
        text = f"from {bounds[0]}" if bounds[0] else f"up to {bounds[1]}" if bounds[1] else "any"
    return f"{words(name)} {text} {unit}".rstrip()

"""Published methods for the report: what each gives, its source, its form and its range in the user's units."""

from __future__ import annotations

import math

from planner.base.cards import CARDS, RANGE_UNITS
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


def methods(style: Style) -> list[dict[str, str]]:
    """The published methods that the program holds, by name: name, source, equation, range and note as text."""
    rows = [
        {
            "name": card.name,
            "source": card.source,
            "equation": card.equation,
            "range": "; ".join(range_text(name, low, high, style) for name, (low, high) in card.ranges.items()),
            "note": card.note,
        }
        for card in CARDS.values()
    ]
    return sorted(rows, key=lambda row: (row["name"], row["source"]))


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

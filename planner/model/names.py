"""Names of the elements of a string, and lengths as people read them."""

from __future__ import annotations

from collections import Counter

from planner.base.units import QUANTITIES, from_si
from planner.model.case import Case


def element_names(case: Case) -> tuple[str, ...]:
    """Name of every element of case.string, in its order; without one: kind and number among its kind, top-down."""
    names = [""] * len(case.string)
    count: Counter[str] = Counter()
    for k in sorted(range(len(names)), key=lambda k: (case.string[k].top_md, k)):
        element = case.string[k]
        count[element.kind] += 1
        names[k] = element.name or f"{element.kind} {count[element.kind]}"
    return tuple(names)


def in_words(case: Case, length: float) -> str:
    """Length or depth [m] as text in the unit system of the case, to a tenth: '9,850 ft', '4.3 m'."""
    shown = f"{float(from_si(length, 'length', case.units)):,.1f}"
    return f"{shown.removesuffix('.0')} {QUANTITIES['length'].label(case.units)}"

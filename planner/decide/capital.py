"""What the string costs: its elements, and the time of the rig that runs them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from planner.model.case import Element
from planner.model.economics import Economics, ElementTerms

INSIDE = ("packer", "plug")  # sit in a blank pipe and have no length of their own that is run or expanded


@dataclass(frozen=True)
class StringCost:
    """Cost of a string in the currency of the case. rig_time: s; rig: its cost."""

    elements: float
    rig: float
    rig_time: float

    @property
    def total(self) -> float:
        """Elements and rig."""
        return self.elements + self.rig


def cost_of_string(economics: Economics, elements: Iterable[Element]) -> StringCost:
    """Cost and rig time of a string: each element at the terms of its kind, the rig at its rate.

    An element longer than its joints counts once a joint. Kinds without terms cost nothing; bare hole is no element.
    """
    cost, time = 0.0, economics.rig_time
    for element in elements:
        if element.kind == "open hole":
            continue
        terms = economics.terms_of(element.kind, element.screen)
        length = 0.0 if element.kind in INSIDE else element.base_md - element.top_md
        count = joints(length, terms)
        cost += terms.cost(length, count)
        time += terms.time(length, count)
    return StringCost(cost, economics.rig_rate * time, time)


def joints(length: float, terms: ElementTerms) -> int:
    """Joints in a length (m); one where the terms give no joint length."""
    return max(ceil(length / terms.joint_length - 1e-6), 1) if terms.joint_length else 1

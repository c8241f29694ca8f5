"""Method cards: for every published method its source, equation and range of validity, kept as data.

A range is the span of the data behind the method, in SI. Leaving it is allowed; the sentence that out_of_range gives
must then reach the result. RANGE_UNITS lists the quantities that a card may limit. Other rooms add their own cards
with add_card.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from planner.base.card import RANGE_UNITS, Card
from planner.base.cards_of_flow import FLOW_CARDS
from planner.base.cards_of_fluids import FLUID_CARDS
from planner.base.cards_of_lift import LIFT_CARDS
from planner.base.cards_of_statistics import STATISTICS_CARDS

__all__ = ["CARDS", "RANGE_UNITS", "Card", "add_card", "out_of_range"]

CARDS: dict[str, Card] = {**FLUID_CARDS, **FLOW_CARDS, **LIFT_CARDS, **STATISTICS_CARDS}


def add_card(key: str, card: Card) -> None:
    """Enter a card under a key; raises ValueError if the key is taken or a range names an unknown quantity."""
    unknown = sorted(set(card.ranges) - set(RANGE_UNITS))
    if key in CARDS:
        raise ValueError(f"method card {key} exists already")
    if unknown:
        raise ValueError(f"method card {key}: no unit is known for {', '.join(unknown)}")
    CARDS[key] = card


def out_of_range(card_name: str, **values: float | NDArray[np.float64]) -> list[str]:
    """Sentences for the values that leave the range of a method; empty if none does.

    values: by quantity, SI, numbers or arrays (an array is judged by its extremes; NaN is ignored). A quantity that
    the card does not limit is passed over. Raises KeyError for an unknown card or a quantity not in RANGE_UNITS.
    """
    card = CARDS[card_name]
    sentences: list[str] = []
    for quantity, given in values.items():
        unit = RANGE_UNITS[quantity]
        if quantity in card.ranges:
            low, high = card.ranges[quantity]
            sentences += _sentences(f"{card.name} {card_name}: {quantity.replace('_', ' ')}", given, low, high, unit)
    return sentences


def _sentences(head: str, given: float | NDArray[np.float64], low: float, high: float, unit: str) -> Iterable[str]:
    numbers = np.asarray(given, dtype=np.float64)
    numbers = numbers[~np.isnan(numbers)]
    if numbers.size == 0:
        return
    slack = 1e-9 * max(abs(low), abs(high))  # a limit typed in user units must not fail by rounding
    space = f" {unit}" if unit else ""
    for value, outside in ((numbers.min(), numbers.min() < low - slack), (numbers.max(), numbers.max() > high + slack)):
        if outside:
            yield f"{head} {value:.4g}{space} is outside {low:.3g}-{high:.3g}{space}"

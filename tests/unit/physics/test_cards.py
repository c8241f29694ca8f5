"""Method cards: ranges as data, sentences when they are left."""

import importlib
import pkgutil
import re

import numpy as np
import pytest

import planner.physics
from planner.base.card import RANGE_UNITS, Card
from planner.base.cards import CARDS, add_card, out_of_range


def test_sentence_names_method_value_unit_and_range() -> None:
    assert out_of_range("beggs_robinson_1975", temperature=420.0) == [
        "oil viscosity correlation beggs_robinson_1975: temperature 420 K is outside 294-419 K"
    ]


def test_inside_and_on_the_limit_are_silent() -> None:
    low, high = CARDS["beggs_robinson_1975"].ranges["temperature"]
    assert out_of_range("beggs_robinson_1975", temperature=np.array([low, 350.0, high])) == []


def test_array_is_judged_by_both_extremes() -> None:
    sentences = out_of_range("beggs_robinson_1975", temperature=np.array([280.0, 350.0, 450.0, np.nan]))
    assert len(sentences) == 2
    assert "280 K" in sentences[0] and "450 K" in sentences[1]


def test_quantity_without_limit_is_passed_over_and_a_mistyped_one_is_not() -> None:
    assert out_of_range("corey_1954", temperature=5000.0) == []
    with pytest.raises(KeyError):
        out_of_range("beggs_robinson_1975", temprature=300.0)


def test_every_card_is_complete() -> None:
    for key, card in CARDS.items():
        assert card.name and card.equation, key
        assert re.search(r"\b1[89]\d\d\b|\b20\d\d\b|exact", card.source), f"{key}: no year in the source"
        for quantity, (low, high) in card.ranges.items():
            assert quantity in RANGE_UNITS and low < high, (key, quantity)


def test_every_author_and_year_named_in_a_function_has_a_card() -> None:
    for module in pkgutil.iter_modules(planner.physics.__path__):
        names = vars(importlib.import_module(f"planner.physics.{module.name}"))
        for name in names:
            found = re.match(r"([a-z_]+_(?:19|20)\d\d)", name)
            if found and not name.startswith("_"):
                assert found.group(1) in CARDS, f"{module.name}.{name} has no card"


def test_card_cannot_be_entered_twice_or_with_an_unknown_quantity() -> None:
    with pytest.raises(ValueError, match="exists already"):
        add_card("corey_1954", CARDS["corey_1954"])
    with pytest.raises(ValueError, match="no unit is known"):
        add_card("something_2020", Card("x", "2020", "x", {"colour": (0.0, 1.0)}))

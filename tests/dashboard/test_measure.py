"""Numbers as people see them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dashboard import measure


def test_a_barrel_a_day_is_what_its_definition_says() -> None:
    # 42 US gallons of 231 cubic inches of 25.4 mm (NIST SP 811, exact) a day
    barrel = 42 * 231 * 0.0254**3
    assert measure.shown(1000 * barrel / 86_400, "liquid rate", "field") == pytest.approx(1000, rel=1e-12)
    assert measure.shown(1.0, "liquid rate", "metric") == pytest.approx(86_400, rel=1e-12)


def test_a_temperature_is_shifted_and_a_difference_is_not() -> None:
    assert measure.shown(273.15, "temperature", "metric") == pytest.approx(0.0, abs=1e-9)
    assert measure.change_shown(10.0, "temperature", "field") == pytest.approx(18.0, rel=1e-9)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (1234.6, "1,235"), (12.34, "12.3"), (0.01234, "0.0123"), (-5.0, "\u22125.00"), (math.nan, "\u2013")],
)
def test_numbers_keep_three_digits(value: float, text: str) -> None:
    assert measure.number(value) == text


def test_fractions_are_shown_in_percent_and_their_differences_in_points() -> None:
    assert measure.amount(0.634, "fraction", "metric") == "63.4 %"
    assert measure.change(0.02, "fraction", "metric") == "+2.00 points"
    assert measure.change(0.0, "fraction", "metric") == "same"


def test_a_unit_that_begins_with_a_number_is_multiplied() -> None:
    assert measure.amount(2.5e6, "liquid volume", "metric") == "2,500 \u00d7 1000 m3"


@pytest.mark.parametrize("quantity", ["pressure", "leak conductance", "liquid rate", "gas-oil ratio", "time", "area"])
@pytest.mark.parametrize("system", ["field", "metric"])
def test_text_reads_back_to_the_same_number(quantity: str, system: measure.System) -> None:
    value = 3.21e-4
    text = measure.as_text(value, quantity, system)
    assert measure.parse(text, quantity) == pytest.approx(value, rel=1e-11)


def test_arrays_are_shown_element_by_element() -> None:
    assert np.allclose(measure.shown(np.array([1e5, 2e5]), "pressure", "metric"), [1.0, 2.0])

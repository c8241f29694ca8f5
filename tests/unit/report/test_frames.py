"""Headers, keys, units and rounding of tables."""

from __future__ import annotations

import numpy as np
import pytest

from planner.report.frames import Column, Style, as_text, decimals_for, frame, shown


@pytest.mark.parametrize(
    ("name", "quantity", "words", "key"),
    [
        ("oil rate", "liquid rate", "oil rate (bbl/d)", "oil_rate_bbl_per_d"),
        ("pressure", "pressure", "pressure (psi)", "pressure_psi"),
        ("water cut", "fraction", "water cut (fraction)", "water_cut"),
        ("what-if", "", "what-if", "what_if"),
        ("npv", "money", "NPV (EUR)", "npv_money"),
    ],
)
def test_headers_carry_the_unit(name, quantity, words, key):
    assert Style("field", "words", "EUR").header(name, quantity) == words
    assert Style("field", "keys").header(name, quantity) == key


def test_values_come_in_the_shown_unit():
    """1 bbl is 42 US gallons of 231 cubic inches (NIST SP 811): 0.158987294928 m3; 14.5037737730 psi to the bar."""
    columns = (Column("oil rate", "liquid rate", [0.158987294928 / 86400.0]), Column("pressure", "pressure", [1e5]))
    field, metric = frame(columns, Style("field")), frame(columns, Style("metric"))
    assert field["oil rate (bbl/d)"][0] == pytest.approx(1.0, rel=1e-12)
    assert field["pressure (psi)"][0] == pytest.approx(14.5037737730, rel=1e-10)
    assert metric["oil rate (m3/d)"][0] == pytest.approx(0.158987294928, rel=1e-12)
    assert metric["pressure (bar)"][0] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("values", "quantity", "decimals"),
    [
        ([12345.6, 3.0], "pressure", 0),
        ([3210.55], "length", 1),
        ([123.4], "pressure", 1),
        ([0.0123], "velocity", 5),
        ([0.5], "fraction", 3),
        ([0.0], "pressure", 0),
        ([], "pressure", 0),
        ([float("nan"), 2.0], "pressure", 3),
    ],
)
def test_a_column_shows_about_four_digits_of_its_largest_number(values, quantity, decimals):
    assert decimals_for(values, quantity) == decimals


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (1234567.0, 0, "1,234,567"),
        (-0.0001, 2, "0.00"),
        (-1.5, 1, "-1.5"),
        (float("nan"), 2, "-"),
        (None, 0, "-"),
        ("zone 1", 2, "zone 1"),
        (np.float64("inf"), 1, "-"),
    ],
)
def test_numbers_as_text(value, decimals, text):
    assert shown(value, decimals) == text


def test_a_table_as_text_keeps_one_count_of_decimals_a_column():
    table = as_text(frame((Column("depth", "length", [1000.0, 12.5]), Column("zone", "", ["a", "b"])), Style("metric")))
    assert table["depth (m)"].tolist() == ["1,000.0", "12.5"]
    assert table["zone"].tolist() == ["a", "b"]

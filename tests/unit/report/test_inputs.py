"""Inputs as the report shows them: with units, what is not given named, what is the same told once."""

from __future__ import annotations

import pytest

from planner.report.inputs import events_table, input_tables, shown_field
from planner.report.tables import style_for
from tests.unit.synthetic import made_case

METRIC, FIELD = style_for("metric", "EUR"), style_for("field", "EUR")


def groups(style):
    return {heading: (note, table) for heading, note, table in input_tables(made_case(), style)}


def test_lists_have_a_row_each_and_tell_once_what_is_the_same():
    note, table = groups(METRIC)["Layers"]
    assert table["name"].tolist() == ["top sand", "deep sand"]
    assert table["top md"].tolist() == ["1000 m", "1030 m"]
    assert "permeability 500 md" in note and "permeability" not in table.columns


def test_units_follow_the_style():
    _, table = groups(FIELD)["Layers"]
    assert table["top md"].tolist() == ["3280.8 ft", "3379.3 ft"]
    assert "216 mm" in groups(METRIC)["Hole"][1].to_string()


def test_single_records_name_what_is_not_given():
    note, table = groups(METRIC)["Limits (not given: not checked)"]
    assert table.set_index("input")["value"].to_dict() == {"sand drawdown": "30 bar"}
    assert "fracture pressure" in note


def test_every_field_of_the_case_is_somewhere():
    """A field added to a record must not be forgotten by the report."""
    text = " ".join(note + table.to_string() for note, table in groups(METRIC).values())
    for record in (made_case().economics, made_case().numerics, made_case().limits, made_case().later_element):
        missing = [name for name in type(record).model_fields if name.replace("_", " ") not in text]
        assert missing == []


def test_events_say_when_and_with_what():
    table = events_table(made_case(), METRIC)
    assert table["when"].tolist() == ["2031-01-01"] * 3
    assert table["with"][2] == "element: seal 1; conductance: 1 m3/d/bar"


@pytest.mark.parametrize(
    ("value", "quantity", "text"),
    [
        (None, "length", "not given"),
        (True, None, "yes"),
        (6.894757293168361e6, "pressure", "1000 psi"),
        (0.25, "fraction", "0.25"),
        (400_000.0, "money", "400,000 EUR"),
        (4.0e-10, "compressibility", "2.758e-06 1/psi"),
    ],
)
def test_a_value_with_its_unit(value, quantity, text):
    assert shown_field(value, quantity, FIELD) == text

"""Ranges and files of measurements between the case and the forms, on the shipped cases: nothing is lost on the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard import data_files, numbers, ranges, records, session
from dashboard.engine import Engine
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.jobs import AtOnce
from dashboard.measure import System
from dashboard.shelf import Shelf
from dashboard.widgets import range_editor, range_list, section_form

CASES = Path(__file__).parents[2] / "cases"
WITH_RANGES = ("magpie", "plover")


@pytest.fixture
def shelf(tmp_path: Path) -> House:
    return House(Shelf(tmp_path), Engine(AtOnce()))


def visit_to(house: House, name: str, system: System = "field") -> Visit:
    return house.of(house.shelf.make(session.read_case(CASES / name)), "", {"units": system, "theme": "light"})


def typed_as_shown(visit: Visit, raw: dict, system: System) -> dict:
    """What a person has in the form who only looks at it."""
    paths = [raw["path"]] if raw.get("path") else list(raw["paths"])
    quantity = range_editor.quantity_of(visit, paths)
    return {**ranges.shown(raw, quantity, system), "name": raw["name"], "paths": paths, "kind": raw["kind"],
            "acts_as": raw.get("acts_as", "value")}  # fmt: skip


@pytest.mark.parametrize("system", ["field", "metric"])
@pytest.mark.parametrize("name", WITH_RANGES)
def test_a_range_that_was_only_looked_at_is_the_same(shelf: House, name: str, system: System) -> None:
    visit = visit_to(shelf, name, system)
    assert visit.case.uncertain
    for row in visit.case.uncertain:
        typed = typed_as_shown(visit, records.exact(row), system)
        assert session.case_from(range_editor.with_range(visit, row.name, typed)) == visit.case


@pytest.mark.parametrize("name", WITH_RANGES)
def test_every_range_is_about_a_number_with_words_and_unit(shelf: House, name: str) -> None:
    visit = visit_to(shelf, name)
    for path in [path for row in visit.case.uncertain for path in row.all_paths]:
        found = numbers.number_at(visit.case, visit.told, path)
        assert found.quantity and ":" in found.words


def test_numbers_to_choose_from_are_real_and_told_with_their_value(shelf: House) -> None:
    visit = visit_to(shelf, "magpie")
    found = {one.path: one for one in numbers.numbers_of(visit.case, visit.told)}
    layer = visit.case.layers[0]
    assert found[f"layers.{layer.name}.porosity"].value == layer.porosity
    assert found["fluid.temperature"].value == visit.case.fluid.temperature
    assert found["layers.*.skin"].words == "all layers: skin"
    assert not any(path.endswith(("top_md", "base_md")) for path in found)


def test_a_number_in_another_unit_a_shift_and_a_table_are_read() -> None:
    asked = {
        "name": "contact",
        "paths": ["compartments.lower.oil_water_contact"],
        "acts_as": "shift",
        "kind": "uniform",
    }
    made = ranges.read({**asked, "low": "-10", "high": "5 m"}, {}, "length", "field")
    assert (made["low"], made["high"], made["acts_as"]) == ("-10.0 ft", "5 m", "shift")
    table = {**asked, "acts_as": "value", "kind": "table", "table": "7000; 0\n7100\t60\n7200 100"}
    assert [row["below"] for row in ranges.read(table, {}, "length", "field")["table"]] == [0.0, 0.6, 1.0]


@pytest.mark.parametrize(
    ("change", "field"),
    [({"paths": []}, "paths"), ({"name": " "}, "name"), ({"low": ""}, "low"), ({"high": "tall"}, "high"),
     ({"high": "5 psi"}, "high"), ({"kind": "crooked"}, "kind")],
)  # fmt: skip
def test_what_is_wrong_in_the_form_is_told_at_its_field(change: dict, field: str) -> None:
    good = {"name": "a", "paths": ["x"], "kind": "uniform", "low": "1", "high": "2"}
    with pytest.raises(BadInput) as caught:
        ranges.read({**good, **change}, {}, "length", "field")
    assert caught.value.field == field


def test_a_range_goes_with_its_correlations(shelf: House) -> None:
    visit = visit_to(shelf, "magpie")
    name = visit.case.correlation[0].between[0]
    document, told = range_list.without(visit, "drop", name)
    made = session.case_from(document)
    assert name not in [row.name for row in made.uncertain] and not made.correlation and name in told


def test_a_production_table_comes_into_the_case_as_the_reader_takes_it(shelf: House) -> None:
    visit = visit_to(shelf, "plover", "metric")
    rows = data_files.rows_of(visit, CASES / "plover", "production.csv", {})
    assert set(rows) <= set(visit.case.measured.rows)
    bare = visit.case.model_copy(update={"measured": None})
    empty = shelf.of(shelf.shelf.make(bare), "", {"units": "metric", "theme": "light"})
    lacking = data_files.without_error(empty, rows)
    assert lacking == sorted({row.kind for row in rows})
    with pytest.raises(session.BadCase, match="no error is given"):
        data_files.with_measurements(empty, rows, {}, add=True)
    made = data_files.with_measurements(empty, rows, dict.fromkeys(lacking, "5 %"), add=True)
    assert made.measured is not None and made.measured.rows == rows


def test_a_form_keeps_what_it_does_not_show(shelf: House) -> None:
    visit = visit_to(shelf, "wagtail")
    assert visit.case.economics.elements
    made = session.case_from(section_form.new_form(visit, "economics", {"currency": "EUR"}))
    assert made.economics.elements == visit.case.economics.elements and made.economics.currency == "EUR"

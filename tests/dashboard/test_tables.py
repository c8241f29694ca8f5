"""Tables and forms of a case: nothing is lost by looking, a fault comes back to its cell, paste understands headers."""

from __future__ import annotations

import pytest

from dashboard import forms, session, tables
from dashboard.events import BadInput
from dashboard.house import Visit
from dashboard.pages import what_ifs
from dashboard.tables import TABLES
from dashboard.widgets import section_form


def opened(visit: Visit, key: str, system: str = "field") -> tuple:
    table = TABLES[key]
    fields = table.fields(forms.choices_of(visit.case, visit.told))
    return table, fields, tables.rows(visit.case, table, fields, system)


@pytest.mark.parametrize("system", ["field", "metric"])
@pytest.mark.parametrize("key", list(TABLES))
def test_a_table_that_was_only_looked_at_is_the_same_to_the_last_digit(visit: Visit, key: str, system: str) -> None:
    table, fields, rows = opened(visit, key, system)
    assert session.case_from(tables.document(visit.case, table, rows, fields, system)) == visit.case


@pytest.mark.parametrize("section", list(tables.FORMS))
def test_a_form_that_was_only_looked_at_changes_nothing(visit: Visit, section: str) -> None:
    raw = tables.records.exact(visit.case).get(section) or {}
    fields = section_form.fields_of(visit.case, section, visit)
    typed = {field.path: forms.shown_value(field, forms.at(raw, field.path), visit.system) for field in fields}
    if section == "tubing":
        wider = section_form.new_form(visit, section, {**typed, "inner_diameter": "3"})
        assert wider[section]["inner_diameter"] == "3.0 in"
        return
    assert session.case_from(section_form.new_form(visit, section, typed)) == visit.case


def test_the_readers_words_come_back_to_the_cell(visit: Visit) -> None:
    table, fields, rows = opened(visit, "layers")
    rows[1]["permeability"], rows[3]["rock"] = "-5", "chalk"
    with pytest.raises(session.BadCase) as bad:
        session.case_from(tables.document(visit.case, table, rows, fields, "field"))
    cells, rest = tables.cells_of(bad.value.problems, table, rows)
    assert set(cells) == {(1, "permeability")} and "above 0" in cells[1, "permeability"] and rest == []
    rows[1]["permeability"] = "5"
    with pytest.raises(session.BadCase) as bad:
        session.case_from(tables.document(visit.case, table, rows, fields, "field"))
    cells, _ = tables.cells_of(bad.value.problems, table, rows)
    assert "chalk" in str(bad.value) and set(cells) == {(3, "rock")}


def test_a_changed_cell_is_read_in_the_shown_unit_or_in_its_own(visit: Visit) -> None:
    table, fields, rows = opened(visit, "layers")
    rows[0]["drainage_radius"], rows[1]["drainage_radius"] = "1000", "500 m"
    case = session.case_from(tables.document(visit.case, table, rows, fields, "field"))
    assert [layer.drainage_radius for layer in case.layers[:2]] == pytest.approx([304.8, 500.0])
    before = tables.rows(visit.case, table, fields, "field")
    assert tables.changed(table, before, rows, fields, "field") == "Layers: 2 cells changed"


def test_pasted_cells_follow_their_headers_and_units(visit: Visit) -> None:
    table, fields, _ = opened(visit, "survey")
    rows = tables.pasted("inclination\tmd [m]\n0\t0\n12\t3000", fields, "field")
    case = session.case_from(tables.document(visit.case, table, rows, fields, "field"))
    assert [station.md for station in case.well.survey] == [0.0, 3000.0]
    assert case.well.survey[1].inclination == pytest.approx(0.20943951)
    plain = tables.pasted("0,0\n3280.84,12", fields, "field")
    assert [row["md"] for row in plain] == ["0", "3280.84"]


@pytest.mark.parametrize("text", ["", "md\tcolour\n1\t2", "1\t2\t3\t4\t5"])
def test_what_cannot_be_pasted_is_said_in_a_sentence(visit: Visit, text: str) -> None:
    _, fields, _ = opened(visit, "survey")
    with pytest.raises(BadInput, match=r"paste|column"):
        tables.pasted(text, fields, "field")


@pytest.mark.parametrize("kind", list(what_ifs.KINDS))
def test_every_kind_of_event_has_a_form(visit: Visit, kind: str) -> None:
    paths = [field.path for field in what_ifs.fields(kind, "on", visit)]
    assert ("by" if kind == "early water" else "on") in paths and "cost" in paths
    held = {name for name in what_ifs.KINDS[kind].model_fields if name not in ("do", "when")}
    assert {path.partition(".")[0] for path in paths} >= held - {"on"}

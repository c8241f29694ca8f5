"""What a user is told about a case that cannot be read: file, place, value, message, remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.base.errors import CaseError, Problem
from planner.io.measured_file import MeasuredFile
from planner.io.messages import _IN_FILES
from planner.io.read import read_case

Change = tuple[str, str, str]


def test_good_case_reads_from_folder_and_from_file(folder: Path) -> None:
    assert read_case(folder) == read_case(folder / "case.toml")
    assert read_case(str(folder)).layers[1].permeability == pytest.approx(150 * 9.869233e-16, rel=1e-6)


def test_no_case_file(tmp_path: Path) -> None:
    with pytest.raises(CaseError) as caught:
        read_case(tmp_path / "nowhere")
    (problem,) = caught.value.problems
    assert problem.file.endswith("case.toml")
    assert problem.message == "no case file here"
    assert "'new'" in problem.remedy


def test_toml_syntax_error_has_line_and_column(spoil) -> None:
    (problem,) = spoil(("case.toml", 'name = "My well 1"', "name = My well 1"))
    assert problem.file == "case.toml"
    assert problem.place == "line 15, column 8"
    assert problem.value.startswith("name = My well 1")
    assert "not valid TOML" in problem.message
    assert "quotes" in problem.remedy


def test_file_that_breaks_off(folder: Path) -> None:
    (folder / "case.toml").write_text('title = "x"\n[well')
    with pytest.raises(CaseError) as caught:
        read_case(folder)
    assert caught.value.problems[0].place == "line 2, column 6"


# change of the good case; place, value, part of the message, part of the remedy
ONE_PROBLEM: dict[str, tuple[Change, str, str, str, str, str]] = {
    "unknown key": (
        ("case.toml", 'liquid_rate = "150 sm3/d"', 'liqid_rate = "200 sm3/d"'),
        "case.toml", "controls[1].liqid_rate", "", "unknown key 'liqid_rate'", "Did you mean 'liquid_rate'?",
    ),
    "unknown section": (
        ("case.toml", "[economics]", "[economy]"), "case.toml", "economy", "", "unknown key", "'economics'",
    ),
    "unknown key of an event": (
        ("case.toml", 'zone = "lower"\nwhen', 'zones = "lower"\nwhen'),
        "case.toml", "what_ifs[1].events[1].zone", "", "'zone' is missing", "Add zone",
    ),
    "unit missing": (
        ("case.toml", 'pressure = "105 bar"', "pressure = 105"),
        "case.toml", "compartments[1].pressure", "105", "a unit is missing", "'psi' or 'bar'",
    ),
    "wrong unit": (
        ("case.toml", 'datum = "1000 m"', 'datum = "1000 bar"'),
        "case.toml", "compartments[1].datum", "1000 bar", "'bar' is not a unit of length", "'ft' or 'm'",
    ),
    "not a number": (
        ("case.toml", 'datum = "1000 m"', 'datum = "deep"'),
        "case.toml", "compartments[1].datum", "deep", "not a number with a unit", "Correct the value.",
    ),
    "out of bounds": (
        ("case.toml", "discount_rate = 0.10", "discount_rate = 10"),
        "case.toml", "economics.discount_rate", "10", "must be at most 1", "Correct the value.",
    ),
    "missing key": (
        ("case.toml", 'name = "sand A"', ""),
        "case.toml", "compartments[1].name", "", "'name' is missing", "Add name",
    ),
    "missing key with a unit": (
        ("case.toml", 'temperature = "50 degC"', ""),
        "case.toml", "fluid.temperature", "", "'temperature' is missing", "'degF' or 'degC'",
    ),
    "missing section": (
        ("case.toml", "[schedule]", "[limits.x]"), "case.toml", "schedule", "", "'schedule' is missing", "[schedule]",
    ),
    "wrong word": (
        ("case.toml", 'kind = "oil producer"', 'kind = "oil well"'),
        "case.toml", "well.kind", "oil well", "not one of the words", "gas producer, water injector, gas injector",
    ),
    "wrong event": (
        ("case.toml", 'do = "shut zone"', 'do = "shut the zone"'),
        "case.toml", "what_ifs[1].events[1]", "", "not one of the words", "Did you mean 'shut zone'?",
    ),
    "no event": (
        ("case.toml", 'do = "shut zone"\n', ""),
        "case.toml", "what_ifs[1].events[1]", "", "'do' is missing", "set straddle",
    ),
    "not a date": (
        ("case.toml", "end = 2040-01-01", 'end = "soon"'),
        "case.toml", "schedule.end", "soon", "not a date", "year-month-day",
    ),
    "not a whole number": (
        ("case.toml", "cells = 12", "cells = 2.5"),
        "case.toml", "numerics.cells", "2.5", "not a whole number", "without a unit",
    ),
    "whole number too small": (
        ("case.toml", "cells = 12", "cells = 0"), "case.toml", "numerics.cells", "0", "must be at least 1", "Correct",
    ),
    "text instead of a list": (
        ("case.toml", 'zones = ["upper", "lower"]', 'zones = "upper"'),
        "case.toml", "zones", "upper", "a list is needed", "[[name]]",
    ),
    "text instead of a table": (
        ("case.toml", 'zones = ["upper", "lower"]', 'schedule = "long"'),
        "case.toml", "schedule", "long", "a table of keys is needed", "[name]",
    ),
    "missing table file": (
        ("case.toml", 'file = "layers.csv"', 'file = "layer.csv"'),
        "case.toml", "layers.file", "layer.csv", "file not found", "Did you mean 'layers.csv'?",
    ),
    "neither file nor log": (
        ("case.toml", 'file = "string.csv"', 'fil = "string.csv"'),
        "case.toml", "string", "fil", "needs file", "string.csv",
    ),
    "hole twice": (
        ("case.toml", 'hole_diameter = "8.5 in"', 'hole_diameter = "8.5 in"\nhole = { file = "survey.csv" }'),
        "case.toml", "well.hole_diameter", "8.5 in", "the hole is given twice", "Keep hole or hole_diameter",
    ),
    "hole diameter without unit": (
        ("case.toml", 'hole_diameter = "8.5 in"', "hole_diameter = 8.5"),
        "case.toml", "well.hole_diameter", "8.5", "a unit is missing", "'in' or 'mm'",
    ),
    "unknown column": (
        ("layers.csv", "porosity", "porositty"),
        "layers.csv", "row 1 column porositty", "porositty", "unknown column", "Did you mean 'porosity'?",
    ),
    "missing unit in a header": (
        ("layers.csv", "top md [m]", "Top MD"),
        "layers.csv", "row 1 column Top MD", "Top MD", "a unit is missing", "'top md [m]'",
    ),
    "wrong unit in a header": (
        ("layers.csv", "permeability [md]", "permeability [bar]"),
        "layers.csv", "row 1 column permeability", "bar", "'bar' is not a unit of permeability", "'md'",
    ),
    "unit where none belongs": (
        ("layers.csv", "skin", "skin [m]"), "layers.csv", "row 1 column skin", "m", "no unit",
        "Write the header as skin",
    ),
    "column twice": (
        ("layers.csv", "support", "skin"), "layers.csv", "row 1 column skin", "skin", "there twice", "Keep one",
    ),
    "cell that is no number": (
        ("layers.csv", "A2,1022,", "A2,abc,"),
        "layers.csv", "row 3 column top md", "abc m", "not a number with a unit", "Correct the value.",
    ),
    "empty cell": (
        ("layers.csv", "A2,1022,", "A2,,"), "layers.csv", "row 3 column top md", "", "'top_md' is missing",
        "Add top_md",
    ),
    "cell out of bounds": (
        ("layers.csv", "400,0.20,", "150,20,"),
        "layers.csv", "row 3 column porosity", "20", "must be at most 1", "Correct the value.",
    ),
    "wrong word in a cell": (
        ("string.csv", "isolation joint", "isolaton joint"),
        "string.csv", "row 5 column kind", "isolaton joint", "not one of the words", "Did you mean 'isolation joint'?",
    ),
    "more cells than headers": (
        ("string.csv", "982,985,120", "982,985,120,7"), "string.csv", "row 2", "hanger,hanger,982,985,120,7",
        "more cells than the header", "Check the commas",
    ),
    "table without rows": (
        ("survey.csv", "0,0,0\n400,0,0\n700,10,90\n1080,10,90\n", ""), "survey.csv", "", "", "no rows",
        "at least one line",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ONE_PROBLEM)
def test_each_problem_is_told(spoil, name: str) -> None:
    change, file, place, value, message, remedy = ONE_PROBLEM[name]
    also = (
        [("case.toml", "[schedule]\nstart = 2030-01-01\nend = 2040-01-01\nreport", "#")]
        if name == "text instead of a table"
        else []
    )
    found = spoil(change, *also)
    matching = [one for one in found if one.file == file and one.place == place and message in one.message]
    assert matching, "\n".join(map(str, found))
    assert matching[0].value == value
    assert remedy in matching[0].remedy


def test_missing_column_names_the_header_to_write(folder: Path) -> None:
    lines = (folder / "layers.csv").read_text().splitlines()
    kept = [",".join(cell for i, cell in enumerate(line.split(",")) if i != 1) for line in lines]
    (folder / "layers.csv").write_text("\n".join(kept))
    with pytest.raises(CaseError) as caught:
        read_case(folder)
    (problem,) = caught.value.problems
    assert (problem.file, problem.place) == ("layers.csv", "row 1")
    assert problem.message == "column 'top md' is missing"
    assert "'top md [m]'" in problem.remedy


def test_several_problems_in_one_go(spoil) -> None:
    found = spoil(
        ("case.toml", 'datum = "1000 m"', 'datum = "1000 bar"'),
        ("case.toml", 'liquid_rate = "150 sm3/d"', 'liqid_rate = "200 sm3/d"'),
        ("case.toml", "end = 2040-01-01", "end = 2020-01-01"),  # found by the checks across records
        ("layers.csv", "A2,1022,1034", "A2,1005,1034"),  # overlap, also across records
        ("string.csv", "screen 1,996,1010", "screen 1,996,1008"),  # gap
        ("survey.csv", "azimuth [deg]", "azimut [deg]"),
    )
    assert {(one.file, one.place) for one in found} == {
        ("case.toml", "compartments[1].datum"),
        ("case.toml", "controls[1].liqid_rate"),
        ("case.toml", "schedule.end"),
        ("layers.csv", "row 3 column top md"),
        ("string.csv", "row 5 column top md"),
        ("survey.csv", "row 1 column azimut [deg]"),
    }
    assert all(one.message and one.remedy for one in found)


def test_error_text_carries_everything(spoil) -> None:
    (problem,) = spoil(("case.toml", 'datum = "1000 m"', 'datum = "1000 bar"'))
    text = str(CaseError([problem]))
    for part in ("case.toml", "compartments[1].datum", "1000 bar", "not a unit of length", "'ft'"):
        assert part in text


@pytest.mark.parametrize("raw", [b"\x00\x01\x02", b"well = 3", b"layers = 5\nwell = 'x'", b"what_ifs = [1, 2]", b""])
def test_nonsense_is_refused_in_words(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / "case.toml").write_bytes(raw)
    with pytest.raises(CaseError) as caught:
        read_case(tmp_path)
    assert all(isinstance(one, Problem) and one.message and one.remedy for one in caught.value.problems)


def test_tables_take_other_marks_headers_and_units(folder: Path) -> None:
    good = read_case(folder)
    table = (folder / "survey.csv").read_text()
    table = table.replace("md [m]", "MD (m)").replace(",", ";").replace("\n", "\r\n")
    (folder / "survey.csv").write_bytes(b"\xef\xbb\xbf# survey of the drilling contractor\r\n" + table.encode())
    string = (folder / "string.csv").read_text().replace("top md [m]", "Top_MD [m]").replace(",", "\t")
    (folder / "string.csv").write_text(string, encoding="utf-16")
    assert read_case(folder) == good


def test_cells_may_carry_their_own_unit(folder: Path) -> None:
    good = read_case(folder)
    text = (folder / "survey.csv").read_text().replace("md [m]", "md").replace("\n0,", "\n0 m,")
    text = text.replace("\n400,", "\n400 m,").replace("\n700,", "\n70000 cm,").replace("\n1080,", "\n1.08 km,")
    (folder / "survey.csv").write_text(text)
    assert read_case(folder) == good


def test_keys_that_readers_of_files_take_are_suggested(folder: Path) -> None:
    text = (folder / "case.toml").read_text().replace("[well]\n", '[well]\nhole_diametr = "8.5 in"\n')
    (folder / "case.toml").write_text(text + '\n[measured]\nfile = "no.csv"\nratess = "calendar day"\n')
    with pytest.raises(CaseError) as caught:
        read_case(folder)
    remedies = {one.value or one.message: one.remedy for one in caught.value.problems}
    assert "Did you mean 'hole_diameter'?" in " ".join(remedies.values())
    assert "Did you mean 'rates'?" in " ".join(remedies.values())


def test_the_keys_told_are_those_that_are_taken() -> None:
    assert _IN_FILES["Measured"] == ("file", "files", *(k for k in MeasuredFile.model_fields if k != "file"))

"""The [measured] section of a case: read, checked, written back, and shown by the command line."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from planner.base.errors import CaseError, Problem
from planner.cli import main
from planner.io.read import read_case, read_case_and_files
from planner.io.write import write_case
from planner.model.measured import measurements

TABLE = """\
date,kind,zone,value,unit
2030-02-01,oil rate,,100,m3/d
2030-03-01,bottom-hole pressure,,180,bar
"""
SECTION = """
[measured]
file = "measured.csv"
control = "liquid rate"
errors = { "oil rate" = "5 %", "bottom-hole pressure" = "2 bar" }
"""


@pytest.fixture
def measured(folder: Path) -> Path:
    case = folder / "case.toml"
    start = read_case(folder).schedule.start.year
    case.write_text(case.read_text() + SECTION)
    (folder / "measured.csv").write_text(TABLE.replace("2030", str(start)))
    return folder


def refused(folder: Path) -> list[Problem]:
    with pytest.raises(CaseError) as caught:
        read_case(folder)
    return caught.value.problems


def change(folder: Path, old: str, new: str, file: str = "measured.csv") -> None:
    text = (folder / file).read_text()
    assert old in text
    (folder / file).write_text(text.replace(old, new))


def test_measurements_in_si(measured: Path) -> None:
    case = read_case(measured)
    assert case.measured is not None and case.measured.control == "liquid rate"
    rate, pressure = measurements(case.measured)
    assert (rate.value * 86_400, rate.error * 86_400) == pytest.approx((100.0, 5.0))
    assert (pressure.value, pressure.error) == pytest.approx((1.8e7, 2e5))
    assert rate.date == date(case.schedule.start.year, 2, 1)


def test_written_back_the_same(measured: Path, tmp_path: Path) -> None:
    case = read_case(measured)
    write_case(case, tmp_path / "again")
    assert read_case(tmp_path / "again") == case


def test_all_problems_of_the_table_in_one_go(measured: Path) -> None:
    change(measured, ",100,", ",-100,")
    change(measured, "bottom-hole pressure,,180,bar", "bottom hole presure,Upper,180,bar")
    found = refused(measured)
    assert [(one.file, one.place.split(" column")[0]) for one in found] == [
        ("measured.csv", "row 2"),
        ("measured.csv", "row 3"),
    ]
    assert "cannot be negative" in found[0].message
    assert "Did you mean 'bottom-hole pressure'?" in found[1].remedy


@pytest.mark.parametrize(
    ("old", "new", "file", "place", "message"),
    [
        ('"oil rate" = "5 %", ', "", "case.toml", "measured", "no error is given for oil rate"),
        ('"5 %"', '"5 bar"', "case.toml", "measured", "not a unit of liquid rate"),
        ('"5 %"', '"0 %"', "case.toml", "measured", "must be above 0"),
        ('"liquid rate"', '"liquid rat"', "case.toml", "measured.control", "not one of the words"),
        ('file = "measured.csv"', 'file = "mesured.csv"', "case.toml", "measured.file", "file not found"),
        (
            'file = "measured.csv"',
            'file = "measured.csv"\ndecimal = "dot"',
            "case.toml",
            "measured.decimal",
            "not one of",
        ),
        ("m3/d", "bar", "measured.csv", "row 2", "not a unit of liquid rate"),
        ("m3/d", "", "measured.csv", "row 2", "a unit is missing"),
        ("-02-01", "-02-30", "measured.csv", "row 2 column date", "no such day"),
        ("oil rate,,100", "oil rate,Uper,100", "measured.csv", "row 2", "no zone or layer is called 'Uper'"),
        ("oil rate", "formation pressure", "measured.csv", "row 2", "not a unit of pressure"),
    ],
)
def test_bad_sections(measured: Path, old: str, new: str, file: str, place: str, message: str) -> None:
    change(measured, old, new, file)
    found = refused(measured)
    hit = [one for one in found if message in one.message]
    assert hit, [str(one) for one in found]
    assert hit[0].place.startswith(place) and hit[0].remedy


def test_outside_the_schedule(measured: Path) -> None:
    year = read_case(measured).schedule.start.year
    change(measured, f"{year}-02-01", f"{year - 1}-02-01")
    (problem,) = refused(measured)
    assert "outside the schedule" in problem.message and problem.place.startswith("row 2")


def test_check_shows_what_was_odd(measured: Path, capsys: pytest.CaptureFixture[str]) -> None:
    year = read_case(measured).schedule.start.year
    change(measured, f"{year}-03-01,bottom-hole pressure,,180,bar", f"{year}-03-01,bottom-hole pressure,,170,barg")
    files = read_case_and_files(measured)[1]
    assert [one.name for one in files] == ["measured.csv"]
    assert main(["check", str(measured), "--json"]) == 0
    warnings = json.loads(capsys.readouterr().out)["warnings"]
    assert any("gauge pressures" in one for one in warnings)


def test_inspect_verb(measured: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["inspect", str(measured / "measured.csv"), "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["files"]
    assert found["form"].startswith("table, one measurement a line") and found["samples"] == 2
    assert main(["inspect", str(measured / "measured.csv")]) == 0
    assert "one measurement a line" in capsys.readouterr().out
    (measured / "bad.csv").write_text("date,oil [m3]\n01/02/2031,7\n01/03/2031,8\n")
    assert main(["inspect", str(measured / "bad.csv")]) == 2
    assert "day or month first" in capsys.readouterr().err
    assert main(["inspect", str(measured / "bad.csv"), "--date-format", "day first", "--dates", "start of period"]) == 0


def test_several_files(measured: Path) -> None:
    year = read_case(measured).schedule.start.year
    one = read_case(measured)
    lines = (measured / "measured.csv").read_text().splitlines()
    (measured / "a.csv").write_text(f"date;oil rate [m3/d]\n01/02/{year};100,0\n")
    (measured / "b.csv").write_text("\n".join([lines[0], lines[2]]) + "\n")
    files = 'files = [ { file = "a.csv", date_format = "day first" }, { file = "b.csv" } ]'
    change(measured, 'file = "measured.csv"', files, "case.toml")
    assert one.measured is not None
    two = read_case(measured)
    assert two.measured is not None and measurements(two.measured) == measurements(one.measured)
    (measured / "a.csv").write_text(f"date;oil rate [m3/d]\n01/02/{year};-100,0\n")
    change(measured, ",180,", ",-180,", "b.csv")
    found = refused(measured)
    assert [(one.file, one.place.split(" column")[0]) for one in found] == [("a.csv", "row 2"), ("b.csv", "row 2")]
    change(measured, '{ file = "b.csv" }', '{ file = "c.csv" }, 3, { file = "b.csv", decimal = "dot" }', "case.toml")
    places = [one.place for one in refused(measured) if one.file == "case.toml"]
    assert places == ["measured.files[2].file", "measured.files[3]", "measured.files[4].decimal"]

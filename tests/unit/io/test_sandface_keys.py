"""Keys of the sandface in a case folder: written and read back, and said where they are wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.base.errors import CaseError
from planner.io.read import read_case
from planner.io.schema import schema
from planner.io.write import write_case

SECTIONS = """
[perforations.gun]
shot_density = "12 1/ft"
phasing = "60 deg"
length = "12 in"
entrance_diameter = "0.4 in"
crushed_thickness = "0.5 in"
crushed_permeability = 0.2

[completions.conforming]
inner_diameter = "121 mm"
linear_loss = "20 bar/(m/s)"
plugging = "2 bar/(m/s)/m"

[completions.gravel_pack]
inner_diameter = "100 mm"
outer_diameter = "135 mm"
isolation_joints = "kept"
gravel_permeability = "100 darcy"
gravel_turbulence = "3e3 1/ft"

[completions.perforated_casing]
inner_diameter = "157 mm"
outer_diameter = "178 mm"
perforations = "gun"
intervals = [ { top_md = "1000 m", base_md = "1010 m" }, { top_md = "1022 m", base_md = "1030 m" } ]

"""
WHAT_IF = '\n[[what_ifs]]\nname = "shot"\ncompletion = "perforated casing"\n'


def folder_with(folder: Path, sections: str = SECTIONS, what_if: str = WHAT_IF) -> Path:
    """The starting case with these sections."""
    text = (folder / "case.toml").read_text(encoding="utf-8")
    text = text.replace("[later_element]", sections + "[later_element]", 1) + what_if
    (folder / "case.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize("units", ["field", "metric"])
def test_round_trip(folder: Path, tmp_path: Path, units: str) -> None:
    string = folder / "string.csv"
    string.write_text(
        "kind,name,top md [m],base md [m],inner diameter [mm],outer diameter [mm],plugging [bar/(m/s)/m],cemented,"
        "perforations,nozzle area [mm^2],open top\n"
        "hanger,hanger,982,985,120,,,,,,\n"
        "blank pipe,blank 1,985,996,120,140,,true,,,\n"
        "perforated casing,shots,996,1010,120,140,,,gun,,\n"
        "blank pipe,blank 2,1010,1020,120,140,,true,,,\n"
        "screen,screen 2,1020,1038,120,140,3,,,200,\n"
        "inner pipe,stinger,985,1015,62,73,,,,,true\n",
        encoding="utf-8",
    )
    plug_free = (folder_with(folder) / "case.toml").read_text(encoding="utf-8")
    assert "[perforations.gun]" in plug_free
    case = read_case(folder).model_copy(update={"units": units})
    assert case.string[1].cemented and case.string[4].plugging == pytest.approx(3e5)
    assert case.perforations["gun"].shot_density == pytest.approx(12 / 0.3048)
    write_case(case, tmp_path / "copy")
    assert read_case(tmp_path / "copy") == case


def test_a_phasing_without_numbers(folder: Path) -> None:
    with pytest.raises(CaseError) as caught:
        read_case(folder_with(folder, SECTIONS.replace("60 deg", "70 deg")))
    (problem,) = caught.value.problems
    assert problem.place.startswith("perforations.gun.phasing") and "45" in problem.message


def test_a_completion_that_is_not_given(folder: Path) -> None:
    with pytest.raises(CaseError) as caught:
        read_case(folder_with(folder, what_if=WHAT_IF.replace("perforated casing", "stand-alone")))
    (problem,) = caught.value.problems
    assert problem.place == "what_ifs[2].completion" and "[completions.stand_alone]" in problem.remedy


def test_perforations_that_nothing_is_called(folder: Path) -> None:
    with pytest.raises(CaseError) as caught:
        read_case(folder_with(folder, SECTIONS.replace('perforations = "gun"', 'perforations = "gum"')))
    (problem,) = caught.value.problems
    assert problem.place == "completions.perforated_casing.perforations" and "'gun'" in problem.remedy


def test_schema_tells_their_units() -> None:
    known = schema()["$defs"]
    assert known["Perforations"]["properties"]["shot_density"]["x-units"]["field"] == "1/ft"
    assert known["WhatIf"]["properties"]["completion"]["anyOf"][0]["enum"][0] == "conforming"

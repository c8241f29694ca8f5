"""What hole and sand are judged against, as users write it: files, logs, messages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner.base.errors import CaseError
from planner.io.read import read_case
from planner.io.starting_plan import STARTING_PLAN
from planner.io.write import write_case
from planner.model.split import Split
from planner.model.suitability import Suitability

SIEVES = "sample,md [m],size [um],coarser\ns1,1004,250,0.1\ns1,1004,125,0.6\ns1,1004,44,0.98\n"
STRENGTHS = "md [m],strength [MPa]\n1004,12\n"
LOG = """~Version
 VERS. 2.0 :
 WRAP. NO :
~Well
 NULL. -999.25 :
~Curve
 DEPT.M : depth
 DT.US/F : sonic
~ASCII
 1000 100
 1000.1 -999.25
 1000.2 104
 1001 110
"""


def opened(text: str) -> str:
    """The commented part with every key in use."""
    return re.sub(r"^# (?=\[|[a-z_]+ =)", "", text, flags=re.M)


def used(folder: Path, more: str = "") -> Path:
    (folder / "sieves.csv").write_text(SIEVES)
    (folder / "strengths.csv").write_text(STRENGTHS)
    (folder / "values.csv").write_text("sand,to,value\nupper,,1e6\n")
    (folder / "pay.csv").write_text("sand,upper [1/m],middle [1/m],lower [1/m]\nupper,1,20000,-3\n")
    case = folder / "case.toml"
    case.write_text(case.read_text().replace(STARTING_PLAN, opened(STARTING_PLAN) + more))
    return case


def test_every_commented_key_can_be_used_and_is_there(folder: Path, tmp_path: Path) -> None:
    used(folder)
    case = read_case(folder)
    assert case.suitability is not None and case.suitability.sieves[1].size == pytest.approx(125e-6)
    assert case.split is not None and case.split.pay[0].middle == 20000.0 and len(case.split.rules) == 2
    for key in (*Suitability.model_fields, *Split.model_fields):
        assert key in STARTING_PLAN, key
    write_case(case, tmp_path / "copy")
    assert read_case(tmp_path / "copy") == case


def test_slowness_comes_from_a_log(folder: Path) -> None:
    case = used(folder)
    (folder / "well.las").write_text(LOG)
    text = case.read_text().replace('strengths = { file = "strengths.csv" }', 'strengths = { log = "well.las" }')
    case.write_text(text.replace('strength_relation = ""', 'strength_relation = "mcnally 1987"'))
    read = read_case(folder)
    assert read.suitability is not None
    assert [row.slowness for row in read.suitability.strengths] == pytest.approx(
        [102e-6 / 0.3048, 110e-6 / 0.3048], rel=2e-6
    )


@pytest.mark.parametrize(
    "old, new, place, words",
    [
        ('greatest_hole = "9.3 in"', 'greatest_hole = "8 in"', "seal.greatest_hole", "not above its least"),
        ("poisson = 0.25", "poisson = 0.6", "stress.poisson", "below 0.5"),
        ('greatest_horizontal = "0.19 bar/m"', 'greatest_horizontal = "0.1 bar/m"', "greatest_horizontal", "below"),
        ("remaining = 0.5", "remaining = 1.5", "fluid_test.remaining", "below 1"),
        ("{ water_cut_above = 0.8 }", "{ }", "split.rules[1]", "one condition"),
        ('what_if = ""', 'what_if = "nothing"', "split.futures[1].what_if", "is called"),
        ('barrier = "upper / lower"', 'barrier = ""', "split.pins[1]", "does not say where"),
        ("biot = 1.0", "biot = 1.0\nfluff = 2", "stress.fluff", "unknown key"),
        ('opening = "230 um"', 'opening = "230 psi"', "conforming.opening", "not a unit of grain size"),
    ],
)
def test_mistakes_are_told_with_their_place(folder: Path, old: str, new: str, place: str, words: str) -> None:
    case = used(folder)
    assert old in case.read_text()
    case.write_text(case.read_text().replace(old, new))
    with pytest.raises(CaseError) as told:
        read_case(folder)
    assert any(place in one.place and words in one.message for one in told.value.problems), told.value


def test_a_sieve_table_that_falls_is_refused_with_its_row(folder: Path) -> None:
    used(folder)
    (folder / "sieves.csv").write_text(SIEVES.replace("0.98", "0.5"))
    with pytest.raises(CaseError) as told:
        read_case(folder)
    assert [(one.file, one.place) for one in told.value.problems] == [("sieves.csv", "row 4 column coarser")]


def test_slowness_without_a_relation_is_refused(folder: Path) -> None:
    used(folder)
    (folder / "strengths.csv").write_text("md [m],slowness [us/ft]\n1004,100\n1005,101\n")
    with pytest.raises(CaseError, match="strength follows from slowness"):
        read_case(folder)

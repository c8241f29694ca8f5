"""Ranges in the case file: read, refused with place and remedy, written back, and in the schema."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.base.errors import CaseError
from planner.io.draws import read_draws
from planner.io.read import read_case
from planner.io.write import schema, write_case
from planner.model.case import Case

GOOD = """
[[uncertain]]
name = "k"
paths = ["layers.A1.permeability", "layers.A2.permeability"]
kind = "lognormal"
p90 = "250 md"
p50 = "400 md"
p10 = "700 md"
at_least = "50 md"

[[uncertain]]
name = "contact"
path = "compartments.sand A.oil_water_contact"
acts_as = "shift"
kind = "triangular"
low = "-5 m"
likely = "0 m"
high = "8 m"

[[uncertain]]
name = "kh"
path = "layers.*.permeability"
acts_as = "multiplier"
kind = "table"
table = [{ value = 0.8, below = 0.0 }, { value = 1, below = 0.5 }, { value = 1.3, below = 1.0 }]

[[uncertain]]
name = "skin"
path = "what_ifs.shut lower when wet.events.0.cost"
kind = "discrete"
values = [1e6, 2e6]
weights = [3, 1]

[[correlation]]
between = ["k", "kh"]
rank = 0.5

[[alternatives]]
name = "aquifer"
choices = [
  { name = "there", probability = 0.7 },
  { name = "not", probability = 0.3, set = { "layers.A1.support" = "", "layers.A1.skin" = "+2" } },
]

[[failures]]
name = "seal"
do = "leak seal"
element = "seal 1"
conductance = "1 m^3/day/bar"
scale = "20 year"
shape = 2

[[failures]]
name = "job"
do = "job fails"
job = "shut zone"
zone = "lower"
success = 0.8
"""


def with_text(folder: Path, text: str) -> Case:
    (folder / "case.toml").write_text((folder / "case.toml").read_text() + text)
    return read_case(folder)


@pytest.mark.parametrize("units", ["field", "metric"])
def test_ranges_are_read_and_written_back_the_same(folder: Path, tmp_path: Path, units: str) -> None:
    case = with_text(folder, GOOD).model_copy(update={"units": units})
    assert (len(case.uncertain), len(case.correlation), len(case.alternatives), len(case.failures)) == (4, 1, 1, 2)
    write_case(case, tmp_path / "copy")
    assert read_case(tmp_path / "copy") == case


@pytest.mark.parametrize(
    ("before", "after", "place", "words"),
    [
        ('paths = ["layers.A1.p', 'paths = ["layers.A9.p', "uncertain[1].path", "layers has no 'A9'"),
        ('p50 = "400 md"', 'p50 = "400 bar"', "uncertain[1]", "'bar' is not a unit of permeability"),
        ('p50 = "400 md"', 'p50 = "800 md"', "uncertain[1]", "p90 is the low case, p10 the high one"),
        ('p50 = "400 md"\np10 = "700 md"', "", "uncertain[1]", "needs two or three of p90, p50, p10, or mean and sd"),
        ('high = "8 m"', 'high = "-8 m"', "uncertain[2]", "low, likely and high are not in this order"),
        ('path = "compartments.sand A.oil_water_contact"', 'path = "compartments.sand A.name"', "uncertain[2].path",
         "the input is not a number"),
        ('path = "compartments.sand A.oil_water_contact"', 'path = "failures.seal.shape"', "uncertain[2].path",
         "this part of the case cannot be a range"),
        ("below = 1.0", "below = 0.9", "uncertain[3]", "must begin with below = 0 and end with below = 1"),
        ("weights = [3, 1]", "weights = [3]", "uncertain[4]", "needs two or more values"),
        ('name = "kh"', 'name = "k"', "uncertain[3].name", "two ranges are called 'k'"),
        ('between = ["k", "kh"]', 'between = ["k", "hk"]', "correlation[1].between", "failure is called 'hk'"),
        ("value = 0.8, below", "value = 0, below", "uncertain[3].path", "permeability does not take"),
        ('path = "what_ifs.shut lower when wet.events.0.cost"', 'path = "layers.A2.permeability"', "uncertain[4].path",
         "'kh' acts on the same input, and 'skin' would undo it"),
        ('high = "8 m"', 'high = "inf m"', "uncertain[2]", "not a finite number"),
        ("rank = 0.5", "", "correlation[1]", "needs either rank or normal"),
        ("rank = 0.5", "rank = 1.5", "correlation[1].rank", "must be at most 1"),
        ("probability = 0.3", "probability = 0.4", "alternatives[1].choices", "come to 1.1, not to 1"),
        ('"layers.A1.skin" = "+2"', '"layers.A1.skni" = "+2"', "alternatives[1].choices[2].set", "has no 'skni'"),
        ('element = "seal 1"', 'element = "seal 9"', "failures[1].element", "packer or plug is called 'seal 9'"),
        ('conductance = "1 m^3/day/bar"', "", "failures[1]", "lacks conductance"),
        ('scale = "20 year"', "", "failures[1]", "needs either rate"),
        ('job = "shut zone"', 'job = "shut zne"', "failures[2].job", "no job is called 'shut zne'"),
        ("success = 0.8", "success = 0.8\nrate = 0.1", "failures[2]", "a job fails when it is done"),
        ("p10 = \"700 md\"", "p10 = [1]", "uncertain[1].p10", "a number, or text with a unit, is needed here"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told_with_its_place(
    folder: Path, before: str, after: str, place: str, words: str
) -> None:
    assert before in GOOD
    with pytest.raises(CaseError) as caught:
        with_text(folder, GOOD.replace(before, after, 1))
    found = {problem.place: problem.message for problem in caught.value.problems}
    assert place in found, found
    assert words in found[place]


def test_correlations_that_contradict_one_another_are_refused(folder: Path) -> None:
    pairs = "".join(
        f'[[correlation]]\nbetween = ["{a}", "{b}"]\nrank = {r}\n'
        for a, b, r in (("k", "contact", 0.9), ("contact", "kh", 0.9), ("skin", "k", 0.1))
    )
    text = GOOD.replace("rank = 0.5", "rank = -0.9")
    with pytest.raises(CaseError, match="the correlations contradict one another"):
        with_text(folder, text.replace("[[alternatives]]", pairs + "\n[[alternatives]]", 1))


def test_the_schema_knows_ranges() -> None:
    made = schema()
    assert made["$defs"]["Uncertain"]["properties"]["kind"]["enum"][0] == "normal"
    ways = made["$defs"]["Uncertain"]["properties"]["p90"]["anyOf"]
    assert {"number", "string"} <= set(ways[0]["type"])


def test_a_table_of_draws_is_read_or_refused(tmp_path: Path) -> None:
    file = tmp_path / "draws.csv"
    file.write_text("member, k [md], layers.A1.skin\n0, 250, 1.5\n1, 300, -1\n")
    table = read_draws(file)
    assert list(table.columns) == ["k [md]", "layers.A1.skin"] and table["k [md]"].tolist() == [250, 300]
    table.to_parquet(tmp_path / "draws.parquet")
    assert read_draws(tmp_path / "draws.parquet").equals(table)
    with pytest.raises(CaseError, match="file not found"):
        read_draws(tmp_path / "none.csv")
    (tmp_path / "bad.parquet").write_text("not parquet")
    with pytest.raises(CaseError, match="not a readable table"):
        read_draws(tmp_path / "bad.parquet")

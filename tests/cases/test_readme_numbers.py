"""The tables in the READMEs of the cases say what the engine says; the starting case's what-if makes a difference."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner import api
from planner.base.units import from_si
from planner.model.results import Comparison

CASES = Path(__file__).parents[2] / "cases"
ROW = re.compile(r"^\| (?P<name>[^|]+?) \| (?P<volume>-?[\d.]+) \| (?P<npv>-?[\d.]+) \|$", re.MULTILINE)
CLOSE = 0.1  # of the number, or a hundredth of the largest one: the README is for reading, not a regression test


def told(name: str) -> dict[str, tuple[float, float]]:
    """Rows of the table: what-if -> (volume, million) against the base."""
    text = (CASES / name / "README.md").read_text(encoding="utf-8")
    return {row["name"]: (float(row["volume"]), float(row["npv"])) for row in ROW.finditer(text)}


def computed(comparison: Comparison, stream: str, quantity: str, system: str) -> dict[str, tuple[float, float]]:
    """The same from the engine."""
    base = float(comparison.base.well[stream][-1])
    money = comparison.money
    return {
        run.name: (
            float(from_si(float(run.well[stream][-1]) - base, quantity, system)),
            (money[run.name]["npv"] - money["base"]["npv"]) / 1e6,
        )
        for run in comparison.others
    }


@pytest.mark.parametrize(
    ("name", "stream", "quantity", "system"),
    [
        ("magpie", "oil_volume", "liquid volume", "metric"),
        ("wagtail", "gas_volume", "gas volume", "field"),
        ("dunlin", "oil_volume", "liquid volume", "metric"),
        ("dipper", "water_volume", "liquid volume", "metric"),
        ("curlew", "gas_volume", "gas volume", "metric"),
        ("siskin", "gas_volume", "gas volume", "metric"),
    ],
)
def test_the_readme_says_what_the_engine_says(name: str, stream: str, quantity: str, system: str) -> None:
    comparison = api.compare(api.read_case(CASES / name))
    assert comparison.extra["failed"] == {}
    assert set(comparison.refused) == ({"shut Ochre"} if name == "magpie" else set())
    said, found = told(name), computed(comparison, stream, quantity, system)
    assert set(said) == set(found)
    for column in (0, 1):
        largest = max(abs(pair[column]) for pair in found.values())
        for what_if, pair in found.items():
            assert said[what_if][column] == pytest.approx(pair[column], rel=CLOSE, abs=0.01 * largest), what_if


def test_the_first_what_if_of_a_new_case_makes_a_difference(tmp_path: Path) -> None:
    comparison = api.compare(api.read_case(api.new_case(tmp_path)))
    (shut,) = comparison.others
    assert any(h.kind == "event" and "shut" in h.text for h in shut.happenings)
    assert shut.well["oil_volume"][-1] > 1.2 * comparison.base.well["oil_volume"][-1]
    assert shut.well["water_volume"][-1] < 0.5 * comparison.base.well["water_volume"][-1]

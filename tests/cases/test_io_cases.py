"""The cases that come with the program read clean, and hold what their README says."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from planner.io.read import read_case
from planner.io.write import write_case

CASES = Path(__file__).parents[2] / "cases"
NAMES = sorted(path.parent.name for path in CASES.glob("*/case.toml"))


def test_both_cases_are_there() -> None:
    assert {"magpie", "wagtail"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_case_reads_and_round_trips(name: str, tmp_path: Path) -> None:
    case = read_case(CASES / name)
    write_case(case, tmp_path)
    assert read_case(tmp_path) == case


@pytest.mark.parametrize("name", NAMES)
def test_case_is_explained(name: str) -> None:
    text = (CASES / name / "README.md").read_text(encoding="utf-8")
    for part in ("## The question", "## The well", "## Run it", "## What to see"):
        assert part in text


def test_magpie() -> None:
    case = read_case(CASES / "magpie")
    assert case.units == "metric"
    assert case.zones == ("Ochre", "Umber", "Sienna", "Saffron", "Sepia")
    assert 10 <= len(case.layers) <= 15
    assert case.layers[0].top_md >= 2100 and case.layers[-1].base_md <= 2400
    assert {support.kind for support in case.supports.values()} >= {"fetkovich aquifer", "constant pressure"}
    done = {event.do for what_if in case.what_ifs for event in what_if.events}
    assert {"shut zone", "set straddle", "choke zone", "set skin", "leak seal", "plug screen", "lose support"} <= done
    assert {"early water", "change control"} <= done


def test_one_blank_of_magpie_is_too_short() -> None:
    case = read_case(CASES / "magpie")
    needed = case.later_element.length + 2 * case.later_element.depth_tolerance
    short = [one.name for one in case.string if one.kind == "blank pipe" and one.base_md - one.top_md < needed]
    assert [name for name in short if name != "shoe"] == ["blank 1"]


def test_wagtail_takes_layers_and_hole_from_its_log() -> None:
    case = read_case(CASES / "wagtail")
    assert case.units == "field"
    assert [layer.name.split()[0] for layer in case.layers] == ["Fern"] * 2 + ["Moss"] * 2 + ["Bracken"] * 3 + [
        "Clover"
    ] * 3
    assert len(case.well.hole) > 500
    assert all(0.19 < row.diameter < 0.35 for row in case.well.hole)


def test_log_of_wagtail_is_what_its_script_writes() -> None:
    script = CASES / "wagtail" / "make_log.py"
    spec = importlib.util.spec_from_file_location("make_log", script)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.text() == (CASES / "wagtail" / "wagtail.las").read_text(encoding="ascii")

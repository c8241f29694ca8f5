"""A case written to a folder reads back as the same case; a new one reads clean."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from planner.base.errors import CaseError
from planner.base.units import QUANTITIES, UnitSystem, parse
from planner.io import starting_case
from planner.io.read import read_case
from planner.io.write import new_case, replace_text, write_case, written
from planner.model import case as records
from planner.model import change, economics
from planner.model.case import Case, Control, HoleSize, Layer, OilRow

POSITIVE = st.floats(min_value=1e-18, max_value=1e12, allow_nan=False)
TEXT = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x2FF, exclude_characters="\x7f\x85\xa0"), min_size=1, max_size=12
)
NAME = TEXT.map(str.strip).filter(bool)


@pytest.mark.parametrize("system", ["field", "metric"])
@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
@given(value=POSITIVE)
@settings(max_examples=40, deadline=None)
def test_written_number_reads_back_to_the_last_bit(quantity: str, system: UnitSystem, value: float) -> None:
    assert parse(written(value, quantity, system), quantity) == value


def test_numbers_are_written_as_people_write_them() -> None:
    assert written(parse("2500 ft", "length"), "length", "field") == "2500 ft"
    assert written(parse("8.5 in", "diameter"), "diameter", "metric") == "8.5 in"
    assert written(parse("182 degF", "temperature"), "temperature", "field") == "182 degF"
    assert written(parse("90000 e3m3", "liquid volume"), "liquid volume", "metric") == "90000 e3m3"
    assert written(0.25, "fraction", "field") == 0.25


@pytest.mark.parametrize("units", ["field", "metric"])
def test_round_trip_of_the_starting_case(folder: Path, tmp_path: Path, units: UnitSystem) -> None:
    case = read_case(folder).model_copy(update={"units": units})
    write_case(case, tmp_path / "copy")
    assert read_case(tmp_path / "copy") == case
    write_case(case, tmp_path / "copy")  # over itself
    assert read_case(tmp_path / "copy") == case


@st.composite
def layers(draw: st.DrawFn) -> tuple[Layer, ...]:
    """Up to five layers within 1000 to 1070 m of the starting case, with awkward numbers and names."""
    names = draw(st.lists(NAME, min_size=1, max_size=5, unique=True))
    cuts = draw(st.lists(st.floats(1000.0, 1070.0), min_size=2 * len(names), max_size=2 * len(names), unique=True))
    cuts = sorted(cuts)
    share = st.floats(1e-6, 1.0)
    return tuple(
        Layer.model_construct(
            **{key: info.get_default() for key, info in Layer.model_fields.items() if not info.is_required()}
            | {"name": name, "top_md": cuts[2 * i], "base_md": cuts[2 * i + 1], "compartment": "sand A", "rock": "sand"}
            | {"permeability": draw(st.floats(1e-18, 1e-11)), "porosity": draw(share), "net_to_gross": draw(share)}
            | {"drainage_radius": draw(st.floats(1.0, 1e4)), "skin": draw(st.floats(-7.0, 1e3))}
            | {"pressure": draw(st.none() | st.floats(1e5, 1e8)), "cells": draw(st.none() | st.integers(1, 2000))}
            | {"connected_below": draw(st.booleans()), "support": draw(st.sampled_from(["", "aquifer"]))}
        )
        for i, name in enumerate(names)
    )


@given(
    made=layers(),
    rate=st.floats(1e-9, 10.0),
    title=TEXT,
    diameter=st.floats(0.05, 0.6),
    units=st.sampled_from(["field", "metric"]),
)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_round_trip_of_any_case(
    tmp_path: Path, made: tuple[Layer, ...], rate: float, title: str, diameter: float, units: UnitSystem
) -> None:
    base = _starting(tmp_path)
    control = Control(date=base.schedule.start).model_copy(update={"liquid_rate": rate})
    hole = tuple(HoleSize.model_construct(md=md, diameter=diameter * (1 + md / 1e4)) for md in (0.0, 990.1, 1031.7))
    well = base.well.model_copy(update={"hole": hole})
    case = base.model_copy(
        update={"title": title, "units": units, "layers": made, "controls": (control,), "well": well}
    )
    write_case(case, tmp_path / "copy")
    assert read_case(tmp_path / "copy") == case


def _starting(tmp_path: Path) -> Case:
    if not (tmp_path / "start" / "case.toml").exists():
        new_case(tmp_path / "start")
    return read_case(tmp_path / "start")


EVENTS = """
[[what_ifs]]
name = "all"
events = [
  { do = "open zone", zone = "lower", on = 2031-01-01 },
  { do = "set plug", blank = "blank 2", on = 2031-02-01, cost = 12.5 },
  { do = "set straddle", upper_blank = "blank 1", lower_blank = "blank 2", nozzle_area = "60 mm^2", on = 2031-03-01 },
  { do = "choke zone", zone = "upper", nozzle_area = "0.1 in^2", when = { oil_rate_below = "5 bbl/day" } },
  { do = "set skin", zone = "upper", skin = -3, when = { pressure_below = "80 bar", delay = "30 day" } },
  { do = "leak seal", element = "seal 1", conductance = "1 bbl/day/psi", on = 2031-06-01 },
  { do = "plug screen", zone = "upper", remaining = 0.2, over = "365 day", on = 2031-07-01 },
  { do = "lose support", support = "aquifer", remaining = 0.5, on = 2031-08-01 },
  { do = "early water", zone = "lower", by = 2033-01-01, share = 0.2 },
  { do = "set valve", element = "screen 1", opening = 0.5, on = 2031-09-15 },
  { do = "change lift", gas_lift = { depth_md = "900 m", rate = "20 e3m3/day" }, on = 2031-10-01 },
  { do = "change control", shut = true, when = { gas_oil_ratio_above = "900 cf/bbl", after = 2032-01-01 } },
]
"""


def test_round_trip_of_every_event_and_fluid_table(folder: Path, tmp_path: Path) -> None:
    text = (folder / "case.toml").read_text() + EVENTS
    string = (
        (folder / "string.csv").read_text().replace("inner diameter [mm]", "inner diameter [mm],nozzle area [mm^2]")
    )
    string = string.replace("996,1010,120", "996,1010,120,300")
    (folder / "string.csv").write_text(string)
    text = text.replace("[[controls]]", '[tubing]\ninner_diameter = "76 mm"\n\n[[controls]]', 1)
    text = text.replace('method = "correlation"           #', 'method = "table"           #')
    rows = ", ".join(
        f'{{ pressure = "{p} bar", solution_gas_ratio = "{r} cf/bbl", '
        f'formation_volume_factor = "{b} rb/stb", viscosity = "{m} cP" }}'
        for p, r, b, m in ((50, 100, 1.07, 2.1), (120, 260, 1.17, 1.3))
    )
    text = text.replace('# table = { file = "oil.csv" }', f"table = [{rows}] #")
    (folder / "case.toml").write_text(text)
    case = read_case(folder)
    done = {event.do for what_if in case.what_ifs for event in what_if.events}
    words = {member.model_fields["do"].default for member in get_args(get_args(change.AnyEvent)[0])}
    assert done == words
    assert isinstance(case.fluid.oil.table[0], OilRow)
    write_case(case, tmp_path / "copy")
    assert (tmp_path / "copy" / "oil.csv").exists()
    assert read_case(tmp_path / "copy") == case


def test_a_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "case.toml"
    target.write_text("old")

    def fail(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr("os.replace", fail)
    with pytest.raises(OSError, match="disk full"):
        replace_text(target, "new")
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_permissions_follow_the_umask_and_are_kept(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        replace_text(tmp_path / "new.html", "text")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new.html").stat().st_mode) == 0o640
    (tmp_path / "new.html").chmod(0o604)
    replace_text(tmp_path / "new.html", "other")
    assert stat.S_IMODE((tmp_path / "new.html").stat().st_mode) == 0o604


def test_new_refuses_to_overwrite(tmp_path: Path) -> None:
    (tmp_path / "layers.csv").write_text("mine")
    with pytest.raises(CaseError) as caught:
        new_case(tmp_path)
    (problem,) = caught.value.problems
    assert problem.file == "layers.csv"
    assert "there is one already" in problem.message
    assert sorted(path.name for path in tmp_path.iterdir()) == ["layers.csv"]
    assert (tmp_path / "layers.csv").read_text() == "mine"


def _all_records() -> list[type[BaseModel]]:
    found = [one for room in (records, change, economics) for one in vars(room).values()]
    return [
        one for one in found if isinstance(one, type) and issubclass(one, BaseModel) and one.__module__ == room_of(one)
    ]


def room_of(one: type) -> str:
    return one.__module__ if one.__module__ in (records.__name__, change.__name__, economics.__name__) else ""


def test_new_case_explains_every_key() -> None:
    text = starting_case.STARTING_FILES["case.toml"]
    missing = [
        f"{record.__name__}.{key}"
        for record in _all_records()
        for key in record.model_fields
        if key not in text and key.replace("_", " ") not in text
    ]
    assert missing == []


@pytest.mark.parametrize(
    "start", ["# gas_oil", "# oil_rate", "# viscosity", "# shut", "# vertical_flow", "# tolerance"]
)
def test_commented_keys_can_be_used(folder: Path, start: str) -> None:
    text = (folder / "case.toml").read_text()
    line = next(line for line in text.split("\n") if line.startswith(start))
    (folder / "case.toml").write_text(text.replace(line, line.removeprefix("# "), 1))
    read_case(folder)


def test_written_sections_stand_in_order(folder: Path, tmp_path: Path) -> None:
    write_case(read_case(folder), tmp_path / "copy")
    keys = list(tomllib.loads((tmp_path / "copy" / "case.toml").read_text()))
    wanted = [
        "well",
        "compartments",
        "layers",
        "rocks",
        "supports",
        "fluid",
        "string",
        "controls",
        "economics",
        "schedule",
    ]
    assert [key for key in keys if key in wanted] == wanted

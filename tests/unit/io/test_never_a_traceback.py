"""Whatever stands in the files, the answer is a case or a list of problems."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.base.errors import CaseError
from planner.io.read import read_case
from planner.io.write import new_case

JUNK = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**17), 10**17),
    st.sampled_from([0, -1, 1.5, float("nan"), float("inf"), 10**400]),
    st.sampled_from(
        ["", " ", "5", "5 ft", "-5 bar", "1e999 m", "nan m", "\x00", "../x.csv", "a" * 400, "layers.csv", "."]
    ),
    st.text(max_size=8),
    st.lists(st.integers(0, 3), max_size=2),
    st.dictionaries(st.sampled_from(["file", "log", "curve", "do", "when", "name"]), st.text(max_size=5), max_size=2),
)
SETTINGS = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def _paths(node: Any, here: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [here] if here else []
    if isinstance(node, dict):
        for key, value in node.items():
            found += _paths(value, (*here, key))
    if isinstance(node, list):
        for number, value in enumerate(node):
            found += _paths(value, (*here, number))
    return found


def _case_or_problems(folder: Path) -> None:
    try:
        read_case(folder)
    except CaseError as error:
        assert error.problems
        assert all(problem.message and problem.remedy and str(problem) for problem in error.problems)


@given(data=st.data())
@SETTINGS
def test_any_value_of_the_case_file(tmp_path: Path, data: st.DataObject) -> None:
    if not (tmp_path / "case.toml").exists():
        new_case(tmp_path)
        (tmp_path / "good.toml").write_text((tmp_path / "case.toml").read_text())
    document = tomlkit.parse((tmp_path / "good.toml").read_text()).unwrap()
    spoilt = copy.deepcopy(document)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(_paths(spoilt)))
        holder = spoilt
        for part in path[:-1]:
            holder = holder[part]
        value = data.draw(JUNK)
        if value is None:
            del holder[path[-1]]
        else:
            holder[path[-1]] = value
    (tmp_path / "case.toml").write_text(tomlkit.dumps(spoilt), encoding="utf-8")
    _case_or_problems(tmp_path)


@pytest.mark.parametrize("name", ["case.toml", "layers.csv", "string.csv", "survey.csv"])
@given(data=st.data())
@SETTINGS
def test_any_damage_to_a_file(tmp_path: Path, name: str, data: st.DataObject) -> None:
    if not (tmp_path / "case.toml").exists():
        new_case(tmp_path)
        (tmp_path / "good").mkdir()
        new_case(tmp_path / "good")
    raw = (tmp_path / "good" / name).read_bytes()
    start = data.draw(st.integers(0, len(raw)))
    end = data.draw(st.integers(start, min(len(raw), start + 60)))
    piece = data.draw(st.binary(max_size=6) | st.sampled_from([b",", b"\n", b'"', b"[", b"]", b"=", b"\xff\xfe", b"#"]))
    (tmp_path / name).write_bytes(raw[:start] + piece + raw[end:])
    _case_or_problems(tmp_path)

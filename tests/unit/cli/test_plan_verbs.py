"""Verbs that come before the string is run, on the shipped gas well."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.cli import main

WAGTAIL = Path(__file__).resolve().parents[3] / "cases/wagtail"


@pytest.fixture(scope="module")
def judged() -> object:
    return api.suit(api.read_case(WAGTAIL))


def answer(capsys, *line: str) -> dict[str, object]:
    def refuse(text: str) -> None:
        raise AssertionError(f"{text} is not JSON")

    assert main([*line, "--json"]) == 0
    return json.loads(capsys.readouterr().out, parse_constant=refuse)


def test_suit_says_the_same_as_json_as_table_and_in_python(capsys, tmp_path, judged):
    table, figure = tmp_path / "reasons.csv", tmp_path / "hole.html"
    found = answer(capsys, "suit", str(WAGTAIL), "--csv", str(table), "--figure", str(figure))
    rows = pd.read_csv(table)
    assert len(found["reasons"]) == len(rows) == len(judged.reasons)
    assert [one["verdict"] for one in found["reasons"]] == [one.verdict for one in judged.reasons]
    assert rows["length_ft"].sum() == pytest.approx(sum(one.length for one in judged.reasons) / 0.3048)
    assert "Planning estimates" in figure.read_text(encoding="utf-8")


def test_the_seal_in_the_washout_is_found(capsys, judged):
    """The question of the case: seal 3 stands in a stretch that the caliper shows washed out."""
    bad = [one for one in judged.reasons if one.topic == "seal in the string" and one.verdict == "against"]
    assert [one.interval for one in bad] == ["seal 3"]
    assert main(["suit", str(WAGTAIL)]) == 0
    shown = capsys.readouterr().out
    assert "seal 3, seal in the string" in shown and "Caution:" in shown


def test_all_shows_every_reason(capsys, judged):
    assert main(["suit", str(WAGTAIL), "--all", "--units", "metric"]) == 0
    lines = [line for line in capsys.readouterr().out.splitlines() if line.startswith("- ")]
    assert len(lines) >= len(judged.reasons)


def test_a_case_without_the_section_is_told_what_to_add(capsys, tmp_path):
    folder = api.new_case(tmp_path / "new").parent
    assert main(["suit", str(folder)]) == 2
    assert "[suitability]" in capsys.readouterr().err

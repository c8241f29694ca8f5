"""Every verb on the case that `new` writes, through the real engine."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.cli import main

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def case(tmp_path_factory) -> Path:
    return api.new_case(tmp_path_factory.mktemp("new") / "well").parent


def answer(capsys, *line: str) -> dict[str, object]:
    def refuse(text: str) -> None:
        raise AssertionError(f"{text} is not JSON")

    assert main([*line, "--json"]) == 0
    return json.loads(capsys.readouterr().out, parse_constant=refuse)


def test_check_describes_what_is_in_place_and_tries_every_what_if(case, capsys):
    found = answer(capsys, "check", str(case), "--units", "metric")
    assert sum(zone["oil_in_place_1000_m3"] for zone in found["zones"]) > 0.0
    assert [one["name"] for one in found["what_ifs"]] == [one.name for one in api.read_case(case).what_ifs]


def test_flow_of_the_zones_adds_up_to_the_well(case, capsys):
    """Steady at the start: what the zones give is what the well gives, to the tolerance of the solver."""
    found = answer(capsys, "flow", str(case), "--units", "metric")
    total = sum(zone["oil_rate_m3_per_d"] for zone in found["zones"])
    assert total == pytest.approx(found["totals"]["oil_rate_m3_per_d"], rel=1e-3)


def test_forecast_table_and_json_say_the_same(case, capsys, tmp_path):
    file, start = tmp_path / "well.csv", api.read_case(case).schedule.start
    until = start.replace(year=start.year + 1).isoformat()
    found = answer(capsys, "forecast", str(case), "--until", until, "--csv", str(file), "--units", "field")
    table = pd.read_csv(file)
    assert found["dates"][-1] == until == table["date"].iloc[-1]
    assert table["oil_volume_Mbbl"].iloc[-1] == pytest.approx(found["totals"]["oil_volume_Mbbl"][-1], rel=1e-9)
    assert abs(found["facts"]["balance"]["oil"]) < 1e-6


def test_comparison_is_the_same_in_turn_and_in_processes(case):
    """Two roads to one answer: one process, and two that are started afresh."""
    read = api.read_case(case)
    names = [read.what_ifs[0].name]
    one, two = api.compare(read, names), api.compare(read, names, processes=2)
    for name, figures in one.money.items():
        assert two.money[name] == pytest.approx(figures, rel=0.0, abs=0.0, nan_ok=True)
    assert [run.name for run in (one.base, *one.others)] == ["base", *names]
    assert (one.base.well["oil_volume"] == two.base.well["oil_volume"]).all()


def test_report_is_written_by_a_process_of_its_own(case, tmp_path):
    file = tmp_path / "answer.html"
    name = api.read_case(case).what_ifs[0].name
    line = [sys.executable, "-m", "planner", "report", str(case), "--only", name, "--out", str(file)]
    done = subprocess.run(line, cwd=ROOT, capture_output=True, text=True, timeout=240, check=False)
    assert (done.returncode, done.stderr) == (0, "") or "ompiling" in done.stderr, done.stderr
    assert name in file.read_text(encoding="utf-8") and "Traceback" not in done.stderr


def test_a_case_that_is_not_there_exits_with_2(capsys, tmp_path):
    assert main(["check", str(tmp_path / "nothing")]) == 2
    assert "no case file here" in capsys.readouterr().err

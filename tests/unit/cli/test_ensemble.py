"""The verb ensemble on a tiny well, through the real engine."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.base.errors import Cancelled
from planner.cli import main
from tests.unit.uncertainty.ranged import ranged_case


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return api.write_case(ranged_case(), tmp_path_factory.mktemp("tiny") / "well").parent


def test_ensemble_tells_the_same_as_json_csv_report_and_folder(case: Path, tmp_path: Path, capsys) -> None:
    files = ["--folder", str(tmp_path / "run"), "--csv", str(tmp_path / "r.csv"), "--report", str(tmp_path / "r.html")]
    line = ["ensemble", str(case), "--members", "8", "--workers", "1", "--units", "metric", *files, "--json"]
    assert main(line) == 0
    found = json.loads(capsys.readouterr().out, parse_constant=pytest.fail)
    assert (found["members"], found["members_done"], found["what_ifs"]) == (8, 8, ["base", "acid", "shut"])
    table = pd.read_csv(tmp_path / "r.csv")
    first = next(one for one in found["ranges"] if one["figure"] == "npv" and one["what_if"] == "base")
    assert table["npv_p50_money"][0] == pytest.approx(first["p50_money"], rel=1e-9)
    kept = pd.read_parquet(tmp_path / "run" / "figures.parquet")
    assert kept[kept["what_if"] == "base"]["npv"].median() == pytest.approx(first["p50_money"], rel=1e-9)
    assert "Ranges of a" in (tmp_path / "r.html").read_text(encoding="utf-8")
    again = api.read_ensemble(tmp_path / "run")
    assert again.seconds == pytest.approx(kept["seconds"].sum())
    assert main([*line[:-1], "--seed", "2"]) == 2
    assert "--fresh" in capsys.readouterr().err


def test_runs_of_their_own_give_tornado_and_shares(case: Path, tmp_path: Path) -> None:
    read = api.read_case(case)
    made = api.ensemble(read, 4, names=[], folder=tmp_path / "run")
    found = api.findings(made, case=read, swings="runs", variance_points=4)
    assert {one.method for one in found.swings} == {"runs"} and {one.method for one in found.shares} == {"design"}
    widest = next(one for one in found.swings if one.figure == "oil_volume")
    assert widest.high > widest.low > 0.0
    assert len(pd.read_parquet(tmp_path / "run" / "swings" / "figures.parquet")) == 7
    assert len(pd.read_parquet(tmp_path / "run" / "shares" / "figures.parquet")) == 4 * (3 + 2)


def test_draws_of_a_table_are_the_members(case: Path, tmp_path: Path, capsys) -> None:
    (tmp_path / "draws.csv").write_text("k of A [md],kh,p [bar]\n100,1,0\n200,1,0\n")
    files = ["--draws", str(tmp_path / "draws.csv"), "--folder", str(tmp_path / "run")]
    assert main(["ensemble", str(case), "--only", "base", "--workers", "1", *files, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["members"], found["design"]) == (2, "given")
    kept = pd.read_parquet(tmp_path / "run" / "figures.parquet")
    alone = api.forecast(api.read_case(case))
    assert kept["oil_volume"][0] == pytest.approx(alone.well["oil_volume"][-1], rel=1e-9)


def test_a_cancelled_ensemble_says_what_is_kept(case: Path, tmp_path: Path, capsys, monkeypatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise Cancelled("cancelled", "3 of 8 members are kept in run; the same command goes on from there.")

    monkeypatch.setattr("planner.uncertainty.ensembles.run", stop)
    assert main(["ensemble", str(case), "--members", "8", "--workers", "1", "--folder", str(tmp_path / "run")]) == 130
    assert "Cancelled. 3 of 8 members are kept" in capsys.readouterr().err


def test_a_what_if_or_range_that_is_not_there_exits_with_2(case: Path, tmp_path: Path, capsys) -> None:
    folder = ["--folder", str(tmp_path / "run"), "--members", "2", "--workers", "1"]
    assert main(["ensemble", str(case), "--only", "nothing", *folder]) == 2
    assert main(["ensemble", str(case), "--only", "base", "--about", "acid", *folder]) == 2
    assert "no what-if of the ensemble has this name" in capsys.readouterr().err
    bare = api.write_case(ranged_case(uncertain=[]), tmp_path / "bare").parent
    assert main(["ensemble", str(bare), *folder]) == 2
    assert "nothing in the case is uncertain" in capsys.readouterr().err


def test_compare_over_draws_says_what_the_ensemble_says(case: Path, tmp_path: Path, capsys) -> None:
    (tmp_path / "draws.csv").write_text("k of A [md],kh,p [bar]\n100,1,0\n200,1,0\n60,0.7,3\n")
    kept = ["--folder", str(tmp_path / "run"), "--csv", str(tmp_path / "table.csv")]
    assert main(["compare", str(case), "--draws", str(tmp_path), *kept, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["over_draws"]
    made = api.findings(api.read_ensemble(tmp_path / "run"))
    assert (found["members"], found["members_done"], found["design"]) == (3, 3, "given")
    assert [one["probability"] for one in found["comparisons"]] == [one.probability for one in made.duels]
    table = pd.read_csv(tmp_path / "table.csv")
    npv = {one.what_if: one.p50 for one in made.ranges if one.figure == "npv"}
    assert dict(zip(table["what_if"], table["npv_p50_money"], strict=True)) == pytest.approx(npv)
    assert main(["compare", str(case), "--draws", str(tmp_path), *kept]) == 0
    assert "What-if against what-if, NPV" in capsys.readouterr().out
    assert main(["compare", str(case), "--members", "5", "--explain", "acid"]) == 2
    assert "leave out --draws and --members" in capsys.readouterr().err

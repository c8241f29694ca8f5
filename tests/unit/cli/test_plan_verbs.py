"""Verbs that come before the string is run, on the shipped gas well."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.cli import main
from planner.model.split import PayValue, ShutValue

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
    assert "planning estimates" in figure.read_text(encoding="utf-8")


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


def test_the_hole_foot_by_foot_as_a_table(capsys, tmp_path):
    """The wash-out of the case, 12.15 in: wide for the conforming screen and the seal, foot by foot."""
    file = tmp_path / "hole.csv"
    assert main(["suit", str(WAGTAIL), "--by", "foot", "--csv", str(file)]) == 0
    assert "alike ones together" in capsys.readouterr().out
    rows = pd.read_csv(file)
    assert (rows["base_md_ft"] - rows["top_md_ft"]).round(6).max() == 1.0
    wide = rows[rows["greatest_hole_in"] > 12.0]
    assert wide["top_md_ft"].between(7254, 7263).all() and len(wide) > 0  # where seal 3 stands
    assert set(wide["conforming_screen"]) == set(wide["seal"]) == {"wide"}


def test_draws_of_a_case_without_ranges_are_refused(capsys, valued):
    assert main(["split", str(valued), "--members", "3"]) == 2
    assert "nothing in the case is uncertain" in capsys.readouterr().err


def test_a_case_without_the_section_is_told_what_to_add(capsys, tmp_path):
    folder = api.new_case(tmp_path / "new").parent
    assert main(["suit", str(folder)]) == 2
    assert "[suitability]" in capsys.readouterr().err


# ---- split ------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def valued(tmp_path_factory) -> Path:
    """The shipped gas well with its worth given, so that no forecast is needed."""
    case = api.read_case(WAGTAIL)
    assert case.split is not None
    sands = ("Fern", "Moss", "Bracken", "Clover")
    given = case.split.model_copy(
        update={
            "values": (ShutValue(sand="Clover", value=1.3e6), ShutValue(sand="Moss", to="Bracken", value=0.4e6)),
            "pay": tuple(PayValue.model_construct(sand=s, upper=3e3, middle=1.5e6, lower=1e3) for s in sands),
        }
    )
    return api.write_case(case.model_copy(update={"split": given}), tmp_path_factory.mktemp("valued") / "well").parent


def test_split_writes_a_case_that_check_accepts(capsys, tmp_path, valued):
    out, table, figure = tmp_path / "new", tmp_path / "tally.csv", tmp_path / "string.html"
    found = answer(capsys, "split", str(valued), "--out", str(out), "--csv", str(table), "--figure", str(figure))
    rows = pd.read_csv(table)
    assert len(rows) == len(found["tally"]) and figure.is_file() and (out / "string.csv").is_file()
    assert rows["length_ft"].sum() == pytest.approx(rows["base_md_ft"].iloc[-1] - rows["top_md_ft"].iloc[0])
    assert rows["top_md_ft"].iloc[1:].to_numpy() == pytest.approx(rows["base_md_ft"].iloc[:-1].to_numpy())
    checked = answer(capsys, "check", str(out))
    assert [zone["name"] for zone in checked["zones"]] == [zone["zone"] for zone in found["zones"]]
    assert all(one["possible"] for one in checked["what_ifs"])


def test_a_wish_on_the_command_line_costs_what_it_says(capsys, valued):
    free = answer(capsys, "split", str(valued))
    wished = answer(capsys, "split", str(valued), "--forbid", "seal Bracken / Clover")
    assert wished["wishes"][0]["costs_money"] == pytest.approx(free["value_money"] - wished["value_money"])
    assert main(["split", str(valued), "--pin", "seal Fern / Moss"]) == 0
    shown = capsys.readouterr().out
    assert "pin seal in Fern / Moss" in shown and "No string of these joints is worth more." in shown


def test_a_wish_that_cannot_be_read_is_a_mistake_of_the_command_line(capsys, valued):
    with pytest.raises(SystemExit) as stopped:
        main(["split", str(valued), "--pin", "valve 2000 m"])
    assert stopped.value.code == 2 and "depths" in capsys.readouterr().err


def test_saved_values_bring_the_same_split_without_forecasts(capsys, tmp_path, valued):
    first = answer(capsys, "split", str(valued), "--save-values", str(tmp_path / "values"))
    case = api.read_case(valued)
    api.write_case(case, tmp_path / "again")
    for name in ("values.csv", "pay.csv"):
        (tmp_path / "again" / name).write_text((tmp_path / "values" / name).read_text())
    second = answer(capsys, "split", str(tmp_path / "again"))
    assert second["value_money"] == pytest.approx(first["value_money"]) and second["forecasts"] == 0

"""cure, portfolio and compare --explain through the command line, on small wells in folders."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.cli import main

TODAY = "2034-01-01"


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Two wells: the starting case, and the same with a dearer job; a portfolio beside them."""
    place = tmp_path_factory.mktemp("field")
    for name, cost in (("first", "1.0e6"), ("second", "1.5e6")):
        api.new_case(place / name)
        file = place / name / "case.toml"
        text = file.read_text().replace("intervention_cost = 1.0e6", f"intervention_cost = {cost}")
        jobs = f'[late_life]\ntoday = {TODAY}\njobs = ["shut zone", "set skin"]\n\n[schedule]'
        file.write_text(text.replace("[schedule]", jobs, 1))
    (place / "portfolio.toml").write_text('title = "Two wells"\nbudget = 1.2e6\n')
    return place


def answer(capsys, *line: str) -> dict[str, object]:
    def refuse(text: str) -> None:
        raise AssertionError(f"{text} is not JSON")

    assert main([*line, "--json"]) == 0
    return json.loads(capsys.readouterr().out, parse_constant=refuse)


def test_cure_ranks_jobs_and_writes_table_and_page(folder, capsys, tmp_path):
    page, table = tmp_path / "cure.html", tmp_path / "cure.csv"
    line = ("cure", str(folder / "first"), "--step", "none", "--out", str(page), "--csv", str(table))
    found = answer(capsys, *line)
    assert found["date"] == TODAY
    values = [job["value_money"] for job in found["jobs"]]
    assert values == sorted(values, reverse=True) and found["jobs"][0]["name"] == "shut lower"
    assert pd.read_csv(table)["value_money"].tolist() == pytest.approx(values)
    assert "shut lower" in page.read_text(encoding="utf-8")
    zones = api.describe(api.read_case(folder / "first")).zones
    assert [one["zone"] for one in found["zones"]] == [zone.name for zone in zones]


def test_cure_reads_well_on_the_terminal(folder, capsys):
    assert main(["cure", str(folder / "first"), "--step", "none"]) == 0
    text = capsys.readouterr().out
    for words in ("Where the water comes from", "Jobs by risked value", "Best: shut lower, now.", "Caution:"):
        assert words in text


def test_cure_outside_the_schedule_exits_with_2(folder, capsys):
    assert main(["cure", str(folder / "first"), "--on", "2060-01-01"]) == 2
    assert "outside the schedule" in capsys.readouterr().err


def test_portfolio_spends_the_budget_on_the_cheaper_well(folder, capsys, tmp_path):
    """Both wells are the same and their jobs worth about the same: the budget pays for one, the cheaper one."""
    page = tmp_path / "plan.html"
    found = answer(capsys, "portfolio", str(folder), "--out", str(page))
    assert [(one["well"], one["name"]) for one in found["chosen"]] == [("first", "shut lower")]
    assert found["cost_money"] <= found["budget_money"] == 1.2e6
    assert found["next_budget_money"] > 1.2e6
    assert "Two wells" in page.read_text(encoding="utf-8")
    more = answer(capsys, "portfolio", str(folder), "--budget", "5e6")
    assert {one["well"] for one in more["chosen"]} == {"first", "second"}


def test_wells_with_different_days_need_one_for_all(folder, capsys, tmp_path):
    place = tmp_path / "days"
    place.mkdir()
    (place / "first").symlink_to(folder / "first")
    (place / "second").mkdir()
    text = (folder / "second" / "case.toml").read_text()
    for file in (folder / "second").iterdir():
        (place / "second" / file.name).write_bytes(file.read_bytes())
    (place / "second" / "case.toml").write_text(text.replace(f"today = {TODAY}", "today = 2033-01-01"))
    assert main(["portfolio", str(place)]) == 2
    assert "different days of decision" in capsys.readouterr().err
    found = answer(capsys, "portfolio", str(place), "--on", "2034-01-01")
    assert found["date"] == "2034-01-01" and len(found["chosen"]) == 2


def test_portfolio_on_the_terminal_says_what_more_budget_is_worth(folder, capsys):
    assert main(["portfolio", str(folder)]) == 0
    text = capsys.readouterr().out
    assert "Chosen" in text and "a better set can be had" in text and "Left out" in text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('wells = ["third"]', "no well in a folder of this name"),
        ("budget = -1", "must be at least 0"),
        ("spend = 1", "unknown key 'spend'"),
        ("budget = ", "not valid TOML"),
        ('exclusive = [["first: shut lower", "second: dance"]]', "no job has this name"),
    ],
)
def test_a_bad_portfolio_exits_with_2_and_says_what_is_wrong(folder, capsys, tmp_path, text, words):
    place = tmp_path / "bad"
    place.mkdir()
    for name in ("first", "second"):
        (place / name).symlink_to(folder / name)
    (place / "portfolio.toml").write_text(text + "\n")
    assert main(["portfolio", str(place)]) == 2
    assert words in capsys.readouterr().err


def test_a_portfolio_of_given_jobs_needs_no_well(capsys, tmp_path):
    rows = [("a", 60, 10), ("b", 100, 20), ("c", 120, 30)]
    text = "budget = 50\n" + "".join(
        f'[[jobs]]\nwell = "{name}"\nname = "job"\nvalue = {value}\ncost = {cost}\n' for name, value, cost in rows
    )
    (tmp_path / "portfolio.toml").write_text(text)
    found = answer(capsys, "portfolio", str(tmp_path))
    assert [one["well"] for one in found["chosen"]] == ["b", "c"]
    assert found["value_money"] == 220.0


def test_a_folder_that_is_not_there_exits_with_2(capsys, tmp_path):
    assert main(["portfolio", str(tmp_path / "nothing")]) == 2
    assert "no such folder" in capsys.readouterr().err


def test_explain_tells_the_difference_by_cause(folder, capsys, tmp_path):
    name = api.read_case(folder / "first").what_ifs[0].name
    table = tmp_path / "bars.csv"
    found = answer(capsys, "compare", str(folder / "first"), "--explain", name, "--csv", str(table))
    bars = sum(bar["adds_to_npv_money"] for bar in found["bars"])
    # every number of a document is rounded to a tenth here
    rounding = 0.05 * (len(found["bars"]) + 2)
    assert bars == pytest.approx(found["npv_to_money"] - found["npv_from_money"], abs=rounding)
    assert (found["from"], found["to"]) == ("base", name)
    assert len(pd.read_csv(table)) == len(found["bars"])
    assert main(["compare", str(folder / "first"), "--explain", name, "base"]) == 0
    assert "What makes the difference: " in capsys.readouterr().out
    assert main(["compare", str(folder / "first"), "--explain", "no such"]) == 2

"""The command line against made-up results: what it prints, how it exits, and that it never shows a traceback."""

from __future__ import annotations

import json
import os
import signal
from pathlib import Path

import pandas as pd
import pytest

from planner import api
from planner.base.errors import Cancelled, CaseError, ForecastError, Problem, Refusal
from planner.cli import main
from planner.decide.compare import Ran, comparison_of
from planner.model.cautions import CAUTION
from tests.unit.synthetic import made_case, made_description, made_flow, made_forecast, shut_lower


@pytest.fixture(autouse=True)
def made_up_answers(monkeypatch):
    """Put made-up answers behind the door, so that this file tests the command line alone."""
    case = made_case()
    ran = [
        Ran(None, made_forecast()),
        Ran(shut_lower(), made_forecast("shut lower", "lower")),
        Ran(case.what_ifs[1], refused="There is no blank pipe above it."),
    ]
    monkeypatch.setattr(api, "read_case", lambda path: case)
    monkeypatch.setattr(api, "describe", lambda case, what_if=None: made_description())
    monkeypatch.setattr(api, "refusals", lambda case: {"shut upper": "There is no blank pipe above it."})
    monkeypatch.setattr(api, "flow", lambda *_: made_flow())
    monkeypatch.setattr(api, "forecast", lambda *_, **__: made_forecast())
    monkeypatch.setattr(api, "compare", lambda *_, **__: comparison_of(case, ran))
    monkeypatch.setattr(api, "kernels_ready", lambda: True)
    monkeypatch.setattr(api, "data_files", lambda path: ())
    monkeypatch.setenv("COLUMNS", "100")


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("verb", "words"),
    [
        ("check", ["upper cannot be shut on its own: There is no blank pipe above it.", "plug", "kh", "shut upper"]),
        ("flow", ["2030-01-01", "bottom-hole pressure", "drawdown", "40.00"]),
        ("forecast", ["2031-01-01", "Water reaches the lower zone.", "sand drawdown", "100 steps", "0.110"]),
        ("compare", ["The string cannot do 'shut upper'", "NPV against", "(million", "-3.65", "Limits broken"]),
    ],
)
def test_tables_are_readable_within_the_width(capsys, verb, words):
    assert main([verb, "case"]) == 0
    shown = capsys.readouterr().out
    assert [word for word in words if word not in one_line(shown)] == []
    assert max(len(line) for line in shown.splitlines()) <= 100


@pytest.mark.parametrize("verb", ["flow", "forecast", "compare"])
def test_results_carry_the_caution(capsys, verb):
    main([verb, "case"])
    assert CAUTION in one_line(capsys.readouterr().out)
    main([verb, "case", "--json"])
    assert json.loads(capsys.readouterr().out)["caution"] == CAUTION


@pytest.mark.parametrize("verb", ["check", "flow", "forecast", "compare"])
@pytest.mark.parametrize("units", ["field", "metric"])
def test_json_is_strict_and_nothing_else_is_on_stdout(capsys, verb, units):
    def refuse(text: str) -> None:
        raise AssertionError(f"{text} is not JSON")

    assert main([verb, "case", "--json", "--units", units]) == 0
    found = json.loads(capsys.readouterr().out, parse_constant=refuse)
    assert found["units"] == units


@pytest.mark.parametrize("verb", ["flow", "forecast", "compare"])
def test_tables_go_to_csv_and_parquet_with_stable_keys(tmp_path, verb, capsys):
    csv, parquet = tmp_path / "table.csv", tmp_path / "table.parquet"
    assert main([verb, "case", "--csv", str(csv), "--parquet", str(parquet)]) == 0
    one, two = pd.read_csv(csv), pd.read_parquet(parquet)
    assert list(one.columns) == list(two.columns) and len(one) == len(two) > 1
    assert all(" " not in name for name in one.columns)


def test_the_rows_of_a_forecast_may_be_zones_or_layers(tmp_path):
    for rows in ("zone", "layer"):
        file = tmp_path / f"{rows}.csv"
        assert main(["forecast", "case", "--by", rows, "--csv", str(file)]) == 0
        assert rows in pd.read_csv(file).columns


def test_the_report_is_written_and_the_comparison_shown(tmp_path, capsys):
    file = tmp_path / "answer.html"
    assert main(["report", "case", "--out", str(file)]) == 0
    shown = capsys.readouterr().out
    assert str(file) in shown and "NPV" in shown
    assert file.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert list(tmp_path.iterdir()) == [file]
    assert main(["report", "case", "--out", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["report"] == str(file)


PROBLEMS = [
    Problem("case.toml", "layers[2].top_md", "2500", "a unit is missing", "Write '2500 ft' or '2500 m'."),
    Problem("string.csv", "row 4, column kind", "scren", "not a kind of element", "Did you mean 'screen'?"),
]


@pytest.mark.parametrize(
    ("error", "status", "words"),
    [
        (CaseError(PROBLEMS), 2, ["case.toml: layers[2].top_md", "(value: scren)", "Did you mean 'screen'?"]),
        (Refusal("No blank pipe above zone 2."), 2, ["No blank pipe above zone 2."]),
        (ForecastError("On 2031-04-01 the water balance of layer 2 did not close."), 1, ["2031-04-01"]),
        (Cancelled("cancelled"), 130, ["Cancelled"]),
        (KeyboardInterrupt(), 130, ["Cancelled"]),
        (PermissionError(13, "Permission denied", "table.csv"), 2, ["table.csv: Permission denied. Check"]),
        (TypeError("scale() takes 2 arguments"), 1, ["A fault of the program", "scale() takes 2", "BLANKWISE_TRACE"]),
        (OSError("port 8050 is already in use; choose another one with --port"), 2, ["port 8050 is already in use"]),
    ],
)
def test_errors_exit_with_their_status_and_a_plain_sentence(monkeypatch, capsys, error, status, words):
    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(api, "forecast", fail)
    assert main(["forecast", "case"]) == status
    shown = capsys.readouterr()
    assert shown.out == ""
    assert [word for word in words if word not in shown.err] == [] and "Traceback" not in shown.err


def test_the_trace_of_a_fault_is_there_on_request(monkeypatch):
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(api, "forecast", fail)
    monkeypatch.setenv("BLANKWISE_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        main(["forecast", "case"])


def test_every_problem_of_a_case_has_a_line_of_its_own(monkeypatch, capsys):
    def fail(path: object) -> None:
        raise CaseError(PROBLEMS)

    monkeypatch.setattr(api, "read_case", fail)
    assert main(["check", "case"]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == len(PROBLEMS)


def test_a_failed_what_if_is_shown_and_then_exits_with_1(monkeypatch, capsys):
    case = made_case()
    ran = [Ran(None, made_forecast()), Ran(case.what_ifs[2], failed="It did not converge on 2031-04-01.")]
    monkeypatch.setattr(api, "compare", lambda *_, **__: comparison_of(case, ran))
    assert main(["compare", "case"]) == 1
    shown = capsys.readouterr()
    assert "Volumes" in shown.out and "2031-04-01" in shown.err


def test_options_reach_the_door(monkeypatch):
    asked = {}

    def forecast(case: object, what_if: object, **options: object) -> object:
        asked.update(what_if=what_if, until=str(options["until"]))
        return made_forecast()

    def compare(case: object, names: object, **options: object) -> object:
        asked.update(names=names, processes=options["processes"])
        return comparison_of(made_case(), [Ran(None, made_forecast())])

    monkeypatch.setattr(api, "forecast", forecast)
    monkeypatch.setattr(api, "compare", compare)
    main(["forecast", "case", "--what-if", "shut lower", "--until", "2031-06-01"])
    main(["compare", "case", "--only", "shut lower", "seal leaks", "--processes", "2"])
    assert asked == {
        "what_if": "shut lower", "until": "2031-06-01", "names": ["shut lower", "seal leaks"], "processes": 2,
    }  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [
        ["forecast"], ["nothing", "case"], ["flow", "case", "--on", "June"], ["serve", "--port", "0"],
        ["compare", "case", "--processes", "none"], ["check", "case", "--units", "furlongs"],
    ],
)  # fmt: skip
def test_a_wrong_line_exits_with_2_and_says_why(capsys, line):
    with pytest.raises(SystemExit) as stop:
        main(line)
    assert stop.value.code == 2
    assert "blankwise" in capsys.readouterr().err


def test_ctrl_c_asks_the_work_to_stop(monkeypatch, capsys):
    def forecast(case: object, what_if: object, *, progress: object, cancelled: object, until: object) -> object:
        assert not cancelled()
        os.kill(os.getpid(), signal.SIGINT)
        assert cancelled()
        raise Cancelled("cancelled")

    monkeypatch.setattr(api, "forecast", forecast)
    before = signal.getsignal(signal.SIGINT)
    assert main(["forecast", "case"]) == 130
    assert signal.getsignal(signal.SIGINT) is before
    assert "Cancelled" in capsys.readouterr().err


def test_serve_opens_the_screen_that_the_entry_point_names(monkeypatch):
    asked = []

    class Screen:
        def load(self) -> object:
            return lambda *line: asked.append(line)

    monkeypatch.setattr("importlib.metadata.entry_points", lambda group: [Screen()])
    assert main(["serve", "case", "--no-browser"]) == 0
    assert asked == [("case", "127.0.0.1", 8050, False)]


def test_serve_without_a_dashboard_says_how_to_get_one(monkeypatch, capsys):
    monkeypatch.setattr("importlib.metadata.entry_points", lambda group: [])
    assert main(["serve"]) == 2
    assert "pip install" in capsys.readouterr().err


def test_the_first_run_says_that_it_compiles(monkeypatch, capsys):
    monkeypatch.setattr(api, "kernels_ready", lambda: False)
    main(["flow", "case", "--json"])
    shown = capsys.readouterr()
    assert "half a minute" in shown.err
    json.loads(shown.out)


def test_schema_and_new(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(api, "schema", lambda: {"type": "object"})
    monkeypatch.setattr(api, "new_case", lambda folder: Path(folder) / "case.toml")
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == {"type": "object"}
    assert main(["new", "my-well"]) == 0
    assert "blankwise check my-well" in capsys.readouterr().out
    assert main(["new", "my-well", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["case"].endswith("case.toml")

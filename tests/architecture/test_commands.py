"""What the README tells a newcomer to run is what is there, and what the checks run."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
from pathlib import Path

import pytest

from planner.cli import parser

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = [block.strip() for block in re.findall(r"```\n(.*?)```", README, flags=re.S)]


def set_up() -> list[str]:
    """The code blocks of the section on setting up."""
    section = README.split("## Set up")[1].split("\n## ")[0]
    return [block.strip() for block in re.findall(r"```\n(.*?)```", section, flags=re.S)]


def test_there_are_two_set_up_commands_of_one_line():
    commands = set_up()
    assert len(commands) == 2 and all("\n" not in one for one in commands)


def test_the_first_one_installs_and_reports_a_case_that_is_there():
    words = shlex.split(set_up()[0])
    assert words[:3] == ["bash", "tests/setup", "&&"]
    line = words[words.index(".venv/bin/blankwise") + 1 :]
    asked = parser().parse_args(line)
    assert (ROOT / asked.case / "case.toml").is_file()
    assert line[0] == "report" and asked.out.suffix == ".html"


def test_the_second_one_is_what_ci_runs():
    assert set_up()[1] == "bash tests/run"
    assert f'{set_up()[1]} "$@"' in (ROOT / ".ci/run").read_text(encoding="utf-8")


def test_the_run_lints_checks_types_imports_and_tests_in_this_order():
    text = (ROOT / "tests/run").read_text(encoding="utf-8")
    steps = ["bash tests/setup test", "$bin/ruff check", "$bin/mypy", "$bin/lint-imports", '-m pytest "$@"']
    places = [text.index(step) for step in steps]
    assert places == sorted(places)


@pytest.mark.parametrize("name", [".ci/run", "tests/run", "tests/setup"])
def test_scripts_can_be_run_and_are_sound(name):
    path = ROOT / name
    assert os.access(path, os.X_OK)
    subprocess.run(["bash", "-n", path], check=True)


@pytest.mark.parametrize(
    "line", [one for block in BLOCKS for one in block.splitlines() if one.startswith(".venv/bin/blankwise")]
)
def test_every_command_of_the_readme_is_one_that_the_program_knows(line):
    words = shlex.split(line, comments=True)
    assert parser().parse_args(words[1:]).run is not None


def test_an_old_python_gets_a_clear_message(tmp_path):
    """A python3 that says it is 3.9 and nothing newer on the path: no traceback, but what is needed."""
    for name in ("python3", "python3.11", "python3.12", "python3.13", "python3.14"):
        fake = tmp_path / name
        fake.write_text("#!/bin/sh\n[ \"$1\" = --version ] && echo 'Python 3.9.2'\nexit 1\n")
        fake.chmod(0o755)
    for name in ("bash", "dirname", "id"):
        (tmp_path / name).symlink_to(f"/usr/bin/{name}")
    done = subprocess.run(
        ["/usr/bin/bash", "tests/setup"], cwd=ROOT, env={"PATH": str(tmp_path)}, capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "Python 3.11 or newer is needed; this machine has: Python 3.9.2" in done.stderr

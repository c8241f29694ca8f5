"""The import contract of the rooms, the size of files, and what may stand at the top level."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCES = sorted(path for room in ("planner", "dashboard", "tests", "cases") for path in (ROOT / room).rglob("*.py"))
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "planner", "dashboard", "tests", "cases", "LICENSE",
    "CHANGELOG.md",
}  # fmt: skip


def test_the_import_contract_holds():
    lint = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([lint, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def imported(path: Path) -> set[str]:
    """Modules that a file imports, in whole or in part, type-only imports included."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def room_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


@pytest.mark.parametrize("path", [p for p in SOURCES if p.is_relative_to(ROOT / "planner")], ids=lambda p: p.stem)
def test_the_planner_never_imports_the_screens(path):
    roots = {module.split(".")[0] for module in imported(path)}
    assert not roots & {"dash", "dashboard", "dash_mantine_components", "dash_ag_grid", "flask", "flask_compress"}


@pytest.mark.parametrize("path", [p for p in SOURCES if p.is_relative_to(ROOT / "dashboard")], ids=lambda p: p.stem)
def test_the_screens_see_the_door_and_the_records_alone(path):
    rooms = {room_of(module) for module in imported(path) if module.startswith("planner.")}
    assert rooms <= {"planner.api", "planner.model"}
    assert "planner.api" not in rooms or path.name == "session.py"


def test_no_room_is_called_after_nothing():
    names = {path.stem for path in SOURCES} | {path.parent.name for path in SOURCES}
    assert not names & {"utils", "util", "common", "helpers", "misc"}


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_file_is_longer_than_600_lines(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 600


def tracked() -> list[str]:
    """Files that git tracks or would add; empty outside a clone."""
    line = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    done = subprocess.run(line, cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.splitlines()


def test_the_top_level_holds_the_allowed_names_alone():
    names = {file.split("/")[0] for file in tracked()} or {path.name for path in ROOT.iterdir()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


def test_importing_the_door_loads_no_engine_and_no_plots():
    line = "import sys, planner.api, planner.cli; print(sorted({m.split('.')[0] for m in sys.modules}))"
    done = subprocess.run([sys.executable, "-c", line], cwd=ROOT, capture_output=True, text=True, check=True)
    assert "planner" in done.stdout
    heavy = [name for name in ("numba", "scipy", "pandas", "plotly", "pint", "rich") if f"'{name}'" in done.stdout]
    assert heavy == []

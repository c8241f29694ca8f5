"""A good case in a folder, to be spoilt one thing at a time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from planner.base.errors import CaseError, Problem
from planner.io.read import read_case
from planner.io.write import new_case

Spoil = Callable[..., list[Problem]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the starting case."""
    new_case(tmp_path / "case")
    return tmp_path / "case"


@pytest.fixture
def spoil(folder: Path) -> Spoil:
    """Replace text in files of the good case, (file, old, new) each, and return the problems that reading finds."""

    def act(*changes: tuple[str, str, str]) -> list[Problem]:
        for file, old, new in changes:
            text = (folder / file).read_text(encoding="utf-8")
            assert old in text, f"{old!r} is not in {file}"
            (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(CaseError) as caught:
            read_case(folder)
        return caught.value.problems

    return act

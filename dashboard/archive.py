"""Answers of long work on disk, beside their project: there after a reload and a restart, the oldest let go.

    projects/ID/answers/WORK/KEY.json   one answer: what was asked and when it was done, its document, its case
    projects/ID/answers/WORK/last.json  the last start: what was asked, and how it ended (nothing: it was cut off)
    projects/ID/members/KEY/            what work that can go on after a stop has computed so far

KEY is the digest of what was asked, so that an answer never stands for another question. Every file is replaced at
once: a kill leaves the answer before, or this one.
"""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from dashboard import records
from dashboard.session import BadCase, Paper, case_from, replace_text
from planner.model.chapter import from_plain, plain

Json = dict[str, Any]
KEPT_EACH = 4  # answers of one kind of work in a project
KEPT_BYTES = 80_000_000  # of all answers of a project
KEPT_MEMBERS = 3  # folders of work that was cut off
LAST = "last.json"


@dataclass(frozen=True)
class Answer:
    """One answer. question: digests of case and what-ifs, and the options; made: when it was done, ISO in UTC."""

    key: str
    question: Json
    made: str
    result: Paper


@dataclass(frozen=True)
class Start:
    """The last start of a kind of work. state: how it ended, '' where nobody could write that down."""

    key: str
    question: Json
    begun: str
    state: str = ""
    text: str = ""


class Archive:
    """Answers of the projects below a folder."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def keep(self, project: str, work: str, key: str, question: Json, result: Any) -> None:
        """Keep an answer, and let the oldest go; a result that is no document is not kept."""
        packed = _packed(result)
        if packed is None or not self.root.joinpath(project).is_dir():
            return
        file = self._place(project, work) / f"{key}.json"
        file.parent.mkdir(parents=True, exist_ok=True)
        held = {"key": key, "question": question, "made": _now(), **packed}
        replace_text(file, json.dumps(held))
        self._let_go(project, work, file)

    def get(self, project: str, key: str) -> Answer | None:
        """An answer by its key; None where it is not kept."""
        if not re.fullmatch(r"[0-9a-f]{1,64}", key) or not re.fullmatch(r"[0-9a-f]{16}", project):
            return None
        found = next((self.root / project / "answers").glob(f"*/{key}.json"), None)
        return _answer(found) if found else None

    def latest(self, project: str, work: str) -> Answer | None:
        """The answer of a kind of work that was done last; None where there is none that can be read."""
        for file in self._files(self._place(project, work)):
            if (found := _answer(file)) is not None:
                return found
        return None

    def begin(self, project: str, work: str, key: str, question: Json) -> None:
        """Write down that work was started."""
        file = self._place(project, work) / LAST
        file.parent.mkdir(parents=True, exist_ok=True)
        replace_text(file, json.dumps({"key": key, "question": question, "begun": _now(), "state": "", "text": ""}))

    def end(self, project: str, work: str, key: str, state: str, text: str) -> None:
        """Write down how work ended; of no account where another start has followed, or the project is gone."""
        begun = self.last(project, work)
        if begun is not None and begun.key == key:
            replace_text(self._place(project, work) / LAST, json.dumps({**vars(begun), "state": state, "text": text}))

    def last(self, project: str, work: str) -> Start | None:
        """The last start of a kind of work; None where there was none."""
        held = _read(self._place(project, work) / LAST)
        try:
            return Start(**held) if held else None
        except TypeError:
            return None

    def members(self, project: str, key: str) -> Path:
        """The folder in which work keeps what it has computed so far; those of older questions go."""
        place = self.root / project / "members"
        for old in self._files(place, "*")[KEPT_MEMBERS - 1 :]:
            if old.name != key[:32]:
                shutil.rmtree(old, ignore_errors=True)
        return place / key[:32]

    def forget_members(self, project: str, key: str) -> None:
        """Work is done: its members are not needed any more."""
        shutil.rmtree(self.root / project / "members" / key[:32], ignore_errors=True)

    def _let_go(self, project: str, work: str, new: Path) -> None:
        """Keep within the bounds, the new answer in any case."""
        old = [file for file in self._files(self._place(project, work)) if file != new][KEPT_EACH - 1 :]
        for file in old:
            file.unlink(missing_ok=True)
        rest = [file for place in (self.root / project / "answers").glob("*/") for file in self._files(place)]
        total = 0
        for file in sorted(rest, key=lambda one: (one != new, -_written(one))):
            total += file.stat().st_size
            if total > KEPT_BYTES and file != new:
                file.unlink(missing_ok=True)

    def _place(self, project: str, work: str) -> Path:
        return self.root / project / "answers" / work

    @staticmethod
    def _files(place: Path, pattern: str = "*.json") -> list[Path]:
        """What a folder holds, the newest first."""
        return sorted((one for one in place.glob(pattern) if one.name != LAST), key=_written, reverse=True)


def _written(file: Path) -> int:
    try:
        return file.stat().st_mtime_ns
    except OSError:
        return 0


def _packed(result: Any) -> Json | None:
    """A paper as JSON; None for anything else."""
    if not isinstance(result, Paper):
        return None
    case = records.exact(result.case) if result.case is not None else None
    return {"book": plain(result.book), "case": case, "told": result.told}


def _answer(file: Path) -> Answer | None:
    """The answer in a file; None where it cannot be read."""
    return _answer_of(file, _written(file))


@lru_cache(maxsize=8)
def _answer_of(file: Path, written: int) -> Answer | None:
    held = _read(file)
    try:
        if not held:
            return None
        case = case_from(held["case"]) if held["case"] else None
        result = Paper(from_plain(held["book"]), case, held["told"])
        return Answer(held["key"], held["question"], held["made"], result)
    except (KeyError, TypeError, BadCase):
        return None


def _read(file: Path) -> Json | None:
    try:
        found = json.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) else None


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")

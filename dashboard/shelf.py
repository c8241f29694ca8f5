"""Projects on disk: one folder each, every file replaced at once, every state kept as a revision that can be had back.

    projects/ID/project.json     the project as it stands: name, owner, head, what undo and redo hold
    projects/ID/revisions/N.json every head that ever was, with the time and a sentence on what was done
    projects/ID/cases/HASH.json  cases by content, so that a revision is small

A head is {case: hash, cards: [...]}. `Shelf.apply` is the only writer of a project: it puts a step through the reducer
under the project's lock, whoever asks for it.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
import shutil
import threading
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from dashboard import records, work
from dashboard.session import case_from, replace_text
from planner.model.case import Case

Json = dict[str, Any]
FORM = 2  # of a project file
KEPT_REVISIONS = 1000
IN_REVISION = ("id", "name", "owner", "source", "revision", "changed", "told", "well")
FROM_FILE = "Case file read again"  # what the revision says when the file on the disk had changed


class NoProject(LookupError):
    """There is no such project, or what is kept of it cannot be read; the text says which."""


class NotYours(PermissionError):
    """The project belongs to another user: it can be looked at, not changed."""


@dataclass(frozen=True)
class Project:
    """A project as it stands."""

    id: str
    name: str
    owner: str
    source: str  # file that the case came from, '' for an upload
    revision: int
    changed: str  # when, ISO in UTC
    case: Case
    cards: list[Json]
    past: list[Json]
    future: list[Json]

    @property
    def work(self) -> Json:
        """What the reducer works on."""
        return {"cards": self.cards, "case": self.case}


@dataclass(frozen=True)
class Entry:
    """A line of a list of projects or of revisions."""

    id: str
    name: str
    changed: str
    revision: int
    told: str = ""
    well: str = ""


class Shelf:
    """The projects below a folder."""

    def __init__(self, root: Path) -> None:
        self.root = root / "projects"
        self._locks: dict[str, threading.RLock] = {}
        self._guard = threading.Lock()
        self._case = lru_cache(maxsize=64)(self._read_case)
        self._read: dict[str, tuple[int, Project]] = {}

    def make(self, case: Case, name: str = "", owner: str = "", source: str = "") -> Project:
        """A new project on a case, with a card for every what-if that the case brings."""
        project_id = secrets.token_hex(8)
        cards = work.first_cards(case)
        head = {"case": self._keep_case(project_id, case), "cards": cards}
        told = f"Started from {source}" if source else "Started"
        held = {"form": FORM, "id": project_id, "name": name or case.well.name, "owner": owner, "source": source,
                "revision": 0, "head": {}, "past": [], "future": []}  # fmt: skip
        self._write(held, head, told)
        return self.get(project_id)

    def get(self, project_id: str) -> Project:
        """A project by its id. Raises NoProject."""
        file = self._place(project_id) / "project.json"
        try:
            written = file.stat().st_mtime_ns
        except OSError:
            written = 0
        known = self._read.get(project_id)
        if known and known[0] == written:
            return known[1]
        found = self._project(self._held(project_id))
        self._read[project_id] = (written, found)
        return found

    def of(self, owner: str) -> list[Entry]:
        """The projects of a user, the one changed last first."""
        found = []
        for file in self.root.glob("*/project.json"):
            try:
                held = self._held(file.parent.name)
            except NoProject:
                continue
            if held["owner"] == owner:
                found.append(Entry(held["id"], held["name"], held["changed"], held["revision"], held["told"],
                                   held.get("well", "")))  # fmt: skip
        return sorted(found, key=lambda entry: entry.changed, reverse=True)

    def started_from(self, source: str, owner: str) -> Project | None:
        """The project of a user that was started from a file, the newest; None where there is none."""
        for entry in self.of(owner):
            held = self._held(entry.id)
            if held["source"] == source:
                return self._project(held)
        return None

    def apply(self, project_id: str, user: str, step: Json) -> Project:
        """Put a step through the reducer and keep what comes of it; a step that changes nothing writes nothing.

        Raises NoProject, NotYours, and what the reducer raises (events.BadInput).
        """
        with self._lock(project_id):
            held = self._held(project_id)
            if held["owner"] != user:
                raise NotYours(f"This project belongs to {held['owner'] or 'another user'}: take a copy to change it.")
            now = self._project(held)
            if step["do"] in ("undo", "redo"):
                return self._travel(held, now, step["do"])
            if step["do"] == "go back to":
                new_head, told = (
                    self._revision(project_id, int(step["revision"])),
                    f"Back to revision {step['revision']}",
                )
            elif step["do"] == "rename project":
                held["name"] = str(step["name"]).strip()[:80] or held["name"]
                new_head, told = held["head"], f"Named {held['name']}"
            else:
                before = now.work
                new = work.after(before, step)
                if new is before:
                    return now
                new_head = {"case": self._keep_case(project_id, new["case"]), "cards": new["cards"]}
                told = work.told(step, before, new)
            self._write(held, new_head, told)
            return self.get(project_id)

    def revisions(self, project_id: str) -> list[Entry]:
        """Every kept state of a project, the newest first."""
        held = self._held(project_id)
        found = []
        for file in sorted((self._place(project_id) / "revisions").glob("*.json"), reverse=True):
            kept = _read(file)
            if kept:
                found.append(Entry(held["id"], held["name"], kept["changed"], kept["revision"], kept["told"]))
        return found

    def last_from_file(self, project_id: str) -> Case | None:
        """The case as it was last read from its file: at the start, or when the file had changed."""
        for file in sorted((self._place(project_id) / "revisions").glob("*.json"), reverse=True):
            kept = _read(file)
            if kept and (kept["told"] == FROM_FILE or kept["revision"] == 1):
                return self._case(project_id, kept["head"]["case"])
        return None

    @staticmethod
    def passing(case: Case) -> Project:
        """A project that is not kept: a case with its cards."""
        return Project("0" * 16, case.well.name, "", "", 0, "", case, work.first_cards(case), [], [])

    def copy(self, project_id: str, owner: str) -> Project:
        """The project as it stands, as a new one of another (or the same) owner."""
        now = self.get(project_id)
        made = self.make(now.case, f"{now.name} (copy)", owner, now.source if now.owner != owner else "")
        return self._put_cards(made, now)

    def remove(self, project_id: str, user: str) -> None:
        """Take a project off the shelf for good. Raises NoProject, NotYours."""
        with self._lock(project_id):
            if self._held(project_id)["owner"] != user:
                raise NotYours("Only its owner can remove a project.")
            shutil.rmtree(self._place(project_id))

    def _put_cards(self, made: Project, pattern: Project) -> Project:
        with self._lock(made.id):
            held = self._held(made.id)
            self._write(held, {**held["head"], "cards": pattern.cards}, f"Copied from {pattern.name}")
        return self.get(made.id)

    def _travel(self, held: Json, now: Project, way: str) -> Project:
        source, target = ("past", "future") if way == "undo" else ("future", "past")
        if not held[source]:
            return now
        head = held[source].pop()
        held[target].append(held["head"])
        self._write(held, head, "Undone" if way == "undo" else "Done again", keep_past=True)
        return self.get(now.id)

    def _write(self, held: Json, head: Json, told: str, keep_past: bool = False) -> None:
        if held["head"] and held["head"] != head and not keep_past:
            held["past"] = [*held["past"], held["head"]][-work.KEPT_STEPS :]
            held["future"] = []
        held["head"], held["told"] = head, told
        held["revision"] += 1
        held["changed"] = datetime.now(UTC).isoformat(timespec="seconds")
        held["well"] = self._case(held["id"], head["case"]).well.name
        place = self._place(held["id"])
        (place / "revisions").mkdir(parents=True, exist_ok=True)
        entry = {key: held[key] for key in (*IN_REVISION, "head")}
        replace_text(place / "revisions" / f"{held['revision']:06d}.json", json.dumps(entry))
        replace_text(place / "project.json", json.dumps(held))
        gone = held["revision"] - KEPT_REVISIONS
        if gone > 0:
            (place / "revisions" / f"{gone:06d}.json").unlink(missing_ok=True)

    def _revision(self, project_id: str, number: int) -> Json:
        kept = _read(self._place(project_id) / "revisions" / f"{number:06d}.json")
        if not kept:
            raise NoProject(f"Revision {number} is not kept any more.")
        head: Json = kept["head"]
        return head

    def _project(self, held: Json) -> Project:
        case = self._case(held["id"], held["head"]["case"])
        return Project(
            held["id"], held["name"], held["owner"], held["source"], held["revision"], held["changed"], case,
            held["head"]["cards"], held["past"], held["future"],
        )  # fmt: skip

    def _keep_case(self, project_id: str, case: Case) -> str:
        text = json.dumps(records.exact(case), sort_keys=True)
        key = hashlib.sha256(text.encode()).hexdigest()[:24]
        file = self._place(project_id) / "cases" / f"{key}.json"
        if not file.exists():
            file.parent.mkdir(parents=True, exist_ok=True)
            replace_text(file, text)
        return key

    def _read_case(self, project_id: str, key: str) -> Case:
        document = _read(self._place(project_id) / "cases" / f"{key}.json")
        if not document:
            raise NoProject("The case of this project is not on the disk any more.")
        return case_from(document)

    def _held(self, project_id: str) -> Json:
        held = _read(self._place(project_id) / "project.json") if re.fullmatch(r"[0-9a-f]{16}", project_id) else None
        if not held or held.get("form") != FORM or not held.get("head"):
            held = self._from_revisions(project_id)
        if held is None:
            raise NoProject("There is no such project on this server; it may have been removed.")
        return held

    def _from_revisions(self, project_id: str) -> Json | None:
        """A project whose own file cannot be read, by its newest revision that can; its undo is gone. None: no such."""
        if not re.fullmatch(r"[0-9a-f]{16}", project_id):
            return None
        for file in sorted((self._place(project_id) / "revisions").glob("*.json"), reverse=True):
            kept = _read(file)
            if kept and {*IN_REVISION, "head"} <= set(kept):
                return {**kept, "form": FORM, "past": [], "future": []}
        return None

    def _place(self, project_id: str) -> Path:
        return self.root / project_id

    def _lock(self, project_id: str) -> threading.RLock:
        with self._guard:
            return self._locks.setdefault(project_id, threading.RLock())


def _read(file: Path) -> Json | None:
    """JSON of a file; None where it is not there or no JSON."""
    try:
        found = json.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) else None

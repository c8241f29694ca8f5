"""Files that a user brings, kept beside the project while they are looked at."""

from __future__ import annotations

import re
from pathlib import Path

KEPT_FILES = 6


class Drawer:
    """The files that a project's user has brought last."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def put(self, project: str, name: str, content: bytes) -> str:
        """Keep a file under a name without any path in it; gives that name. The oldest go."""
        place = self.place(project)
        place.mkdir(parents=True, exist_ok=True)
        bare = re.sub(r"[^\w. ()-]", "_", Path(name.replace("\\", "/")).name).strip(". ")[-80:] or "table.csv"
        (place / bare).write_bytes(content)
        newest = sorted(place.iterdir(), key=lambda one: one.stat().st_mtime_ns, reverse=True)
        for old in newest[KEPT_FILES:]:
            old.unlink(missing_ok=True)
        return bare

    def place(self, project: str) -> Path:
        """The folder of a project's files."""
        return self.root / project / "files"

    def file(self, project: str, name: str) -> Path | None:
        """A file that is kept; None where it is not."""
        found = self.place(project) / Path(name).name
        return found if name and found.is_file() else None

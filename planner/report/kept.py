"""A chapter kept in the folder of the work that it is about, so that a report can take it without computing again."""

from __future__ import annotations

import json
from pathlib import Path

from planner.base.errors import CaseError, Problem
from planner.model.chapter import Chapter, alone, from_plain, plain

CHAPTER = "chapter.json"
FORMAT = 1


def kept_text(chapter: Chapter, well: str) -> str:
    """A chapter and the well that it is about, as the text of a file."""
    return json.dumps({"format": FORMAT, "well": well, "book": plain(alone(chapter))}, ensure_ascii=False) + "\n"


def kept_chapter(folder: Path, well: str) -> Chapter:
    """The chapter that a folder keeps. Raises CaseError where it keeps none, or one about another well."""
    path = folder / CHAPTER
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        (chapter,) = from_plain(found["book"]).chapters
        about, form = str(found["well"]), found["format"]
    except OSError:
        remedy = "Name the folder in which ensemble, blanks or match kept what it found, or one of the sections."
        raise CaseError([Problem(str(folder), "with", "", "it keeps no finished chapter", remedy)]) from None
    except (ValueError, KeyError, TypeError):
        raise _other(path, "it is not a chapter that this program wrote") from None
    if form != FORMAT:
        raise _other(path, f"it is of format {form}, this program reads {FORMAT}")
    if about != well:
        raise _other(path, f"it is about well {about}, not {well}")
    return chapter


def _other(path: Path, why: str) -> CaseError:
    return CaseError([Problem(str(path), "with", "", why, "Run the verb again into that folder, or leave it out.")])

"""A piece of a report that can stand by itself: on a page of its own, inside the report, on a screen."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Part:
    """A heading, a paragraph, and tables, figures or lists as HTML that is safe to show as it is."""

    heading: str
    text: str
    body: tuple[str, ...]


@dataclass(frozen=True)
class Chapter:
    """key: its name in addresses. kind: what kind of answer it is ('': a chapter of the report alone).

    title: heads it. lead: the answer in a sentence or two. parts: what the answer rests on. short: its title among the
    chapters of a report.
    """

    key: str
    kind: str
    title: str
    lead: str
    parts: tuple[Part, ...]
    short: str = ""

    @property
    def listed(self) -> str:
        """Its name in a table of contents."""
        return self.short or self.kind or self.title


@dataclass(frozen=True)
class Book:
    """One or more chapters that go out together. kind, title, lead: of the whole, as those of a chapter."""

    kind: str
    title: str
    lead: str
    chapters: tuple[Chapter, ...]


def alone(chapter: Chapter) -> Book:
    """A chapter that goes out by itself."""
    return Book(chapter.kind, chapter.title, chapter.lead, (chapter,))


def plain(book: Book) -> dict[str, Any]:
    """A book as plain data, fit for JSON."""
    return asdict(book)


def from_plain(data: dict[str, Any]) -> Book:
    """A book from plain data. Raises KeyError or TypeError where it is none."""
    chapters = tuple(_chapter(one) for one in data["chapters"])
    return Book(str(data["kind"]), str(data["title"]), str(data["lead"]), chapters)


def _chapter(data: dict[str, Any]) -> Chapter:
    parts = tuple(Part(str(one["heading"]), str(one["text"]), tuple(map(str, one["body"]))) for one in data["parts"])
    words = {name: str(data[name]) for name in ("key", "kind", "title", "lead", "short")}
    return Chapter(parts=parts, **words)

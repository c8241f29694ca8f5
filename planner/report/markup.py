"""Tables, figures and lists as HTML; a chapter in its frames: a page of its own, the report, a screen."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import Any

import pandas as pd
import plotly.graph_objects as go
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from plotly.offline import get_plotlyjs

from planner import __version__
from planner.model.cautions import CAUTION, CAUTIONS
from planner.model.chapter import Book, Chapter, Part, alone
from planner.report.frames import as_text
from planner.report.look import DARK

__all__ = ["Book", "Chapter", "Part", "alone"]
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
DIGITS = 7  # of a number that is copied out of a table


def environment() -> Environment:
    """Where the templates are found."""
    return Environment(
        loader=PackageLoader("planner.report"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip


@lru_cache(maxsize=1)
def style_text() -> str:
    """How a chapter looks, on any frame that gives the colours their values."""
    return _file("paper.css")


@lru_cache(maxsize=1)
def script_text() -> str:
    """What draws the figures of a chapter in the theme of its frame, and lets tables be copied and saved."""
    return f"window.blankwiseDark = {json.dumps(DARK)};\n{_file('paper.js')}"


def _file(name: str) -> str:
    environment_ = environment()
    assert environment_.loader is not None
    return environment_.loader.get_source(environment_, name)[0]


def page_text(chapter: Chapter) -> str:
    """A chapter as a page of its own, in need of nothing from outside, the cautions at its top."""
    return _framed("page.html", kind=chapter.kind, title=chapter.title, lead=chapter.lead, chapter=chapter)


def book_text(book: Book) -> str:
    """A book as one file, in need of nothing from outside, the cautions at its top; contents where it has chapters."""
    if len(book.chapters) == 1:
        return page_text(book.chapters[0])
    return _framed("report.html", kind=book.kind, title=book.title, lead=book.lead, chapters=book.chapters)


def fragment_text(book: Book) -> str:
    """A book without a frame, for a screen that has `style_text` and `script_text` and the plot library."""
    return environment().get_template("fragment.html").render(book=book, caution=CAUTION)


def _framed(template: str, **more: Any) -> str:
    return environment().get_template(template).render(
        today=date.today().isoformat(), version=__version__, cautions=CAUTIONS, caution=CAUTION,
        plotly=Markup(get_plotlyjs()), style=Markup(style_text()), script=Markup(script_text()), **more,
    )  # fmt: skip


def table_markup(table: pd.DataFrame, caption: str = "") -> Markup:
    """A table as HTML: the first column heads its row, numbers stand to the right and are rounded for reading."""
    if table.empty:
        return Markup('<p class="none">Nothing to show{}.</p>').format(f": {caption.lower()}" if caption else "")
    numeric = [pd.api.types.is_numeric_dtype(table[name]) for name in table.columns]
    text = as_text(table)
    heads = zip(text.columns, numeric, strict=True)
    head = Markup("").join(Markup('<th scope="col"{}>{}</th>').format(_side(one), name) for name, one in heads)
    whole = table.itertuples(index=False, name=None)
    rows = Markup("").join(
        _row(list(row), list(full), numeric)
        for row, full in zip(text.itertuples(index=False, name=None), whole, strict=True)
    )
    title = Markup("<caption>{}</caption>").format(caption) if caption else Markup("")
    page = Markup('<div class="wide"><table>{}<thead><tr>{}</tr></thead><tbody>{}</tbody></table></div>')
    return page.format(title, head, rows)


def list_markup(texts: Iterable[str]) -> Markup:
    """Sentences as a list; a single one as a paragraph."""
    listed = list(texts)
    if len(listed) == 1:
        return Markup("<p>{}</p>").format(listed[0])
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(text) for text in listed))


def figure_markup(figure: go.Figure) -> Markup:
    """A figure as HTML: its title as text above it and as its name, its data for the script that draws it."""
    data = figure.to_dict()
    title = data["layout"].pop("title", {}).get("text") or "Figure"
    made = json.loads(go.Figure(data).to_json())
    made["layout"].pop("template", None)
    text = json.dumps(made, separators=(",", ":")).replace("<", "\\u003c")
    height = int(made["layout"].get("height", 350))
    page = (
        '<figure class="drawn{}"><figcaption>{}</figcaption><div class="plot" role="group" aria-label="{}" '
        'style="height:{}px"></div><script type="application/json">{}</script></figure>'
    )
    broad = " broad" if _panels(made["layout"]) > 1 else ""
    return Markup(page).format(broad, title, escape(title), height, Markup(text))


def _panels(layout: dict[str, Any]) -> int:
    return sum(1 for name in layout if name.startswith("xaxis"))


def _side(numeric: bool) -> Markup:
    return Markup(' class="number"') if numeric else Markup("")


def _row(cells: list[str], values: list[Any], numeric: list[bool]) -> Markup:
    first = Markup('<th scope="row">{}</th>').format(cells[0])
    rest = Markup("").join(map(_cell, cells[1:], values[1:], numeric[1:]))
    return Markup("<tr>{}{}</tr>").format(first, rest)


def _cell(cell: str, value: Any, numeric: bool) -> Markup:
    if numeric:
        full = "" if cell == "-" else f"{float(value):.{DIGITS}g}"
        kept = Markup(' data-value="{}"').format(full) if full != cell else Markup("")
        return Markup('<td class="number"{}>{}</td>').format(kept, cell)
    tag = Markup('<td class="day">{}</td>') if DAY.fullmatch(cell) else Markup("<td>{}</td>")
    return tag.format(cell)

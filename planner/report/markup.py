"""Tables, figures and parts as HTML, and a page of parts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd
import plotly.graph_objects as go
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from plotly.offline import get_plotlyjs

from planner import __version__
from planner.model.cautions import CAUTIONS
from planner.report.frames import as_text

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True)
class Part:
    """A heading, a paragraph, and tables or figures as HTML."""

    heading: str
    text: str
    body: tuple[Markup, ...]


def environment() -> Environment:
    """Where the templates are found."""
    return Environment(
        loader=PackageLoader("planner.report"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )


def page_text(kind: str, title: str, lead: str, parts: Sequence[Part]) -> str:
    """A page of parts as HTML text, in need of nothing from outside, the cautions at its top."""
    return environment().get_template("page.html").render(
        kind=kind, title=title, lead=lead, parts=parts, today=date.today().isoformat(), version=__version__,
        cautions=CAUTIONS, plotly=Markup(get_plotlyjs()),
    )  # fmt: skip


def table_markup(table: pd.DataFrame, caption: str = "") -> Markup:
    """A table as HTML: the first column heads its row, numbers stand to the right and are rounded for reading."""
    if table.empty:
        return Markup('<p class="none">Nothing to show{}.</p>').format(f": {caption.lower()}" if caption else "")
    numeric = [pd.api.types.is_numeric_dtype(table[name]) for name in table.columns]
    text = as_text(table)
    head = Markup("").join(Markup('<th scope="col">{}</th>').format(name) for name in text.columns)
    rows = Markup("").join(_row(list(row), numeric) for row in text.itertuples(index=False, name=None))
    title = Markup("<caption>{}</caption>").format(caption) if caption else Markup("")
    page = Markup('<div class="wide"><table>{}<thead><tr>{}</tr></thead><tbody>{}</tbody></table></div>')
    return page.format(title, head, rows)


def _row(cells: list[str], numeric: list[bool]) -> Markup:
    first = Markup('<th scope="row">{}</th>').format(cells[0])
    rest = Markup("").join(_cell(cell, one) for cell, one in zip(cells[1:], numeric[1:], strict=True))
    return Markup("<tr>{}{}</tr>").format(first, rest)


def _cell(cell: str, numeric: bool) -> Markup:
    if numeric:
        return Markup('<td class="number">{}</td>').format(cell)
    tag = Markup('<td class="day">{}</td>') if DAY.fullmatch(cell) else Markup("<td>{}</td>")
    return tag.format(cell)


def figure_markup(figure: go.Figure) -> Markup:
    """A figure as HTML, its title as its name for readers that do not see it."""
    title = escape(figure.layout.title.text or "figure")
    inner = figure.to_html(include_plotlyjs=False, full_html=False, config={"displaylogo": False, "responsive": True})
    return Markup('<figure role="img" aria-label="{}">{}</figure>').format(title, Markup(inner))

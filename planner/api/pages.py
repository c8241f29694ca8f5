"""What was found as a chapter: on a page of its own, kept in a folder, for a screen. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from planner.base.units import UnitSystem
    from planner.model.case import Case
    from planner.model.chapter import Book, Chapter
    from planner.report.documents import Document
    from planner.report.frames import Style


def chapter_of(found: Any, case: Case | None = None, units: UnitSystem | None = None) -> Chapter:
    """What suit, split, cure, blanks, portfolio, findings or match found, as a chapter.

    case: what it is about; needed for suit and findings, the others carry it. units: none: the case's own.
    """
    style = _style(found, case, units)
    return _forms(found, case)[0](found, style)


def document_of(found: Any, case: Case | None = None, units: UnitSystem | None = None) -> Document:
    """The same as plain data with the unit in the key, as the verb's --json gives it."""
    style = _style(found, case, units)
    return _forms(found, case)[1](found, style)


def _forms(found: Any, case: Case | None) -> tuple[Callable[[Any, Style], Chapter], Callable[[Any, Style], Document]]:
    """How something found becomes a chapter, and a document. Raises TypeError for what has neither."""
    from planner.model import blank_value, cures, ensemble, match, portfolio, split_results, suitability_results
    from planner.report import (
        blank_document,
        blank_html,
        ensemble_documents,
        ensemble_html,
        late_life_documents,
        late_life_html,
        match_html,
        match_tables,
        portfolio_tables,
        split_document,
        split_html,
        suitability_document,
        suitability_html,
    )

    if isinstance(found, suitability_results.SuitabilityResult):
        return (
            lambda one, style: suitability_html.suitability_chapter(one, _case(one, case), style),
            lambda one, style: suitability_document.suitability_document(one, style.system),
        )
    if isinstance(found, split_results.SplitResult):
        return split_html.split_chapter, lambda one, style: split_document.split_document(one, style.system)
    if isinstance(found, cures.Cure):
        return late_life_html.cure_chapter, lambda one, style: late_life_documents.cure_document(one, style.system)
    if isinstance(found, blank_value.BlankValues):
        return blank_html.blanks_chapter, lambda one, style: blank_document.blanks_document(one, style.system)
    if isinstance(found, portfolio.PortfolioPlan):
        return portfolio_tables.portfolio_chapter, portfolio_tables.portfolio_document
    if isinstance(found, ensemble.Findings):
        return (
            ensemble_html.ensemble_chapter,
            lambda one, style: ensemble_documents.ensemble_document(one, style.system, style.currency),
        )
    if isinstance(found, match.Match):
        return match_html.match_chapter, lambda one, style: match_tables.match_document(one, style.system)
    raise TypeError(f"{type(found).__name__} has no chapter")


def write_page(found: Any, path: str | Path, units: UnitSystem | None = None, case: Case | None = None) -> Path:
    """Write what was found as a self-contained HTML page; gives the path back. Arguments as of `chapter_of`."""
    from planner.io.write import replace_text
    from planner.report.markup import page_text

    replace_text(Path(path), page_text(chapter_of(found, case, units)))
    return Path(path)


def keep_chapter(found: Any, folder: str | Path, units: UnitSystem | None = None, case: Case | None = None) -> Path:
    """Keep what was found as a chapter in the folder of its work, for a report to take; gives the file's path."""
    from planner.io.write import replace_text
    from planner.report.kept import CHAPTER, kept_text

    well = _case(found, case).well.name
    replace_text(Path(folder) / CHAPTER, kept_text(chapter_of(found, case, units), well))
    return Path(folder) / CHAPTER


def book_text(book: Book) -> str:
    """A book as one self-contained HTML file."""
    from planner.report.markup import book_text as text

    return text(book)


def fragment_text(book: Book) -> str:
    """A book as HTML without a frame, for a screen with `paper_style` and `paper_script` and the plot library."""
    from planner.report.markup import fragment_text as text

    return text(book)


def paper_style() -> str:
    """The style sheet of chapters."""
    from planner.report.markup import style_text

    return style_text()


def paper_script() -> str:
    """The script of chapters: figures in the theme of their frame, tables to be copied and saved."""
    from planner.report.markup import script_text

    return script_text()


def _case(found: Any, case: Case | None) -> Case:
    from planner.model.case import Case as CaseRecord

    own = case or getattr(found, "case", None) or getattr(found, "extra", {}).get("case")
    if not isinstance(own, CaseRecord):
        raise ValueError(f"{type(found).__name__} does not carry its case; give it")
    return own


def _style(found: Any, case: Case | None, units: UnitSystem | None) -> Style:
    from planner.model.portfolio import PortfolioPlan
    from planner.report.tables import style_for

    if isinstance(found, PortfolioPlan):
        return style_for(units or "field", found.currency)
    own = _case(found, case)
    return style_for(units or own.units, own.economics.currency)

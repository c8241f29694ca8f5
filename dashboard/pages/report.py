"""The report for the partners: the base, the compared what-ifs and the decisions chosen, as one file."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import html

from dashboard import session
from dashboard.archive import Answer
from dashboard.house import House, Visit
from dashboard.pages import blanks, late_life, match, portfolio, split, suitability, uncertainty
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

Json = dict[str, Any]
NAME = "report"
TOLD = (
    "Comparison, money, the well, its course, limits, inputs, methods with their sources, and cautions, in one file. "
    "A decision that was worked out on its page for the case as it stands goes in as it is there; the others are "
    "computed now, and may take their time."
)
PAGES: dict[str, LongWork] = {
    "suit": suitability.WORK,
    "split": split.WORK,
    "match": match.WORK,
    "ensemble": uncertainty.WORK,
    "cure": late_life.WORK,
    "blanks": blanks.WORK,
    "portfolio": portfolio.WORK,
}


def answered(visit: Visit, house: House, options: Json) -> dict[str, Answer]:
    """The answers of other pages to the case as it stands, by section, of those that are chosen."""
    found: dict[str, Answer] = {}
    for name in options["sections"]:
        work = PAGES[name]
        answer = house.archive.latest(visit.project.id, work.name)
        if answer is not None:
            asked = long_work.asked_of(work, visit, house, {}).question
            same = all(answer.question[part] == asked[part] for part in ("case", "what_ifs"))
            if same and answer.question["options"].get("units") == visit.system:
                found[name] = answer
    return found


def options(visit: Visit, house: House | None = None) -> list[Any]:
    """Which decisions go in; at first those that are quick, and those that are worked out already."""
    offers = session.section_offers(visit.case)
    there = answered(visit, house, {"sections": list(PAGES)}) if house else {}
    chips = [
        html.Span(
            dmc.Chip(
                offer.title, value=offer.key, size="xs", disabled=bool(offer.why_not) and offer.key not in there,
            ),
            title="As on its page" if offer.key in there else _because(offer),
        )
        for offer in offers
    ]  # fmt: skip
    chosen = [offer.key for offer in offers if offer.quick or offer.key in there]
    return [dmc.ChipGroup(chips, id=option(NAME, "sections"), multiple=True, value=chosen)]


def _because(offer: Any) -> str:
    if offer.why_not:
        return f"Cannot go in: {offer.why_not}."
    return f"Computed now: {offer.takes}."


WORK = LongWork(
    NAME, "dashboard.session:report_of", "Make the report", document.show, options=options, from_cards="compared",
    with_units=True, papers=answered,
)  # fmt: skip


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    work = replace(WORK, options=lambda visit: options(visit, house))
    return document.layout(TOLD, work, visit, house, _missing(visit))


def _missing(visit: Visit) -> list[Any]:
    """What cannot be computed for this case, and why."""
    lacking = [offer for offer in session.section_offers(visit.case) if offer.why_not]
    if not lacking:
        return []
    listed = [html.Li(f"{offer.title}: {offer.why_not}.") for offer in lacking]
    return [html.Details([html.Summary("What cannot be computed for this case, and why"), html.Ul(listed)],
                         className="missing")]  # fmt: skip


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(NAME, "Report", "Hand over", layout, register, says="The answer as one file for the partners.")

"""Suitability: what hole and sand say for and against each kind of completion, interval by interval."""

from __future__ import annotations

from typing import Any

import dash

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork

NAME = "suitability"
TOLD = (
    "Reasons for and against each kind of completion, interval by interval: hole size, seats for seals, grain size, "
    "rock strength against drawdown, fluid. Every reason carries its source."
)
NOTHING = (
    "This case does not say what hole and sand are judged against: fill Hole and sand, Sieve samples and Rock strength "
    "under Inputs, Plan. Whatever is missing is told on this page."
)
WORK = LongWork(NAME, "dashboard.session:suit_of", "Judge again", document.show, with_units=True, at_once=True)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house) if visit.case.suitability else document.without(NOTHING)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(
    NAME, "Suitability", "The case", layout, register, needs="suit", says="What hole and sand suit, and why.",
    later=lambda visit: [document.layout(TOLD, WORK, visit)],
)  # fmt: skip

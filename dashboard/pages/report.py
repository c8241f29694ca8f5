"""The report for the partners: one self-contained file of the base and the compared what-ifs."""

from __future__ import annotations

from typing import Any

import dash

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork

TOLD = "Inputs, answers, flow, life, money, limits, methods with their sources, and cautions, in one file."
WORK = LongWork(
    "report", "dashboard.session:report_of", "Make the report", document.show, from_cards="compared", with_units=True
)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page("report", "Report", "Hand over", layout, register, says="The answer as one file for the partners.")

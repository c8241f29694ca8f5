"""Match: the ranges of the case brought to what was measured."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

NAME = "match"
TOLD = (
    "What is uncertain in the case, brought to what was measured: ranges before and after, misfit, and what the data "
    "cannot tell. Each round takes a forecast for every member."
)
NOTHING = (
    "This case holds nothing to match: bring what was measured under Inputs, From a file, and make a range under "
    "Inputs, Ranges, for each number that the measurements are to narrow."
)
METHODS = {"smoother": "members and rounds", "least squares": "one best point"}


def options(visit: Visit) -> list[Any]:
    """How, and with how many members."""
    return [
        dmc.Select(
            id=option(NAME, "method"), data=[{"value": key, "label": text} for key, text in METHODS.items()],
            value="smoother", label="Search by", size="xs", w=160, allowDeselect=False,
        ),
        dmc.Select(
            id=option(NAME, "members"), data=["20", "50", "100", "200"], value="50", label="Members", size="xs", w=90,
            allowDeselect=False,
        ),
    ]  # fmt: skip


WORK = LongWork(
    NAME, "dashboard.session:match_of", "Match to the measurements", document.show, options=options, with_units=True
)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    there = visit.case.measured and visit.case.uncertain
    return document.layout(TOLD, WORK, visit, house) if there else document.without(NOTHING)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(
    NAME, "Match", "The case", layout, register, needs="match", says="The case brought to what was measured.",
    later=lambda visit: [document.layout(TOLD, WORK, visit)],
)  # fmt: skip

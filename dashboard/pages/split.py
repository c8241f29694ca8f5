"""Zone split: which seals and blanks are worth running, on whole joints, and what each wish costs."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

NAME = "split"
TOLD = (
    "The string of whole joints that is worth most: where seals and blanks go, what it costs to run, and what it is "
    "worth to be able to shut a zone later. It takes a forecast for each group of sands and each rule."
)
NOTHING = (
    "This case does not say how the well may be split: say it under Inputs, Plan: Zone split (such as the shortest "
    "barrier), Rules for shutting a zone later and Futures to plan for, with prices under Prices and costs."
)


def options(visit: Visit) -> list[Any]:
    """Pieces that have to be there, and pieces that may not."""
    return [
        dmc.TextInput(id=option(NAME, "pins"), value="", label="Has to be there", size="xs", w=300, debounce=True,
                      placeholder="seal Fern / Moss; blank 2100 m to 2110 m"),
        dmc.TextInput(id=option(NAME, "forbids"), value="", label="May not be there", size="xs", w=250, debounce=True,
                      placeholder="seal 7054 ft to 7064 ft"),
    ]  # fmt: skip


WORK = LongWork(
    NAME, "dashboard.session:split_of", "Find the best split", document.show, options=options, from_cards="all",
    with_units=True,
)  # fmt: skip


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house) if visit.case.split else document.without(NOTHING)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(
    NAME, "Zone split", "The case", layout, register, needs="split", says="Which seals and blanks are worth running.",
    later=lambda visit: [document.layout(TOLD, WORK, visit)],
)  # fmt: skip

"""Uncertainty: the base and the compared what-ifs over many members, with what is uncertain in the case drawn."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

NAME = "uncertainty"
TOLD = (
    "The base and the compared what-ifs over many members, each with its own draw of what the case calls uncertain: "
    "ranges, how often one beats the other, and which input it hangs on. A member takes about as long as a forecast."
)
NOTHING = "This case names nothing that is not known for sure: make ranges under Inputs, Ranges."


def options(visit: Visit) -> list[Any]:
    """How many members, from which seed."""
    return [
        dmc.Select(
            id=option(NAME, "members"), data=["20", "50", "100", "200", "500", "1000"], value="50", label="Members",
            size="xs", w=90, allowDeselect=False,
        ),
        dmc.Select(
            id=option(NAME, "seed"), data=["1", "2", "3"], value="1", label="Seed of the draws", size="xs", w=120,
            allowDeselect=False,
        ),
    ]  # fmt: skip


WORK = LongWork(
    NAME, "dashboard.session:uncertainty_of", "Draw and compute", document.show, options=options,
    from_cards="compared", with_units=True, goes_on=True,
)  # fmt: skip


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    if not visit.case.uncertain:
        return document.without(NOTHING)
    return document.layout(TOLD, WORK, visit, house)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(
    NAME, "Uncertainty", "Decide", layout, register, needs="ensemble", says="Ranges, and what they hang on.",
    later=lambda visit: [document.layout(TOLD, WORK, visit)],
)  # fmt: skip

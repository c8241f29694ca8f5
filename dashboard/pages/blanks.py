"""Worth of blanks: what each blank pipe is worth to somebody who shuts zones by what is seen, over many members."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

NAME = "blanks"
TOLD = (
    "What each blank pipe is worth: how much is lost without it by somebody who shuts zones by what the well shows, "
    "over many draws of what is uncertain. Each member takes several forecasts."
)
NOTHING = (
    "This case names nothing that is not known for sure, so there is nothing to choose between later: make ranges "
    "under Inputs, Ranges, and give prices under Inputs, Prices and costs."
)


def options(visit: Visit) -> list[Any]:
    """How many members, and on how many dates one may act."""
    return [
        dmc.Select(
            id=option(NAME, "members"), data=["20", "50", "100", "200", "500"], value="50", label="Members",
            size="xs", w=90, allowDeselect=False,
        ),
        dmc.Select(
            id=option(NAME, "dates"), data=["3", "5", "8"], value="5", label="Dates to act on", size="xs", w=120,
            allowDeselect=False,
        ),
    ]  # fmt: skip


WORK = LongWork(
    NAME,
    "dashboard.session:blanks_of",
    "Value the blanks",
    document.show,
    options=options,
    with_units=True,
    goes_on=True,
)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house) if visit.case.uncertain else document.without(NOTHING)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(
    NAME, "Blanks", "Decide", layout, register, needs="blanks", says="What each blank pipe is worth.",
    later=lambda visit: [document.layout(TOLD, WORK, visit)],
)  # fmt: skip

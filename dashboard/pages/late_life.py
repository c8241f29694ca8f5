"""Late life: what ails the well, and every job that its string allows, ranked by risked value with its best date."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

NAME = "late-life"
TOLD = (
    "What ails the well on the day of the decision, and the jobs that its string allows: value over doing nothing, "
    "risk, and the date at which each is worth most. It takes a forecast for each job and date."
)
STEPS = {"none": "on that day alone", "year": "each year after", "quarter": "each quarter after"}


def options(visit: Visit) -> list[Any]:
    """The day of the decision and the dates that are tried."""
    schedule = visit.case.schedule
    day = visit.case.late_life.today or schedule.start
    return [
        dmc.DateInput(
            id=option(NAME, "on"), value=day.isoformat(), valueFormat="YYYY-MM-DD", label="Day of the decision",
            minDate=schedule.start.isoformat(), maxDate=schedule.end.isoformat(), w=130, size="xs",
        ),
        dmc.Select(
            id=option(NAME, "step"), data=[{"value": key, "label": text} for key, text in STEPS.items()], value="none",
            label="Dates that are tried", size="xs", w=170, allowDeselect=False,
        ),
    ]  # fmt: skip


WORK = LongWork(
    NAME, "dashboard.session:late_life_of", "Rank the jobs", document.show, options=options, with_units=True
)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(NAME, "Late life", "Decide", layout, register, needs="cure", says="Which job, when, and does it pay.")

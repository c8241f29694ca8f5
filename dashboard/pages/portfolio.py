"""Portfolio: the best set of jobs on the wells of several projects, under one budget and rig time."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard import work
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

Json = dict[str, Any]
NAME = "portfolio"
TOLD = (
    "The best set of jobs on the wells of your projects under one budget and rig time. The jobs are the compared "
    "what-ifs of each project; all wells need prices in one currency."
)


def options(visit: Visit) -> list[Any]:
    """Budget and rig time; empty: no limit."""
    currency = visit.case.economics.currency
    return [
        dmc.TextInput(id=option(NAME, "budget"), value="", label=f"Budget, million {currency}", size="xs", w=150,
                      placeholder="no limit", debounce=True),
        dmc.TextInput(id=option(NAME, "rig_days"), value="", label="Rig time, days", size="xs", w=120,
                      placeholder="no limit", debounce=True),
    ]  # fmt: skip


def gather(visit: Visit, house: House) -> Json:
    """The case of every project of the user with its compared what-ifs, by name of the project."""
    found: Json = {}
    for entry in house.shelf.of(house.user()):
        project = house.shelf.get(entry.id)
        chosen = [card for card in project.cards if card["compared"]]
        found[f"{project.name} {entry.id[:4]}"] = work.with_what_ifs(project.case, chosen)
    return found


WORK = LongWork(
    NAME, "dashboard.session:portfolio_of", "Choose the jobs", document.show, options=options, gather=gather,
    with_units=True,
)  # fmt: skip


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(NAME, "Portfolio", "Decide", layout, register, needs="portfolio", says="Jobs across wells within a budget.")

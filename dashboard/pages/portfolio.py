"""Portfolio: the best set of jobs on the wells of several projects, under one budget and rig time."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import document, long_work
from dashboard.widgets.long_work import LongWork, option

Json = dict[str, Any]
NAME = "portfolio"
TOLD = (
    "The best set of jobs on the wells that you choose, under one budget and rig time. The jobs are those that each "
    "string allows, as on Late life; all wells need prices, in one currency."
)


def options(visit: Visit) -> list[Any]:
    """Day of the decision for all wells; budget and rig time, empty: no limit."""
    currency, schedule = visit.case.economics.currency, visit.case.schedule
    day = visit.case.late_life.today or schedule.start
    return [
        dmc.DateInput(id=option(NAME, "on"), value=day.isoformat(), valueFormat="YYYY-MM-DD", w=130, size="xs",
                      label="Day of the decision"),
        dmc.TextInput(id=option(NAME, "budget"), value="", label=f"Budget, million {currency}", size="xs", w=150,
                      placeholder="no limit", debounce=True),
        dmc.TextInput(id=option(NAME, "rig_days"), value="", label="Rig time, days", size="xs", w=120,
                      placeholder="no limit", debounce=True),
    ]  # fmt: skip


def wells(visit: Visit, house: House) -> list[Any]:
    """Which projects: this one and the others of the user, by name."""
    data = [{"value": entry.id, "label": f"{entry.name} {entry.id[:4]}"} for entry in house.shelf.of(house.user())]
    return [
        dmc.MultiSelect(id=option(NAME, "wells"), data=data, value=[visit.project.id], label="Wells (your projects)",
                        size="xs", w=360, searchable=True),
    ]  # fmt: skip


def gather(visit: Visit, house: House, options_: Json) -> Json:
    """The cases of the chosen projects, by name; without what-ifs, which no job comes from."""
    mine = {entry.id: entry for entry in house.shelf.of(house.user())}
    found: Json = {}
    for name in options_.get("wells") or []:
        if name in mine:
            case = house.shelf.get(name).case
            bare = {"what_ifs": (), "split": None}  # the futures of a split name what-ifs
            found[f"{mine[name].name} {name[:4]}"] = case.model_copy(update=bare)
    return found


WORK = LongWork(
    NAME, "dashboard.session:portfolio_of", "Choose the jobs", document.show, options=options, gather=gather,
    more=wells, with_units=True,
)  # fmt: skip


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return document.layout(TOLD, WORK, visit, house)


def register(app: dash.Dash, house: House) -> None:
    """The work."""
    long_work.register(app, house, WORK)


PAGE = Page(NAME, "Portfolio", "Decide", layout, register, needs="portfolio", says="Jobs across wells within a budget.")

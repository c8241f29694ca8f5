"""The first answer: what the well would give on the first day if the jobs of the what-if were done by then.

It is the engine's flow at an instant, not a forecast, and it is there before the forecast is.
"""

from __future__ import annotations

from typing import Any

import dash
from dash import Input, Output, State, html, no_update

from dashboard import events, ids, work
from dashboard.house import House, Visit
from dashboard.measure import amount, change
from dashboard.widgets import figures_of_flow as flows
from planner.model.case import Case
from planner.model.change import WhatIf

Json = dict[str, Any]


def on_the_first_day(what_if: WhatIf, case: Case) -> tuple[WhatIf | None, bool]:
    """The what-if with its jobs done at the start, and whether an event had to be left out (water that comes early)."""
    start = case.schedule.start
    kept = [event for event in what_if.events if event.do != "early water"]
    moved = tuple(event.model_copy(update={"on": start, "when": None}) for event in kept)
    return (what_if.model_copy(update={"events": moved}) if moved else None), len(kept) < len(what_if.events)


def words(house: House, visit: Visit) -> list[Any]:
    """The line: main rate and water, with the difference to the base; what hinders where it cannot be had."""
    if not work.active(visit.card):
        return []
    try:
        what_if, left_out = on_the_first_day(work.what_if_of(visit.card), visit.case)
    except events.BadInput as bad:
        return [str(bad)]
    if what_if is None:
        return []
    base, mine = house.engine.flow(visit.case, None), house.engine.flow(visit.case, what_if)
    if base.result is None or mine.result is None:
        return [mine.text or base.text or ""]
    told = [f"{name} {amount(now, quantity, visit.system)} ({change(now - before, quantity, visit.system)})"
            for name, quantity, now, before in flows.pairs(mine.result, base.result)]  # fmt: skip
    aside = "; water that comes early is not in it" if left_out else ""
    return [html.B("Done on day one: "), ", ".join(told) + aside]


def register(app: dash.Dash, house: House) -> None:
    """The line follows the work at once."""

    @app.callback(
        Output(ids.AT_ONCE, "children"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(ids.TAB, "data"),
    )
    def tell(here: Json | None, look: Json | None, tab: str) -> Any:
        visit = house.visit(here, look, tab)
        return words(house, visit) if visit else no_update

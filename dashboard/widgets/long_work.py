"""Long work on a page: a button, progress with the time left, a stop, what failed, and the result that stays.

A page describes its work by a `LongWork` and gets the section and all callbacks from here. The work runs in a process
of its own and goes on while the user is on other pages; its result is kept by the content of case and options.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids, work
from dashboard.house import House, Visit
from dashboard.jobs import Lane
from dashboard.session import Standing, content_key
from planner.model.case import Case

Json = dict[str, Any]


@dataclass(frozen=True)
class LongWork:
    """name: of its components. task: 'module:function' called as (case, options, progress=, cancelled=).

    button: what stands on it. options: the inputs of a page, each with the id `option(name, key)` and a value. show:
    components for a result. from_cards: which what-if cards the work is about, given to it as case.what_ifs.
    with_units: whether the result depends on the unit system, which is then among the options. gather: cases of other
    projects that the work is about, which the task gets as the option `cases`.
    at_once: quick work, which begins by itself when the page is opened.
    """

    name: str
    task: str
    button: str
    show: Callable[[Visit, Standing], Any]
    options: Callable[[Visit], list[Any]] = lambda visit: []
    from_cards: Literal["", "all", "compared"] = ""
    with_units: bool = False
    gather: Callable[[Visit, House], dict[str, Case]] | None = None
    at_once: bool = False

    def part(self, name: str) -> str:
        """Id of a component."""
        return f"{self.name}-{name}"


def option(name: Any, key: Any) -> Json:
    """Id of an input of long work."""
    return {"type": "work-option", "work": name, "key": key}


def section(work_: LongWork, visit: Visit) -> Any:
    """Inputs, button, progress, and the place of the result."""
    return html.Div(
        [
            html.Div(
                [
                    *work_.options(visit),
                    dmc.Button(work_.button, id=work_.part("start"), n_clicks=0, size="compact-sm"),
                    dmc.Button(
                        "Stop", id=work_.part("stop"), n_clicks=0, size="compact-sm", variant="light", display="none"
                    ),
                    html.Progress(id=work_.part("bar"), max="1", value="0", hidden=True, **{"aria-label": "Progress"}),
                    html.Span(id=work_.part("said"), role="status", className="quiet"),
                ],
                className="chart-tools work-tools",
            ),
            html.Div(id=work_.part("result"), className="work-result"),
            dcc.Store(id=work_.part("shown")),
            dcc.Interval(id=work_.part("tick"), interval=400, disabled=True),
        ],
        className="work",
    )  # fmt: skip


def case_of(work_: LongWork, visit: Visit) -> Case:
    """The case that the work is about."""
    if not work_.from_cards:
        return visit.case
    chosen = [card for card in visit.cards if card["compared"] or work_.from_cards == "all"]
    return work.with_what_ifs(visit.case, chosen)


def key_of(work_: LongWork, case: Case, options: Json) -> Json:
    """What the result depends on beside the case without its what-ifs."""
    listed = [what_if.model_dump(mode="json") for what_if in case.what_ifs] if work_.from_cards else []
    return {"options": options, "what_ifs": listed}


def words(standing: Standing | None) -> str:
    """How the work stands."""
    if standing is None:
        return "Not computed yet for the case as it stands."
    if standing.state == "waiting":
        return "Waiting for other long work to end ..."
    if standing.open:
        left = f", about {standing.time_left:.0f} s left" if standing.time_left else ""
        said = f"{standing.text[:1].upper()}{standing.text[1:]}" if standing.text else "Computing"
        return f"{said}: {standing.share:.0%}{left}" if standing.share else f"{said} ..."
    if standing.state == "done":
        return ""
    return f"{standing.text} Your work is kept." if standing.state == "failed" else standing.text


def register(app: dash.Dash, house: House, work_: LongWork) -> None:
    """The callbacks of one piece of long work."""

    @app.callback(
        Output(work_.part("result"), "children"),
        Output(work_.part("said"), "children"),
        Output(work_.part("bar"), "value"),
        Output(work_.part("bar"), "hidden"),
        Output(work_.part("stop"), "display"),
        Output(work_.part("start"), "disabled"),
        Output(work_.part("tick"), "disabled"),
        Output(work_.part("shown"), "data"),
        Input(work_.part("start"), "n_clicks"),
        Input(work_.part("stop"), "n_clicks"),
        Input(work_.part("tick"), "n_intervals"),
        Input(option(work_.name, ALL), "value"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(option(work_.name, ALL), "id"),
        State(work_.part("shown"), "data"),
    )
    def follow(start: int, stop: int, ticks: int, values: Any, here: Any, look: Any, names: Any, shown: Any) -> Any:
        visit = house.visit(here, look)
        if visit is None or not look:
            return (no_update,) * 8
        case = case_of(work_, visit)
        options = {name["key"]: value for name, value in zip(names, values, strict=True)}
        if work_.with_units:
            options["units"] = visit.system
        key = key_of(work_, case, options)
        if work_.gather:
            options["cases"] = work_.gather(visit, house)
            key["cases"] = {name: content_key(one, None, one.what_ifs) for name, one in options["cases"].items()}
        pressed = {one["prop_id"] for one in ctx.triggered}  # a field left by pressing a button comes along with it
        if f"{work_.part('stop')}.n_clicks" in pressed and stop:
            house.engine.stop_long(work_.task, case, key)
        begun = f"{work_.part('start')}.n_clicks" in pressed and bool(start)
        lane: Lane = "quick" if work_.at_once else "long"
        stood = house.engine.long(work_.task, case, key, case, options, start=begun, lane=lane)
        if stood is None and work_.at_once:
            stood = house.engine.long(work_.task, case, key, case, options, start=True, lane=lane)
        running = stood is not None and stood.open
        share = str(round(stood.share, 3)) if stood else "0"
        state = (words(stood), share, not running, "inline-block" if running else "none", running, not running)
        if stood is None or stood.state != "done":
            return (no_update if running or shown is None else "", *state, None if not running else no_update)
        marks = [key, look]
        return (no_update if shown == marks else work_.show(visit, stood), *state, marks)

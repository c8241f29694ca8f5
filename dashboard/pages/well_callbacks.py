"""Callbacks of the page: thin, each from inputs to one pure function. The reducer is the only writer of the work."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import Any

import dash
from dash import ALL, ClientsideFunction, Input, Output, State, ctx, no_update

from dashboard import actions, events, ids, work
from dashboard.pages import well_view
from dashboard.session import CaseDesk
from dashboard.widgets import cards, part_panel
from dashboard.widgets.answers import csv_rows

Json = dict[str, Any]


def register(app: dash.Dash, desk: CaseDesk) -> None:
    """Bind the page's callbacks to a case."""
    _in_the_browser(app)
    _reducer(app, desk)
    _desk(app, desk)
    _part(app, desk)
    _answer(app, desk)
    _save(app, desk)


def work_in(held: Json | None, desk: CaseDesk) -> Json | None:
    """The work of this case in what the browser holds."""
    found = (held or {}).get("works", {}).get(desk.key)
    return found if work.usable(found) else None


def units_in(look: Json | None, desk: CaseDesk) -> Any:
    """The unit system chosen; the case's own until then."""
    chosen = (look or {}).get("units")
    return chosen if chosen in ("field", "metric") else desk.case.units


def date_at(at: Any, desk: CaseDesk) -> date:
    """The first of the month of a slider's report index, inside the schedule and after its start."""
    schedule = desk.case.schedule
    step = {"month": 1, "quarter": 3, "year": 12}[schedule.report]
    years, month = divmod(schedule.start.month - 1 + max(1, int(at or 0)) * step, 12)
    return min(date(schedule.start.year + years, month + 1, 1), schedule.end)


def index_after(day: Any, desk: CaseDesk) -> int | None:
    """The slider's index of the first report date after a day: the first that shows what was done on it."""
    if not day:
        return None
    schedule = desk.case.schedule
    done, step = date.fromisoformat(str(day)[:10]), {"month": 1, "quarter": 3, "year": 12}[schedule.report]
    months = (schedule.end.year - schedule.start.year) * 12 + schedule.end.month - schedule.start.month
    last = max(1, months // step)
    return next((at for at in range(1, last + 1) if date_at(at, desk) > done), last)


def job_date(at: Any, mine: Json | None, desk: CaseDesk) -> date:
    """The date that a new job is offered: that of the picture, or of the last job where the picture just follows it."""
    days = [listed["event"].get("on") for listed in work.chosen(mine)["events"]] if mine else []
    last = next((day for day in reversed(days) if day), None)
    if last and index_after(last, desk) == max(1, int(at or 0)):
        return date.fromisoformat(str(last)[:10])
    return date_at(at, desk)


def _in_the_browser(app: dash.Dash) -> None:
    def here(name: str) -> ClientsideFunction:
        return ClientsideFunction("well", name)

    app.clientside_callback(
        here("begin"),
        Output(ids.DESK, "data", allow_duplicate=True),
        Input(ids.SEED, "data"),
        prevent_initial_call="initial_duplicate",
    )
    app.clientside_callback(here("look"), Output(ids.FRAME, "forceColorScheme"), Output(ids.LOOK, "data"),
                            Input(ids.THEME, "value"), Input(ids.UNITS, "value"))  # fmt: skip
    app.clientside_callback(here("show"), Output(ids.DATE_TEXT, "children"), Input(ids.PICTURE, "data"),
                            Input(ids.DATE, "value"), Input(ids.PICKED, "data"))  # fmt: skip
    app.clientside_callback(
        here("stale"), Output(ids.ANSWERS, "className"), Input(ids.DESK, "data"), Input(ids.SHOWN, "data")
    )
    app.clientside_callback(here("play"), Output(ids.PLAY, "children"), Input(ids.PLAY, "n_clicks"),
                            State(ids.DATE, "value"), State(ids.DATE, "max"), prevent_initial_call=True)  # fmt: skip
    app.clientside_callback(
        here("month"), Output(ids.EARLY_TEXT, "children"), Input(ids.field("early"), "value"), State(ids.SEED, "data")
    )
    app.clientside_callback(here("section"), Output(ids.SECTIONS, "className"), Input(ids.SECTION, "value"))


def step_of(trigger: Any, value: Any) -> Json | None:
    """The step of the reducer that a component asks for; None for the part panel's buttons and for no real click."""
    if isinstance(trigger, str):
        plain = {ids.UNDO: "undo", ids.REDO: "redo", ids.NEW_CARD: "new card", ids.COPY_CARD: "copy card",
                 ids.REMOVE_CARD: "remove card"}  # fmt: skip
        if trigger == ids.CARD_NAME:
            return {"do": "rename", "name": value}
        return {"do": plain[trigger]} if value and trigger in plain else None
    kind = trigger["type"]
    if kind == "event-switch":
        return {"do": "switch event", "event_id": trigger["event"], "on": value}
    if kind == "event-date":
        return {"do": "date event", "event_id": trigger["event"], "date": value}
    if not value:
        return None
    return {
        "event-remove": {"do": "remove event", "event_id": trigger.get("event")},
        "pick-card": {"do": "choose", "card": trigger.get("card")},
        "compare-card": {"do": "compare", "card": trigger.get("card")},
    }.get(kind)


def _reducer(app: dash.Dash, desk: CaseDesk) -> None:
    @app.callback(
        Output(ids.DESK, "data"),
        Output(ids.field(ALL), "error"),
        Output(ids.TROUBLE, "children"),
        Output(ids.DATE, "value"),
        Input(ids.act(ALL), "n_clicks"),
        Input(ids.event_switch(ALL), "checked"),
        Input(ids.event_date(ALL), "value"),
        Input(ids.event_remove(ALL), "n_clicks"),
        Input(ids.pick_card(ALL), "n_clicks"),
        Input(ids.compare_card(ALL), "n_clicks"),
        Input(ids.UNDO, "n_clicks"),
        Input(ids.REDO, "n_clicks"),
        Input(ids.NEW_CARD, "n_clicks"),
        Input(ids.COPY_CARD, "n_clicks"),
        Input(ids.REMOVE_CARD, "n_clicks"),
        Input(ids.CARD_NAME, "value"),
        State(ids.field(ALL), "value"),
        State(ids.field(ALL), "id"),
        State(ids.DESK, "data"),
        State(ids.PICKED, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def reduce(*given: Any) -> tuple[Any, list[Any], Any, Any]:
        values, names, held, picked, look = given[-5:]
        quiet = [no_update] * len(names)
        mine, trigger = work_in(held, desk), ctx.triggered_id
        if mine is None or trigger is None:
            return no_update, quiet, no_update, no_update
        system, value = units_in(look, desk), ctx.triggered[0]["value"]
        try:
            if isinstance(trigger, dict) and trigger["type"] == "act":
                if not value or not picked:
                    return no_update, quiet, no_update, no_update
                fields = {name["name"]: field for name, field in zip(names, values, strict=True)}
                step = {
                    "do": "add event",
                    "event": actions.event_for(trigger["name"], picked, fields, desk.case, system),
                }
            else:
                asked = step_of(trigger, value)
                if asked is None:
                    return no_update, quiet, no_update, no_update
                step = asked
            new = work.after(mine, step, system)
        except events.BadInput as bad:
            errors = [str(bad) if name["name"] == bad.field else None for name in names]
            return no_update, errors, "" if any(errors) else str(bad), no_update
        if new is mine:
            return no_update, quiet, no_update, no_update
        seen = index_after(step["event"].get("on"), desk) if step["do"] == "add event" else None
        shown_at = no_update if seen is None else seen
        return {**held, "works": {**held["works"], desk.key: new}}, [None] * len(names), "", shown_at


def _desk(app: dash.Dash, desk: CaseDesk) -> None:
    @app.callback(
        Output(ids.EVENTS, "children"),
        Output(ids.CARD_NAME, "value"),
        Output(ids.UNDO, "disabled"),
        Output(ids.REDO, "disabled"),
        Input(ids.DESK, "data"),
        Input(ids.LOOK, "data"),
    )
    def show_desk(held: Json | None, look: Json | None) -> tuple[Any, ...]:
        mine = work_in(held, desk)
        if mine is None:
            return no_update, no_update, True, True
        listed = cards.event_list(mine, desk.case, units_in(look, desk))
        return listed, work.chosen(mine)["name"], not mine["past"], not mine["future"]


def _part(app: dash.Dash, desk: CaseDesk) -> None:
    @app.callback(
        Output(ids.PART, "children"),
        Input(ids.PICKED, "data"),
        Input(ids.LOOK, "data"),
        State(ids.DATE, "value"),
        State(ids.DESK, "data"),
    )
    def show_part(picked: Json | None, look: Json | None, at: Any, held: Json | None) -> Any:
        given = (desk.case, desk.description, job_date(at, work_in(held, desk), desk), units_in(look, desk))
        return part_panel.panel(picked, *given, desk.base_arrivals())


def _answer(app: dash.Dash, desk: CaseDesk) -> None:
    @app.callback(
        output=well_view.OUTPUTS,
        inputs={
            "held": Input(ids.DESK, "data"),
            "look": Input(ids.LOOK, "data"),
            "scope": Input(ids.SCOPE, "value"),
            "section": Input(ids.SECTION, "value"),
            "again": Input(ids.AGAIN, "n_intervals"),
            "stop": Input(ids.STOP, "n_clicks"),
            "retry": Input(ids.TRY_AGAIN, "n_clicks"),
        },
        state={"shown": State(ids.SHOWN, "data")},
    )
    def show_answer(
        held: Any, look: Any, scope: Any, section: Any, again: Any, stop: Any, retry: Any, shown: Any
    ) -> Json:
        mine = work_in(held, desk)
        if mine is None or not look:
            return dict.fromkeys(well_view.OUTPUTS, no_update)
        if ctx.triggered_id == ids.STOP and stop:
            desk.cancel(held["session"])
        if ctx.triggered_id == ids.TRY_AGAIN and retry:
            desk.forget(held["session"])
        view = well_view.View(units_in(look, desk), look.get("theme", "light"), scope or "", section or "time")
        return well_view.answer(desk, held["session"], mine, view, shown, only_polled=ctx.triggered_id == ids.AGAIN)


def _save(app: dash.Dash, desk: CaseDesk) -> None:
    @app.callback(
        Output(ids.SAVED, "data"),
        Input(ids.SAVE, "n_clicks"),
        State(ids.DESK, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def save(clicks: int, held: Json | None, look: Json | None) -> Any:
        mine = work_in(held, desk)
        if not clicks or held is None or mine is None:
            return no_update
        results = well_view.compared(mine, well_view.standings(desk, held["session"], mine, patience=5.0))
        rows = csv_rows(results, units_in(look, desk))
        if not rows:
            return no_update
        text = io.StringIO()
        writer = csv.DictWriter(text, list(rows[0]), restval="")
        writer.writeheader()
        writer.writerows(rows)
        return {"content": text.getvalue(), "filename": f"{desk.case.well.name} what-ifs.csv", "type": "text/csv"}

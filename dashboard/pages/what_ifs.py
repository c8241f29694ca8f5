"""What-ifs as cards, each a time line of events: every kind of event of the engine, at a date or at a condition."""

from __future__ import annotations

from datetime import date
from typing import Any, get_args

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update
from pydantic import BaseModel

from dashboard import events, forms, ids, records, work
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.session import content_key
from dashboard.shelf import NotYours
from dashboard.widgets import cards, form
from planner.model.change import AnyEvent, Trigger

Json = dict[str, Any]
OWNER = "event"
LINE, EDITOR, EDITED, FORM, KIND, TIMING, SAVE, MOVED, DRAWN = (
    "time-line", "event-editor", "event-edited", "event-form", "event-kind", "event-timing", "event-save",
    "event-moved", "event-drawn",
)  # fmt: skip
TERMS = ("way", "cost", "duration", "chance")  # of the job, which have defaults
NEW = "new"
TIMINGS = {"on": "On a date", "when": "When a condition is met"}
KINDS: dict[str, type[BaseModel]] = {
    kind.model_fields["do"].default: kind for kind in get_args(get_args(AnyEvent)[0])
}  # fmt: skip


def edit(event: Any) -> Json:
    """A button that takes an event into the editor."""
    return {"type": "edit-event", "event": event}


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    name = dmc.TextInput(
        id=ids.CARD_NAME, value=visit.card["name"], size="sm", debounce=True, className="card-name",
        attributes={"input": {"aria-label": "Name of the what-if"}},
    )  # fmt: skip
    return html.Div(
        [
            dcc.Store(id=EDITED, data=NEW),
            dcc.Store(id=MOVED),
            dcc.Store(id=DRAWN),
            cards.section(),
            html.Section(
                [
                    html.Div(["What if", name, cards.completion_choice(visit)], className="bench-head"),
                    html.Div(id=LINE),
                ],
                className="sheet pad line-sheet",
                **{"aria-label": "Time line"},
            ),
            html.Section(id=EDITOR, className="sheet pad", children=editor(visit, NEW), **{"aria-label": "Event"}),
        ],
        className="what-ifs",
    )


def share_of(day: str, visit: Visit) -> float:
    """Where a day stands on the time line, percent."""
    schedule = visit.case.schedule
    whole = (schedule.end - schedule.start).days
    return 100 * min(1.0, max(0.0, (date.fromisoformat(day) - schedule.start).days / whole))


def line(visit: Visit, edited: str) -> list[Any]:
    """Years from left to right with the dated events on them, and the list of all events."""
    schedule = visit.case.schedule
    years = range(schedule.start.year, schedule.end.year + 1)
    step = max(1, round(len(years) / 10))
    ticks = [
        html.Span(str(year), className="tick", style={"left": f"{share_of(f'{year}-01-01', visit):.2f}%"})
        for year in years
        if (year - schedule.start.year) % step == 0 and date(year, 1, 1) >= schedule.start
    ]
    marks = []
    for number, listed in enumerate(visit.card["events"], 1):
        day = listed["event"].get("on") or listed["event"].get("by")
        if day:
            style = {"left": f"{share_of(day, visit):.2f}%"}
            marks.append(_mark(number, listed, day, style, visit))
    rows = [_row(number, listed, visit, edited) for number, listed in enumerate(visit.card["events"], 1)]
    listed_events = html.Ol(rows, className="event-list") if rows else html.P("No events yet.", className="hint")
    note = [html.P(visit.card["note"], className="hint")] if visit.card.get("note") else []
    hint = "Drag a number along the line, or move it by arrow keys, to change its date." if marks else ""
    between = {"data-start": schedule.start.isoformat(), "data-end": schedule.end.isoformat()}
    return [
        html.Div([*ticks, *marks], className="time-line", **between),
        html.P(hint, className="quiet line-hint"),
        *note,
        listed_events,
    ]


def _mark(number: int, listed: Json, day: str, style: Json, visit: Visit) -> Any:
    """An event on the line; the browser moves it, see assets/45_line.js."""
    schedule = visit.case.schedule
    text = cards.event_words(listed["event"], visit.case, visit.system, with_date=False)
    told = {
        "role": "slider", "aria-label": f"Date of {number}: {text}", "aria-valuetext": day,
        "aria-valuemin": "0", "aria-valuemax": str((schedule.end - schedule.start).days),
        "aria-valuenow": str((date.fromisoformat(day) - schedule.start).days),
        "data-event": listed["id"], "data-date": day, "data-kept": day,
    }  # fmt: skip
    return html.Span(
        str(number), className="mark-event" + (" off" if not listed["on"] else ""), style=style, tabIndex="0",
        title=day, **told,
    )  # fmt: skip


def _row(number: int, listed: Json, visit: Visit, edited: str) -> Any:
    text = cards.event_words(listed["event"], visit.case, visit.system)
    return html.Li(
        [
            dmc.Switch(
                id=ids.event_switch(listed["id"]), checked=listed["on"], size="xs",
                attributes={"input": {"aria-label": f"{text}: on or off"}},
            ),
            html.Button(
                [html.B(f"{number} "), text],
                id=edit(listed["id"]), n_clicks=0, className="event-pick" + (" off" if not listed["on"] else ""),
                **{"aria-pressed": "true" if listed["id"] == edited else "false"},
            ),
            cards.remove_button(listed["id"], text),
        ],
        className="event in-editor" if listed["id"] == edited else "event",
    )  # fmt: skip


def fields(kind: str, timing: str, visit: Visit) -> list[forms.Field]:
    """The fields of a kind of event: its own, then the date or the condition, then the terms of the job."""
    choices = forms.choices_of(visit.case, visit.told)
    own = forms.fields_of(KINDS[kind], choices, skip=("do", "on", "when", *TERMS))
    if "by" in KINDS[kind].model_fields:
        timed = []
    elif timing == "when":
        timed = forms.fields_of(Trigger, {"zone": choices["zone"]}, "when.")
    else:
        timed = [one for one in forms.fields_of(KINDS[kind], choices, skip=("when",)) if one.path == "on"]
    terms = [one for one in forms.fields_of(KINDS[kind], choices) if one.path in TERMS]
    return [*own, *timed, *terms]


def editor(visit: Visit, edited: str) -> list[Any]:
    """The form of an event of the card, or of a new one."""
    listed = next((one for one in visit.card["events"] if one["id"] == edited), None)
    raw = listed["event"] if listed else {}
    kind = raw.get("do", "shut zone")
    timing = "when" if "when" in raw else "on"
    names = [{"value": name, "label": name[:1].upper() + name[1:]} for name in KINDS]
    return [
        html.H2("Change this event" if listed else "A new event"),
        html.Div(
            [
                dmc.Select(id=KIND, data=names, value=kind, label="What happens", size="xs", allowDeselect=False),
                dmc.SegmentedControl(
                    id=TIMING, data=[{"value": key, "label": text} for key, text in TIMINGS.items()], value=timing,
                    size="xs", attributes={"root": {"aria-label": "When it happens"}},
                ),
            ],
            className="editor-head",
        ),
        html.Div(form_of(visit, kind, timing, raw), id=FORM),
        html.Div(
            [
                dmc.Button("Change it" if listed else "Add it", id=SAVE, n_clicks=0, size="compact-sm"),
                dmc.Button("A new one instead", id=edit(NEW), n_clicks=0, size="compact-sm", variant="subtle",
                           display="inline-block" if listed else "none"),
            ],
            className="editor-foot",
        ),
    ]  # fmt: skip


def form_of(visit: Visit, kind: str, timing: str, raw: Json) -> list[Any]:
    """The inputs of a kind of event; a kind that comes by a day has no other timing."""
    what = (KINDS[kind].__doc__ or "").split("\n")[0]
    return [html.P(what, className="hint"), *form.inputs(OWNER, fields(kind, timing, visit), raw, visit.system)]


def drawn_from(visit: Visit, edited: str) -> str:
    """A digest of what the editor shows: the event, the what-if, the case, the units."""
    listed = work.find_event(visit.card, edited)
    case = content_key(visit.case, None)
    return records.digest(visit.card["id"], edited, listed["event"] if listed else None, case, visit.system)


def register(app: dash.Dash, house: House) -> None:
    """Time line, editor, saving."""

    @app.callback(Output(LINE, "children"), Input(ids.HERE, "data"), Input(ids.LOOK, "data"), Input(EDITED, "data"))
    def show(here: Json | None, look: Json | None, edited: str) -> Any:
        visit = house.visit(here, look)
        return line(visit, edited) if visit else no_update

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(MOVED, "data"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def move(moved: Json | None, here: Json | None) -> tuple[Any, Any]:
        if not moved:
            return no_update, no_update
        return cards.write(house, here, {"do": "date event", "event_id": moved["event"], "date": moved["date"]})

    @app.callback(
        Output(EDITED, "data"),
        Output(EDITOR, "children"),
        Output(DRAWN, "data"),
        Input(edit(ALL), "n_clicks"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(EDITED, "data"),
        State(DRAWN, "data"),
    )
    def take(clicks: Any, here: Json | None, look: Json | None, edited: str, drawn: str) -> tuple[Any, Any, Any]:
        visit = house.visit(here, look)
        if visit is None:
            return no_update, no_update, no_update
        asked = ctx.triggered_id
        if isinstance(asked, dict):
            if not ctx.triggered[0]["value"]:
                return no_update, no_update, no_update
            edited = asked["event"]
        elif not any(one["id"] == edited for one in visit.card["events"]):
            edited = NEW
        mark = drawn_from(visit, edited)
        if asked == ids.HERE and mark == drawn:
            return no_update, no_update, no_update  # what is typed outlives a change elsewhere
        return edited, editor(visit, edited), mark

    @app.callback(
        Output(FORM, "children"),
        Input(KIND, "value"),
        Input(TIMING, "value"),
        State(EDITED, "data"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def refill(kind: str, timing: str, edited: str, here: Json | None, look: Json | None) -> Any:
        visit = house.visit(here, look)
        if visit is None or kind not in KINDS:
            return no_update
        listed = work.find_event(visit.card, edited)
        raw = listed["event"] if listed and listed["event"]["do"] == kind else {}
        return form_of(visit, kind, timing, raw)

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(form.form_field(OWNER, ALL), "error"),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Output(EDITOR, "children", allow_duplicate=True),
        Input(SAVE, "n_clicks"),
        State(KIND, "value"),
        State(TIMING, "value"),
        State(EDITED, "data"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def save(clicks: int, kind: str, timing: str, edited: str, values: Any, names: Any, here: Json, look: Json) -> Any:
        visit = house.visit(here, look)
        if not clicks or visit is None:
            return no_update, [no_update] * len(names), no_update, no_update
        try:
            made = forms.read(fields(kind, timing, visit), form.typed(names, values), visit.system)
            raw = {"do": kind, **made}
            events.read(raw)
            if "by" not in raw and "on" not in raw and not raw.get("when"):
                raise BadInput("on", "A date is needed, such as 2031-06-01.")
            do = "add event" if edited == NEW else "replace event"
            step = {"do": do, "card": visit.card["id"], "event_id": None if edited == NEW else edited, "event": raw}
            after = house.apply(here, step)
            fresh = house.visit(after, look) if edited == NEW else None
            return after, [None] * len(names), "", editor(fresh, NEW) if fresh else no_update
        except BadInput as bad:
            errors = form.errors_at(names, bad.field, str(bad))
            return no_update, errors, "" if any(errors) else str(bad), no_update
        except NotYours as word:
            return no_update, [no_update] * len(names), str(word), no_update


PAGE = Page("what-ifs", "What-ifs", "Ask", layout, register, says="Cards of events, edited as a time line.")

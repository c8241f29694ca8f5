"""What-if cards, the list of events of the one in hand, and the callbacks that change them."""

from __future__ import annotations

from typing import Any, get_args

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, html, no_update

from dashboard import events, ids, work
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.measure import System
from dashboard.shelf import NotYours
from dashboard.widgets import same
from planner.model.case import Case
from planner.model.change import AnyEvent
from planner.model.sandface import CompletionName

Json = dict[str, Any]


def section() -> Any:
    """The strip of cards with its tools; the cards themselves come by callback."""
    small = {"size": "compact-xs", "variant": "light", "n_clicks": 0}
    tools = [dmc.Button(text, id=ids.card_tool(text.lower()), **small) for text in ("New", "Copy", "Remove")]
    return html.Section(
        [html.Div(id=ids.CARDS, className="cards"), html.Div(tools, className="card-tools")],
        className="card-strip",
        **{"aria-label": "What-ifs"},
    )


def strip(visit: Visit, states: dict[str, str]) -> list[Any]:
    """One card a what-if: its name, how its computation stands, and a box that takes it into the comparison."""
    return [_card(card, card is visit.card, states.get(card["id"], "")) for card in visit.cards]


def _card(card: Json, in_hand: bool, state: str) -> Any:
    return html.Div(
        [
            html.Button(
                [
                    html.Span(card["name"], className="card-title"),
                    html.Span(_fact(card, state), id=ids.card_fact(card["id"]), className="card-fact"),
                ],
                id=ids.pick_card(card["id"]),
                n_clicks=0,
                className="card-pick",
                title=card["name"],
                **{"aria-pressed": "true" if in_hand else "false"},
            ),
            html.Button(
                html.Span("\u2713" if card["compared"] else "", className="box"),
                id=ids.compare_card(card["id"]),
                n_clicks=0,
                className="card-compare",
                title="In the comparison" if card["compared"] else "Put into the comparison",
                **{
                    "aria-pressed": "true" if card["compared"] else "false",
                    "aria-label": f"Compare {card['name']}",
                },
            ),
        ],
        className="card in-hand" if in_hand else "card",
    )


NO_EVENTS = "No events yet: this is the base. Pick a part in the picture and say what happens to it."
AS_IN_CASE = "completed as in the case"
WORDS = {
    "refused": "not possible",
    "failed": "failed",
    "cancelled": "stopped",
    "waiting": "waiting",
    "running": "computing",
}


def _fact(card: Json, state: str) -> str:
    count = len(work.active(card))
    told = WORDS.get(state, "") if work.acts(card) else ""
    events_told = "no events" if not count else f"{count} event" + ("s" if count > 1 else "")
    if work.completed(card):
        events_told = work.completed(card) + (f", {events_told}" if count else "")
    return f"{events_told}, {told}" if told else events_told


def fact_of(visit: Visit | None, card_id: str, stood: Json) -> Any:
    """The line of a card that is on the page; left as it is where the state of the work does not speak of it."""
    card = work.find(visit.cards, card_id) if visit else None
    if visit is None or card is None or stood.get("project") != visit.project.id:
        return no_update
    return _fact(card, stood.get("states", {}).get(card_id, ""))


def completion_choice(visit: Visit) -> Any:
    """How the well of the card in hand is completed; hidden where the case gives numbers for no other completion."""
    names = [name for name in get_args(CompletionName) if visit.case.completions.of(name) is not None]
    data = [{"value": "", "label": AS_IN_CASE}]
    data += [{"value": name, "label": work.completed({"completion": name})} for name in names]
    return dmc.Select(
        id=ids.COMPLETION, data=data, value=visit.card.get("completion") or "", size="xs",
        allowDeselect=False, className="completion",
        display="block" if names else "none",
        attributes={"input": {"aria-label": "Completion of the what-if"}},
    )  # fmt: skip


def event_list(card: Json, case: Case, system: System) -> list[Any]:
    """Events of a what-if, each with a switch, its date, and a way out."""
    if not card["events"]:
        told = (
            f"Completed with {work.completed(card)} from the start, and no events yet."
            if work.acts(card)
            else NO_EVENTS
        )
        return [html.P(told, className="hint")]
    note = [html.P(card["note"], className="hint")] if card.get("note") else []
    return [*note, html.Ul([_event(listed, case, system) for listed in card["events"]], className="event-list")]


def event_words(raw: Json, case: Case, system: System, with_date: bool = True) -> str:
    """An event as a line: what it does, and when."""
    try:
        event = events.read(raw)
    except BadInput as bad:
        return f"{raw.get('do', 'event')}: {bad}"
    deed = events.deed(event, system)
    return f"{deed} {_when(event, case, system)}" if with_date else deed


def _when(event: AnyEvent, case: Case, system: System) -> str:
    return events.when(event, system, case.well.kind == "gas producer")


def _event(listed: Json, case: Case, system: System) -> Any:
    raw = listed["event"]
    day = raw.get("by") or raw.get("on")
    text = event_words(raw, case, system, with_date=not day)
    parts = [
        dmc.Switch(
            id=ids.event_switch(listed["id"]), checked=listed["on"], size="xs",
            attributes={"input": {"aria-label": f"{text}: on or off"}},
        ),
        html.Span(text, className="event-text" if listed["on"] else "event-text off"),
    ]  # fmt: skip
    if day:
        parts.append(
            dmc.DateInput(
                id=ids.event_date(listed["id"]), value=day, valueFormat="YYYY-MM-DD", size="xs", w=104,
                minDate=case.schedule.start.isoformat(), maxDate=case.schedule.end.isoformat(),
                attributes={"input": {"aria-label": f"Date of: {text}"}},
            )
        )  # fmt: skip
    parts.append(remove_button(listed["id"], text))
    return html.Li(parts, className="event")


def remove_button(event_id: str, text: str) -> Any:
    """The way out for an event."""
    return html.Button(
        "\u00d7", id=ids.event_remove(event_id), n_clicks=0, className="remove", **{"aria-label": f"Remove: {text}"}
    )


def step_of(trigger: Any, value: Any, card: str) -> Json | None:
    """The step of the reducer that a component of the cards asks for; None for no real click."""
    if trigger == ids.CARD_NAME:
        return {"do": "rename", "card": card, "name": value}
    if trigger == ids.COMPLETION:
        return {"do": "complete", "card": card, "completion": value}
    if not isinstance(trigger, dict):
        return None
    kind = trigger["type"]
    if kind == "event-switch":
        return {"do": "switch event", "event_id": trigger["event"], "on": value}
    if kind == "event-date":
        return {"do": "date event", "event_id": trigger["event"], "date": value}
    if not value:
        return None
    if kind == "card-tool":
        do = f"{trigger['name']} card"
        return {"do": do, "card": card} if do == "remove card" else {"do": do, "card": card, "made": work.new_id()}
    return {
        "event-remove": {"do": "remove event", "event_id": trigger.get("event")},
        "compare-card": {"do": "compare", "card": trigger.get("card")},
    }.get(kind)


def register(app: dash.Dash, house: House) -> None:
    """The callbacks of the strip and of the list, on whichever page they stand."""

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(ids.event_switch(ALL), "checked"),
        Input(ids.event_date(ALL), "value"),
        Input(ids.event_remove(ALL), "n_clicks"),
        Input(ids.compare_card(ALL), "n_clicks"),
        Input(ids.card_tool(ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def change(*given: Any) -> tuple[Any, Any]:
        here = given[-1]
        return write(house, here, step_of(ctx.triggered_id, ctx.triggered[0]["value"], here.get("card", "")))

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(ids.CARD_NAME, "value"),
        Input(ids.COMPLETION, "value"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def rename_or_complete(name: str, completion: str, here: Json) -> tuple[Any, Any]:
        return write(house, here, step_of(ctx.triggered_id, ctx.triggered[0]["value"], here.get("card", "")))

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Input(ids.pick_card(ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def pick(clicks: list[int], here: Json) -> Any:
        asked = ctx.triggered_id
        return {**here, "card": asked["card"]} if asked and ctx.triggered[0]["value"] else no_update

    @app.callback(Output(ids.CARDS, "children"), Input(ids.HERE, "data"), State(ids.STOOD, "data"))
    def show(here: Json | None, stood: Json | None) -> Any:
        visit = house.visit(here)
        return strip(visit, (stood or {}).get("states", {})) if visit else no_update

    # Apart, because a callback waits for all that feeds it: the cards are not to wait for the forecasts.
    @app.callback(
        Output(ids.card_fact(ALL), "children"), Input(ids.STOOD, "data"), State(ids.HERE, "data"),
        prevent_initial_call=True,
    )  # fmt: skip
    def facts(stood: Json | None, here: Json | None) -> list[Any]:
        visit = house.visit(here)
        return [fact_of(visit, place["id"]["card"], stood or {}) for place in ctx.outputs_list]

    @app.callback(
        Output(ids.EVENTS, "children"),
        Output(ids.EVENTS_SEEN, "data"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(ids.EVENTS_SEEN, "data"),
    )
    def listed(here: Json | None, look: Json | None, seen: str | None) -> tuple[Any, Any]:
        visit = house.visit(here, look)
        if visit is None:
            return no_update, no_update
        made = event_list(visit.card, visit.case, visit.system)
        now = same.mark(made, visit.project.id, visit.card["id"])
        return (no_update, no_update) if now == seen else (made, now)

    @app.callback(Output(ids.CARD_NAME, "value"), Output(ids.COMPLETION, "value"), Input(ids.HERE, "data"))
    def name(here: Json | None) -> tuple[Any, Any]:
        visit = house.visit(here)
        return (visit.card["name"], visit.card.get("completion") or "") if visit else (no_update, no_update)


def write(house: House, here: Json | None, step: Json | None) -> tuple[Any, Any]:
    """Put a step to the reducer: (where the tab is afterwards, a sentence where it could not be done)."""
    if not here or step is None:
        return no_update, no_update
    try:
        after = house.apply(here, step)
    except (BadInput, NotYours) as word:
        return no_update, str(word)
    return (no_update if after == here else after), ""

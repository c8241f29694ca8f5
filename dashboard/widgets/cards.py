"""What-if cards and the list of events of the one in hand."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from dashboard import events, ids, work
from dashboard.measure import System
from dashboard.session import Standing
from planner.model.case import Case
from planner.model.change import AnyEvent

Json = dict[str, Any]


def strip(desk: Json, standings: dict[str, Standing]) -> list[Any]:
    """One card a what-if: its name, how its computation stands, and a box that takes it into the comparison."""
    in_hand = work.chosen(desk)["id"]
    return [_card(card, card["id"] == in_hand, standings.get(card["id"])) for card in desk["cards"]]


def _card(card: Json, in_hand: bool, standing: Standing | None) -> Any:
    return html.Div(
        [
            html.Button(
                [
                    html.Span(card["name"], className="card-title"),
                    html.Span(_fact(card, standing), className="card-fact"),
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
                title="In the table of numbers" if card["compared"] else "Put into the table of numbers",
                **{
                    "aria-pressed": "true" if card["compared"] else "false",
                    "aria-label": f"Compare {card['name']} in the table",
                },
            ),
        ],
        className="card in-hand" if in_hand else "card",
    )


def _fact(card: Json, standing: Standing | None) -> str:
    count = len(work.active(card))
    words = {
        "refused": "not possible",
        "failed": "failed",
        "cancelled": "stopped",
        "waiting": "waiting",
        "running": "computing",
    }
    told = words.get(standing.state, "") if standing and count else ""
    events_told = "no events" if not count else f"{count} event" + ("s" if count > 1 else "")
    return f"{events_told}, {told}" if told else events_told


def event_list(desk: Json, case: Case, system: System) -> list[Any]:
    """Events of the what-if in hand, each with a switch, its date, and a way out."""
    card = work.chosen(desk)
    if not card["events"]:
        return [
            html.P(
                "No events yet: this is the base. Pick a part in the picture and say what happens to it.",
                className="hint",
            )
        ]
    note = [html.P(card["note"], className="hint")] if card.get("note") else []
    return [*note, html.Ul([_event(listed, case, system) for listed in card["events"]], className="event-list")]


def _when(event: AnyEvent, case: Case, system: System) -> str:
    return events.when(event, system, case.well.kind == "gas producer")


def _event(listed: Json, case: Case, system: System) -> Any:
    raw = listed["event"]
    day = raw.get("by") or raw.get("on")
    try:
        event = events.read(raw)
        text = events.deed(event, system) if day else f"{events.deed(event, system)} {_when(event, case, system)}"
    except events.BadInput as bad:
        text = f"{raw.get('do', 'event')}: {bad}"
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
    parts.append(
        html.Button(
            "\u00d7",
            id=ids.event_remove(listed["id"]),
            n_clicks=0,
            className="remove",
            **{"aria-label": f"Remove: {text}"},
        )
    )
    return html.Li(parts, className="event")

"""Names of the components that callbacks speak with, in one place."""

from __future__ import annotations

from typing import Any

# the frame
URL = "url"
TAB = "tab"  # a name for this tab of the browser
HERE = "here"  # {project, page, card, revision}: where this tab is and what it last saw
LOOK = "look"  # unit system, theme
STOOD = "stood"  # how the forecasts of this page stand
PICKED = "picked"  # the part of the well in hand
AGAIN = "again"  # ticks while something is computing
TROUBLE = "trouble"
FRAME = "frame"
RAIL = "rail"
NAME = "project-name"
PAGE = "page"
TITLE = "page-title"
STATUS = "status"
STOP, TRY_AGAIN = "stop", "try-again"
UNDO, REDO = "undo", "redo"
UNITS = "units"
THEME = "theme"
TAKE_COPY = "take-copy"

# the well
PICTURE = "picture"  # what the drawing needs
WELL = "well-picture"
DATE = "date-of-picture"
DATE_TEXT = "date-text"
DEPTH = "depth-shown"
PLAY = "play"
PART = "part-panel"
EARLY_TEXT = "early-text"
CARDS = "cards"
EVENTS = "events"
EVENTS_SEEN = "events-seen"  # mark of what the list was made from
CARD_NAME = "card-name"
COMPLETION = "card-completion"
TILES = "tiles"
AT_ONCE = "at-once"
ANSWERS = "answers"
CHARTS = ("rate", "cut", "volume", "pressure")
ZONE_CHARTS = ("recovery", "main", "water")


def chart(name: Any) -> dict[str, Any]:
    """A chart."""
    return {"type": "chart", "name": name}


def chart_title(name: Any) -> dict[str, Any]:
    """The heading of a chart."""
    return {"type": "chart-title", "name": name}


def act(name: Any) -> dict[str, Any]:
    """A button of the part panel: 'shut on', 'plug' ..."""
    return {"type": "act", "name": name}


def field(name: Any) -> dict[str, Any]:
    """A field of the part panel."""
    return {"type": "field", "name": name}


def pick_card(card: Any) -> dict[str, Any]:
    """Take a what-if in hand."""
    return {"type": "pick-card", "card": card}


def card_fact(card: Any) -> dict[str, Any]:
    """The line below the name of a card: its events, and how its computation stands."""
    return {"type": "card-fact", "card": card}


def compare_card(card: Any) -> dict[str, Any]:
    """Put a what-if into the comparison, or take it out."""
    return {"type": "compare-card", "card": card}


def card_tool(name: Any) -> dict[str, Any]:
    """New, copy, remove."""
    return {"type": "card-tool", "name": name}


def event_switch(event: Any) -> dict[str, Any]:
    """Switch an event on or off."""
    return {"type": "event-switch", "event": event}


def event_remove(event: Any) -> dict[str, Any]:
    """Remove an event."""
    return {"type": "event-remove", "event": event}


def event_date(event: Any) -> dict[str, Any]:
    """Move an event to another date."""
    return {"type": "event-date", "event": event}

"""Names of the components that callbacks speak with, in one place."""

from __future__ import annotations

from typing import Any

# kept in the browser
DESK = "desk"  # session id and the work of every case
LOOK = "look"  # unit system, theme
PICKED = "picked"  # the part of the well in hand

# kept for the page only
SEED = "seed"  # the work that a browser starts from
PICTURE = "picture"  # what the drawing needs
SHOWN = "shown"  # revision that the answers belong to
AGAIN = "again"  # ticks while something is computing
TROUBLE = "trouble"

FRAME = "frame"
WELL = "well-picture"
WELL_NOTE = "well-note"
DATE = "date-of-picture"
DATE_TEXT = "date-text"
PLAY = "play"
PART = "part-panel"
EARLY_TEXT = "early-text"
CARDS = "cards"
EVENTS = "events"
CARD_NAME = "card-name"
STATUS = "status"
TILES = "tiles"
SECTION = "section"
SCOPE = "scope"
SECTIONS = "sections"
ZONES = "zones-table"
NUMBERS = "numbers"
HAPPENED = "happened"
ANSWERS = "answers"
UNITS = "units"
THEME = "theme"
UNDO, REDO = "undo", "redo"
NEW_CARD, COPY_CARD, REMOVE_CARD = "new-card", "copy-card", "remove-card"
STOP, TRY_AGAIN = "stop", "try-again"
SAVE, SAVED = "save-csv", "saved-csv"
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


def compare_card(card: Any) -> dict[str, Any]:
    """Put a what-if into the comparison, or take it out."""
    return {"type": "compare-card", "card": card}


def event_switch(event: Any) -> dict[str, Any]:
    """Switch an event on or off."""
    return {"type": "event-switch", "event": event}


def event_remove(event: Any) -> dict[str, Any]:
    """Remove an event."""
    return {"type": "event-remove", "event": event}


def event_date(event: Any) -> dict[str, Any]:
    """Move an event to another date."""
    return {"type": "event-date", "event": event}

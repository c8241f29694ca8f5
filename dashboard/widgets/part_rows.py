"""The lines that the panel of a part is made of: what can be done, its fields, why something cannot be done."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash_mantine_components as dmc
from dash import html

from dashboard import ids
from planner.model.case import Case


def top_line(title: str, fact: str, case: Case, when: date) -> Any:
    """The part, the date of the job, and a fact about it."""
    return html.Div([html.H2(title), date_field(case, when), html.Span(fact, className="fact")], className="panel-top")


def action_button(action: str, text: str, main: bool = False) -> Any:
    """A button that does something with the part."""
    return dmc.Button(
        text, id=ids.act(action), n_clicks=0, size="compact-sm", variant="filled" if main else "light", fullWidth=True,
        justify="flex-start",
    )  # fmt: skip


def date_field(case: Case, when: date, label: str = "Date of the job") -> Any:
    """The date on which it is done."""
    return html.Div(
        [
            html.Label("On", htmlFor="part-date", className="row-word"),
            dmc.DateInput(
                id=ids.field("date"), value=when.isoformat(), valueFormat="YYYY-MM-DD", size="xs", w=112,
                minDate=case.schedule.start.isoformat(), maxDate=case.schedule.end.isoformat(),
                popoverProps={"withinPortal": True}, inputProps={"aria-label": label},
                attributes={"input": {"aria-label": label}},
            ),
        ],
        className="date-of-job",
    )  # fmt: skip


def number_field(name: str, value: Any, label: str, width: int = 78, **more: Any) -> Any:
    """A number that the action needs."""
    return dmc.NumberInput(
        id=ids.field(name), value=value, size="xs", w=width, hideControls=True, clampBehavior="none",
        attributes={"input": {"aria-label": label}}, **more,
    )  # fmt: skip


def row(button: Any, *more: Any) -> Any:
    """A button and what belongs to it."""
    return html.Div(
        [html.Div(button, className="row-button"), html.Div(list(more), className="row-more")], className="row"
    )


def word(text: str) -> Any:
    """A word between fields."""
    return html.Span(text, className="row-word")


def refusal(sentences: tuple[str, ...], fallback: str) -> Any:
    """Why something cannot be done."""
    return html.P([html.B("Not possible: "), "; ".join(sentences) or fallback], className="refusal", role="note")

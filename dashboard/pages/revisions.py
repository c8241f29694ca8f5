"""Every state that the project ever had, and the way back to each."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids
from dashboard.address import Address
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import cards

Json = dict[str, Any]
BODY, NAME, COPY, GO = "revision-list", "revision-project", "revision-copy", "revision-go"
MOST = 200


def back(revision: Any) -> Json:
    """A button that goes back to a revision."""
    return {"type": "go-back", "revision": revision}


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return html.Div(
        html.Section(
            [
                html.Div(
                    [
                        dmc.TextInput(id=NAME, value=visit.project.name, size="xs", debounce=True, w=320,
                                      label="Name of the project"),
                        dmc.Button("Take a copy", id=COPY, n_clicks=0, size="compact-sm", variant="light"),
                        dcc.Location(id=GO, refresh="callback-nav"),
                    ],
                    className="chart-tools low",
                ),
                html.Div(listed(visit, house), id=BODY),
            ],
            className="sheet pad scroll", tabIndex="0", **{"aria-label": "Revisions"},
        ),
        className="single",
    )  # fmt: skip


def listed(visit: Visit, house: House) -> Any:
    """Revisions from the newest to the oldest."""
    if visit.project.revision == 0:
        return ""
    rows = []
    for entry in house.shelf.revisions(visit.project.id)[:MOST]:
        when = datetime.fromisoformat(entry.changed).astimezone().strftime("%-d %b %Y, %H:%M:%S")
        now = entry.revision == visit.project.revision
        button = dmc.Button(
            "Go back to it", id=back(entry.revision), n_clicks=0, size="compact-xs", variant="light",
            attributes={"root": {"aria-label": f"Go back to revision {entry.revision}"}},
        )  # fmt: skip
        last = html.Span("as it stands", className="quiet") if now else button
        rows.append(html.Tr([html.Td(str(entry.revision)), html.Td(when), html.Td(entry.told), html.Td(last)]))
    head = html.Tr([html.Th(text) for text in ("Revision", "When", "What was done", "")])
    return html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words")


def register(app: dash.Dash, house: House) -> None:
    """Going back, naming, copying."""

    @app.callback(Output(BODY, "children"), Input(ids.HERE, "data"))
    def show(here: Json | None) -> Any:
        visit = house.visit(here)
        return listed(visit, house) if visit else no_update

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(back(ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def go_back(clicks: list[int], here: Json) -> tuple[Any, Any]:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update, no_update
        return cards.write(house, here, {"do": "go back to", "revision": ctx.triggered_id["revision"]})

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(NAME, "value"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def rename(name: str, here: Json) -> tuple[Any, Any]:
        visit = house.visit(here)
        if visit is None or not name or name == visit.project.name:
            return no_update, no_update
        return cards.write(house, here, {"do": "rename project", "name": name})

    @app.callback(Output(GO, "href"), Input(COPY, "n_clicks"), State(ids.HERE, "data"), prevent_initial_call=True)
    def copy(clicks: int, here: Json | None) -> Any:
        visit = house.visit(here)
        if not clicks or visit is None:
            return no_update
        return Address(house.shelf.copy(visit.project.id, house.user()).id, "well").text()


PAGE = Page(
    "revisions", "Revisions", "The case", layout, register, says="Every state of the project, and the way back."
)

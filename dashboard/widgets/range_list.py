"""The ranges of a case as a list, and which of them move together: shown, joined, taken out."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, html, no_update

from dashboard import forms, ids, ranges, records, session
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.numbers import number_at
from dashboard.session import BadCase
from dashboard.widgets import grid

Json = dict[str, Any]
LISTED = "range-list"
ONE, OTHER, RANK, JOIN = "range-one", "range-other", "range-rank", "range-join"
WHAT = (
    "Each range is a number of the case that is not known for sure. Draws from the ranges are what Uncertainty, Blanks "
    "and Match compute with. P90 is the low case."
)


def act(what: Any, at: Any) -> Json:
    """A button of the lists: change or take out a range, take out a correlation."""
    return {"type": "range-act", "what": what, "at": at}


def listed(visit: Visit) -> list[Any]:
    """Every range with what it is of and how it is spread, then the correlations."""
    rows = []
    for row in visit.case.uncertain:
        raw = records.exact(row)
        try:
            first = number_at(visit.case, visit.told, row.all_paths[0])
            of = first.words + (f" and {len(row.all_paths) - 1} more" if len(row.all_paths) > 1 else "")
            told = ranges.in_words(raw, first.quantity, visit.system)
        except BadCase as bad:
            of, told = str(bad), row.kind
        buttons = [
            _small("Change", act("change", row.name), row.name),
            _small("Take out", act("drop", row.name), row.name),
        ]
        rows.append(html.Tr([html.Th(row.name), html.Td(of), html.Td(told), html.Td(buttons)]))
    head = html.Tr([html.Th(text) for text in ("Range", "Of", "Spread", "")])
    made: list[Any] = [html.P(WHAT, className="hint")]
    if rows:
        made.append(html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words"))
    else:
        made.append(html.P("No ranges yet. Make the first one with the form.", className="hint"))
    return made + (together(visit) if len(rows) > 1 else [])


def _small(text: str, name: Json, of: str) -> Any:
    return dmc.Button(text, id=name, n_clicks=0, size="compact-xs", variant="subtle",
                      attributes={"root": {"aria-label": f"{text} {of}"}})  # fmt: skip


def together(visit: Visit) -> list[Any]:
    """Which ranges move together, and a line to join two."""
    rows = [
        html.Tr(
            [
                html.Td(f"{one.between[0]} and {one.between[1]}"),
                html.Td(f"{one.rank:g}" if one.rank is not None else f"{one.normal:g} of the normals"),
                html.Td(_small("Take out", act("part", at), f"{one.between[0]} and {one.between[1]}")),
            ]
        )
        for at, one in enumerate(visit.case.correlation)
    ]
    head = html.Tr([html.Th(text) for text in ("Move together", "Rank correlation", "")])
    names = [row.name for row in visit.case.uncertain] or [""]
    pick = {"data": names, "size": "xs", "w": 150, "allowDeselect": False}
    return [
        html.H3("Move together", className="gap-above"),
        *([html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words")] if rows else []),
        html.Div(
            [
                dmc.Select(id=ONE, value=names[0], label="One", **pick),
                dmc.Select(id=OTHER, value=names[-1], label="Other", **pick),
                dmc.TextInput(id=RANK, value="0.5", size="xs", w=120, label="From \u22121 to 1"),
                dmc.Button("Join them", id=JOIN, n_clicks=0, size="compact-sm", variant="light"),
            ],
            className="chart-tools low",
        ),
    ]  # fmt: skip


def register(app: dash.Dash, house: House) -> None:
    """The list follows the case; taking out and joining."""
    _change(app, house)

    @app.callback(Output(LISTED, "children"), Input(ids.HERE, "data"), Input(ids.LOOK, "data"))
    def show(here: Json | None, look: Json | None) -> Any:
        visit = house.visit(here, look)
        return listed(visit) if visit else no_update


def sentences(bad: BadCase) -> str:
    """What is wrong with a range, without its number in the file."""
    return " ".join(f"{one['message'][:1].upper()}{one['message'][1:]}. {one['remedy']}" for one in bad.problems)


def _change(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(act("drop", ALL), "n_clicks"),
        Input(act("part", ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def drop(ranges_: Any, parts: Any, here: Json | None) -> tuple[Any, Any]:
        visit, asked = house.visit(here), ctx.triggered_id
        if visit is None or not isinstance(asked, dict) or not ctx.triggered[0]["value"]:
            return no_update, no_update
        document, told = without(visit, asked["what"], asked["at"])
        return _taken(house, here or {}, document, told)

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(RANK, "error"),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(JOIN, "n_clicks"),
        State(ONE, "value"),
        State(OTHER, "value"),
        State(RANK, "value"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def join(clicks: int, one: str, other: str, rank: str, here: Json | None) -> tuple[Any, Any, Any]:
        visit = house.visit(here)
        if not clicks or visit is None:
            return no_update, no_update, no_update
        try:
            value = float(forms.as_written(rank, forms.Field("rank", "number"), visit.system))
            document = records.exact(visit.case)
            document["correlation"] = [*document.get("correlation", []), {"between": [one, other], "rank": value}]
            case = session.case_from(document)
        except (BadInput, ValueError) as bad:
            return no_update, sentences(bad) if isinstance(bad, BadCase) else str(bad), no_update
        after, _, said = grid.apply(house, here or {}, case, f"{one} and {other} move together")
        return after, None, said


def without(visit: Visit, what: str, at: Any) -> tuple[Json, str]:
    """The case document without a range (and its correlations) or without a correlation, and what to call it."""
    document = records.exact(visit.case)
    joined = document.get("correlation", [])
    if what == "part":
        document["correlation"] = [one for number, one in enumerate(joined) if number != at]
        return document, "A correlation taken out"
    document["uncertain"] = [one for one in document.get("uncertain", []) if one["name"] != at]
    document["correlation"] = [one for one in joined if at not in one["between"]]
    return document, f"Range {at} taken out"


def _taken(house: House, here: Json, document: Json, told: str) -> tuple[Any, Any]:
    try:
        after, _, said = grid.apply(house, here, session.case_from(document), told)
    except BadCase as bad:
        return no_update, str(bad)
    return after, said

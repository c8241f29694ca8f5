"""The list of projects, and the ways to a new one: a shipped case, a small one to start from, files of one's own."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import session
from dashboard.address import Address
from dashboard.house import House
from dashboard.session import BadCase
from dashboard.shelf import Entry, NotYours
from planner.model.case import Case

Json = dict[str, Any]
OPEN_AT = "well"
UPLOAD, PROBLEMS, GO, LISTED = "case-files", "case-problems", "go-to", "project-list"


def start(name: Any) -> Json:
    """A button that starts a project."""
    return {"type": "start-case", "name": name}


def remove(name: Any) -> Json:
    """A button that removes a project."""
    return {"type": "remove-project", "name": name}


def layout(house: House, gone: str = "") -> Any:
    """The page; gone: id of a project that was asked for and is not there."""
    missing = "There is no such project on this server; it may have been removed." if gone else ""
    return html.Div(
        [
            html.Section(
                [html.H2("Your projects"), html.Div(listed(house), id=LISTED)],
                className="sheet pad",
                **{"aria-label": "Projects"},
            ),
            html.Section(
                [html.H2("Start a new one"), *_ways(house)], className="sheet pad", **{"aria-label": "New project"}
            ),
            html.Div(missing, id=PROBLEMS, className="problems", role="alert"),
            dcc.Location(id=GO, refresh="callback-nav"),
        ],
        className="cases",
    )


def listed(house: House) -> Any:
    """The projects of the user, newest first."""
    entries = house.shelf.of(house.user())
    if not entries:
        return html.P("None yet. Start from one of the cases beside this list.", className="hint")
    head = html.Tr([html.Th(text) for text in ("Project", "Well", "Changed", "Revision", "Last step", "")])
    return html.Table([html.Thead(head), html.Tbody([_row(entry) for entry in entries])], className="plain-table words")


def _row(entry: Entry) -> Any:
    when = datetime.fromisoformat(entry.changed).astimezone().strftime("%-d %b %Y, %H:%M")
    return html.Tr(
        [
            html.Td(dcc.Link(entry.name, href=Address(entry.id, OPEN_AT).text(), className="strong")),
            html.Td(entry.well),
            html.Td(when),
            html.Td(str(entry.revision)),
            html.Td(entry.told, className="quiet"),
            html.Td(
                dmc.Button(
                    "Remove", id=remove(entry.id), n_clicks=0, size="compact-xs", variant="subtle",
                    attributes={"root": {"aria-label": f"Remove {entry.name}, revision {entry.revision}"}},
                )
            ),
        ]
    )  # fmt: skip


def _ways(house: House) -> list[Any]:
    made = [_way(path.name, _title(path), f"Start from {path.name.capitalize()}") for path in house.shipped]
    made.append(
        _way("new", "A small invented well to change into your own, table by table.", "Start from a small well")
    )
    upload = dcc.Upload(
        dmc.Button("Choose files, or drop them here", variant="light", size="compact-sm"),
        id=UPLOAD, multiple=True, className="upload",
        max_size=session_limit(),
    )  # fmt: skip
    own = "Files of your own: one case.toml with the tables (CSV) and logs (LAS) that it names, all together."
    return [html.Ul([*made, html.Li([html.Span(own), upload], className="way")], className="ways")]


def session_limit() -> int:
    """Bytes of a file that can be sent; base64 makes a third more of it."""
    return 10 * 1024 * 1024


def _title(path: Path) -> str:
    try:
        return session.read_case(path).title or path.name
    except BadCase:
        return f"{path.name}: this case has problems; start it to see them."


def _way(name: str, text: str, label: str) -> Any:
    return html.Li(
        [html.Span(text), dmc.Button(label, id=start(name), n_clicks=0, size="compact-sm", variant="filled")],
        className="way",
    )


def problem_list(bad: BadCase) -> Any:
    """Every problem of a case: file, place, value, and what to do."""
    rows = [
        html.Li(
            [
                html.B(": ".join(part for part in (problem["file"], problem["place"]) if part)),
                f" {problem['message']}" + (f" (value: {problem['value']}). " if problem["value"] else ". "),
                html.Span(problem["remedy"], className="quiet"),
            ]
        )
        for problem in bad.problems
    ]
    return [html.H3(f"This case cannot be used yet: {len(rows)} problem{'s' * (len(rows) > 1)}"), html.Ul(rows)]


def remark_list(told: Sequence[str], address: str) -> Any:
    """What was odd in the files of a case that can be used, and the way to it."""
    return [
        html.H3(f"This case can be used. In its files {len(told)} things were odd and taken as said here:"),
        html.Ul([html.Li(one) for one in told]),
        html.A("Open the case", href=address),
    ]


def register(app: dash.Dash, house: House) -> None:
    """Start, upload, remove."""

    @app.callback(
        Output(GO, "href"),
        Output(PROBLEMS, "children"),
        Input(start(ALL), "n_clicks"),
        Input(UPLOAD, "contents"),
        State(UPLOAD, "filename"),
        prevent_initial_call=True,
    )
    def begin(clicks: list[int], contents: list[str] | None, names: list[str] | None) -> tuple[Any, Any]:
        asked = ctx.triggered_id
        if not asked or not ctx.triggered[0]["value"]:
            return no_update, no_update
        try:
            files = _uploaded(contents or [], names or []) if asked == UPLOAD else {}
            case, name, source = _asked_case(house, asked, files)
            project = house.shelf.make(case, name, house.user(), source)
            told = session.remarks_on_files(files) if files else ()
        except BadCase as bad:
            return no_update, problem_list(bad)
        address = Address(project.id, OPEN_AT).text()
        return (no_update, remark_list(told, address)) if told else (address, "")

    @app.callback(
        Output(LISTED, "children"),
        Output(PROBLEMS, "children", allow_duplicate=True),
        Input(remove(ALL), "n_clicks"),
        prevent_initial_call=True,
    )
    def take_off(clicks: list[int]) -> tuple[Any, Any]:
        if not ctx.triggered_id or not ctx.triggered[0]["value"]:
            return no_update, no_update
        try:
            house.shelf.remove(ctx.triggered_id["name"], house.user())
        except (LookupError, NotYours) as word:
            return listed(house), str(word)
        return listed(house), ""


def _uploaded(contents: list[str], names: list[str]) -> dict[str, bytes]:
    """Uploaded files by name."""
    return {name: base64.b64decode(text.partition(",")[2]) for name, text in zip(names, contents, strict=True)}


def _asked_case(house: House, asked: Any, files: dict[str, bytes]) -> tuple[Case, str, str]:
    """The case that a button or an upload asks for, with a name for its project and where it is from."""
    if asked == UPLOAD:
        return session.case_from_files(files), "", ""
    if asked["name"] == "new":
        return session.starting_case(), "", ""
    folder = next(path for path in house.shipped if path.name == asked["name"])
    return session.read_case(folder), "", str((folder / "case.toml").name)

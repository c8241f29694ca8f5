"""What stands round every page: rail, head, status, cautions; the callbacks that follow the address and the work."""

from __future__ import annotations

import uuid
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids, pages
from dashboard.address import Address, parse
from dashboard.house import House, Visit
from dashboard.pages import cases
from dashboard.pages.page import Page
from dashboard.shelf import NotYours
from dashboard.theme import MANTINE
from dashboard.widgets import document, standing
from planner.model.cautions import CAUTION, CAUTIONS

Json = dict[str, Any]
NOWHERE: Json = {"project": "", "page": ""}


def layout() -> Any:
    """The frame of a new tab; what it is about comes with the address."""
    return dmc.MantineProvider(
        [
            dcc.Location(id=ids.URL, refresh="callback-nav"),
            dcc.Store(id=ids.TAB, data=uuid.uuid4().hex),
            dcc.Store(id=ids.HERE),
            dcc.Store(id=ids.LOOK),
            dcc.Store(id=ids.STOOD),
            dcc.Store(id=ids.PICKED, storage_type="session"),
            html.Div(id=ids.TITLE, hidden=True),
            dcc.Interval(id=ids.AGAIN, interval=300, disabled=True),
            html.A("To the page", href="#page", className="skip"),
            html.Div([_rail(), _column()], className="frame"),
        ],
        id=ids.FRAME,
        theme=MANTINE,
        forceColorScheme="light",
    )


def _mark() -> Any:
    """The mark of the product: a pipe with a screen, a seal and a length of blank."""
    drawn = [html.Span(className=f"mark-{part}") for part in ("screen", "blank", "screen")]
    return html.Span(drawn, className="mark", **{"aria-hidden": "true"})


def _rail() -> Any:
    brand = dcc.Link([_mark(), html.Span("blankwise", className="wordmark")], href="/", className="brand")
    return html.Nav([brand, html.Div(id=ids.RAIL)], className="rail", **{"aria-label": "Pages"})


def _column() -> Any:
    return html.Div(
        [
            _head(),
            html.Div(
                [
                    html.Div(id=ids.STATUS, className="status-text", role="status", **{"aria-live": "polite"}),
                    dmc.Button("Stop", id=ids.STOP, n_clicks=0, size="compact-xs", variant="light", display="none"),
                    dmc.Button(
                        "Try again", id=ids.TRY_AGAIN, n_clicks=0, size="compact-xs", variant="light", display="none"
                    ),
                    html.Div(id=ids.TROUBLE, className="trouble", role="alert"),
                ],
                className="status",
            ),
            html.Main(id=ids.PAGE, className="page", tabIndex="-1"),
            _foot(),
        ],
        className="column",
    )


def _head() -> Any:
    plain = {"variant": "subtle", "size": "compact-sm", "n_clicks": 0}
    return html.Header(
        [
            html.Div(id=ids.NAME, className="case"),
            html.Div(
                [
                    dmc.Button("Undo", id=ids.UNDO, **plain),
                    dmc.Button("Redo", id=ids.REDO, **plain),
                    _choice(ids.UNITS, "Unit system", {"field": "Field", "metric": "Metric"}, ""),
                    _choice(ids.THEME, "Theme", {"light": "Light", "dark": "Dark"}, "light"),
                ],
                className="tools",
            ),
        ],
        className="head",
    )


def _choice(name: str, label: str, words: dict[str, str], value: str) -> Any:
    return dmc.SegmentedControl(
        id=name, data=[{"value": key, "label": text} for key, text in words.items()], value=value, size="xs",
        persistence=True, name=name, attributes={"root": {"aria-label": label}},
    )  # fmt: skip


def _foot() -> Any:
    """The cautions, always in sight; the whole text opens on demand."""
    return html.Footer(
        html.Details([html.Summary(CAUTION), *[html.P(text) for text in CAUTIONS]], className="cautions"),
        className="foot",
    )


def rail(here: Address, listed: tuple[Page, ...]) -> list[Any]:
    """The pages as parts of a string: groups from top to bottom in the order of the work, the page in hand marked."""
    made: list[Any] = [_rail_link("Cases", "/", not here.project)]
    if not here.project:
        return made
    groups: dict[str, list[Page]] = {}
    for page in listed:
        groups.setdefault(page.group, []).append(page)
    for group, members in groups.items():
        links = [
            _rail_link(page.title, Address(here.project, page.path, here.card, here.on).text(), page.path == here.page)
            for page in members
        ]
        made.append(html.Div([html.Span(group, className="rail-group"), *links], className="rail-part"))
    return made


def _rail_link(text: str, href: str, now: bool) -> Any:
    current = {"aria-current": "page"} if now else {}
    return html.Div(html.A(text, href=href, className="rail-link" + (" now" if now else "")), **current)


def _name(visit: Visit) -> list[Any]:
    """Well and project in the head."""
    case, project = visit.case, visit.project
    title = case.title.removeprefix(case.well.name).lstrip(": ")
    told = project.name if project.name != case.well.name else title
    made = [html.H1(case.well.name), html.Span(told, className="case-title", title=f"{project.name}: {case.title}")]
    if not visit.mine:
        made.append(html.Span(f"of {project.owner or 'another user'}, to look at", className="case-owner"))
    return made


def register(app: dash.Dash, house: House) -> None:
    """The callbacks of the frame, of the list of cases, and of every page."""
    listed = pages.pages()
    _in_the_browser(app)
    _route(app, house, listed)
    _follow(app, house)
    _travel(app, house)
    cases.register(app, house)
    document.register(app, house)
    for page in listed:
        page.register(app, house)


def _in_the_browser(app: dash.Dash) -> None:
    def here(name: str) -> ClientsideFunction:
        return ClientsideFunction("frame", name)

    app.clientside_callback(here("look"), Output(ids.FRAME, "forceColorScheme"), Output(ids.LOOK, "data"),
                            Input(ids.THEME, "value"), Input(ids.UNITS, "value"))  # fmt: skip
    app.clientside_callback(
        here("tell"), Output(ids.TITLE, "title"), Input(ids.HERE, "data"), Input(ids.NAME, "children")
    )


def _route(app: dash.Dash, house: House, listed: tuple[Page, ...]) -> None:
    by_path = {page.path: page for page in listed}

    @app.callback(
        Output(ids.PAGE, "children"),
        Output(ids.RAIL, "children"),
        Output(ids.NAME, "children"),
        Output(ids.HERE, "data"),
        Output(ids.UNITS, "value"),
        Input(ids.URL, "pathname"),
        State(ids.URL, "search"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        State(ids.UNITS, "value"),
    )
    def route(pathname: str, search: str, here: Json | None, look: Json | None, units: str) -> tuple[Any, ...]:
        address = parse(pathname, search)
        page = by_path.get(address.page) or by_path[pages.FIRST]
        kept = here or {}
        card = address.card or (kept.get("card", "") if kept.get("project") == address.project else "")
        visit = house.visit({"project": address.project, "card": card}, look, on=address.on)
        if visit is None:
            gone = address.project if pathname not in (None, "/", "") else ""
            return cases.layout(house, gone), rail(Address(), listed), [html.H1("Cases")], NOWHERE, no_update
        now = Address(visit.project.id, page.path, visit.card["id"], address.on)
        data = {"project": now.project, "page": now.page, "card": now.card, "revision": visit.project.revision}
        shown = no_update if units else visit.case.units
        return page.layout(visit, house), rail(now, listed), _name(visit), data, shown


def _follow(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.STOOD, "data"),
        Output(ids.STATUS, "children"),
        Output(ids.STOP, "display"),
        Output(ids.TRY_AGAIN, "display"),
        Output(ids.AGAIN, "disabled"),
        Input(ids.HERE, "data"),
        Input(ids.AGAIN, "n_intervals"),
        Input(ids.STOP, "n_clicks"),
        Input(ids.TRY_AGAIN, "n_clicks"),
        State(ids.TAB, "data"),
        State(ids.STOOD, "data"),
    )
    def follow(here: Json | None, again: int, stop: int, retry: int, tab: str, seen: Json | None) -> tuple[Any, ...]:
        visit = house.visit(here, tab=tab)
        if visit is None:
            return None, "", "none", "none", True
        if ctx.triggered_id == ids.STOP and stop:
            house.engine.cancel(tab)
        if ctx.triggered_id == ids.TRY_AGAIN and retry:
            house.engine.forget(tab)
        patience = standing.BETWEEN if ctx.triggered_id == ids.AGAIN or not seen else standing.PATIENCE
        stood = standing.standings(house, visit, patience)
        now = standing.marks(visit, stood)
        open_still = any(s.open for s in stood.values())
        failed = any(s.state in ("failed", "cancelled") for s in stood.values())
        return (
            no_update if now == seen else now,
            standing.sentence(visit, stood),
            "inline-block" if open_still else "none",
            "inline-block" if failed else "none",
            not open_still,
        )


def _travel(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(ids.UNDO, "n_clicks"),
        Input(ids.REDO, "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def travel(undo: int, redo: int, here: Json | None) -> tuple[Any, Any]:
        if not here or not here.get("project") or not ctx.triggered[0]["value"]:
            return no_update, no_update
        try:
            return house.apply(here, {"do": "undo" if ctx.triggered_id == ids.UNDO else "redo"}), ""
        except NotYours as word:
            return no_update, str(word)

    @app.callback(Output(ids.UNDO, "disabled"), Output(ids.REDO, "disabled"), Input(ids.HERE, "data"))
    def ways(here: Json | None) -> tuple[bool, bool]:
        visit = house.visit(here)
        if visit is None or not visit.mine:
            return True, True
        return not visit.project.past, not visit.project.future

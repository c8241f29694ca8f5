"""The page of the main job: the well to depth on the left, what-ifs and the answer in figures on the right."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, ClientsideFunction, Input, Output, State, ctx, dcc, html, no_update

from dashboard import actions, events, ids, records, report_dates
from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.session import content_key
from dashboard.shelf import NotYours
from dashboard.widgets import answer_views, at_once, cards, charts, part_panel, standing, well_sheet

Json = dict[str, Any]
QUICK = 3.0  # s that a base may have taken for what-ifs to be begun that nobody has asked for
SHOWN = "well-shown"  # what stood when the answers were drawn
DRAWN = "part-drawn"  # what the panel of the part in hand was drawn from
OUTPUTS = charts.outputs("well", ids.CHARTS)


def layout(visit: Visit, house: House) -> Any:
    """The page for a visit."""
    return html.Div(
        [
            well_sheet.sheet(visit),
            html.Div([cards.section(), _bench(visit), _answers()], className="right"),
        ],
        className="main",
    )


def _bench(visit: Visit) -> Any:
    name = dmc.TextInput(
        id=ids.CARD_NAME, value=visit.card["name"], size="xs", debounce=True, className="card-name",
        attributes={"input": {"aria-label": "Name of the what-if"}},
    )  # fmt: skip
    return html.Div(
        [
            html.Section(
                [
                    html.Div(["What if", name, cards.completion_choice(visit)], className="bench-head"),
                    html.Div(id=ids.EVENTS),
                    dcc.Store(id=ids.EVENTS_SEEN),
                    dcc.Store(id=ids.EVENTS_MADE),
                ],
                className="sheet events",
            ),
            html.Section(id=ids.PART, className="sheet part-panel", **{"aria-label": "Part in hand"}),
        ],
        className="bench",
    )


def _answers() -> Any:
    return html.Section(
        [
            dcc.Store(id=SHOWN),
            html.Div(id=ids.TILES, className="tiles"),
            html.Div([html.Div(id=ids.AT_ONCE, className="at-once"), charts.line_key()], className="section-head"),
            charts.time_grid("well"),
            dcc.Store(id=DRAWN),
        ],
        id=ids.ANSWERS,
        className="answers",
        **{"aria-label": "Answers"},
    )


def job_date(at: Any, visit: Visit) -> date:
    """The date that a new job is offered: that of the picture, or of the last job where the picture just follows it."""
    schedule = visit.case.schedule
    days = [listed["event"].get("on") for listed in visit.card["events"]]
    last = next((day for day in reversed(days) if day), None)
    if last and report_dates.index_after(last, schedule) == max(1, int(at or 0)):
        return date.fromisoformat(str(last)[:10])
    return report_dates.date_at(at, schedule)


def likely_next(house: House, visit: Visit, picked: Json | None, when: date) -> None:
    """Begin what is most likely asked next: to shut the zone that was picked, on the date offered.

    Before one is picked, and while the what-if has no events yet, it is any of them.
    """
    base = house.engine.known(visit.case, None)
    if not visit.mine or base is None or base.forecast.facts.seconds > QUICK:
        return
    able = [zone.name for zone in visit.told.zones if zone.shut_by]
    part = picked or {}
    if part.get("kind") == "zone":
        able = [name for name in able if name == part.get("name")]
    elif visit.card["events"]:
        able = []
    house.guess(visit, [{"do": "shut zone", "zone": name, "on": when.isoformat()} for name in able])


def register(app: dash.Dash, house: House) -> None:
    """The callbacks of the page."""
    cards.register(app, house)
    well_sheet.register(app, house)
    _act(app, house)
    _part(app, house)
    _show(app, house)
    at_once.register(app, house)


def _act(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.field(ALL), "error"),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Output(ids.DATE, "value"),
        Output(ids.TILES, "children", allow_duplicate=True),
        Input(ids.act(ALL), "n_clicks"),
        State(ids.field(ALL), "value"),
        State(ids.field(ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.PICKED, "data"),
        State(ids.LOOK, "data"),
        State(ids.TAB, "data"),
        prevent_initial_call=True,
    )
    def act(
        clicks: Any, values: list[Any], names: list[Json], here: Json, picked: Json | None, look: Json, tab: str
    ) -> Any:
        quiet = [no_update] * len(names)
        visit = house.visit(here, look)
        if not ctx.triggered_id or not ctx.triggered[0]["value"] or visit is None or not picked:
            return no_update, quiet, no_update, no_update, no_update
        fields = {name["name"]: field for name, field in zip(names, values, strict=True)}
        try:
            step = actions.step_for(ctx.triggered_id["name"], picked, fields, visit)
            after = house.apply(here, step)
        except events.BadInput as bad:
            errors = [str(bad) if name["name"] == bad.field else None for name in names]
            return no_update, errors, "" if any(errors) else str(bad), no_update, no_update
        except NotYours as word:
            return no_update, quiet, str(word), no_update, no_update
        seen = report_dates.index_after(step.get("event", {}).get("on"), visit.case.schedule)
        figures = headlines(house, after, look, tab)  # those that were worked out ahead come with the answer itself
        return after, [None] * len(names), "", no_update if seen is None else seen, figures


def headlines(house: House, here: Json | None, look: Json | None, tab: str, patience: float = 0.0) -> Any:
    """The headline figures of the work as it stands, where they are there within so many seconds; else no_update."""
    visit = house.visit(here, look, tab)
    if visit is None or not here or not standing.fits(visit, here):
        return no_update
    stood = standing.standings(house, visit, patience)
    base, mine = standing.base_and_mine(stood, visit)
    if base is None or any(stood[key].open for key in (standing.BASE, visit.card["id"]) if key in stood):
        return no_update
    return answer_views.tiles(visit.case, base, mine, visit.system)


def _part(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.PART, "children"),
        Output(DRAWN, "data"),
        Input(ids.PICKED, "data"),
        Input(ids.LOOK, "data"),
        Input(ids.HERE, "data"),
        State(ids.DATE, "value"),
        State(DRAWN, "data"),
    )
    def show_part(picked: Json | None, look: Json | None, here: Json | None, at: Any, drawn: str) -> tuple[Any, Any]:
        visit = house.visit(here, look)
        if visit is None:
            return no_update, no_update
        when = job_date(at, visit)
        if ctx.triggered_id == ids.PICKED:
            likely_next(house, visit, picked, when)
        mark = drawn_from(picked or {}, visit)
        if ctx.triggered_id == ids.HERE and mark == drawn:
            return no_update, no_update  # what is typed in the panel outlives a change elsewhere
        return part_panel.panel(picked, visit, when, house.engine.base_arrivals(visit.case)), mark

    app.clientside_callback(
        ClientsideFunction("well", "month"), Output(ids.EARLY_TEXT, "children"), Input(ids.field("early"), "value"),
        State(ids.PICTURE, "data"),
    )  # fmt: skip


def drawn_from(picked: Json, visit: Visit) -> str:
    """A digest of what the panel shows: the part, what the what-if does to it, the case, the units."""
    name = str(picked.get("name", ""))
    done = actions.settings(name, visit.card)
    case = content_key(visit.case, None)
    return records.digest(picked.get("kind"), name, visit.card["id"], done, case, visit.system)


def _show(app: dash.Dash, house: House) -> None:
    @app.callback(
        output=(Output(ids.TILES, "children"), OUTPUTS, Output(SHOWN, "data")),
        inputs=(
            Input(ids.STOOD, "data"),
            Input(ids.LOOK, "data"),
            State(ids.HERE, "data"),
            State(ids.TAB, "data"),
            State(ids.DATE, "value"),
        ),
    )
    def show(stood: Json | None, look: Json | None, here: Json | None, tab: str, at: Any) -> Any:
        nothing = (no_update, dict.fromkeys(OUTPUTS, no_update), no_update)
        visit = house.visit(here, look, tab)
        if visit is None or not stood or not look:
            return nothing
        if not standing.fits(visit, stood):
            return nothing
        base, mine = standing.base_and_mine(standing.standings(house, visit), visit)
        if base is None or (stood["open"] and stood["states"].get(visit.card["id"]) in ("waiting", "running")):
            return nothing
        if not stood["open"] and mine is None:
            likely_next(house, visit, None, job_date(at, visit))
        tiles = answer_views.tiles(visit.case, base, mine, visit.system)
        return tiles, charts.over_time(base.forecast, mine.forecast if mine else None, visit, ""), stood

    @app.callback(
        Output(ids.TILES, "children", allow_duplicate=True),
        Input(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        State(ids.TAB, "data"),
        prevent_initial_call=True,
    )
    def figures(here: Json | None, look: Json | None, tab: str) -> Any:
        """The figures as soon as they are there, without the way through the state of the work and the charts."""
        return headlines(house, here, look, tab, standing.LONGEST)

    app.clientside_callback(ClientsideFunction("frame", "drawn"), Output(ids.ANSWERS, "title"), Input(SHOWN, "data"))


def later(visit: Visit) -> list[Any]:
    """The panel of a zone, which comes when one is picked."""
    first = {"kind": "zone", "name": visit.told.zones[0].name}
    return [html.Div(part_panel.panel(first, visit, visit.case.schedule.start))]


PAGE = Page("well", "The well", "Ask", layout, register, later=later,
            says="Click a part of the well and say what happens to it.")  # fmt: skip

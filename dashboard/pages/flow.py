"""The flow of the well at a date: along the string, up the tubing, by zone; the margin to limits over time."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ClientsideFunction, Input, Output, State, ctx, dcc, html, no_update

from dashboard import events, ids, report_dates, work
from dashboard.figures import along_depth
from dashboard.house import House, Visit
from dashboard.measure import amount, month_year
from dashboard.pages.page import Page
from dashboard.session import Result, content_key
from dashboard.widgets import cards, charts, flow_table, standing
from planner.model.along_depth import STRING, at_date
from planner.model.results import FlowProfile

Json = dict[str, Any]
AT, SAID, TRACKS, BY_ZONE, HELD = "flow-at", "flow-said", "flow-tracks", "flow-by-zone", "flow-held"
VIEW, DEPTH, PANELS, BOX, UP, TOLD = (
    "flow-view", "flow-depth", "flow-panels", "flow-panels-box", "flow-up", "flow-told"
)  # fmt: skip
VIEWS = {"string": "Along the string", "tubing": "Up the tubing", "limits": "Limits over time"}
MOST = 4  # panels shown at first: more are tight on a small screen
FIRST = ("inflow", "gas inflow", "rate", "gas rate", "pressure", "margin", "drawdown")
WAIT = 120.0  # s for the flow up the tubing, which is marched to its date
NOT_YET = "The flow up the tubing takes a march to its date."
NO_LIMITS = "No limits were given in the case, so there are no margins to show."


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    return html.Div(
        [
            cards.section(),
            _date_bar(visit),
            html.Div(
                [
                    html.Section(
                        [
                            _tools(visit),
                            dcc.Graph(
                                id=TRACKS, figure=charts.EMPTY, config=charts.CONFIG, responsive=True, className="graph"
                            ),
                        ],
                        className="sheet chart",
                    ),
                    html.Div(
                        [html.Div(id=HELD), html.Div(id=BY_ZONE)], className="sheet pad scroll", tabIndex="0",
                        role="region", **{"aria-label": "Flow by zone"},
                    ),
                ],
                className="flow-body",
            ),
        ],
        className="flow",
    )  # fmt: skip


def _date_bar(visit: Visit) -> Any:
    schedule = visit.case.schedule
    at = report_dates.index_of(visit.on, schedule)
    slider = dmc.Slider(
        id=AT, min=0, max=report_dates.steps(schedule), step=1, value=1 if at is None else at, size="sm", label=None,
        updatemode="drag", thumbLabel="Date of the flow",
    )  # fmt: skip
    return html.Div(
        [
            html.Output(id=SAID, className="date-text wide"),
            html.Div(slider, className="date-slider"),
            charts.line_key("thin"),
        ],
        className="date-bar flow-bar",
    )


def _tools(visit: Visit) -> Any:
    views = [name for name in VIEWS if name != "tubing" or visit.case.tubing is not None]
    return html.Div(
        [
            _choice(VIEW, "What is drawn", {name: VIEWS[name] for name in views}),
            _choice(DEPTH, "Depth", {"md": "MD", "tvd": "TVD"}),
            html.Div(
                dmc.ChipGroup(id=PANELS, multiple=True, value=[], children=[]),
                id=BOX,
                className="chips",
                role="group",
                **{"aria-label": "Panels"},
            ),
            dmc.Button(
                "Work it out for this date", id=UP, n_clicks=0, size="compact-xs", variant="light", display="none"
            ),
            html.Span(id=TOLD, role="status", className="quiet"),
        ],
        className="chart-tools flow-tools",
    )


def _choice(name: str, label: str, words: dict[str, str]) -> Any:
    data = [{"value": key, "label": text} for key, text in words.items()]
    return dmc.SegmentedControl(
        id=name, data=data, value=next(iter(words)), size="xs", attributes={"root": {"aria-label": label}}
    )


def chips(profile: FlowProfile) -> list[Any]:
    """A chip for each panel that holds something on the date."""
    titles = {panel.name: panel.title for panel in STRING}
    return [dmc.Chip(titles[name], value=name, size="xs") for name in along_depth.panel_names(profile)]


def chosen(names: list[str], wanted: list[str] | None) -> list[str]:
    """Panels to draw: those wanted that are there; without any, the first few in order of their use."""
    kept = [name for name in names if name in (wanted or ())]
    return kept or [*[name for name in FIRST if name in names], *names][:MOST]


def held_by(result: Result, at: int, visit: Visit) -> list[Any]:
    """What the well gives on the day, and which control holds it."""
    run = result.forecast
    main = "gas" if run.description.kind.startswith("gas") else "oil"
    told = [
        f"{label} {amount(run.well[name][at], quantity, visit.system)}"
        for label, name, quantity in (
            (main, f"{main}_rate", "gas rate" if main == "gas" else "liquid rate"),
            ("water", "water_rate", "liquid rate"),
            ("bottom-hole pressure", "bottom_hole_pressure", "pressure"),
        )
        if name in run.well
    ]
    return [html.H2("The well"), html.P(", ".join(told)), html.P(f"Held by the {run.control[at]}.", className="quiet")]


def up_the_tubing(house: House, visit: Visit, on: date, begun: bool, depth: Any) -> tuple[Any, str]:
    """The figure of the tubing on a date, and a sentence where there is none; begun: work it out and wait for it."""
    try:
        what_if = work.what_if_of(visit.card) if work.acts(visit.card) else None
    except events.BadInput as bad:
        return charts.EMPTY, str(bad)
    held = house.engine.kept(content_key(visit.case, what_if, "flow", on))
    if held is None and begun:
        held = house.engine.flow(visit.case, what_if, on, WAIT)
    if held is None or held.open:
        return charts.EMPTY, NOT_YET if held is None else "Still marching to this date; ask again in a while."
    if held.result is None:
        return charts.EMPTY, held.text
    figure = along_depth.up_the_tubing(held.result, visit.system, visit.theme, depth=depth)
    return figure or charts.EMPTY, "" if figure else "There is no flow up the tubing on this date."


def register(app: dash.Dash, house: House) -> None:
    """The charts and the table follow the date, the choices and the work."""

    @app.callback(
        Output(TRACKS, "figure"),
        Output(BY_ZONE, "children"),
        Output(HELD, "children"),
        Output(SAID, "children"),
        Output(PANELS, "children"),
        Output(PANELS, "value"),
        Output(BOX, "style"),
        Output(UP, "display"),
        Output(DEPTH, "display"),
        Output(TOLD, "children"),
        Input(ids.STOOD, "data"),
        Input(ids.LOOK, "data"),
        Input(AT, "value"),
        Input(VIEW, "value"),
        Input(DEPTH, "value"),
        Input(PANELS, "value"),
        Input(UP, "n_clicks"),
        State(PANELS, "children"),
        State(ids.HERE, "data"),
        State(ids.TAB, "data"),
        running=[(Output(UP, "disabled"), True, False)],
    )
    def show(
        stood: Any, look: Any, at: int, view: str, depth: Any, wanted: Any, up: int, there: Any, here: Any, tab: str
    ) -> Any:
        visit = house.visit(here, look, tab)
        if visit is None or not stood or not look:
            return (no_update,) * 10
        base, mine = standing.base_and_mine(standing.standings(house, visit), visit)
        if base is None:
            return (no_update,) * 10
        run = mine or base
        at = min(int(at or 0), len(run.forecast.days) - 1)
        other = base.forecast if mine else None
        profile = at_date(run.forecast, at)
        picked = chosen(along_depth.panel_names(profile), wanted)
        told = ""
        if view == "tubing":
            on = date.fromisoformat(str(run.forecast.dates[at])[:10])
            begun = ctx.triggered_id == UP and bool(up)
            figure, told = up_the_tubing(house, visit, on, begun, depth)
        elif view == "limits":
            figure = along_depth.margins(run.forecast, visit.system, visit.theme)
            told = "" if figure["data"] else NO_LIMITS
        else:
            behind = at_date(other, at) if other else None
            figure = along_depth.along_string(
                profile, visit.system, visit.theme, depth=depth, wanted=picked, base=behind
            )
        made = chips(profile)
        same = [chip["props"]["value"] for chip in there or []] == [chip.value for chip in made]
        return (
            figure,
            flow_table.by_zone(run.forecast, other, at, visit.system),
            held_by(run, at, visit),
            month_year(run.forecast.dates[at]),
            no_update if same else made,
            no_update if sorted(picked) == sorted(wanted or ()) else picked,
            {"display": "flex" if view == "string" else "none"},
            "inline-block" if view == "tubing" and told else "none",
            "none" if view == "limits" else "inline-flex",
            told,
        )

    app.clientside_callback(
        ClientsideFunction("frame", "month"), Output(SAID, "title"), Input(AT, "value"), Input(SAID, "children")
    )


PAGE = Page("flow", "Flow", "Look", layout, register, says="What comes in where, and what flows past, at a date.")

"""Pages whose answer is chapters of the engine: part of the screen, and a file to open or to save.

The browser fetches the chapters as HTML without a frame (`assets/45_paper.js`); they take the colours and the type of
the screen, and the engine's own script draws their figures in its theme.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import dash
import dash_mantine_components as dmc
import flask
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids, session
from dashboard.house import House, Visit
from dashboard.session import BadCase, Paper, Standing
from dashboard.widgets import cards, long_work
from dashboard.widgets.long_work import LongWork

Json = dict[str, Any]
ROUTE, PART = "/document/<project>/<key>.html", "/document/<project>/<key>.part"


def show(visit: Visit, standing: Standing) -> Any:
    """The document itself, and ways to take it along."""
    address = f"/document/{visit.project.id}/{standing.key}.html"
    found = standing.result
    offer = isinstance(found, Paper) and found.case is not None and visit.mine
    return [
        html.Div(
            [
                html.A("Open in a tab of its own", href=address, target="_blank", className="strong"),
                html.A("Save as a file", href=f"{address}?save=1", className="strong"),
                *([_offer(standing.key)] if offer else []),
                html.Span("One file that needs no network and no program but a browser.", className="quiet"),
            ],
            className="chart-tools",
        ),
        html.Div(dcc.Graph(figure={"data": [], "layout": {}}), hidden=True),  # brings the drawing library along
        html.Div(className="paper", **{"data-paper": f"/document/{visit.project.id}/{standing.key}.part"}),
    ]


def take(key: Any) -> Json:
    """Id of the button that takes the case of a document into the project."""
    return {"type": "take-case", "key": key}


def result_of(house: House, project: str, key: str) -> Any:
    """An answer by its key, from the project's folder or from the server's memory; None where it is not kept."""
    if (kept := house.archive.get(project, key)) is not None:
        return kept.result
    found = house.engine.kept(key)
    return found.result if found else None


def _offer(key: str) -> Any:
    told = "It becomes a revision of the project; Undo takes it back."
    return html.Span(
        dmc.Button("Take its case into the project", id=take(key), n_clicks=0, size="compact-xs", variant="light"),
        title=told,
    )


def without(needed: str) -> Any:
    """A page whose case lacks what it is about: a sentence on what to add."""
    return html.Div(html.Section(html.P(needed, className="hint"), className="sheet pad"), className="single")


def layout(told: str, work: LongWork, visit: Visit, house: House | None = None, more: Sequence[Any] = ()) -> Any:
    """A page of one piece of work: what it is for, more to say, and the work."""
    parts = [html.Div([html.P(told, className="hint"), *more]), long_work.section(work, visit, house)]
    return html.Div(html.Section(parts, className="sheet pad documents"), className="single")


def register(app: dash.Dash, house: House) -> None:
    """The address that documents are read at, by digests of what they are of; the taking of their case."""

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(take(ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def take_case(clicks: list[int], here: Json | None) -> tuple[Any, Any]:
        asked = ctx.triggered_id
        if not isinstance(asked, dict) or not ctx.triggered[0]["value"]:
            return no_update, no_update
        paper = result_of(house, (here or {}).get("project", ""), asked["key"])
        if not isinstance(paper, Paper) or paper.case is None:
            return no_update, "This answer is not kept any more; compute it again."
        try:
            return cards.write(house, here, {"do": "set case", "case": paper.case, "told": paper.told})
        except BadCase as bad:
            return no_update, f"The proposed case cannot be used as it is: {bad}"

    def paper_at(project: str, key: str) -> Paper:
        found = result_of(house, project, key)
        if not isinstance(found, Paper):
            flask.abort(404)
        return found

    @app.server.route(PART)
    def part(project: str, key: str) -> flask.typing.ResponseReturnValue:
        return flask.Response(paper_at(project, key).fragment, mimetype="text/html")

    @app.server.route("/paper.css")
    def style() -> flask.typing.ResponseReturnValue:
        return flask.Response(session.paper_style(), mimetype="text/css")

    @app.server.route("/paper.js")
    def script() -> flask.typing.ResponseReturnValue:
        return flask.Response(session.paper_script(), mimetype="text/javascript")

    @app.server.route(ROUTE)
    def document(project: str, key: str) -> flask.typing.ResponseReturnValue:
        answer = flask.Response(paper_at(project, key).text, mimetype="text/html")
        if flask.request.args.get("save"):
            answer.headers["Content-Disposition"] = "attachment; filename=blankwise.html"
        return answer

"""Pages whose answer is a document of the engine: shown in place, opened in a tab of its own, or saved."""

from __future__ import annotations

from typing import Any

import dash
import flask
from dash import html

from dashboard.house import House, Visit
from dashboard.session import Standing
from dashboard.widgets import long_work
from dashboard.widgets.long_work import LongWork

Json = dict[str, Any]
ROUTE = "/document/<key>.html"


def show(visit: Visit, standing: Standing) -> Any:
    """The document itself, and ways to take it along."""
    address = f"/document/{standing.key}.html"
    size = f"{len(standing.result) / 1e6:.1f} MB; it needs no network and no program but a browser."
    return [
        html.Div(
            [
                html.A("Open in a tab of its own", href=address, target="_blank", className="strong"),
                html.A("Save as a file", href=f"{address}?save=1", className="strong"),
                html.Span(size, className="quiet"),
            ],
            className="chart-tools",
        ),
        html.Iframe(src=address, title="Answer", className="document"),
    ]


def layout(told: str, work: LongWork, visit: Visit) -> Any:
    """A page of one piece of work: what it is for, and the work."""
    return html.Div(
        html.Section([html.P(told, className="hint"), long_work.section(work, visit)], className="sheet pad documents"),
        className="single",
    )


def register(app: dash.Dash, house: House) -> None:
    """The address that documents are read at; their keys are digests of what they are of."""

    @app.server.route(ROUTE)
    def document(key: str) -> flask.typing.ResponseReturnValue:
        found = house.engine.kept(key)
        if found is None or not isinstance(found.result, str):
            flask.abort(404)
        answer = flask.Response(found.result, mimetype="text/html")
        if flask.request.args.get("save"):
            answer.headers["Content-Disposition"] = "attachment; filename=blankwise.html"
        return answer

"""The report for the partners: one self-contained file of the base and the compared what-ifs."""

from __future__ import annotations

from typing import Any

import dash
import flask
from dash import html

from dashboard.house import House, Visit
from dashboard.pages.page import Page
from dashboard.widgets import long_work
from dashboard.widgets.long_work import LongWork

Json = dict[str, Any]
ROUTE = "/report/<project_id>.html"


def show(visit: Visit, made: str) -> Any:
    """The report itself, and ways to take it along."""
    address = f"/report/{visit.project.id}.html?units={visit.system}"
    return [
        html.Div(
            [
                html.A("Open in a tab of its own", href=address, target="_blank", className="strong"),
                html.A("Save as a file", href=f"{address}&save=1", className="strong"),
                html.Span(
                    f"{len(made) / 1e6:.1f} MB; it needs no network and no program but a browser.", className="quiet"
                ),
            ],
            className="chart-tools",
        ),
        html.Iframe(src=address, title="Report", className="report-frame"),
    ]


WORK = LongWork(
    "report", "dashboard.session:report_of", "Make the report", show, from_cards="compared", with_units=True
)


def layout(visit: Visit, house: House) -> Any:
    """The page."""
    told = "Inputs, answers, flow, life, money, limits, methods with their sources, and cautions, in one file."
    return html.Div(
        html.Section([html.P(told, className="hint"), long_work.section(WORK, visit)], className="sheet pad report"),
        className="single",
    )


def register(app: dash.Dash, house: House) -> None:
    """The work, and the address that the report is read at."""
    long_work.register(app, house, WORK)

    @app.server.route(ROUTE)
    def report(project_id: str) -> flask.typing.ResponseReturnValue:
        visit = house.visit({"project": project_id}, {"units": flask.request.args.get("units")})
        if visit is None:
            flask.abort(404)
        case = long_work.case_of(WORK, visit)
        found = house.engine.long(WORK.task, case, long_work.key_of(WORK, case, {"units": visit.system}))
        if found is None or found.state != "done":
            flask.abort(404)
        answer = flask.Response(found.result, mimetype="text/html")
        if flask.request.args.get("save"):
            answer.headers["Content-Disposition"] = "attachment; filename=report.html"
        return answer


PAGE = Page("report", "Report", "Hand over", layout, register, says="The answer as one file for the partners.")

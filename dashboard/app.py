"""Make the application: the house, the frame, the pages."""

from __future__ import annotations

import logging
import os
from pathlib import Path
from typing import Any

import dash
from dash import html

from dashboard import frame, ids, pages, session
from dashboard.access import Users
from dashboard.door import WARM, serve
from dashboard.engine import Engine
from dashboard.house import House
from dashboard.jobs import Runner, Workers
from dashboard.pages import cases
from dashboard.server import harden
from dashboard.shelf import FROM_FILE, NoProject, Shelf
from planner.model.case import Case

__all__ = ["create_app", "serve"]
log = logging.getLogger("blankwise")

INDEX = """<!DOCTYPE html>
<html lang="en">
    <head>
        {%metas%}
        <title>{%title%}</title>
        <link rel="icon" type="image/svg+xml" href="/assets/mark.svg">
        {%css%}
        <link rel="stylesheet" href="/paper.css">
    </head>
    <body>
        {%app_entry%}
        <footer>{%config%}<script src="/paper.js"></script>{%scripts%}{%renderer%}</footer>
    </body>
</html>"""


def projects_folder() -> Path:
    """Where projects are kept when nobody says: BLANKWISE_PROJECTS, or the user's data folder."""
    given = os.environ.get("BLANKWISE_PROJECTS")
    data = os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(given) if given else Path(data) / "blankwise"


def create_app(
    case_path: str | Path | None = None,
    runner: Runner | None = None,
    hosts: tuple[str, ...] = (),
    projects: Path | None = None,
    users: Users | None = None,
) -> dash.Dash:
    """The application; `app.house` holds what it works on and `app.start` the address to begin at.

    case_path: a case to open first. runner: where forecasts run (processes of their own by default). hosts: names
    beside this machine's own under which the pages may be asked for. projects: folder of the projects. users: who may
    come in with which password; none: one person. Raises session.BadCase with every problem of the case.
    """
    path = Path(case_path) if case_path else None
    case = session.read_case(path) if path else None
    shipped = shipped_cases()
    first = case or (session.read_case(shipped[0]) if shipped else session.starting_case())
    runner = runner or Workers(first=(WARM, (str(path or ""),)))
    house = House(Shelf(projects or projects_folder()), Engine(runner), shipped, team=users is not None)
    app = dash.Dash(
        "dashboard",
        assets_folder=str(Path(__file__).parent / "assets"),
        title="blankwise",
        update_title=None,
        index_string=INDEX,
        serve_locally=True,
        on_error=_on_error,
        add_log_handler=False,
    )
    harden(app, hosts, users)
    _news(app, house)
    app.layout = frame.layout
    app.validation_layout = _everything(house, first)
    frame.register(app, house)
    app.house = house
    app.start = f"/p/{open_case(house, case, path)}/well" if case is not None and path and users is None else "/"
    return app


def open_case(house: House, case: Case, path: Path) -> str:
    """The project of a case file: the one that was started from it, brought up to the file, or a new one; its id."""
    source = str(path.resolve())
    project = house.shelf.started_from(source, "")
    if project is None:
        project = house.shelf.make(case, "", "", source)
    elif house.shelf.last_from_file(project.id) != case:
        step = {"do": "set case", "case": case, "told": FROM_FILE}
        project = house.shelf.apply(project.id, "", step)
    house.engine.stand("warm-up", project.case, {"base": None})
    return project.id


def shipped_cases(folder: Path | None = None) -> tuple[Path, ...]:
    """The folders of the cases that came with the product: ./cases, or those beside the package."""
    for place in (folder or Path("cases"), Path(__file__).parents[1] / "cases"):
        found = tuple(file.parent for file in sorted(place.glob("*/case.toml")))
        if found:
            return found
    return ()


def _everything(house: House, case: Case) -> html.Div:
    """Every page once, so that Dash knows all components that callbacks speak with."""
    visit = house.of(house.shelf.passing(case))
    return html.Div(
        [
            frame.layout(),
            cases.layout(house),
            *[part for page in pages.pages() for part in (page.layout(visit, house), *page.later(visit))],
        ]
    )


def _news(app: dash.Dash, house: House) -> None:
    """The revision of a project, asked for by tabs that are open on it."""

    @app.server.route("/revision/<project_id>")
    def revision(project_id: str) -> Any:
        try:
            return {"project": project_id, "revision": house.shelf.get(project_id).revision}
        except NoProject:
            return {"project": project_id, "revision": 0}


def _on_error(error: Exception) -> None:
    """A callback that fails tells the user in a sentence and the terminal in full."""
    log.exception("a callback failed", exc_info=error)
    dash.set_props(
        ids.TROUBLE, {"children": "Something went wrong here; your work is kept. Reload the page if it stays."}
    )

"""Make the application and serve it to one person on this machine."""

from __future__ import annotations

import logging
import signal
import socket
import threading
import webbrowser
from pathlib import Path
from typing import Any

import dash
from dash import html
from flask import Response
from flask_compress import Compress
from werkzeug.serving import make_server

from dashboard import ids
from dashboard.jobs import Runner
from dashboard.pages import well, well_callbacks
from dashboard.session import CaseDesk

LARGEST_REQUEST = 8 * 1024 * 1024  # bytes
log = logging.getLogger("blankwise")

INDEX = """<!DOCTYPE html>
<html lang="en">
    <head>
        {%metas%}
        <title>{%title%}</title>
        <link rel="icon" type="image/svg+xml" href="assets/mark.svg">
        {%css%}
    </head>
    <body>
        {%app_entry%}
        <footer>{%config%}{%scripts%}{%renderer%}</footer>
    </body>
</html>"""

# Everything comes from this server; plotly and the component library need inline styles and evaluated functions.
POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; worker-src 'self' blob:; "
    "frame-ancestors 'none'; base-uri 'self'; form-action 'self'"
)


def create_app(case_path: str | Path | None, runner: Runner | None = None, hosts: tuple[str, ...] = ()) -> dash.Dash:
    """The application for a case file or folder; None: the first case found below ./cases, else a page that says how.

    runner: where forecasts run (processes of their own by default). hosts: names beside this machine's own under which
    the page may be asked for. Raises planner's CaseError with every problem of the case.
    """
    return _opened(case_path, runner, hosts)[0]


def _opened(
    case_path: str | Path | None, runner: Runner | None, hosts: tuple[str, ...]
) -> tuple[dash.Dash, CaseDesk | None]:
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
    _harden(app, hosts)
    path = Path(case_path) if case_path else first_case(Path("cases"))
    if path is None:
        app.layout = lambda: _no_case()
        return app, None
    desk = CaseDesk.open(path, runner)
    app.title = f"{desk.case.well.name} \u2013 blankwise"
    app.layout = lambda: well.layout(desk)
    app.validation_layout = html.Div([well.layout(desk), *well.every_panel(desk)])
    well_callbacks.register(app, desk)
    desk.warm_up()
    return app, desk


def first_case(folder: Path) -> Path | None:
    """The first case of a folder of cases."""
    return next(iter(sorted(folder.glob("*/case.toml"))), None)


def _no_case() -> Any:
    return html.Main(
        [
            html.H1("No case to show"),
            html.P("Start with 'blankwise serve CASE', where CASE is the file or folder of a case; "
                   "'blankwise new FOLDER' writes a first one."),
        ],
        className="no-case",
    )  # fmt: skip


def _on_error(error: Exception) -> None:
    """A callback that fails tells the user in a sentence and the terminal in full."""
    log.exception("a callback failed", exc_info=error)
    dash.set_props(
        ids.TROUBLE, {"children": "Something went wrong here; your work is kept. Reload the page if it stays."}
    )


def _harden(app: dash.Dash, hosts: tuple[str, ...]) -> None:
    server = app.server
    server.config["TRUSTED_HOSTS"] = ["127.0.0.1", "localhost", "[::1]", *hosts]
    server.config["MAX_CONTENT_LENGTH"] = LARGEST_REQUEST
    Compress(server)

    @server.after_request
    def headers(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = POLICY
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        return response


def serve(case_path: str | Path | None, host: str = "127.0.0.1", port: int = 8060, open_browser: bool = True) -> None:
    """Serve a case until interrupted. Raises OSError with a sentence when the port is taken."""
    if _taken(host, port):
        raise OSError(f"port {port} of {host} is already in use; choose another one with --port")
    app, desk = _opened(case_path, None, (host,))
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    address = f"http://{host}:{port}/"
    server = make_server(host, port, app.server, threaded=True)
    print(f"blankwise is at {address}  (Ctrl+C ends it)", flush=True)
    if open_browser:
        threading.Timer(0.3, webbrowser.open, (address,)).start()
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        print("ended")
    finally:
        server.server_close()
        if desk is not None:
            desk.close()


def _taken(host: str, port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        return port != 0 and probe.connect_ex((host, port)) == 0

"""Serving: to one person on this machine, or to a team behind a password; the same hardening for both."""

from __future__ import annotations

import logging
import os
import signal
import threading
import webbrowser
from pathlib import Path

import dash
from flask import Flask, Response
from flask_compress import Compress

from dashboard.access import Users, guard
from dashboard.jobs import settle

LARGEST_REQUEST = 16 * 1024 * 1024  # bytes: a case with its logs
THREADS = 8

# Everything comes from this server; plotly and the component library need inline styles and evaluated functions.
POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; worker-src 'self' blob:; "
    "frame-ancestors 'self'; base-uri 'self'; form-action 'self'"
)


def harden(app: dash.Dash, hosts: tuple[str, ...], users: Users | None = None) -> None:
    """Host names, size of requests, headers, compression, and the door where there are users."""
    server = app.server
    server.config["TRUSTED_HOSTS"] = ["127.0.0.1", "localhost", "[::1]", *hosts]
    server.config["MAX_CONTENT_LENGTH"] = LARGEST_REQUEST
    Compress(server)
    if users is not None:
        guard(server, users)

    @server.after_request
    def headers(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = POLICY
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        return response


def run(app: dash.Dash, host: str, port: int, start: str = "/", open_browser: bool = False) -> None:
    """Serve an application with the production server until interrupted."""
    from waitress.server import create_server

    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    settle()
    server = create_server(app.server, host=host, port=port, threads=THREADS, ident=None)
    address = f"http://{host}:{port}{start}"
    print(f"blankwise is at {address}  (Ctrl+C ends it)", flush=True)
    if open_browser:
        threading.Timer(0.3, webbrowser.open, (address,)).start()
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        server.run()
    except KeyboardInterrupt:
        print("ended")
    finally:
        server.close()
        app.house.engine.close()


def team() -> Flask:
    """The application for a team, for a production server: `waitress-serve --threads=8 --call dashboard.server:team`.

    BLANKWISE_USERS: file of users (python -m dashboard.access FILE NAME adds one). BLANKWISE_PROJECTS: folder of the
    projects. BLANKWISE_HOSTS: host names, parted by commas. One process: results and locks live in its memory.
    """
    from dashboard.app import create_app

    hosts = tuple(name.strip() for name in os.environ.get("BLANKWISE_HOSTS", "").split(",") if name.strip())
    users = Users(Path(os.environ["BLANKWISE_USERS"]))
    flask: Flask = create_app(hosts=hosts, users=users).server
    return flask

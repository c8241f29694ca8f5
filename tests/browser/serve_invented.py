"""Serve the pages on the invented engine: python -m tests.browser.serve_invented PORT FOLDER [USER ...].

/make starts a new project and says its path, so that each test has one of its own. Users get their name ten times as
their password.
"""

from __future__ import annotations

import logging
import sys
from pathlib import Path

from waitress.server import create_server

from dashboard import app as screens
from dashboard import session
from dashboard.access import Users
from dashboard.jobs import AtOnce
from tests.dashboard import synthetic

if __name__ == "__main__":
    session.api = synthetic.engine()
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    folder = Path(sys.argv[2])
    users = Users(folder / "users.json") if sys.argv[3:] else None
    for name in sys.argv[3:]:
        users.add(name, 10 * name)
    made = screens.create_app(None, runner=AtOnce(), projects=folder, users=users)

    @made.server.route("/make")
    def make() -> str:
        return f"/p/{made.house.shelf.make(synthetic.case()).id}/well"

    server = create_server(made.server, host="127.0.0.1", port=int(sys.argv[1]), threads=8)
    print("blankwise is at the port asked for", flush=True)  # from here on it is listening
    server.run()

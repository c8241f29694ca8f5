"""Serve the pages on the invented engine: python -m tests.browser.serve_invented PORT."""

from __future__ import annotations

import sys

from werkzeug.serving import make_server

from dashboard import app as screens
from dashboard import session
from dashboard.jobs import AtOnce
from tests.dashboard import synthetic

if __name__ == "__main__":
    session.api = synthetic.engine()
    made = screens.create_app("case.toml", runner=AtOnce())
    print("blankwise is at the port asked for", flush=True)
    make_server("127.0.0.1", int(sys.argv[1]), made.server, threaded=True).serve_forever()

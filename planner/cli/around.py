"""Verbs around a case: new, schema, serve."""

from __future__ import annotations

from typing import Any

from planner.cli.grammar import Arguments, a_port, add_verb, stop, tell_compiling

SCREENS = "blankwise.screens"


def register(verbs: Any) -> None:
    """Add the verbs of this group."""
    one = add_verb(verbs, "serve", _serve, "open the dashboard on this machine", case="?")
    one.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1: this machine alone)")
    one.add_argument("--port", type=a_port, default=8050, help="port (8050)")
    one.add_argument("--no-browser", action="store_true", help="do not open a browser")
    one = add_verb(verbs, "new", _new, "write a small case to start from", case="")
    one.add_argument("folder", metavar="FOLDER", help="a new folder")
    add_verb(verbs, "schema", _schema, "JSON Schema of the case file", case="?")


def _serve(asked: Arguments) -> int:
    from importlib.metadata import entry_points

    screens = list(entry_points(group=SCREENS))
    if not screens:
        return stop(2, "The dashboard is not installed. Install it from the checkout: pip install .")
    if asked.json:
        print(f'{{"url": "http://{asked.host}:{asked.port}/"}}', flush=True)
    tell_compiling()
    screens[0].load()(asked.case, asked.host, asked.port, not asked.no_browser)
    return 0


def _new(asked: Arguments) -> int:
    import json

    from planner import api

    written = api.new_case(asked.folder)
    if asked.json:
        print(json.dumps({"case": str(written)}, indent=2))
    else:
        print(f"A case to start from is in {written}. Next: blankwise check {asked.folder}")
    return 0


def _schema(asked: Arguments) -> int:
    import json

    from planner import api

    print(json.dumps(api.schema(), indent=2))
    return 0

"""Who may come in: names with hashed passwords in a file, a page to sign in at, a signed cookie.

python -m dashboard.access users.json ann        asks for a password and keeps its hash
"""

from __future__ import annotations

import getpass
import json
import re
import secrets
import sys
import threading
import time
from datetime import timedelta
from pathlib import Path

import flask
from werkzeug.security import check_password_hash, generate_password_hash

from dashboard.session import replace_text

SHORTEST = 10  # characters of a password
WAIT = 1.0  # s more after every wrong password in a row, up to ten of them

PAGE = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Sign in \u2013 blankwise</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/assets/00_look.css">
</head><body><main class="sign-in"><h1>blankwise</h1><form method="post">
<label for="name">Name</label><input id="name" name="name" autocomplete="username" required autofocus>
<label for="password">Password</label>
<input id="password" name="password" type="password" autocomplete="current-password" required>
<p role="alert" class="trouble">{{ trouble }}</p><button type="submit">Sign in</button></form></main></body></html>"""


class Users:
    """The users of a file: {"secret": ..., "users": {name: hash}}."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._wrong: dict[str, tuple[int, float]] = {}
        self._lock = threading.Lock()

    def held(self) -> dict[str, object]:
        """What the file holds; an empty list of users where there is none yet."""
        try:
            found: dict[str, object] = json.loads(self._file.read_text("utf-8"))
        except FileNotFoundError:
            return {"secret": secrets.token_hex(32), "users": {}}
        return found

    @property
    def secret(self) -> str:
        """The key that signs cookies."""
        return str(self.held()["secret"])

    def add(self, name: str, password: str) -> None:
        """Add a user, or give one another password. Raises ValueError with a sentence."""
        if not re.fullmatch(r"[\w.@-]{1,64}", name):
            raise ValueError("A name is made of letters, digits and . @ - _ alone.")
        if len(password) < SHORTEST:
            raise ValueError(f"A password needs {SHORTEST} characters at least.")
        held = self.held()
        hashes = dict(held["users"])  # type: ignore[call-overload]
        hashes[name] = generate_password_hash(password)
        replace_text(self._file, json.dumps({**held, "users": hashes}, indent=1))
        self._file.chmod(0o600)

    def right(self, name: str, password: str) -> bool:
        """Whether a password is that of a user; compared in constant time, and slowly after wrong ones."""
        with self._lock:
            wrong, until = self._wrong.get(name, (0, 0.0))
            if time.monotonic() < until:
                return False
        hashes = dict(self.held()["users"])  # type: ignore[call-overload]
        good = check_password_hash(hashes.get(name, NOBODY), password) and name in hashes
        with self._lock:
            if good:
                self._wrong.pop(name, None)
            else:
                self._wrong[name] = (wrong + 1, time.monotonic() + WAIT * min(wrong, 10))
        return good


NOBODY = generate_password_hash(secrets.token_hex(16))  # what an unknown name is compared with, to take as long


def guard(server: flask.Flask, users: Users) -> None:
    """Nobody gets further than the page to sign in at without a password."""
    server.secret_key = users.secret
    server.config.update(
        SESSION_COOKIE_HTTPONLY=True, SESSION_COOKIE_SAMESITE="Lax", PERMANENT_SESSION_LIFETIME=timedelta(days=7)
    )

    @server.before_request
    def door() -> flask.typing.ResponseReturnValue | None:
        if flask.request.path in ("/sign-in", "/assets/00_look.css") or flask.session.get("user"):
            return None
        if flask.request.method == "GET" and "/_dash" not in flask.request.path:
            return flask.redirect(flask.url_for("sign_in", to=flask.request.full_path.rstrip("?")))
        return flask.Response("Signed out. Reload the page.", 401)

    @server.route("/sign-in", methods=["GET", "POST"])
    def sign_in() -> flask.typing.ResponseReturnValue:
        name = flask.request.form.get("name", "")
        if flask.request.method == "GET":
            return flask.render_template_string(PAGE, trouble="")
        if not users.right(name, flask.request.form.get("password", "")):
            return flask.render_template_string(PAGE, trouble="Name or password is not right."), 403
        flask.session.clear()
        flask.session["user"] = name
        flask.session.permanent = True
        to = flask.request.args.get("to", "/")
        return flask.redirect(to if re.fullmatch(r"/(?!/)[\w/?=&.-]*", to) else "/")

    @server.route("/sign-out")
    def sign_out() -> flask.typing.ResponseReturnValue:
        flask.session.clear()
        return flask.redirect("/sign-in")


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: python -m dashboard.access FILE NAME")
    try:
        Users(Path(sys.argv[1])).add(sys.argv[2], getpass.getpass("Password: "))
    except ValueError as word:
        sys.exit(str(word))

"""The application: served safely, wholly from this machine, without a traceback for anybody."""

from __future__ import annotations

import json
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import dash
import pytest
from flask.testing import FlaskClient

from dashboard import app as screens
from dashboard import pages, server
from dashboard.jobs import AtOnce
from dashboard.pages.page import Page


@pytest.fixture
def app(engine: SimpleNamespace, tmp_path: Path) -> dash.Dash:
    return screens.create_app("case.toml", runner=AtOnce(), projects=tmp_path)


@pytest.fixture
def client(app: dash.Dash) -> FlaskClient:
    return app.server.test_client()


def test_the_page_is_served_with_its_language(client: FlaskClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert '<html lang="en">' in page.text


def test_nothing_on_the_page_comes_from_outside(client: FlaskClient) -> None:
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', client.get("/").text)
    assert "connect-src 'self'" in client.get("/").headers["Content-Security-Policy"]


def test_another_host_name_is_turned_away(client: FlaskClient) -> None:
    assert client.get("/", headers={"Host": "elsewhere.example"}).status_code == 400
    assert client.get("/", headers={"Host": "127.0.0.1:8060"}).status_code == 200


def test_a_body_beyond_the_limit_is_turned_away(client: FlaskClient) -> None:
    answer = client.post(
        "/_dash-update-component", data=b"x" * (server.LARGEST_REQUEST + 1), content_type="application/json"
    )
    assert answer.status_code in (400, 413)


@pytest.mark.parametrize("body", [b"", b"{}", b"[]", b'{"output": "nothing.there"}', b"\xff\xfe"])
def test_a_bad_request_gets_no_traceback(client: FlaskClient, body: bytes) -> None:
    client.application.config["PROPAGATE_EXCEPTIONS"] = False
    answer = client.post("/_dash-update-component", data=body, content_type="application/json")
    assert answer.status_code >= 400
    assert "Traceback" not in answer.text
    assert 'File "' not in answer.text


def test_pages_are_compressed(client: FlaskClient) -> None:
    answer = client.get("/_dash-layout", headers={"Accept-Encoding": "gzip"})
    assert answer.headers.get("Content-Encoding") == "gzip"


def test_callback_validation_stays_on(app: dash.Dash) -> None:
    assert not app.config.suppress_callback_exceptions


def test_every_page_gives_each_component_one_name(app: dash.Dash) -> None:
    """A page with two components of one name would be refused by the browser; here it is by Dash itself."""
    for page in pages.pages():
        seen = [json.dumps(part.id, sort_keys=True) for part in _parts(page, app) if getattr(part, "id", None)]
        assert len(seen) == len(set(seen)), page.path


def _parts(page: Page, app: dash.Dash) -> list[Any]:
    project = app.house.shelf.get(app.start.split("/")[2])
    return list(page.layout(app.house.of(project), app.house)._traverse())


def test_a_case_that_was_served_before_finds_its_project_again(engine: SimpleNamespace, tmp_path: Path) -> None:
    first = screens.create_app("case.toml", runner=AtOnce(), projects=tmp_path)
    project_id = first.start.split("/")[2]
    card = first.house.shelf.get(project_id).cards[0]["id"]
    first.house.shelf.apply(project_id, "", {"do": "rename", "card": card, "name": "Mine"})
    again = screens.create_app("case.toml", runner=AtOnce(), projects=tmp_path)
    assert again.start == first.start
    assert again.house.shelf.get(project_id).cards[0]["name"] == "Mine"


def test_the_revision_of_a_project_can_be_asked_for(client: FlaskClient, app: dash.Dash) -> None:
    project_id = app.start.split("/")[2]
    assert client.get(f"/revision/{project_id}").json == {"project": project_id, "revision": 1}
    assert client.get("/revision/nothing").json["revision"] == 0


def test_a_port_that_is_taken_is_said_in_a_sentence(engine: SimpleNamespace) -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(OSError, match="already in use"):
            screens.serve("case.toml", "127.0.0.1", taken.getsockname()[1], open_browser=False)

"""The application: served safely, wholly from this machine, without a traceback for anybody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from types import SimpleNamespace

import pytest
from flask.testing import FlaskClient

from dashboard import app as screens
from dashboard.jobs import AtOnce


@pytest.fixture
def client(engine: SimpleNamespace) -> Iterator[FlaskClient]:
    app = screens.create_app("case.toml", runner=AtOnce())
    yield app.server.test_client()


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
        "/_dash-update-component", data=b"x" * (screens.LARGEST_REQUEST + 1), content_type="application/json"
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


def test_callback_validation_stays_on(engine: SimpleNamespace) -> None:
    app = screens.create_app("case.toml", runner=AtOnce())
    assert not app.config.suppress_callback_exceptions


def test_without_a_case_the_page_says_how_to_start(
    engine: SimpleNamespace, tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    app = screens.create_app(None)
    assert "blankwise serve CASE" in app.server.test_client().get("/_dash-layout").text


def test_a_port_that_is_taken_is_said_in_a_sentence(engine: SimpleNamespace) -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(OSError, match="already in use"):
            screens.serve("case.toml", "127.0.0.1", taken.getsockname()[1], open_browser=False)

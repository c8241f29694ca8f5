"""Who may come in: hashes alone on the disk, wrong passwords slowed, nothing served without signing in."""

from __future__ import annotations

import stat
from pathlib import Path
from types import SimpleNamespace

import pytest

from dashboard import app as screens
from dashboard.access import Users
from dashboard.jobs import AtOnce

PASSWORD = "a long password"


@pytest.fixture
def users(tmp_path: Path) -> Users:
    made = Users(tmp_path / "users.json")
    made.add("ann", PASSWORD)
    return made


def test_only_a_hash_is_kept_and_only_for_the_owner_of_the_file(users: Users, tmp_path: Path) -> None:
    file = tmp_path / "users.json"
    assert PASSWORD not in file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_right_password_and_no_other(users: Users) -> None:
    assert users.right("ann", PASSWORD)
    assert not users.right("bob", PASSWORD)
    assert not users.right("ann", PASSWORD + "x")


def test_after_two_wrong_ones_even_the_right_one_has_to_wait(users: Users) -> None:
    for _ in range(2):
        assert not users.right("ann", "wrong")
    assert not users.right("ann", PASSWORD)


@pytest.mark.parametrize(("name", "password"), [("a b", PASSWORD), ("", PASSWORD), ("bob", "short")])
def test_a_name_or_password_that_will_not_do_is_refused(users: Users, name: str, password: str) -> None:
    with pytest.raises(ValueError, match=r"name|password"):
        users.add(name, password)


def test_nothing_is_served_without_signing_in(users: Users, engine: SimpleNamespace, tmp_path: Path) -> None:
    client = screens.create_app(None, runner=AtOnce(), projects=tmp_path, users=users).server.test_client()
    assert client.get("/").status_code == 302
    assert client.get("/_dash-layout").status_code == 401
    assert client.get("/revision/0").status_code == 302
    assert client.post("/sign-in", data={"name": "ann", "password": "wrong"}).status_code == 403
    answer = client.post("/sign-in?to=//elsewhere.example", data={"name": "ann", "password": PASSWORD})
    assert answer.status_code == 302 and answer.headers["Location"] == "/"
    assert client.get("/_dash-layout").status_code == 200

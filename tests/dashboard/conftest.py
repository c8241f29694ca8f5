"""The invented engine in place of the real one: these tests are about the screens, not about physics."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from dashboard import session
from dashboard.engine import Engine
from dashboard.house import House, Visit
from dashboard.jobs import AtOnce
from dashboard.shelf import Project, Shelf
from planner.model.results import Forecast
from tests.dashboard import synthetic


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """The invented engine, seen by dashboard.session as planner.api."""
    made = synthetic.engine()
    monkeypatch.setattr(session, "api", made)
    return made


@pytest.fixture
def desk(engine: SimpleNamespace) -> Engine:
    """The results of all visitors, computed at once."""
    session._described.cache_clear()
    return Engine(AtOnce())


@pytest.fixture
def house(desk: Engine, tmp_path: Path) -> House:
    """A server with an empty shelf."""
    return House(Shelf(tmp_path), desk)


@pytest.fixture
def project(house: House) -> Project:
    """A project on the invented case."""
    return house.shelf.make(synthetic.case())


@pytest.fixture
def mine(project: Project) -> dict:
    """The work that a new project starts from."""
    return project.work


@pytest.fixture
def visit(house: House, project: Project) -> Visit:
    """A visit to it, in field units."""
    return house.of(project, "", {"units": "field", "theme": "light"}, "a")


@pytest.fixture(scope="module")
def base() -> Forecast:
    """The invented base forecast."""
    return synthetic.forecast(synthetic.case())


@pytest.fixture(scope="module")
def other() -> Forecast:
    """The invented forecast with Birch shut in 2031."""
    case = synthetic.case()
    return synthetic.forecast(case, case.what_ifs[0])

"""The invented engine in place of the real one: these tests are about the screens, not about physics."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace

import pytest

from dashboard import session, work
from dashboard.jobs import AtOnce
from planner.model.results import Forecast
from tests.dashboard import synthetic


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """The invented engine, seen by dashboard.session as planner.api."""
    made = synthetic.engine()
    monkeypatch.setattr(session, "api", made)
    return made


@pytest.fixture
def desk(engine: SimpleNamespace) -> Iterator[session.CaseDesk]:
    """A desk on the invented case that computes at once."""
    yield session.CaseDesk(synthetic.case(), AtOnce())


@pytest.fixture
def mine(desk: session.CaseDesk) -> dict:
    """The work that a new browser starts from."""
    return work.first(desk.case.what_ifs, "field")


@pytest.fixture(scope="module")
def base() -> Forecast:
    """The invented base forecast."""
    return synthetic.forecast(synthetic.case())


@pytest.fixture(scope="module")
def other() -> Forecast:
    """The invented forecast with Birch shut in 2031."""
    case = synthetic.case()
    return synthetic.forecast(case, case.what_ifs[0])

"""Running the base and what-ifs: one that is refused or fails is recorded and the others go on."""

from __future__ import annotations

import pytest

from planner.base.errors import Cancelled, ForecastError, Refusal
from planner.decide import runs
from tests.unit.synthetic import made_case, made_forecast


def answer(case, what_if, *, progress=None, cancelled=None):
    """In place of the engine: one what-if runs, one is refused, one fails."""
    name = what_if.name if what_if else "base"
    if cancelled and cancelled():
        raise Cancelled("cancelled")
    if name == "shut upper":
        raise Refusal("no blank pipe above it")
    if name == "seal leaks":
        raise ForecastError("the water balance of layer 2 did not close")
    if progress:
        progress(0.5, "half way")
        progress(1.0, "")
    return made_forecast(name)


@pytest.fixture(autouse=True)
def engine(monkeypatch):
    monkeypatch.setattr(runs, "forecast", answer)


def test_refusals_and_failures_are_recorded_and_the_others_go_on():
    case = made_case()
    ran = runs.run_all(case, case.what_ifs)
    assert [one.what_if.name if one.what_if else "base" for one in ran] == [
        "base", "shut lower", "shut upper", "seal leaks",
    ]  # fmt: skip
    assert [one.forecast.name if one.forecast else "" for one in ran] == ["base", "shut lower", "", ""]
    assert [one.refused for one in ran] == ["", "", "no blank pipe above it", ""]
    assert ran[3].failed == "the water balance of layer 2 did not close"


def test_progress_grows_over_all_runs_and_names_them():
    case, told = made_case(), []
    runs.run_all(case, case.what_ifs[:1], progress=lambda share, text: told.append((share, text)))
    assert told == [(0.25, "base: half way"), (0.5, "base"), (0.75, "shut lower: half way"), (1.0, "shut lower")]


def test_a_base_that_fails_ends_it(monkeypatch):
    case = made_case()
    for error in (ForecastError("no"), Refusal("no")):
        asked = []

        def fail(case, what_if, error=error, asked=asked, **_):
            asked.append(what_if)
            raise error

        monkeypatch.setattr(runs, "forecast", fail)
        with pytest.raises(type(error), match="no"):
            runs.run_all(case, case.what_ifs)
        assert asked == [None]


def test_cancelling_ends_it():
    case = made_case()
    with pytest.raises(Cancelled):
        runs.run_all(case, case.what_ifs, cancelled=lambda: True)

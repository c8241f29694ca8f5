"""The desk of a case: one result per content, each browser session for itself, refusals and failures as sentences."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from dashboard import jobs
from dashboard.session import CaseDesk, content_key
from planner.model.change import WhatIf
from tests.dashboard import synthetic


def what_if(*events: dict, name: str = "w") -> WhatIf:
    return WhatIf.model_validate({"name": name, "events": events})


SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}


class Held:
    """A runner that starts nothing until it is told."""

    def __init__(self) -> None:
        self.jobs: dict[str, jobs.Job] = {}
        self.cancelled: list[str] = []

    def submit(self, key: str, task: str, arguments: tuple[Any, ...]) -> jobs.Job:
        self.jobs.setdefault(key, jobs.Job(key, task, arguments, state="running"))
        return self.jobs[key]

    def cancel(self, job: jobs.Job) -> None:
        self.cancelled.append(job.key)

    def finish(self, key: str) -> None:
        job = self.jobs.pop(key)
        done = jobs.AtOnce().submit(key, job.task, job.arguments)
        job.end(done.state, done.text, done.result)

    def close(self) -> None:
        pass


@pytest.fixture
def held(engine: SimpleNamespace) -> tuple[CaseDesk, Held]:
    runner = Held()
    return CaseDesk(synthetic.case(), runner), runner


def test_the_screen_gets_what_the_engine_said(desk: CaseDesk) -> None:
    stood = desk.stand("a", {"base": None, "w": what_if(SHUT)})
    expected = synthetic.forecast(desk.case, what_if(SHUT))
    assert stood["w"].state == "done"
    assert np.array_equal(stood["w"].result.forecast.well["oil_rate"], expected.well["oil_rate"])
    assert stood["w"].result.money["npv"] == pytest.approx(float(expected.well["oil_volume"][-1]) * 300)


def test_a_refusal_is_the_engines_own_sentence(desk: CaseDesk) -> None:
    stood = desk.stand("a", {"w": what_if({**SHUT, "zone": "Cedar"})})["w"]
    assert stood.state == "refused"
    assert stood.text == desk.description.zones[2].missing[0]


def test_a_failure_is_told_and_can_be_tried_again(desk: CaseDesk) -> None:
    asked = {"w": what_if({"do": "change control", "shut": True, "on": "2030-01-01"})}
    stood = desk.stand("a", asked)["w"]
    assert stood.state == "failed"
    assert "water balance of Birch sand" in stood.text
    desk.forget("a")
    assert desk.stand("a", asked)["w"].state == "failed"


def test_the_key_is_the_content_and_not_the_name(desk: CaseDesk) -> None:
    one, two = what_if(SHUT, name="one"), what_if(SHUT, name="two")
    assert content_key(desk.case, one) == content_key(desk.case, two)
    assert content_key(desk.case, one) != content_key(desk.case, what_if({**SHUT, "on": "2031-02-01"}))
    assert content_key(desk.case, None) == content_key(desk.case, what_if())
    other_case = desk.case.model_copy(update={"title": "another"})
    assert content_key(other_case, one) != content_key(desk.case, one)


def test_two_sessions_do_not_get_each_others_answers(held: tuple[CaseDesk, Held]) -> None:
    desk, runner = held
    mine, yours = what_if(SHUT), what_if({**SHUT, "zone": "Elder"})
    desk.stand("a", {"w": mine})
    desk.stand("b", {"w": yours})
    for key in list(runner.jobs):
        runner.finish(key)
    a, b = desk.stand("a", {"w": mine})["w"], desk.stand("b", {"w": yours})["w"]
    assert a.result.forecast.zone["oil_rate"][-1, 1] == 0 < a.result.forecast.zone["oil_rate"][-1, 4]
    assert b.result.forecast.zone["oil_rate"][-1, 4] == 0 < b.result.forecast.zone["oil_rate"][-1, 1]


def test_what_a_session_leaves_behind_is_cancelled_unless_another_waits_for_it(held: tuple[CaseDesk, Held]) -> None:
    desk, runner = held
    shared, own = what_if(SHUT), what_if({**SHUT, "zone": "Elder"})
    desk.stand("a", {"x": shared, "y": own})
    desk.stand("b", {"x": shared})
    desk.stand("a", {})
    assert runner.cancelled == [content_key(desk.case, own)]


def test_stop_stops_for_this_session_alone(held: tuple[CaseDesk, Held]) -> None:
    desk, _ = held
    asked = {"w": what_if(SHUT)}
    desk.stand("a", asked)
    desk.stand("b", asked)
    desk.cancel("a")
    assert desk.stand("a", asked)["w"].state == "cancelled"
    assert desk.stand("b", asked)["w"].state == "running"
    desk.forget("a")
    assert desk.stand("a", asked)["w"].open


def test_a_result_is_computed_once(held: tuple[CaseDesk, Held]) -> None:
    desk, runner = held
    asked = {"w": what_if(SHUT)}
    desk.stand("a", asked)
    runner.finish(next(iter(runner.jobs)))
    first = desk.stand("a", asked)["w"].result
    assert desk.stand("b", asked)["w"].result is first
    assert not runner.jobs

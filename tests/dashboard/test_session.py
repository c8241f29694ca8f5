"""The desk of a case: one result per content, each browser session for itself, refusals and failures as sentences."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from dashboard import jobs
from dashboard.engine import Engine
from dashboard.session import content_key, describe
from planner.model.change import WhatIf
from tests.dashboard import synthetic


def what_if(*events: dict, name: str = "w") -> WhatIf:
    return WhatIf.model_validate({"name": name, "events": events})


CASE = synthetic.case()
SHUT = {"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}


class Held:
    """A runner that starts nothing until it is told."""

    def __init__(self) -> None:
        self.jobs: dict[str, jobs.Job] = {}
        self.cancelled: list[str] = []

    def submit(self, key: str, task: str, arguments: tuple[Any, ...], lane: jobs.Lane = "usual") -> jobs.Job:
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
def held(engine: SimpleNamespace) -> tuple[Engine, Held]:
    runner = Held()
    return Engine(runner), runner


def test_the_screen_gets_what_the_engine_said(desk: Engine) -> None:
    stood = desk.stand("a", CASE, {"base": None, "w": what_if(SHUT)})
    expected = synthetic.forecast(CASE, what_if(SHUT))
    assert stood["w"].state == "done"
    assert np.array_equal(stood["w"].result.forecast.well["oil_rate"], expected.well["oil_rate"])
    assert stood["w"].result.money["npv"] == pytest.approx(float(expected.well["oil_volume"][-1]) * 300)


def test_a_refusal_is_the_engines_own_sentence(desk: Engine) -> None:
    stood = desk.stand("a", CASE, {"w": what_if({**SHUT, "zone": "Cedar"})})["w"]
    assert stood.state == "refused"
    assert stood.text == describe(CASE).zones[2].missing[0]


def test_a_failure_is_told_and_can_be_tried_again(desk: Engine) -> None:
    asked = {"w": what_if({"do": "change control", "shut": True, "on": "2030-01-01"})}
    stood = desk.stand("a", CASE, asked)["w"]
    assert stood.state == "failed"
    assert "water balance of Birch sand" in stood.text
    desk.forget("a")
    assert desk.stand("a", CASE, asked)["w"].state == "failed"


def test_the_key_is_the_content_and_not_the_name(desk: Engine) -> None:
    one, two = what_if(SHUT, name="one"), what_if(SHUT, name="two")
    assert content_key(CASE, one) == content_key(CASE, two)
    assert content_key(CASE, one) != content_key(CASE, what_if({**SHUT, "on": "2031-02-01"}))
    assert content_key(CASE, None) == content_key(CASE, what_if())
    other_case = CASE.model_copy(update={"title": "another"})
    assert content_key(other_case, one) != content_key(CASE, one)


def test_two_sessions_do_not_get_each_others_answers(held: tuple[Engine, Held]) -> None:
    desk, runner = held
    mine, yours = what_if(SHUT), what_if({**SHUT, "zone": "Elder"})
    desk.stand("a", CASE, {"w": mine})
    desk.stand("b", CASE, {"w": yours})
    for key in list(runner.jobs):
        runner.finish(key)
    a, b = desk.stand("a", CASE, {"w": mine})["w"], desk.stand("b", CASE, {"w": yours})["w"]
    assert a.result.forecast.zone["oil_rate"][-1, 1] == 0 < a.result.forecast.zone["oil_rate"][-1, 4]
    assert b.result.forecast.zone["oil_rate"][-1, 4] == 0 < b.result.forecast.zone["oil_rate"][-1, 1]


def test_what_a_session_leaves_behind_is_cancelled_unless_another_waits_for_it(held: tuple[Engine, Held]) -> None:
    desk, runner = held
    shared, own = what_if(SHUT), what_if({**SHUT, "zone": "Elder"})
    desk.stand("a", CASE, {"x": shared, "y": own})
    desk.stand("b", CASE, {"x": shared})
    desk.stand("a", CASE, {})
    assert runner.cancelled == [content_key(CASE, own)]


def test_stop_stops_for_this_session_alone(held: tuple[Engine, Held]) -> None:
    desk, _ = held
    asked = {"w": what_if(SHUT)}
    desk.stand("a", CASE, asked)
    desk.stand("b", CASE, asked)
    desk.cancel("a")
    assert desk.stand("a", CASE, asked)["w"].state == "cancelled"
    assert desk.stand("b", CASE, asked)["w"].state == "running"
    desk.forget("a")
    assert desk.stand("a", CASE, asked)["w"].open


def test_a_result_is_computed_once(held: tuple[Engine, Held]) -> None:
    desk, runner = held
    asked = {"w": what_if(SHUT)}
    desk.stand("a", CASE, asked)
    runner.finish(next(iter(runner.jobs)))
    first = desk.stand("a", CASE, asked)["w"].result
    assert desk.stand("b", CASE, asked)["w"].result is first
    assert not runner.jobs


def long(desk: Engine, **more: Any) -> Any:
    return desk.long("tests.dashboard.tasks:add", CASE, {"b": 2}, 1.0, 2.0, **more)


def test_long_work_waits_to_be_asked_for_and_is_kept(desk: Engine) -> None:
    assert long(desk) is None
    assert long(desk, start=True).open or long(desk).state == "done"
    assert long(desk).result["sum"] == 3.0


def test_long_work_goes_on_without_anybody_looking_and_can_be_stopped(held: tuple[Engine, Held]) -> None:
    desk, runner = held
    assert long(desk, start=True).state == "running"
    desk.stand("a", CASE, {})
    assert runner.cancelled == []
    desk.stop_long("tests.dashboard.tasks:add", CASE, {"b": 2})
    assert len(runner.cancelled) == 1


def test_the_first_answer_is_the_engines_flow(desk: Engine) -> None:
    told = desk.flow(CASE, what_if({**SHUT, "on": "2026-01-01"})).result
    expected = synthetic.flow(CASE, what_if({**SHUT, "on": "2026-01-01"}))
    assert told.well == expected.well

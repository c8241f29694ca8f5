"""Work in processes of its own: results, refusals, failures, deaths, progress and cancel. Real child processes."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

from dashboard import jobs

TASKS = "tests.dashboard.tasks:"
PATIENCE = 60.0


@pytest.fixture(scope="module")
def workers() -> Iterator[jobs.Workers]:
    made = jobs.Workers(count=1)
    yield made
    made.close()


def run(workers: jobs.Workers, name: str, *arguments: object) -> jobs.Job:
    job = workers.submit(f"{name} {arguments}", TASKS + name, arguments)
    assert job.finished.wait(PATIENCE)
    return job


def test_a_result_comes_from_another_process(workers: jobs.Workers) -> None:
    job = run(workers, "add", 2.0, 3.0)
    assert job.state == "done"
    assert job.result["sum"] == 5.0
    assert job.result["process"] != os.getpid()


def test_what_cannot_be_done_says_why(workers: jobs.Workers) -> None:
    job = run(workers, "decline")
    assert (job.state, job.text) == ("refused", "no blank pipe below")


def test_a_failure_is_a_sentence_without_a_traceback(workers: jobs.Workers) -> None:
    job = run(workers, "break_down")
    assert job.state == "failed"
    assert "water balance of layer 7" in job.text
    assert "Traceback" not in job.text


def test_a_child_that_dies_is_reported_and_replaced(workers: jobs.Workers) -> None:
    job = run(workers, "die")
    assert job.state == "failed"
    assert "ended unexpectedly" in job.text
    assert run(workers, "add", 1.0, 1.0).result["sum"] == 2.0


def test_a_long_job_tells_its_progress_and_stops_on_request(workers: jobs.Workers) -> None:
    job = workers.submit("long", TASKS + "until_stopped", ())
    while job.share <= 0.03 and not job.finished.wait(0.02):
        pass
    assert 0 < job.share < 1
    assert job.time_left() is not None
    workers.cancel(job)
    assert job.finished.wait(PATIENCE)
    assert job.state == "cancelled"


def test_a_job_that_does_not_listen_is_ended(workers: jobs.Workers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "GRACE", 0.2)
    job = workers.submit("deaf", TASKS + "deaf", ())
    while job.state == "waiting" and not job.finished.wait(0.02):
        pass
    workers.cancel(job)
    assert job.finished.wait(PATIENCE)
    assert job.state == "cancelled"
    assert run(workers, "add", 4.0, 4.0).result["sum"] == 8.0


def test_silence_is_not_waited_for_without_end(workers: jobs.Workers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "SILENCE", 0.3)
    job = run(workers, "deaf")
    assert job.state == "failed"
    assert "no sign of life" in job.text


def test_a_child_that_is_not_warm_yet_is_given_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "SILENCE", 0.3)
    made = jobs.Workers(count=1, first=(TASKS + "slow_start", ()))
    try:
        assert run(made, "add", 1.0, 2.0).result["sum"] == 3.0
    finally:
        made.close()


def test_one_key_is_one_job(workers: jobs.Workers) -> None:
    first = workers.submit("twin", TASKS + "until_stopped", ())
    assert workers.submit("twin", TASKS + "until_stopped", ()) is first
    workers.cancel(first)
    assert first.finished.wait(PATIENCE)


def test_the_first_child_that_is_free_gets_the_work_and_the_next_one_what_cannot_wait() -> None:
    workers = jobs.Workers(count=2)
    try:
        processes = [run(workers, "add", 1.0, float(k)).result["process"] for k in range(4)]
        assert len(set(processes)) == 1
        busy = workers.submit("busy", TASKS + "until_stopped", ())
        while busy.state == "waiting" and not busy.finished.wait(0.02):
            pass
        assert run(workers, "add", 2.0, 2.0).result["process"] != processes[0]
        workers.cancel(busy)
        assert busy.finished.wait(PATIENCE)
    finally:
        workers.close()

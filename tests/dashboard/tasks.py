"""Tasks for a child process."""

from __future__ import annotations

import os
import time
from typing import Any

from dashboard.jobs import Declined, Stopped
from dashboard.session import Paper
from planner.model.chapter import Chapter, alone


def add(a: float, b: float, *, progress: Any, cancelled: Any) -> dict[str, float]:
    progress(0.5)
    return {"sum": a + b, "process": os.getpid()}


def decline(*, progress: Any, cancelled: Any) -> None:
    raise Declined("no blank pipe below")


def break_down(*, progress: Any, cancelled: Any) -> None:
    raise ZeroDivisionError("water balance of layer 7")


def die(*, progress: Any, cancelled: Any) -> None:
    os._exit(3)


def until_stopped(*, progress: Any, cancelled: Any) -> None:
    for n in range(3000):
        progress(min(0.9, n / 100), "on the way")
        if cancelled():
            raise Stopped
        time.sleep(0.02)


def deaf(*, progress: Any, cancelled: Any) -> None:
    time.sleep(60)


def slow_start(*, progress: Any, cancelled: Any) -> None:
    time.sleep(1.5)


def told(lead: str) -> Paper:
    """A paper that says one thing."""
    return Paper(alone(Chapter("trial", "Trial", "A trial", lead, ())))


def paper(case: Any, options: Any, *, progress: Any, cancelled: Any) -> Paper:
    return told(case.well.name)


def break_down_on_paper(case: Any, options: Any, *, progress: Any, cancelled: Any) -> Paper:
    raise ZeroDivisionError("water balance of layer 7")

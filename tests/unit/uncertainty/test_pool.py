"""The process pool by itself: what hangs or dies costs itself alone, and everything else is answered once."""

from __future__ import annotations

import os
import signal
import time

from planner.uncertainty.pool import Crew, Died, ended_after, spread

ALL = tuple(range(24))
PIECES = [ALL[0:8], ALL[8:16], ALL[16:24]]


def squares(bad: tuple[str, int], piece: tuple[int, ...], stopped: object) -> list[int]:
    """Squares of a piece; one number hangs without asking anybody, or ends its process."""
    for number in piece:
        with ended_after(1.0):
            if bad == ("hangs", number):
                while True:
                    pass
            if bad == ("dies", number):
                os.kill(os.getpid(), signal.SIGKILL)
    return [number**2 for number in piece]


def answers(bad: tuple[str, int]) -> dict[int, object]:
    found: dict[int, object] = {}
    for piece, answer in spread(squares, bad, PIECES, Crew(2), None, lambda whole: [(one,) for one in whole]):
        each = [answer] * len(piece) if isinstance(answer, Died) else answer
        for number, one in zip(piece, each, strict=True):
            assert number not in found
            found[number] = one
    return found


def test_what_hangs_is_ended_and_costs_itself_alone() -> None:
    found = answers(("hangs", 11))
    died = found.pop(11)
    assert isinstance(died, Died) and died.seconds >= 1.0
    assert found == {number: number**2 for number in ALL if number != 11}


def test_what_ends_its_process_costs_itself_alone() -> None:
    found = answers(("dies", 3))
    assert isinstance(found.pop(3), Died)
    assert found == {number: number**2 for number in ALL if number != 3}


def test_nothing_ends_the_callers_own_process() -> None:
    before = signal.getitimer(signal.ITIMER_REAL)[0]  # of the test's own time limit
    with ended_after(0.001):
        assert signal.getitimer(signal.ITIMER_REAL)[0] >= before - 1.0
        until = time.monotonic() + 0.05
        while time.monotonic() < until:
            pass

"""The progress line: on a terminal only, after a moment only; Ctrl-C asks first and stops second."""

from __future__ import annotations

import io
import os
import signal

import pytest
from rich.console import Console

from planner.report import waiting as module
from planner.report.waiting import waiting


def told(terminal: bool, patience: float, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(module, "PATIENCE", patience)
    stream = io.StringIO()
    with waiting(Console(file=stream, force_terminal=terminal, width=80)) as work:
        work.tell(0.25, "year 2031 [of 20]")
        work.tell(0.5, "year 2032 [of 20]")
    return stream.getvalue()


def test_a_terminal_sees_share_and_sentence(monkeypatch):
    shown = told(True, 0.0, monkeypatch)
    assert "50%" in shown and "year 2032 [of 20]" in shown


def test_short_work_and_other_outputs_stay_quiet(monkeypatch):
    assert told(True, 60.0, monkeypatch) == ""
    assert told(False, 0.0, monkeypatch) == ""


def test_the_second_ctrl_c_stops_at_once():
    with pytest.raises(KeyboardInterrupt), waiting(Console(file=io.StringIO())) as work:
        os.kill(os.getpid(), signal.SIGINT)
        assert work.cancelled()
        os.kill(os.getpid(), signal.SIGINT)
        pytest.fail("the second Ctrl-C was ignored")
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler

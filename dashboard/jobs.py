"""Long work in processes of their own: started by spawn, with progress, cancel, and a word when one dies.

A job is (key, function, arguments). `Workers` runs the named function in a child process; two jobs with one key are one
job. The page never waits on a child: a thread per child listens and keeps the job's record up to date.
"""

from __future__ import annotations

import gc
import importlib
import multiprocessing
import threading
import time
import traceback
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any, Literal, Protocol

Lane = Literal["usual", "quick", "long"]
State = Literal["waiting", "running", "done", "refused", "failed", "cancelled"]
SILENCE = 120.0  # s without a sign of life after which a child that is warm is ended
WARMING = 300.0  # s that a child waits for the others before it gets warm beside them
GRACE = 3.0  # s that a child gets to stop by itself after a cancel


@dataclass
class Job:
    """One piece of work and how it stands; `finished` is set when it will not change any more."""

    key: str
    task: str
    arguments: tuple[Any, ...]
    state: State = "waiting"
    share: float = 0.0
    sentence: str = ""  # what the task says that it is doing
    result: Any = None
    text: str = ""
    cancel_asked: bool = False
    started: float = 0.0
    finished: threading.Event = field(default_factory=threading.Event)

    def end(self, state: State, text: str = "", result: Any = None) -> None:
        """Close the job."""
        self.text, self.result, self.state = text, result, state
        self.finished.set()

    def close(self, state: State, payload: Any) -> None:
        """Close the job with what came of it: a result, or a sentence where there is none."""
        self.end(state, "", payload) if state == "done" else self.end(state, str(payload))

    def time_left(self) -> float | None:
        """Seconds still to go, from the share done so far; None while nothing is known."""
        if self.state != "running" or self.share <= 0.02:
            return None
        return (time.monotonic() - self.started) * (1 - self.share) / self.share


class Runner(Protocol):
    """What the session needs: start a job or join one that runs."""

    def submit(self, key: str, task: str, arguments: tuple[Any, ...], lane: Lane = "usual") -> Job: ...

    def cancel(self, job: Job) -> None: ...

    def close(self) -> None: ...


class AtOnce:
    """Runs every job in the caller's thread; for tests and for small scripts."""

    def submit(self, key: str, task: str, arguments: tuple[Any, ...], lane: Lane = "usual") -> Job:
        """Run now."""
        job = Job(key, task, arguments, state="running")
        state, payload = _perform(task, arguments, lambda share, sentence="": None, lambda: False)
        job.close(state, payload)
        return job

    def cancel(self, job: Job) -> None:
        """Nothing to cancel: the job is over before anybody could ask."""

    def close(self) -> None:
        """Nothing to close."""


def function_of(task: str) -> Callable[..., Any]:
    """'package.module:function' to the function."""
    module, _, name = task.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return found


class Stopped(Exception):
    """A task raises it (or a subclass) to say that it was cancelled."""


class Declined(Exception):
    """A task raises it to say that what was asked cannot be done; the text is the reason, for people."""


def _perform(
    task: str, arguments: tuple[Any, ...], progress: Callable[..., None], cancelled: Callable[[], bool]
) -> tuple[State, Any]:
    """Run a task; how it ended and its result or a sentence."""
    try:
        return "done", function_of(task)(*arguments, progress=progress, cancelled=cancelled)
    except Stopped:
        return "cancelled", "Stopped on request."
    except Declined as reason:
        return "refused", str(reason)
    except Exception as error:
        traceback.print_exc()  # to the terminal of the server, never to the browser
        return "failed", f"The computation failed: {str(error).strip() or type(error).__name__}"


def settle() -> None:
    """Take all that was loaded so far out of the collector's rounds, which else take a tenth of a second each."""
    gc.collect()
    gc.freeze()


def _child(pipe: Connection, cancel: Any, turn: Any, first: tuple[str, tuple[Any, ...]] | None) -> None:
    """The loop of a child process: get warm by a first task, then take a task, report, until the pipe closes.

    turn: a lock, so that children get warm one after another and the first is ready soon.
    """
    if first is not None:
        held = turn.acquire(timeout=WARMING)
        try:
            _perform(*first, lambda share, sentence="": None, cancel.is_set)
        finally:
            if held:
                turn.release()
    settle()
    with suppress(OSError):
        pipe.send(("warm", None))
    while True:
        try:
            task, arguments = pipe.recv()
        except (EOFError, OSError, KeyboardInterrupt):
            return
        last = [0.0]

        def progress(share: float, sentence: str = "", last: list[float] = last) -> None:
            if time.monotonic() - last[0] > 0.1:
                last[0] = time.monotonic()
                pipe.send(("progress", (float(share), str(sentence))))

        pipe.send(_perform(task, arguments, progress, cancel.is_set))


class _Queue:
    """Jobs of one lane. The first child that is free gets the next one, so that what it kept of the last is of use."""

    def __init__(self) -> None:
        self._jobs: deque[Job | None] = deque()
        self._free: set[int] = set()
        self._news = threading.Condition()

    def put(self, job: Job | None) -> None:
        """Add a job; None ends a child."""
        with self._news:
            self._jobs.append(job)
            self._news.notify_all()

    def get(self, rank: int) -> Job | None:
        """Wait for the next job as the child of this rank."""
        with self._news:
            self._free.add(rank)
            self._news.wait_for(lambda: self._jobs and rank == min(self._free))
            self._free.remove(rank)
            self._news.notify_all()  # what is left is for the child of the next rank
            return self._jobs.popleft()


class _Child:
    """A child process and the thread that speaks with it. rank: among the children of its lane."""

    def __init__(self, jobs: _Queue, turn: Any, first: tuple[str, tuple[Any, ...]] | None, rank: int = 0) -> None:
        self._rank = rank
        self._first, self._turn = first, turn
        self._context = multiprocessing.get_context("spawn")
        self._jobs = jobs
        self.current: Job | None = None
        self._start()
        self.thread = threading.Thread(target=self._listen, daemon=True, name="blankwise-child")
        self.thread.start()

    def _start(self) -> None:
        self._pipe, far = self._context.Pipe()
        self._cancel = self._context.Event()
        self._process = self._context.Process(
            target=_child, args=(far, self._cancel, self._turn, self._first), daemon=True
        )
        self._process.start()
        far.close()
        self._warm = False  # a child that compiles for its first time is silent for as long as that takes

    def _restart(self) -> None:
        self._process.kill()
        self._process.join(5)
        self._pipe.close()
        self._start()

    def _listen(self) -> None:
        while (job := self._jobs.get(self._rank)) is not None:
            if job.cancel_asked:
                job.end("cancelled", "Stopped on request.")
                continue
            self.current = job
            self._carry(job)
            self.current = None
        self._pipe.close()
        self._process.join(1)
        if self._process.is_alive():
            self._process.kill()

    def _carry(self, job: Job) -> None:
        """Send one job to the child and follow it to its end."""
        if not self._process.is_alive():
            self._restart()
        self._cancel.clear()
        job.started = heard = time.monotonic()
        job.state = "running"
        asked = 0.0
        try:
            self._pipe.send((job.task, job.arguments))
            while True:
                if self._pipe.poll(0.05):
                    heard = time.monotonic()
                    word, payload = self._pipe.recv()
                    if word == "warm":
                        self._warm = True
                        continue
                    if word == "progress":
                        job.share, job.sentence = payload
                        continue
                    job.close(word, payload)
                    return
                now = time.monotonic()
                if job.cancel_asked:
                    self._cancel.set()
                    asked = asked or now
                    if now - asked > GRACE:
                        self._restart()
                        job.end("cancelled", "Stopped on request.")
                        return
                if self._warm and now - heard > SILENCE:
                    self._restart()
                    job.end("failed", f"The computation gave no sign of life for {SILENCE:.0f} s and was ended.")
                    return
        except (EOFError, OSError):
            code = self._process.exitcode
            self._restart()
            job.end(
                "failed", f"The computing process ended unexpectedly (exit code {code}). Your work is kept; try again."
            )


class Workers:
    """Child processes fed from one queue a lane: usual work, quick questions that must not wait, and long work.

    first: a task that each child does when it starts, to be warm. The child for long work starts when it is needed.
    """

    def __init__(self, count: int = 2, first: tuple[str, tuple[Any, ...]] | None = None) -> None:
        self._first = first
        self._turn = multiprocessing.get_context("spawn").Lock()
        self._queues: dict[Lane, _Queue] = {"usual": _Queue(), "quick": _Queue(), "long": _Queue()}
        self._open: dict[str, Job] = {}
        self._lock = threading.Lock()
        order: list[Lane] = ["usual", "quick", *(["usual"] * (count - 1))]  # type: ignore[list-item]
        self._children: list[tuple[Lane, _Child]] = []
        for lane in order:
            self._start(lane)

    def _start(self, lane: Lane) -> None:
        """One more child for a lane."""
        rank = sum(name == lane for name, _ in self._children)
        child = _Child(self._queues[lane], self._turn, self._first if lane != "long" else None, rank)
        self._children.append((lane, child))

    def submit(self, key: str, task: str, arguments: tuple[Any, ...], lane: Lane = "usual") -> Job:
        """Start a job, or join the one with this key that is still open."""
        with self._lock:
            self._open = {k: job for k, job in self._open.items() if not job.finished.is_set()}
            if lane not in {name for name, _ in self._children}:
                self._start(lane)
            if key not in self._open or self._open[key].cancel_asked:
                self._open[key] = Job(key, task, arguments)
                self._queues[lane].put(self._open[key])
            return self._open[key]

    def cancel(self, job: Job) -> None:
        """Ask a job to stop; a child that does not is ended and replaced."""
        job.cancel_asked = True

    def close(self) -> None:
        """End the children."""
        for lane, _ in self._children:
            self._queues[lane].put(None)
        for _, child in self._children:
            child.thread.join(3)

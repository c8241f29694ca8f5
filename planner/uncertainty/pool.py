"""Work spread over one process, several processes of this machine, or a Dask cluster: the same tasks, the same answers.

A task is a function of a module, `task(shared, item, stopped) -> answer`: `shared` travels to each worker once,
`stopped()` says whether the work was cancelled. Answers come back as they are ready, in any order.
"""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import pickle
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import forkserver
from multiprocessing.synchronize import Event as Flag
from typing import Any, TypeVar

from planner.base.errors import Cancelled

Item = TypeVar("Item")
Asked = Callable[[], bool]
Task = Callable[[Any, Any, Asked], Any]

LOOK_EVERY = 0.2  # s, how often waiting work asks whether it was cancelled
AHEAD = 2  # tasks a worker that are handed out before they are needed
LOADED = ("planner.uncertainty.runner", "planner.uncertainty.member_data")  # what all workers need
ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS")


@dataclass(frozen=True)
class Crew:
    """Who does the work: this process (1 worker), several processes, or the Dask scheduler at an address."""

    workers: int = 1
    scheduler: str = ""


class Died(RuntimeError):
    """A worker process ended in the middle of a task. seconds: after how long, where that is known."""

    def __init__(self, text: str, seconds: float = 0.0) -> None:
        super().__init__(text)
        self.seconds = seconds


def spread(
    task: Task,
    shared: Any,
    items: Iterable[Item],
    crew: Crew,
    cancelled: Asked | None = None,
    split: Callable[[Item], Iterable[Item]] | None = None,
) -> Iterator[tuple[Item, Any]]:
    """Every item with its answer, as they come. Items are taken from the iterable as workers come free.

    An answer is Died where a worker was lost over that very item (it is tried once more, alone). split: an item that is
    several, as these, so that a lost worker costs one of them alone (processes of this machine). What a task raises
    comes out here. Raises Cancelled when asked to stop; tasks under way are told and waited for.
    """
    asked = cancelled or (lambda: False)
    if crew.scheduler:
        from planner.uncertainty.cluster import on_cluster

        yield from on_cluster(task, shared, items, crew.scheduler, asked)
    elif crew.workers > 1:
        with Team(task, shared, crew.workers, asked) as team:
            yield from team.answers(items, split)
    else:
        for item in items:
            if asked():
                raise Cancelled("cancelled")
            yield item, task(shared, item, asked)


class Team:
    """Processes that are started once and answer one lot of items after another. To be used in a `with` statement.

    They are forked from a server of its own that has loaded the program once (forkserver), since forking a threaded
    parent is not safe and loading it in each of them costs seconds; lost ones are replaced.
    """

    def __init__(self, task: Task, shared: Any, workers: int, cancelled: Asked | None = None) -> None:
        self.task, self.shared, self.workers = task, shared, workers
        self.asked = cancelled or (lambda: False)
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Team:
        prepare_workers()
        context = multiprocessing.get_context("forkserver")
        self._flag = context.Event()
        parcel = pickle.dumps((self.task, self.shared))
        self._pool = ProcessPoolExecutor(self.workers, context, _remember, (self._flag, parcel))
        return self

    def __exit__(self, *_: object) -> None:
        self._flag.set()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def answers(
        self, items: Iterable[Item], split: Callable[[Item], Iterable[Item]] | None = None
    ) -> Iterator[tuple[Item, Any]]:
        """Every item with its answer, as `spread` gives them. Raises Cancelled."""
        left, lost = iter(items), list[Item]()
        while True:
            assert self._pool is not None
            yield from _flow(self._pool, left, self.workers * AHEAD, self.asked, lost)
            if not lost:
                return
            self.__exit__()
            yield from self._alone(lost if split is None else [one for item in lost for one in split(item)])
            lost.clear()
            self.__enter__()

    def _alone(self, items: list[Item]) -> Iterator[tuple[Item, Any]]:
        """Items that were held when a worker was lost, one at a time in a process of their own: blame is certain."""
        left = deque(items)
        while left:
            lost: list[Item] = []
            began = time.monotonic()
            with Team(self.task, self.shared, 1, self.asked) as single:
                assert single._pool is not None
                for found in _flow(single._pool, _taken(left), 1, self.asked, lost):
                    yield found
                    began = time.monotonic()
            if lost:
                took = time.monotonic() - began
                yield lost[0], Died("the worker process ended in the middle of it", took)


def _taken(left: deque[Item]) -> Iterator[Item]:
    """Items off the head of a queue."""
    while left:
        yield left.popleft()


def _flow(
    pool: ProcessPoolExecutor, items: Iterator[Item], room: int, asked: Asked, lost: list[Item]
) -> Iterator[tuple[Item, Any]]:
    """Hand out items and give back answers until there are none left, or a worker is lost: then what it held."""
    under_way: dict[Future[Any], Item] = {}
    while not lost:
        while len(under_way) < room and (item := next(items, None)) is not None:
            with one_thread():
                under_way[pool.submit(_answer, item)] = item
        if not under_way:
            return
        done, _ = wait(under_way, LOOK_EVERY, FIRST_COMPLETED)
        if asked():
            raise Cancelled("cancelled")
        for future in done:
            item = under_way.pop(future)
            try:
                answer = future.result()
            except BrokenProcessPool:
                lost += [item, *under_way.values()]
                break
            yield item, answer


def prepare_workers() -> None:
    """Start the server that workers are forked from, where it does not run: it loads the program beside the caller."""
    multiprocessing.get_context("forkserver").set_forkserver_preload(list(LOADED))
    with one_thread():
        forkserver.ensure_running()


@contextmanager
def one_thread() -> Iterator[None]:
    """Processes started inside run linear algebra on one thread each: workers are as many as there are cores."""
    before = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ |= dict.fromkeys(ONE_THREAD, "1")
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


# --- in a worker

_stop: Flag | None = None
_parcel: tuple[Task, Any] | None = None
_parcels: dict[str, tuple[Task, Any]] = {}


def _remember(flag: Flag, parcel: bytes) -> None:
    """In a new process: keep what all tasks share. Ctrl-C is the parent's to hear, and nobody outlives the parent."""
    global _stop, _parcel
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    _stop, _parcel = flag, pickle.loads(parcel)


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


@contextmanager
def ended_after(seconds: float | None) -> Iterator[None]:
    """Inside, a worker process that takes longer than this is ended, even where it hangs in compiled code.

    Does nothing in the caller's own process and in the threads of a cluster's worker.
    """
    if seconds is None or _stop is None or threading.current_thread() is not threading.main_thread():
        yield
        return
    signal.setitimer(signal.ITIMER_REAL, seconds)  # nobody handles the alarm: the system ends the process
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)


def last_moment(time_out: float) -> float:
    """Seconds after which a task that should have stopped by itself after `time_out` is taken to hang."""
    return time_out + min(time_out, 60.0)


def _stopped() -> bool:
    return _stop is not None and _stop.is_set()


def _answer(item: Any) -> Any:
    assert _parcel is not None
    task, shared = _parcel
    return task(shared, item, _stopped)


def answer_of_parcel(parcel: bytes, item: Any) -> Any:
    """On a cluster: the answer of a task that travels as a parcel, unpacked once a worker."""
    name = hashlib.sha256(parcel).hexdigest()
    if name not in _parcels:
        _parcels.clear()
        _parcels[name] = pickle.loads(parcel)
    task, shared = _parcels[name]
    return task(shared, item, _never)


def _never() -> bool:
    return False

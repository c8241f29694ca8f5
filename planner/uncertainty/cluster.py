"""Tasks on a Dask cluster, given by the address of its scheduler. Needs the extra 'many' (distributed)."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

from planner.base.errors import Cancelled, CaseError, Problem
from planner.uncertainty.pool import AHEAD, LOOK_EVERY, Died, Task, answer_of_parcel

Item = TypeVar("Item")
PATIENCE = 20.0  # s to reach the scheduler


def on_cluster(
    task: Task, shared: Any, items: Iterable[Item], address: str, asked: Callable[[], bool]
) -> Iterator[tuple[Item, Any]]:
    """Every item with its answer, as they come. blankwise of the same version must be installed on the workers.

    Raises CaseError where distributed is not installed or the scheduler cannot be reached, Cancelled.
    """
    try:
        from distributed import Client
    except ImportError:
        raise _problem(address, "Dask is not installed", "Install the extra: pip install 'blankwise[many]'.") from None
    try:
        client: Any = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise _problem(address, f"no scheduler answers there ({error})", "Start one: dask scheduler.") from None
    with client:
        parcel = client.scatter(pickle.dumps((task, shared)), broadcast=True, hash=False)
        left = iter(items)
        under_way: dict[Any, Item] = {}
        try:
            while True:
                room = AHEAD * max(sum(client.nthreads().values()), 1)
                while len(under_way) < room and (item := next(left, None)) is not None:
                    under_way[client.submit(answer_of_parcel, parcel, item, pure=False)] = item
                if not under_way:
                    return
                if asked():
                    raise Cancelled("cancelled")
                yield from _ready(client, under_way)
        except BaseException:
            client.cancel(list(under_way))
            raise


def _ready(client: Any, under_way: dict[Any, Item]) -> Iterator[tuple[Item, Any]]:
    from distributed import KilledWorker, wait

    try:
        with client.as_current():
            wait(list(under_way), timeout=LOOK_EVERY, return_when="FIRST_COMPLETED")
    except TimeoutError:
        return
    for future in [one for one in under_way if one.done()]:
        item = under_way.pop(future)
        try:
            yield item, future.result()
        except KilledWorker:
            yield item, Died("the workers that took it ended in the middle of it")


def _problem(address: str, message: str, remedy: str) -> CaseError:
    return CaseError([Problem("", "scheduler", address, message, remedy)])

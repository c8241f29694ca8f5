"""Run the base and its what-ifs, one after another or in processes of their own."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from multiprocessing.synchronize import Event as Flag

from planner.base.errors import Cancelled, ForecastError, Refusal
from planner.decide.compare import Ran
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

LOOK_EVERY = 0.2  # s, how often a run in processes asks whether it was cancelled


def run_all(
    case: Case,
    what_ifs: Sequence[WhatIf],
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> list[Ran]:
    """Forecasts of the base and of each what-if, in that order. Refusals and failures of what-ifs are recorded.

    Raises ForecastError (or Refusal) where the base itself fails, and Cancelled.
    """
    asked: list[WhatIf | None] = [None, *what_ifs]
    if processes > 1 and len(asked) > 1:
        ran = _in_processes(case, asked, min(processes, len(asked)), progress, cancelled)
    else:
        ran = _in_turn(case, asked, progress, cancelled)
    if ran[0].refused:
        raise Refusal(ran[0].refused)
    if ran[0].failed:
        raise ForecastError(ran[0].failed)
    return ran


def run_one(case: Case, what_if: WhatIf | None, progress: Progress | None, cancelled: Asked | None) -> Ran:
    """One forecast; a refusal or failure is recorded, Cancelled goes through."""
    try:
        return Ran(what_if, forecast(case, what_if, progress=progress, cancelled=cancelled))
    except Refusal as reason:
        return Ran(what_if, refused=str(reason))
    except ForecastError as reason:
        return Ran(what_if, failed=str(reason))


def _in_turn(
    case: Case, asked: Sequence[WhatIf | None], progress: Progress | None, cancelled: Asked | None
) -> list[Ran]:
    ran: list[Ran] = []
    for index, what_if in enumerate(asked):
        name = what_if.name if what_if else "base"
        ran.append(run_one(case, what_if, _part(progress, index, len(asked), name), cancelled))
        if index == 0 and ran[0].forecast is None:
            break
    return ran


def _part(progress: Progress | None, index: int, count: int, name: str) -> Progress | None:
    """Progress of one forecast among several."""
    if progress is None:
        return None

    def told(share: float, text: str) -> None:
        named = text.startswith(name)
        progress((index + share) / count, text if named else f"{name}: {text}" if text else name)

    return told


_stop: Flag | None = None


def _remember(flag: Flag) -> None:
    """In a new process: keep the flag that says that the work was cancelled."""
    global _stop
    _stop = flag


def _stopped() -> bool:
    return _stop is not None and _stop.is_set()


def _task(case: Case, what_if: WhatIf | None) -> Ran:
    return run_one(case, what_if, None, _stopped)


def _in_processes(
    case: Case, asked: Sequence[WhatIf | None], processes: int, progress: Progress | None, cancelled: Asked | None
) -> list[Ran]:
    """The same by processes that are started afresh (spawn): forking a threaded parent is not safe."""
    context = multiprocessing.get_context("spawn")
    flag = context.Event()
    with ProcessPoolExecutor(processes, context, _remember, (flag,)) as pool:
        work: list[Future[Ran]] = [pool.submit(_task, case, what_if) for what_if in asked]
        try:
            waiting = set(work)
            while waiting:
                done, waiting = wait(waiting, LOOK_EVERY, FIRST_COMPLETED)
                if cancelled is not None and cancelled():
                    raise Cancelled("cancelled")
                if progress is not None and done:
                    progress(1.0 - len(waiting) / len(work), f"{len(work) - len(waiting)} of {len(work)} done")
            return [future.result() for future in work]
        except BaseException:
            flag.set()
            pool.shutdown(wait=True, cancel_futures=True)
            raise

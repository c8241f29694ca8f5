"""Run the base and its what-ifs, one after another or in processes of their own."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.base.errors import ForecastError, Refusal
from planner.decide.compare import Ran
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.uncertainty.pool import Crew, Died, spread

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]


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


def _task(case: Case, item: tuple[int, WhatIf | None], stopped: Asked) -> Ran:
    return run_one(case, item[1], None, stopped)


def _in_processes(
    case: Case, asked: Sequence[WhatIf | None], processes: int, progress: Progress | None, cancelled: Asked | None
) -> list[Ran]:
    """The same by processes of this machine."""
    found: dict[int, Ran] = {}
    for (index, what_if), answer in spread(_task, case, enumerate(asked), Crew(processes), cancelled):
        found[index] = Ran(what_if, failed=str(answer)) if isinstance(answer, Died) else answer
        if progress is not None:
            progress(len(found) / len(asked), f"{len(found)} of {len(asked)} done")
    return [found[index] for index in range(len(asked))]

"""Forecasts of many members for the sake of what was measured, by a crew that stands from round to round."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Cancelled, CaseError, ForecastError, Refusal
from planner.forecast.run import forecast
from planner.model.measured import Measurement
from planner.uncertainty.observe import days_to_report, last_day, predicted
from planner.uncertainty.pool import Asked, Crew, Died, ended_after, last_moment, spread
from planner.uncertainty.runner import in_words
from planner.uncertainty.space import Space

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]

TIME_OUT = 900.0  # s a member


@dataclass(frozen=True)
class Wanted:
    """All that a worker needs."""

    space: Space
    rows: tuple[Measurement, ...]
    time_out: float


@dataclass(frozen=True)
class Answer:
    """Data of a member [d], or why there are none."""

    data: Floats | None
    why: str = ""


def data_of_member(wanted: Wanted, item: tuple[int, Floats], stopped: Asked) -> Answer:
    """What the forecast of a member says for each measurement. Raises Cancelled where the whole work was stopped."""
    deadline = time.monotonic() + wanted.time_out

    def late_or_stopped() -> bool:
        return time.monotonic() > deadline or stopped()

    rows, space = wanted.rows, wanted.space
    try:
        with ended_after(last_moment(wanted.time_out)):
            case = space.case_at(item[1])
            found = forecast(case, until=last_day(rows, case), also=days_to_report(rows), cancelled=late_or_stopped)
            data = predicted(case, found, rows)
    except Cancelled:
        if stopped():
            raise
        return Answer(None, f"took longer than {wanted.time_out:g} s")
    except (CaseError, ForecastError, Refusal, ArithmeticError, np.linalg.LinAlgError) as error:
        return Answer(None, str(error).split("\n")[0])
    if not np.isfinite(data).all():
        row = rows[int(np.flatnonzero(~np.isfinite(data))[0])]
        return Answer(None, f"no {row.label} could be worked out for {row.date}")
    return Answer(data)


class _Queue:
    """Items that are handed out as they come; None where there is none just now."""

    def __init__(self) -> None:
        self.items: deque[tuple[int, Floats]] = deque()

    def __iter__(self) -> _Queue:
        return self

    def __next__(self) -> tuple[int, Floats] | None:
        return self.items.popleft() if self.items else None


class MemberData:
    """Calls of this give data [m, d] for parameters [m, n]; rows of nan where a member failed.

    expected: forecasts of the whole work, for the progress. failures: why members failed, with how many.
    """

    def __init__(
        self, space: Space, rows: tuple[Measurement, ...], crew: Crew, expected: int,
        progress: Progress | None = None, cancelled: Asked | None = None, time_out: float = TIME_OUT,
    ) -> None:  # fmt: skip
        self.wanted = Wanted(space, rows, time_out)
        self.crew, self.expected, self.progress = crew, expected, progress
        self.asked = cancelled or (lambda: False)
        self.done = 0
        self.began = time.monotonic()
        self.failures: dict[str, int] = {}
        self.words = ""
        self._queue = _Queue()
        self._standing: Iterator[tuple[Any, Any]] | None = None

    def __call__(self, members: Floats) -> Floats:
        """Data of the members. Raises Cancelled."""
        found = np.full((len(members), len(self.wanted.rows)), np.nan)
        for number, answer in self._answers(members):
            if isinstance(answer, Died):
                answer = Answer(None, str(answer))
            if answer.data is None:
                self.failures[answer.why] = self.failures.get(answer.why, 0) + 1
            else:
                found[number] = answer.data
            self._tell()
        return found

    def close(self) -> None:
        """Send the crew home."""
        standing, self._standing = self._standing, None
        if standing is not None and hasattr(standing, "close"):
            standing.close()

    def _answers(self, members: Floats) -> Iterator[tuple[int, Any]]:
        items = [(number, z) for number, z in enumerate(members)]
        if self.crew.workers <= 1 and not self.crew.scheduler:
            for (number, _), answer in spread(data_of_member, self.wanted, items, self.crew, self.asked):
                yield number, answer
            return
        self._queue.items.extend(items)
        if self._standing is None:
            self._standing = spread(data_of_member, self.wanted, self._queue, self.crew, self.asked)
        for _ in items:
            (number, _), answer = next(self._standing)
            yield number, answer

    def _tell(self) -> None:
        self.done += 1
        if self.progress is not None:
            whole = max(self.expected, self.done)
            left = (time.monotonic() - self.began) / self.done * (whole - self.done)
            self.progress(self.done / whole, f"{self.words}{self.done} of {whole} forecasts, {in_words(left)} left")

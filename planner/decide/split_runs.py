"""Forecasts of the strings that a split is valued on: in batches, in processes where asked, each computed once."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from planner.base.errors import Cancelled, ForecastError, Refusal
from planner.decide.compare import Ran
from planner.decide.runs import slim
from planner.forecast.early_water import Found
from planner.forecast.run import forecast, size_early_water
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import Forecast
from planner.uncertainty.pool import Died, Team

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

KEPT = 1000  # forecasts remembered in this process


@dataclass(frozen=True)
class Wanted:
    """A forecast that is asked for. sized: its early water, as found before; size: find that alone, no forecast."""

    case: Case
    what_if: WhatIf | None
    text: str
    sized: Found | None = None
    size: bool = False

    @property
    def key(self) -> str:
        """What the answer depends on."""
        parts = (self.case.model_dump_json(), self.what_if.model_dump_json() if self.what_if else "")
        return hashlib.sha256("|".join((*parts, repr(self.sized), str(self.size))).encode()).hexdigest()


Answer = Forecast | Found | str | None  # text: why there is no forecast
_known: dict[str, Answer] = {}


class Runs:
    """Answers batches of wanted forecasts. To be used in a `with` statement.

    done, total: how many were answered, and how many there may be, for the progress.
    """

    def __init__(self, processes: int = 1, progress: Progress | None = None, cancelled: Asked | None = None) -> None:
        self.progress, self.cancelled = progress, cancelled
        self.done, self.total, self._told = 0, 1, 0.0
        self.notes: list[str] = []
        self._team = Team(_task, None, processes, cancelled) if processes > 1 else None

    def __enter__(self) -> Runs:
        if self._team is not None:
            self._team.__enter__()
        return self

    def __exit__(self, *_: object) -> None:
        if self._team is not None:
            self._team.__exit__()

    def forecasts(self, wanted: Sequence[Wanted]) -> list[Forecast | str]:
        """What came of each, in their order; text where one could not be computed. Raises Cancelled."""
        return [one if isinstance(one, Forecast) else str(one) for one in self._answers(wanted)]

    def streaks(self, wanted: Sequence[Wanted]) -> list[Found | str | None]:
        """The streak of each one's early water, None without early water, text where there can be none."""
        return [one for one in self._answers(wanted) if not isinstance(one, Forecast)]

    def _answers(self, wanted: Sequence[Wanted]) -> list[Answer]:
        keys = [one.key for one in wanted]
        new = {key: one for key, one in zip(keys, wanted, strict=True) if key not in _known}
        found = {key: _known[key] for key in keys if key in _known}
        self._tell(len(keys) - len(new), "")
        for key, answer in self._new(new):
            found[key] = answer
            if len(_known) >= KEPT:
                _known.clear()
            _known[key] = answer
            self._tell(1, new[key].text)
        return [found[key] for key in keys]

    def _new(self, new: dict[str, Wanted]) -> Iterator[tuple[str, Answer]]:
        if self._team is None:
            for key, one in new.items():
                if self.cancelled is not None and self.cancelled():
                    raise Cancelled("cancelled")
                yield key, _answer(one, self.cancelled)
            return
        for (key, _), answer in self._team.answers(new.items()):
            yield key, str(answer) if isinstance(answer, Died) else answer

    def _tell(self, more: int, text: str) -> None:
        self.done += more
        if self.progress is not None and more:
            self._told = min(max(self._told, self.done / self.total), 1.0)
            self.progress(self._told, text)


def _task(_: None, item: tuple[str, Wanted], stopped: Asked) -> Answer:
    return _answer(item[1], stopped)


def _answer(one: Wanted, cancelled: Asked | None) -> Answer:
    try:
        if one.size:
            return size_early_water(one.case, one.what_if, cancelled)
        return slim(Ran(None, forecast(one.case, one.what_if, cancelled=cancelled, sized=one.sized))).forecast
    except (Refusal, ForecastError) as reason:
        return str(reason)

"""Run the base and its what-ifs, one after another or in processes of their own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from uuid import uuid4

from planner.base.errors import ForecastError, Refusal
from planner.decide.compare import Ran
from planner.forecast.branches import Trunk
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import AnyEvent, WhatIf
from planner.uncertainty.pool import Crew, Died, Team, spread

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
        ran.append(run_one(case, what_if, _part(progress, index, len(asked), _named(what_if)), cancelled))
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


class Forecasts:
    """Forecasts of many what-ifs in batches, each one computed once; processes are started once, for all batches.

    They hold the well and its zones, neither layers nor pieces.
    To be used in a `with` statement. count: forecasts computed.
    """

    def __init__(self, case: Case, processes: int = 1, cancelled: Asked | None = None) -> None:
        self.case, self.cancelled = case, cancelled
        self._stem: Stem | None = None
        self.count = 0
        self._known: dict[str, Ran] = {}
        self._team = Team(_slim_task, case, processes, cancelled) if processes > 1 else None

    def __enter__(self) -> Forecasts:
        if self._team is not None:
            self._team.__enter__()
        return self

    def __exit__(self, *_: object) -> None:
        _trunks.clear()
        if self._team is not None:
            self._team.__exit__()

    def branch_from(self, under: WhatIf | None, possible: Sequence[AnyEvent]) -> None:
        """From now on what-ifs add their last event, one of those possible, on its date to what happens anyway."""
        self._stem = Stem(under, tuple(possible), uuid4().hex)

    def run(self, what_ifs: Sequence[WhatIf | None], progress: Progress | None = None) -> list[Ran]:
        """What came of each what-if, in their order; one that was computed before is not computed again.

        Refusals and failures are recorded. Raises Cancelled.
        """
        keys = [_content(one) for one in what_ifs]
        new = {key: one for key, one in zip(keys, what_ifs, strict=True) if key not in self._known}
        ran = self._new(list(new.values()), progress)
        self.count += len(ran)
        self._known |= dict(zip(new, ran, strict=True))
        return [replace(self._known[key], what_if=one) for key, one in zip(keys, what_ifs, strict=True)]

    def _new(self, what_ifs: list[WhatIf | None], progress: Progress | None) -> list[Ran]:
        if self._team is None:
            return [
                slim(_one(self.case, self._stem, one, _part(progress, k, len(what_ifs), _named(one)), self.cancelled))
                for k, one in enumerate(what_ifs)
            ]
        asked = [(k, one, self._stem) for k, one in enumerate(what_ifs)]
        answers = (((k, one), answer) for (k, one, _), answer in self._team.answers(asked))
        return _gathered(answers, what_ifs, progress)


def _content(what_if: WhatIf | None) -> str:
    """What a forecast depends on; the name is not part of it."""
    return what_if.model_dump_json(exclude={"name", "description"}) if what_if else ""


def _named(what_if: WhatIf | None) -> str:
    return what_if.name if what_if else "base"


def _task(case: Case, item: tuple[int, WhatIf | None], stopped: Asked) -> Ran:
    return run_one(case, item[1], None, stopped)


@dataclass(frozen=True)
class Stem:
    """What branches have in common. key: tells one search from another, in every process."""

    under: WhatIf | None
    possible: tuple[AnyEvent, ...]
    key: str


_trunks: dict[str, Trunk] = {}  # the one that this process marches; another stem takes its place


def _slim_task(case: Case, item: tuple[int, WhatIf | None, Stem | None], stopped: Asked) -> Ran:
    _, what_if, stem = item
    return slim(_one(case, stem, what_if, None, stopped))


def _one(
    case: Case, stem: Stem | None, what_if: WhatIf | None, progress: Progress | None, cancelled: Asked | None
) -> Ran:
    """One forecast, as a branch where there is a stem; a refusal or failure is recorded, Cancelled goes through."""
    day = what_if.events[-1].on if what_if is not None and what_if.events else None
    if stem is None or what_if is None or day is None:
        return run_one(case, what_if, progress, cancelled)
    try:
        if stem.key not in _trunks:
            _trunks.clear()
            _trunks[stem.key] = Trunk(case, stem.under, stem.possible)
        if progress is not None:
            progress(0.0, what_if.name)
        return Ran(what_if, _trunks[stem.key].forecast(what_if, day, cancelled))
    except Refusal as reason:
        return Ran(what_if, refused=str(reason))
    except ForecastError as reason:
        return Ran(what_if, failed=str(reason))


def slim(ran: Ran) -> Ran:
    """The same without what is told by layer and along the string: many forecasts are kept side by side."""
    if ran.forecast is None:
        return ran
    return replace(ran, forecast=replace(ran.forecast, layer={}, piece={}, element_states=()))


def _in_processes(
    case: Case, asked: Sequence[WhatIf | None], processes: int, progress: Progress | None, cancelled: Asked | None
) -> list[Ran]:
    """The same by processes of this machine."""
    return _gathered(spread(_task, case, enumerate(asked), Crew(processes), cancelled), asked, progress)


def _gathered(
    answers: Iterable[tuple[tuple[int, WhatIf | None], Ran | Died]],
    asked: Sequence[WhatIf | None],
    progress: Progress | None,
) -> list[Ran]:
    """Results of runs in processes, in the order in which they were asked."""
    found: dict[int, Ran] = {}
    for (index, what_if), answer in answers:
        found[index] = Ran(what_if, failed=str(answer)) if isinstance(answer, Died) else answer
        if progress is not None:
            progress(len(found) / len(asked), f"{len(found)} of {len(asked)} done")
    return [found[index] for index in range(len(asked))]

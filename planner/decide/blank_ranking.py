"""Ways of acting with all blanks, without some, with one alone: policies are tuned anew for every string."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Cancelled
from planner.decide.blank_jobs import Strings
from planner.decide.policies import (
    NEVER,
    Futures,
    Played,
    Tuner,
    halves,
    idle,
    mean_and_error,
    out_of_sample,
    perfect,
    tune_plan,
)
from planner.decide.regression_policy import tune_regression
from planner.decide.trigger_rule import tune_rule
from planner.model.blank_value import BY_LOG, BY_WELL, NOTHING, PERFECT, PLAN, RULE, SoMany, WayOfActing, Worth

Floats = NDArray[np.float64]
Parts = tuple[NDArray[np.int64], NDArray[np.int64]]
Asked = Callable[[], bool]

PARTS_OF_ALL, LEAST = (8, 4, 2, 1), 8  # shares of the members at which convergence is looked at; members at least
HALVINGS = 4  # times that the members are halved anew, so that little hangs on how the halves fell


@dataclass(frozen=True)
class Way:
    """A way of acting: how it is tuned, whether it may run logs, and whether there is anything to tune."""

    name: str
    tune: Tuner
    logs: bool = False
    tuned: bool = True

    def played(self, futures: Futures, halvings: tuple[Parts, ...]) -> list[Played]:
        """Every member played by a policy tuned on the other half, for each halving."""
        own = futures if self.logs else replace(futures, log_cost=None)
        if not self.tuned:
            return [self.tune(own)(own)] * len(halvings)
        return [out_of_sample(own, self.tune, parts) for parts in halvings]


def ways_of(logs: bool) -> tuple[Way, ...]:
    """The ways of acting that are looked at."""
    found = [Way(NOTHING, lambda _: idle, tuned=False), Way(PLAN, tune_plan), Way(RULE, tune_rule, logs),
             Way(BY_WELL, tune_regression)]  # fmt: skip
    found += [Way(BY_LOG, tune_regression, True)] if logs else []
    return (*found, Way(PERFECT, lambda _: perfect, tuned=False))


class Ranking:
    """What each way of acting is worth in strings with all blanks or fewer.

    Values are [halvings, members]; the same members and halvings throughout, so that differences are paired.
    """

    def __init__(
        self, futures: Futures, ways: tuple[Way, ...], main: str, seed: int, strings: Strings,
        cancelled: Asked | None = None,
    ) -> None:  # fmt: skip
        self.futures, self.ways, self.main, self.strings = futures, ways, main, strings
        seeds = np.random.SeedSequence(seed).generate_state(HALVINGS)
        self.halvings = tuple(halves(futures.members, int(one)) for one in seeds)
        self._cancelled = cancelled
        self._values: dict[tuple[int, ...], dict[str, Floats]] = {}
        self.played = {one.name: one.played(futures, self.halvings) for one in ways}
        every = tuple(range(futures.gains.shape[2]))
        self._values[every] = {name: _values(played) for name, played in self.played.items()}
        self.every = every

    def values(self, actions: tuple[int, ...]) -> dict[str, Floats]:
        """Value of every way of acting where these actions alone can be taken. Raises Cancelled."""
        if actions not in self._values:
            if self._cancelled is not None and self._cancelled():
                raise Cancelled("cancelled while the policies were tuned", "All members are kept.")
            fewer = self.futures.only(actions)
            self._values[actions] = {one.name: _values(one.played(fewer, self.halvings)) for one in self.ways}
        return self._values[actions]

    def costs(self, blanks: Iterable[str]) -> dict[str, Floats]:
        """What the removal of some blanks costs, by way of acting."""
        return self._between(self.every, self.strings.without(blanks))

    def alone(self, blank: str) -> dict[str, Floats]:
        """What one blank adds to a string with none, by way of acting."""
        return self._between(self.strings.alone(blank), self.strings.without(self.strings.blanks))

    def _between(self, more: tuple[int, ...], fewer: tuple[int, ...]) -> dict[str, Floats]:
        with_them, without = self.values(more), self.values(fewer)
        return {name: with_them[name] - without[name] for name in with_them}

    def way(self, one: Way) -> WayOfActing:
        """Value with all blanks."""
        played = self.played[one.name]
        acts = float(np.mean([(each.action != NEVER).mean() for each in played]))
        logs = float(np.mean([each.logs.mean() for each in played]))
        return WayOfActing(one.name, worth_of(_values(played)), acts, logs)

    def used(self, actions: Iterable[int]) -> float:
        """Share of the members in which the main way of acting takes one of these actions."""
        some = list(actions)
        return float(np.mean([np.isin(each.action, some).mean() for each in self.played[self.main]]))

    def needing(self, blank: str) -> tuple[int, ...]:
        """Numbers of the actions that need a blank."""
        left = self.strings.without((blank,))
        return tuple(k for k in self.every if k not in left)


def convergence_of(futures: Futures, ways: tuple[Way, ...], seed: int) -> tuple[SoMany, ...]:
    """Values of the ways of acting of an eighth, a quarter, a half and all of the members, tuned anew on each."""
    sizes = [n for n in sorted({futures.members // part for part in PARTS_OF_ALL}) if n >= LEAST]
    found = []
    for size in sizes:
        some = futures.some(np.arange(size))
        seeds = np.random.SeedSequence(seed).generate_state(HALVINGS)
        halvings = tuple(halves(size, int(one)) for one in seeds)
        found.append(SoMany(size, {one.name: worth_of(_values(one.played(some, halvings))) for one in ways}))
    return tuple(found)


def _values(played: list[Played]) -> Floats:
    return np.array([each.value for each in played])


def worth_of(values: Floats) -> Worth:
    """Mean and standard error."""
    return Worth(*mean_and_error(values))

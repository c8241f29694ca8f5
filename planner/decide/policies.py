"""Ways of acting on what is seen, and what each is worth over the members of an ensemble. Arrays alone, no forecasts.

A member is one future. On every decision date a policy waits or takes one action, at most one in a member's life. It
may look at what could be observed by then and at nothing else; only `perfect` peeks, as a bound from above. A policy is
tuned on one half of the members and valued on the other (`out_of_sample`), so that its value is that of a rule that
could be written down beforehand: a bound from below to what acting well is worth.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from planner.decide.regression import Estimate, fitted

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

NEVER = -1
LEVELS = (0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9)  # quantiles that the threshold of a rule is looked for at


@dataclass(frozen=True)
class Futures:
    """What acting brings in every member, and what is seen before.

    gains [members, dates, actions]: value of taking an action on a date, less that of doing nothing, in money of one
    day. well [members, dates, columns]: seen without cost; log the same, seen where a log is run. log_cost [dates]: of
    one log in the same money, None: no log can be run. watched: per action, the column of `log` that its trigger rule
    may watch; well_watched: columns of `well` that every trigger rule may watch.
    """

    gains: Floats
    well: Floats
    log: Floats
    log_cost: Floats | None = None
    watched: tuple[int, ...] = ()
    well_watched: tuple[int, ...] = (0,)

    @property
    def members(self) -> int:
        """How many members there are."""
        return len(self.gains)

    def some(self, rows: Whole) -> Futures:
        """The futures of some members."""
        return replace(self, gains=self.gains[rows], well=self.well[rows], log=self.log[rows])

    def only(self, actions: Sequence[int]) -> Futures:
        """The futures in which these actions alone can be taken."""
        watched = tuple(self.watched[k] for k in actions) if self.watched else ()
        return replace(self, gains=self.gains[:, :, list(actions)], watched=watched)


@dataclass(frozen=True)
class Played:
    """A policy followed through: value [members], costs of logs included; date and action [members], NEVER for none.

    logs [members]: how many were run.
    """

    value: Floats
    date: Whole
    action: Whole
    logs: Whole


Policy = Callable[[Futures], Played]
Tuner = Callable[[Futures], Policy]


def idle(futures: Futures) -> Played:
    """Nothing is ever done."""
    none = np.full(futures.members, NEVER)
    return Played(np.zeros(futures.members), none, none.copy(), np.zeros(futures.members, dtype=np.int64))


def perfect(futures: Futures) -> Played:
    """Every member takes its own best action on its own best date: what no one can know beforehand."""
    if not futures.gains.shape[2]:
        return idle(futures)
    _, dates, actions = futures.gains.shape
    flat = futures.gains.reshape(futures.members, dates * actions)
    best = np.argmax(flat, axis=1)
    acts = flat[np.arange(futures.members), best] > 0.0
    return _played(futures, np.where(acts, best // actions, NEVER), np.where(acts, best % actions, NEVER))


def _played(futures: Futures, date: Whole, action: Whole, logs: Floats | None = None) -> Played:
    """Values of actions on dates. logs [members, dates]: where a log was run."""
    acts = action != NEVER
    value = np.zeros(futures.members)
    value[acts] = futures.gains[np.flatnonzero(acts), date[acts], action[acts]]
    count = np.zeros(futures.members, dtype=np.int64)
    if logs is not None and futures.log_cost is not None:
        value -= logs @ futures.log_cost
        count = logs.sum(axis=1).astype(np.int64)
    return Played(value, date, action, count)


# --- one plan for all members


def tune_plan(futures: Futures) -> Policy:
    """The best of: one action on one date in every member, or none."""
    mean = futures.gains.mean(axis=0)
    if not mean.size or mean.max() <= 0.0:
        return idle
    date, action = np.unravel_index(int(np.argmax(mean)), mean.shape)
    return lambda ahead: _played(ahead, np.full(ahead.members, date), np.full(ahead.members, action))


# --- a trigger


@dataclass(frozen=True)
class Rule:
    """Take an action on the first date, from `since` on, on which a column stands at or above a threshold."""

    action: int
    since: int
    logged: bool
    column: int
    threshold: float

    def __call__(self, futures: Futures) -> Played:
        """Follow it; a rule that watches a log runs one on every date until it acts."""
        seen = (futures.log if self.logged else futures.well)[:, self.since :, self.column] >= self.threshold
        first = np.argmax(seen, axis=1)
        acts = seen.any(axis=1)
        date = np.where(acts, first + self.since, NEVER)
        logs = None
        if self.logged:
            dates = np.arange(futures.gains.shape[1])
            until = np.where(acts, first + self.since, len(dates))[:, None]
            logs = ((dates >= self.since) & (dates <= until)).astype(np.float64)
        return _played(futures, date, np.where(acts, self.action, NEVER), logs)


def tune_rule(futures: Futures) -> Policy:
    """The best trigger rule, fixed plans and doing nothing among them: a threshold of minus infinity always holds."""
    best: Policy = tune_plan(futures)
    most = float(best(futures).value.mean())
    dates, actions = futures.gains.shape[1:]
    for action, since in product(range(actions), range(dates)):
        for logged, column in _watchable(futures, action):
            seen = (futures.log if logged else futures.well)[:, since:, column]
            for threshold in np.unique(np.quantile(seen, LEVELS)):
                rule = Rule(action, since, logged, column, float(threshold))
                value = float(rule(futures).value.mean())
                if value > most:
                    best, most = rule, value
    return best


def _watchable(futures: Futures, action: int) -> list[tuple[bool, int]]:
    found = [(False, column) for column in futures.well_watched if column < futures.well.shape[2]]
    if futures.log_cost is not None and futures.watched:
        found.append((True, futures.watched[action]))
    return found


# --- regression on what is seen


@dataclass(frozen=True)
class Step:
    """What is expected on one date of each action over waiting: seen from the well, after a log, and of a log."""

    well: tuple[Estimate, ...]
    log: tuple[Estimate, ...]
    of_log: Estimate | None


@dataclass(frozen=True)
class Regression:
    """Act where the regression expects more of it than of waiting; run a log where it is expected to pay."""

    steps: tuple[Step, ...]

    def __call__(self, futures: Futures) -> Played:
        """Follow it forwards; on a date nothing of a later one is looked at."""
        date, action = np.full(futures.members, NEVER), np.full(futures.members, NEVER)
        logs = np.zeros(futures.gains.shape[:2])
        for at, step in enumerate(self.steps):
            waiting = np.flatnonzero(action == NEVER)
            chosen, logged = _choice(step, futures.well[waiting, at], futures.log[waiting, at])
            logs[waiting, at] = logged
            acts = chosen != NEVER
            date[waiting[acts]], action[waiting[acts]] = at, chosen[acts]
        return _played(futures, date, action, logs)


def tune_regression(futures: Futures) -> Policy:
    """Regression Monte Carlo, backwards over the dates (Longstaff and Schwartz 2001, Rev. Financ. Stud. 14, 113-147).

    On each date the gain of every action over the value of waiting, as it came out in each member under the policy of
    the later dates, is regressed on what is seen: what an action brings is not known when it is taken either. A log is
    a step of its own: what is gained by choosing again after seeing it, less its cost.
    """
    if not futures.gains.shape[2]:
        return idle
    waiting = np.zeros(futures.members)  # value of not having acted before the date, as it came out
    steps: list[Step] = []
    for at in range(futures.gains.shape[1])[::-1]:
        over = futures.gains[:, at] - waiting[:, None]
        well, log = futures.well[:, at], futures.log[:, at]
        step = Step(tuple(fitted(well, one) for one in over.T), (), None)
        if futures.log_cost is not None:
            both = np.hstack([well, log])
            after = tuple(fitted(both, one) for one in over.T)
            extra = _taken(over, _best(after, both)) - futures.log_cost[at]
            step = Step(step.well, after, fitted(well, extra))
        chosen, logged = _choice(step, well, log)
        waiting = waiting + _taken(over, chosen)
        if futures.log_cost is not None:
            waiting = waiting - logged * futures.log_cost[at]
        steps.insert(0, step)
    return Regression(tuple(steps))


def _choice(step: Step, well: Floats, log: Floats) -> tuple[Whole, Floats]:
    """Action (or NEVER) of each member that still waits, and 1 where a log was run first."""
    chosen = _best(step.well, well)
    logged = np.zeros(len(well))
    if step.of_log is not None and len(well):
        at_once = np.maximum(_expected(step.well, well).max(axis=1), 0.0)
        runs = step.of_log(well) > at_once
        both = np.hstack([well, log])
        chosen = np.where(runs, _best(step.log, both), chosen)
        logged = runs.astype(np.float64)
    return chosen, logged


def _expected(estimates: tuple[Estimate, ...], seen: Floats) -> Floats:
    return np.column_stack([one(seen) for one in estimates])


def _best(estimates: tuple[Estimate, ...], seen: Floats) -> Whole:
    expected = _expected(estimates, seen)
    best = np.argmax(expected, axis=1)
    return np.where(expected[np.arange(len(seen)), best] > 0.0, best, NEVER)


def _taken(over: Floats, chosen: Whole) -> Floats:
    """Gain over waiting of the action chosen, 0 for NEVER."""
    return np.where(chosen == NEVER, 0.0, over[np.arange(len(over)), np.maximum(chosen, 0)])


# --- tuned on one half, valued on the other


def halves(members: int, seed: int) -> tuple[Whole, Whole]:
    """The members in two halves, at random."""
    order = np.random.default_rng(seed).permutation(members)
    return np.sort(order[: members // 2]), np.sort(order[members // 2 :])


def out_of_sample(futures: Futures, tune: Tuner, parts: tuple[Whole, Whole]) -> Played:
    """Tune on each part and follow on the other one, so that every member is played by a policy that never saw it."""
    found = idle(futures)
    for own, other in (parts, parts[::-1]):
        played = tune(futures.some(own))(futures.some(other))
        for name in ("value", "date", "action", "logs"):
            getattr(found, name)[other] = getattr(played, name)
    return found


def mean_and_error(values: Floats) -> tuple[float, float]:
    """Mean over the members and its standard error, the members taken as random; NaN for the error of one."""
    error = float(np.std(values, ddof=1) / np.sqrt(len(values))) if len(values) > 1 else float("nan")
    return float(np.mean(values)), error

"""Regression Monte Carlo: act where what is seen lets more be expected of it than of waiting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.decide.policies import NEVER, Futures, Played, Policy, followed, idle
from planner.decide.regression import Estimate, fitted, fitted_all

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


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
        return followed(futures, date, action, logs)


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
    gains = futures.expected
    for at in range(gains.shape[1])[::-1]:
        over = gains[:, at] - waiting[:, None]
        well, log = futures.well[:, at], futures.log[:, at]
        step = Step(fitted_all(well, over), (), None)
        if futures.log_cost is not None:
            both = np.hstack([well, log])
            after = fitted_all(both, over)
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

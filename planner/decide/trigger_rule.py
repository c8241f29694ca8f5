"""The best trigger rule: an action on the first date on which a column of what is seen stands at a threshold."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement, product

import numpy as np
from numpy.typing import NDArray

from planner.decide.policies import NEVER, Futures, Played, Policy, followed, tune_plan

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
LEVELS = (0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9)  # quantiles that the threshold of a rule is looked for at


@dataclass(frozen=True)
class Rule:
    """Take an action on the first date, from `since` to `until`, on which a column stands at or above a threshold."""

    action: int
    since: int
    until: int
    logged: bool
    column: int
    threshold: float

    def __call__(self, futures: Futures) -> Played:
        """Follow it; a rule that watches a log runs one on every date of its time until it acts."""
        seen = (futures.log if self.logged else futures.well)[:, self.since : self.until + 1, self.column]
        acts, date = _first(seen, self.threshold, self.since)
        logs = _logs(futures.gains.shape[1], self.since, self.until, date) if self.logged else None
        return followed(futures, date, np.where(acts, self.action, NEVER), logs)


def tune_rule(futures: Futures) -> Policy:
    """The best trigger rule, fixed plans and doing nothing among them: a threshold of minus infinity always holds."""
    best: Policy = tune_plan(futures)
    most = float(best(futures).value.mean())
    gains = futures.expected
    dates, members = gains.shape[1], np.arange(len(gains))
    for (logged, column, actions), (since, until) in product(
        _watchable(futures), combinations_with_replacement(range(dates), 2)
    ):
        seen = (futures.log if logged else futures.well)[:, since : until + 1, column]
        for threshold in np.unique(np.quantile(seen, LEVELS)):
            acts, date = _first(seen, float(threshold), since)
            taken = np.where(acts[:, None], gains[members, np.maximum(date, 0)][:, actions], 0.0)
            means = taken.mean(axis=0)
            if logged and futures.log_cost is not None:
                means = means - (_logs(dates, since, until, date) @ futures.log_cost).mean()
            if means.max() > most:
                most = float(means.max())
                best = Rule(actions[int(np.argmax(means))], since, until, logged, column, float(threshold))
    return best


def _first(seen: Floats, threshold: float, since: int) -> tuple[NDArray[np.bool_], Whole]:
    """Whether and on which date what is seen [members, dates from `since` on] first stands at a threshold or above."""
    over = np.asarray(seen >= threshold)
    acts = np.asarray(over.any(axis=1))
    return acts, np.where(acts, np.argmax(over, axis=1) + since, NEVER)


def _logs(dates: int, since: int, until: int, date: Whole) -> Floats:
    """Where logs are run [members, dates]: on every date from `since` to `until`, or till the date of the action."""
    number = np.arange(dates)
    last = np.where(date == NEVER, until, date)[:, None]
    return np.asarray(((number >= since) & (number <= last)).astype(np.float64))


def _watchable(futures: Futures) -> list[tuple[bool, int, list[int]]]:
    """What rules may watch: whether it is of a log, its column, and the actions that may hang on it."""
    actions = list(range(futures.gains.shape[2]))
    if not actions:
        return []
    found = [(False, column, actions) for column in futures.well_watched if column < futures.well.shape[2]]
    if futures.log_cost is not None and futures.watched:
        columns = dict.fromkeys(futures.watched)
        found += [(True, one, [k for k in actions if futures.watched[k] == one]) for one in columns]
    return found

"""Ways of acting on what is seen, and what each is worth over the members of an ensemble. Arrays alone, no forecasts.

A member is one future. On every decision date a policy waits or takes one action, at most one in a member's life. It
may look at what could be observed by then and at nothing else; only `perfect` peeks, as a bound from above. A policy is
tuned on one half of the members and valued on the other (`out_of_sample`), so that its value is that of a rule that
could be written down beforehand: a bound from below to what acting well is worth.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.decide.regression import Estimate, fitted, fitted_all

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
    may watch; well_watched: columns of `well` that every trigger rule may watch. chance [actions]: that the job
    succeeds, none: sure; failed [members, dates, actions]: value of an action whose job fails. luck: per action, the
    number of the draw that its success hangs on, none: one of its own. A job that failed is not tried again.
    """

    gains: Floats
    well: Floats
    log: Floats
    log_cost: Floats | None = None
    watched: tuple[int, ...] = ()
    well_watched: tuple[int, ...] = (0,)
    chance: Floats | None = None
    failed: Floats | None = None
    luck: tuple[int, ...] = ()

    @property
    def expected(self) -> Floats:
        """What taking an action brings on average over its luck, which nobody sees beforehand [as gains]."""
        if self.chance is None or self.failed is None:
            return self.gains
        return np.asarray(self.chance * self.gains + (1.0 - self.chance) * self.failed)

    @property
    def members(self) -> int:
        """How many members there are."""
        return len(self.gains)

    def some(self, rows: Whole) -> Futures:
        """The futures of some members."""
        failed = None if self.failed is None else self.failed[rows]
        return replace(self, gains=self.gains[rows], well=self.well[rows], log=self.log[rows], failed=failed)

    def only(self, actions: Sequence[int]) -> Futures:
        """The futures in which these actions alone can be taken."""
        kept = list(actions)
        return replace(
            self, gains=self.gains[:, :, kept], watched=tuple(self.watched[k] for k in kept) if self.watched else (),
            chance=None if self.chance is None else self.chance[kept],
            failed=None if self.failed is None else self.failed[:, :, kept],
            luck=tuple(self.luck[k] for k in kept) if self.luck else (),
        )  # fmt: skip


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
    """Every member takes its own best action on its own best date: what no one can know beforehand.

    Where jobs may fail it is known as well which ones would: value is the expectation, over that luck, of the best
    that is left. Date and action are those of the luck in which every job succeeds.
    """
    if not futures.gains.shape[2]:
        return idle(futures)
    _, dates, actions = futures.gains.shape
    flat = futures.gains.reshape(futures.members, dates * actions)
    best = np.argmax(flat, axis=1)
    acts = flat[np.arange(futures.members), best] > 0.0
    played = _played(futures, np.where(acts, best // actions, NEVER), np.where(acts, best % actions, NEVER))
    if futures.chance is None or futures.failed is None:
        return played
    return replace(played, value=_clairvoyant(futures, futures.chance, futures.failed))


def _clairvoyant(futures: Futures, chance: Floats, failed: Floats) -> Floats:
    """Expected best of nought and of each draw of luck's best action [members]; draws are independent.

    Exact: P(best <= v) is the product over the draws of P(the draw's best <= v).
    """
    luck = np.array(futures.luck or range(futures.gains.shape[2]))
    draws = list(dict.fromkeys(luck))
    firsts = [int(np.flatnonzero(luck == one)[0]) for one in draws]
    won = np.column_stack([futures.gains[:, :, luck == one].max(axis=(1, 2)) for one in draws])
    lost = np.column_stack([failed[:, :, luck == one].max(axis=(1, 2)) for one in draws])
    won, lost = np.maximum(won, 0.0), np.maximum(lost, 0.0)
    odds = chance[firsts]
    levels = np.sort(np.column_stack([np.zeros(len(won)), won, lost]), axis=1)
    below = (odds * (won[:, None] <= levels[:, :, None]) + (1 - odds) * (lost[:, None] <= levels[:, :, None])).prod(2)
    return np.asarray((levels * np.diff(below, axis=1, prepend=0.0)).sum(axis=1))


def _played(futures: Futures, date: Whole, action: Whole, logs: Floats | None = None) -> Played:
    """Values of actions on dates. logs [members, dates]: where a log was run."""
    acts = action != NEVER
    value = np.zeros(futures.members)
    value[acts] = futures.expected[np.flatnonzero(acts), date[acts], action[acts]]
    count = np.zeros(futures.members, dtype=np.int64)
    if logs is not None and futures.log_cost is not None:
        value -= logs @ futures.log_cost
        count = logs.sum(axis=1).astype(np.int64)
    return Played(value, date, action, count)


# --- one plan for all members


def tune_plan(futures: Futures) -> Policy:
    """The best of: one action on one date in every member, or none."""
    mean = futures.expected.mean(axis=0)
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
        seen = (futures.log if self.logged else futures.well)[:, self.since :, self.column]
        acts, date = _first(seen, self.threshold, self.since)
        logs = _logs(futures.gains.shape[1], self.since, acts, date) if self.logged else None
        return _played(futures, date, np.where(acts, self.action, NEVER), logs)


def tune_rule(futures: Futures) -> Policy:
    """The best trigger rule, fixed plans and doing nothing among them: a threshold of minus infinity always holds."""
    best: Policy = tune_plan(futures)
    most = float(best(futures).value.mean())
    gains = futures.expected
    for logged, column, actions in _watchable(futures):
        for since in range(gains.shape[1]):
            seen = (futures.log if logged else futures.well)[:, since:, column]
            for threshold in np.unique(np.quantile(seen, LEVELS)):
                acts, date = _first(seen, float(threshold), since)
                taken = np.where(acts[:, None], gains[np.arange(len(gains)), np.maximum(date, 0)][:, actions], 0.0)
                means = taken.mean(axis=0)
                if logged and futures.log_cost is not None:
                    means = means - (_logs(gains.shape[1], since, acts, date) @ futures.log_cost).mean()
                if means.max() > most:
                    most = float(means.max())
                    best = Rule(actions[int(np.argmax(means))], since, logged, column, float(threshold))
    return best


def _first(seen: Floats, threshold: float, since: int) -> tuple[NDArray[np.bool_], Whole]:
    """Whether and on which date what is seen [members, dates from `since` on] first stands at a threshold or above."""
    over = np.asarray(seen >= threshold)
    acts = np.asarray(over.any(axis=1))
    return acts, np.where(acts, np.argmax(over, axis=1) + since, NEVER)


def _logs(dates: int, since: int, acts: NDArray[np.bool_], date: Whole) -> Floats:
    """Where logs are run [members, dates]: on every date from `since` on, until the rule acts."""
    number = np.arange(dates)
    until = np.where(acts, date, dates)[:, None]
    return np.asarray(((number >= since) & (number <= until)).astype(np.float64))


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
    """Mean over the members and its standard error, the members taken as random; NaN for the error of one.

    values [members], or [halvings, members] where policies were tuned on several pairs of halves: members are averaged
    over these, and the spread of the means from one halving to the next, which tells how much hangs on what a policy
    happened to learn from, is added (Chernozhukov et al. 2018, Econometrics Journal 21, C1-C68, section 3.4).
    """
    rows = np.atleast_2d(values)
    each = rows.mean(axis=0)
    if len(each) < 2:
        return float(each.mean()), float("nan")
    between = float(np.var(rows.mean(axis=1), ddof=1)) if len(rows) > 1 else 0.0
    return float(each.mean()), float(np.sqrt(np.var(each, ddof=1) / len(each) + between))

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

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

NEVER = -1


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
    played = followed(futures, np.where(acts, best // actions, NEVER), np.where(acts, best % actions, NEVER))
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


def followed(futures: Futures, date: Whole, action: Whole, logs: Floats | None = None) -> Played:
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
    return lambda ahead: followed(ahead, np.full(ahead.members, date), np.full(ahead.members, action))


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

"""What drives a figure: swings, shares of the variance, and what tells members apart in which a decision flips."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.stats import mannwhitneyu

from planner.model.ensemble import Draws, Ensemble, Flip, Swing, VarianceShare
from planner.uncertainty.statistics import gain_of

Floats = NDArray[np.float64]
FIFTH = 0.2
CLASSES = 20  # of an input's draws, for shares of the variance from the members
IN_A_CLASS = 10  # members at least
AGAIN = 200  # resamplings for a standard error
LEAF = 0.05  # of the members that a threshold leaves on either side at least
FEW = 4  # different draws: taken as they are


def columns_of(draws: Draws, horizon: float) -> dict[str, Floats]:
    """Columns that can be ordered [members]: alternatives choice by choice as 0 and 1, failures up to the horizon (s).

    Of two choices one column says it all.
    """
    made: dict[str, Floats] = {}
    for number, one in enumerate(draws.inputs):
        values = draws.values[:, number]
        if one.kind == "alternative":
            for choice, name in enumerate(one.choices):
                if choice or len(one.choices) > 2:
                    made[f"{one.name}: {name}"] = (values == choice).astype(np.float64)
        else:
            made[one.name] = np.minimum(values, horizon) if one.kind == "failure" else values
    return made


def horizon_of(ensemble: Ensemble) -> float:
    """Seconds from the first to the last date."""
    if not len(ensemble.dates):
        return float("inf")
    return float((ensemble.dates[-1] - ensemble.dates[0]) / np.timedelta64(1, "s"))


def swings_of_members(ensemble: Ensemble, figure: str, what_if: str) -> tuple[Swing, ...]:
    """Swings from the members themselves, widest first; correlated inputs carry one another's swings."""
    values = ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)]
    found = []
    for name, draws in columns_of(ensemble.draws, horizon_of(ensemble)).items():
        use = np.isfinite(values)
        low, high = _ends(draws[use])
        y, x = values[use], draws[use]
        if low.sum() < 2 or high.sum() < 2:
            continue
        error = np.sqrt(np.var(y[low], ddof=1) / low.sum() + np.var(y[high], ddof=1) / high.sum())
        found.append(
            Swing(name, figure, what_if, float(y[low].mean()), float(y[high].mean()), float(x[low].mean()),
                  float(x[high].mean()), float(error), "members")
        )  # fmt: skip
    return tuple(sorted(found, key=lambda one: -one.width))


def _ends(draws: Floats) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Members with the lowest and with the highest fifth of the draws; of few different draws the least and largest."""
    if len(draws) == 0 or len(np.unique(draws)) <= FEW:
        least, most = (draws.min(), draws.max()) if len(draws) else (0.0, 0.0)
        return draws == least, (draws == most) & (draws != least)
    return draws <= np.quantile(draws, FIFTH), draws >= np.quantile(draws, 1.0 - FIFTH)


def shares_of_members(ensemble: Ensemble, figure: str, what_if: str) -> tuple[VarianceShare, ...]:
    """First shares of the variance estimated from the members, largest first.

    The variance between the means of classes of an input, freed of what chance puts there: 1 - (n - 1)/(n - m)
    SSW/SST (Kelley 1935, An unbiased correlation ratio measure, PNAS 21). Sobol indices from given data: Plischke,
    Borgonovo and Smith 2013, Eur. J. Oper. Res. 226. Correlated inputs share one another's variance.
    """
    values = ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)]
    use = np.isfinite(values)
    y = values[use]
    if len(y) < 2 * IN_A_CLASS or np.ptp(y) == 0.0:
        return ()
    rng = np.random.default_rng(0)
    picks = rng.integers(0, len(y), (AGAIN, len(y)))
    found = []
    for name, draws in columns_of(ensemble.draws, horizon_of(ensemble)).items():
        classes = _classes(draws[use])
        first = class_share(y, classes)
        error = float(np.std([class_share(y[pick], classes[pick]) for pick in picks], ddof=1))
        found.append(VarianceShare(name, figure, what_if, first, error, float("nan"), float("nan"), "members"))
    return tuple(sorted(found, key=lambda one: -one.first))


def _classes(draws: Floats) -> NDArray[np.int64]:
    """Class of every member: equal numbers in each, or one for each of few different draws."""
    different, number = np.unique(draws, return_inverse=True)
    if len(different) <= FEW:
        return number.astype(np.int64)
    count = max(min(CLASSES, len(draws) // IN_A_CLASS), 2)
    edges = np.quantile(draws, np.linspace(0.0, 1.0, count + 1)[1:-1])
    return np.searchsorted(edges, draws, side="left").astype(np.int64)


def class_share(y: Floats, classes: NDArray[np.int64]) -> float:
    """Share of the variance of y between classes, without the bias of small classes; 0 with one class."""
    count = np.bincount(classes)
    there = count > 0
    if there.sum() < 2 or len(y) <= there.sum():
        return 0.0
    centred = y - y.mean()
    means = np.bincount(classes, weights=centred)[there] / count[there]
    total = float(np.sum(centred**2))
    within = total - float(np.sum(count[there] * means**2))
    return 1.0 - (len(y) - 1.0) / (len(y) - there.sum()) * within / total if total > 0.0 else 0.0


# --- a design of its own


def shares_of_design(
    a: Floats, b: Floats, mixed: Floats, rng_seed: int = 0
) -> tuple[Floats, Floats, Floats, Floats]:  # fmt: skip
    """First and total shares with their standard errors, [inputs] each.

    a, b [N]: the figure on two independent matrices of draws; mixed [inputs, N]: on the first with one column of the
    second. First: Saltelli et al. 2010, Comp. Phys. Comm. 181, table 2 (b); total: Jansen 1999, Comp. Phys. Comm.
    117, in the same table (f). Errors by resampling the rows.
    """
    first, total = _estimate(a, b, mixed)
    rng = np.random.default_rng(rng_seed)
    again = [_estimate(a[k], b[k], mixed[:, k]) for k in rng.integers(0, len(a), (AGAIN, len(a)))]
    spread = np.array(again)
    return first, np.std(spread[:, 0], axis=0, ddof=1), total, np.std(spread[:, 1], axis=0, ddof=1)


def _estimate(a: Floats, b: Floats, mixed: Floats) -> tuple[Floats, Floats]:
    middle = np.mean(np.concatenate([a, b, mixed.ravel()]))
    variance = np.var(np.concatenate([a, b]))
    if variance == 0.0:
        return np.zeros(len(mixed)), np.zeros(len(mixed))
    first = np.mean((b - middle) * (mixed - a), axis=1) / variance
    total = 0.5 * np.mean((a - mixed) ** 2, axis=1) / variance
    return first, total


# --- what flips the decision


def flips_of(ensemble: Ensemble, figure: str, one: str, other: str) -> tuple[Flip, ...]:
    """Inputs by how strongly they tell members where `one` beats `other` from the rest; empty where all go one way.

    Strength from the rank sums (Mann and Whitney 1947, Ann. Math. Stat. 18); the threshold splits the members so that
    each side is as much of one kind as it can be (Gini; Breiman et al. 1984, Classification and regression trees).
    """
    gain = gain_of(ensemble, figure, one, other)
    use = np.isfinite(gain)
    wins = gain[use] > 0.0
    if min(wins.sum(), (~wins).sum()) < 2:
        return ()
    found = []
    for name, draws in columns_of(ensemble.draws, horizon_of(ensemble)).items():
        x = draws[use]
        if np.ptp(x) == 0.0:
            continue
        test = mannwhitneyu(x[wins], x[~wins])
        strength = abs(2.0 * float(test.statistic) / (wins.sum() * (~wins).sum()) - 1.0)
        at, below = _threshold(x, wins)
        found.append(
            Flip(name, figure, one, other, strength, float(test.pvalue), at, float(wins[below].mean()),
                 float(wins[~below].mean()), float(below.mean()))
        )  # fmt: skip
    return tuple(sorted(found, key=lambda flip: -flip.strength))


def _threshold(x: Floats, wins: NDArray[np.bool_]) -> tuple[float, NDArray[np.bool_]]:
    """The best place to split, and which members lie below it."""
    order = np.argsort(x, kind="stable")
    ordered, won = x[order], np.cumsum(wins[order])
    count = len(x)
    left = np.arange(1, count)
    allowed = ordered[1:] > ordered[:-1]
    inner = allowed & (left >= LEAF * count) & (count - left >= LEAF * count)
    allowed = inner if inner.any() else allowed
    p, q = won[:-1] / left, (won[-1] - won[:-1]) / (count - left)
    mixed = left * p * (1.0 - p) + (count - left) * q * (1.0 - q)
    best = int(np.argmin(np.where(allowed, mixed, np.inf)))
    at = 0.5 * float(ordered[best] + ordered[best + 1])
    return at, x < at

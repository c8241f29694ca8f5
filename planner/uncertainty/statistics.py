"""Figures over the members: percentiles with bands, fans over time, what-if against what-if, convergence.

P90 is the low case, exceeded with a probability of 90 %. Members without a number are left out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import binom

from planner.model.ensemble import FIGURE_QUANTITIES, Convergence, Duel, Ensemble, Fan, Range
from planner.model.results import COLUMNS

Floats = NDArray[np.float64]
LEVELS = {"p90": 0.1, "p50": 0.5, "p10": 0.9}  # probability of being below
SURE = 0.9  # probability with which a band holds
TIE = 1e-5  # of the figure: closer together two what-ifs are alike
FEWEST = 10  # members that a running percentile starts with


def percentile(values: Floats, name: str, axis: int | None = None) -> Floats:
    """'p90', 'p50' or 'p10' of values without NaN; each of n sorted values stands for the middle of its n-th share.

    Source: Hazen 1914 plotting positions, (k - 1/2)/n.
    """
    found: Floats = np.asarray(np.quantile(values, LEVELS[name], axis=axis, method="hazen"), dtype=np.float64)
    return found


def band(values: Floats, name: str) -> tuple[float, float]:
    """Between which a percentile lies with a probability of at least SURE, whatever the distribution; NaN: no bound.

    Order statistics of random members: the number below the percentile is binomial (Conover 1999, Practical
    nonparametric statistics, section 3.2).
    """
    ordered = np.sort(values)
    count, p = len(ordered), LEVELS[name]
    low = int(binom.ppf(0.5 * (1.0 - SURE), count, p))
    high = int(binom.ppf(0.5 * (1.0 + SURE), count, p)) + 1
    return (
        float(ordered[low - 1]) if low >= 1 else float("nan"),
        float(ordered[high - 1]) if high <= count else float("nan"),
    )


def quantity_of_figure(name: str) -> str:
    """Quantity of a figure; of a zone's figure that of what it is, 'number' for a figure of the caller's own."""
    bare = name.rpartition(": ")[2]
    return FIGURE_QUANTITIES.get(bare) or COLUMNS.get(bare, "number")


def range_of(ensemble: Ensemble, figure: str, what_if: str) -> Range | None:
    """Range of a figure of one what-if; None where fewer than two members have it."""
    values = good(ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)])
    if len(values) < 2:
        return None
    sd = float(np.std(values, ddof=1))
    at = {name: float(percentile(values, name)) for name in LEVELS}
    bands = {f"{name}_band": band(values, name) for name in LEVELS}
    return Range(
        figure, quantity_of_figure(figure), what_if, len(values), at["p90"], at["p50"], at["p10"],
        float(values.mean()), sd, sd / float(np.sqrt(len(values))),
        bands["p90_band"], bands["p50_band"], bands["p10_band"],
    )  # fmt: skip


def good(values: Floats) -> Floats:
    """Values that are numbers."""
    return values[np.isfinite(values)]


def fan_of(ensemble: Ensemble, column: str, what_if: str, values: Floats | None = None, where: str = "") -> Fan:
    """Percentiles over time of a column [members, what_ifs, T]; values: none for the well's own."""
    cube = ensemble.series[column] if values is None else values
    rows = cube[:, ensemble.what_ifs.index(what_if), :]
    rows = rows[np.isfinite(rows).all(axis=1)]
    nothing = np.full(len(ensemble.dates), np.nan)
    at = {name: percentile(rows, name, axis=0) if len(rows) else nothing for name in LEVELS}
    mean = rows.mean(axis=0) if len(rows) else nothing
    return Fan(column, COLUMNS[column], what_if, where, ensemble.dates, at["p90"], at["p50"], at["p10"], mean)


def duel_of(ensemble: Ensemble, figure: str, one: str, other: str) -> Duel | None:
    """One what-if against another in the members that have both; None where fewer than two have."""
    gain = good(gain_of(ensemble, figure, one, other))
    if len(gain) < 2:
        return None
    share = float((gain > 0.0).mean())
    at = {name: float(percentile(gain, name)) for name in LEVELS}
    error = float(np.std(gain, ddof=1) / np.sqrt(len(gain)))
    return Duel(
        figure, quantity_of_figure(figure), one, other, len(gain), share, share_band(share, len(gain)),
        float((gain == 0.0).mean()),
        float(gain.mean()), error, at["p90"], at["p50"], at["p10"],
    )  # fmt: skip


def gain_of(ensemble: Ensemble, figure: str, one: str, other: str) -> Floats:
    """Figure of one what-if less that of another, member by member; NaN where either is missing.

    What is closer than TIE is 0: forecasts of the same flow differ by that much through their time steps.
    """
    table = ensemble.figures[figure]
    a, b = table[:, ensemble.what_ifs.index(one)], table[:, ensemble.what_ifs.index(other)]
    gain: Floats = np.where(np.abs(a - b) <= TIE * np.maximum(np.abs(a), np.abs(b)), 0.0, a - b)
    return gain


def share_band(share: float, count: int) -> tuple[float, float]:
    """Band of a probability seen as a share of `count` random members.

    Source: Wilson 1927, Probable inference, the law of succession, and statistical inference, JASA 22.
    """
    z = float(ndtri(0.5 * (1.0 + SURE)))
    middle = (share + z * z / (2.0 * count)) / (1.0 + z * z / count)
    half = z / (1.0 + z * z / count) * float(np.sqrt(share * (1.0 - share) / count + z * z / (4.0 * count * count)))
    return max(middle - half, 0.0), min(middle + half, 1.0)


def convergence_of(ensemble: Ensemble, figure: str, what_if: str, points: int = 15) -> Convergence | None:
    """Percentiles of the first n members for growing n; None where there are fewer than FEWEST."""
    values = good(ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)])
    if len(values) < FEWEST:
        return None
    counts = np.unique(np.geomspace(FEWEST, len(values), points).round().astype(np.int64))
    at = {name: np.array([float(percentile(values[:n], name)) for n in counts]) for name in LEVELS}
    bands = {name: np.array([band(values[:n], name) for n in counts]) for name in LEVELS}
    return Convergence(
        figure, quantity_of_figure(figure), what_if, counts, at["p90"], at["p50"], at["p10"],
        bands["p90"], bands["p50"], bands["p10"],
    )  # fmt: skip

"""Draws made for a purpose: one input at a time for the tornado, two mixed matrices for shares of the variance."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from planner.model.case import Case
from planner.model.ensemble import Draws, Ensemble, Swing, VarianceShare
from planner.model.paths import Zones
from planner.uncertainty.draws import EDGE, inputs_of, values_at
from planner.uncertainty.sensitivity import shares_of_design

Floats = NDArray[np.float64]
NEVER = float("inf")
LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9  # P90, P50, P10


def one_at_a_time(case: Case, zones: Zones) -> tuple[Draws, tuple[tuple[str, int, int], ...]]:
    """Draws with one input changed in each: all others at their P50, the likeliest choice, without failure.

    Gives the draws, the first of them unchanged, and the bars: label, member of the low and of the high end. A range
    goes to P90 and P10; every other choice, and a failure half way through the schedule, stands against the first.
    """
    inputs = inputs_of(case, zones)
    at = {share: values_at(case, np.full((1, len(inputs)), share), zones)[0] for share in (LOW, MIDDLE, HIGH)}
    middle = at[MIDDLE].copy()
    for k, one in enumerate(inputs):
        if one.kind == "alternative":
            choices = next(row.choices for row in case.alternatives if row.name == one.name)
            middle[k] = float(np.argmax([choice.probability for choice in choices]))
        elif one.kind == "failure":
            middle[k] = NEVER if one.quantity == "time" else 1.0
    half_way = 0.5 * (case.schedule.end - case.schedule.start).days * 86400.0
    rows, bars = [middle], []
    for k, one in enumerate(inputs):
        if one.kind == "alternative":
            others = [(f"{one.name}: {name}", float(c)) for c, name in enumerate(one.choices) if c != middle[k]]
        elif one.kind == "failure":
            others = [(one.name, half_way if one.quantity == "time" else 0.0)]
        else:
            bars.append((one.name, len(rows), len(rows) + 1))
            rows += [_with(middle, k, at[LOW][k]), _with(middle, k, at[HIGH][k])]
            continue
        for label, value in others:
            bars.append((label, 0, len(rows)))
            rows.append(_with(middle, k, value))
    return Draws(inputs, np.array(rows), 0, "given"), tuple(bars)


def _with(row: Floats, column: int, value: float) -> Floats:
    made = row.copy()
    made[column] = value
    return made


def swings_of_runs(
    ensemble: Ensemble, bars: tuple[tuple[str, int, int], ...], figure: str, what_if: str
) -> tuple[Swing, ...]:
    """Swings of the ensemble that was run on `one_at_a_time`, widest first; a failed forecast leaves its bar out."""
    values = ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)]
    found = []
    for label, low, high in bars:
        one = label if label in {i.name for i in ensemble.draws.inputs} else label.partition(": ")[0]
        draws = ensemble.draws.column(one)
        if np.isfinite(values[[low, high]]).all():
            ends = (float(values[low]), float(values[high]), float(draws[low]), float(draws[high]))
            found.append(Swing(label, figure, what_if, *ends, 0.0, "runs"))
    return tuple(sorted(found, key=lambda swing: -swing.width))


def mixed_matrices(case: Case, points: int, seed: int, zones: Zones) -> Draws:
    """Draws for shares of the variance: two Sobol matrices, then the first with each column of the second in turn.

    points is rounded up to a power of 2; members are points x (inputs + 2). Correlations are left out: the shares
    of correlated inputs do not add up to the variance.
    """
    inputs = inputs_of(case, zones)
    width = len(inputs)
    engine = qmc.Sobol(2 * width, scramble=True, rng=np.random.default_rng(seed))
    both = np.clip(engine.random_base2(max(int(np.ceil(np.log2(points))), 1)), EDGE, 1.0 - EDGE)
    a, b = both[:, :width], both[:, width:]
    blocks = [a, b]
    for k in range(width):
        mixed = a.copy()
        mixed[:, k] = b[:, k]
        blocks.append(mixed)
    notes = ("correlations are left out in the shares of the variance",) if case.correlation else ()
    return Draws(inputs, values_at(case, np.concatenate(blocks), zones), seed, "sobol", notes)


def shares_of_matrices(ensemble: Ensemble, figure: str, what_if: str) -> tuple[VarianceShare, ...]:
    """Shares of the ensemble that was run on `mixed_matrices`, largest total first; rows that failed are left out."""
    width = len(ensemble.draws.inputs)
    values = ensemble.figures[figure][:, ensemble.what_ifs.index(what_if)].reshape(width + 2, -1)
    values = values[:, np.isfinite(values).all(axis=0)]
    if values.shape[1] < 4:
        return ()
    first, first_error, total, total_error = shares_of_design(values[0], values[1], values[2:])
    found = [
        VarianceShare(one.name, figure, what_if, float(first[k]), float(first_error[k]), float(total[k]),
                      float(total_error[k]), "design")
        for k, one in enumerate(ensemble.draws.inputs)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda share: -share.total))

"""What the data can tell about the parameters: spreads, correlations, directions, and whether the data are enough."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.model.case import Case
from planner.model.match import Direction, MatchedParameter, Misfit
from planner.model.measured import Measurement

Floats = NDArray[np.float64]

UNTOLD = 0.1  # a spread that shrank by less than a tenth tells nothing
TOGETHER = 0.8  # correlation at which two parameters cannot be told apart
WEAK = 0.3  # singular value below which a direction is left to the prior
LARGE = 3.0  # mean square misfit at which the model does not honour the data
FEW = 10


def directions_of(jacobian: Floats, names: Sequence[str], correlation: Floats) -> tuple[Direction, ...]:
    """Directions of the sensitivity [d, n] of scaled data to normal numbers, strongest first.

    Parameters are scaled by the root of their prior correlation, so that the prior counts alike in all directions.
    """
    root = np.linalg.cholesky(correlation + 1e-12 * np.eye(len(names)))
    _, size, right = np.linalg.svd(jacobian @ root, full_matrices=False)
    parts = right @ np.linalg.pinv(root)
    parts /= np.maximum(np.linalg.norm(parts, axis=1, keepdims=True), 1e-300)
    sizes = np.concatenate([size, np.zeros(len(names) - len(size))])[: len(names)]
    return tuple(
        Direction(float(s), {name: float(p) for name, p in zip(names, row, strict=True)})
        for s, row in zip(sizes, parts, strict=False)
    )


def regressed_slopes(members: Floats, data: Floats, error: Floats) -> Floats:
    """Sensitivity [d, n] of scaled data [m, d] to members [m, n] by regression over the ensemble."""
    z = members - members.mean(axis=0)
    y = (data - data.mean(axis=0)) / error
    slopes, *_ = np.linalg.lstsq(z, y, rcond=1e-8)
    return np.asarray(slopes.T, dtype=np.float64)


def warnings_of(
    parameters: Sequence[MatchedParameter], correlation: Floats, directions: Sequence[Direction],
    misfits: Sequence[Misfit], overall: tuple[float, float, float], members: int, data: int,
) -> list[str]:  # fmt: skip
    """Sentences on what the match does not tell, or should not be trusted for."""
    found = []
    for one in parameters:
        if one.told < UNTOLD:
            found.append(f"The data say little about '{one.name}': its range stays as wide as it was.")
    names = [one.name for one in parameters]
    for i, first in enumerate(names):
        for j in range(i + 1, len(names)):
            if abs(correlation[i, j]) > TOGETHER:
                way = "rise together" if correlation[i, j] > 0.0 else "one rises as the other falls"
                found.append(
                    f"'{first}' and '{names[j]}' cannot be told apart by these data ({way}, {correlation[i, j]:+.2f})."
                )
    for one_way in directions:
        strong = [name for name, part in one_way.parts.items() if abs(part) > 0.5]
        if one_way.size < WEAK and len(strong) > 1:
            listed = ", ".join(f"'{name}'" for name in strong)
            found.append(f"A combination of {listed} is left to the prior: the data hardly see it.")
    for misfit in misfits:
        if misfit.reached < 0.5:
            found.append(
                f"{_place(misfit)}: {100 * (1 - misfit.reached):.0f} % of the measurements lie outside what the ranges "
                "allow; widen the ranges, or something is missing in the case."
            )
        elif misfit.after > LARGE:
            found.append(
                f"{_place(misfit)}: after matching the misfit is still {misfit.after:.3g} times the errors squared; "
                "the case does not honour these data, and the spread of the members is too narrow for them."
            )
    if members and members < 5 * len(names):
        found.append(f"{members} members are few for {len(names)} parameters; use at least {10 * len(names)}.")
    if overall[1] < 0.1 and data >= FEW:
        found.append("The members meet the data far closer than their errors: the errors may be given too large.")
    return found


def _place(misfit: Misfit) -> str:
    return misfit.kind + (f" of {misfit.zone}" if misfit.zone else "")


def coverage_of(case: Case, rows: Sequence[Measurement], zones: Sequence[str]) -> list[str]:
    """What there is and what is not there among the measurements, in sentences."""
    kinds = {row.kind for row in rows}
    found = []
    pressures = {"bottom-hole pressure", "wellhead pressure", "formation pressure"}
    rates = {kind for kind in kinds if kind.endswith("rate") or kind.startswith("cumulative")}
    if not kinds & pressures:
        found.append("No pressure was measured: kh, skin and support can hardly be told from each other.")
    if not rates:
        found.append("No rate or volume was measured.")
    wet = {"water cut", "water rate", "cumulative water", "liquid rate"}
    if case.fluid.oil is not None and not case.well.kind.endswith("injector") and not kinds & wet:
        found.append("No water was measured: relative permeability and water support are left to the prior.")
    by_zone = {row.zone for row in rows if row.zone}
    if len(zones) > 1:
        bare = [zone for zone in zones if zone not in by_zone and not _by_layer(case, by_zone)]
        if len(bare) == len(zones):
            found.append("Nothing was measured by zone: which zone gives what rests on the prior.")
        elif bare:
            found.append(f"Nothing was measured in {', '.join(bare)}.")
    if "formation pressure" not in kinds and "kh" not in kinds and "liquid share" not in kinds:
        found.append("No formation pressure, production log or well test is among the data.")
    days = sorted({row.date for row in rows})
    found += _gaps(case, days)
    for kind in sorted(kinds):
        count = sum(row.kind == kind for row in rows)
        if count < 3 and kind not in ("kh", "skin", "formation pressure", "liquid share", "gas share"):
            found.append(f"Only {count} measurement{'s' if count > 1 else ''} of {kind}.")
    return found


def _by_layer(case: Case, places: set[str]) -> bool:
    return any(layer.name in places for layer in case.layers)


def _gaps(case: Case, days: Sequence[date]) -> list[str]:
    """Long times without a measurement."""
    if len(days) < 2:
        return []
    length = (days[-1] - days[0]).days
    gaps = [(b - a).days for a, b in pairwise(days)]
    worst = int(np.argmax(gaps))
    if gaps[worst] > max(0.25 * length, 92):
        return [f"Nothing was measured between {days[worst]} and {days[worst + 1]}."]
    return []

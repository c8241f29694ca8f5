"""Records of a match: parameters before and after, misfits, series over the data, what the data can tell. SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from planner.model.case import Case
from planner.model.ensemble import Draws
from planner.model.measured import Measurement

Floats = NDArray[np.float64]
MatchMethod = Literal["smoother", "least squares"]


@dataclass(frozen=True)
class MatchedParameter:
    """A range before and after. low, mid, high: 5, 50 and 95 % of the members; best: of the matched case.

    told: 1 less the spread after over the spread before, of the normal numbers behind the range: 0 where the data say
    nothing about it, 1 where they fix it.
    """

    name: str
    quantity: str
    acts_as: str
    prior_low: float
    prior_mid: float
    prior_high: float
    low: float
    mid: float
    high: float
    best: float
    told: float


@dataclass(frozen=True)
class Misfit:
    """Misfit of a kind at a place: mean square of (forecast - measured) / error, 1 where it is as large as the errors.

    before, after: mean over the members; best: of the matched case, nan where it could not be computed. reached: share
    of the measurements inside the 90 % range of the prior members, errors included.
    """

    kind: str
    zone: str
    count: int
    before: float
    after: float
    best: float
    reached: float


@dataclass(frozen=True)
class MatchedSeries:
    """Measurements of a kind at a place with the members before and after: [T] each, percentiles over the members."""

    kind: str
    zone: str
    quantity: str
    dates: NDArray[np.datetime64]
    measured: Floats
    error: Floats
    prior_low: Floats
    prior_mid: Floats
    prior_high: Floats
    low: Floats
    mid: Floats
    high: Floats
    best: Floats


@dataclass(frozen=True)
class Direction:
    """A combination of parameters and how strongly the data see it.

    size: singular value of the sensitivity of the data, over their errors, to the normal numbers of the parameters: 1
    where the data tell as much as the prior. parts: parameter -> share of the direction.
    """

    size: float
    parts: dict[str, float]


@dataclass(frozen=True)
class Match:
    """What matching found.

    case: the matched one, its matched ranges replaced by their best values; draws: posterior members by path, values
    [members, paths]; prior, posterior: values of the ranges [members, parameters]; correlation [n, n] after, of the
    normal numbers. expected: mean square misfit over all data, before, after and best. failures: why -> how many.
    """

    case: Case
    method: MatchMethod
    seed: int
    parameters: tuple[MatchedParameter, ...]
    misfits: tuple[Misfit, ...]
    series: tuple[MatchedSeries, ...]
    directions: tuple[Direction, ...]
    correlation: Floats
    prior: Floats
    posterior: Floats
    draws: Draws
    data: tuple[Measurement, ...]
    members: int
    lost: int
    failures: dict[str, int]
    forecasts: int
    seconds: float
    inflation: tuple[float, ...]
    overall: tuple[float, float, float]
    warnings: tuple[str, ...]
    coverage: tuple[str, ...]
    notes: tuple[str, ...]

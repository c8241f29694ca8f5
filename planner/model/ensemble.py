"""Records of ensembles and of what they say: draws, figures of members, ranges, fans, duels, swings. SI, numpy.

Percentiles are in the trade's sense: P90 is the low case, exceeded with a probability of 90 %, whatever the figure.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

BASE = "base"
OK, REFUSED, FAILED, LATE = "ok", "refused", "failed", "timed out"
Design = Literal["latin hypercube", "sobol", "random", "given"]

# Quantity of every figure of a member; other figures that a caller's summary adds have none.
FIGURE_QUANTITIES: dict[str, str] = {
    "oil_volume": "liquid volume",
    "water_volume": "liquid volume",
    "gas_volume": "gas volume",
    "recovery_factor": "fraction",
    "peak_water_cut": "fraction",
    "peak_water_rate": "liquid rate",
    "water_arrival": "time",
    "producing_time": "time",
    "npv": "money",
    "job_cost": "money",
    "limits_broken": "number",
}


@dataclass(frozen=True)
class Summary:
    """What is kept of one forecast of one member.

    figures: name -> number, NaN where there is none. dates [T] datetime64[D]; well: column -> [T]; zone: column ->
    [T, zones] in the order of `zones`.
    """

    figures: dict[str, float]
    dates: NDArray[np.datetime64]
    well: dict[str, Floats] = field(default_factory=dict)
    zone: dict[str, Floats] = field(default_factory=dict)
    zones: tuple[str, ...] = ()


@dataclass(frozen=True)
class Input:
    """A column of the draws. kind: 'value', 'multiplier', 'shift', 'path' (set by its path), 'alternative', 'failure'.

    quantity: of the drawn numbers ('number': none). An alternative is drawn as the number of its choice, whose names
    are in `choices`; a failure as the time to it, a job's failure as 0 (fails) or 1 (succeeds).
    """

    name: str
    kind: str
    quantity: str = "number"
    paths: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Draws:
    """Draws of all members: values [members, inputs], SI; a row is a member."""

    inputs: tuple[Input, ...]
    values: Floats
    seed: int = 0
    design: Design = "latin hypercube"
    notes: tuple[str, ...] = ()

    def column(self, name: str) -> Floats:
        """Draws of one input [members]. Raises KeyError."""
        for number, one in enumerate(self.inputs):
            if one.name == name:
                return self.values[:, number]
        raise KeyError(name)


@dataclass(frozen=True)
class Ensemble:
    """Members and what became of each under every what-if, the base first.

    figures: name -> [members, what_ifs], NaN where a forecast did not end well. status [members, what_ifs]: 'ok',
    'refused', 'failed', 'timed out', with `messages` (member, what-if) -> why. dates [T]; series: column -> [members,
    what_ifs, T] of the well. folder: where the tables are, zones included; seconds: work of all members together.
    """

    well: str
    kind: str
    draws: Draws
    what_ifs: tuple[str, ...]
    figures: dict[str, Floats]
    status: NDArray[np.str_]
    messages: dict[tuple[int, str], str]
    dates: NDArray[np.datetime64]
    series: dict[str, Floats]
    zones: tuple[str, ...]
    folder: str
    seconds: float

    @property
    def members(self) -> int:
        """How many members there are, failed ones included."""
        return len(self.draws.values)


@dataclass(frozen=True)
class Range:
    """A figure of one what-if over the members. Every band holds with a probability of 90 %, members as if random."""

    figure: str
    quantity: str
    what_if: str
    members: int
    p90: float
    p50: float
    p10: float
    mean: float
    sd: float
    mean_error: float
    p90_band: tuple[float, float]
    p50_band: tuple[float, float]
    p10_band: tuple[float, float]


@dataclass(frozen=True)
class Fan:
    """A column over time: percentiles and mean over the members, [T] each."""

    column: str
    quantity: str
    what_if: str
    where: str
    dates: NDArray[np.datetime64]
    p90: Floats
    p50: Floats
    p10: Floats
    mean: Floats


@dataclass(frozen=True)
class Duel:
    """One what-if against another, member by member. probability: that `one` has the larger figure; band: 90 %.

    alike: share of the members in which both come to the same. gain: of `one` over `other`.
    """

    figure: str
    quantity: str
    one: str
    other: str
    members: int
    probability: float
    band: tuple[float, float]
    alike: float
    gain_mean: float
    gain_error: float
    gain_p90: float
    gain_p50: float
    gain_p10: float


@dataclass(frozen=True)
class Swing:
    """A bar of the tornado: the figure at a low and at a high value of one input.

    method 'members': means over the fifth of the members with the lowest and the highest draws, `error` the standard
    error of their difference; 'runs': forecasts with that input at its P90 and P10 and all others at their P50.
    """

    input: str
    figure: str
    what_if: str
    low: float
    high: float
    low_draw: float
    high_draw: float
    error: float
    method: Literal["members", "runs"]

    @property
    def width(self) -> float:
        """Size of the swing."""
        return abs(self.high - self.low)


@dataclass(frozen=True)
class VarianceShare:
    """Share of a figure's variance that one input explains by itself (first), and with all its interplay (total).

    method 'members': estimated from the ensemble by classes of the input (first alone, total NaN); 'design':
    estimators of Saltelli 2010 and Jansen 1999 on a design of its own. error: standard error of each.
    """

    input: str
    figure: str
    what_if: str
    first: float
    first_error: float
    total: float
    total_error: float
    method: Literal["members", "design"]


@dataclass(frozen=True)
class Flip:
    """How an input tells members where `one` beats `other` from those where it does not.

    strength: 0 tells nothing, 1 tells all (twice the distance of the rank-sum share from one half); significance: of
    the rank-sum test, the probability of as much by chance. Below and above the threshold, the probability that
    `one` wins and the share of members there.
    """

    input: str
    figure: str
    one: str
    other: str
    strength: float
    significance: float
    threshold: float
    wins_below: float
    wins_above: float
    share_below: float


@dataclass(frozen=True)
class Convergence:
    """Percentiles of a figure from the first n members, for growing n; bands hold with 90 %: [n, 2]."""

    figure: str
    quantity: str
    what_if: str
    counts: NDArray[np.int64]
    p90: Floats
    p50: Floats
    p10: Floats
    p90_band: Floats
    p50_band: Floats
    p10_band: Floats


@dataclass(frozen=True)
class Findings:
    """What an ensemble says. figures: those that the tables show; decision: those that what-ifs are compared by.

    notes: sentences on how the numbers came about and what limits them.
    """

    ensemble: Ensemble
    figures: tuple[str, ...]
    decision: tuple[str, ...]
    ranges: tuple[Range, ...]
    duels: tuple[Duel, ...]
    swings: tuple[Swing, ...]
    shares: tuple[VarianceShare, ...]
    flips: tuple[Flip, ...]
    convergence: tuple[Convergence, ...]
    fans: tuple[Fan, ...]
    notes: tuple[str, ...]

"""Frozen records of the judgement of hole and sand, in SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from planner.model.change import WhatIf
from planner.model.results import Floats

Verdict = Literal["for", "against", "open"]  # open: an input is missing, or the criterion does not decide


@dataclass(frozen=True)
class Stretch:
    """A stretch of hole; depths m along the hole. value: its extreme hole diameter, m, where there is one."""

    top_md: float
    base_md: float
    value: float = float("nan")

    @property
    def length(self) -> float:
        """Along the hole, m."""
        return self.base_md - self.top_md


@dataclass(frozen=True)
class Sand:
    """Layers that no barrier parts."""

    name: str
    top_md: float
    base_md: float
    layers: tuple[str, ...]


@dataclass(frozen=True)
class Barrier:
    """Shale between two sands; above, below: their places in the list of sands. source: where it was found."""

    name: str
    top_md: float
    base_md: float
    above: int
    below: int
    source: str = "gap between layers"

    @property
    def length(self) -> float:
        """Along the hole, m."""
        return self.base_md - self.top_md


@dataclass(frozen=True)
class Seat:
    """Where a seal can sit inside a barrier: gauge hole, in stretches each long enough (none: no place)."""

    barrier: Barrier
    stretches: tuple[Stretch, ...]
    longest: float  # m of gauge hole in one piece inside the barrier


@dataclass(frozen=True)
class SampleGrading:
    """Grading of one sieved sample; sizes m, NaN where its sieves do not reach; fines: share below 44 micron."""

    name: str
    md: float
    sand: str
    d10: float
    d40: float
    d50: float
    d90: float
    d95: float
    uniformity: float
    sorting: float
    fines: float
    calls_for: str  # class by sorting and fines, '' where unknown


@dataclass(frozen=True)
class StrengthAt:
    """Rock strength at a depth against drawdown; Pa, m. Drawdowns: NaN where an input is missing.

    open_hole, perforation: greatest drawdown that the wall of a hole or of the worst perforation stands, below 0 where
    it does not even stand without; depleted_*: at the depleted pressure of the case.
    """

    md: float
    sand: str
    strength: float
    pressure: float
    open_hole: float
    perforation: float
    depleted_open_hole: float
    depleted_perforation: float


@dataclass(frozen=True)
class Reason:
    """One reason for or against a kind of completion in one interval.

    length: m of hole in the stretch that breaks the criterion (from top_md to base_md); 0 where none does.
    """

    kind: str
    interval: str
    topic: str
    verdict: Verdict
    text: str
    top_md: float
    base_md: float
    length: float
    source: str


@dataclass(frozen=True)
class SuitabilityResult:
    """Reasons for and against each kind of completion, and what they rest on.

    hole_md [n + 1], hole_diameter [n]: the hole from each depth to the next, m. missing: inputs that were not given,
    one sentence each. what_if: what dirty fluid would do, where the test failed and the case says how much.
    """

    well: str
    sands: tuple[Sand, ...]
    barriers: tuple[Barrier, ...]
    hole_md: Floats
    hole_diameter: Floats
    ranges: dict[str, tuple[float, float]]  # kind -> least, greatest hole (m, NaN: not given)
    seats: tuple[Seat, ...]
    gradings: tuple[SampleGrading, ...]
    strengths: tuple[StrengthAt, ...]
    reasons: tuple[Reason, ...]
    missing: tuple[str, ...]
    planned_drawdown: dict[str, float]  # sand -> greatest planned drawdown, Pa (NaN: not known)
    what_if: WhatIf | None = None
    silent: tuple[Stretch, ...] = ()
    warnings: tuple[str, ...] = ()

"""Parameters of matching: ranges of a case as standard normal numbers, so that every member stays inside its range.

A range is matched through the normal number behind its draw: value = quantile(Phi(z)). However far z is moved, the
value stays where the range allows it. The prior of z is normal with mean 0 and the correlations of the case.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from planner.base.errors import CaseError, Problem
from planner.model.case import Case
from planner.model.consistency_ranges import normal_correlation
from planner.model.ensemble import Draws, Input
from planner.model.paths import Zones, expand, quantity_at, read
from planner.uncertainty.distributions import quantile_function
from planner.uncertainty.draws import EDGE, inputs_of
from planner.uncertainty.member import member_of

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Space:
    """The matched ranges of a case.

    case: with these ranges alone (alternatives, failures and discrete ranges are left out and told in `notes`); inputs
    in order; correlation [n, n] of the normal numbers; zones: zone -> layers.
    """

    case: Case
    inputs: tuple[Input, ...]
    correlation: Floats
    zones: Zones
    notes: tuple[str, ...]
    others: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the parameters."""
        return tuple(one.name for one in self.inputs)

    def values(self, z: Floats) -> Floats:
        """Values [..., n], SI, at normal numbers [..., n]."""
        shares = np.clip(ndtr(z), EDGE, 1.0 - EDGE)
        columns = [
            quantile_function(row, quantity_at(self.case, row.all_paths[0], self.zones))(shares[..., k])
            for k, row in enumerate(self.case.uncertain)
        ]
        return np.stack([np.asarray(column, dtype=np.float64) for column in columns], axis=-1)

    def prior(self, members: int, rng: np.random.Generator) -> Floats:
        """Normal numbers [members, n] of the prior: each column evenly spread, then correlated."""
        count = len(self.inputs)
        shares = np.column_stack(
            [(rng.permutation(members) + rng.random(members)) / members for _ in range(count)]
        )  # a latin hypercube
        normal = ndtri(np.clip(shares, EDGE, 1.0 - EDGE))
        return np.asarray(normal @ np.linalg.cholesky(self.correlation + 1e-12 * np.eye(count)).T, dtype=np.float64)

    def case_at(self, z: Floats) -> Case:
        """The case of one member [n], its ranges put in and left out. Raises CaseError where they do not fit."""
        draws = Draws(self.inputs, self.values(z)[None, :], design="given")
        return member_of(self.case, draws, 0, self.zones).case

    def paths(self) -> tuple[str, ...]:
        """Every input of the case that is matched, by its path."""
        found: dict[str, None] = {}
        for one in self.inputs:
            for path in one.paths:
                found |= dict.fromkeys(expand(self.case, path, self.zones))
        return tuple(found)

    def numbers_at(self, z: Floats) -> Floats:
        """What the case of a member [n] holds at each of `paths` [p], SI."""
        case = self.case_at(z)
        return np.array([read(case, path) for path in self.paths()])


def space_of(case: Case, zones: Zones, only: Sequence[str] = ()) -> Space:
    """The parameters of a case. only: names of the ranges to match; none: all that are continuous.

    Raises CaseError where nothing can be matched, or a name is not there.
    """
    known = [row.name for row in case.uncertain]
    unknown = [name for name in only if name not in known]
    if unknown:
        remedy = f"Known: {', '.join(known) or 'none'}."
        raise CaseError([Problem("", "uncertain", name, "no range has this name", remedy) for name in unknown])
    stepped = [row.name for row in case.uncertain if row.kind == "discrete"]
    kept = [row for row in case.uncertain if row.kind != "discrete" and (not only or row.name in only)]
    if not kept:
        remedy = "Add [[uncertain]] rows of kind normal, lognormal, uniform, triangular or table."
        raise CaseError([Problem("", "uncertain", "", "the case has no range that can be matched", remedy)])
    notes = [f"'{name}' is discrete and is not matched: it keeps the case's value" for name in stepped]
    if case.alternatives or case.failures:
        notes.append("alternatives and failures are not matched: the case's own values hold, and nothing fails")
    names = [row.name for row in kept]
    whole = normal_correlation(case)
    at = [known.index(name) for name in names]
    bare = case.model_copy(
        update={
            "uncertain": tuple(kept), "alternatives": (), "failures": (),
            "correlation": tuple(one for one in case.correlation if set(one.between) <= set(names)),
        }
    )  # fmt: skip
    others = tuple(name for name in known if name not in names)
    return Space(bare, inputs_of(bare, zones), whole[np.ix_(at, at)], zones, tuple(notes), others)

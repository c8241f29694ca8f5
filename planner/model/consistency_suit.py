"""Checks of what the hole and the sand are judged against."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from planner.base.errors import Problem
from planner.model.case import Case
from planner.model.consistency_parts import Show, problem

RANGES = ("conforming", "stand_alone", "gravel_pack", "perforated", "seal")


def hole_ranges(case: Case, show: Show) -> Iterator[Problem]:
    """The greatest hole of a range is above the least."""
    asked = case.suitability
    for name in RANGES if asked else ():
        given = getattr(asked, name)
        if given is None or given.least_hole is None or given.greatest_hole is None:
            continue
        if given.greatest_hole <= given.least_hole:
            message = f"the greatest hole of {name} is not above its least"
            yield problem(f"suitability.{name}.greatest_hole", message, "Swap or correct the two diameters.")


def sieves(case: Case, show: Show) -> Iterator[Problem]:
    """Every sample has two sizes or more at one depth, and no more is coarser than a larger size."""
    rows = case.suitability.sieves if case.suitability else ()
    for name in dict.fromkeys(row.sample for row in rows):
        numbered = [(n, row) for n, row in enumerate(rows, start=1) if row.sample == name]
        first = f"suitability.sieves[{numbered[0][0]}]"
        if len(numbered) < 2:
            yield problem(f"{first}.size", f"sample '{name}' has one sieve alone", "Give a row for each sieve.")
        if len({row.md for _, row in numbered}) > 1:
            yield problem(f"{first}.md", f"sample '{name}' has more than one depth", "Give it one depth.")
        falling = sorted(numbered, key=lambda pair: -pair[1].size)
        for (_, wider), (n, finer) in pairwise(falling):
            place = f"suitability.sieves[{n}]"
            if finer.size == wider.size:
                yield problem(f"{place}.size", f"sample '{name}' has this size twice", "Keep one of the two rows.")
            elif finer.coarser < wider.coarser:
                message = f"sample '{name}': less is coarser than this size than of the next larger sieve"
                yield problem(f"{place}.coarser", message, "Give cumulative shares, rising towards finer sizes.")


def strengths(case: Case, show: Show) -> Iterator[Problem]:
    """A row has a strength or a slowness; a slowness has a relation."""
    asked = case.suitability
    for n, row in enumerate(asked.strengths if asked else (), start=1):
        place = f"suitability.strengths[{n}]"
        if (row.strength is None) == (row.slowness is None):
            yield problem(place, "one of strength and slowness is needed, not both", "Keep one of the two.")
        elif row.slowness is not None and asked and asked.strength_relation != "mcnally 1987":
            remedy = 'Give suitability.strength_relation = "mcnally 1987", or strengths from the laboratory.'
            yield problem(f"{place}.slowness", "nothing says how strength follows from slowness", remedy)
            return


def stress(case: Case, show: Show) -> Iterator[Problem]:
    """Stresses in order, Poisson's ratio below one half, friction below a right angle."""
    given = case.suitability.stress if case.suitability else None
    if given is None:
        return
    if given.greatest_horizontal < given.least_horizontal:
        message = "the greatest horizontal stress is below the least"
        yield problem("suitability.stress.greatest_horizontal", message, "Swap or correct the two.")
    if given.poisson >= 0.5:
        yield problem("suitability.stress.poisson", "must be below 0.5", "Correct the value.", f"{given.poisson:g}")
    if not 0.0 <= given.friction_angle < math.pi / 2.0:
        message = "the friction angle must lie between 0 and 90 degrees"
        yield problem("suitability.stress.friction_angle", message, 'Give an angle such as "35 deg".')
    deepest = max((station.inclination for station in case.well.survey), default=0.0)
    if given.azimuth_of_greatest is None and deepest > math.radians(5.0):
        message = "the well is deviated: the direction of the greatest horizontal stress matters"
        yield problem("suitability.stress.azimuth_of_greatest", message, 'Give azimuth_of_greatest = "45 deg".')


def fluid_test(case: Case, show: Show) -> Iterator[Problem]:
    """What is left after a test that failed is a share below 1; a skin is finite."""
    test = case.suitability.fluid_test if case.suitability else None
    if test is None:
        return
    if test.remaining is not None and test.remaining >= 1.0:
        message = "the share that remains must be below 1"
        yield problem("suitability.fluid_test.remaining", message, "Give a share such as 0.3.")
    if test.skin is not None and not math.isfinite(test.skin):
        yield problem("suitability.fluid_test.skin", "the skin is not a finite number", "Give a number.")

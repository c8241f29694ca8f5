"""From a case to the problem of the optimiser: ticks of depth, seats, worth by tick, wishes as masks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.decide.barriers import crossed, gauge, sands_and_barriers
from planner.decide.split_optimise import Joint, SplitProblem
from planner.decide.split_string import HIDDEN, KINDS, Layout, head_of, pattern_of
from planner.decide.split_values import SplitValues
from planner.model.case import Case
from planner.model.economics import ElementTerms
from planner.model.names import in_words
from planner.model.results import Floats
from planner.model.split import Split, Wish
from planner.model.suitability_results import Barrier, Sand, Seat
from planner.network.pieces import later_need

MILLIMETRE = 1e-3
TOUCH = 1e-6


@dataclass(frozen=True)
class JointLengths:
    """Lengths of joints in whole millimetres; pup: 0 where there is none."""

    screen: int
    blank: int
    seal: int
    pup: int

    @property
    def tick(self) -> int:
        """Greatest length that all of them are whole multiples of."""
        return math.gcd(self.screen, self.blank, self.seal, self.pup)


def terms_of(case: Case, role: str) -> ElementTerms:
    """What a joint costs and how fast it is run."""
    pattern = pattern_of(case, role)
    return case.economics.terms_of(pattern.kind, pattern.screen if role == "screen" else "")


def lengths_of(case: Case, split: Split) -> JointLengths:
    """Joint lengths of the case. Raises CaseError naming each that is missing or not a whole number of millimetres."""
    problems, found = [], {}
    for role in ("screen", "blank", "seal"):
        kind = KINDS[role]
        length = terms_of(case, role).joint_length
        place = f"economics.elements.{kind}.joint_length"
        if length is None:
            remedy = f'Add [economics.elements."{kind}"] with joint_length = "12 m"; the split places whole joints.'
            problems.append(Problem("", place, "", f"the length of a joint of {kind} is missing", remedy))
        else:
            found[role] = _whole(length, place, problems)
    found["pup"] = _whole(split.pup_joint, "split.pup_joint", problems) if split.pup_joint else 0
    if problems:
        raise CaseError(problems)
    return JointLengths(**found)


def _whole(length: float, place: str, problems: list[Problem]) -> int:
    count = round(length / MILLIMETRE)
    if count < 1:
        text = "a joint is shorter than a millimetre"
        problems.append(Problem("", place, f"{length:g} m", text, "Correct the length."))
    return count


def layout_of(case: Case, split: Split) -> tuple[Layout, tuple[str, ...]]:
    """Sands, barriers, seats and depths of a split, and what the user should know about them.

    Raises CaseError where there is no sand below the head of the string.
    """
    given = [(one.top_md, one.base_md) for one in split.barriers]
    sands, barriers = sands_and_barriers(case, split.barrier_length, given, split.low_net)
    head = head_of(case)
    first = min(one.top_md for one in case.string)
    top = split.top_md if split.top_md is not None else (head[-1].base_md if head else first)
    sands = tuple(sand for sand in sands if sand.base_md > top + TOUCH)
    if not sands:
        remedy = "Check split.top_md, split.low_net and the layers."
        raise CaseError([Problem("", "split", in_words(case, top), "no sand lies below the top of the joints", remedy)])
    lost = next(iter(barriers)).above if barriers and len(sands) < barriers[-1].below + 1 else 0
    lengths = lengths_of(case, split)
    seal = lengths.seal * MILLIMETRE
    barriers = _renumbered(barriers, sands)
    seats = tuple(_seat(case, barrier, seal) for barrier in barriers)
    deepest = _deepest(case, split, sands[-1].base_md + max(lengths.screen, lengths.blank) * MILLIMETRE)
    notes = [f"the barrier from {in_words(case, a)} to {in_words(case, b)} is crossed by {name} and parts nothing"
             for a, b, name in crossed(case, given, split.low_net)]  # fmt: skip
    notes += [f"no gauge hole for a seal of {in_words(case, seal)} in barrier {seat.barrier.name}"
              for seat in seats if not seat.stretches]  # fmt: skip
    if case.suitability is None or case.suitability.seal is None:
        notes.append("suitability.seal is not given: any place inside a barrier is taken for gauge hole")
    elif len(case.well.hole) < 2:
        notes.append("one diameter is given for the whole hole, no caliper: the seats are those of a hole in gauge")
    notes += [] if lost == 0 else [f"{lost} sands lie above the top of the joints"]
    return Layout(sands, barriers, seats, top, deepest, seal), tuple(notes)


def _renumbered(barriers: Sequence[Barrier], sands: Sequence[Sand]) -> tuple[Barrier, ...]:
    """Barriers between the sands that are left, counted among them."""
    found = []
    for barrier in barriers:
        above = [k for k, sand in enumerate(sands) if sand.base_md <= barrier.top_md + TOUCH]
        if above and above[-1] + 1 < len(sands):
            found.append(replace(barrier, above=above[-1], below=above[-1] + 1))
    return tuple(found)


def _seat(case: Case, barrier: Barrier, length: float) -> Seat:
    """Gauge hole inside a barrier, in stretches that hold a whole seal joint."""
    seal = case.suitability.seal if case.suitability else None
    limits = (seal.least_hole, seal.greatest_hole, seal.washout_tolerance) if seal else (None, None, 0.0)
    found = gauge(case.well.hole, barrier.top_md, barrier.base_md, *limits)
    fits = tuple(stretch for stretch in found if stretch.length >= length - TOUCH)
    return Seat(barrier, fits, max((stretch.length for stretch in found), default=0.0))


def _deepest(case: Case, split: Split, usual: float) -> float:
    if split.base_md is not None:
        return split.base_md
    return min(usual, case.well.survey[-1].md) if case.well.survey else usual


# ---- the problem ------------------------------------------------------------------------------------------------


def problem_of(case: Case, split: Split, layout: Layout, values: SplitValues) -> SplitProblem:
    """The optimiser's problem without wishes. Raises CaseError where the string cannot reach below the pay."""
    lengths = lengths_of(case, split)
    tick = lengths.tick * MILLIMETRE
    least = math.ceil((layout.sands[-1].base_md - layout.top_md) / tick - TOUCH)
    greatest = math.floor((layout.base_md - layout.top_md) / tick + TOUCH)
    if greatest < least:
        text = f"the string may end at {in_words(case, layout.base_md)}, the pay ends deeper, or no joint ends between"
        raise CaseError([Problem("", "split.base_md", "", text, "Allow a deeper end of the string.")])
    joints = [_joint(case, role, role, getattr(lengths, role), lengths.tick) for role in ("screen", "blank", "seal")]
    if lengths.pup:
        joints.append(_joint(case, "blank", "pup", lengths.pup, lengths.tick))
    need = math.ceil(later_need(case.later_element) / tick - TOUCH)
    return SplitProblem(
        joints=tuple(joints),
        screen_worth=_by_tick(layout, values, tick, greatest),
        seats=_seats(layout, tick, greatest),
        shut_worth=values.shut,
        setting=need,
        ends=(least, greatest),
        may_screen=np.ones(greatest, dtype=bool),
        may_blank=np.ones(greatest, dtype=bool),
        most_seals=split.most_seals,
        weight=values.weight,
    )


def _joint(case: Case, role: str, name: str, length: int, tick: int) -> Joint:
    terms, metres = terms_of(case, role), length * MILLIMETRE
    cost = terms.cost(metres, 1) + case.economics.rig_rate * terms.time(metres, 1)
    return Joint(name, role, length // tick, cost)


def _by_tick(layout: Layout, values: SplitValues, tick: float, count: int) -> Floats:
    """Worth of screen over each tick: overlap with the upper quarter, middle half and lower quarter of the sands."""
    edges = layout.top_md + tick * np.arange(count + 1)
    worth: Floats = np.zeros(count)
    for sand, by_part in zip(layout.sands, values.pay, strict=True):
        top = max(sand.top_md, layout.top_md)
        cuts = top + (sand.base_md - top) * np.array([0.0, HIDDEN, 1.0 - HIDDEN, 1.0])
        for start, end, each in zip(cuts[:-1], cuts[1:], by_part, strict=True):
            worth += each * np.clip(np.minimum(edges[1:], end) - np.maximum(edges[:-1], start), 0.0, None)
    return worth


def _seats(layout: Layout, tick: float, count: int) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Sand above the barrier in which a seal joint may begin at each tick; -1: none."""
    starts = layout.top_md + tick * np.arange(count + 1)
    found = np.full(count + 1, -1, dtype=np.int64)
    for seat in layout.seats:
        for part in seat.stretches:
            fits = (starts >= part.top_md - TOUCH) & (starts + layout.seal_length <= part.base_md + TOUCH)
            found[fits] = seat.barrier.above
    return found


# ---- wishes -----------------------------------------------------------------------------------------------------


def with_wishes(
    problem: SplitProblem, layout: Layout, tick: float, pins: Sequence[Wish], forbids: Sequence[Wish]
) -> SplitProblem:
    """The problem with pieces that have to be there and others that may not. Raises CaseError for what is nowhere."""
    for pinned, wishes in ((True, pins), (False, forbids)):
        for wish in wishes:
            problem = _wished(problem, layout, tick, wish, pinned)
    return problem


def _wished(problem: SplitProblem, layout: Layout, tick: float, wish: Wish, pinned: bool) -> SplitProblem:
    seal = round(layout.seal_length / tick)
    if wish.what == "seal":
        place = _seal_starts(problem, layout, tick, wish, seal, pinned)
        if not pinned:
            return replace(problem, seats=np.where(place, -1, problem.seats))
        meant = {int(b) for b in problem.seats[place] if b >= 0}
        if len(meant) != 1:
            text = f"no seal joint of gauge hole inside one barrier lies there: {wish.words}"
            remedy = "Name one barrier, or depths inside one; `split` without wishes lists the seats."
            raise CaseError([Problem("", "split.pins", wish.words, text, remedy)])
        (barrier,) = meant
        seats = np.where((problem.seats == barrier) & ~place, -1, problem.seats)
        return replace(problem, seats=seats, required=problem.required | {barrier})
    inside = _ticks(layout, tick, wish, problem.length)
    other = "may_blank" if wish.what == "screen" else "may_screen"
    own = "may_screen" if wish.what == "screen" else "may_blank"
    if not pinned:
        return replace(problem, **{own: getattr(problem, own) & ~inside})
    closed = np.array([inside[k : k + seal].any() for k in range(problem.length + 1)])
    return replace(problem, **{other: getattr(problem, other) & ~inside}, seats=np.where(closed, -1, problem.seats))


def _seal_starts(
    problem: SplitProblem, layout: Layout, tick: float, wish: Wish, seal: int, pinned: bool
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Where a seal joint that a wish speaks of may begin."""
    starts = layout.top_md + tick * np.arange(problem.length + 1)
    if wish.barrier:
        above = {b.above for b in layout.barriers if b.name == wish.barrier}
        if not above:
            known = ", ".join(b.name for b in layout.barriers) or "none"
            raise CaseError([Problem("", "split", wish.barrier, "no barrier has this name", f"Known: {known}.")])
        return np.isin(problem.seats, list(above))
    top, base = _span(wish)
    ends = starts + seal * tick
    if pinned and base - top >= layout.seal_length - TOUCH:
        return (starts >= top - TOUCH) & (ends <= base + TOUCH)
    if pinned:
        return (starts <= top + TOUCH) & (ends >= base - TOUCH)
    return (starts < base - TOUCH) & (ends > top + TOUCH)


def _ticks(layout: Layout, tick: float, wish: Wish, count: int) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Ticks that overlap the depths of a wish."""
    top, base = _span(wish)
    edges = layout.top_md + tick * np.arange(count + 1)
    return (edges[:-1] < base - TOUCH) & (edges[1:] > top + TOUCH)


def _span(wish: Wish) -> tuple[float, float]:
    if wish.top_md is None:
        text = "a wish needs depths, or a seal the name of its barrier"
        remedy = 'Write such as "seal Fern / Moss" or "blank 2100 m to 2110 m".'
        raise CaseError([Problem("", "split", wish.words, text, remedy)])
    return wish.top_md, wish.base_md if wish.base_md is not None else wish.top_md

"""The best string of whole joints: pure combinatorics, knows no wells, no forecasts.

Depths are whole ticks from the top of the string. Value adds up along the string: joint by joint (what a screen is
worth where it stands, less what the joint costs), and zone by zone (what it is worth to be able to shut it later).
So dynamic programming along depth is exact: of all strings that reach a depth in the same state, the best one is
enough. A limit on cost is the one thing that does not fit into the state; it is met by a price on cost (Lagrange),
which gives a bound, and the gap to the bound is told.

State at a depth: seals so far; first sand of the zone that is open; whether that zone has a screen; and what stands
since its last screen: nothing (0), a blank long enough to set something in (1), or a seal that still lacks one (2).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import Cancelled

Floats = NDArray[np.float64]
NOTHING, SETTING, OWED = 0, 1, 2
LARGEST = 80_000_000  # numbers in the table of states; 8 bytes each
NEVER = -np.inf


@dataclass(frozen=True)
class Joint:
    """A kind of joint. ticks: its length; cost: of one. role: 'screen', 'blank' or 'seal'."""

    name: str
    role: str
    ticks: int
    cost: float


@dataclass(frozen=True)
class SplitProblem:
    """Everything the optimiser needs; depths are ticks below the top of the string.

    screen_worth [ticks]: of screen over each tick; seats [ticks + 1]: barrier in which a seal joint may begin at a
    depth, -1: none; barrier b lies between sands b and b + 1. shut_worth [sands, sands]: of being able to shut sands
    i to j together; the zone at the top counts only with a setting blank above it, the deepest needs one seal alone.
    may_screen, may_blank [ticks]: False where the user forbids. setting: least length of a setting blank.
    required: barriers that must have a seal. ends: least and greatest depth of the bottom. weight: value of a unit
    of cost.
    """

    joints: tuple[Joint, ...]
    screen_worth: Floats
    seats: NDArray[np.int64]
    shut_worth: Floats
    setting: int
    ends: tuple[int, int]
    may_screen: NDArray[np.bool_]
    may_blank: NDArray[np.bool_]
    required: frozenset[int] = frozenset()
    most_seals: int | None = None
    weight: float = 1.0

    @property
    def sands(self) -> int:
        """How many sands there are."""
        return int(self.shut_worth.shape[0])

    @property
    def length(self) -> int:
        """Ticks to the deepest possible bottom."""
        return self.ends[1]

    @property
    def seals(self) -> int:
        """Most seals."""
        free = self.sands - 1
        return free if self.most_seals is None else min(free, self.most_seals)

    @cached_property
    def worth_above(self) -> Floats:
        """Worth of screen from the top down to each depth [ticks + 1]."""
        return np.concatenate(([0.0], np.cumsum(self.screen_worth)))


@dataclass(frozen=True)
class SplitAnswer:
    """The best string: joints top-down (index into the problem's), value, cost, zones as (first, last sand, shuttable).

    by_seals: number of seals -> value of the best string with just as many, strings: its joints; both without a limit
    on cost. bound: no string is worth more.
    """

    joints: tuple[int, ...]
    value: float
    cost: float
    zones: tuple[tuple[int, int, bool], ...]
    by_seals: dict[int, float] = field(default_factory=dict)
    bound: float = float("nan")
    strings: dict[int, tuple[int, ...]] = field(default_factory=dict)

    @property
    def gap(self) -> float:
        """What the best string might be worth more; 0 where the answer is exact."""
        return max(self.bound - self.value, 0.0)


@dataclass(frozen=True)
class _Move:
    """Joints run in one go: one joint, or a setting blank of several."""

    joints: tuple[int, ...]
    ticks: int
    cost: float
    role: str  # 'screen', 'blank', 'setting', 'seal'


class TooLarge(ValueError):
    """The table of states does not fit into memory."""


def moves_of(problem: SplitProblem) -> list[_Move]:
    """Single joints, and every least collection of blank joints that makes a setting blank."""
    found = [_Move((k,), j.ticks, j.cost, j.role) for k, j in enumerate(problem.joints)]
    blanks = [k for k, j in enumerate(problem.joints) if j.role == "blank"]
    blanks.sort(key=lambda k: -problem.joints[k].ticks)

    def add(chosen: tuple[int, ...], ticks: int) -> None:
        if ticks >= problem.setting:
            cost = sum(problem.joints[k].cost for k in chosen)
            found.append(_Move(chosen, ticks, cost, "setting"))
            return
        start = blanks.index(chosen[-1]) if chosen else 0
        for k in blanks[start:]:  # longest first, so that every least collection is made once
            add((*chosen, k), ticks + problem.joints[k].ticks)

    add((), 0)
    return found


def solve(
    problem: SplitProblem,
    most_cost: float | None = None,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> SplitAnswer | None:
    """The best string; None where no string meets the constraints. Raises TooLarge, Cancelled.

    most_cost: greatest cost of all joints together. Without it the answer is exact (gap 0).
    """
    free = _best(problem, 0.0, progress, cancelled)
    if free is None or most_cost is None or free.cost <= most_cost + 1e-9:
        return free
    return _within(problem, most_cost, free, cancelled)


def _within(
    problem: SplitProblem, most_cost: float, free: SplitAnswer, cancelled: Callable[[], bool] | None
) -> SplitAnswer | None:
    """The best string found under a limit of cost, by bisection of the price on cost; with a proved bound."""
    low, high, best, bound = 0.0, max(problem.weight, 1e-12), None, free.value
    for _ in range(60):
        found = _best(problem, high, None, cancelled)
        assert found is not None  # the constraints are those of `free`
        bound = min(bound, found.value - high * (found.cost - most_cost))
        if found.cost <= most_cost + 1e-9:
            best = found
            break
        if high > 1e12 * problem.weight:
            return None  # even the cheapest string costs more
        low, high = high, 4.0 * high
    for _ in range(40):
        middle = 0.5 * (low + high)
        found = _best(problem, middle, None, cancelled)
        assert found is not None
        bound = min(bound, found.value - middle * (found.cost - most_cost))
        if found.cost <= most_cost + 1e-9:
            high = middle
            best = found if best is None or found.value > best.value else best
        else:
            low = middle
        if best is not None and bound - best.value <= 1e-9 * max(abs(bound), 1.0):
            break
    if best is None:
        return None
    return SplitAnswer(best.joints, best.value, best.cost, best.zones, free.by_seals, bound, free.strings)


# ---- dynamic programming ----------------------------------------------------------------------------------------
# Table [ticks + 1, seals + 1, starts, 2, 3]. starts: 0 the zone at the top, without a setting blank above its first
# screen; 1 the same with one; s + 1 the zone that begins with sand s.


def _best(
    problem: SplitProblem,
    price: float,
    progress: Callable[[float, str], None] | None,
    cancelled: Callable[[], bool] | None,
) -> SplitAnswer | None:
    table = _filled(problem, price, progress, cancelled)
    ends = _ends(problem)
    least, greatest = problem.ends
    final = table[least : greatest + 1, :, :, 1, :2] + ends[None, None, :, None]
    by_seals = {
        count: float(best) for count in range(problem.seals + 1) if (best := float(final[:, count].max())) > NEVER
    }
    if not by_seals:
        return None

    def best_with(count: int) -> tuple[int, ...]:
        place = np.unravel_index(int(np.argmax(final[:, count])), final[:, count].shape)
        depth, start, phase = int(place[0]) + least, int(place[1]), int(place[2])
        return tuple(_traced(problem, table, price, (depth, count, start, 1, phase)))

    best = int(np.unravel_index(int(np.argmax(final)), final.shape)[1])
    strings = {count: best_with(count) for count in (by_seals if price == 0.0 else (best,))}
    value, cost, zones = value_of(problem, strings[best])
    told = (by_seals, strings) if price == 0.0 else ({}, {})
    return SplitAnswer(strings[best], value, cost, tuple(zones), told[0], value, told[1])


def _filled(
    problem: SplitProblem,
    price: float,
    progress: Callable[[float, str], None] | None,
    cancelled: Callable[[], bool] | None,
) -> Floats:
    shape = (problem.length + 1, problem.seals + 1, problem.sands + 1, 2, 3)
    if np.prod(shape, dtype=np.float64) > LARGEST:
        raise TooLarge(f"{problem.length} steps of depth and {problem.sands} sands")
    table: Floats = np.full(shape, NEVER)
    table[0, 0, 0, 0, NOTHING] = 0.0
    moves = moves_of(problem)
    for depth in range(problem.length):
        if depth % 512 == 0:
            if cancelled is not None and cancelled():
                raise Cancelled("cancelled")
            if progress is not None:
                progress(depth / problem.length, "placing joints")
        here = table[depth]
        if here.max() == NEVER:
            continue
        for move in moves:
            _push(problem, table, here, depth, move, price)
    return table


def _gain(problem: SplitProblem, depth: int, move: _Move, price: float) -> float:
    """What a move brings by itself; NEVER where it may not stand there."""
    end = depth + move.ticks
    if end > problem.length:
        return NEVER
    gain = -(problem.weight + price) * move.cost
    if move.role == "screen":
        if not problem.may_screen[depth:end].all():
            return NEVER
        return gain + float(problem.worth_above[end] - problem.worth_above[depth])
    if move.role == "seal":
        return gain if problem.seats[depth] >= 0 else NEVER
    return gain if problem.may_blank[depth:end].all() else NEVER


def _push(problem: SplitProblem, table: Floats, here: Floats, depth: int, move: _Move, price: float) -> None:
    """Carry every state at a depth on by one move."""
    gain = _gain(problem, depth, move, price)
    if gain == NEVER:
        return
    there = table[depth + move.ticks]
    if move.role == "blank":
        np.maximum(there, here + gain, out=there)
    elif move.role == "setting":
        np.maximum(there[..., SETTING], here.max(axis=-1) + gain, out=there[..., SETTING])
    elif move.role == "screen":
        stands = here[..., :OWED].max(axis=-1) + gain  # a seal without its setting blank takes no screen yet
        first = here[:, 0, 0, SETTING] + gain  # the first screen of the well, below a setting blank
        plain = here[:, 0, 0, NOTHING] + gain
        np.maximum(there[:, 1:, 1, NOTHING], stands[:, 1:].max(axis=-1), out=there[:, 1:, 1, NOTHING])
        opened = np.maximum(plain, stands[:, 0, 1])
        np.maximum(there[:, 0, 1, NOTHING], opened, out=there[:, 0, 1, NOTHING])
        np.maximum(there[:, 1, 1, NOTHING], first, out=there[:, 1, 1, NOTHING])
    else:
        _push_seal(problem, here, there, int(problem.seats[depth]), gain)


def _push_seal(problem: SplitProblem, here: Floats, there: Floats, barrier: int, gain: float) -> None:
    """A seal in a barrier ends the zone above it, which has to have a screen."""
    for start in range(barrier + 2):
        if not _may_end(problem, start, barrier):
            continue
        worth = gain + _zone_worth(problem, start, barrier)
        for phase, after in ((NOTHING, OWED), (SETTING, SETTING)):
            arrived = here[:-1, start, 1, phase] + worth
            target = there[1:, barrier + 2, 0, after]
            np.maximum(target, arrived, out=target)


def _first(start: int) -> int:
    """First sand of the zone of a start."""
    return max(start - 1, 0)


def _may_end(problem: SplitProblem, start: int, barrier: int) -> bool:
    """Whether a zone may reach down to a barrier: no barrier that must have a seal lies inside it."""
    first = _first(start)
    return first <= barrier and not any(first <= b < barrier for b in problem.required)


def _zone_worth(problem: SplitProblem, start: int, last: int) -> float:
    """Worth of being able to shut a zone; none at the top without a setting blank above it, none for the whole well."""
    first = _first(start)
    if start == 0 or (first == 0 and last == problem.sands - 1):
        return 0.0
    return float(problem.shut_worth[first, last])


def _ends(problem: SplitProblem) -> Floats:
    """What the deepest zone adds at the bottom, by start; NEVER where a barrier that must have a seal has none."""
    last = problem.sands - 1
    worth = [
        _zone_worth(problem, start, last) if _may_end(problem, start, last) else NEVER
        for start in range(problem.sands + 1)
    ]
    return np.array(worth)


def _traced(
    problem: SplitProblem, table: Floats, price: float, state: tuple[int, int, int, int, int]
) -> list[int]:  # fmt: skip
    """Joints of the best string that ends in a state, by looking for the move that made it."""
    moves = moves_of(problem)
    chosen: list[int] = []
    while state != (0, 0, 0, 0, NOTHING):
        move, state = _came_from(problem, table, price, moves, state)
        chosen.extend(reversed(move.joints))
    return chosen[::-1]


def _came_from(
    problem: SplitProblem, table: Floats, price: float, moves: Sequence[_Move], state: tuple[int, int, int, int, int]
) -> tuple[_Move, tuple[int, int, int, int, int]]:
    depth, value = state[0], table[state]
    slack = 1e-12 * max(1.0, abs(float(value)))  # of equals the first move is taken: long joints before short ones
    best: tuple[float, _Move, tuple[int, int, int, int, int]] | None = None
    for move in moves:
        if move.ticks > depth:
            continue
        gain = _gain(problem, depth - move.ticks, move, price)
        if gain == NEVER:
            continue
        for before, more in _before(problem, move, state):
            error = abs(table[before] + gain + more - value)
            if error <= slack:
                return move, before
            if np.isfinite(error) and (best is None or error < best[0]):
                best = (float(error), move, before)
    assert best is not None
    return best[1], best[2]


def _before(
    problem: SplitProblem, move: _Move, state: tuple[int, int, int, int, int]
) -> list[tuple[tuple[int, int, int, int, int], float]]:
    """States from which a move leads to a state, with the worth of a zone that it ends."""
    depth, count, start, has, phase = state
    above = depth - move.ticks
    if move.role == "blank":
        return [((above, count, start, has, phase), 0.0)]
    if move.role == "setting":
        return [((above, count, start, has, p), 0.0) for p in range(3)] if phase == SETTING else []
    if move.role == "screen":
        if has != 1 or phase != NOTHING:
            return []
        if start == 0:
            return [((above, count, 0, 0, NOTHING), 0.0)] + [((above, count, 0, 1, p), 0.0) for p in (0, 1)]
        found = [((above, count, start, h, p), 0.0) for h in (0, 1) for p in (0, 1)]
        return found + ([((above, count, 0, 0, SETTING), 0.0)] if start == 1 else [])
    barrier = int(problem.seats[above])
    if has != 0 or count == 0 or start != barrier + 2 or phase not in (SETTING, OWED):
        return []
    before = SETTING if phase == SETTING else NOTHING
    return [
        ((above, count - 1, s, 1, before), _zone_worth(problem, s, barrier))
        for s in range(barrier + 2)
        if _may_end(problem, s, barrier)
    ]


# ---- a string judged by itself ----------------------------------------------------------------------------------


def faults_of(problem: SplitProblem, joints: Sequence[int]) -> list[str]:
    """Constraints that a string of joints breaks; empty for one that is allowed. Knows nothing of the optimiser."""
    return _judged(problem, joints)[0]


def value_of(problem: SplitProblem, joints: Sequence[int]) -> tuple[float, float, list[tuple[int, int, bool]]]:
    """Value and cost of a string, and its zones: first and last sand, whether it can be shut on its own later."""
    return _judged(problem, joints)[1:]


def _judged(
    problem: SplitProblem, joints: Sequence[int]
) -> tuple[list[str], float, float, list[tuple[int, int, bool]]]:
    faults: list[str] = []
    depth, cost, worth = 0, 0.0, 0.0
    cuts: list[tuple[int, bool]] = []  # barrier of each seal, whether a setting blank lies in its gap
    run, longest, sealed, screens = 0, 0, False, 0
    above_first = False
    for k in joints:
        joint = problem.joints[k]
        end = depth + joint.ticks
        if end > problem.length:
            return [*faults, "too long"], NEVER, cost, []
        cost += joint.cost
        run = run + joint.ticks if joint.role == "blank" else 0
        longest = max(longest, run)
        if joint.role == "screen":
            above_first = above_first or (not cuts and screens == 0 and longest >= problem.setting)
            if sealed and longest < problem.setting:
                faults.append("a seal without a setting blank")
            longest, sealed, screens = 0, False, screens + 1
            worth += float(problem.screen_worth[depth:end].sum())
            faults += [] if problem.may_screen[depth:end].all() else ["a screen where none may be"]
        elif joint.role == "seal":
            barrier = int(problem.seats[depth])
            faults += [] if barrier >= 0 else ["a seal outside its seats"]
            faults += [] if screens else ["a zone without a screen"]
            faults += [] if not cuts or barrier > cuts[-1][0] else ["two seals in one barrier"]
            cuts.append((barrier, True))
            sealed, screens = True, 0
        elif not problem.may_blank[depth:end].all():
            faults.append("blank pipe where none may be")
        depth = end
    faults += [] if screens else ["a zone without a screen"]
    faults += [] if problem.ends[0] <= depth <= problem.ends[1] else ["the bottom is not where it should be"]
    faults += [] if len(cuts) <= problem.seals else ["too many seals"]
    faults += [] if problem.required <= {b for b, _ in cuts} else ["a seal that must be there is missing"]
    zones, first = [], 0
    for last in (*(b for b, _ in cuts), problem.sands - 1):
        whole = first == 0 and last == problem.sands - 1
        shuttable = not whole and (first > 0 or above_first)
        zones.append((first, last, shuttable))
        worth += float(problem.shut_worth[first, last]) if shuttable and first <= last else 0.0
        first = last + 1
    return faults, worth - problem.weight * cost, cost, zones

"""The optimiser against enumeration of every string, and its answers against the constraints."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.base.errors import Cancelled
from planner.decide.split_optimise import Joint, SplitProblem, TooLarge, faults_of, moves_of, solve, value_of


def every_string(problem: SplitProblem) -> Iterator[list[int]]:
    """All sequences of joints that end in the range of bottoms."""

    def longer(chosen: list[int], depth: int) -> Iterator[list[int]]:
        if depth >= problem.ends[0]:
            yield chosen
        for k, joint in enumerate(problem.joints):
            if depth + joint.ticks <= problem.ends[1]:
                yield from longer([*chosen, k], depth + joint.ticks)

    yield from longer([], 0)


def best_of_all(problem: SplitProblem, most_cost: float = np.inf) -> float | None:
    """Value of the best allowed string, by looking at all of them."""
    allowed = (value_of(problem, string) for string in every_string(problem) if not faults_of(problem, string))
    return max((value for value, cost, _ in allowed if cost <= most_cost + 1e-9), default=None)


@st.composite
def problems(draw: st.DrawFn) -> SplitProblem:
    """One to three sands in up to 9 ticks, joints of 1 to 3 ticks, everything else at random."""
    sands = draw(st.integers(1, 3))
    sizes = draw(st.sampled_from([(2, 2, 1), (2, 1, 2), (1, 2, 2), (2, 3, 1), (3, 2, 2), (2, 2, 2)]))
    length = draw(st.integers(5, 9))
    money = st.floats(0.0, 5.0).map(lambda x: round(x, 2))
    joints = [
        Joint(role, role, size, draw(money)) for role, size in zip(("screen", "blank", "seal"), sizes, strict=True)
    ]
    if draw(st.booleans()):
        joints.append(Joint("pup", "blank", draw(st.integers(1, 2)), draw(money)))
        length = min(length, 7)
    worth = np.array(draw(st.lists(st.floats(-1.0, 6.0), min_size=length, max_size=length)))
    barriers = st.integers(-1, sands - 2)
    seats = np.array([*sorted(draw(st.lists(barriers, min_size=length, max_size=length))), -1])
    shut = np.array(draw(st.lists(money, min_size=sands * sands, max_size=sands * sands))).reshape(sands, sands)
    least = draw(st.integers(max(length - 3, 1), length))
    flags = st.lists(st.sampled_from([True] * 9 + [False]), min_size=length, max_size=length)
    required = draw(st.sets(st.integers(0, sands - 2), max_size=1)) if sands > 1 and draw(st.booleans()) else set()
    return SplitProblem(
        tuple(joints), worth, seats, 4.0 * shut, draw(st.integers(1, 4)), (least, length), np.array(draw(flags)),
        np.array(draw(flags)), frozenset(required), draw(st.sampled_from([None, 0, 1, 2])),
        draw(st.sampled_from([1.0, 0.6])),
    )  # fmt: skip


@given(problem=problems())
@settings(max_examples=100, deadline=None)
def test_the_optimum_equals_enumeration(problem: SplitProblem) -> None:
    wanted, found = best_of_all(problem), solve(problem)
    assert (wanted is None) == (found is None)
    if found is not None:
        assert found.value == pytest.approx(wanted, abs=1e-9) and found.gap == 0.0


@given(problem=problems(), share=st.floats(0.3, 1.0))
@settings(max_examples=40, deadline=None)
def test_under_a_limit_of_cost_the_bound_holds_and_the_string_keeps_it(problem: SplitProblem, share: float) -> None:
    free = solve(problem)
    if free is None:
        return
    limit = share * free.cost
    wanted, found = best_of_all(problem, limit), solve(problem, limit)
    if found is None:
        assert wanted is None
        return
    assert wanted is not None and found.cost <= limit + 1e-9
    assert found.value <= wanted + 1e-9 <= found.bound + 2e-9
    assert not faults_of(problem, found.joints)


@given(problem=problems())
@settings(max_examples=100, deadline=None)
def test_constraints_are_never_violated(problem: SplitProblem) -> None:
    found = solve(problem)
    if found is None:
        return
    assert faults_of(problem, found.joints) == []
    ticks = [problem.joints[k].ticks for k in found.joints]
    assert problem.ends[0] <= sum(ticks) <= problem.ends[1]
    assert found.cost == pytest.approx(sum(problem.joints[k].cost for k in found.joints))
    assert [zone[0] for zone in found.zones[1:]] == [zone[1] + 1 for zone in found.zones[:-1]]


@given(problem=problems())
@settings(max_examples=40, deadline=None)
def test_more_seals_allowed_are_never_worse_and_the_curve_says_so(problem: SplitProblem) -> None:
    """The best over the curve is the optimum, and each point of it is the optimum at just as many seals."""
    found = solve(problem)
    if found is None:
        return
    assert max(found.by_seals.values()) == pytest.approx(found.value, abs=1e-9)
    for count, value in found.by_seals.items():
        with_fewer = solve(SplitProblem(**{**vars_of(problem), "most_seals": count}))
        assert with_fewer is not None and with_fewer.value >= value - 1e-9


def vars_of(problem: SplitProblem) -> dict[str, object]:
    return {name: getattr(problem, name) for name in SplitProblem.__dataclass_fields__}


def plain(length: int = 40, sands: int = 3) -> SplitProblem:
    """Sands of 8 ticks with 8 ticks of shale between, seats in all of the shale."""
    worth = np.zeros(length)
    seats = np.full(length + 1, -1)
    for k in range(sands):
        worth[16 * k : 16 * k + 8] = 1.0
        if k < sands - 1:
            seats[16 * k + 8 : 16 * k + 15] = k
    joints = (Joint("screen", "screen", 4, 0.5), Joint("blank", "blank", 4, 0.1), Joint("seal", "seal", 2, 1.0),
              Joint("pup", "blank", 2, 0.08))  # fmt: skip
    return SplitProblem(joints, worth, seats, np.full((sands, sands), 5.0), 4, (length - 4, length),
                        np.ones(length, dtype=bool), np.ones(length, dtype=bool))  # fmt: skip


def test_a_plain_well_gets_a_seal_in_every_barrier():
    """By hand: three sands of 8 at 1 a tick, 6 screens at 0.5, 2 seals at 1; the lower two sands can be shut (5 each),
    the top one too if 4 ticks of blank above it cost less than 5 and the screen that they displace: 4."""
    problem = plain()
    found = solve(problem)
    assert found is not None
    assert [problem.joints[k].name for k in found.joints].count("seal") == 2
    assert [zone[:2] for zone in found.zones] == [(0, 0), (1, 1), (2, 2)]
    assert all(zone[2] for zone in found.zones)


def test_a_required_barrier_gets_its_seal_even_at_a_loss():
    problem = plain()
    poor = SplitProblem(**{**vars_of(problem), "shut_worth": np.zeros((3, 3))})
    free = solve(poor)
    assert free is not None and len(free.zones) == 1
    forced = solve(SplitProblem(**{**vars_of(poor), "required": frozenset({1})}))
    assert forced is not None and [zone[:2] for zone in forced.zones] == [(0, 1), (2, 2)]
    assert forced.value < free.value


def test_a_setting_blank_is_made_of_every_least_collection():
    problem = plain()
    collections = sorted(
        tuple(problem.joints[k].name for k in m.joints) for m in moves_of(problem) if m.role == "setting"
    )
    assert collections == [("blank",), ("pup", "pup")]


def test_no_string_is_none():
    problem = SplitProblem(**{**vars_of(plain()), "may_screen": np.zeros(40, dtype=bool)})
    assert solve(problem) is None


def test_a_budget_below_every_string_is_none():
    assert solve(plain(), most_cost=0.01) is None


def test_progress_and_cancel():
    told: list[float] = []
    assert solve(plain(), progress=lambda share, text: told.append(share)) is not None
    assert told and told[0] == 0.0
    with pytest.raises(Cancelled):
        solve(plain(), cancelled=lambda: True)


def test_a_table_that_does_not_fit_is_refused():
    problem = plain()
    big = SplitProblem(**{**vars_of(problem), "ends": (39_000_000, 40_000_000)})
    with pytest.raises(TooLarge):
        solve(big)

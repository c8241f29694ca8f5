"""The best set of jobs against enumeration of all sets, and against a knapsack worked by hand."""

from __future__ import annotations

import dataclasses
import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.base.errors import CaseError, ForecastError, Problem
from planner.decide import options as options_room
from planner.decide.cure import NOTHING
from planner.decide.portfolio import Allowed, best_set, cheapest_better_set, duals, groups_of, plan
from planner.model.cures import Cure, JobOutlook, Trouble
from planner.model.portfolio import Option, Portfolio
from tests.unit.synthetic import made_case

Sets = list[tuple[int, ...]]


def option(name: str, value: float, cost: float, rig: float = 0.0, well: str = "") -> Option:
    return Option(well or name, name, value, cost, rig)


def sets(options: list[Option], allowed: Allowed) -> Sets:
    """Every set that the limits allow."""
    found = []
    for size in range(len(options) + 1):
        for places in combinations(range(len(options)), size):
            cost = sum(options[k].cost for k in places)
            rig = sum(options[k].rig_time for k in places)
            apart = all(len(set(places) & set(group)) < 2 for group in allowed.groups)
            if cost <= allowed.budget * (1 + 1e-12) and rig <= allowed.rig_time * (1 + 1e-12) and apart:
                found.append(places)
    return found


def worth(options: list[Option], places: tuple[int, ...]) -> float:
    return sum(options[k].value for k in places)


numbers = st.integers(1, 40)
problems = st.tuples(
    st.lists(st.tuples(st.integers(-10, 60), numbers, st.integers(0, 9)), min_size=1, max_size=7),
    st.integers(0, 90),
    st.integers(0, 25),
    st.sets(st.integers(0, 6), max_size=3),
)


def made(problem) -> tuple[list[Option], Allowed]:
    rows, budget, days, group = problem
    options = [option(f"job {k}", 1e6 * one[0], 1e5 * one[1], 86400.0 * one[2]) for k, one in enumerate(rows)]
    members = tuple(sorted(place for place in group if place < len(options)))
    return options, Allowed(1e5 * budget, 86400.0 * days, (members,) if len(members) > 1 else ())


@settings(max_examples=15, deadline=None)
@given(problems)
def test_the_best_set_is_that_of_enumeration(problem):
    options, allowed = made(problem)
    found = best_set(options, allowed)
    assert found.places in sets(options, allowed)
    assert found.value == pytest.approx(max(worth(options, places) for places in sets(options, allowed)))


@settings(max_examples=15, deadline=None)
@given(problems)
def test_the_next_budget_is_the_least_at_which_enumeration_does_better(problem):
    options, allowed = made(problem)
    best = best_set(options, allowed).value
    found = cheapest_better_set(options, allowed, best)
    free = Allowed(math.inf, allowed.rig_time, allowed.groups)
    better = [places for places in sets(options, free) if worth(options, places) > best + 1.0]
    if not better:
        assert found is None
    else:
        assert found.cost == pytest.approx(min(sum(options[k].cost for k in places) for places in better))
        assert found.value > best


@settings(max_examples=15, deadline=None)
@given(problems)
def test_what_a_missed_job_misses_by_is_that_of_enumeration(problem):
    options, allowed = made(problem)
    for missed in plan(options, allowed).missed:
        place = options.index(missed.option)
        with_it = [worth(options, places) for places in sets(options, allowed) if place in places]
        if missed.option.value <= 0.0:
            assert missed.why == "it is worth nothing"
        elif with_it:
            best = max(worth(options, places) for places in sets(options, allowed))
            assert missed.loss == pytest.approx(best - max(with_it), abs=1.0)
        else:
            assert missed.why and math.isnan(missed.loss)


BY_HAND = [option("a", 60.0, 10.0), option("b", 100.0, 20.0), option("c", 120.0, 30.0)]


def test_a_knapsack_by_hand():
    """Values 60, 100, 120 at costs 10, 20, 30 and a budget of 50: b and c, 220; a textbook example, from memory."""
    found = plan(BY_HAND, Allowed(50.0))
    assert [found.options[k].name for k in found.chosen.places] == ["b", "c"]
    assert (found.chosen.value, found.chosen.cost) == (220.0, 50.0)
    assert (found.next_budget, found.next_value) == (60.0, 280.0)
    (missed,) = found.missed
    assert missed.option.name == "a" and missed.loss == pytest.approx(220.0 - 180.0)
    assert missed.budget_needed == pytest.approx(60.0)


def test_the_dual_is_the_value_per_cost_of_the_job_done_in_part():
    """In parts: a and b whole, two thirds of c; one more unit buys 120 / 30 = 4 of c (fractional knapsack, Dantzig)."""
    assert duals(BY_HAND, Allowed(50.0))[0] == pytest.approx(4.0)
    assert duals(BY_HAND, Allowed(1000.0))[0] == pytest.approx(0.0)
    assert duals(BY_HAND, Allowed()) == (0.0, 0.0)


def test_the_dual_of_rig_time():
    options = [option("a", 60.0, 0.0, 2.0), option("b", 40.0, 0.0, 4.0)]
    assert duals(options, Allowed(math.inf, 3.0)) == pytest.approx((0.0, 10.0))


def test_one_job_a_well_and_named_groups():
    rows = (("A", "plug", 5.0), ("A", "choke", 4.0), ("B", "plug", 3.0))
    options = [option(name, value, 1.0, well=one) for one, name, value in rows]
    assert groups_of(options, [], several_a_well=False) == ((0, 1),)
    assert groups_of(options, [["A: plug", "B: plug"]], several_a_well=True) == ((0, 2),)
    found = plan(options, Allowed(groups=groups_of(options, [["A: plug", "B: plug"]], several_a_well=False)))
    assert found.chosen.value == 7.0  # choke A, plug B
    with pytest.raises(CaseError, match="no job has this name"):
        groups_of(options, [["A: plug", "C: plug"]], several_a_well=False)


def test_the_curve_never_falls_and_ends_with_everything():
    found = plan(BY_HAND, Allowed(50.0))
    assert list(found.values) == sorted(found.values)
    assert (found.budgets[0], found.values[0]) == (0.0, 0.0)
    assert (found.budgets[-1], found.values[-1]) == (60.0, 280.0)
    assert 50.0 in found.budgets


def test_nothing_to_choose_from():
    found = plan([], Allowed(10.0))
    assert found.chosen.places == () and math.isnan(found.next_budget)
    assert np.isfinite(found.dual)


def by_table(options: list[Option], budget: int) -> float:
    """Best value of one job a well at most: the table of the multiple-choice knapsack over whole costs (Sinha 1979)."""
    best = np.zeros(budget + 1)
    for well in dict.fromkeys(one.well for one in options):
        before = best.copy()
        for one in (one for one in options if one.well == well and one.cost <= budget):
            cost = int(one.cost)
            best[cost:] = np.maximum(best[cost:], before[: budget + 1 - cost] + one.value)
    return float(best[-1])


def test_thirty_wells_and_a_hundred_jobs_are_solved_exactly_and_without_a_word(capfd):
    """Against dynamic programming; the solver must not write into what is a JSON document on the same output."""
    rng = np.random.default_rng(7)
    options = [option(f"job {k}", float(rng.integers(-30, 120)), float(rng.integers(1, 60)), well=f"w{k % 30}")
               for k in range(100)]  # fmt: skip
    groups = groups_of(options, [], several_a_well=False)
    for budget in (40, 137, 300):
        assert best_set(options, Allowed(float(budget), groups=groups)).value == pytest.approx(
            by_table(options, budget)
        )
    plan(options, Allowed(137.0, groups=groups))
    assert capfd.readouterr() == ("", "")


def outlook(name: str, value: float) -> JobOutlook:
    return dataclasses.replace(NOTHING, name=name, do="shut zone", value=value, cost=1.0, best_date="2030-01-01")


def fails(reason: Exception):
    def run(case, *_, **__):
        if case.well.name == "bad":
            raise reason
        jobs = (outlook("shut it", 5.0), NOTHING)
        trouble = Trouble("", *[0.0] * 9, 0, "dry", "dry", ())
        return Cure(case.well.name, "oil producer", "2030-01-01", "", "base", trouble, (), jobs, (), 1, 0.0)

    return run


@pytest.mark.parametrize("reason", [
    ForecastError("the step on 2031-02-01 does not converge"),
    CaseError([Problem("", "well.kind", "water injector", "an injector makes no water", "Ask it of a producer.")]),
])  # fmt: skip
def test_a_well_that_cannot_be_computed_is_told_and_the_others_go_on(monkeypatch, reason):
    monkeypatch.setattr(options_room, "cure", fails(reason))
    hole = [{"md": "0 m", "diameter": "216 mm"}]
    good, bad = (made_case(well={"name": name, "hole": hole}) for name in ("good", "bad"))
    found = options_room.plan_of(Portfolio(), {"Good 1": good, "Bad 2": bad})
    assert [found.options[k].key for k in found.chosen.places] == ["Good 1: shut it"]
    words = str(reason) if isinstance(reason, ForecastError) else "an injector makes no water"
    assert f"Bad 2 is left out: {words}" in found.notes
    with pytest.raises(ForecastError, match="no well could be computed"):
        options_room.plan_of(Portfolio(), {"Bad 2": bad})

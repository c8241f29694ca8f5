"""The best set of jobs across wells under one budget, limited rig time and groups that exclude each other.

An integer programme (scipy.optimize.milp, HiGHS): solved to no gap, so the set is the best there is. The value of more
budget is found by solving again; the dual of the linear relaxation (jobs done in part) stands beside it as a hint.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, OptimizeResult, linprog, milp

from planner.base.errors import CaseError, Problem
from planner.decide.silent import silent
from planner.model.portfolio import Chosen, Missed, Option, PortfolioPlan
from planner.model.results import Floats

POINTS = 25  # of the curve of value against budget
BETTER = 1e-4  # of the largest value: less is no better; well above the tolerance of the solver
Group = tuple[int, ...]


@dataclass(frozen=True)
class Allowed:
    """What a set may take: budget in the currency, rig time in s, groups of options of which one at most is chosen."""

    budget: float = np.inf
    rig_time: float = np.inf
    groups: tuple[Group, ...] = ()


def best_set(options: Sequence[Option], allowed: Allowed, forced: int | None = None) -> Chosen | None:
    """The set of the largest value; of several such sets any one. None where no set holds the forced option.

    Options worth nothing or less are never chosen, unless forced.
    """
    if not options:
        return Chosen((), 0.0, 0.0, 0.0)
    values = np.array([one.value for one in options])
    least = np.zeros(len(options))
    if forced is not None:
        least[forced] = 1.0
    most = np.where((values > 0.0) | (least > 0.0), 1.0, 0.0)
    return _chosen(options, _solved(-values / _size(values), Bounds(least, most), _constraints(options, allowed)))


def _solved(objective: Floats, bounds: Bounds, constraints: list[LinearConstraint]) -> OptimizeResult:
    """The least of an objective over whole numbers, to no gap."""
    whole = np.ones(len(objective), dtype=np.int64)
    with silent():
        return milp(objective, integrality=whole, bounds=bounds, constraints=constraints, options={"mip_rel_gap": 0.0})


def cheapest_better_set(options: Sequence[Option], allowed: Allowed, than: float) -> Chosen | None:
    """The set that costs least among those worth more than a value, whatever the budget; None where there is none."""
    values = np.array([one.value for one in options])
    if not options:
        return None
    size = _size(values)
    costs = np.array([one.cost for one in options])
    more = LinearConstraint(values[None, :] / size, than / size + BETTER, np.inf)
    free = Allowed(np.inf, allowed.rig_time, allowed.groups)
    bounds = Bounds(0.0, np.where(values > 0.0, 1.0, 0.0))
    least = _chosen(options, _solved(costs / _size(costs), bounds, [more, *_constraints(options, free)]))
    return None if least is None else best_set(options, Allowed(least.cost, allowed.rig_time, allowed.groups))


def duals(options: Sequence[Option], allowed: Allowed) -> tuple[float, float]:
    """Value of one more unit of budget and of one more s of rig time where jobs could be done in part."""
    limits = [(allowed.budget, [one.cost for one in options]), (allowed.rig_time, [one.rig_time for one in options])]
    if not options or not any(np.isfinite(limit) for limit, _ in limits):
        return 0.0, 0.0
    rows = [(limit, np.asarray(row)) for limit, row in limits if np.isfinite(limit)]
    rows += [(1.0, np.isin(np.arange(len(options)), group).astype(np.float64)) for group in allowed.groups]
    values = np.array([one.value for one in options])
    scales = [max(float(np.abs(row).max()), 1e-30) for _, row in rows]
    found = linprog(
        -values / _size(values), A_ub=np.array([row / s for (_, row), s in zip(rows, scales, strict=True)]),
        b_ub=np.array([limit / s for (limit, _), s in zip(rows, scales, strict=True)]), bounds=(0.0, 1.0),
    )  # fmt: skip
    marginals = iter(-found.ineqlin.marginals * _size(values) / np.array(scales))
    return tuple(float(next(marginals)) if np.isfinite(limit) else 0.0 for limit, _ in limits)  # type: ignore[return-value]


def plan(
    options: Sequence[Option], allowed: Allowed, *, title: str = "", currency: str = "money", date: str = "",
    notes: Iterable[str] = (),
) -> PortfolioPlan:  # fmt: skip
    """The best set, the options that just miss it, and what more budget would be worth."""
    chosen = best_set(options, allowed)
    if chosen is None:
        raise ValueError("the empty set breaks a limit: a budget or rig time below nought")
    better = cheapest_better_set(options, allowed, chosen.value)
    dual, dual_rig = duals(options, allowed)
    sets = {budget: best_set(options, replace(allowed, budget=budget)) for budget in _budgets(options, allowed.budget)}
    curve = {budget: one for budget, one in sets.items() if one is not None}
    missed = [_missed(options, allowed, chosen, k, curve) for k in range(len(options)) if k not in chosen.places]
    return PortfolioPlan(
        title, currency, date, tuple(options), chosen, allowed.budget, allowed.rig_time, dual, dual_rig,
        next_budget=better.cost if better else float("nan"), next_value=better.value if better else float("nan"),
        next_set=better.places if better else (),
        budgets=tuple(curve), values=tuple(one.value for one in curve.values()),
        missed=tuple(sorted(missed, key=lambda one: (one.loss if np.isfinite(one.loss) else np.inf))),
        notes=tuple(notes),
    )  # fmt: skip


def groups_of(options: Sequence[Option], exclusive: Iterable[Sequence[str]], several_a_well: bool) -> tuple[Group, ...]:
    """Groups of options of which one at most is chosen: those of a well, and those named 'well: job'.

    Raises CaseError for a name that no option has.
    """
    places = {one.key: place for place, one in enumerate(options)}
    groups: list[Group] = []
    problems = []
    for number, names in enumerate(exclusive, start=1):
        unknown = [name for name in names if name not in places]
        remedy = f"Jobs that can be done: {'; '.join(places)}."
        problems += [
            Problem("portfolio.toml", f"exclusive[{number}]", name, "no job has this name", remedy) for name in unknown
        ]
        groups.append(tuple(places[name] for name in names if name in places))
    if problems:
        raise CaseError(problems)
    if not several_a_well:
        for well in dict.fromkeys(one.well for one in options):
            groups.append(tuple(place for place, one in enumerate(options) if one.well == well))
    return tuple(group for group in groups if len(group) > 1)


Curve = dict[float, Chosen]  # best set by budget


def _missed(options: Sequence[Option], allowed: Allowed, chosen: Chosen, place: int, curve: Curve) -> Missed:
    one = options[place]
    if one.value <= 0.0:
        return Missed(one, float("nan"), "it is worth nothing", float("nan"))
    needed = _budget_needed(allowed, place, curve)
    if one.cost > allowed.budget:
        return Missed(one, float("nan"), "it costs more than the budget", needed)
    if one.rig_time > allowed.rig_time:
        return Missed(one, float("nan"), "it takes more rig time than there is", needed)
    with_it = best_set(options, allowed, forced=place)
    loss = chosen.value - with_it.value if with_it is not None else float("nan")
    return Missed(one, loss, "", needed)


def _budget_needed(allowed: Allowed, place: int, curve: Curve) -> float:
    """Least budget of the curve, no less than the one given, at which the best set found holds the option."""
    least = allowed.budget if np.isfinite(allowed.budget) else 0.0
    return next((budget for budget, one in curve.items() if budget >= least and place in one.places), float("nan"))


def _budgets(options: Sequence[Option], budget: float) -> list[float]:
    """Budgets of the curve: from nought to the cost of everything, the one asked for among them."""
    whole = sum(one.cost for one in options if one.value > 0.0)
    found = set(np.linspace(0.0, whole, POINTS).tolist()) | ({budget} if np.isfinite(budget) else set())
    return sorted(found)


def _constraints(options: Sequence[Option], allowed: Allowed) -> list[LinearConstraint]:
    """Budget, rig time and groups, each scaled to its own size."""
    found = []
    for limit, row in ((allowed.budget, [o.cost for o in options]), (allowed.rig_time, [o.rig_time for o in options])):
        if np.isfinite(limit):
            scale = _size(np.array([limit, *row]))
            found.append(LinearConstraint(np.array([row]) / scale, -np.inf, limit / scale * (1.0 + 1e-12)))
    for group in allowed.groups:
        one = np.isin(np.arange(len(options)), group).astype(np.float64)
        found.append(LinearConstraint(one[None, :], -np.inf, 1.0))
    return found


def _chosen(options: Sequence[Option], found: OptimizeResult) -> Chosen | None:
    if found.x is None:
        return None
    places = tuple(int(place) for place in np.flatnonzero(np.asarray(found.x) > 0.5))
    picked = [options[place] for place in places]
    return Chosen(
        places, sum(o.value for o in picked), sum(o.cost for o in picked), sum(o.rig_time for o in picked)
    )  # fmt: skip


def _size(values: Floats) -> float:
    """The largest of some numbers, to scale by; 1 where all are nought."""
    return float(np.abs(values).max(initial=0.0)) or 1.0

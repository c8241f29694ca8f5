from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from planner.base.errors import CaseError, ForecastError, Problem
from planner.base.units import QUANTITIES, from_si
from planner.decide.capital import cost_of_string
from planner.decide.jobs import Job, chance_of_all, jobs_done
from planner.decide.money import cash_flow
from planner.decide.split_lives import Life, lives_of
from planner.decide.split_runs import Runs, Wanted
from planner.decide.split_string import HIDDEN, Layout, one_each, valuing_case
from planner.decide.value import net_present_value, risked
from planner.model.case import Case
from planner.model.change import (
    AnyEvent,
    ChangeControl,
    EarlyWater,
    LoseSupport,
    PlugScreen,
    SetPlug,
    SetStraddle,
    Stimulate,
    Trigger,
    WhatIf,
)
from planner.model.ensemble import Draws
from planner.model.quantity import quantity_of
from planner.model.results import Floats, Forecast
from planner.model.split import Split
from planner.model.split_results import GroupValue

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

FATES = (EarlyWater, LoseSupport, PlugScreen, Stimulate, ChangeControl)  # what a future may hold
Group = tuple[int, int]  # first and last sand


@dataclass(frozen=True)
class SplitValues:
    """Worth of a split's parts. shut [sands, sands]: of shutting i to j; pay [sands, 3]: of screen, per m.

    pay: over the upper quarter, middle half, lower quarter. weight: net present value of a unit of cost; forecasts: how
    many were asked for. rules: the rule by which a group is shut, where that is worth something; lives: over which the
    values are expected, none where all values are given; done [sands, sands]: as shut, if every job succeeds.
    """

    shut: Floats
    pay: Floats
    weight: float
    groups: tuple[GroupValue, ...]
    forecasts: int = 0
    notes: tuple[str, ...] = ()
    rules: dict[Group, Trigger] = field(default_factory=dict)
    lives: tuple[Life, ...] = ()
    done: Floats = field(default_factory=lambda: np.zeros((0, 0)))


def values_of(
    case: Case, split: Split, layout: Layout, progress: Progress | None = None, cancelled: Asked | None = None
) -> SplitValues:
    """Worth of every group of sands and of screen: what the case gives, the rest by forecasts in this process.

    Raises CaseError for a sand or future that does not exist, ForecastError and Cancelled as `forecast`.
    """
    with Runs(1, progress, cancelled) as runs:
        return values_in(case, split, layout, runs)


def values_in(case: Case, split: Split, layout: Layout, runs: Runs, draws: Draws | None = None) -> SplitValues:
    """The same with a crew that is there already, and over the members of some draws."""
    check_names(case, split, layout)
    count = len(layout.sands)
    groups = [(i, j) for i in range(count) for j in range(i, count) if j - i + 1 < count]
    whole = 0 if split.values or split.pay else 2 * count  # checks, with none to all of the seals
    jobs, screens = (0 if split.values else len(groups) * len(split.rules)), (0 if split.pay else 3 * count)
    runs.total = len(split.futures) * (len(draws.values) if draws is not None else 1) * (2 + jobs + screens + whole)
    lives = [] if split.values and split.pay else lives_of(case, split, layout, draws, runs)
    asked = [] if split.values else [one for life in lives for one in _shut_jobs(life, groups, split.rules)]
    runs.done += 0 if split.values else len(lives) * len(groups) * len(split.rules) - len(asked)
    hidden = [] if split.pay else [one for life in lives for one in _without_screen(life, layout)]
    found = runs.forecasts([*(one.wanted for one in asked), *(one.wanted for one in hidden)])
    rules: dict[Group, Trigger] = {}
    if split.values:
        shut, told = _given_groups(split, layout)
    else:
        shut, told, rules = _shut_values(layout, groups, split, asked, found[: len(asked)], runs.notes)
    weight = split.cost_weight
    if weight is None and lives:
        weight = sum(life.weight * unit_of_cost(life) for life in lives)
    if split.pay:
        pay = _given_pay(split, layout)
    else:
        pay = _pay_values(layout, lives, hidden, found[len(asked) :], runs.notes)
    return SplitValues(
        shut, pay, 1.0 if weight is None else weight, told, len(lives) + len(found), tuple(dict.fromkeys(runs.notes)),
        rules, tuple(lives), _done(told, layout),
    )  # fmt: skip


# ---- choice -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Job:
    """A group shut by a rule in one life. rule: its place in the list."""

    life: Life
    group: Group
    rule: int
    what_if: WhatIf

    @property
    def wanted(self) -> Wanted:
        return Wanted(self.life.whole, self.what_if, self.what_if.name, self.life.sized)


def _shut_jobs(life: Life, groups: Sequence[Group], rules: Sequence[Trigger]) -> Iterator[_Job]:
    """Every group shut by every rule that fires in a life."""
    base = life.base
    assert base is not None
    names = [zone.name for zone in base.description.zones]
    fate = life.in_string(life.whole)
    for first, last in groups:
        for number, rule in enumerate(rules):
            day = fires(base, range(first, last + 1), rule)
            if day is None:
                continue
            above, below = _blank_over(life.whole, names, first), _blank_over(life.whole, names, last + 1)
            lowest = last == len(names) - 1
            way = way_to_shut(life.case, lowest)
            job: AnyEvent = (
                SetPlug(blank=above, on=day, way=way)
                if lowest
                else SetStraddle(upper_blank=above, lower_blank=below, on=day, way=way)
            )
            shut = " to ".join(dict.fromkeys((names[first], names[last])))
            what_if = WhatIf(name=f"{life.words}, {shut} shut", events=(*(fate.events if fate else ()), job))
            yield _Job(life, (first, last), number, what_if)


def way_to_shut(case: Case, lowest: bool) -> str:
    """The way of shutting a zone that the case names: that of 'shut zone', else of the plug or straddle it takes."""
    ways = case.economics.default_ways
    return ways.get("shut zone", "") or ways.get("set plug" if lowest else "set straddle", "")


def _shut_values(
    layout: Layout, groups: Sequence[Group], split: Split, asked: Sequence[_Job], found: Sequence[Forecast | str],
    notes: list[str],
) -> tuple[Floats, tuple[GroupValue, ...], dict[Group, Trigger]]:  # fmt: skip
    """Worth of shutting each group by its best rule, and that rule."""
    gains = {group: np.zeros((len(split.rules), 2)) for group in groups}
    for job, run in zip(asked, found, strict=True):
        if isinstance(run, Forecast):
            gains[job.group][job.rule] += job.life.weight * np.array(_gain(job, run))
        else:
            notes.append(f"'{job.what_if.name}' could not be computed and counts as no gain: {run}")
    shut: Floats = np.zeros((len(layout.sands), len(layout.sands)))
    told: list[GroupValue] = []
    rules: dict[Group, Trigger] = {}
    for (first, last), both in gains.items():
        best = int(np.argmax(both[:, 0]))
        worth, done = (float(value) for value in both[best])
        names = layout.sands[first].name, layout.sands[last].name
        if worth <= 0.0:
            told.append(GroupValue(*names, 0.0, ""))
            continue
        shut[first, last] = worth
        rules[first, last] = split.rules[best]
        told.append(GroupValue(*names, worth, rule_words(asked[0].life.case, split.rules[best]), done))
    return shut, tuple(told), rules


def _done(told: Sequence[GroupValue], layout: Layout) -> Floats:
    place = {sand.name: k for k, sand in enumerate(layout.sands)}
    done: Floats = np.zeros((len(place), len(place)))
    for one in told:
        done[place[one.first], place[one.last]] = one.if_done
    return done


def _gain(job: _Job, run: Forecast) -> tuple[float, float]:
    """Gain of one rule in one life: risked, and if the job succeeds. Cost of the job counted."""
    life = job.life
    assert life.base is not None
    jobs = jobs_done(life.whole, job.what_if, run)
    base = present_value(life.whole, life.base)
    done = present_value(life.whole, run, jobs) - base
    failed = present_value(life.whole, life.base, jobs) - base
    return risked(done, failed, chance_of_all(jobs)), done


def present_value(case: Case, run: Forecast, jobs: Sequence[Job] = ()) -> float:
    """Net present value of a forecast and its jobs without the string's cost."""
    flow = cash_flow(run, case.economics, tuple(jobs))
    return net_present_value(flow.net, case.economics.discount_rate, flow.years)


def _blank_over(made: Case, names: Sequence[str], sand: int) -> str:
    """The longest blank between the screens of a sand and those of the sand above it (or the top of the string)."""
    screens = [element for element in made.string if element.kind == "screen"]
    top = screens[sand - 1].base_md if sand else 0.0
    base = screens[sand].top_md if sand < len(screens) else float("inf")
    own = [e for e in made.string if e.kind == "blank pipe" and top - 0.01 <= e.top_md and e.base_md <= base + 0.01]
    return max(own, key=lambda element: element.base_md - element.top_md).name if own else ""


def fires(base: Forecast, zones: Sequence[int], rule: Trigger) -> date | None:
    """First report date on which a group of zones, taken together, meets a rule, its delay added; None: never.

    Rates add up; pressure is the mean of the zones. The last date of the forecast is too late for a job.
    """
    total: dict[str, Floats] = {name: base.zone[name][:, list(zones)].sum(axis=1)
             for name in ("oil_rate", "water_rate", "gas_rate") if name in base.zone}  # fmt: skip
    nothing = np.zeros(len(base.days))
    oil, water, gas = (total.get(f"{phase}_rate", nothing) for phase in ("oil", "water", "gas"))
    liquid = oil + water
    with np.errstate(invalid="ignore", divide="ignore"):
        measured = {
            "water_cut_above": np.where(liquid > 0.0, water / liquid, 0.0),
            "gas_oil_ratio_above": np.where(oil > 0.0, gas / oil, 0.0),
            "water_rate_above": water,
            "oil_rate_below": -oil,
            "pressure_below": -base.zone["pressure"][:, list(zones)].mean(axis=1),
        }
    name = next(name for name in measured if getattr(rule, name) is not None)
    limit = getattr(rule, name) * (-1.0 if name.endswith("below") else 1.0)
    days = base.dates.astype("datetime64[D]")
    late = days >= (np.datetime64(rule.after) if rule.after else days[0])
    hit = np.flatnonzero((measured[name] > limit) & late)
    if hit.size == 0:
        return None
    day = days[hit[0]] + np.timedelta64(round(rule.delay / 86400.0), "D")
    return date.fromisoformat(str(day)) if day < days[-1] else None


# ---- screen -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Hidden:
    """A life without the screen over part of a sand: 0 its upper quarter, 1 its lower quarter, 2 all of it."""

    life: Life
    sand: int
    part: int
    made: Case
    text: str

    @property
    def wanted(self) -> Wanted:
        return Wanted(self.made, self.life.in_string(self.made), self.text, self.life.sized)


def _without_screen(life: Life, layout: Layout) -> Iterator[_Hidden]:
    every = one_each(layout)
    for number, sand in enumerate(layout.sands):
        length = sand.base_md - max(sand.top_md, layout.top_md)
        for part, (end, hidden) in enumerate((("upper", HIDDEN), ("lower", HIDDEN), ("lower", 1.0))):
            made = valuing_case(life.case, layout, every, (number, end, hidden * length))
            yield _Hidden(life, number, part, made, f"{life.words}: {sand.name} without {hidden:.0%} of its screen")


def _pay_values(
    layout: Layout, lives: Sequence[Life], asked: Sequence[_Hidden], found: Sequence[Forecast | str], notes: list[str]
) -> Floats:
    """Worth of screen by sand and part, with a seal in every barrier."""
    full = {id(life): present_value(life.whole, life.base) for life in lives if life.base is not None}
    lost: Floats = np.zeros((len(layout.sands), 3))
    weights: Floats = np.zeros((len(layout.sands), 3))
    for one, run in zip(asked, found, strict=True):
        if isinstance(run, Forecast):
            loss = full[id(one.life)] - present_value(one.made, run)
            lost[one.sand, one.part] += one.life.weight * loss
            weights[one.sand, one.part] += one.life.weight
        else:
            notes.append(f"'{one.text}' could not be computed and is left out: {run}")
    if (weights <= 0.0).any():
        raise ForecastError(f"what screen is worth could not be computed: {notes[-1]}")
    upper, lower, whole = (lost / weights).T
    lengths = np.array([sand.base_md - max(sand.top_md, layout.top_md) for sand in layout.sands])
    parts = (upper / HIDDEN, (whole - upper - lower) / (1.0 - 2.0 * HIDDEN), lower / HIDDEN)
    return np.asarray(np.column_stack(parts) / lengths[:, None])


def unit_of_cost(life: Life) -> float:
    """What a unit of the string's cost takes from the net present value of a life."""
    assert life.base is not None
    economics = life.whole.economics
    capital = cost_of_string(economics, life.whole.string).total or 1.0e6
    paid = cash_flow(life.base, economics, (), capital)
    less = net_present_value(paid.net, economics.discount_rate, paid.years)
    return (present_value(life.whole, life.base) - less) / capital


# ---- as given ---------------------------------------------------------------------------------------------------


def check_names(case: Case, split: Split, layout: Layout) -> None:
    sands = [sand.name for sand in layout.sands]
    named = [(f"values[{n}].{key}", getattr(row, key) or row.sand)
             for n, row in enumerate(split.values, start=1) for key in ("sand", "to")]  # fmt: skip
    named += [(f"pay[{n}].sand", row.sand) for n, row in enumerate(split.pay, start=1)]
    problems = [_unknown(f"split.{place}", "sand", name, sands) for place, name in named if name not in sands]
    known = {one.name: one for one in case.what_ifs}
    for n, future in enumerate(split.futures, start=1):
        place = f"split.futures[{n}].what_if"
        if future.what_if and future.what_if not in known:
            problems.append(_unknown(place, "what-if", future.what_if, list(known)))
        elif future.what_if and not all(isinstance(event, FATES) for event in known[future.what_if].events):
            text = "a future holds what happens by itself, not jobs or leaks of a string that is not run yet"
            remedy = "Use early water, lose support, plug screen, set skin, change control."
            problems.append(Problem("", place, future.what_if, text, remedy))
    if problems:
        raise CaseError(problems)


def _unknown(place: str, kind: str, name: str, known: Sequence[str]) -> Problem:
    return Problem("", place, name, f"no {kind} has this name", f"Known: {', '.join(known) or 'none'}.")


def _given_groups(split: Split, layout: Layout) -> tuple[Floats, tuple[GroupValue, ...]]:
    place = {sand.name: k for k, sand in enumerate(layout.sands)}
    shut: Floats = np.zeros((len(place), len(place)))
    for row in split.values:
        first, last = sorted((place[row.sand], place[row.to or row.sand]))
        shut[first, last] = row.value
    return shut, tuple(GroupValue(row.sand, row.to or row.sand, row.value, "given") for row in split.values)


def _given_pay(split: Split, layout: Layout) -> Floats:
    rows = {row.sand: row for row in split.pay}
    parts = [(rows[s.name].upper, rows[s.name].middle, rows[s.name].lower) if s.name in rows else (0.0, 0.0, 0.0)
             for s in layout.sands]  # fmt: skip
    return np.array(parts)


def rule_words(case: Case, rule: Trigger) -> str:
    """'water rate above 400 bbl/d', in the units of the case."""
    told = []
    for name, info in Trigger.model_fields.items():
        value, quantity = getattr(rule, name), quantity_of(info)
        if value is not None and quantity and name.endswith(("above", "below")):
            unit = QUANTITIES[quantity].label(case.units)
            told.append(f"{name.replace('_', ' ')} {float(from_si(value, quantity, case.units)):.4g} {unit}".rstrip())
    return ", ".join(told)

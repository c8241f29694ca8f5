"""What a split is worth: from forecasts, or as the user gives it.

Being able to shut a group of sands: expected gain, over the futures of the case, of the one rule (shut when a trigger
fires) that does best in expectation, or nothing where none gains. The rule is chosen before the future is known; the
best choice in each future by itself would overstate it. Cost and chance of the job are those of the case. All of it on
one string with a seal in every barrier: a plug or one straddle shuts the group, on the first report date on which the
rates of its zones together meet the rule.

Screen over pay: expected loss of net present value when it is blank instead, by length, from three forecasts a sand:
without the screen over its upper quarter, over its lower quarter, and without any. What the last one loses beyond the
first two falls to the middle half. So the worth is right with all of the screen, without either end, and without any,
and straight in between: the first feet of blank cost little, the last ones dearly.

Both are worth of one thing at a time, so that they add up along the string: what two shut zones do to one another is
left out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from planner.base.errors import CaseError, ForecastError, Problem, Refusal
from planner.base.units import QUANTITIES, from_si
from planner.decide.capital import cost_of_string
from planner.decide.jobs import chance_of_all, jobs_done
from planner.decide.money import cash_flow
from planner.decide.split_string import Layout, valuing_case
from planner.decide.value import figures, net_present_value
from planner.forecast.run import forecast
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
from planner.model.quantity import quantity_of
from planner.model.results import Floats, Forecast
from planner.model.split import Split
from planner.model.split_results import GroupValue
from planner.network.describe import describe_case

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

HIDDEN = 0.25  # share of a sand, at each end, by which the worth of screen there is probed
FATES = (EarlyWater, LoseSupport, PlugScreen, Stimulate, ChangeControl)  # what a future may hold
KEPT = 2000  # forecasts remembered


@dataclass(frozen=True)
class SplitValues:
    """Worth of a split's parts. shut [sands, sands]: of shutting i to j; pay [sands, 3]: of screen, per m.

    pay: over the upper quarter, middle half, lower quarter. weight: net present value of a unit of cost; forecasts: how
    many were asked for.
    """

    shut: Floats
    pay: Floats
    weight: float
    groups: tuple[GroupValue, ...]
    forecasts: int = 0
    notes: tuple[str, ...] = ()


_known: dict[str, Forecast] = {}


@dataclass
class _Runner:
    """Forecasts one after another, remembered, with progress and cancel."""

    total: int
    progress: Progress | None
    cancelled: Asked | None
    done: int = 0
    notes: list[str] = field(default_factory=list)

    def run(self, case: Case, what_if: WhatIf | None, text: str) -> Forecast:
        told = f"{case.model_dump_json()}{what_if.model_dump_json() if what_if else ''}"
        key = hashlib.sha256(told.encode()).hexdigest()
        if key not in _known:
            if len(_known) >= KEPT:
                _known.clear()
            _known[key] = forecast(case, what_if, progress=None, cancelled=self.cancelled)
        self.done += 1
        if self.progress is not None:
            self.progress(min(self.done / self.total, 1.0), text)
        return _known[key]


def values_of(
    case: Case, split: Split, layout: Layout, progress: Progress | None = None, cancelled: Asked | None = None
) -> SplitValues:
    """Worth of every group of sands and of screen: what the case gives, the rest by forecasts.

    Raises CaseError for a sand or future that does not exist, ForecastError and Cancelled as `forecast`.
    """
    _check_names(case, split, layout)
    count = len(layout.sands)
    groups = [(i, j) for i in range(count) for j in range(i, count) if j - i + 1 < count]
    runs = len(split.futures) * (
        (0 if split.values else 1 + len(groups) * len(split.rules)) + (0 if split.pay else 1 + 3 * count)
    )
    runner = _Runner(max(runs, 1), progress, cancelled)
    shut, told = _given_groups(split, layout) if split.values else _shut_values(case, split, layout, groups, runner)
    weight = split.cost_weight
    if split.pay:
        pay = _given_pay(split, layout)
    else:
        pay, found = _pay_values(case, split, layout, runner)
        weight = weight if weight is not None else found
    return SplitValues(shut, pay, 1.0 if weight is None else weight, told, runner.done, tuple(runner.notes))


# ---- by forecasts -----------------------------------------------------------------------------------------------


def _shut_values(
    case: Case, split: Split, layout: Layout, groups: Sequence[tuple[int, int]], runner: _Runner
) -> tuple[Floats, tuple[GroupValue, ...]]:
    count = len(layout.sands)
    shut: Floats = np.zeros((count, count))
    told: list[GroupValue] = []
    made = valuing_case(case, layout, one_each(layout))
    fates = _futures(case, split, made)
    bases = [runner.run(made, fate, fate.name if fate else "base") for _, fate in fates]
    for first, last in groups:
        gains = np.zeros(len(split.rules))
        for (weight, fate), base in zip(fates, bases, strict=True):
            for k, rule in enumerate(split.rules):
                gains[k] += weight * _gain(made, fate, base, (first, last), rule, runner)
        best = int(np.argmax(gains))
        worth = max(float(gains[best]), 0.0)
        shut[first, last] = worth
        words = rule_words(case, split.rules[best]) if worth > 0.0 else ""
        told.append(GroupValue(layout.sands[first].name, layout.sands[last].name, worth, words))
    return shut, tuple(told)


def one_each(layout: Layout) -> list[int]:
    """One barrier of each pair of sands: the one with the longest gauge hole."""
    best: dict[int, int] = {}
    for k, barrier in enumerate(layout.barriers):
        if barrier.below not in best or layout.seats[k].longest > layout.seats[best[barrier.below]].longest:
            best[barrier.below] = k
    return sorted(best.values())


def _gain(
    made: Case, fate: WhatIf | None, base: Forecast, group: tuple[int, int], rule: Trigger, runner: _Runner
) -> float:
    """Expected gain of one rule in one future: net present value, cost and chance of the job counted."""
    names = [zone.name for zone in base.description.zones]
    first, last = group
    day = fires(base, range(first, last + 1), rule)
    name = " to ".join(dict.fromkeys((names[first], names[last])))
    runner.done += 1 if day is None else 0
    if day is None:
        return 0.0
    above, below = _blank_over(made, names, first), _blank_over(made, names, last + 1)
    job: AnyEvent = (
        SetPlug(blank=above, on=day)
        if last == len(names) - 1
        else SetStraddle(upper_blank=above, lower_blank=below, on=day)
    )
    events: tuple[AnyEvent, ...] = (*(fate.events if fate else ()), job)
    what_if = WhatIf(name=f"{fate.name if fate else 'base'}, {name} shut", events=events)
    try:
        run = runner.run(made, what_if, what_if.name)
    except (ForecastError, Refusal) as reason:
        runner.done += 1
        runner.notes.append(f"'{what_if.name}' could not be computed and counts as no gain: {reason}")
        return 0.0
    economics = made.economics
    jobs = jobs_done(made, what_if, run)
    flow, before = cash_flow(run, economics, jobs), cash_flow(base, economics)
    unchanged = cash_flow(base, economics, jobs)
    found = figures(flow, before, economics.discount_rate, unchanged, chance_of_all(jobs))
    return found["risked_npv_against_base"]


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


def _pay_values(case: Case, split: Split, layout: Layout, runner: _Runner) -> tuple[Floats, float]:
    """Worth of screen by sand and part, and of a unit of cost, with a seal in every barrier."""
    every = one_each(layout)
    pay: Floats = np.zeros((len(layout.sands), 3))
    weight = 0.0
    whole = valuing_case(case, layout, every)
    for share, fate in _futures(case, split, whole):
        full, unit = _npv(whole, runner.run(whole, fate, "all of the pay behind screen"))
        weight += share * unit
        for number, sand in enumerate(layout.sands):
            length = sand.base_md - max(sand.top_md, layout.top_md)
            lost = []
            for part, hidden in (("upper", HIDDEN), ("lower", HIDDEN), ("lower", 1.0)):
                made = valuing_case(case, layout, every, (number, part, hidden * length))
                text = f"{sand.name} without {hidden:.0%} of its screen"
                lost.append(full - _npv(made, runner.run(made, _fate_in(case, made, fate), text))[0])
            upper, lower, all_of_it = lost
            parts = (upper / HIDDEN, (all_of_it - upper - lower) / (1.0 - 2.0 * HIDDEN), lower / HIDDEN)
            pay[number] += share * np.array(parts) / length
    return pay, weight


def _npv(case: Case, run: Forecast) -> tuple[float, float]:
    """Net present value of a forecast without the string's cost, and what a unit of that cost takes from it."""
    economics = case.economics
    plain = cash_flow(run, economics)
    capital = cost_of_string(economics, case.string).total or 1.0e6
    paid = cash_flow(run, economics, (), capital)
    free, less = (net_present_value(one.net, economics.discount_rate, one.years) for one in (plain, paid))
    return free, (free - less) / capital


# ---- futures ----------------------------------------------------------------------------------------------------


def _futures(case: Case, split: Split, made: Case) -> list[tuple[float, WhatIf | None]]:
    """Weights that add up to 1, and what-ifs as they read in another string of the same well."""
    total = sum(one.weight for one in split.futures)
    known = {one.name: one for one in case.what_ifs}
    return [
        (one.weight / total, _fate_in(case, made, known[one.what_if]) if one.what_if else None)
        for one in split.futures
    ]  # fmt: skip


def _fate_in(case: Case, made: Case, fate: WhatIf | None) -> WhatIf | None:
    """A what-if of the case with its zones named as in another string, at no cost of its own.

    What would happen to a zone that has no screen in that string is left out.
    """
    if fate is None:
        return None
    new = {layer: zone.name for zone in describe_case(made).zones for layer in zone.layers if zone.shut_by}
    old = {zone.name: zone.layers for zone in describe_case(case).zones}
    events = []
    for event in fate.events:
        changed: dict[str, object] = {"cost": 0.0}
        name = getattr(event, "zone", "")
        if name and name not in new.values():
            layers = [layer for layer in old.get(name, ()) if layer in new]
            if not layers:
                continue
            changed["zone"] = new[layers[0]]
        events.append(event.model_copy(update=changed))
    return fate.model_copy(update={"events": tuple(events)})


# ---- as given ---------------------------------------------------------------------------------------------------


def _check_names(case: Case, split: Split, layout: Layout) -> None:
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

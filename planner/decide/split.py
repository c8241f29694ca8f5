"""The proposed split of a well into zones: seals and blanks on whole joints, what it is worth and what it costs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence

from planner.base.errors import CaseError, Problem, Refusal
from planner.decide.possible import refusal_of
from planner.decide.split_optimise import SplitAnswer, SplitProblem, TooLarge, solve
from planner.decide.split_problem import MILLIMETRE, layout_of, lengths_of, problem_of, terms_of, with_wishes
from planner.decide.split_string import Layout, group_name, parts_of, tally_of, with_string
from planner.decide.split_values import SplitValues, values_of
from planner.model.case import Case
from planner.model.change import ShutZone, Trigger, WhatIf
from planner.model.consistency import check
from planner.model.names import in_words
from planner.model.split import Split, Wish
from planner.model.split_results import InstallRow, SplitResult, TallyRow, WishCost, ZoneProposal
from planner.network.describe import describe_case

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]
VALUING = 0.9  # share of the progress that valuing takes


def split_of(
    case: Case,
    pins: Sequence[Wish] = (),
    forbids: Sequence[Wish] = (),
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> SplitResult:
    """The best string of whole joints for a case, and what each wish costs.

    pins, forbids: on top of those of the case. Raises CaseError (what is missing, what is nowhere), Refusal where no
    string meets the constraints, ForecastError, Cancelled.
    """
    split = case.split or Split()
    layout, notes = layout_of(case, split)
    values = values_of(case, split, layout, _part(progress, 0.0, VALUING), cancelled)
    free = problem_of(case, split, layout, values)
    wishes = [(wish, True) for wish in (*split.pins, *pins)] + [(wish, False) for wish in (*split.forbids, *forbids)]
    tick = lengths_of(case, split).tick * MILLIMETRE
    limit = _joint_budget(case, split)

    def best(chosen: Sequence[tuple[Wish, bool]]) -> tuple[SplitProblem, SplitAnswer | None]:
        kept = [[wish for wish, pinned in chosen if pinned is which] for which in (True, False)]
        problem = with_wishes(free, layout, tick, *kept)
        try:
            return problem, solve(problem, limit, _part(progress, VALUING, 1.0), cancelled)
        except TooLarge as reason:
            text = f"the joints have no common length to count in: {reason}"
            remedy = "Give joint lengths in whole units, such as 12 m, 6 m and 3 m, or split.most_seals."
            raise CaseError([Problem("", "economics.elements", "", text, remedy)]) from None

    problem, answer = best(wishes)
    without = best([])[1] if wishes else answer
    if answer is None or without is None:
        raise Refusal(_why_none(case, split, layout, bool(wishes)))
    costs = [_wish_cost(case, wish, pinned, best, wishes, answer) for wish, pinned in wishes]
    return _result(case, split, layout, values, problem, answer, without.value, costs, notes)


def _wish_cost(
    case: Case,
    wish: Wish,
    pinned: bool,
    best: Callable[[Sequence[tuple[Wish, bool]]], tuple[SplitProblem, SplitAnswer | None]],
    wishes: Sequence[tuple[Wish, bool]],
    answer: SplitAnswer,
) -> WishCost:
    """What would be gained if this wish alone were dropped."""
    rest = list(wishes)
    rest.remove((wish, pinned))
    other = best(rest)[1]
    words = wish.words
    if wish.top_md is not None:
        ends = dict.fromkeys(in_words(case, depth) for depth in (wish.top_md, wish.base_md) if depth is not None)
        words = f"{wish.what} {' to '.join(ends)}"
    return WishCost(words, pinned, other.value - answer.value if other else math.nan)


def _part(progress: Progress | None, start: float, end: float) -> Progress | None:
    if progress is None:
        return None
    return lambda share, text: progress(start + share * (end - start), text)


def _joint_budget(case: Case, split: Split) -> float | None:
    """What may be spent on joints: the budget less the time of the rig that does not depend on them."""
    return None if split.most_cost is None else split.most_cost - _fixed_cost(case, split)


def _fixed_time(case: Case, split: Split) -> float:
    return case.economics.rig_time + split.trips * split.trip_time


def _fixed_cost(case: Case, split: Split) -> float:
    return case.economics.rig_rate * _fixed_time(case, split)


def _why_none(case: Case, split: Split, layout: Layout, wished: bool) -> str:
    lengths = lengths_of(case, split)
    told = ", ".join(
        f"{name} {in_words(case, length * MILLIMETRE)}"
        for name, length in (("screen", lengths.screen), ("blank", lengths.blank), ("seal", lengths.seal),
                             ("pup", lengths.pup)) if length
    )  # fmt: skip
    ends = f"{in_words(case, layout.sands[-1].base_md)} and {in_words(case, layout.base_md)}"
    also = ", the wishes" if wished else ""
    also += ", the limit on cost" if split.most_cost is not None else ""
    return (
        f"no string of whole joints ({told}) from {in_words(case, layout.top_md)} ends between {ends} and meets the "
        f"constraints{also}; give a shorter split.pup_joint, a deeper split.base_md, or fewer wishes"
    )


# ---- the result -------------------------------------------------------------------------------------------------


def _result(
    case: Case,
    split: Split,
    layout: Layout,
    values: SplitValues,
    problem: SplitProblem,
    answer: SplitAnswer,
    free_value: float,
    wishes: Sequence[WishCost],
    notes: Sequence[str],
) -> SplitResult:
    ticks = lengths_of(case, split).tick * MILLIMETRE
    roles = [(problem.joints[k].role, problem.joints[k].ticks * ticks) for k in answer.joints]
    tally = tally_of(roles, layout.top_md)
    install = _install(case, tally)
    zones = _zones(layout, values, answer, tally)
    made, dropped = _proposal(case, split, tally, zones)
    lost = [(sand, part) for sand in layout.sands for part in (sand.base_md - max(sand.top_md, layout.top_md),)]
    open_pay = sum(zone.open_pay for zone in zones)
    worth = float(problem.screen_worth.sum())
    screens = answer.value + problem.weight * answer.cost - sum(zone.shut_worth for zone in zones)
    return SplitResult(
        well=case.well.name,
        sands=layout.sands,
        barriers=layout.barriers,
        seats=layout.seats,
        tally=tally,
        zones=zones,
        install=install,
        value=answer.value - problem.weight * _fixed_cost(case, split),
        screen_worth=screens,
        shut_worth=sum(zone.shut_worth for zone in zones),
        cost=answer.cost + _fixed_cost(case, split),
        rig_time=sum(row.rig_time for row in install) + _fixed_time(case, split),
        cost_weight=problem.weight,
        lost_pay=sum(length for _, length in lost) - open_pay,
        lost_worth=worth - screens,
        by_seals={k: v - problem.weight * _fixed_cost(case, split) for k, v in answer.by_seals.items()},
        gap=answer.gap,
        free_value=free_value - problem.weight * _fixed_cost(case, split),
        wishes=tuple(wishes),
        groups=values.groups,
        pay_worth=tuple((float(a), float(b), float(c)) for a, b, c in values.pay),
        forecasts=values.forecasts,
        case=made,
        dropped=dropped,
        warnings=(*notes, *values.notes, *describe_case(made).warnings),
    )


def _install(case: Case, tally: Sequence[TallyRow]) -> tuple[InstallRow, ...]:
    """Joints, length, cost and rig time by kind."""
    found = []
    for kind, role in (("screen", "screen"), ("blank pipe", "blank"), ("isolation joint", "seal")):
        own = [row for row in tally if row.kind == kind]
        terms, length = terms_of(case, role), sum(row.length for row in own)
        if own:
            time = terms.time(length, len(own))
            cost = terms.cost(length, len(own)) + case.economics.rig_rate * time
            found.append(InstallRow(kind, len(own), length, cost, time))
    return tuple(found)


def _zones(
    layout: Layout, values: SplitValues, answer: SplitAnswer, tally: Sequence[TallyRow]
) -> tuple[ZoneProposal, ...]:
    screens = [row for row in tally if row.kind == "screen"]
    seals = [row for row in tally if row.kind == "isolation joint"]
    edges = [tally[0].top_md, *(depth for row in seals for depth in (row.top_md, row.base_md)), tally[-1].base_md]
    found = []
    for number, (first, last, shuttable) in enumerate(answer.zones):
        sands = layout.sands[first : last + 1]
        spans = [(max(sand.top_md, layout.top_md), sand.base_md) for sand in sands]
        covered = sum(
            max(min(base, row.base_md) - max(top, row.top_md), 0.0) for top, base in spans for row in screens
        )  # fmt: skip
        worth = float(values.shut[first, last]) if shuttable else 0.0
        pay = sum(base - top for top, base in spans)
        top, base = edges[2 * number], edges[2 * number + 1]
        names = tuple(sand.name for sand in sands)
        found.append(ZoneProposal(group_name(sands), names, top, base, shuttable, worth, pay, covered))
    return tuple(found)


def _proposal(
    case: Case, split: Split, tally: Sequence[TallyRow], zones: Sequence[ZoneProposal]
) -> tuple[Case, tuple[str, ...]]:
    """The case with the proposed string, what-ifs that still fit it, and one for each zone worth shutting.

    The time of the trips is added to that of the rig. Second: names of the what-ifs that were left out.
    """
    made = with_string(case, parts_of(tally), [zone.name for zone in zones])
    economics = case.economics.model_copy(update={"rig_time": _fixed_time(case, split)})
    kept: list[WhatIf] = []
    dropped: list[WhatIf] = []
    made = made.model_copy(update={"suitability": case.suitability, "economics": economics})
    for what_if in case.what_ifs:
        tried = made.model_copy(update={"what_ifs": (what_if,)})
        fits = not check(tried) and not refusal_of(tried, what_if)
        (kept if fits else dropped).append(what_if)
    rule = split.rules[0] if split.rules else Trigger(water_cut_above=0.8)
    names = Counter(one.name for one in kept)
    for zone in zones:
        name = f"shut {zone.name} by the split's rule"
        if zone.shuttable and zone.shut_worth > 0.0 and name not in names:
            job = ShutZone(zone=zone.name, when=rule.model_copy(update={"zone": zone.name}))
            kept.append(WhatIf(name=name, description="Proposed with the split.", events=(job,)))
    return made.model_copy(update={"what_ifs": tuple(kept)}), tuple(one.name for one in dropped)

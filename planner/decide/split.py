"""The proposed split of a well into zones: seals and blanks on whole joints, what it is worth and what it costs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence

from planner.base.errors import CaseError, Problem, Refusal
from planner.decide.possible import refusal_of
from planner.decide.split_check import Proposal, checks_of, shutting
from planner.decide.split_optimise import SplitAnswer, TooLarge, solve, value_of
from planner.decide.split_problem import MILLIMETRE, layout_of, lengths_of, problem_of, terms_of, with_wishes
from planner.decide.split_runs import Runs
from planner.decide.split_string import Layout, group_name, parts_of, tally_of, with_string
from planner.decide.split_values import SplitValues, check_names, values_in
from planner.model.case import Case
from planner.model.change import ShutZone, Trigger, WhatIf
from planner.model.consistency import check
from planner.model.ensemble import Draws
from planner.model.names import in_words
from planner.model.split import Split, Wish
from planner.model.split_results import InstallRow, SplitResult, TallyRow, WholeCheck, WishCost, ZoneProposal
from planner.network.describe import describe_case

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]
VALUING = 0.9  # share of the progress that valuing takes


def split_of(
    case: Case,
    pins: Sequence[Wish] = (),
    forbids: Sequence[Wish] = (),
    *,
    draws: Draws | None = None,
    processes: int = 1,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> SplitResult:
    """The best string of whole joints for a case, and what each wish costs.

    pins, forbids: on top of those of the case. draws: members over which values are expected, none: the case as it is.
    Raises CaseError (what is missing, what is nowhere), Refusal where no string meets the constraints, ForecastError,
    Cancelled.
    """
    split = case.split or Split()
    layout, notes = layout_of(case, split)
    check_names(case, split, layout)
    lengths_of(case, split)
    with Runs(processes, _part(progress, 0.0, VALUING), cancelled) as runs:
        values = values_in(case, split, layout, runs, draws)
        work = _Work(case, split, layout, values, notes)
        answer, without, costs = work.choose([*split.pins, *pins], [*split.forbids, *forbids], progress, cancelled)
        proposal = work.proposal(answer.joints)
        checks = _checks(work, answer, proposal, runs)
    return work.result(answer, without.value, costs, proposal, checks, runs.done)


class _Work:
    """One split on its way from values to a proposal."""

    def __init__(self, case: Case, split: Split, layout: Layout, values: SplitValues, notes: Sequence[str]) -> None:
        self.case, self.split, self.layout, self.values, self.notes = case, split, layout, values, notes
        self.tick = lengths_of(case, split).tick * MILLIMETRE
        self.problem = problem_of(case, split, layout, values)
        self.fixed = _fixed_cost(case, split)

    def choose(
        self, pins: Sequence[Wish], forbids: Sequence[Wish], progress: Progress | None, cancelled: Asked | None
    ) -> tuple[SplitAnswer, SplitAnswer, list[WishCost]]:
        """The best string with all wishes, the best with none, and what each wish costs."""
        wishes = [(wish, True) for wish in pins] + [(wish, False) for wish in forbids]
        limit = None if self.split.most_cost is None else self.split.most_cost - self.fixed

        def best(chosen: Sequence[tuple[Wish, bool]]) -> SplitAnswer | None:
            kept = [[wish for wish, pinned in chosen if pinned is which] for which in (True, False)]
            problem = with_wishes(self.problem, self.layout, self.tick, *kept)
            try:
                return solve(problem, limit, _part(progress, VALUING, 1.0), cancelled)
            except TooLarge as reason:
                text = f"the joints have no common length to count in: {reason}"
                remedy = "Give joint lengths in whole units, such as 12 m, 6 m and 3 m, or split.most_seals."
                raise CaseError([Problem("", "economics.elements", "", text, remedy)]) from None

        answer = best(wishes)
        without = best([]) if wishes else answer
        if answer is None or without is None:
            raise Refusal(_why_none(self.case, self.split, self.layout, bool(wishes)))
        return answer, without, [_wish_cost(self.case, wish, pinned, best, wishes, answer) for wish, pinned in wishes]

    def proposal(self, joints: Sequence[int]) -> Proposal:
        """A string of joints with its zones, and its value by parts."""
        roles = [(self.problem.joints[k].role, self.problem.joints[k].ticks * self.tick) for k in joints]
        tally = tally_of(roles, self.layout.top_md)
        value, cost, groups = value_of(self.problem, joints)
        zones = _zones(self.layout, self.values, groups, tally)
        screens = value + self.problem.weight * cost - sum(zone.shut_worth for zone in zones)
        lost = float(self.problem.screen_worth.sum()) - screens
        places = tuple((first, last) for first, last, _ in groups)
        return Proposal(tally, zones, places, lost, value - self.problem.weight * self.fixed)

    def result(
        self, answer: SplitAnswer, free_value: float, wishes: Sequence[WishCost], proposal: Proposal,
        checks: tuple[WholeCheck, ...], forecasts: int,
    ) -> SplitResult:  # fmt: skip
        """Everything as a record."""
        case, split, layout, values, weight = self.case, self.split, self.layout, self.values, self.problem.weight
        tally, zones = proposal.tally, proposal.zones
        install = _install(case, tally)
        made, dropped = _proposal(case, split, proposal, values)
        pay = sum(sand.base_md - max(sand.top_md, layout.top_md) for sand in layout.sands)
        seals = sum(row.kind == "isolation joint" for row in tally)
        own = next((one for one in checks if one.seals == seals), None)
        by_seals = {k: v - weight * self.fixed for k, v in answer.by_seals.items()}
        others = tuple(one for one in checks if answer.strings.get(one.seals) is not None)
        return SplitResult(
            well=case.well.name,
            sands=layout.sands,
            barriers=layout.barriers,
            seats=layout.seats,
            tally=tally,
            zones=zones,
            install=install,
            value=proposal.value,
            screen_worth=float(self.problem.screen_worth.sum()) - proposal.lost_worth,
            shut_worth=sum(zone.shut_worth for zone in zones),
            cost=answer.cost + self.fixed,
            rig_time=sum(row.rig_time for row in install) + _fixed_time(case, split),
            cost_weight=weight,
            lost_pay=pay - sum(zone.open_pay for zone in zones),
            lost_worth=proposal.lost_worth,
            by_seals=by_seals,
            gap=answer.gap,
            free_value=free_value - weight * self.fixed,
            wishes=tuple(wishes),
            groups=values.groups,
            pay_worth=tuple((float(a), float(b), float(c)) for a, b, c in values.pay),
            forecasts=forecasts if values.lives else 0,
            case=made,
            members=len({life.member for life in values.lives if life.member >= 0}),
            check=own,
            checks=others,
            dropped=dropped,
            warnings=(
                *self.notes,
                *values.notes,
                *_of_checks(own, others, case),
                *_of_entry(case, layout, zones),
                *describe_case(made).warnings,
            ),
        )


def _checks(work: _Work, answer: SplitAnswer, proposal: Proposal, runs: Runs) -> tuple[WholeCheck, ...]:
    """The proposal and the best strings with other numbers of seals as wholes; none where the worths were given."""
    if not work.values.lives or work.split.values or work.split.pay:
        return ()
    seals = sum(row.kind == "isolation joint" for row in proposal.tally)
    strings = {count: work.proposal(joints) for count, joints in answer.strings.items()} | {seals: proposal}
    return checks_of([strings[count] for count in sorted(strings)], work.values, runs)


def _of_entry(case: Case, layout: Layout, zones: Sequence[ZoneProposal]) -> list[str]:
    """Where pay lies behind blank pipe and nothing in the case makes that cost inflow."""
    sands = [sand for zone, sand in ((zone, sand) for zone in zones for sand in layout.sands if sand.name in zone.sands)
             if zone.open_pay < zone.pay - MILLIMETRE]  # fmt: skip
    partly = {name for sand in sands for name in sand.layers}
    free = [layer.name for layer in case.layers if layer.name in partly and not layer.partial_entry]
    if not free:
        return []
    return [
        f"pay behind blank pipe costs next to no inflow here, because partial_entry is off in {', '.join(free)}: "
        "with it on, flow that converges on shorter screens is counted"
    ]


def _of_checks(own: WholeCheck | None, others: Sequence[WholeCheck], case: Case) -> list[str]:
    """What the forecasts of whole strings say against the proposal."""
    found = [f"the string with {one.seals} seals could not be forecast as a whole: {one.why}"
             for one in dict.fromkeys((*others, *([own] if own else []))) if one.why]  # fmt: skip
    if own is None or math.isnan(own.value_whole):
        return found
    better = max((one for one in others if not one.why), key=lambda one: one.value_whole, default=own)
    if better.seals != own.seals and better.value_whole > own.value_whole:
        more = f"{better.value_whole - own.value_whole:,.0f} {case.economics.currency}"
        found.append(
            f"forecast as a whole, the best string with {better.seals} seals is worth {more} more than the proposal, "
            f"which is best by the sum of its parts; split.most_seals = {better.seals} proposes it"
            if better.seals < own.seals
            else f"forecast as a whole, the best string with {better.seals} seals is worth {more} more than the "
            f"proposal, which is best by the sum of its parts; pin its seals to have it proposed"
        )
    return found


def _wish_cost(
    case: Case,
    wish: Wish,
    pinned: bool,
    best: Callable[[Sequence[tuple[Wish, bool]]], SplitAnswer | None],
    wishes: Sequence[tuple[Wish, bool]],
    answer: SplitAnswer,
) -> WishCost:
    """What would be gained if this wish alone were dropped."""
    rest = list(wishes)
    rest.remove((wish, pinned))
    other = best(rest)
    words = wish.words
    if wish.top_md is not None:
        ends = dict.fromkeys(in_words(case, depth) for depth in (wish.top_md, wish.base_md) if depth is not None)
        words = f"{wish.what} {' to '.join(ends)}"
    return WishCost(words, pinned, other.value - answer.value if other else math.nan)


def _part(progress: Progress | None, start: float, end: float) -> Progress | None:
    if progress is None:
        return None
    return lambda share, text: progress(start + share * (end - start), text)


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
    layout: Layout, values: SplitValues, groups: Sequence[tuple[int, int, bool]], tally: Sequence[TallyRow]
) -> tuple[ZoneProposal, ...]:
    screens = [row for row in tally if row.kind == "screen"]
    seals = [row for row in tally if row.kind == "isolation joint"]
    edges = [tally[0].top_md, *(depth for row in seals for depth in (row.top_md, row.base_md)), tally[-1].base_md]
    found = []
    for number, (first, last, shuttable) in enumerate(groups):
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


def _proposal(case: Case, split: Split, one: Proposal, values: SplitValues) -> tuple[Case, tuple[str, ...]]:
    """The case with the proposed string, what-ifs that still fit it, and one for each zone worth shutting.

    The time of the trips is added to that of the rig. Second: names of the what-ifs that were left out.
    """
    made = with_string(case, parts_of(one.tally), [zone.name for zone in one.zones])
    economics = case.economics.model_copy(update={"rig_time": _fixed_time(case, split)})
    kept: list[WhatIf] = []
    dropped: list[WhatIf] = []
    made = made.model_copy(update={"suitability": case.suitability, "economics": economics})
    for what_if in case.what_ifs:
        tried = made.model_copy(update={"what_ifs": (what_if,)})
        fits = not check(tried) and not refusal_of(tried, what_if)
        (kept if fits else dropped).append(what_if)
    names = Counter(what_if.name for what_if in kept)
    for k, zone in enumerate(one.zones):
        name = f"shut {zone.name} by the split's rule"
        if zone.shuttable and zone.shut_worth > 0.0 and name not in names:
            job = _rule_of(case, split, one, k, values)
            kept.append(WhatIf(name=name, description="Proposed with the split.", events=(job,)))
    return made.model_copy(update={"what_ifs": tuple(kept)}), tuple(what_if.name for what_if in dropped)


def _rule_of(case: Case, split: Split, one: Proposal, k: int, values: SplitValues) -> ShutZone:
    """The job that shuts a zone: by the rule it was valued with, where worths are given by the first of the case."""
    if one.groups[k] in values.rules:
        return shutting(case, one, k, values)
    rule = split.rules[0] if split.rules else Trigger(water_cut_above=0.8)
    name = one.zones[k].name
    return ShutZone(zone=name, when=rule.model_copy(update={"zone": name}))

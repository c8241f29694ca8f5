"""Checks of how the well may be split into zones."""

from __future__ import annotations

from collections.abc import Iterator

from planner.base.errors import Problem
from planner.model.case import Case
from planner.model.consistency_parts import Show, problem, unknown_name

CONDITIONS = ("water_cut_above", "gas_oil_ratio_above", "oil_rate_below", "water_rate_above", "pressure_below")


def barriers(case: Case, show: Show) -> Iterator[Problem]:
    """A barrier that the user names has length."""
    for n, one in enumerate(case.split.barriers if case.split else (), start=1):
        if one.base_md <= one.top_md:
            message = f"the barrier ends above its top at {show.depth(one.top_md, 'split')}"
            yield problem(f"split.barriers[{n}].base_md", message, "Swap or correct the two depths.")


def rules(case: Case, show: Show) -> Iterator[Problem]:
    """There is a rule, and each has one condition and no zone: it is tried on every zone."""
    asked = case.split
    if asked is None:
        return
    if not asked.rules:
        yield problem("split.rules", "there is no rule for shutting a zone", "Give one, or leave rules out.")
    if not asked.futures:
        yield problem("split.futures", "there is no future to value in", "Give one, or leave futures out.")
    for n, rule in enumerate(asked.rules, start=1):
        place = f"split.rules[{n}]"
        if sum(getattr(rule, key) is not None for key in CONDITIONS) != 1:
            remedy = f"Give exactly one of {', '.join(CONDITIONS)}."
            yield problem(place, "the rule needs one condition", remedy)
        if rule.zone:
            message = "a rule names no zone: it is tried on every one"
            yield problem(f"{place}.zone", message, "Leave the zone out.", rule.zone)


def futures(case: Case, show: Show) -> Iterator[Problem]:
    """Futures are what-ifs of the case."""
    known = [one.name for one in case.what_ifs]
    for n, future in enumerate(case.split.futures if case.split else (), start=1):
        if future.what_if and future.what_if not in known:
            yield unknown_name(f"split.futures[{n}].what_if", "what-if", future.what_if, known)


def wishes(case: Case, show: Show) -> Iterator[Problem]:
    """A wish has depths in order, or, for a seal, the name of a barrier."""
    asked = case.split
    for key in ("pins", "forbids") if asked else ():
        for n, wish in enumerate(getattr(asked, key), start=1):
            place = f"split.{key}[{n}]"
            if wish.barrier and (wish.what != "seal" or wish.top_md is not None):
                message = "a barrier is named for a seal alone, in place of depths"
                yield problem(f"{place}.barrier", message, "Give depths or a barrier, not both.", wish.barrier)
            elif not wish.barrier and wish.top_md is None:
                remedy = 'Give top_md and base_md, or for a seal barrier = "upper / lower".'
                yield problem(place, "the wish does not say where", remedy)
            elif wish.top_md is not None and wish.base_md is not None and wish.base_md < wish.top_md:
                yield problem(f"{place}.base_md", "ends above its top", "Swap or correct the two depths.")

"""A proposed string forecast as a whole, beside the sum of its parts.

The parts are worth of one thing at a time on a string of its own; the whole is the string itself over the same lives:
once left alone, and once with every zone that can be shut on the rule that its group was valued with, all in one
forecast. The difference is what the parts do to one another. Both are told against the string with screen over all pay
and a seal in every barrier, nothing of it shut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.decide.jobs import chance_of_all, jobs_done
from planner.decide.possible import refusal_of
from planner.decide.split_lives import Life
from planner.decide.split_runs import Runs, Wanted
from planner.decide.split_string import parts_of, with_string
from planner.decide.split_values import SplitValues, present_value, way_to_shut
from planner.model.case import Case
from planner.model.change import AnyEvent, ShutZone, WhatIf
from planner.model.results import Forecast
from planner.model.split_results import TallyRow, WholeCheck, ZoneProposal

Group = tuple[int, int]
NAN = float("nan")


@dataclass(frozen=True)
class Proposal:
    """A string to look at as a whole. groups: first and last sand of each zone; value: by its parts."""

    tally: tuple[TallyRow, ...]
    zones: tuple[ZoneProposal, ...]
    groups: tuple[Group, ...]
    lost_worth: float
    value: float


@dataclass(frozen=True)
class _Asked:
    """One proposal in one life: left alone, and with all of its rules (None: there are none)."""

    life: Life
    made: Case
    alone: WhatIf | None
    acting: WhatIf | None


def checks_of(proposals: Sequence[Proposal], values: SplitValues, runs: Runs) -> tuple[WholeCheck, ...]:
    """Whole against parts for each proposal. Raises Cancelled; what cannot be computed is NaN with the reason."""
    asked = [[_asked(one, life, values) for life in values.lives] for one in proposals]
    wanted = [_wanted(each, acting) for own in asked for each in own for acting in (False, True)]
    found = iter(runs.forecasts(wanted))
    made = []
    for one, own in zip(proposals, asked, strict=True):
        pairs = [(next(found), next(found)) for _ in own]
        made.append(_check(one, values, own, pairs))
    return tuple(made)


def worth_shutting(one: Proposal, values: SplitValues) -> list[int]:
    """Zones of a proposal that their rule would shut with a gain, dearest first."""
    found = [k for k, zone in enumerate(one.zones) if zone.shuttable and one.groups[k] in values.rules]
    return sorted(found, key=lambda k: -one.zones[k].shut_worth)


def shutting(case: Case, one: Proposal, k: int, values: SplitValues) -> ShutZone:
    """The job that shuts a zone of a proposal by the rule of its group."""
    rule = values.rules[one.groups[k]].model_copy(update={"zone": one.zones[k].name})
    return ShutZone(zone=one.zones[k].name, when=rule, way=way_to_shut(case, k == len(one.zones) - 1))


def _asked(one: Proposal, life: Life, values: SplitValues) -> _Asked:
    made = with_string(life.case, parts_of(one.tally), [zone.name for zone in one.zones])
    alone = life.in_string(made)
    before: tuple[AnyEvent, ...] = alone.events if alone else ()
    jobs: list[ShutZone] = []
    for k in worth_shutting(one, values):
        tried = WhatIf(name="all rules", events=(*before, *jobs, shutting(life.case, one, k, values)))
        if not refusal_of(made, tried):
            jobs.append(shutting(life.case, one, k, values))
    acting = WhatIf(name=f"{life.words}, shut by rule", events=(*before, *jobs)) if jobs else None
    return _Asked(life, made, alone, acting)


def _wanted(asked: _Asked, acting: bool) -> Wanted:
    what_if = asked.acting if acting and asked.acting is not None else asked.alone
    text = f"{asked.life.words}: the proposed string{', shut by rule' if acting else ''}"
    return Wanted(asked.made, what_if, text, asked.life.sized)


def _check(
    one: Proposal, values: SplitValues, asked: Sequence[_Asked], pairs: Sequence[tuple[Forecast | str, Forecast | str]]
) -> WholeCheck:
    rows, reasons = [], []
    for each, (alone, acting) in zip(asked, pairs, strict=True):
        if isinstance(alone, str) or isinstance(acting, str):
            reasons.append(alone if isinstance(alone, str) else str(acting))
            continue
        assert each.life.base is not None
        left = present_value(each.made, alone)
        jobs = jobs_done(each.made, each.acting, acting) if each.acting is not None else ()
        gain = present_value(each.made, acting, jobs) - left
        kept = left - present_value(each.life.whole, each.life.base)
        rows.append([each.life.weight, kept, gain, chance_of_all(jobs)])
    seals = sum(row.kind == "isolation joint" for row in one.tally)
    worth = worth_shutting(one, values)
    parts = sum(one.zones[k].shut_worth for k in worth)
    if not rows or len(rows) < len(asked):
        why = reasons[0] if reasons else "no life to look at"
        return WholeCheck(seals, -one.lost_worth, NAN, parts, NAN, one.value, NAN, why)
    weights, kept, gains, chances = np.array(rows).T
    done = sum(_if_done(values, one.groups[k]) for k in worth)
    screen = float(weights @ kept)
    # Exact for two jobs: what they do to one another counts where both succeed. With chances of 1 it is the forecast.
    choice = parts + float(weights @ chances) * (float(weights @ gains) - done)
    value = one.value + screen + one.lost_worth + choice - parts
    return WholeCheck(seals, -one.lost_worth, screen, parts, choice, one.value, value)


def _if_done(values: SplitValues, group: Group) -> float:
    return float(values.done[group])

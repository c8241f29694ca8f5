"""Whether hole and sand suit the kinds of completion: reasons for and against, by kind and interval."""

from __future__ import annotations

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.decide.barriers import gauge, hole_profile, sands_and_barriers, silent
from planner.decide.suitability_hole import hole_reasons, seat_reasons, string_seal_reasons
from planner.decide.suitability_rock import planned_drawdowns, strength_reasons, strengths_of
from planner.decide.suitability_sand import gradings_of, sand_reasons
from planner.model.case import Case
from planner.model.change import PlugScreen, Stimulate, WhatIf
from planner.model.results import WellDescription
from planner.model.suitability import COMPLETION_KINDS, Suitability
from planner.model.suitability_results import Barrier, Reason, Sand, Seat, Stretch, SuitabilityResult
from planner.network.describe import describe_case

PRACTICE = "common practice, no source"
SCREENED = ("conforming screen", "stand-alone screen", "gravel pack")


def suitability_of(case: Case) -> SuitabilityResult:
    """Reasons for and against every kind of completion, by interval, with what is missing.

    Raises CaseError where the case has no [suitability], and as `describe_case`.
    """
    asked = case.suitability
    if asked is None:
        remedy = "Add [suitability]; 'new' writes a commented case with every key of it."
        raise CaseError([Problem("", "suitability", "", "the case does not say what to judge against", remedy)])
    sands, barriers = sands_and_barriers(case, asked.barrier_length)
    description = describe_case(case)
    drawdowns = planned_drawdowns(case, sands, description)
    gradings = gradings_of(asked, sands)
    strengths = strengths_of(case, asked, sands, description)
    what_if = dirty_fluid(case, asked, description)
    seats = tuple(_seat(case, asked, barrier) for barrier in barriers)
    reasons = (
        *hole_reasons(case, asked, sands),
        *seat_reasons(case, asked, seats),
        *string_seal_reasons(case, asked, barriers),
        *sand_reasons(asked, sands, gradings),
        *strength_reasons(case, asked, sands, strengths, drawdowns),
        *_fluid_reasons(asked, sands, what_if),
    )
    top, base = _span(case, sands)
    edges, diameter = hole_profile(case.well.hole, top, base)
    return SuitabilityResult(
        well=case.well.name,
        sands=sands,
        barriers=barriers,
        hole_md=edges,
        hole_diameter=diameter,
        silent=tuple(silent(case.well.hole, top, base)),
        ranges={kind: _limits(asked, kind) for kind in (*COMPLETION_KINDS, "seal")},
        seats=seats,
        gradings=gradings,
        strengths=strengths,
        reasons=reasons,
        missing=missing_inputs(case, asked, sands, drawdowns),
        planned_drawdown=drawdowns,
        what_if=what_if,
        warnings=_warnings(asked, sands),
    )


def _span(case: Case, sands: tuple[Sand, ...]) -> tuple[float, float]:
    """What is drawn: the string and every sand."""
    tops = [element.top_md for element in case.string] + [sand.top_md for sand in sands]
    bases = [element.base_md for element in case.string] + [sand.base_md for sand in sands]
    return min(tops), max(bases)


def _limits(asked: Suitability, kind: str) -> tuple[float, float]:
    given = asked.range_of(kind)
    least, greatest = (None, None) if given is None else (given.least_hole, given.greatest_hole)
    return (least if least is not None else np.nan, greatest if greatest is not None else np.nan)


def _seat(case: Case, asked: Suitability, barrier: Barrier) -> Seat:
    seal = asked.seal
    if seal is None:
        return Seat(barrier, (), 0.0)
    limits = (seal.least_hole, seal.greatest_hole, seal.washout_tolerance)
    found = gauge(case.well.hole, barrier.top_md, barrier.base_md, *limits)
    need = seal.length or 0.0
    fits = tuple(stretch for stretch in found if stretch.length >= need - 1e-6)
    return Seat(barrier, fits, max((stretch.length for stretch in found), default=0.0))


# ---- fluid ------------------------------------------------------------------------------------------------------


def dirty_fluid(case: Case, asked: Suitability, description: WellDescription) -> WhatIf | None:
    """What the fluid of a particle test that failed would do: screens plugged or rock damaged in every zone, at once.

    None where the test passed, was not made, or the case does not say how much it does.
    """
    test = asked.fluid_test
    if test is None or test.clean or (test.remaining is None and test.skin is None):
        return None
    events: list[PlugScreen | Stimulate] = []
    for zone in (zone for zone in description.zones if zone.layers):
        if test.remaining is not None:
            events.append(PlugScreen(zone=zone.name, remaining=test.remaining, on=case.schedule.start, cost=0.0))
        if test.skin is not None:
            events.append(Stimulate(zone=zone.name, skin=test.skin, on=case.schedule.start, cost=0.0))
    text = "The fluid failed its particle test when the screen went in."
    return WhatIf(name="dirty fluid in the hole", description=text, events=tuple(events))


def _fluid_reasons(asked: Suitability, sands: tuple[Sand, ...], what_if: WhatIf | None) -> tuple[Reason, ...]:
    if not sands:
        return ()
    test = asked.fluid_test
    top, base = sands[0].top_md, sands[-1].base_md
    if test is None:
        verdict, text = "open", "no particle test of the fluid is given"
    elif test.clean:
        verdict, text = "for", "the fluid passed its particle test"
    else:
        verdict, text = "against", "the fluid failed its particle test: solids will be pressed into the screen"
        text += f"; the what-if '{what_if.name}' says what that costs" if what_if else ""
    return tuple(
        Reason(kind, "whole well", "fluid", verdict, text, top, base, 0.0, PRACTICE)  # type: ignore[arg-type]
        for kind in SCREENED
    )


# ---- what was not given -----------------------------------------------------------------------------------------


def missing_inputs(
    case: Case, asked: Suitability, sands: tuple[Sand, ...], drawdowns: dict[str, float]
) -> tuple[str, ...]:
    """Inputs without which a criterion could not be applied, one sentence each."""
    found: list[str] = []
    names = {"conforming screen": "conforming", "stand-alone screen": "stand_alone", "gravel pack": "gravel_pack"}
    names |= {"perforated casing": "perforated", "seal": "seal"}
    for kind, key in names.items():
        given = asked.range_of(kind)
        if given is None:
            found.append(f"suitability.{key}: hole range of a {kind} was not given")
            continue
        fields = ["least_hole", "greatest_hole"]
        fields += {"conforming": ["opening"], "stand_alone": ["opening"], "seal": ["length"]}.get(key, [])
        fields += ["gravel_median", "opening", "gravel_least"] if key == "gravel_pack" else []
        lacking = [name for name in fields if getattr(given, name) is None]
        if lacking:
            found.append(f"suitability.{key}: {', '.join(lacking)} not given")
    if len(case.well.hole) < 2:
        found.append("well.hole: one diameter for the whole hole, no caliper")
    sampled = {_sand_at(sands, row.md) for row in asked.sieves}
    bare = [sand.name for sand in sands if sand.name not in sampled]
    if bare:
        found.append(f"suitability.sieves: no sample from {', '.join(bare)}")
    if asked.stress is None:
        found.append("suitability.stress: without it no rock can be judged against drawdown")
    if not asked.strengths and asked.strength_relation != "vernik 1993":
        found.append("suitability.strengths: no rock strength, measured or from a log")
    if any(np.isnan(value) for value in drawdowns.values()) and case.well.kind.endswith("producer"):
        found.append("controls: no bottom_hole_pressure or drawdown, so the planned drawdown is not known")
    test = asked.fluid_test
    if test is None:
        found.append("suitability.fluid_test: no particle test of the fluid")
    elif not test.clean and test.remaining is None and test.skin is None:
        found.append("suitability.fluid_test: remaining or skin, to work out what the dirty fluid costs")
    return tuple(found)


def _sand_at(sands: tuple[Sand, ...], md: float) -> str:
    return next((sand.name for sand in sands if sand.top_md <= md <= sand.base_md), "")


def _warnings(asked: Suitability, sands: tuple[Sand, ...]) -> tuple[str, ...]:
    off = [row.sample for row in asked.sieves if not _sand_at(sands, row.md)]
    names = ", ".join(dict.fromkeys(off))
    return (f"sieve samples from outside every sand are not used: {names}",) if off else ()


def stretches_of(reasons: tuple[Reason, ...], kind: str) -> tuple[Stretch, ...]:
    """Stretches of hole in which a kind breaks its range, top-down."""
    return tuple(
        Stretch(one.top_md, one.base_md)
        for one in reasons
        if one.kind == kind and one.topic == "hole size" and one.length > 0.0
    )

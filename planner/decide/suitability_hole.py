"""Reasons that come from the hole: its diameter against what fits or can be expanded to it, and seats for seals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.base.units import QUANTITIES, from_si
from planner.decide.barriers import gauge, has_caliper, hole_profile, outside, silent
from planner.model.case import Case
from planner.model.names import element_names, in_words
from planner.model.suitability import COMPLETION_KINDS, HoleRange, Suitability
from planner.model.suitability_results import Barrier, Reason, Sand, Seat, Stretch

INPUT = "range given in the case"
BEHAVIOUR = {
    "conforming screen": "there it does not touch the wall, and an annulus stays open",
    "stand-alone screen": "there the annulus is wider than allowed",
    "gravel pack": "there it takes more gravel than planned, and the pack is harder to complete",
    "perforated casing": "there the cement sheath is wider than allowed",
}


def diameter_words(case: Case, value: float) -> str:
    """'8.72 in' in the case's units."""
    return f"{float(from_si(value, 'diameter', case.units)):.4g} {QUANTITIES['diameter'].label(case.units)}"


def hole_reasons(case: Case, asked: Suitability, sands: Sequence[Sand]) -> Iterator[Reason]:
    """Every kind in every sand: the hole foot by foot against its range, one reason a stretch that breaks it."""
    for kind in COMPLETION_KINDS:
        given = asked.range_of(kind)
        for sand in sands:
            yield from _in_sand(case, kind, given, sand)


def _in_sand(case: Case, kind: str, given: HoleRange | None, sand: Sand) -> Iterator[Reason]:
    def reason(verdict: str, text: str, part: Stretch | Sand, length: float = 0.0) -> Reason:
        return Reason(kind, sand.name, "hole size", verdict, text, part.top_md, part.base_md, length, INPUT)  # type: ignore[arg-type]

    if given is None or (given.least_hole is None and given.greatest_hole is None):
        yield reason("open", "no hole range is given for it", sand)
        return
    edges, diameter = hole_profile(case.well.hole, sand.top_md, sand.base_md)
    broken = outside(edges, diameter, given.least_hole, given.greatest_hole, given.washout_tolerance)
    for word, stretch in broken:
        limit = given.least_hole if word == "narrow" else given.greatest_hole
        beyond = "below the least" if word == "narrow" else "above the greatest"
        size, bound = diameter_words(case, stretch.value), diameter_words(case, limit or 0.0)
        what = "it does not go in, or cannot be expanded" if word == "narrow" else BEHAVIOUR[kind]
        text = f"hole of {size}, {beyond} of {bound}, over {in_words(case, stretch.length)}: {what}"
        yield reason("against", text, stretch, stretch.length)
    quiet = silent(case.well.hole, sand.top_md, sand.base_md)
    for stretch in quiet:
        yield reason("open", f"no caliper over {in_words(case, stretch.length)}: the hole is not known there", stretch)
    if broken or quiet:
        return
    if given.least_hole is None or given.greatest_hole is None:
        end = "least" if given.least_hole is None else "greatest"
        yield reason("open", f"inside the one limit that is given; no {end} hole is given", sand)
    elif not has_caliper(case.well.hole):
        yield reason("open", "one diameter is given for the whole hole, no caliper: fits if it is in gauge", sand)
    else:
        size = f"{diameter_words(case, float(diameter.min()))} to {diameter_words(case, float(diameter.max()))}"
        yield reason("for", f"the hole, {size}, is inside its range", sand)


def seat_reasons(case: Case, asked: Suitability, seats: Sequence[Seat]) -> Iterator[Reason]:
    """Whether a seal finds gauge hole inside each barrier."""
    seal = asked.seal
    for seat in seats:
        barrier = seat.barrier

        def reason(verdict: str, text: str, length: float = 0.0, barrier: Barrier = barrier) -> Reason:
            place = (barrier.top_md, barrier.base_md)
            return Reason("seal", barrier.name, "seat", verdict, text, *place, length, INPUT)  # type: ignore[arg-type]

        if seal is None or seal.length is None or (seal.least_hole is None and seal.greatest_hole is None):
            yield reason("open", "length and hole range of a seal are not all given")
        elif seat.stretches:
            longest = in_words(case, max(stretch.length for stretch in seat.stretches))
            word = "" if has_caliper(case.well.hole) else "; one diameter is given for the whole hole, no caliper"
            text = f"gauge hole for a seal of {in_words(case, seal.length)}: up to {longest} in one piece{word}"
            yield reason("open" if word else "for", text)
        else:
            text = f"no {in_words(case, seal.length)} of gauge hole in one piece inside the barrier of "
            text += f"{in_words(case, barrier.length)}; the longest is {in_words(case, seat.longest)}"
            quiet = sum(part.length for part in silent(case.well.hole, barrier.top_md, barrier.base_md))
            text += f"; no caliper over {in_words(case, quiet)} of it" if quiet > 0.0 else ""
            yield reason("against", text, barrier.length)


def string_seal_reasons(case: Case, asked: Suitability, barriers: Sequence[Barrier]) -> Iterator[Reason]:
    """Whether the isolation joints of the string as given sit in gauge hole and inside a barrier."""
    seal = asked.seal
    if seal is None:
        return
    limits = (seal.least_hole, seal.greatest_hole, seal.washout_tolerance)
    for name, element in zip(element_names(case), case.string, strict=True):
        if element.kind != "isolation joint":
            continue
        edges, diameter = hole_profile(case.well.hole, element.top_md, element.base_md)
        bad = [part for _, part in outside(edges, diameter, *limits)]
        texts: list[str] = []
        if bad:
            wide = ", ".join(diameter_words(case, part.value) for part in bad)
            texts.append(f"hole of {wide} over {in_words(case, sum(part.length for part in bad))} is out of its range")
        inside = any(b.top_md <= element.top_md + 0.01 and element.base_md <= b.base_md + 0.01 for b in barriers)
        if not inside:
            texts.append("it does not lie inside a barrier: fluid can pass it through the rock")
        quiet = sum(part.length for part in silent(case.well.hole, element.top_md, element.base_md))
        gauged = gauge(case.well.hole, element.top_md, element.base_md, *limits)
        length = element.base_md - element.top_md - sum(part.length for part in gauged)
        text = "; ".join(texts) or "it sits in gauge hole inside a barrier"
        verdict = "against" if texts else "for" if has_caliper(case.well.hole) else "open"
        if quiet > 0.0 and not texts:
            verdict = "open"
            text = (
                f"it lies inside a barrier; no caliper over {in_words(case, quiet)} of it: the hole is not known there"
            )
        text += "" if has_caliper(case.well.hole) else "; one diameter is given for the whole hole, no caliper"
        place = (element.top_md, element.base_md)
        yield Reason("seal", name, "seal in the string", verdict, text, *place, length, INPUT)  # type: ignore[arg-type]

"""Reasons that come from the grains: whether screen or gravel holds them, and what their sorting calls for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from planner.base.cards import CARDS
from planner.model.suitability import GravelRange, ScreenRange, Suitability
from planner.model.suitability_results import Reason, SampleGrading, Sand, Verdict
from planner.physics.grain_size import (
    Grading,
    coberly_1937_slot,
    grading,
    saucier_1974_gravel,
    schwartz_1969_gravel,
    tiffin_1998_class,
)

GRAVEL_SCREEN = "common practice, no source: screen opening at most 0.7 of the smallest grain of the gravel"
CONFORMING_NOTE = "the classes were made for other kinds; a conforming screen leaves no annulus for sand to sort in"
MICRON = 1e-6

# Class of Tiffin et al. 1998 -> verdict for (conforming, stand-alone, gravel pack) and what it says.
_CALLS: dict[str, tuple[tuple[Verdict, Verdict, Verdict], str]] = {
    "bare screen": (("for", "for", "for"), "well sorted, few fines: a screen alone will do"),
    "woven screen": (("for", "for", "for"), "a screen alone with a woven filter will do"),
    "larger gravel": (("open", "against", "for"), "calls for a gravel pack of 7 to 8 times the median"),
    "larger gravel and open screen": (
        ("open", "against", "for"), "calls for larger gravel and a screen that passes fines",
    ),
    "enlarged well": (("open", "against", "against"), "calls for a larger inflow area, to slow the flow down"),
}  # fmt: skip


def gradings_of(asked: Suitability, sands: Sequence[Sand]) -> tuple[SampleGrading, ...]:
    """Grading of every sieved sample, in the order of the table."""
    found = []
    for name in dict.fromkeys(row.sample for row in asked.sieves):
        rows = [row for row in asked.sieves if row.sample == name]
        g = grading([row.size for row in rows], [row.coarser for row in rows])  # type: ignore[arg-type]
        sand = next((s.name for s in sands if s.top_md <= rows[0].md <= s.base_md), "")
        found.append(
            SampleGrading(
                name, rows[0].md, sand, g.d10, g.d40, g.d50, g.d90, g.d95, g.uniformity, g.sorting, g.fines,
                tiffin_1998_class(g) or "",
            )
        )  # fmt: skip
    return tuple(found)


def sand_reasons(asked: Suitability, sands: Sequence[Sand], gradings: Sequence[SampleGrading]) -> Iterator[Reason]:
    """Retention and sorting for every kind with a screen, sample by sample."""
    for sand in sands:
        own = [sample for sample in gradings if sample.sand == sand.name]
        for kind in ("conforming screen", "stand-alone screen", "gravel pack"):
            if not own:
                text = "no sieved sample of this sand"
                yield Reason(kind, sand.name, "sand retention", "open", text, sand.top_md, sand.base_md, 0.0, "")
        for sample in own:
            yield from _retention(asked, sand, sample, _full(asked, sample))
            yield from _sorting(sand, sample)


def _full(asked: Suitability, sample: SampleGrading) -> Grading:
    rows = [row for row in asked.sieves if row.sample == sample.name]
    return grading([row.size for row in rows], [row.coarser for row in rows])  # type: ignore[arg-type]


def _retention(asked: Suitability, sand: Sand, sample: SampleGrading, grains: Grading) -> Iterator[Reason]:
    def reason(kind: str, verdict: Verdict, text: str, source: str, topic: str = "sand retention") -> Reason:
        told = f"{sample.name}: {text}"
        return Reason(kind, sand.name, topic, verdict, told, sample.md, sample.md, 0.0, source)

    for kind, given in (("conforming screen", asked.conforming), ("stand-alone screen", asked.stand_alone)):
        verdict, text = _bridging(given, grains.d10)
        yield reason(kind, verdict, text, CARDS["coberly_1937"].source)
    pack = asked.gravel_pack
    if pack is None or pack.gravel_median is None:
        yield reason("gravel pack", "open", "the median of the gravel is not given", CARDS["saucier_1974"].source)
        return
    verdict, text = _saucier(pack.gravel_median, grains.d50)
    yield reason("gravel pack", verdict, text, CARDS["saucier_1974"].source)
    verdict, text = _schwartz(pack.gravel_median, grains)
    yield reason("gravel pack", verdict, text, CARDS["schwartz_1969"].source)
    yield reason("gravel pack", *_gravel_screen(pack), GRAVEL_SCREEN, "gravel retention")


def _bridging(given: ScreenRange | None, d10: float) -> tuple[Verdict, str]:
    if given is None or given.opening is None:
        return "open", "the opening of the screen is not given"
    if math.isnan(d10):
        return "open", "D10 is coarser than the coarsest sieve"
    ratio, told = given.opening / d10, f"opening {_micron(given.opening)}, D10 {_micron(d10)}"
    if ratio <= 1.0:
        return "for", f"{told}: the coarsest tenth of the grains is stopped one by one"
    if given.opening <= float(coberly_1937_slot(d10)):
        return "for", f"{told}: grains bridge on it ({ratio:.2f} D10, at most 2)"
    return "against", f"{told}: {ratio:.2f} D10, above 2: grains do not bridge and sand passes"


def _saucier(gravel: float, d50: float) -> tuple[Verdict, str]:
    if math.isnan(d50):
        return "open", "D50 lies outside the sieves"
    least, greatest = (float(value) for value in saucier_1974_gravel(d50))
    told = f"gravel {_micron(gravel)} is {gravel / d50:.1f} times D50 of {_micron(d50)}"
    if gravel > greatest * (1.0 + 1e-9):
        return "against", f"{told}, above 6: sand invades the pack; {_micron(least)} to {_micron(greatest)} asked for"
    if gravel < least * (1.0 - 1e-9):
        return "for", f"{told}, below 5: it holds the sand and is tighter than it need be"
    return "for", f"{told}, between 5 and 6"


def _schwartz(gravel: float, grains: Grading) -> tuple[Verdict, str]:
    wanted = schwartz_1969_gravel(grains)
    if math.isnan(wanted):
        return "open", "the sieves do not reach the sizes that the rule by uniformity needs"
    point = "D10" if grains.uniformity < 5.0 else "D40" if grains.uniformity < 10.0 else "D70"
    told = f"D40/D90 is {grains.uniformity:.1f}, so {point} of the gravel should be {_micron(wanted)}"
    # Of the gravel one size alone, its median, is known: D10 of a gravel is coarser than its median, D70 finer.
    if point == "D10" and gravel > wanted:
        return "against", f"{told}; its median alone, {_micron(gravel)}, is coarser"
    return "open", f"{told}; of the gravel the median alone is given ({_micron(gravel)})"


def _gravel_screen(pack: GravelRange) -> tuple[Verdict, str]:
    if pack.opening is None or pack.gravel_least is None:
        return "open", "opening of its screen or smallest grain of the gravel is not given"
    ratio = pack.opening / pack.gravel_least
    told = f"opening {_micron(pack.opening)} is {ratio:.2f} of the smallest grain of the gravel"
    return ("for", told) if ratio <= 0.7 else ("against", f"{told}: gravel can pass")


def _sorting(sand: Sand, sample: SampleGrading) -> Iterator[Reason]:
    source = CARDS["tiffin_1998"].source
    place = (sample.md, sample.md)
    kinds = ("conforming screen", "stand-alone screen", "gravel pack")
    if not sample.calls_for:
        text = f"{sample.name}: the sieves do not reach D95, D90 or 44 micron"
        for kind in kinds:
            yield Reason(kind, sand.name, "sorting and fines", "open", text, *place, 0.0, source)
        return
    verdicts, says = _CALLS[sample.calls_for]
    told = (
        f"{sample.name}: D10/D95 {sample.sorting:.1f}, D40/D90 {sample.uniformity:.1f}, fines "
        f"{100.0 * sample.fines:.1f} %: {says}"
    )
    for kind, verdict in zip(kinds, verdicts, strict=True):
        text = f"{told}; {CONFORMING_NOTE}" if kind == "conforming screen" and verdict == "open" else told
        yield Reason(kind, sand.name, "sorting and fines", verdict, text, *place, 0.0, source)


def _micron(size: float) -> str:
    return f"{size / MICRON:.0f} micron"

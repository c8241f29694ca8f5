"""Sands, the barriers that part them, and where the hole is in gauge: what zone split and suitability share."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from planner.model.case import Case, HoleSize, Layer
from planner.model.results import Floats
from planner.model.suitability_results import Barrier, Sand, Stretch

JOIN = 1e-6  # m: depths closer than this are one


def sands_and_barriers(
    case: Case, least: float, given: Sequence[tuple[float, float]] = (), low_net: float = 0.0
) -> tuple[tuple[Sand, ...], tuple[Barrier, ...]]:
    """Sands from top to bottom and the barriers between them.

    least: shortest barrier, m along the hole; given: top and base md of barriers named by the user, which part sands
    whatever else is there (none: gaps between layers); low_net: layers of this net-to-gross or less count as barrier.
    """
    pay = sorted((one for one in case.layers if one.net_to_gross > low_net), key=lambda one: one.top_md)
    if not pay:
        return (), ()
    gaps = _given_gaps(pay, given) if given else _open_gaps(pay, least)
    groups: list[list[Layer]] = [[]]
    for number, layer in enumerate(pay):
        if number and any(gap.base_md <= layer.top_md + JOIN and _below(groups[-1], gap) for gap in gaps):
            groups.append([])
        groups[-1].append(layer)
    names = _names(case, groups)
    sands = tuple(
        Sand(name, min(o.top_md for o in group), max(o.base_md for o in group), tuple(o.name for o in group))
        for name, group in zip(names, groups, strict=True)
    )
    return sands, _barriers(sands, gaps, given)


def _below(group: Sequence[Layer], gap: Stretch) -> bool:
    """Whether a gap lies below every layer of a group."""
    return bool(group) and gap.top_md >= max(layer.base_md for layer in group) - JOIN


def _open_gaps(pay: Sequence[Layer], least: float) -> list[Stretch]:
    found, base = [], pay[0].base_md
    for layer in pay[1:]:
        if layer.top_md - base >= least - JOIN:
            found.append(Stretch(base, layer.top_md))
        base = max(base, layer.base_md)
    return found


def _given_gaps(pay: Sequence[Layer], given: Sequence[tuple[float, float]]) -> list[Stretch]:
    """Barriers that the user names, those that no layer crosses; a barrier inside a layer is told by `crossed`."""
    return [
        Stretch(top, base)
        for top, base in sorted(given)
        if not any(layer.top_md < base - JOIN and layer.base_md > top + JOIN for layer in pay)
    ]


def crossed(case: Case, given: Sequence[tuple[float, float]], low_net: float = 0.0) -> list[tuple[float, float, str]]:
    """Barriers named by the user that a layer of pay crosses, with its name: they part nothing."""
    return [
        (top, base, layer.name)
        for top, base in given
        for layer in case.layers
        if layer.net_to_gross > low_net and layer.top_md < base - JOIN and layer.base_md > top + JOIN
    ]


def _names(case: Case, groups: Sequence[Sequence[Layer]]) -> list[str]:
    """Names of the case's zones where there are as many; else those of the layers."""
    if len(case.zones) == len(groups):
        return list(case.zones)
    return [group[0].name if len(group) == 1 else f"{group[0].name} to {group[-1].name}" for group in groups]


def _barriers(
    sands: Sequence[Sand], gaps: Sequence[Stretch], given: Sequence[tuple[float, float]]
) -> tuple[Barrier, ...]:
    found: list[Barrier] = []
    source = "given" if given else "gap between layers"
    for number, (upper, lower) in enumerate(pairwise(sands)):
        between = [g for g in gaps if g.top_md >= upper.base_md - JOIN and g.base_md <= lower.top_md + JOIN]
        for count, gap in enumerate(between):
            more = f" ({count + 1})" if len(between) > 1 else ""
            name = f"{upper.name} / {lower.name}{more}"
            found.append(Barrier(name, gap.top_md, gap.base_md, number, number + 1, source))
    return tuple(found)


# ---- the hole ---------------------------------------------------------------------------------------------------


def hole_profile(hole: Sequence[HoleSize], top: float, base: float) -> tuple[Floats, Floats]:
    """Hole between two depths as edges [n + 1, m] and diameters [n, m]; each row holds down to the next.

    The first row holds above its depth too.
    """
    rows = sorted(hole, key=lambda row: row.md)
    inner = [row.md for row in rows[1:] if top < row.md < base]
    edges: Floats = np.array([top, *inner, base], dtype=np.float64)
    starts = np.array([row.md for row in rows])
    at = np.maximum(np.searchsorted(starts, edges[:-1], side="right") - 1, 0)
    return edges, np.array([rows[k].diameter for k in at], dtype=np.float64)


def has_caliper(hole: Sequence[HoleSize]) -> bool:
    """Whether the hole is more than one diameter, or says where it was measured."""
    return len(hole) > 1


def silent(hole: Sequence[HoleSize], top: float, base: float) -> list[Stretch]:
    """Stretches between two depths in which the caliper says nothing, with the diameter that stands in."""
    rows = sorted(hole, key=lambda row: row.md)
    found = []
    for number, row in enumerate(rows):
        start = max(row.md if number else -np.inf, top)
        end = min(rows[number + 1].md if number + 1 < len(rows) else np.inf, base)
        if not row.measured and end - start > JOIN:
            found.append(Stretch(start, end, row.diameter))
    return found


def outside(
    edges: Floats, diameter: Floats, least: float | None, greatest: float | None, tolerance: float
) -> list[tuple[str, Stretch]]:
    """Stretches outside a range, top-down: 'narrow' or 'wide' with the extreme diameter.

    tolerance [m]: a wide stretch not longer than this does not count; a narrow one always does.
    """
    found: list[tuple[str, Stretch]] = []
    for word, flags in (
        ("narrow", diameter < least if least is not None else np.zeros(diameter.size, dtype=bool)),
        ("wide", diameter > greatest if greatest is not None else np.zeros(diameter.size, dtype=bool)),
    ):
        for first, last in runs(flags):
            extreme = diameter[first : last + 1].min() if word == "narrow" else diameter[first : last + 1].max()
            stretch = Stretch(float(edges[first]), float(edges[last + 1]), float(extreme))
            if word == "narrow" or stretch.length > tolerance + JOIN:
                found.append((word, stretch))
    return sorted(found, key=lambda pair: pair[1].top_md)


def gauge(
    hole: Sequence[HoleSize], top: float, base: float, least: float | None, greatest: float | None, tolerance: float
) -> list[Stretch]:
    """Stretches between two depths in which the hole is inside a range, wash-outs within the tolerance included.

    Where the caliper is silent the hole is not known to be in gauge.
    """
    if base - top <= JOIN:
        return []
    edges, diameter = hole_profile(hole, top, base)
    bad = [stretch for _, stretch in outside(edges, diameter, least, greatest, tolerance)]
    bad = _joined([*bad, *silent(hole, top, base)])
    cuts = [top, *(depth for stretch in bad for depth in (stretch.top_md, stretch.base_md)), base]
    pairs = zip(cuts[::2], cuts[1::2], strict=True)
    return [Stretch(start, end) for start, end in pairs if end - start > JOIN]


def _joined(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Stretches that overlap or touch, as one; top-down."""
    made: list[Stretch] = []
    for one in sorted(stretches, key=lambda part: part.top_md):
        if made and one.top_md <= made[-1].base_md + JOIN:
            made[-1] = Stretch(made[-1].top_md, max(made[-1].base_md, one.base_md))
        else:
            made.append(one)
    return made


def runs(flags: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[tuple[int, int]]:
    """First and last index of every run of true values."""
    padded = np.concatenate(([False], flags, [False])).astype(np.int8)
    starts, ends = np.flatnonzero(np.diff(padded) == 1), np.flatnonzero(np.diff(padded) == -1)
    return [(int(a), int(b) - 1) for a, b in zip(starts, ends, strict=True)]

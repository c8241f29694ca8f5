"""Strings built for a split: for valuing it, and the proposal itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.base.errors import CaseError, Problem
from planner.model.case import Case, Element, ElementKind
from planner.model.split_results import TallyRow
from planner.model.suitability_results import Barrier, Sand, Seat

TOP_KINDS = ("casing", "hanger")
HIDDEN = 0.25  # share of a sand, at each end, by which the worth of screen there is probed
LEAST_BLANK = 1.0  # m of blank that a string made for valuing has above its first screen
KINDS: dict[str, ElementKind] = {"screen": "screen", "blank": "blank pipe", "seal": "isolation joint"}


@dataclass(frozen=True)
class Layout:
    """What a string is built from: sands, barriers with their seats, where the joints begin, the deepest bottom."""

    sands: tuple[Sand, ...]
    barriers: tuple[Barrier, ...]
    seats: tuple[Seat, ...]
    top_md: float
    base_md: float
    seal_length: float


def head_of(case: Case) -> tuple[Element, ...]:
    """Casing and hanger at the head of the string, which stay."""
    tiles = sorted(case.string, key=lambda one: one.top_md)
    count = next((k for k, one in enumerate(tiles) if one.kind not in TOP_KINDS), len(tiles))
    return tuple(tiles[:count])


def pattern_of(case: Case, role: str) -> Element:
    """The first element of a kind in the case's string, whose diameters, screen and losses new ones get."""
    kind = KINDS[role]
    found = next((one for one in case.string if one.kind == kind), None)
    if found is not None:
        return found
    if role == "screen":
        remedy = "Put one screen into the string, with its kind and losses: the split copies it."
        raise CaseError([Problem("", "string", "", "the string has no screen to take as a pattern", remedy)])
    return Element(kind=kind, top_md="0 m", base_md="1 m")


def piece(case: Case, role: str, top: float, base: float, name: str) -> Element:
    """One element between two depths [m], made after the pattern of its kind."""
    return pattern_of(case, role).model_copy(update={"top_md": top, "base_md": base, "name": name})


def with_string(case: Case, parts: Sequence[tuple[str, float, float]], zones: Sequence[str]) -> Case:
    """The case with a string of parts (role, top, base) below its head, zones named, without what-ifs."""
    count: dict[str, int] = {}
    made: list[Element] = []
    for role, top, base in parts:
        count[role] = count.get(role, 0) + 1
        made.append(piece(case, role, top, base, f"{role} {count[role]}"))
    return case.model_copy(
        update={"string": (*head_of(case), *made), "zones": tuple(zones), "what_ifs": (), "split": None,
                "suitability": None}
    )  # fmt: skip


# ---- strings to value with --------------------------------------------------------------------------------------


def valuing_case(case: Case, layout: Layout, cuts: Sequence[int], hidden: tuple[int, str, float] | None = None) -> Case:
    """The well with screen over all pay, blank elsewhere, and a seal in each of some barriers (indexes).

    The later element is made short enough for every blank, so that what is valued is the choice, not the room.
    hidden: sand, 'upper' or 'lower', length [m] of its screen that is blank instead.
    """
    parts, depth = [], layout.top_md
    open_from = max(layout.sands[0].top_md, layout.top_md + LEAST_BLANK)
    for number, sand in enumerate(layout.sands):
        top, base = max(sand.top_md, open_from), sand.base_md
        if hidden is not None and hidden[0] == number:
            top, base = (top + hidden[2], base) if hidden[1] == "upper" else (top, max(base - hidden[2], top))
        for barrier in (k for k in cuts if layout.barriers[k].below == number):
            start, end = seal_place(layout, barrier)
            parts += [("blank", depth, start), ("seal", start, end)]
            depth = end
        parts += [("blank", depth, top), ("screen", top, base)]
        depth = base
    parts.append(("blank", depth, layout.sands[-1].base_md))
    kept = [part for part in parts if part[2] - part[1] > 1e-6]
    room = min((base - top for role, top, base in kept if role == "blank"), default=LEAST_BLANK)
    later = case.later_element
    if later.length + 2.0 * later.depth_tolerance > room:
        later = later.model_copy(update={"length": 0.5 * room, "depth_tolerance": 0.2 * room})
    made = with_string(case, kept, zone_names(layout.sands, layout.barriers, cuts))
    return made.model_copy(update={"later_element": later})


def one_each(layout: Layout) -> list[int]:
    """One barrier of each pair of sands: the one with the longest gauge hole."""
    best: dict[int, int] = {}
    for k, barrier in enumerate(layout.barriers):
        if barrier.below not in best or layout.seats[k].longest > layout.seats[best[barrier.below]].longest:
            best[barrier.below] = k
    return sorted(best.values())


def seal_place(layout: Layout, barrier: int) -> tuple[float, float]:
    """Top and base of a seal in the middle of the longest seat of a barrier, shorter where the barrier is short."""
    own = layout.seats[barrier].stretches
    where = max(own, key=lambda one: one.length) if own else layout.barriers[barrier]
    length = min(layout.seal_length, 0.6 * where.length)
    middle = 0.5 * (where.top_md + where.base_md)
    return middle - 0.5 * length, middle + 0.5 * length


def zone_names(sands: Sequence[Sand], barriers: Sequence[Barrier], cuts: Sequence[int]) -> list[str]:
    """Names of the zones that seals in some barriers make."""
    edges = sorted(barriers[k].below for k in cuts)
    starts, ends = [0, *edges], [*edges, len(sands)]
    return [group_name(sands[a:b]) for a, b in zip(starts, ends, strict=True)]


def group_name(sands: Sequence[Sand]) -> str:
    """'Fern' or 'Fern to Bracken'."""
    return sands[0].name if len(sands) == 1 else f"{sands[0].name} to {sands[-1].name}"


# ---- the proposal -----------------------------------------------------------------------------------------------


def tally_of(roles: Sequence[tuple[str, float]], top_md: float) -> tuple[TallyRow, ...]:
    """Joint by joint from (role, length m), top-down; joints of one role that follow on make one element."""
    rows: list[TallyRow] = []
    count: dict[str, int] = {}
    depth = top_md
    for role, run in groupby(roles, key=lambda one: one[0]):
        own = list(run)
        for k, (_, length) in enumerate(own):
            if k == 0 or role == "seal":
                count[role] = count.get(role, 0) + 1
            name = f"{role} {count[role]}"
            rows.append(TallyRow(len(rows) + 1, KINDS[role], name, length, depth, depth + length))
            depth += length
    return tuple(rows)


def parts_of(tally: Sequence[TallyRow]) -> list[tuple[str, float, float]]:
    """Elements (role, top, base) of a tally."""
    roles: dict[str, str] = {kind: role for role, kind in KINDS.items()}
    found = []
    for _, run in groupby(tally, key=lambda row: row.element):
        own = list(run)
        found.append((roles[own[0].kind], own[0].top_md, own[-1].base_md))
    return found

"""The string cut into pieces, and the blanks in which something can be set later."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import CaseError, Problem
from planner.model.case import Case, Element, HoleSize, LaterElement
from planner.model.names import element_names, in_words
from planner.network.records import TOUCH, Blank, Exposed, Outside, Piece
from planner.network.trajectory import Trajectory

INCH = 0.0254
INSIDE = ("packer", "plug")  # these sit inside a blank pipe
INNER_PIPE = "inner pipe"  # hangs inside the bore; all others tile the string


def string_order(case: Case) -> list[int]:
    """Indexes into case.string of the elements that follow on one another, top-down."""
    tiles = [k for k, element in enumerate(case.string) if element.kind not in (*INSIDE, INNER_PIPE)]
    return sorted(tiles, key=lambda k: (case.string[k].top_md, k))


def mean_hole_diameter(hole: tuple[HoleSize, ...], top_md: float, base_md: float) -> float:
    """Length-weighted mean hole diameter [m] between two depths [m]; each row holds down to the next."""
    starts = np.array([row.md for row in hole])
    sizes = np.array([row.diameter for row in hole])
    order = np.argsort(starts, kind="stable")
    edges: NDArray[np.float64] = np.concatenate(([-np.inf], starts[order][1:], [np.inf]))
    share = np.clip(np.minimum(edges[1:], base_md) - np.maximum(edges[:-1], top_md), 0.0, None)
    return float(np.sum(share * sizes[order]) / np.sum(share))


def later_need(later: LaterElement) -> float:
    """Length of blank pipe [m] that a later element takes with its depth tolerance each way."""
    return later.length + 2.0 * later.depth_tolerance


def rooms_in(length: float, later: LaterElement) -> int:
    """How many later elements fit one below the other in a blank pipe of this length [m]; more than 2 count as 2."""
    return min(2, int(length / later_need(later) + 1e-9))


def _count(case: Case, element: Element) -> int:
    """Pieces of an element: a blank gets a boundary at its middle, and at its quarters when two elements fit."""
    length = element.base_md - element.top_md
    count = max(1, math.ceil(length / case.numerics.piece_length - 1e-9))
    if element.kind != "blank pipe":
        return count
    unit = 4 if rooms_in(length, case.later_element) == 2 else 2
    return unit * math.ceil(count / unit)


def _surroundings(element: Element) -> tuple[Outside, Exposed]:
    if element.kind == "blank pipe":
        if element.cemented:
            return "none", "closed"
        return ("gravel" if element.gravel_permeability else "open"), "annulus"
    if element.kind in ("open hole", "perforated casing"):
        return "none", "bore"
    if element.kind != "screen":
        return "none", "closed"
    if element.screen == "conforming":
        return "none", "bore"
    return ("gravel" if element.screen == "gravel pack" else "open"), "annulus"


def _diameters(case: Case, element: Element, hole: float) -> tuple[float, float]:
    """Inner and outer diameter [m]; bare hole is as wide as it was drilled."""
    if element.kind == "open hole":
        return element.inner_diameter or hole, element.outer_diameter or hole
    inner = element.inner_diameter or case.numerics.inner_diameter
    return inner, element.outer_diameter or inner + INCH


def cut_string(case: Case, trajectory: Trajectory) -> tuple[Piece, ...]:
    """The string as pieces not longer than numerics.piece_length, top-down.

    Raises CaseError when elements leave a gap or overlap, or a pipe does not fit the hole.
    """
    check_string(case)
    names = element_names(case)
    pieces: list[Piece] = []
    for k in string_order(case):
        element = case.string[k]
        edges = _edges(case, element)
        tops, bases, mids = (trajectory.tvd(x) for x in (edges[:-1], edges[1:], 0.5 * (edges[:-1] + edges[1:])))
        outside, exposed = _surroundings(element)
        for n, (top, base) in enumerate(pairwise(edges)):
            hole = mean_hole_diameter(case.well.hole, top, base)
            inner, outer = _diameters(case, element, hole)
            pieces.append(
                Piece(
                    index=len(pieces), element=k, name=names[k], kind=element.kind, screen=element.screen,
                    top_md=float(top), base_md=float(base), tvd=float(mids[n]), top_tvd=float(tops[n]),
                    base_tvd=float(bases[n]), inner_diameter=inner, outer_diameter=outer, hole_diameter=hole,
                    roughness=element.roughness, outside=outside, exposed=exposed,
                    nozzles=(element.nozzle_area or 0.0) * (base - top) / (element.base_md - element.top_md),
                )
            )  # fmt: skip
    return _with_inner_pipe(case, tuple(pieces))


def _edges(case: Case, element: Element) -> NDArray[np.float64]:
    """Depths at which an element is cut: evenly, and at the ends of an inner pipe (blank pipe: evenly alone)."""
    edges = np.linspace(element.top_md, element.base_md, _count(case, element) + 1)
    if element.kind == "blank pipe":
        return edges
    ends = [md for e in case.string if e.kind == INNER_PIPE for md in (e.top_md, e.base_md)]
    inside = [md for md in ends if element.top_md + TOUCH < md < element.base_md - TOUCH]
    return np.array(sorted({*edges.tolist(), *inside}))


def inner_pipe(case: Case) -> Element | None:
    """The pipe that hangs inside the string, None where there is none."""
    return next((element for element in case.string if element.kind == INNER_PIPE), None)


def covered(case: Case, pieces: tuple[Piece, ...]) -> tuple[int, int] | None:
    """First and last piece that the inner pipe passes; its ends lie at the nearest cuts of the string."""
    pipe = inner_pipe(case)
    if pipe is None:
        return None
    cuts = np.array([pieces[0].top_md, *(piece.base_md for piece in pieces)])
    first, after = (int(np.abs(cuts - md).argmin()) for md in (pipe.top_md, pipe.base_md))
    after = min(after, len(pieces) - 1)  # its shoe is above the last piece
    return (first, after - 1) if after > first else None


def _with_inner_pipe(case: Case, pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The pieces, filled where an inner pipe passes them."""
    pipe, within = inner_pipe(case), covered(case, pieces)
    if pipe is None or within is None:
        return pieces
    outer = pipe.outer_diameter or 0.0
    return tuple(
        replace(piece, filled=outer) if within[0] <= piece.index <= within[1] else piece for piece in pieces
    )  # fmt: skip


def check_string(case: Case) -> None:
    """Raises CaseError with every gap, overlap, misplaced packer and pipe wider than its hole."""
    names = element_names(case)
    order = string_order(case)
    problems: list[Problem] = []

    def problem(k: int, column: str, value: float, message: str, remedy: str) -> None:
        problems.append(Problem("", f"string[{k}].{column}", in_words(case, value), message, remedy))

    for k, element in enumerate(case.string):
        if element.base_md <= element.top_md and element.kind not in INSIDE:
            problem(k, "base_md", element.base_md, f"{names[k]} ends above its top", "Give a base below the top.")
    for upper, lower in pairwise(order):
        gap = case.string[lower].top_md - case.string[upper].base_md
        if abs(gap) > TOUCH:
            text = f"{names[lower]} {'leaves a gap below' if gap > 0 else 'overlaps'} {names[upper]}"
            problem(lower, "top_md", case.string[lower].top_md, text, "Let each element begin where the last one ends.")
    for k, element in enumerate(case.string):
        if element.kind in INSIDE and blank_around(case, k) is None:
            problem(k, "top_md", element.top_md, f"{names[k]} is not inside a blank pipe", "Move it into a blank pipe.")
    for k in order:
        element = case.string[k]
        if element.base_md <= element.top_md:
            continue
        hole = mean_hole_diameter(case.well.hole, element.top_md, element.base_md)
        wide = _diameters(case, element, hole)[1]
        if _surroundings(element)[0] != "none" and wide >= hole:
            text = f"{names[k]} is as wide as the hole or wider: no annulus is left"
            problem(k, "outer_diameter", wide, text, "Give a smaller outer diameter, or check well.hole.")
    if not order:
        problems.append(Problem("", "string", "", "no pipe and no open hole", "Add the elements of the string."))
    if problems:
        raise CaseError(problems)


def blank_around(case: Case, element: int) -> int | None:
    """Index into case.string of the blank pipe that holds the middle of a packer or plug, or None."""
    middle = 0.5 * (case.string[element].top_md + case.string[element].base_md)
    for k, other in enumerate(case.string):
        if other.kind == "blank pipe" and other.top_md <= middle <= other.base_md:
            return k
    return None


def find_blanks(case: Case, pieces: tuple[Piece, ...]) -> tuple[Blank, ...]:
    """The blank pipes of the string, top-down, with the bore links in which later elements would be set.

    One with nozzles, or with an inner pipe in it, is left out: nothing is set there (common practice, no source).
    """
    blanks = []
    for k in dict.fromkeys(piece.element for piece in pieces if piece.kind == "blank pipe"):
        if any((piece.nozzles or piece.filled) and piece.element == k for piece in pieces):
            continue
        own = [piece.index for piece in pieces if piece.element == k]
        element, count = case.string[k], len(own)
        rooms = rooms_in(element.base_md - element.top_md, case.later_element)
        places = (count // 4, 3 * count // 4) if rooms == 2 else (count // 2, count // 2)
        blanks.append(
            Blank(
                element=k, name=pieces[own[0]].name, top_md=element.top_md, base_md=element.base_md,
                first=own[0], last=own[-1], rooms=rooms,
                upper=own[0] + places[0] - 1, lower=own[0] + places[1] - 1,
            )
        )  # fmt: skip
    return tuple(blanks)


def initial_closures(case: Case, pieces: tuple[Piece, ...]) -> dict[int, tuple[int, ...]]:
    """Bore links closed from the start -> the packers and plugs (indexes into case.string) that close them."""
    closed: dict[int, tuple[int, ...]] = {}
    for k, element in enumerate(case.string):
        if element.kind not in INSIDE:
            continue
        holder = blank_around(case, k)
        own = [piece for piece in pieces if piece.element == holder]
        middle = 0.5 * (element.top_md + element.base_md)
        link = min(own[:-1], key=lambda piece: abs(piece.base_md - middle)).index
        closed[link] = (*closed.get(link, ()), k)
    return closed

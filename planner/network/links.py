"""The links of a well: every way in which fluid can move between bore, annulus and rock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from planner.model.case import Case
from planner.model.names import element_names
from planner.network.pieces import covered, initial_closures, inner_pipe
from planner.network.records import TOP, TOUCH, Blank, Column, Link, Piece


def all_links(case: Case, pieces: tuple[Piece, ...], columns: tuple[Column, ...]) -> Iterator[Link]:
    """Every link of the well but the bypasses of straddles; the bore links come first, in the order of the pieces."""
    yield from bore_links(case, pieces)
    sealed = sealed_top(case, pieces) == -1
    yield Link("top", pieces[0].bore_node, TOP, length=0.5 * pieces[0].length, open=not sealed, piece=0)
    yield from inner_pipe_links(case, pieces)
    yield from annulus_links(pieces)
    yield from screen_links(pieces)
    yield from seal_links(case, pieces)
    yield from sandface_links(pieces, columns)
    yield from vertical_links(case, columns)


def series_conductance(leaks: list[float]) -> float:
    """Leak conductance [m3/s/Pa at 1 cP] of seals one behind the other; one tight seal makes the run tight."""
    if not leaks or min(leaks) <= 0.0:
        return 0.0
    return 1.0 / sum(1.0 / leak for leak in leaks)


def leak_of(link: Link, leaks: Mapping[str, float]) -> float:
    """Conductance [m3/s/Pa at 1 cP] of a seal link or closed plug, from the leak of each element by its name."""
    return series_conductance([leaks[name] for name in link.elements])


def bore_links(case: Case, pieces: tuple[Piece, ...]) -> Iterator[Link]:
    """Bore between consecutive pieces, closed where a packer or plug sits from the start."""
    names = element_names(case)
    closed = initial_closures(case, pieces)
    packer = sealed_top(case, pieces)
    if packer is not None and packer >= 0:
        closed[packer] = (*closed.get(packer, ()), case.string.index(inner_pipe(case)))
    for upper, lower in pairwise(pieces):
        plugs = closed.get(upper.index, ())
        leak = series_conductance([case.string[k].leak for k in plugs])
        yield Link(
            "bore", upper.bore_node, lower.bore_node, name=names[plugs[0]] if plugs else "",
            length=0.5 * (upper.length + lower.length), open=not plugs, piece=upper.index, other_piece=lower.index,
            elements=tuple(names[k] for k in plugs), conductance=leak,
        )  # fmt: skip


def sealed_top(case: Case, pieces: tuple[Piece, ...]) -> int | None:
    """Bore link in which the packer round the top of the inner pipe sits; -1: at the top of the string; None: none."""
    pipe, within = inner_pipe(case), covered(case, pieces)
    return None if pipe is None or within is None or pipe.open_top else within[0] - 1


def inner_pipe_links(case: Case, pieces: tuple[Piece, ...]) -> Iterator[Link]:
    """The inner pipe as a link of its own, from the bore above its top to the bore below its shoe."""
    pipe, within = inner_pipe(case), covered(case, pieces)
    if pipe is None or within is None:
        return
    first, last = within
    yield Link(
        "inner pipe", pieces[first - 1].bore_node if first else TOP, pieces[last + 1].bore_node,
        name=element_names(case)[case.string.index(pipe)], length=pieces[last].base_md - pieces[first].top_md,
        piece=max(first - 1, 0), other_piece=last + 1, diameter=pipe.inner_diameter or 0.0,
    )  # fmt: skip


def annulus_links(pieces: tuple[Piece, ...]) -> Iterator[Link]:
    """Annulus between consecutive pieces that both have one."""
    for upper, lower in pairwise(pieces):
        if "none" not in (upper.outside, lower.outside):
            yield Link(
                "annulus", ("annulus", upper.index), ("annulus", lower.index),
                length=0.5 * (upper.length + lower.length), piece=upper.index, other_piece=lower.index,
            )  # fmt: skip


def screen_links(pieces: tuple[Piece, ...]) -> Iterator[Link]:
    """Through the screens that have an annulus, and from an annulus into the face of what fills the hole next to it."""
    for piece in pieces:
        if piece.lets_in and piece.outside != "none":
            yield Link(
                "screen", ("annulus", piece.index), piece.bore_node, name=piece.name, length=piece.length,
                piece=piece.index, other_piece=piece.index,
            )  # fmt: skip
    for upper, lower in pairwise(pieces):
        for behind, face in ((upper, lower), (lower, upper)):
            if behind.outside != "none" and face.outside == "none" and face.lets_in and not face.cemented:
                yield Link(
                    "screen end", ("annulus", behind.index), face.bore_node, name=face.name,
                    length=0.5 * behind.length, piece=behind.index, other_piece=face.index,
                )  # fmt: skip


def seal_links(case: Case, pieces: tuple[Piece, ...]) -> Iterator[Link]:
    """Past each run of isolation joints and hangers that parts two outsides; cement in it seals for good."""
    names = element_names(case)
    exposed = [piece for piece in pieces if piece.exposed != "closed"]
    for upper, lower in pairwise(exposed):
        run = list(dict.fromkeys(piece.element for piece in pieces[upper.index + 1 : lower.index]))
        if not run or any(case.string[k].kind == "casing" or case.string[k].cemented for k in run):
            continue
        leak = series_conductance([case.string[k].leak for k in run])
        a, b = upper.outside_node, lower.outside_node
        assert a is not None and b is not None
        yield Link(
            "seal", a, b, name=names[run[0]], length=lower.top_md - upper.base_md, open=leak > 0.0,
            piece=upper.index, other_piece=lower.index, elements=tuple(names[k] for k in run), conductance=leak,
        )  # fmt: skip


def sandface_links(pieces: tuple[Piece, ...], columns: tuple[Column, ...]) -> Iterator[Link]:
    """From each column into the pieces that it opens to."""
    for column in columns:
        for opening in column.openings:
            yield Link(
                "sandface", ("rock", column.index), (opening.into, opening.piece), length=opening.length,
                piece=opening.piece, column=column.index,
            )  # fmt: skip


def vertical_links(case: Case, columns: tuple[Column, ...]) -> Iterator[Link]:
    """Between the parts of a layer that a seal splits, and between layers that touch and are connected."""
    for upper, lower in pairwise(columns):
        layer = case.layers[upper.layer]
        touching = abs(lower.top_md - upper.base_md) < TOUCH
        if upper.layer == lower.layer or (layer.connected_below and touching):
            yield Link(
                "vertical", ("rock", upper.index), ("rock", lower.index),
                length=0.5 * abs(lower.top_tvd + lower.base_tvd - upper.top_tvd - upper.base_tvd),
                column=upper.index, other_column=lower.index, across_zones=upper.zone != lower.zone,
            )  # fmt: skip


def bypass_link(case: Case, pieces: tuple[Piece, ...], upper: Blank, lower: Blank) -> Link:
    """Inner pipe of a straddle set from one blank pipe to a deeper one, closed until it is set."""
    top, base = upper.lower, lower.upper
    return Link(
        "bypass", ("bore", top), ("bore", base + 1), name=f"straddle {upper.name} to {lower.name}",
        length=pieces[base].base_md - pieces[top].base_md, open=False, piece=top, other_piece=base + 1,
        diameter=case.later_element.straddle_inner_diameter,
    )  # fmt: skip

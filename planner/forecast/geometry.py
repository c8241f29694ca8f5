"""Where along the string each row of the network acts: for reading states back by piece of the string."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.forecast.snapshots import Snapshots
from planner.network.compile import Network
from planner.network.records import Link

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Straddle(NamedTuple):
    """The inner pipe of a straddle: place of its row, the pieces whose bores it joins, name, diameter and area [m2]."""

    row: int
    upper: int
    lower: int
    name: str
    diameter: float
    area: float


class Closure(NamedTuple):
    """A seal, packer or plug, there from the start or to come: place of its row and of its two nodes, its names.

    fall: depth of the lower node less that of the upper, m; pieces: where it stands.
    """

    row: int
    a: int
    b: int
    fall: float
    names: tuple[str, ...]
    pieces: tuple[int, ...]
    later: bool


@dataclass(frozen=True)
class StringGeometry:
    """Places in StringStates by piece (P of them), see `geometry`.

    bore, outside [P]: places of the nodes of bore and of annulus (of the bore where there is none). top_row [P]: place
    of the row at the top of each piece. inflow: (piece, place of row, sign) of what enters the bore. annulus_row and
    annulus_area [P-1]: -1 and nan where the annulus does not go on. screen_row [P]: of a screen with an annulus, or -1.
    Of the sandface [S]: face_row (place), face_piece, face_body, face_layer, face_cell (place of its cell), fall (m),
    conductance (as built, m3), bare (without skin, m3), screened (loss of a screen, gravel or nozzle in series).
    cell_weight [C], body_start [bodies]: shares of the cells in the volume of their body, and its first cell.
    """

    bore: Ints
    outside: Ints
    top_row: Ints
    inflow: tuple[tuple[int, int, float], ...]
    annulus_row: Ints
    annulus_area: Floats
    screen_row: Ints
    diameter: Floats
    length: Floats
    screen_area: Floats
    face_row: Ints
    face_piece: Ints
    face_body: Ints
    face_layer: Ints
    face_cell: Ints
    cell_weight: Floats
    body_start: Ints
    fall: Floats
    conductance: Floats
    bare: Floats
    screened: NDArray[np.bool_]
    straddles: tuple[Straddle, ...]
    closures: tuple[Closure, ...]


def geometry(net: Network, kept: Snapshots) -> StringGeometry:
    """Where the rows and nodes that were kept lie along the string."""
    pieces = net.graph.pieces
    count = len(pieces)
    bore = kept.at_node[list(net.bore)]
    outside = np.array([kept.at_node[net.annulus.get(k, net.bore[k])] for k in range(count)])
    top = next(link for link in net.graph.links if link.kind == "top")
    tops = [top.index, *range(count - 1)]  # link k of the graph is the bore between pieces k and k + 1
    annulus_row, annulus_area = np.full(count - 1, -1), np.full(count - 1, np.nan)
    screen_row = np.full(count, -1)
    for link in net.graph.links:
        row = net.rows_of_link[link.index][0] if link.kind in ("annulus", "screen") else -1
        if link.kind == "annulus":
            annulus_row[link.piece], annulus_area[link.piece] = kept.at_row[row], net.links.area[row]
        elif link.kind == "screen":
            screen_row[link.piece] = kept.at_row[row]
    face = kept.sandface
    return StringGeometry(
        bore=bore,
        outside=outside,
        top_row=np.array([kept.at_row[net.rows_of_link[k][0]] for k in tops]),
        inflow=tuple(_inflow(net, kept)),
        annulus_row=annulus_row,
        annulus_area=annulus_area,
        screen_row=screen_row,
        diameter=np.array([math.sqrt(4.0 * piece.bore_area / math.pi) for piece in pieces]),
        length=np.array([piece.length for piece in pieces]),
        screen_area=np.array([np.pi * p.outer_diameter * p.length if p.kind == "screen" else np.nan for p in pieces]),
        face_row=kept.at_row[face],
        face_piece=np.array([net.piece_of_row[int(row)] for row in face], dtype=np.int64),
        face_body=np.array([net.body_of_row[int(row)] for row in face], dtype=np.int64),
        face_layer=np.array([net.bodies[net.body_of_row[int(row)]].layer for row in face], dtype=np.int64),
        face_cell=np.searchsorted(kept.cells, net.links.a[face]),
        cell_weight=_weights(net, kept),
        body_start=np.array([np.searchsorted(kept.cells, body.cells[0]) for body in net.bodies]),
        fall=net.links.fall[face],
        conductance=net.links.conductance[face],
        bare=_bare(net, face),
        screened=np.array([bool(net.losses.get(int(row))) for row in face], dtype=np.bool_),
        straddles=tuple(_straddle(net, kept, link) for link in net.graph.links if link.kind == "bypass"),
        closures=tuple(_closures(net, kept)),
    )


def _straddle(net: Network, kept: Snapshots, link: Link) -> Straddle:
    row = net.rows_of_link[link.index][0]
    at = int(kept.at_row[row])
    return Straddle(at, link.piece, link.other_piece, link.name, link.diameter, float(net.links.area[row]))


def _closures(net: Network, kept: Snapshots) -> list[Closure]:
    found = []
    for link in net.graph.links:
        if link.kind not in ("bore", "seal"):
            continue
        later = not link.elements
        names = link.elements
        if later:
            blanks = [blank for blank in net.graph.blanks if blank.first <= link.index < blank.last]
            if not blanks:
                continue
            names = (f"packer or plug in {blanks[0].name}",)
        row = net.rows_of_link[link.index][0]
        a, b = (int(kept.at_node[ends[row]]) for ends in (net.links.a, net.links.b))
        own = {k for k, piece in enumerate(net.graph.pieces) if piece.name in names}
        places = tuple(sorted(own)) if own else (link.piece, link.other_piece)
        found.append(Closure(int(kept.at_row[row]), a, b, float(net.links.fall[row]), names, places, later))
    return found


def _inflow(net: Network, kept: Snapshots) -> Iterator[tuple[int, int, float]]:
    """(Piece, place of row, sign) of what enters the bore from outside: sandface, screen, end of a screen, leak."""
    inside = set(net.bore)
    for row in kept.sandface:
        if int(net.links.b[row]) in inside:
            yield net.piece_of_row[int(row)], int(kept.at_row[row]), 1.0
    for link in net.graph.links:
        rows = [int(kept.at_row[row]) for row in net.rows_of_link[link.index]] if link.kind != "vertical" else []
        if link.kind in ("screen", "screen end"):
            yield from ((link.other_piece, row, 1.0) for row in rows)
        elif link.kind == "seal":  # a leak that enters the bore of a conforming screen, or leaves it
            if link.a[0] == "bore":
                yield from ((link.piece, row, -1.0) for row in rows)
            if link.b[0] == "bore":
                yield from ((link.other_piece, row, 1.0) for row in rows)


def _weights(net: Network, kept: Snapshots) -> Floats:
    """Share of every cell in the volume of its body [C]; the cells of a body lie together."""
    weight = np.zeros(len(kept.cells))
    for body in net.bodies:
        volume = net.nodes.volume[list(body.cells)]
        weight[np.searchsorted(kept.cells, np.array(body.cells))] = volume / volume.sum()
    return weight


def _bare(net: Network, face: NDArray[np.int64]) -> Floats:
    """Conductance of the sandface without skin [S], m3: what is lost beyond it is lost to skin."""
    first = [float(net.bodies[net.body_of_row[int(row)]].grid.resistance[0]) for row in face]
    found: Floats = np.array([net.scale[int(row)] for row in face]) / np.array(first)
    return found

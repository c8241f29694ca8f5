"""A case as a graph of nodes and links, for people and for the compiler of arrays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import networkx as nx

from planner.model.case import Case
from planner.model.change import ChokeZone, SetStraddle, ShutZone, WhatIf
from planner.network.links import all_links, bypass_link
from planner.network.pieces import cut_string, find_blanks
from planner.network.records import TOP, Blank, Column, Link, Node, Opening, Piece, WellGraph, Zone
from planner.network.setting import blanks_beside, is_deepest
from planner.network.trajectory import Trajectory
from planner.network.zones import divide

__all__ = [
    "TOP", "Blank", "Column", "Link", "Node", "Opening", "Piece", "WellGraph", "Zone", "build",
]  # fmt: skip


def build(case: Case, what_if: WhatIf | None = None) -> WellGraph:
    """The well as a graph, with a closed bypass for every straddle that the what-if may set.

    Raises CaseError when the elements of the string do not follow on one another, a packer or plug is outside a
    blank pipe, a pipe does not fit the hole, or no layer opens to the string.
    """
    trajectory = Trajectory(case.well.survey)
    pieces = cut_string(case, trajectory)
    division = divide(case, pieces, trajectory)
    bare = _assemble(
        WellGraph(
            case=case, pieces=pieces, columns=division.columns, links=(), zones=division.zones,
            zone_of_piece=division.zone_of_piece, blanks=find_blanks(case, pieces), graph=None,
            warnings=division.warnings,
        ),
        all_links(case, pieces, division.columns),
    )  # fmt: skip
    pairs = dict.fromkeys(_straddles(bare, what_if))
    if not pairs:
        return bare
    return _assemble(bare, (*bare.links, *(bypass_link(case, pieces, upper, lower) for upper, lower in pairs)))


def _assemble(bare: WellGraph, links: Iterable[Link]) -> WellGraph:
    """The same well with these links, numbered in their order, in a networkx graph."""
    numbered = tuple(replace(link, index=k) for k, link in enumerate(links))
    graph = nx.MultiGraph()
    graph.add_nodes_from(piece.bore_node for piece in bare.pieces)
    graph.add_nodes_from(("annulus", piece.index) for piece in bare.pieces if piece.outside != "none")
    graph.add_nodes_from(("rock", column.index) for column in bare.columns)
    graph.add_node(TOP)
    for link in numbered:
        graph.add_edge(link.a, link.b, key=link.index, link=link)
    return replace(bare, links=numbered, graph=graph)


def _straddles(graph: WellGraph, what_if: WhatIf | None) -> Iterator[tuple[Blank, Blank]]:
    """Upper and lower blank pipe of every straddle that an event may need; what does not fit is refused later."""
    zones = {zone.name: k for k, zone in enumerate(graph.zones)}
    blanks = {blank.name: blank for blank in graph.blanks}
    for event in what_if.events if what_if else ():
        if isinstance(event, SetStraddle):
            upper, lower = blanks.get(event.upper_blank), blanks.get(event.lower_blank)
            if upper and lower and upper.last < lower.first:
                yield upper, lower
        elif isinstance(event, ShutZone | ChokeZone) and event.zone in zones:
            zone = zones[event.zone]
            if not is_deepest(graph, zone):
                above, below = blanks_beside(graph, zone)
                yield from ((u, d) for u in above for d in below if u.rooms and d.rooms)

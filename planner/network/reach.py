"""What can flow where in a given state of the string: which zones are live, and how fluid gets round a plug."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import networkx as nx
from networkx.algorithms.flow import shortest_augmenting_path

from planner.network.records import TOP, Blank, Link, Node, WellGraph
from planner.network.setting import spans

ZONE: Node = ("zone",)
REST: Node = ("rest",)


def waterways(graph: WellGraph, open_links: Iterable[int]) -> Any:
    """networkx Graph of the links that are open, without seals (taken as tight) and without rock round a seal."""
    ways = nx.Graph()
    ways.add_nodes_from(graph.graph)
    for k in open_links:
        link = graph.links[k]
        if link.kind not in ("seal", "vertical"):
            ways.add_edge(link.a, link.b, link=k)
    return ways


def zone_nodes(graph: WellGraph, zone: int) -> list[Node]:
    """Nodes of the outside of the string in a zone."""
    nodes = (graph.pieces[k].outside_node for k, own in enumerate(graph.zone_of_piece) if own == zone)
    return [node for node in nodes if node is not None]


def live_zones(graph: WellGraph, ways: Any) -> set[int]:
    """Zones from which fluid can reach the top of the string."""
    reached = nx.node_connected_component(ways, TOP)
    return {k for k in range(len(graph.zones)) if any(node in reached for node in zone_nodes(graph, k))}


def least_cut(graph: WellGraph, ways: Any, zone: int, cuttable: Iterable[int]) -> list[int] | None:
    """Fewest links, nearest to a zone, that part it from the top and from all other live zones; None: impossible.

    cuttable: indexes of the bore links where something can be set; every other way counts as uncuttable. A minimum
    cut by maximum flow; from the far side, so that of equal cuts the one nearest to the zone is taken.
    """
    capacity = ways.copy()
    for k in cuttable:
        link = graph.links[k]
        if capacity.has_edge(link.a, link.b):
            capacity[link.a][link.b]["capacity"] = 1
    capacity.add_edges_from((ZONE, node) for node in zone_nodes(graph, zone))
    others = live_zones(graph, ways) - {zone}
    capacity.add_edge(REST, TOP)
    capacity.add_edges_from((REST, node) for other in others for node in zone_nodes(graph, other))
    try:
        _, (_, near) = nx.minimum_cut(capacity, REST, ZONE, flow_func=shortest_augmenting_path)
    except nx.NetworkXUnbounded:
        return None
    return sorted(
        data["link"] for a, b, data in ways.edges(data=True) if (a in near) != (b in near)
    )  # fmt: skip


def without(ways: Any, links: Iterable[Link]) -> Any:
    """The same waterways with these links closed."""
    fewer = ways.copy()
    fewer.remove_edges_from((link.a, link.b) for link in links)
    return fewer


def way_round(graph: WellGraph, ways: Any, start: Node, end: Node, blank: Blank) -> str:
    """Sentence on how fluid still gets from one node to another past a closed blank pipe; '' when it cannot."""
    if not nx.has_path(ways, start, end):
        return ""
    path = nx.shortest_path(ways, start, end)
    if not any(node[0] == "annulus" and blank.first <= node[1] <= blank.last for node in path if node != TOP):
        return f"fluid still passes {blank.name} through the inner pipe of a straddle"
    passed = [graph.pieces[node[1]] for node in path if node[0] in ("bore", "annulus")]
    below = min((p for p in passed if p.lets_in and p.index > blank.last), key=lambda p: p.index, default=None)
    above = max((p for p in passed if p.lets_in and p.index < blank.first), key=lambda p: p.index, default=None)
    ends = f" from {below.name} to {above.name}" if below and above else ""
    return f"an outside seal beside {blank.name} is missing: fluid passes round it{ends}"


def leaks_of(graph: WellGraph, shut: set[int]) -> tuple[str, ...]:
    """Sentences on leaking seals and on rock that join zones that are shut to the others."""
    found = []
    for link in graph.links:
        if link.kind == "seal" and link.conductance > 0.0:
            ends = (graph.zone_of_piece[link.piece], graph.zone_of_piece[link.other_piece])
            if (ends[0] in shut) != (ends[1] in shut):
                found.append(f"{' and '.join(link.elements)} leaks: fluid passes outside the string")
        if link.kind == "vertical" and link.across_zones:
            upper, lower = graph.columns[link.column], graph.columns[link.other_column]
            if (upper.zone in shut) != (lower.zone in shut):
                names = dict.fromkeys(graph.case.layers[c.layer].name for c in (upper, lower))
                rock = " and ".join(f"'{name}'" for name in names)
                found.append(f"fluid can pass the seal through the rock of {rock}")
    return tuple(dict.fromkeys(found))


def gap_beside(graph: WellGraph, zone: int, above: bool) -> str:
    """The stretch of string above or below a zone in which a blank pipe would have to lie, for people."""
    first, last = spans(graph, zone)[0 if above else 1]
    edge = first - 1 if above else last + 1
    name, beside = graph.zones[zone].name, f"the {'top' if above else 'bottom'} of the string"
    if 0 <= edge < len(graph.pieces):
        beside = graph.zones[graph.zone_of_piece[edge]].name
    return f"between {beside} and {name}" if above else f"between {name} and {beside}"

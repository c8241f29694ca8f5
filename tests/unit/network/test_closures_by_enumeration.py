"""The minimum cut against trying every single and every pair of setting places, on random strings."""

from __future__ import annotations

from itertools import combinations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.base.errors import CaseError
from planner.network.closures import closure_of, initial_state
from planner.network.reach import live_zones, waterways, without, zone_nodes
from planner.network.records import TOP, WellGraph
from planner.network.setting import inlets
from planner.network.well_graph import build
from tests.unit.network.strings import Row, layers_of, make

KINDS = ("conforming", "stand-alone", "gravel pack")
ELEMENTS = st.one_of(
    st.sampled_from(KINDS).map(lambda kind: ("screen", 10, {"screen": kind})),
    st.sampled_from((4, 8, 12)).map(lambda length: ("blank pipe", length)),
    st.just(("isolation joint", 2)),
)


def parted(graph: WellGraph, zone: int, closed: tuple[int, ...]) -> bool:
    """Whether closing these links parts the zone from the top and from all others."""
    ways = without(waterways(graph, initial_state(graph).open), [graph.links[k] for k in closed])
    reached = nx.node_connected_component(ways, zone_nodes(graph, zone)[0])
    others = live_zones(graph, waterways(graph, initial_state(graph).open)) - {zone}
    far = [node for other in others for node in zone_nodes(graph, other)]
    return TOP not in reached and reached.isdisjoint(far)


def fewest(graph: WellGraph, zone: int) -> int | None:
    """Fewest setting places that part a zone, by trying them all: none, or more than two, is None."""
    first, last = inlets(graph, zone) or (0, 0)
    places = [b.lower for b in graph.blanks if b.rooms and b.last < first]
    places += [b.upper for b in graph.blanks if b.rooms and b.first > last]
    for count in (1, 2):
        if any(parted(graph, zone, chosen) for chosen in combinations(places, count)):
            return count
    return None


@settings(max_examples=150, deadline=None)
@given(st.lists(ELEMENTS, min_size=2, max_size=10))
def test_the_minimum_cut_finds_what_trying_everything_finds(rows: list[Row]) -> None:
    rows = [("hanger", 2), *rows]
    try:
        graph = build(make(rows, layers_of(rows) or layers_of([("screen", sum(row[1] for row in rows))])))
    except CaseError:
        assert not any(row[0] in ("screen", "blank pipe") for row in rows)
        return
    for zone in range(len(graph.zones)):
        found = closure_of(graph, zone, initial_state(graph))
        if inlets(graph, zone) is None:
            assert found.missing
            continue
        count = {"plug": 1, "straddle": 2, "": None}[found.kind]
        assert count == fewest(graph, zone)
        assert (count is None) == bool(found.missing)

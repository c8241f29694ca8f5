"""Pieces, links, zones and columns of small strings; expected values are counted by hand from the sketch of each."""

from __future__ import annotations

import networkx as nx
import pytest

from planner.base.errors import CaseError
from planner.model.change import ShutZone, WhatIf
from planner.model.names import element_names, in_words
from planner.network.records import TOP, WellGraph
from planner.network.well_graph import build
from tests.unit.network.strings import five_zones, layer, layers_of, make


def links(graph: WellGraph, kind: str) -> list[tuple[object, object]]:
    return [(link.a, link.b) for link in graph.links if link.kind == kind]


def test_default_names_count_each_kind_from_the_top() -> None:
    rows = [("screen", 10), ("blank pipe", 12, {"name": "upper blank"}), ("screen", 10), ("blank pipe", 12)]
    case = make(rows, layers_of(rows))
    assert element_names(case) == ("screen 1", "upper blank", "screen 2", "blank pipe 2")


def test_lengths_are_written_in_the_units_of_the_case() -> None:
    assert in_words(five_zones(), 3002.0) == "3,002 m"
    assert in_words(five_zones(units="field"), 0.3048 * 9850.5) == "9,850.5 ft"


def test_pieces_tile_the_string_and_keep_to_the_longest_length() -> None:
    graph = build(five_zones(numerics={"piece_length": "8 m"}))
    assert [p.index for p in graph.pieces] == list(range(len(graph.pieces)))
    assert max(p.length for p in graph.pieces) <= 8.0
    assert all(upper.base_md == pytest.approx(lower.top_md) for upper, lower in nx.utils.pairwise(graph.pieces))
    assert sum(p.length for p in graph.pieces) == pytest.approx(10 + 2 + 5 * 32 + 4 * 2)
    assert sum(p.kind == "screen" for p in graph.pieces) == 15  # 20 m in 8 m pieces: three a screen


@pytest.mark.parametrize(("length", "pieces", "rooms"), [(5.0, 2, 0), (6.0, 2, 1), (11.9, 2, 1), (12.0, 4, 2)])
def test_a_blank_has_a_boundary_where_a_later_element_goes(length: float, pieces: int, rooms: int) -> None:
    """A later element takes 3 m and 1.5 m tolerance each way: 6 m."""
    rows = [("blank pipe", length), ("screen", 20)]
    graph = build(make(rows, layers_of(rows)))
    (blank,) = graph.blanks
    assert (blank.last - blank.first + 1, blank.rooms) == (pieces, rooms)
    places = [graph.depth_of(blank.upper) - 2000.0, graph.depth_of(blank.lower) - 2000.0]
    assert places == pytest.approx([length / 4, 3 * length / 4] if rooms == 2 else [length / 2, length / 2])


def test_outside_and_exposure_of_each_kind() -> None:
    rows = [
        ("casing", 5), ("hanger", 1), ("blank pipe", 6), ("screen", 10, {"screen": "stand-alone"}),
        ("isolation joint", 2), ("screen", 10, {"screen": "gravel pack"}), ("isolation joint", 2),
        ("screen", 10, {"screen": "conforming"}), ("open hole", 10),
    ]  # fmt: skip
    found = {(p.kind, p.screen if p.kind == "screen" else ""): (p.outside, p.exposed)
             for p in build(make(rows, layers_of(rows))).pieces}  # fmt: skip
    assert found == {
        ("casing", ""): ("none", "closed"), ("hanger", ""): ("none", "closed"),
        ("isolation joint", ""): ("none", "closed"), ("blank pipe", ""): ("open", "annulus"),
        ("screen", "stand-alone"): ("open", "annulus"), ("screen", "gravel pack"): ("gravel", "annulus"),
        ("screen", "conforming"): ("none", "bore"), ("open hole", ""): ("none", "bore"),
    }  # fmt: skip


def test_hole_diameter_is_the_length_weighted_mean_of_the_table() -> None:
    hole = [{"md": "0 m", "diameter": "200 mm"}, {"md": "2005 m", "diameter": "300 mm"}]
    rows = [("screen", 20), ("open hole", 10)]
    graph = build(make(rows, layers_of(rows), well={"hole": hole}))
    assert graph.pieces[0].hole_diameter == pytest.approx((5 * 0.2 + 15 * 0.3) / 20)
    assert graph.pieces[1].inner_diameter == pytest.approx(0.3)  # bare hole is as wide as drilled
    assert graph.pieces[0].outer_diameter == pytest.approx(0.1 + 0.0254)


def test_bore_links_come_first_and_lead_to_the_top() -> None:
    graph = build(five_zones())
    for k in range(len(graph.pieces) - 1):
        assert (graph.links[k].kind, graph.links[k].a, graph.links[k].b) == ("bore", ("bore", k), ("bore", k + 1))
    assert links(graph, "top") == [(("bore", 0), TOP)]
    assert all(link.index == k for k, link in enumerate(graph.links))
    assert sorted(key for *_, key in graph.graph.edges(keys=True)) == list(range(len(graph.links)))
    assert nx.is_connected(graph.graph)


def test_conforming_screens_join_the_rock_to_the_bore_and_end_the_annulus_of_the_blank() -> None:
    rows = [("screen", 10), ("blank pipe", 6), ("screen", 10)]
    graph = build(make(rows, layers_of(rows)))  # pieces: screen 0, blank 1 2, screen 3
    assert links(graph, "sandface") == [(("rock", 0), ("bore", 0)), (("rock", 1), ("bore", 3))]
    assert links(graph, "annulus") == [(("annulus", 1), ("annulus", 2))]
    assert links(graph, "screen end") == [(("annulus", 1), ("bore", 0)), (("annulus", 2), ("bore", 3))]
    assert links(graph, "screen") == []


def test_stand_alone_screens_join_through_their_annulus() -> None:
    rows = [("screen", 10, {"screen": "stand-alone"}), ("blank pipe", 6), ("screen", 10, {"screen": "gravel pack"})]
    graph = build(make(rows, layers_of(rows)))
    assert links(graph, "screen") == [(("annulus", 0), ("bore", 0)), (("annulus", 3), ("bore", 3))]
    assert links(graph, "annulus") == [(("annulus", k), ("annulus", k + 1)) for k in range(3)]
    assert [b for _, b in links(graph, "sandface")] == [("annulus", 0), ("annulus", 3)]


def test_a_seal_joins_the_outsides_next_to_it_and_leaks_in_series() -> None:
    seal = {"leak": "3e-9 m^3/s/Pa"}
    rows = [("screen", 10), ("isolation joint", 2, seal), ("isolation joint", 2, {"leak": "6e-9 m^3/s/Pa"}),
            ("blank pipe", 6), ("isolation joint", 2), ("screen", 10)]  # fmt: skip
    graph = build(make(rows, layers_of(rows)))
    first, second = (link for link in graph.links if link.kind == "seal")
    assert (first.a, first.b, first.elements) == (
        ("bore", 0),
        ("annulus", 3),
        ("isolation joint 1", "isolation joint 2"),
    )
    assert first.conductance == pytest.approx(2e-9)  # 1 / (1/3 + 1/6)
    assert first.open
    assert (second.a, second.b, second.conductance, second.open) == (("annulus", 4), ("bore", 6), 0.0, False)


def test_zones_lie_between_outside_seals_and_take_the_names_of_the_case() -> None:
    graph = build(five_zones(zones=["A", "B", "C", "D", "E"]))
    assert [zone.name for zone in graph.zones] == ["A", "B", "C", "D", "E"]
    # blank above the first screen, screen and the next blank share an outside, up to the isolation joint
    assert (graph.zones[0].top_md, graph.zones[0].base_md) == (2012.0, 2056.0)
    assert (graph.zones[4].top_md, graph.zones[4].base_md) == (2160.0, 2180.0)
    assert [column.zone for column in graph.columns] == [0, 1, 2, 3, 4]
    assert graph.warnings == ()


def test_a_missing_seal_makes_one_zone_of_two_and_says_so() -> None:
    rows = [("hanger", 2), ("screen", 20), ("blank pipe", 12), ("screen", 20), ("isolation joint", 2), ("screen", 20)]
    graph = build(make(rows, layers_of(rows), zones=["A", "B", "C"]))
    assert [zone.name for zone in graph.zones] == ["A", "B"]
    assert [column.zone for column in graph.columns] == [0, 0, 1]
    assert any("names 3 zones" in text and "make 2" in text for text in graph.warnings)


def test_a_seal_splits_a_layer_into_columns_joined_through_the_rock() -> None:
    rows = [("screen", 20), ("isolation joint", 4), ("screen", 10)]  # layer 2000 to 2034, seal 2020 to 2024
    graph = build(make(rows, [layer("thick", 2000, 2034)]))
    upper, lower = graph.columns
    assert (upper.zone, lower.zone, upper.base_md, lower.top_md) == (0, 1, 2022.0, 2022.0)
    assert (upper.fraction, lower.fraction) == pytest.approx((22 / 34, 12 / 34))
    assert [opening.length for opening in upper.openings] == [20.0]
    assert [opening.length for opening in lower.openings] == [10.0]
    (vertical,) = (link for link in graph.links if link.kind == "vertical")
    assert (vertical.a, vertical.b, vertical.across_zones) == (("rock", 0), ("rock", 1), True)
    assert vertical.length == pytest.approx(0.5 * 34)


def test_layers_that_touch_are_joined_unless_a_barrier_is_given() -> None:
    rows = [("screen", 30)]
    stack = [layer("a", 2000, 2010), layer("b", 2010, 2020, connected_below=False), layer("c", 2020, 2025),
             layer("d", 2026, 2030)]  # fmt: skip
    assert links(build(make(rows, stack)), "vertical") == [(("rock", 0), ("rock", 1))]


def test_a_layer_behind_blank_pipe_between_seals_is_a_zone_only_when_it_opens_nowhere_else() -> None:
    rows = [("screen", 20), ("isolation joint", 2), ("blank pipe", 12), ("isolation joint", 2), ("screen", 20)]
    shared = build(make(rows, [layer("a", 2000, 2026), layer("b", 2036, 2056)]))
    assert [zone.name for zone in shared.zones] == ["zone 1", "zone 2"]
    assert sum(opening.length for opening in shared.columns[0].openings) == 20.0  # 4 m behind the blank do not flow
    own = build(make(rows, [layer("a", 2000, 2020), layer("wet", 2023, 2033), layer("b", 2036, 2056)]))
    assert [zone.name for zone in own.zones] == ["zone 1", "behind blank pipe 1", "zone 2"]
    assert {opening.into for opening in own.columns[1].openings} == {"annulus"}
    assert any("'wet'" in text and "only if a seal leaks" in text for text in own.warnings)


def test_a_layer_behind_casing_is_kept_without_openings_and_said() -> None:
    rows = [("casing", 20), ("hanger", 2), ("screen", 20)]
    graph = build(make(rows, [layer("cased", 2000, 2015), layer("sand", 2022, 2042)]))
    assert (graph.columns[0].openings, graph.columns[0].zone) == ((), 0)
    assert any("'cased'" in text and "nothing of it flows" in text for text in graph.warnings)


def test_a_plug_of_the_string_closes_the_nearest_bore_link_of_its_blank() -> None:
    rows = [("screen", 20), ("blank pipe", 12), ("plug", 2030.5, {"name": "bridge plug", "leak": "1e-9 m^3/s/Pa"}),
            ("isolation joint", 2), ("screen", 20)]  # fmt: skip
    graph = build(make(rows, layers_of(rows)))  # blank 2020 to 2032: boundaries at 2023, 2026, 2029
    (closed,) = (link for link in graph.links if link.kind == "bore" and not link.open)
    assert (closed.name, graph.depth_of(closed.index), closed.conductance) == ("bridge plug", 2029.0, 1e-9)


def test_a_bypass_is_added_for_a_middle_zone_only() -> None:
    case = five_zones()
    middle = build(case, WhatIf(name="w", events=(ShutZone(zone="zone 3", on="2026-01-01"),)))
    (bypass,) = (link for link in middle.links if link.kind == "bypass")
    upper, lower = (blank for blank in middle.blanks if blank.name in ("blank pipe 3", "blank pipe 4"))
    assert (bypass.a, bypass.b) == (("bore", upper.lower), ("bore", lower.upper + 1))
    assert (bypass.open, bypass.diameter) == (False, case.later_element.straddle_inner_diameter)
    assert bypass.length == pytest.approx(middle.depth_of(lower.upper) - middle.depth_of(upper.lower))
    deepest = build(case, WhatIf(name="w", events=(ShutZone(zone="zone 5", on="2026-01-01"),)))
    assert links(deepest, "bypass") == []


def test_depths_follow_the_survey() -> None:
    """Straight at 60 degrees from 2000 m on: true vertical depth grows by half the length. Vertical above."""
    survey = [{"md": "2000 m", "inclination": "60 deg"}, {"md": "2100 m", "inclination": "60 deg"}]
    rows = [("screen", 20)]
    (piece,) = build(make(rows, layers_of(rows), well={"survey": survey})).pieces
    assert (piece.top_tvd, piece.tvd, piece.base_tvd) == pytest.approx((2000.0, 2005.0, 2010.0))


@pytest.mark.parametrize(
    ("rows", "text"),
    [
        ([("screen", 20), ("plug", 2010), ("blank pipe", 6)], "plug 1 is not inside a blank pipe"),
        ([("screen", 20), ("blank pipe", 6, {"outer_diameter": "230 mm"})], "as wide as the hole"),
        ([("screen", 20), ("blank pipe", 6, {"top_md": "2021 m"})], "leaves a gap below screen 1"),
        ([("screen", 20), ("blank pipe", -3)], "ends above its top"),
    ],
)
def test_a_string_that_cannot_be_is_refused(rows: list[tuple[object, ...]], text: str) -> None:
    with pytest.raises(CaseError, match=text):
        build(make(rows, [layer("sand", 2000, 2020)]))


def test_a_string_off_every_layer_is_refused() -> None:
    with pytest.raises(CaseError, match="beside any layer"):
        build(make([("screen", 20)], [layer("sand", 3000, 3020)]))

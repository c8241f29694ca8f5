"""What a string can do later. Expected answers are those of the trade, read off the sketch of each string by eye."""

from __future__ import annotations

from datetime import date

import networkx as nx
import pytest

from planner.base.errors import Refusal
from planner.model.case import Case
from planner.model.change import AnyEvent, ChokeZone, LoseSupport, OpenZone, SetPlug, SetStraddle, ShutZone, WhatIf
from planner.network.interventions import Action, plan, state_after
from planner.network.reach import live_zones, waterways
from planner.network.records import TOP, WellGraph
from planner.network.well_graph import build
from tests.unit.network.strings import Row, five_rows, five_zones, layers_of, make, tiles

DAY = date(2026, 1, 1)


def shut(zone: str) -> ShutZone:
    return ShutZone(zone=zone, on=DAY)


def run(case: Case, *events: AnyEvent) -> tuple[WellGraph, list[Action]]:
    """The graph for these events, and what each does after the ones before."""
    graph = build(case, WhatIf(name="test", events=events))
    done: list[Action] = []
    for event in events:
        done.append(plan(graph, event, done))
    return graph, done


def live(graph: WellGraph, done: list[Action]) -> list[str]:
    ways = waterways(graph, state_after(graph, done).open)
    return [graph.zones[k].name for k in sorted(live_zones(graph, ways))]


def place(graph: WellGraph, link: int) -> str:
    return graph.blank_at(link).name


@pytest.mark.parametrize("kind", ["conforming", "stand-alone", "gravel pack"])
def test_the_deepest_zone_takes_a_plug_and_all_others_stay_live(kind: str) -> None:
    graph, done = run(five_zones(kind), shut("zone 5"))
    assert (done[0].kind, len(done[0].close), done[0].open, done[0].nozzle) == ("plug", 1, (), ())
    assert place(graph, done[0].close[0]) == "blank pipe 5"
    assert live(graph, done) == ["zone 1", "zone 2", "zone 3", "zone 4"]
    assert done[0].elements == {"blank pipe 5": "plug set", "zone 5": "shut"}
    assert "2,155 m" in done[0].text  # three quarters down the blank from 2146 to 2158 m


@pytest.mark.parametrize("kind", ["conforming", "stand-alone"])
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_any_other_zone_takes_a_straddle_and_deeper_zones_flow_through_it(kind: str, number: int) -> None:
    graph, done = run(five_zones(kind), shut(f"zone {number}"))
    assert done[0].kind == "straddle"
    assert [place(graph, k) for k in done[0].close] == [f"blank pipe {number}", f"blank pipe {number + 1}"]
    assert [graph.links[k].kind for k in done[0].open] == ["bypass"]
    assert live(graph, done) == [f"zone {k}" for k in range(1, 6) if k != number]


def test_neighbouring_zones_can_each_take_a_straddle_and_the_deepest_a_plug() -> None:
    """A 12 m blank holds two elements, so the lower packer of one straddle leaves room for the next."""
    graph, done = run(five_zones(), shut("zone 3"), shut("zone 2"), shut("zone 4"), shut("zone 5"))
    assert live(graph, done) == ["zone 1"]
    assert [action.kind for action in done] == ["straddle", "straddle", "straddle", "plug"]
    assert len(set().union(*(action.places for action in done))) == 7


def test_once_all_deeper_zones_are_shut_a_plug_does() -> None:
    graph, done = run(five_zones(), shut("zone 5"), shut("zone 4"))
    assert [action.kind for action in done] == ["plug", "plug"]
    assert live(graph, done) == ["zone 1", "zone 2", "zone 3"]


def test_a_blank_with_room_for_one_element_refuses_the_second() -> None:
    with pytest.raises(Refusal, match="blank pipe 4 has no room left"):
        run(five_zones(blank=8.0), shut("zone 3"), shut("zone 4"))


def test_a_missing_blank_is_named_with_its_place() -> None:
    rows = [("hanger", 2), ("blank pipe", 12), ("screen", 20), ("isolation joint", 2), ("screen", 20)]
    case = make(rows, layers_of(rows))
    with pytest.raises(Refusal, match=r"zone 2 cannot be shut.*no blank pipe between zone 1 and zone 2"):
        run(case, shut("zone 2"))
    with pytest.raises(Refusal, match=r"zone 1 cannot be shut.*no blank pipe between zone 1 and zone 2"):
        run(case, shut("zone 1"))


def test_the_top_zone_needs_a_blank_above_it() -> None:
    rows = [("hanger", 2), ("screen", 20), ("blank pipe", 12), ("isolation joint", 2), ("screen", 20)]
    with pytest.raises(Refusal, match="no blank pipe between the top of the string and zone 1"):
        run(make(rows, layers_of(rows)), shut("zone 1"))


def test_a_blank_that_is_too_short_is_named_with_the_length_needed() -> None:
    with pytest.raises(Refusal, match=r"blank pipe 5 at 2,130 m is 4 m long; a later element needs 6 m"):
        run(five_zones(blank=4.0, start=2016.0), shut("zone 5"))


@pytest.mark.parametrize("kind", ["conforming", "stand-alone", "gravel pack"])
def test_a_plug_beside_an_open_annulus_does_not_isolate(kind: str) -> None:
    """screen 1, blank, screen 2 and no seal: fluid leaves one screen, passes round the blank and enters the other."""
    rows = [("hanger", 2), ("screen", 20, {"screen": kind}), ("blank pipe", 12), ("screen", 20, {"screen": kind})]
    text = "outside seal beside blank pipe 1 is missing: fluid passes round it from screen 2 to screen 1"
    with pytest.raises(Refusal, match=text):
        run(make(rows, layers_of(rows)), SetPlug(blank="blank pipe 1", on=DAY))


@pytest.mark.parametrize("kind", ["conforming", "stand-alone"])
@pytest.mark.parametrize("seal_first", [True, False])
def test_a_seal_on_either_side_of_the_blank_will_do(kind: str, seal_first: bool) -> None:
    middle: list[Row] = [("isolation joint", 2), ("blank pipe", 12)]
    screen = ("screen", 20, {"screen": kind})
    rows = [("hanger", 2), screen, *(middle if seal_first else middle[::-1]), screen]
    graph, done = run(make(rows, layers_of(rows)), SetPlug(blank="blank pipe 1", on=DAY))
    assert (live(graph, done), done[0].zones) == (["zone 1"], ("zone 2",))


def test_a_plug_shuts_in_all_deeper_zones() -> None:
    graph, done = run(five_zones(), SetPlug(blank="blank pipe 3", on=DAY))
    assert done[0].zones == ("zone 3", "zone 4", "zone 5")
    assert live(graph, done) == ["zone 1", "zone 2"]


def test_a_straddle_over_two_zones_shuts_both() -> None:
    event = SetStraddle(upper_blank="blank pipe 2", lower_blank="blank pipe 4", on=DAY)
    graph, done = run(five_zones(), event)
    assert done[0].zones == ("zone 2", "zone 3")
    assert live(graph, done) == ["zone 1", "zone 4", "zone 5"]


def test_a_straddle_whose_packer_has_no_seal_beside_it_is_refused() -> None:
    rows = five_rows()
    del rows[8]  # the isolation joint between blank pipe 3 and screen 3: zones 2 and 3 become one
    case = make(rows, layers_of(rows))
    event = SetStraddle(upper_blank="blank pipe 2", lower_blank="blank pipe 3", on=DAY)
    with pytest.raises(Refusal, match="outside seal beside blank pipe 3 is missing"):
        run(case, event)


def test_a_nozzle_takes_the_place_of_the_upper_packer() -> None:
    graph, done = run(five_zones(), ChokeZone(zone="zone 2", nozzle_area="100 mm^2", on=DAY))
    (upper, area), (lower,) = done[0].nozzle[0], done[0].close
    assert area == pytest.approx(1e-4)
    assert (place(graph, upper), place(graph, lower)) == ("blank pipe 2", "blank pipe 3")
    assert len(done[0].open) == 1
    assert live(graph, done) == ["zone 1", "zone 2", "zone 3", "zone 4", "zone 5"]
    assert "100 mm2" in done[0].text


def test_a_choked_zone_can_be_shut_choked_again_and_opened() -> None:
    choke = ChokeZone(zone="zone 2", nozzle_area="100 mm^2", on=DAY)
    wider = ChokeZone(zone="zone 2", nozzle_area="200 mm^2", on=DAY)
    graph, done = run(five_zones(), choke, shut("zone 2"), wider, OpenZone(zone="zone 2", on=DAY))
    assert "zone 2" not in live(graph, done[:2])
    assert "zone 2" in live(graph, done[:3])
    assert state_after(graph, done[:3]).nozzles == {done[0].nozzle[0][0]}
    assert state_after(graph, done) == state_after(graph, [])


def test_the_deepest_zone_is_choked_by_a_packer_with_a_nozzle() -> None:
    graph, done = run(five_zones(), ChokeZone(zone="zone 5", nozzle_area="100 mm^2", on=DAY))
    assert (done[0].close, done[0].open, len(done[0].nozzle)) == ((), (), 1)
    assert place(graph, done[0].nozzle[0][0]) == "blank pipe 5"


def test_opening_a_zone_takes_its_element_out_and_leaves_the_neighbour() -> None:
    graph, done = run(five_zones(), shut("zone 3"), shut("zone 2"), OpenZone(zone="zone 3", on=DAY))
    assert live(graph, done) == ["zone 1", "zone 3", "zone 4", "zone 5"]
    assert done[2].elements == {"blank pipe 3": "straddle set", "blank pipe 4": "open", "zone 3": "open"}


def test_a_plug_of_the_string_holds_a_zone_shut_until_it_is_taken_out() -> None:
    rows = [*five_rows(), ("plug", 2157)]  # nearest to the lower setting place of blank pipe 5, 2155 m
    case = make(rows, layers_of(rows))
    graph, done = run(case, OpenZone(zone="zone 5", on=DAY))
    assert live(graph, []) == ["zone 1", "zone 2", "zone 3", "zone 4"]
    assert live(graph, done) == ["zone 1", "zone 2", "zone 3", "zone 4", "zone 5"]
    assert run(case, shut("zone 4"))[1][0].kind == "plug"  # all deeper zones are shut already
    with pytest.raises(Refusal, match="zone 5 is shut in already"):
        run(case, shut("zone 5"))


def test_a_leaking_seal_and_rock_round_a_seal_are_warned_of_not_refused() -> None:
    rows = [("hanger", 2), ("screen", 20), ("blank pipe", 12), ("isolation joint", 2, {"leak": "1e-9 m^3/s/Pa"}),
            ("screen", 20)]  # fmt: skip
    thick = layers_of([("hanger", 2), ("screen", 54)])
    _, done = run(make(rows, thick), shut("zone 2"))
    assert any("isolation joint 1 leaks" in text for text in done[0].warnings)
    assert any("through the rock of 'sand 1'" in text for text in done[0].warnings)
    assert run(five_zones(), shut("zone 5"))[1][0].warnings == ()


def test_a_job_below_a_straddle_must_pass_its_inner_pipe() -> None:
    _, done = run(five_zones(), shut("zone 2"), shut("zone 5"))
    assert any("must be run through the straddle blank pipe 2 to blank pipe 3" in text for text in done[1].warnings)


def test_of_two_blanks_the_one_nearest_to_the_zone_is_taken() -> None:
    rows = [
        ("hanger", 2),
        ("screen", 20),
        ("blank pipe", 12),
        ("isolation joint", 2),
        ("blank pipe", 12),
        ("screen", 20),
    ]
    graph, done = run(make(rows, layers_of(rows)), shut("zone 2"))
    assert place(graph, done[0].close[0]) == "blank pipe 2"


@pytest.mark.parametrize(
    ("event", "text"),
    [
        (shut("zone 9"), "there is no zone 'zone 9'"),
        (SetPlug(blank="blank pipe 9", on=DAY), "there is no blank pipe 'blank pipe 9'"),
        (SetStraddle(upper_blank="blank pipe 3", lower_blank="blank pipe 2", on=DAY), "is not below"),
        (OpenZone(zone="zone 2", on=DAY), "zone 2 is open already"),
    ],
)
def test_what_the_string_does_not_have_is_refused(event: AnyEvent, text: str) -> None:
    with pytest.raises(Refusal, match=text):
        run(five_zones(), event)


def test_other_events_are_not_jobs() -> None:
    with pytest.raises(TypeError, match="not a job"):
        plan(build(five_zones()), LoseSupport(support="aquifer", on=DAY))


def test_after_any_job_no_way_is_left_from_a_shut_zone() -> None:
    """The same question asked of the whole graph, seals and all, by plain path search."""
    for kind in ("conforming", "stand-alone", "gravel pack"):
        for number in range(1, 6):
            graph, done = run(five_zones(kind), shut(f"zone {number}"))
            still = {k for k in state_after(graph, done).open}
            whole = nx.Graph((link.a, link.b) for link in graph.links if link.index in still)
            rock = next(("rock", c.index) for c in graph.columns if c.zone == number - 1)
            assert not nx.has_path(whole, rock, TOP)
            assert all(nx.has_path(whole, ("rock", c.index), TOP) for c in graph.columns if c.zone != number - 1)


def test_tiles_follow_on() -> None:
    assert [e["top_md"] for e in tiles([("screen", 20), ("blank pipe", 6)], 2000.0)] == ["2000.0 m", "2020.0 m"]

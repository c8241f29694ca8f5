"""The well for people: zones, layers and blanks of small strings, counted by hand."""

from __future__ import annotations

import numpy as np
import pytest

from planner.model.case import Case
from planner.model.results import WellDescription
from planner.network.description import InPlace, describe
from planner.network.well_graph import build
from tests.unit.network.strings import five_rows, five_zones, layer, layers_of, make


def described(case: Case) -> WellDescription:
    graph = build(case)
    rows = np.arange(1.0, len(graph.columns) + 1.0)
    held = InPlace(rows, 10 * rows, 1e7 * rows, 0.1 * rows, 2 * rows, 3 * rows, 4 * rows)
    return describe(graph, case, held)


def test_zones_say_how_they_can_be_shut() -> None:
    zones = described(five_zones()).zones
    assert [zone.shut_by for zone in zones] == ["straddle"] * 4 + ["plug"]
    assert [zone.upper_blank for zone in zones] == [f"blank pipe {k}" for k in range(1, 6)]
    assert [zone.lower_blank for zone in zones] == [f"blank pipe {k}" for k in range(2, 6)] + [""]
    assert all(zone.missing == () for zone in zones)
    assert [zone.upper_seal for zone in zones] == ["hanger 1", *(f"isolation joint {k}" for k in range(1, 5))]
    assert [zone.lower_seal for zone in zones] == [*(f"isolation joint {k}" for k in range(1, 5)), ""]
    assert [zone.oil_in_place for zone in zones] == [2.0, 4.0, 6.0, 8.0, 10.0]


def test_zones_say_what_is_missing() -> None:
    rows = [row for row in five_rows() if row[0] != "blank pipe"]
    zones = described(make(rows, layers_of(rows))).zones
    assert zones[0].missing == (
        "there is no blank pipe between the top of the string and zone 1",
        "there is no blank pipe between zone 1 and zone 2",
    )
    assert zones[4].missing == ("there is no blank pipe between zone 4 and zone 5",)
    assert {zone.shut_by for zone in zones} == {""}


def test_blanks_say_what_a_plug_in_them_shuts() -> None:
    blanks = described(five_zones()).blanks
    assert blanks[3].shuts == ("zone 4", "zone 5")
    assert (blanks[0].zone, blanks[3].zone) == ("zone 1", "zone 3")
    assert all(blank.fits and not blank.missing for blank in blanks)


def test_a_blank_without_a_seal_shuts_nothing_and_says_why() -> None:
    rows = [("hanger", 2), ("screen", 20), ("blank pipe", 12), ("screen", 20)]
    (blank,) = described(make(rows, layers_of(rows))).blanks
    assert (blank.fits, blank.shuts) == (True, ())
    assert "outside seal beside blank pipe 1 is missing" in blank.missing[0]


def test_a_short_blank_does_not_fit() -> None:
    blank = described(five_zones(blank=4.0)).blanks[4]
    assert (blank.fits, blank.shuts) == (False, ())
    assert "is 4 m long" in blank.missing[0]


def test_a_zone_behind_a_plug_of_the_string_says_so() -> None:
    rows = [*five_rows(), ("plug", 2157, {"name": "bridge plug"})]
    zones = described(make(rows, layers_of(rows))).zones
    assert zones[4].missing == ("zone 5 is shut in already by bridge plug",)
    assert (zones[4].shut_by, zones[4].upper_blank, zones[3].shut_by) == ("plug", "blank pipe 5", "plug")


def test_a_split_layer_is_told_as_one_with_both_zones() -> None:
    rows = [("screen", 20), ("isolation joint", 4), ("screen", 10)]
    well = described(make(rows, [layer("thick", 2000, 2034)]))
    (told,) = well.layers
    assert (told.zone, told.top_md, told.base_md) == ("zone 1, zone 2", 2000.0, 2034.0)
    assert (told.kh, told.pore_volume, told.gas_in_place) == (3.0, 30.0, 12.0)
    assert told.pressure == pytest.approx((10 * 1e7 + 20 * 2e7) / 30)  # weighted by pore volume
    assert [zone.layers for zone in well.zones] == [("thick",), ("thick",)]


def test_pieces_are_told_in_the_order_of_the_string() -> None:
    pieces = described(five_zones("stand-alone")).pieces
    assert (pieces[0].element, pieces[0].zone, pieces[0].has_annulus) == ("casing 1", "", False)
    assert (pieces[-1].element, pieces[-1].zone, pieces[-1].has_annulus) == ("screen 5", "zone 5", True)

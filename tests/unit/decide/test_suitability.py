"""Hole and sand judged: each reason stands where the made-up hole breaks the range, and nothing is guessed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner import api
from planner.base.errors import CaseError
from planner.decide.barriers import crossed, gauge, hole_profile, outside, sands_and_barriers
from planner.model.case import Case, HoleSize
from planner.model.suitability_results import Reason, SuitabilityResult
from planner.report.frames import Style
from planner.report.suitability_tables import hole_table, stretches_table
from tests.building import element, layer, make, zoned_string

INCH = 0.0254
SIEVES = [("s1", 2010.0, size, share) for size, share in ((500, 0.02), (250, 0.2), (125, 0.7), (63, 0.93), (44, 0.99))]


def hole(*rows: tuple[float, float]) -> list[dict[str, str]]:
    return [{"md": f"{md} m", "diameter": f"{inches} in"} for md, inches in rows]


def suit(**changes: Any) -> dict[str, Any]:
    given: dict[str, Any] = {
        "conforming": {"least_hole": "8.3 in", "greatest_hole": "9.5 in", "washout_tolerance": "1 m",
                       "opening": "200 um"},
        "stand_alone": {"least_hole": "6 in", "greatest_hole": "12 in", "opening": "700 um"},
        "gravel_pack": {"least_hole": "7 in", "greatest_hole": "11 in", "opening": "300 um",
                        "gravel_median": "900 um", "gravel_least": "600 um"},
        "seal": {"least_hole": "8.3 in", "greatest_hole": "9.0 in", "length": "6 m"},
        "sieves": [{"sample": n, "md": f"{md} m", "size": f"{size} um", "coarser": c} for n, md, size, c in SIEVES],
        "strengths": [{"md": "2010 m", "strength": "40 MPa"}, {"md": "2070 m", "strength": "5 MPa"}],
        "stress": {"overburden": "0.226 bar/m", "greatest_horizontal": "0.18 bar/m", "least_horizontal": "0.17 bar/m",
                   "poisson": 0.25, "biot": 1.0, "friction_angle": "30 deg"},
    }  # fmt: skip
    return {**given, **changes}


def well(rows: list[dict[str, str]] | None = None, **changes: Any) -> Case:
    """Sands from 2000 to 2020 and from 2060 to 2080 m."""
    given = {
        "well": {"name": "w", "hole": rows or hole((0, 8.5), (2005, 9.8), (2008, 8.5))},
        "layers": [layer("upper", 2000, 2020), layer("lower", 2060, 2080)],
        "string": zoned_string([(2000.0, 2020.0), (2060.0, 2080.0)]),
        "suitability": suit(),
        "units": "metric",
    }
    return make(**{**given, **changes})


def of(found: SuitabilityResult, kind: str, interval: str, topic: str) -> list[Reason]:
    return [r for r in found.reasons if (r.kind, r.interval, r.topic) == (kind, interval, topic)]


def test_a_washout_longer_than_the_tolerance_is_told_with_depth_and_length():
    found = api.suit(well())
    (one,) = of(found, "conforming screen", "upper", "hole size")
    assert (one.verdict, one.top_md, one.base_md, one.length) == ("against", 2005.0, 2008.0, 3.0)
    assert "248.9 mm" in one.text and "241.3 mm" in one.text  # 9.8 and 9.5 in
    assert [r.verdict for r in of(found, "conforming screen", "lower", "hole size")] == ["for"]
    assert [r.verdict for r in of(found, "stand-alone screen", "upper", "hole size")] == ["for"]


def test_a_short_washout_is_bridged_and_a_tight_spot_is_not():
    short = api.suit(well(hole((0, 8.5), (2005, 9.8), (2005.9, 8.5), (2007, 8.0), (2007.2, 8.5))))
    (one,) = of(short, "conforming screen", "upper", "hole size")
    assert one.verdict == "against" and one.length == pytest.approx(0.2) and "below the least" in one.text


def test_one_diameter_is_no_caliper():
    found = api.suit(well(hole((0, 8.5))))
    assert {r.verdict for r in found.reasons if r.topic == "hole size"} == {"open"}
    assert any("no caliper" in text for text in found.missing)


def test_a_kind_without_a_range_is_open_and_named_as_missing():
    found = api.suit(well())
    assert {r.verdict for r in found.reasons if r.kind == "perforated casing"} <= {"open", "against", "for"}
    assert [r.verdict for r in of(found, "perforated casing", "upper", "hole size")] == ["open"]
    assert any("suitability.perforated" in text for text in found.missing)


SILENT = [*hole((0, 8.5)), {"md": "2004 m", "diameter": "8.5 in", "measured": False}, *hole((2010, 8.5)),
          {"md": "2030 m", "diameter": "8.5 in", "measured": False}, *hole((2056, 8.5))]  # fmt: skip


def test_where_the_caliper_is_silent_nothing_is_taken_to_fit():
    """No caliper from 2004 to 2010 and from 2030 to 2056: a sand half known is open, and a seal sits elsewhere."""
    found = api.suit(well(SILENT))
    (reason,) = of(found, "conforming screen", "upper", "hole size")
    assert (reason.verdict, reason.top_md, reason.base_md) == ("open", 2004.0, 2010.0) and "no caliper" in reason.text
    assert [one.verdict for one in of(found, "conforming screen", "lower", "hole size")] == ["for"]
    (seat,) = found.seats
    assert [(part.top_md, part.base_md) for part in seat.stretches] == [(2020.0, 2030.0)]
    (in_string,) = [one for one in found.reasons if one.topic == "seal in the string"]
    assert in_string.verdict == "open" and "no caliper" in in_string.text


def test_the_hole_step_by_step():
    """8.5 in with 9.8 in from 2005 to 2008: half a metre at a time, what fits each range, and where a seal can sit."""
    found = api.suit(well())
    table = hole_table(found, Style("metric"))
    assert (table["base md (m)"] - table["top md (m)"]).max() == pytest.approx(0.5)
    assert table["base md (m)"].iloc[:-1].tolist() == table["top md (m)"].iloc[1:].tolist()
    wide = table[table["conforming screen"] == "wide"]
    assert (wide["top md (m)"].min(), wide["base md (m)"].max()) == (2005.0, 2008.0) and len(wide) == 6
    assert set(wide["stand-alone screen"]) == {"fits"} and set(wide["interval"]) == {"upper"}
    seats = table[table["seat"] == "yes"]
    assert (seats["top md (m)"].min(), seats["base md (m)"].max()) == (2020.0, 2060.0)
    short = stretches_table(found, Style("metric"))
    assert len(short) < 10 and short["base md (m)"].iloc[-1] == table["base md (m)"].iloc[-1]


def test_seats_are_gauge_hole_inside_the_barrier():
    """The barrier 2020 to 2060 m with a wash-out from 2024 to 2050: 4 m above it is too short, 10 m below fits."""
    found = api.suit(well(hole((0, 8.5), (2024, 12.0), (2050, 8.5))))
    (seat,) = found.seats
    assert [(part.top_md, part.base_md) for part in seat.stretches] == [(2050.0, 2060.0)]
    assert [r.verdict for r in of(found, "seal", "upper / lower", "seat")] == ["for"]
    (joint,) = [r for r in found.reasons if r.topic == "seal in the string"]  # 2037 to 2043 m
    assert joint.verdict == "against" and joint.length == pytest.approx(6.0)


def test_a_seal_of_the_string_outside_every_barrier_is_told():
    string = [element("screen", 2000, 2005), element("isolation joint", 2005, 2011), element("screen", 2011, 2080)]
    found = api.suit(well(hole((0, 8.5), (2100, 8.6)), string=string))
    (joint,) = [r for r in found.reasons if r.topic == "seal in the string"]
    assert joint.verdict == "against" and "inside a barrier" in joint.text


def test_grains_against_screens_and_gravel():
    """D10 lies between 250 and 500 micron, on the logarithm: 500 * 2^-(0.08/0.18) = 367.4; D50 by the same rule."""
    found = api.suit(well())
    (sample,) = found.gradings
    assert sample.d10 == pytest.approx(500e-6 * 2 ** (-0.08 / 0.18), rel=1e-9)
    assert sample.d50 == pytest.approx(250e-6 * 2 ** (-0.30 / 0.50), rel=1e-9)
    assert sample.fines == pytest.approx(0.01)
    (fine,) = of(found, "conforming screen", "upper", "sand retention")
    (wide,) = of(found, "stand-alone screen", "upper", "sand retention")
    assert fine.verdict == "for" and "one by one" in fine.text  # 200 micron, below D10
    assert wide.verdict == "for" and "bridge" in wide.text  # 700 micron is 1.9 D10
    verdicts = [r.verdict for r in of(found, "gravel pack", "upper", "sand retention")]
    assert verdicts[0] == "for"  # 900 micron is 5.46 D50 of 164.9 micron
    (no_sample,) = of(found, "gravel pack", "lower", "sand retention")
    assert no_sample.verdict == "open" and any("lower" in text for text in found.missing)


def test_an_opening_above_two_d10_speaks_against():
    found = api.suit(well(suitability=suit(stand_alone={"opening": "740 um"})))
    (one,) = of(found, "stand-alone screen", "upper", "sand retention")
    assert one.verdict == "against"


def test_strong_rock_stands_and_weak_rock_does_not():
    found = api.suit(well())
    assert [r.verdict for r in of(found, "stand-alone screen", "upper", "rock strength")] == ["for"]
    assert [r.verdict for r in of(found, "stand-alone screen", "lower", "rock strength")] == ["against"]
    assert [r.verdict for r in of(found, "conforming screen", "lower", "rock strength")] == ["for"]
    assert found.planned_drawdown["upper"] == pytest.approx(70e5, rel=1e-3)  # 220 less 150 bar


def test_the_drawdown_that_is_stood_is_the_closed_form():
    """Willson et al. 2002 at 2010 m in a vertical hole."""
    from planner.physics.rock_strength import willson_2002_pressure

    found = api.suit(well())
    one = next(s for s in found.strengths if s.md == 2010.0)
    greatest, least = 0.18e5 * 2010.0, 0.17e5 * 2010.0
    pressure = max(willson_2002_pressure(greatest, least, one.pressure, 40e6, 0.25, 1.0), 0.0)
    assert one.open_hole == pytest.approx(one.pressure - pressure, rel=2e-3)
    assert math.isnan(one.depleted_open_hole)


@pytest.mark.parametrize("key", ["stress", "strengths", "sieves"])
def test_what_is_missing_is_said_and_left_open(key):
    given = {name: value for name, value in suit().items() if name != key}
    found = api.suit(well(suitability=given))
    topic = "sorting and fines" if key == "sieves" else "rock strength"
    assert {r.verdict for r in found.reasons if r.topic == topic} <= {"open"}
    assert any(text.startswith(f"suitability.{key}") for text in found.missing)


def test_strength_from_porosity_and_from_slowness():
    """Vernik et al. 1993 at 25 %: 254 * 0.325^2 = 26.8 MPa; McNally 1987 at 100 us/ft: 32.8 MPa."""
    porous = {**suit(), "strengths": [], "strength_relation": "vernik 1993"}
    assert {round(s.strength / 1e6, 1) for s in api.suit(well(suitability=porous)).strengths} == {26.8}
    sonic = suit(strengths=[{"md": "2010 m", "slowness": "100 us/ft"}], strength_relation="mcnally 1987")
    (one,) = api.suit(well(suitability=sonic)).strengths
    assert one.strength / 1e6 == pytest.approx(32.8, abs=0.05)


def test_dirty_fluid_offers_a_what_if_that_the_forecast_takes():
    case = well(suitability=suit(fluid_test={"clean": False, "remaining": 0.4}))
    found = api.suit(case)
    assert found.what_if is not None and len(found.what_if.events) == 2
    assert {r.verdict for r in found.reasons if r.topic == "fluid"} == {"against"}
    day = case.schedule.start.replace(month=3)
    dirty, clean = api.forecast(case, found.what_if, until=day), api.forecast(case, until=day)
    assert dirty.well["oil_volume"][-1] < clean.well["oil_volume"][-1]


def test_dirty_fluid_without_a_measure_asks_for_it():
    found = api.suit(well(suitability=suit(fluid_test={"clean": False})))
    assert found.what_if is None and any("remaining or skin" in text for text in found.missing)


def test_a_case_without_the_section_says_what_to_do():
    with pytest.raises(CaseError, match="suitability"):
        api.suit(well(suitability=None))


# ---- barriers and gauge hole ------------------------------------------------------------------------------------


def test_sands_are_parted_by_shale_that_is_long_enough():
    case = well(layers=[layer("a", 2000, 2010), layer("b", 2012, 2020), layer("c", 2025, 2080)])
    sands, barriers = sands_and_barriers(case, 3.0)
    assert [sand.layers for sand in sands] == [("a", "b"), ("c",)]
    assert [(b.top_md, b.base_md) for b in barriers] == [(2020.0, 2025.0)]
    assert len(sands_and_barriers(case, 1.0)[0]) == 3 and len(sands_and_barriers(case, 6.0)[0]) == 1


def test_given_barriers_part_sands_unless_a_layer_crosses_them():
    case = well(layers=[layer("a", 2000, 2010), layer("b", 2012, 2020), layer("c", 2025, 2080)])
    sands, barriers = sands_and_barriers(case, 3.0, given=[(2010.5, 2011.5), (2030.0, 2035.0)])
    assert [sand.layers for sand in sands] == [("a",), ("b", "c")]
    assert [(b.top_md, b.source) for b in barriers] == [(2010.5, "given")]
    assert crossed(case, [(2030.0, 2035.0)]) == [(2030.0, 2035.0, "c")]


def test_a_layer_of_low_net_counts_as_barrier():
    layers = [layer("a", 2000, 2010), layer("poor", 2010, 2020, net_to_gross=0.1), layer("c", 2020, 2080)]
    sands, barriers = sands_and_barriers(well(layers=layers), 3.0, low_net=0.2)
    assert [sand.layers for sand in sands] == [("a",), ("c",)]
    assert [(b.top_md, b.base_md) for b in barriers] == [(2010.0, 2020.0)]


ROWS = st.lists(
    st.tuples(st.floats(0.0, 100.0), st.floats(0.15, 0.40)), min_size=1, max_size=12, unique_by=lambda r: r[0]
)


@given(rows=ROWS, least=st.floats(0.15, 0.25), more=st.floats(0.01, 0.1), tolerance=st.floats(0.0, 5.0))
def test_gauge_hole_and_what_is_out_of_range_tile_the_hole(rows, least, more, tolerance):
    """Every point of gauge hole away from tolerated wash-outs is in range; both together are the whole stretch."""
    sizes = tuple(HoleSize.model_construct(md=md, diameter=size) for md, size in rows)
    greatest = least + more
    good = gauge(sizes, 10.0, 90.0, least, greatest, tolerance)
    edges, diameter = hole_profile(sizes, 10.0, 90.0)
    bad = [part for _, part in outside(edges, diameter, least, greatest, tolerance)]
    assert sum(p.length for p in good) + sum(p.length for p in bad) == pytest.approx(80.0)
    for part in good:
        inside = (edges[:-1] >= part.top_md - 1e-9) & (edges[1:] <= part.base_md + 1e-9)
        assert not np.any(diameter[inside] < least)
        wide = np.diff(edges)[inside & (diameter > greatest)]
        assert np.all(wide <= tolerance + 1e-5)

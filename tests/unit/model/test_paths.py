"""Values of a case by path: read, replaced by a new case, and refused with what would do."""

from __future__ import annotations

from datetime import date

import pytest

from planner.base.errors import CaseError
from planner.base.units import parse
from planner.model.case import Case
from planner.model.paths import Plus, Times, expand, problems_of_paths, put, quantity_at, read, read_all
from planner.network.zone_layers import zone_layers
from tests.building import MD, intervals, layer, make, zoned_string

BAR = 1e5


def two_zones() -> Case:
    (a, b), (c, d) = intervals(2)
    return make(
        zones=["upper", "lower"],
        layers=[
            layer("A sand", a, b - 8.0, support="north"),
            layer("A.2", b - 8.0, b, permeability="50 md"),
            layer("B", c, d, skin=3.0),
        ],
        compartments=[{"name": "c", "datum": "2000 m", "pressure": "220 bar", "oil_water_contact": "2100 m"}],
        supports={"north": {"kind": "fetkovich aquifer", "volume": "1e6 m^3", "compressibility": "9e-5 1/bar",
                            "productivity_index": "10 m^3/day/bar"}},
        string=zoned_string([(a, b), (c, d)]),
        what_ifs=[{"name": "acid", "events": [{"do": "set skin", "zone": "lower", "skin": -2, "on": "2028-01-01"}]}],
    )  # fmt: skip


def test_numbers_are_read_in_si_by_name_and_by_number() -> None:
    case = two_zones()
    assert read(case, "layers.A sand.permeability") == pytest.approx(100.0 * MD, rel=1e-12)
    assert (
        read(case, "layers.1.permeability") == read(case, "layers.A.2.permeability") == parse("50 md", "permeability")
    )
    assert read(case, "compartments.c.oil_water_contact") == 2100.0
    assert read(case, "supports.north.volume") == 1e6
    assert read(case, "string.seal 1.leak") == 0.0
    assert read(case, "what_ifs.acid.events.0.skin") == -2.0
    assert read(case, "fluid.oil.viscosity") == pytest.approx(1e-3, rel=1e-12)
    assert read(case, "controls.2027-01-01.bottom_hole_pressure") == 150.0 * BAR
    assert read(case, "numerics.cells") == 16.0


def test_star_means_all_and_a_zone_means_its_layers() -> None:
    case = two_zones()
    zones = zone_layers(case)
    assert zones == {"upper": ("A sand", "A.2"), "lower": ("B",)}
    assert read_all(case, "layers.*.skin") == {"layers.A sand.skin": 0.0, "layers.A.2.skin": 0.0, "layers.B.skin": 3.0}
    assert expand(case, "zones.upper.permeability", zones) == ("layers.A sand.permeability", "layers.A.2.permeability")
    assert expand(case, "zones.*.skin", zones) == expand(case, "layers.*.skin")
    with pytest.raises(CaseError, match="means 3 numbers"):
        read(case, "layers.*.skin")


def test_put_makes_a_new_case_and_leaves_the_old_one() -> None:
    case = two_zones()
    made = put(
        case,
        {
            "layers.A sand.permeability": 200.0 * MD,
            "layers.B.permeability": "80 md",
            "string.seal 1.leak": "1 m^3/day/bar",
            "what_ifs.acid.events.0.skin": -4.0,
            "what_ifs.acid.events.0.on": date(2029, 1, 1),
            "layers.B.connected_below": False,
            "layers.B.support": "north",
            "numerics.cells": 4,
        },
    )
    assert read(made, "layers.A sand.permeability") == 200.0 * MD
    assert made.layers[2].permeability == parse("80 md", "permeability")
    assert made.what_ifs[0].events[0].on == date(2029, 1, 1)
    assert (made.layers[2].support, made.layers[2].connected_below, made.numerics.cells) == ("north", False, 4)
    assert case == two_zones()
    assert put(made, {"numerics.cells": 16}).numerics == case.numerics
    assert made.layers[1] is case.layers[1]
    assert put(case, {}) == case


def test_relative_changes_multiply_and_shift_what_the_case_holds() -> None:
    case = two_zones()
    zones = zone_layers(case)
    made = put(case, {"zones.upper.permeability": "x1.3", "layers.A.2.permeability": Times(2.0)}, zones)
    assert read(made, "layers.A sand.permeability") == pytest.approx(130.0 * MD, rel=1e-12)
    assert read(made, "layers.A.2.permeability") == pytest.approx(130.0 * MD, rel=1e-12)
    moved = put(case, {"compartments.c.oil_water_contact": "-5 m", "fluid.temperature": "+9 degF"})
    assert read(moved, "compartments.c.oil_water_contact") == 2095.0
    assert read(moved, "fluid.temperature") == pytest.approx(363.15 + 5.0, abs=1e-9)
    assert read(put(case, {"layers.*.skin": Plus(1.5)}), "layers.B.skin") == 4.5


def test_every_number_put_back_is_the_same_case() -> None:
    case = two_zones()
    paths = [
        "layers.*.permeability",
        "layers.*.top_md",
        "fluid.temperature",
        "fluid.oil.viscosity",
        "rocks.*.compressibility",
    ]
    found = {one: value for path in paths for one, value in read_all(case, path).items()}
    assert put(case, found) == case


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("layers.A snad.permeability", "layers has no 'A snad'.*Did you mean 'A sand'. There: A sand, A.2, B or"),
        ("layers.B.permeabilty", "layers.B has no 'permeabilty'.*Did you mean 'permeability'"),
        ("layer.B.skin", "the case has no 'layer'.*Did you mean 'layers'"),
        ("layers.7.skin", "layers has no '7'.*a number from 0 to 2"),
        ("tubing.inner_diameter", "the case gives no tubing"),
        ("layers.B.skin.more", "layers.B.skin is a single value"),
        ("layers.B.pressure", "the case gives no layers.B.pressure"),
        ("layers.B.name", "layers.B.name is not a number"),
        ("zones.upper.skin", "the layers of a zone are not known here"),
    ],
)  # fmt: skip
def test_a_path_that_leads_nowhere_says_what_is_there(path: str, words: str) -> None:
    with pytest.raises(CaseError, match=words) as caught:
        read(two_zones(), path)
    assert caught.value.problems[0].place == path


def test_all_bad_changes_are_told_at_once() -> None:
    case = two_zones()
    changes = {
        "layers.B.permeability": "5 bar",
        "layers.B.pressure": "x2",
        "fluid.temperature": "x1.1",
        "layers.B": "thick",
        "layers.B.rock": "x2",
        "nowhere": 1.0,
    }
    with pytest.raises(CaseError) as caught:
        put(case, changes)  # a word is a fine name of a rock as far as one record can tell
    assert [one.place for one in caught.value.problems] == [
        "layers.B.permeability", "layers.B.pressure", "fluid.temperature", "layers.B", "nowhere",
    ]  # fmt: skip


def test_a_value_out_of_bounds_is_refused_with_its_place() -> None:
    with pytest.raises(CaseError, match=r"layers.B.permeability: must be above 0") as caught:
        put(two_zones(), {"layers.B.permeability": -1.0})
    assert caught.value.problems[0].value == "-1.0 m^2"
    with pytest.raises(CaseError, match=r"numerics.cells"):
        put(two_zones(), {"numerics.cells": "x1.3"})


def test_a_path_knows_its_quantity() -> None:
    found = {path: quantity_at(two_zones(), path) for path in ("layers.*.skin", "layers.B.top_md", "layers.B.rock")}
    assert found == {"layers.*.skin": "number", "layers.B.top_md": "length", "layers.B.rock": ""}


def test_problems_of_paths_tell_each_path_that_is_wrong() -> None:
    found = problems_of_paths(two_zones(), ["layers.B.skin", "layers.C.skin", "fluid.oil.viscosty"])
    assert [one.place for one in found] == ["layers.C.skin", "fluid.oil.viscosty"]

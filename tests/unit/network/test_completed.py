"""The same well completed another way: what stays, what changes, and what follows from the network by itself."""

from __future__ import annotations

import numpy as np
import pytest
from pydantic import ValidationError

from planner.base.errors import CaseError, Refusal
from planner.decide.possible import refusal_of
from planner.forecast.life import Life
from planner.forecast.run import forecast
from planner.model.change import SetPlug, WhatIf
from planner.model.completion import recompleted
from planner.model.consistency import check
from planner.network.compile import compile_network
from planner.network.completed import completed
from planner.network.describe import describe_case
from planner.network.interventions import plan
from planner.network.well_graph import build
from tests.building import element, layer, make

COMPLETIONS = {
    "conforming": {"inner_diameter": "0.1 m"},
    "stand_alone": {"inner_diameter": "0.1 m", "outer_diameter": "0.13 m", "isolation_joints": "blank pipe"},
    "gravel_pack": {
        "inner_diameter": "0.1 m", "outer_diameter": "0.13 m", "isolation_joints": "blank pipe",
        "gravel_permeability": "100 darcy", "gravel_turbulence": "1e4 1/m",
    },
    "perforated_casing": {"inner_diameter": "0.15 m", "outer_diameter": "0.178 m", "perforations": "gun"},
}  # fmt: skip
GUN = {"gun": {"shot_density": "20 1/m", "phasing": "90 deg", "length": "0.3 m", "entrance_diameter": "12 mm",
               "crushed_thickness": "10 mm", "crushed_permeability": 0.2}}  # fmt: skip
SPANS = [(2000.0, 2020.0), (2060.0, 2080.0), (2120.0, 2140.0)]
NAMES = ("conforming", "stand-alone", "gravel pack", "perforated casing")


def sealed_string():
    """Conforming screens with blank pipe, isolation joint, blank pipe between them."""
    pipe = {"inner_diameter": "0.1 m", "outer_diameter": "0.115 m"}
    parts = [element("hanger", 1986.0, 1988.0), element("blank pipe", 1988.0, 2000.0, **pipe)]
    for k, (top, base) in enumerate(SPANS):
        if k:
            above = SPANS[k - 1][1]
            parts += [element("blank pipe", above, above + 17.0, **pipe),
                      element("isolation joint", above + 17.0, above + 23.0, leak="0 m^3/day/bar"),
                      element("blank pipe", above + 23.0, top, **pipe)]  # fmt: skip
        parts.append(element("screen", top, base, **pipe))
    return parts


def case_of(**changes):
    """Three sands of rising pressure, so that what can cross does."""
    layers = [layer(f"l{k}", *span, pressure=f"{215 + 10 * k} bar", permeability="1500 md")
              for k, span in enumerate(SPANS)]  # fmt: skip
    made = {
        "layers": layers, "string": sealed_string(), "zones": ["A", "B", "C"], "completions": COMPLETIONS,
        "perforations": GUN, "numerics": {"friction": True, "gravity": False},
        "controls": [{"date": "2027-01-01", "bottom_hole_pressure": "200 bar"}],
        "schedule": {"start": "2027-01-01", "end": "2027-12-01"},
    }  # fmt: skip
    return make(**{**made, **changes})


def what_if(completion, *events):
    return WhatIf.model_validate({"name": "w", "completion": completion, "events": list(events)})


def test_names_and_depths_stay():
    case = case_of()
    for name in NAMES:
        swapped = recompleted(case, name)
        assert [e.top_md for e in swapped.string] == [e.top_md for e in case.string]
        assert [e.name for e in swapped.string if e.name.startswith("screen")] == ["screen 1", "screen 2", "screen 3"]
    assert recompleted(case, "stand-alone").string[3].kind == "blank pipe"
    assert recompleted(case, "stand-alone").string[4].name == "isolation joint 1"
    assert case.string[4].name == ""  # the case itself is as it was


def test_zones_take_the_names_of_what_they_cover():
    case = case_of()
    found = {name: [z.name for z in describe_case(case, what_if(name)).zones] for name in NAMES}
    assert found == {
        "conforming": ["A", "B", "C"], "stand-alone": ["A + B + C"], "gravel pack": ["A + B + C"],
        "perforated casing": ["A", "B", "C"],
    }  # fmt: skip
    kept = {**COMPLETIONS, "stand_alone": {**COMPLETIONS["stand_alone"], "isolation_joints": "kept"}}
    zones = describe_case(case_of(completions=kept), what_if("stand-alone")).zones
    assert [z.name for z in zones] == ["A", "B", "C"]


def test_perforated_intervals_may_be_given():
    cased = {**COMPLETIONS["perforated_casing"], "intervals": [
        {"top_md": "2002 m", "base_md": "2008 m"}, {"top_md": "2012 m", "base_md": "2018 m"},
        {"top_md": "2125 m", "base_md": "2140 m"}]}  # fmt: skip
    case = case_of(completions={"perforated_casing": cased})
    swapped = completed(case, what_if("perforated casing"))
    open_ = [(e.name, e.top_md, e.base_md) for e in swapped.string if e.kind == "perforated casing"]
    assert open_ == [
        ("screen 1 part 2", 2002.0, 2008.0), ("screen 1 part 4", 2012.0, 2018.0), ("screen 3 part 2", 2125.0, 2140.0),
    ]  # fmt: skip
    assert all(e.cemented for e in swapped.string if e.kind == "blank pipe")
    assert swapped.zones == ("A 1", "A 2", "C")  # cement parts the first sand in two; nothing opens the second


def test_what_lacks_is_said():
    bare = case_of(completions={}, what_ifs=[{"name": "w", "completion": "gravel pack"}])
    (problem,) = check(bare)
    assert problem.place == "what_ifs[1].completion" and "[completions.gravel_pack]" in problem.message
    with pytest.raises(CaseError, match="gravel_pack"):
        completed(bare, bare.what_ifs[0])
    lacking = {key: value for key, value in COMPLETIONS["gravel_pack"].items() if key != "gravel_permeability"}
    with pytest.raises(ValidationError, match="gravel_permeability"):
        case_of(completions={"gravel_pack": lacking})
    wide = {"stand_alone": {**COMPLETIONS["stand_alone"], "outer_diameter": "0.3 m"}}
    with pytest.raises(Refusal, match="as wide as the hole"):
        describe_case(case_of(completions=wide), what_if("stand-alone"))
    (problem,) = check(case_of(completions=wide))
    assert problem.place == "completions.stand_alone.outer_diameter"
    beyond = {**COMPLETIONS["perforated_casing"], "intervals": [{"top_md": "2500 m", "base_md": "2510 m"}]}
    (problem,) = check(case_of(completions={"perforated_casing": beyond}))
    assert problem.place == "completions.perforated_casing.intervals[1]"


def test_a_zone_that_is_no_more_is_refused():
    shut = {"do": "shut zone", "zone": "B", "on": "2027-06-01"}
    case = case_of()
    assert refusal_of(case, what_if("conforming", shut)) == ""
    assert refusal_of(case, what_if("perforated casing", shut)) == ""
    assert "no zone 'B' in the stand-alone completion" in refusal_of(case, what_if("stand-alone", shut))
    with pytest.raises(Refusal, match="A \\+ B \\+ C"):
        forecast(case, what_if("gravel pack", shut))


@pytest.mark.parametrize("name", NAMES)
def test_a_plug_isolates_only_where_the_outside_is_sealed(name):
    # common practice: with an open annulus fluid runs along it past the blank
    case = completed(case_of(), what_if(name))
    graph = build(case)
    if name in ("stand-alone", "gravel pack"):
        with pytest.raises(Refusal, match="an outside seal beside blank pipe 4 is missing"):
            plan(graph, SetPlug(blank="blank pipe 4"))
    else:
        assert plan(graph, SetPlug(blank="blank pipe 4")).zones == ("C",)


def lower_sand(name, plugged):
    """Oil of the lowest sand with the bore open or closed by hand beside the blank above it, m3/d."""
    life = Life(case_of(), what_if(name), still=True)
    graph = life.graph
    blank = next(one for one in graph.blanks if one.name == "blank pipe 4")
    if plugged:
        life.march.switches.multiplier[life.network.rows_of_link[blank.lower]] = 0.0
    life.settle()
    return float(life.recorder.columns()["layer"]["oil_rate"][-1][2]) * 86400.0


def test_flow_past_a_closed_bore():
    # the string is told nothing of zones: what flows past the closed bore is the network's own answer
    open_, past = (({name: lower_sand(name, plugged) for name in NAMES}) for plugged in (False, True))
    assert past["stand-alone"] > 0.5 * open_["stand-alone"]
    assert 0.0 < past["gravel pack"] < 0.05 * open_["gravel pack"]
    assert abs(past["conforming"]) < 1e-6 * open_["conforming"]
    assert abs(past["perforated casing"]) < 1e-6 * open_["perforated casing"]


def along_the_annulus(name):
    """Sum of what runs along the annulus from piece to piece, m3/d."""
    life = Life(case_of(), what_if(name), still=True)
    life.settle()
    rows = [row for link in life.graph.links if link.kind == "annulus" for row in life.network.rows_of_link[link.index]]
    return float(np.abs(life.march.rates[rows]).sum()) * 86400.0


def test_order_of_the_flow_along_the_annulus():
    # common practice: an open annulus carries most, gravel little, conforming screens and cement nothing
    flow = {name: along_the_annulus(name) for name in NAMES}
    print(flow)
    assert flow["stand-alone"] > 10.0 * flow["gravel pack"] > 0.0
    assert flow["conforming"] == pytest.approx(0.0, abs=1e-3 * flow["gravel pack"])
    assert flow["perforated casing"] == 0.0


def test_nothing_enters_at_the_ends_of_perforated_casing():
    # blank pipe with an open outside beside cemented casing: its annulus is a dead end
    string = [element("blank pipe", 1990.0, 2000.0), element("perforated casing", 2000.0, 2020.0, perforations="gun")]
    graph = build(case_of(string=string, layers=[layer("l", 1990.0, 2020.0)], zones=[]))
    assert not [link for link in graph.links if link.kind == "screen end"]
    assert [link.b for link in graph.links if link.kind == "sandface"] == [("bore", len(graph.pieces) - 1)]


def test_a_string_that_lacks_its_perforations():
    string = [element("blank pipe", 1990.0, 2000.0), element("perforated casing", 2000.0, 2020.0, perforations="gum"),
              element("screen", 2020.0, 2030.0, cemented=True, perforations="gun"),
              element("blank pipe", 2030.0, 2040.0, cemented=True, nozzle_area="1 mm^2",
                      plugging="1 Pa*s/m^2")]  # fmt: skip
    layers = [layer("l", 2000.0, 2020.0, vertical_to_horizontal=0.0, partial_entry=True, damaged_radius="0.05 m")]
    places = {problem.place for problem in check(case_of(string=string, layers=layers))}
    assert places >= {
        "string[2].perforations", "string[3].perforations", "string[3].cemented", "string[4].nozzle_area",
        "string[4].plugging", "layers[1].vertical_to_horizontal", "layers[1].damaged_permeability",
        "layers[1].damaged_radius",
    }  # fmt: skip


def test_what_composed_skins_leave_out_is_said():
    part = layer("l0", *SPANS[0], damaged_radius="0.3 m", damaged_permeability="9000 md")
    told = describe_case(case_of(layers=[part]), what_if("perforated casing"))
    assert {share.name for share in told.skins} == {"perforations", "crushed zone"}
    network = compile_network(completed(case_of(layers=[part]), what_if("perforated casing")), build(
        completed(case_of(layers=[part]), what_if("perforated casing"))))  # fmt: skip
    assert any("more permeable than the rock" in text for text in network.warnings)

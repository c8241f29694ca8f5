"""What lies at the sandface against closed forms, through the whole network: skins, gravel, nozzles, plugging."""

from __future__ import annotations

import numpy as np
import pytest

from planner.base.constants import DAY
from planner.base.errors import CaseError
from planner.forecast.life import Life
from planner.forecast.run import flow
from planner.forecast.sandface import moment
from planner.model.change import WhatIf
from planner.network.skin_table import rate_of, row_shares
from planner.physics.skin import karakas_tariq_1991_parts, partial_entry_skin
from tests.building import BAR, CONSTANT_OIL, M3D, MD, element, layer, make, pseudo_steady_index, within, zoned_string

TOP, BASE = 2000.0, 2020.0
RADIUS = 0.5 * 8.5 * 0.0254  # m, of the hole
B = 1.2  # of CONSTANT_OIL at the first compartment's pressure
STIFF = {**CONSTANT_OIL, "compressibility": "0 1/bar"}
FLUID = {"temperature": "90 degC", "oil": STIFF, "water": {"method": "constant", "density": "1000 kg/m^3",
         "viscosity": "0.5 cP", "formation_volume_factor": "1.0 m^3/m^3", "compressibility": "4e-5 1/bar"}}  # fmt: skip
GUN = {"gun": {"shot_density": "20 1/m", "phasing": "90 deg", "length": "0.3 m", "entrance_diameter": "12 mm",
               "crushed_thickness": "10 mm", "crushed_permeability": 0.2}}  # fmt: skip


HELD = {"layers": [layer("l", TOP, BASE, support="edge")],
        "supports": {"edge": {"kind": "constant pressure", "fluid": "own"}}}  # fmt: skip


def oil_rate(**changes):
    """Oil at the start, reservoir m3/s."""
    return flow(make(fluid=FLUID, **changes)).well["oil_rate"] * B


def ideal(skin, thickness=BASE - TOP, drawdown=70.0):
    """Reservoir rate of a closed circle at a skin, m3/s."""
    return pseudo_steady_index(100.0, thickness, 1.0 / 1e-3, 300.0, skin=skin) * drawdown * BAR


def test_damage_by_hawkins_through_the_whole_network():
    skin = (100.0 / 20.0 - 1.0) * np.log(0.5 / RADIUS)
    found = oil_rate(layers=[layer("l", TOP, BASE, damaged_radius="0.5 m", damaged_permeability="20 md")])
    within("Hawkins", found / ideal(skin) - 1.0, 2e-5)


def test_damage_comes_on_top_of_the_given_skin():
    skin = (100.0 / 20.0 - 1.0) * np.log(0.5 / RADIUS)
    found = oil_rate(layers=[layer("l", TOP, BASE, damaged_radius="0.5 m", damaged_permeability="20 md", skin=2.5)])
    within("sum", found / ideal(skin + 2.5) - 1.0, 2e-5)


def test_perforated_casing_flows_with_the_published_skin():
    # Karakas and Tariq 1991: parts checked against print in tests/published; here: that the well uses their sum
    anisotropy = 10**0.5
    parts = karakas_tariq_1991_parts(90, 0.3, 0.006, 20.0, RADIUS, anisotropy)
    crushed = (1.0 / 0.2 - 1.0) * np.log(0.016 / 0.006) / (20.0 * 0.3)
    string = [element("blank pipe", 1990.0, TOP, cemented=True), element("perforated casing", TOP, BASE,
              perforations="gun", inner_diameter="0.15 m", outer_diameter="0.178 m")]  # fmt: skip
    found = oil_rate(string=string, perforations=GUN)
    within("perforated", found / ideal(float(sum(parts)) + crushed) - 1.0, 2e-5)


def test_partial_entry_flows_with_the_exact_series():
    string = [element("blank pipe", 1990.0, TOP), element("screen", TOP, TOP + 8.0),
              element("isolation joint", TOP + 8.0, 2030.0)]  # fmt: skip
    layers = [layer("l", TOP, BASE, partial_entry=True, vertical_to_horizontal=0.25)]
    exact = partial_entry_skin(0.4, 0.0, BASE - TOP, RADIUS, 2.0)
    found = oil_rate(layers=layers, string=string)
    within("partial entry", found / ideal(exact) - 1.0, 2e-5)
    # damage sits at the open 40 % of the layer: it counts 1/0.4 times
    damaged = oil_rate(layers=[{**layers[0], "skin": 2.0}], string=string)
    within("with damage", damaged / ideal(exact + 2.0 / 0.4) - 1.0, 2e-5)


def test_slanted_hole_flows_with_its_negative_skin():
    # Cinco-Ley et al. 1975 at 45 degrees, isotropic: h_D = 20 m / 0.108 m
    survey = [{"md": "0 m", "inclination": "45 deg"}, {"md": "4000 m", "inclination": "45 deg"}]
    length = 20.0 * 2**0.5
    layers = [layer("l", TOP, TOP + length, deviation_skin=True, vertical_to_horizontal=1.0)]
    well = {"name": "s", "survey": survey, "hole": [{"md": "0 m", "diameter": "8.5 in"}]}
    found = oil_rate(layers=layers, well=well, string=zoned_string([(TOP, TOP + length)]))
    skin = -((45.0 / 41.0) ** 2.06) - (45.0 / 56.0) ** 1.865 * np.log10(20.0 / RADIUS / 100.0)
    within("slanted", found / ideal(skin) - 1.0, 1e-3)  # the wider hole stands in for the skin: (rw/re)^2 terms


@pytest.mark.parametrize("viscosity", [1.0, 4.0])
def test_radial_gravel_costs_what_darcy_says(viscosity):
    # k / kg ln(rw / rs), whatever the viscosity; kro is 1 at connate water
    oil = {**STIFF, "viscosity": f"{viscosity} cP"}
    screen = {"screen": "gravel pack", "outer_diameter": "0.1 m", "inner_diameter": "0.08 m"}
    string = zoned_string([(TOP, BASE)], **screen, gravel_permeability="500 md")
    found = flow(make(fluid={**FLUID, "oil": oil}, string=string)).well["oil_rate"] * B * viscosity
    within("radial gravel", found / ideal(0.2 * np.log(RADIUS / 0.05)) - 1.0, 2e-5)


def test_gravel_in_tunnels_costs_darcy_and_forchheimer():
    # straight flow over (hole - casing bore) / 2; beta rho v^2 with the density of what flows
    path, area = 0.5 * (2.0 * RADIUS - 0.15), 20.0 * 20.0 * 0.25 * np.pi * 0.012**2
    string = [element("blank pipe", 1990.0, TOP, cemented=True), element("perforated casing", TOP, BASE,
              perforations="gun", inner_diameter="0.15 m", outer_diameter="0.178 m",
              gravel_permeability="20 darcy", gravel_turbulence="1e6 1/m")]  # fmt: skip
    case = make(fluid=FLUID, string=string, perforations=GUN)
    life = Life(case, None, still=True)
    life.settle()
    net, now = life.network, moment(life.march)
    row = int(net.sandface_rows[0])
    rate = rate_of(net, now, row)
    density = float(life.march.work.mixture[net.links.b[row], 0])
    drop = 1e-3 * path * rate / (2e4 * MD * area) + 1e6 * density * path * (rate / area) ** 2
    expected = 2.0 * np.pi * 100.0 * MD * 20.0 / 1e-3 * drop / rate
    shares = {share.name: share.value for share in row_shares(net, now, row)}
    within("gravel in tunnels", shares["gravel"] / expected - 1.0, 1e-9)
    whole = oil_rate(string=string, perforations=GUN)
    within("flow", whole / ideal(sum(shares.values())) - 1.0, 2e-5)


@pytest.mark.parametrize("kind", ["conforming", "stand-alone"])
def test_nozzles_cost_what_bernoulli_says(kind):
    area, coefficient = 2e-4, 0.7
    screen = {"screen": kind, "outer_diameter": "0.1 m", "inner_diameter": "0.08 m",
              "nozzle_area": f"{area} m^2", "nozzle_coefficient": coefficient}  # fmt: skip
    life = Life(make(fluid=FLUID, string=zoned_string([(TOP, BASE)], **screen)), None, still=True)
    life.settle()
    net, march = life.network, life.march
    row = int(net.sandface_rows[0])
    rate = rate_of(net, moment(march), row)
    density = 850.0 / B
    drop = density * rate**2 / (2.0 * (coefficient * area) ** 2)
    skin = 2.0 * np.pi * 100.0 * MD * 20.0 / 1e-3 * drop / rate
    within("nozzles", rate / ideal(skin) - 1.0, 1e-4)
    assert drop > 5.0 * BAR


@pytest.mark.parametrize("kind", ["conforming", "stand-alone"])
def test_a_screen_plugs_with_what_has_passed(kind):
    # at a constant rate: loss = (linear + plugging V / A) mu q / A, V = q t
    grown, rate = 5e5, 100.0
    screen = {"screen": kind, "outer_diameter": "0.1 m", "inner_diameter": "0.08 m", "linear_loss": "1e6 Pa*s/m"}
    controls = [{"date": "2027-01-01", "bottom_hole_pressure": "20 bar", "oil_rate": f"{rate} m^3/day"}]
    pressures = []
    for plugging in ("0 Pa*s/m^2", f"{grown} Pa*s/m^2"):
        string = zoned_string([(TOP, BASE)], **screen, plugging=plugging)
        case = make(fluid=FLUID, string=string, controls=controls, **HELD,
                    schedule={"start": "2027-01-01", "end": "2029-01-01"})  # fmt: skip
        life = Life(case, None)
        life.run()
        pressures.append(life.result(0.0).well["bottom_hole_pressure"])
        days = life.recorder.days
    area = np.pi * 0.1 * 20.0
    reservoir = rate * M3D * B
    expected = grown * reservoir * days[1:] * DAY / area * reservoir / area
    found = (pressures[0] - pressures[1])[1:]
    assert expected[-1] > 1.0 * BAR
    within("plugging", float(np.abs(found / expected - 1.0).max()), 0.01)  # the first steps take up the start
    within("plugging at the end", float(found[-1] / expected[-1] - 1.0), 5e-4)


def gas_case(**changes):
    """A gas well without water in the bore, two screens."""
    kept = {"layers": [layer("l", TOP, BASE, forchheimer="1e10 1/m")]} | changes
    return make(
        well={"name": "g", "kind": "gas producer", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        fluid={"temperature": "90 degC", "gas": {"method": "ideal", "gravity": 0.7, "viscosity": "0.02 cP"}},
        rocks=[{"name": "r", "relative_permeability": {"gas_end_point": 1.0}}], **kept,
    )  # fmt: skip


def test_turbulence_does_not_depend_on_how_the_string_is_cut():
    # one screen, or the same screen in four pieces: each sees the rate of the whole layer
    whole = flow(gas_case(numerics={"piece_length": "100 m", "gravity": False, "friction": False}))
    cut = flow(gas_case(numerics={"piece_length": "5 m", "gravity": False, "friction": False}))
    within("cut", cut.well["gas_rate"] / whole.well["gas_rate"] - 1.0, 1e-6)
    given = [layer("l", TOP, BASE, turbulence=3.0)]
    one = flow(gas_case(layers=given, numerics={"piece_length": "100 m", "gravity": False, "friction": False}))
    four = flow(gas_case(layers=given, numerics={"piece_length": "5 m", "gravity": False, "friction": False}))
    within("cut, given", four.well["gas_rate"] / one.well["gas_rate"] - 1.0, 1e-6)


def test_turbulence_from_beta_by_forchheimer():
    # beta k rho_sc / (2 pi mu rw h), rho of 0.7 gas at 15 degC and 1 atm: 0.7 * 1.2250 kg/m3 (ISO 2533 air)
    found = flow(gas_case(numerics={"piece_length": "100 m", "gravity": False, "friction": False}))
    shares = {one.name: one for one in found.skins}
    expected = 1e10 * 100.0 * MD * 0.7 * 1.225 / (2.0 * np.pi * 2e-5 * RADIUS * 20.0) * found.well["gas_rate"]
    within("turbulence", shares["turbulence"].value / expected - 1.0, 2e-3)
    assert expected > 1.0


MIXED = {
    "conforming": {"linear_loss": "1e7 Pa*s/m", "quadratic_loss": "1e9 Pa*s^2/m^2"},
    "stand-alone": {"screen": "stand-alone", "outer_diameter": "0.1 m", "linear_loss": "1e7 Pa*s/m",
                    "inner_diameter": "0.08 m", "nozzle_area": "100 mm^2"},
    "gravel": {"screen": "gravel pack", "outer_diameter": "0.1 m", "inner_diameter": "0.08 m",
               "gravel_permeability": "2 darcy", "gravel_turbulence": "1e8 1/m"},
}  # fmt: skip


@pytest.mark.parametrize("kind", MIXED)
@pytest.mark.parametrize("gas", [False, True])
def test_the_shares_shown_are_what_the_network_uses(kind, gas):
    # identity: scale * total mobility * (p rock - p bore) / rate = resistance of the rock + sum of the shares
    parts = {"damaged_radius": "0.4 m", "damaged_permeability": "30 md", "partial_entry": True, "skin": -0.5}
    layers = [layer("l", TOP, BASE, **parts), layer("m", 2060.0, 2080.0, skin=3.0)]
    string = [element("isolation joint", 1990.0, 2004.0), *zoned_string([(2004.0, 2012.0), (2060.0, 2080.0)],
              **MIXED[kind])[1:]]  # fmt: skip
    numerics = {"gravity": False, "friction": False, "piece_length": "5 m"}
    make_one = gas_case if gas else make
    if gas:
        layers = [{**one, "turbulence": 2.0, "forchheimer_method": "geertsma 1974"} for one in layers]
    life = Life(make_one(layers=layers, string=string, numerics=numerics), None, still=True)
    life.settle()
    net, march, now = life.network, life.march, moment(life.march)
    seen = set()
    for row, index in net.body_of_row.items():
        body, rate = net.bodies[index], rate_of(net, now, row)
        a, piece = int(net.links.a[row]), net.piece_of_row[row]
        behind = net.bore[piece] if net.graph.pieces[piece].lets_in else int(net.links.b[row])  # blank: its annulus
        drop = march.x[a, 0] - march.x[behind, 0]
        whole = net.scale[row] * march.work.total[a] * drop / rate
        shares = list(row_shares(net, now, row))
        seen |= {share.name for share in shares}
        rock = float(body.grid.resistance[0]) - body.held_skin
        within("shares", rock + sum(share.value for share in shares) - whole, 2e-3 * whole)
    wanted = {"as given", "damage", "partial entry"} | ({"turbulence", "turbulence as given"} if gas else set())
    assert seen >= wanted | {"conforming": {"screen"}, "stand-alone": {"screen", "nozzles"}, "gravel": {"gravel"}}[kind]


def test_a_valve_closes_and_opens_again():
    screen = {"screen": "stand-alone", "outer_diameter": "0.1 m", "inner_diameter": "0.08 m", "nozzle_area": "1 in^2"}
    spans = [(TOP, BASE), (2060.0, 2080.0)]
    layers = [layer(f"l{k}", top, base, support="edge") for k, (top, base) in enumerate(spans)]
    case = make(layers=layers, supports=HELD["supports"], string=zoned_string(spans, **screen),
                zones=["upper", "lower"], schedule={"start": "2027-01-01", "end": "2027-12-01"})  # fmt: skip
    turned = WhatIf.model_validate({"name": "w", "events": [
        {"do": "set valve", "element": "screen 2", "opening": 0.0, "on": "2027-03-01"},
        {"do": "set valve", "element": "screen 2", "opening": 0.1, "on": "2027-06-01"},
        {"do": "set valve", "element": "screen 2", "opening": 1.0, "on": "2027-09-01"}]})  # fmt: skip
    life = Life(case, turned)
    life.run()
    result = life.result(0.0)
    lower = result.zone["oil_rate"][:, 1] / M3D
    month = {str(date)[:7]: rate for date, rate in zip(result.dates, lower, strict=True)}
    assert abs(month["2027-05"]) < 1e-2 and month["2027-02"] > 1.0
    assert 0.0 < month["2027-08"] < month["2027-11"]
    assert any("valves of screen 2 closed" in one.text for one in result.happenings)


def test_horizontal_section_beside_babu_and_odeh():
    # isotropic rock in a square box, drained from end to end: the ring of the network and the box of the paper hold
    # the same rock; their shape factors differ by half of ln(31.62/30.88) (Dietz 1965)
    survey = [{"md": "0 m", "inclination": "0 deg"}, {"md": "1000 m", "inclination": "0 deg"},
              {"md": "1990 m", "inclination": "90 deg"}, {"md": "4000 m", "inclination": "90 deg"}]  # fmt: skip
    part = layer("l", 2000.0, 2400.0, geometry="along hole", drainage_radius="50 m", thickness=f"{50 * np.pi**0.5} m",
                 vertical_to_horizontal=1.0, skin=1.5, pressure="220 bar")  # fmt: skip
    case = make(well={"name": "h", "survey": survey, "hole": [{"md": "0 m", "diameter": "8.5 in"}]}, layers=[part],
                string=[element("casing", 1990.0, 2000.0), element("screen", 2000.0, 2400.0)])  # fmt: skip
    (found,) = flow(case).horizontal
    within("Babu and Odeh", found.network / found.babu_odeh - 1.0, 4e-3)
    assert found.skin == pytest.approx(1.5)
    assert found.joshi is None and "1.8 drainage radii" in found.missing[0]  # from end to end: no ellipse round it


def test_a_skin_that_leaves_no_rock_is_told():
    with pytest.raises(CaseError, match="too near to its drainage radius"):
        flow(make(layers=[layer("l", TOP, BASE, skin=-8.0)]))


def test_a_new_skin_leaves_what_is_composed():
    # 'set skin' replaces the number of the user alone: the same as a case that had it from the start
    damage = {"damaged_radius": "0.5 m", "damaged_permeability": "20 md"}
    changed = WhatIf.model_validate({"name": "w", "events": [
        {"do": "set skin", "zone": "A", "skin": 4.0, "on": "2027-01-01"}]})  # fmt: skip
    later = flow(make(layers=[layer("l", TOP, BASE, skin=1.0, **damage)], zones=["A"]), changed)
    straight = flow(make(layers=[layer("l", TOP, BASE, skin=4.0, **damage)], zones=["A"]))
    within("set skin", later.well["oil_rate"] / straight.well["oil_rate"] - 1.0, 1e-6)
    (share,) = (one for one in later.skins if one.name == "changed by events")
    assert share.value == pytest.approx(3.0)


def test_flow_on_a_date_shows_what_has_plugged():
    screen = {"outer_diameter": "0.1 m", "inner_diameter": "0.08 m", "plugging": "5e5 Pa*s/m^2"}
    case = make(fluid=FLUID, string=zoned_string([(TOP, BASE)], **screen), **HELD,
                schedule={"start": "2027-01-01", "end": "2028-01-01"})  # fmt: skip
    days = [case.schedule.start.replace(month=month) for month in (1, 4, 7)]
    shares = [{one.name: one.value for one in flow(case, None, day).skins} for day in days]
    assert "plugging" not in shares[0] and 0.0 < shares[1]["plugging"] < shares[2]["plugging"]

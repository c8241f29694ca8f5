"""Mass of every component: what was there less what is there is what came out less what went in.

Conservation; the tolerance is the one asked of the engine, 1e-8 of what moved. In-place volumes at the end are read
from the states by the forecast's own balance; here recovered volumes of zones and layers are added up besides.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.building import (
    CONSTANT_WATER,
    assert_balanced,
    intervals,
    layer,
    make,
    steady,
    within,
    zoned_string,
)

LIVE = {
    "temperature": "90 degC",
    "oil": {"method": "correlation", "api": 35.0, "solution_gas_ratio": "100 m^3/m^3"},
    "gas": {"gravity": 0.75},
}
AQUIFER = {
    "kind": "fetkovich aquifer",
    "volume": "5e7 m^3",
    "compressibility": "1e-9 1/Pa",
    "productivity_index": "10 m^3/day/bar",
}


def below_bubble_point():
    return make(fluid=LIVE, controls=[{"date": "2027-01-01", "bottom_hole_pressure": "60 bar"}])


def gas_cap_and_aquifer():
    places = intervals(3)
    return make(
        fluid=LIVE,
        string=zoned_string(places),
        supports={"a": AQUIFER},
        layers=[
            layer(f"l{i}", top, base, cells=6, support="a" if i == 2 else "") for i, (top, base) in enumerate(places)
        ],
        compartments=[
            {
                "name": "c",
                "datum": "2060 m",
                "pressure": "220 bar",
                "gas_oil_contact": "2015 m",
                "oil_water_contact": "2130 m",
            }
        ],
        controls=[{"date": "2027-01-01", "oil_rate": "300 m^3/day", "bottom_hole_pressure": "80 bar"}],
        numerics={"friction": True, "gravity": True},
    )


def coning():
    places = [(2000.0 + 5.0 * k, 2005.0 + 5.0 * k) for k in range(6)]
    string = [
        {"kind": "blank pipe", "top_md": "1990 m", "base_md": "2000 m"},
        {"kind": "screen", "top_md": "2000 m", "base_md": "2015 m"},
        {"kind": "isolation joint", "top_md": "2015 m", "base_md": "2018 m"},
        {"kind": "casing", "top_md": "2018 m", "base_md": "2030 m"},
    ]
    return make(
        layers=[layer(f"l{i}", top, base, cells=6) for i, (top, base) in enumerate(places)],
        string=string,
        fluid=LIVE,
        compartments=[
            {
                "name": "c",
                "datum": "2010 m",
                "pressure": "220 bar",
                "gas_oil_contact": "2005 m",
                "oil_water_contact": "2025 m",
            }
        ],
        controls=[{"date": "2027-01-01", "liquid_rate": "100 m^3/day", "bottom_hole_pressure": "80 bar"}],
        numerics={"friction": True, "gravity": True, "vertical_flow": True},
        schedule={"start": "2027-01-01", "end": "2029-01-01"},
    )


def injector(kind):
    places = intervals(2)
    rate = {"water_rate": "300 m^3/day"} if kind == "water" else {"gas_rate": "100 e3m3/day"}
    return make(
        well={"name": "i", "kind": f"{kind} injector", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        fluid=LIVE,
        layers=[
            layer(f"l{i}", top, base, permeability=f"{100 * (i + 1)} md", support="edge")
            for i, (top, base) in enumerate(places)
        ],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        string=zoned_string(places),
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "350 bar", **rate}],
        numerics={"friction": True, "gravity": True},
        schedule={"start": "2027-01-01", "end": "2029-01-01"},
    )


def supported(which):
    support = {
        "carter-tracy": {
            "kind": "carter-tracy aquifer",
            "permeability": "50 md",
            "porosity": 0.2,
            "thickness": "20 m",
            "radius": "300 m",
            "compressibility": "1e-9 1/Pa",
        },
        "water injector": {"kind": "injector", "rate": "100 m^3/day"},
        "gas injector": {"kind": "injector", "fluid": "gas", "voidage_replacement": 0.8},
        "gas boundary": {"kind": "constant pressure", "fluid": "gas"},
        "own": {"kind": "constant pressure", "fluid": "own"},
    }[which]
    return make(
        layers=[layer("l", 2000.0, 2020.0, support="a")],
        supports={"a": support},
        fluid=LIVE,
        controls=[{"date": "2027-01-01", "liquid_rate": "100 m^3/day", "bottom_hole_pressure": "60 bar"}],
    )


def with_jobs():
    """Crossflow, a plug, a leak, a shut-in and a reopening."""
    places = intervals(3)
    events = [
        {"do": "shut zone", "zone": "zone 3", "on": "2028-01-01"},
        {"do": "leak seal", "element": "blank pipe 5", "conductance": "1 m^3/day/bar", "on": "2028-06-01"},
        {"do": "change control", "shut": True, "on": "2029-01-01"},
        {"do": "change control", "shut": False, "on": "2029-07-01"},
        {"do": "open zone", "zone": "zone 3", "on": "2030-01-01"},
    ]
    return make(
        layers=[
            layer(f"l{i}", top, base, cells=4, pressure=f"{200 + 20 * i} bar", support="a" if i == 2 else "")
            for i, (top, base) in enumerate(places)
        ],
        string=zoned_string(places),
        supports={"a": {"kind": "constant pressure"}},
        fluid={**LIVE, "water": CONSTANT_WATER},
        what_ifs=[{"name": "jobs", "events": events}],
        controls=[{"date": "2027-01-01", "liquid_rate": "200 m^3/day", "bottom_hole_pressure": "60 bar"}],
        numerics={"friction": True, "gravity": True},
    )


CASES = {
    "gas comes out below the bubble point": below_bubble_point,
    "gas cap and aquifer": gas_cap_and_aquifer,
    "coning of gas and water": coning,
    "water injector": lambda: injector("water"),
    "gas injector": lambda: injector("gas"),
    **{
        f"support: {name}": (lambda name=name: supported(name))
        for name in ("carter-tracy", "water injector", "gas injector", "gas boundary", "own")
    },
    "jobs": with_jobs,
}


@pytest.mark.parametrize("name", CASES)
def test_mass_closes(name):
    case = CASES[name]()
    result = steady(case, what_if=case.what_ifs[0] if case.what_ifs else None)
    assert_balanced(result)
    print(result.facts.balance, result.facts.steps, result.facts.failed_steps)
    biggest = max(float(np.abs(result.well[f"{c}_volume"][-1])) for c in ("oil", "water", "gas"))
    assert biggest > 1000.0


def test_zones_and_layers_add_up_to_the_well():
    """Sandface volumes against the outlet: they differ by what the string holds."""
    result = steady(gas_cap_and_aquifer())
    string = sum(0.25 * np.pi * p.inner_diameter**2 * (p.base_md - p.top_md) for p in result.description.pieces)
    annuli = 0.25 * np.pi * (8.5 * 0.0254) ** 2 * 140.0
    for component in ("oil_volume", "water_volume"):
        for table in (result.zone, result.layer):
            off = table[component].sum(axis=1) - result.well[component]
            within(f"{component} less what the string holds, m3", float(np.abs(off).max()), string + annuli)


def test_gas_comes_out_of_solution():
    """The producing gas-oil ratio rises above the dissolved one once the layer is below its bubble point."""
    result = steady(below_bubble_point())
    ratio = result.well["gas_oil_ratio"]
    assert ratio[-1] > 2.0 * 100.0

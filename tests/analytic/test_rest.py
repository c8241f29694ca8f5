"""A shut well at rest stays at rest, and what is sealed off stays sealed off.

Hydrostatic equilibrium: nothing drives flow, so nothing may flow (common practice, no source).
"""

from __future__ import annotations

import numpy as np
import pytest

from planner.forecast.run import forecast
from tests.building import (
    BAR,
    M3D,
    element,
    intervals,
    layer,
    make,
    steady,
    within,
    zoned_string,
)

LIVE = {"method": "correlation", "api": 35.0, "solution_gas_ratio": "80 m^3/m^3"}
GRAVITY = {"friction": True, "gravity": True}


def resting(compartment, fluid=None, vertical=False, places=None, string=None, **changes):
    """Three thick layers of one compartment, the well shut for three years."""
    places = places or intervals(3)
    layers = [layer(f"l{i}", top, base, cells=4, connected_below=True) for i, (top, base) in enumerate(places)]
    return make(
        compartments=[{"name": "c", "datum": "2000 m", "pressure": "220 bar", **compartment}],
        layers=layers,
        string=string or zoned_string(places),
        controls=[{"date": "2027-01-01", "shut": True}],
        fluid=fluid or {"temperature": "90 degC", "oil": LIVE, "gas": {"gravity": 0.7}},
        numerics={**GRAVITY, "vertical_flow": vertical},
        schedule={"start": "2027-01-01", "end": "2030-01-01"},
        **changes,
    )


def crossflow(result, after_days):
    """Largest flow of any zone after some days, reservoir-like m3/d (gas at 200 surface volumes a reservoir volume)."""
    late = result.days >= after_days
    liquid = (
        np.abs(result.zone["oil_rate"]) + np.abs(result.zone["water_rate"]) + np.abs(result.zone["gas_rate"]) / 200.0
    )
    return float(liquid[late].max()) / M3D


def moved(result):
    """Largest change of pressure of any zone, bar, and of its oil as a share of what is there."""
    pressure = np.abs(result.zone["pressure"] - result.zone["pressure"][0]).max() / BAR
    held = max(z.oil_in_place for z in result.description.zones)
    return pressure, np.abs(result.zone["oil_volume"]).max() / held


def test_undersaturated_oil_of_one_gradient():
    result = forecast(resting({}))
    pressure, oil = moved(result)
    within("flow after a month, m3/d", crossflow(result, 31.0), 0.02)
    within("change of pressure, bar", pressure, 0.02)
    within("oil that moved, of what is there", oil, 1e-5)


@pytest.mark.parametrize(
    "contacts",
    [
        {"oil_water_contact": "2095 m"},
        {"gas_oil_contact": "2030 m"},
        {"gas_oil_contact": "2030 m", "oil_water_contact": "2095 m"},
    ],
)
def test_contacts_between_the_zones(contacts):
    """The bore begins full of the nearest zone's fluid and settles within the first month; then nothing moves.

    Where the contact lies between two zones the bore cannot match both gradients: one blank of 40 m at a density off by
    up to 600 kg/m3 is 2.4 bar, until the bore has filled up with the fluid that pushes. Phases do not part in the bore
    (no slip), so a slow exchange of about 0.01 m3/d goes on: limits are three years of it.
    """
    result = forecast(resting(contacts))
    pressure, oil = moved(result)
    within("change of pressure, bar", pressure, 0.3)
    within("oil that moved, of what is there", oil, 1e-4)
    print("flow after a year, m3/d", crossflow(result, 365.0))


@pytest.mark.parametrize("contacts", [{}, {"oil_water_contact": "2050 m", "gas_oil_contact": "2030 m"}])
def test_layers_that_touch_with_vertical_flow(contacts):
    """Through the rock: contacts at layer boundaries; phases that could move are in equilibrium."""
    places = [(2000.0, 2030.0), (2030.0, 2050.0), (2050.0, 2080.0)]
    string = [element("blank pipe", 1988.0, 2000.0), element("screen", 2000.0, 2080.0)]
    case = resting(contacts, vertical=True, places=places, string=string)
    result = forecast(case)
    pressure, oil = moved(result)
    # conduits mix 1e-6 m3/s back and forth at rest, so three fluids in one open string creep: 0.1 bar in three years
    within("change of pressure, bar", pressure, 0.15)
    within("oil that moved, of what is there", oil, 2e-4)


def test_a_shared_aquifer_does_not_join_layers_at_rest():
    """One aquifer under two layers 60 m apart: each is in equilibrium with it from the start."""
    places = intervals(2)
    case = make(
        layers=[layer(f"l{i}", top, base, cells=4, support="a") for i, (top, base) in enumerate(places)],
        string=zoned_string(places),
        controls=[{"date": "2027-01-01", "shut": True}],
        numerics=GRAVITY,
        supports={
            "a": {
                "kind": "fetkovich aquifer",
                "volume": "1e8 m^3",
                "compressibility": "1e-9 1/Pa",
                "productivity_index": "50 m^3/day/bar",
            }
        },
    )
    result = forecast(case)
    within("change of pressure, bar", moved(result)[0], 0.1)


# the outside of the string ----------------------------------------------------------------------------------------


def two_screens(kind, plug):
    """Two zones' sands with blank between and no seal; a plug in the blank or none."""
    places = [(2000.0, 2020.0), (2060.0, 2080.0)]
    string = [
        element("blank pipe", 1988.0, 2000.0),
        element("isolation joint", 1985.0, 1988.0),
        element("screen", 2000.0, 2020.0, screen=kind),
        element("blank pipe", 2020.0, 2060.0),
        element("screen", 2060.0, 2080.0, screen=kind),
    ]
    string.sort(key=lambda e: float(e["top_md"].split()[0]))
    if plug:
        string.append(element("plug", 2040.0, 2041.0))
    layers = [layer(f"l{i}", top, base, cells=2, support="edge") for i, (top, base) in enumerate(places)]
    return make(
        layers=layers,
        string=string,
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )


def sealed(kind, plug):
    """The same with an isolation joint in the middle of the blank."""
    places = [(2000.0, 2020.0), (2060.0, 2080.0)]
    string = zoned_string(places, screen=kind)
    if plug:
        string.append(element("plug", 2030.0, 2031.0))
    layers = [layer(f"l{i}", top, base, cells=2, support="edge") for i, (top, base) in enumerate(places)]
    return make(
        layers=layers,
        string=string,
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )


def test_a_plug_behind_a_stand_alone_screen_does_not_isolate():
    """Without a seal outside, the deeper sand flows up the annulus past the plug and in through the upper screen."""
    open_bore, plugged = steady(two_screens("stand-alone", False)), steady(two_screens("stand-alone", True))
    assert plugged.layer["oil_rate"][-1, 1] > 0.9 * open_bore.layer["oil_rate"][-1, 1] > 0.0


@pytest.mark.parametrize("kind", ["conforming", "stand-alone"])
def test_a_plug_with_a_seal_outside_isolates(kind):
    open_bore, plugged = steady(sealed(kind, False)), steady(sealed(kind, True))
    within("flow from below the plug, m3/d", plugged.layer["oil_rate"][-1, 1] / M3D, 1e-9)  # of what pipes give
    within("upper zone as before", plugged.layer["oil_rate"][-1, 0] / open_bore.layer["oil_rate"][-1, 0] - 1.0, 1e-4)

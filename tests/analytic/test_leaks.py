"""A shut zone gives nothing, or what its plug or seal lets through: conductance times pressure difference.

The leak stands in series with the inflow of the zone: q = (p_zone - p_bore) / (1/J + mu/C), C for a fluid of 1 cP; the
law of the leak is the definition of the input, the rest is Darcy's steady radial flow.
"""

from __future__ import annotations

import numpy as np
import pytest

from planner.forecast.run import forecast
from tests.building import BAR, CONSTANT_OIL, M3D, MD, intervals, layer, make, steady, within, zoned_string

TOP, DEEP = 220.0, 240.0  # bar


def well(events, viscosity=1.0, control=None, cells=3, leak=None):
    places = intervals(2)
    layers = [
        layer(f"l{i}", top, base, pressure=f"{p} bar", cells=cells, support="edge")
        for i, ((top, base), p) in enumerate(zip(places, (TOP, DEEP), strict=True))
    ]
    oil = {**CONSTANT_OIL, "viscosity": f"{viscosity} cP", "compressibility": "0 1/bar"}
    return make(
        layers=layers,
        string=zoned_string(places, leak),
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={"temperature": "90 degC", "oil": oil},
        controls=[{"date": "2027-01-01", **(control or {"bottom_hole_pressure": "150 bar"})}],
        what_ifs=[{"name": "job", "events": events}],
        schedule={"start": "2027-01-01", "end": "2029-01-01"},
    )


def shut(leak=None, day="2028-01-01"):
    job = [{"do": "shut zone", "zone": "zone 2", "on": day}]
    if leak is not None:
        job.append({"do": "leak seal", "element": "blank pipe 3", "conductance": f"{leak} m^3/day/bar", "on": day})
    return job


def index(viscosity=1.0):
    return 2.0 * np.pi * 100.0 * MD * 20.0 / (viscosity * 1e-3 * np.log(300.0 / (4.25 * 0.0254)))


def test_a_shut_zone_gives_nothing_and_the_others_flow_as_before():
    case = well(shut())
    base, after = steady(case), steady(case, what_if=case.what_ifs[0])
    within("flow of the shut zone, m3/d", after.zone["oil_rate"][-1, 1] / M3D, 1e-9)
    within(
        "other zone at the same bottom-hole pressure",
        after.zone["oil_rate"][-1, 0] / base.zone["oil_rate"][-1, 0] - 1.0,
        1e-6,
    )
    within("pressure of the shut zone comes back, bar", after.zone["pressure"][-1, 1] / BAR - DEEP, 1e-3)


def test_at_a_given_rate_the_others_take_over():
    case = well(shut(), control={"oil_rate": "400 m^3/day", "bottom_hole_pressure": "20 bar"})
    base, after = steady(case), steady(case, what_if=case.what_ifs[0])
    within("rate is held", after.zone["oil_rate"][-1, 0] / (400.0 * M3D) - 1.0, 1e-6)
    assert after.zone["drawdown"][-1, 0] > base.zone["drawdown"][-1, 0]
    added = after.zone["oil_volume"].sum(axis=1)
    within("recovered volumes add up", np.max(np.abs(added / after.well["oil_volume"] - 1.0)[1:]), 1e-6)


@pytest.mark.parametrize("viscosity", [1.0, 5.0])
@pytest.mark.parametrize("leak", [0.001, 0.1, 10.0])
def test_plug_with_a_leak(leak, viscosity):
    case = well(shut(leak), viscosity)
    result = steady(case, what_if=case.what_ifs[0])
    exact = (DEEP - 150.0) * BAR / (1.0 / index(viscosity) + viscosity * BAR / (leak * M3D)) / 1.2
    # pipes carry a loss of 10 Pa per m3/s that keeps them well posed; steady to the last digits after a year
    within("leak rate", result.zone["oil_rate"][-1, 1] / exact - 1.0, 1e-4)


def test_seal_that_leaks_while_a_plug_holds():
    """The plug in blank pipe 3 parts the bores, the isolation joint leaks from outside to outside."""
    leak = 0.05
    events = shut()
    events.append({"do": "leak seal", "element": "seal 1", "conductance": f"{leak} m^3/day/bar", "on": "2028-01-01"})
    case = well(events)
    result = steady(case, what_if=case.what_ifs[0])
    exact = (DEEP - 150.0) * BAR / (1.0 / index() + BAR / (leak * M3D)) / 1.2
    within("leak rate", result.zone["oil_rate"][-1, 1] / exact - 1.0, 1e-4)


def test_leaking_seal_between_open_zones_changes_nothing_at_one_pressure():
    """With the bore open and no friction both outsides are at one pressure: a leak past the seal carries nothing."""
    tight, leaking = forecast(well([])), forecast(well([], leak="10 m^3/day/bar"))
    within("oil", leaking.well["oil_volume"][-1] / tight.well["oil_volume"][-1] - 1.0, 1e-6)

"""Zones on one bore without friction or gravity: sums of productivity indices, exact.

Sources: pseudo-steady radial inflow, Dake 1978, section 6.2 (mean pressure of a closed ring; exact for a finite hole
in `building.pseudo_steady_index`); steady radial inflow, Darcy 1856. Rates add up at one bore pressure, so at a rate q
p_wf = (sum J p - q) / sum J.
"""

from __future__ import annotations

import numpy as np
import pytest

from planner.forecast.run import flow
from tests.building import (
    BAR,
    M3D,
    intervals,
    layer,
    make,
    pseudo_steady_index,
    steady,
    within,
    zoned_string,
)

KS, PRESSURES, SKINS = (100.0, 300.0, 50.0), (220.0, 240.0, 180.0), (0.0, 2.0, 1.0)


def three_zones(control, skins=SKINS, cells=1, support="", **changes):
    places = intervals(3)
    layers = [
        layer(f"l{i}", top, base, permeability=f"{k} md", pressure=f"{p} bar", skin=s, cells=cells, support=support)
        for i, ((top, base), k, p, s) in enumerate(zip(places, KS, PRESSURES, skins, strict=True))
    ]
    return make(layers=layers, string=zoned_string(places), controls=[{"date": "2027-01-01", **control}], **changes)


def indices(skins=SKINS):
    return np.array([pseudo_steady_index(k, 20.0, 1e3, 300.0, skin=s) for k, s in zip(KS, skins, strict=True)])


def surface(pressure):
    """Oil volume factor of the constant oil, defined at 220 bar."""
    return 1.2 * np.exp(-1e-9 * (np.asarray(pressure) - 220.0 * BAR))


P = np.array(PRESSURES) * BAR


def test_rates_at_a_bottom_hole_pressure():
    profile = flow(three_zones({"bottom_hole_pressure": "150 bar"}))
    exact = indices() * (P - 150.0 * BAR) / surface(P)
    within("oil rate by zone", np.max(np.abs(profile.zone["oil_rate"] / exact - 1.0)), 1e-5)
    within("well is the sum of zones", profile.well["oil_rate"] / exact.sum() - 1.0, 1e-5)


def test_bottom_hole_pressure_at_a_rate():
    profile = flow(three_zones({"oil_rate": "2800 m^3/day", "bottom_hole_pressure": "20 bar"}))
    j = indices() / surface(P)  # all three flow: the rock's own volume factor counts
    p_wf = (np.sum(j * P) - 2800.0 * M3D) / j.sum()
    within("bottom-hole pressure, bar", (profile.well["bottom_hole_pressure"] - p_wf) / BAR, 1e-3)
    within("oil rate by zone", np.max(np.abs(profile.zone["oil_rate"] / (j * (P - p_wf)) - 1.0)), 1e-4)


def test_shut_well_crossflows_at_the_weighted_mean():
    """Reservoir volumes balance: p_wf = sum(J p) / sum(J); what enters the weak zone has the bore's volume factor."""
    profile = flow(three_zones({"shut": True}))
    p_wf = float(profile.well["bottom_hole_pressure"])
    outflow = indices() * (P - p_wf)
    # what leaves rock does so at the rock's volume factor, what enters it at the bore's
    exact = outflow / np.where(outflow > 0.0, surface(P), surface(p_wf))
    mean = np.sum(indices() * P) / indices().sum()
    within("bottom-hole pressure against the weighted mean, bar", (p_wf - mean) / BAR, 0.15)  # oil is compressible
    within("oil balance of the bore", exact.sum() / np.abs(exact).sum(), 1e-5)
    assert profile.zone["oil_rate"][1] > 0.0 > profile.zone["oil_rate"][2]
    within("crossflow by zone", np.max(np.abs(profile.zone["oil_rate"] / exact - 1.0)), 1e-4)
    within("nothing at surface", float(profile.well["oil_rate"]) / M3D, 1e-9)


def test_shut_well_with_stiff_oil_is_at_the_weighted_mean():
    oil = {"method": "constant", "density": "850 kg/m^3", "viscosity": "1 cP", "formation_volume_factor": "1.2 m^3/m^3"}
    case = three_zones({"shut": True}, fluid={"temperature": "90 degC", "oil": oil})
    p_wf = flow(case).well["bottom_hole_pressure"]
    mean = np.sum(indices() * P) / indices().sum()
    within("bottom-hole pressure, bar", (p_wf - mean) / BAR, 1e-4)


@pytest.mark.parametrize("cells", [1, 3, 12, 48])
def test_long_time_with_supported_boundaries(cells):
    """Steady inflow from r_e: 2 pi k h / (mu B (ln(re/rw) + s)), whatever the number of rings."""
    case = three_zones(
        {"bottom_hole_pressure": "150 bar"},
        cells=cells,
        support="edge",
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
    )
    result = steady(case)
    kh = np.array(KS) * 9.869232667160130e-16 * 20.0
    index = 2.0 * np.pi * kh * 1e3 / (np.log(300.0 / (4.25 * 0.0254)) + np.array(SKINS))
    # steady flow of a slightly compressible oil: the mean of 1/B between boundary and well
    low, high = 150.0 * BAR, P
    mean = (np.exp(1e-9 * (high - 220 * BAR)) - np.exp(1e-9 * (low - 220 * BAR))) / (1e-9 * (high - low)) / 1.2
    exact = index * mean * (high - low)
    # upstream 1/B instead of its mean: at most c dp / 2 for one cell
    within("steady rate by zone", np.max(np.abs(result.zone["oil_rate"][-1] / exact - 1.0)), 5e-3)

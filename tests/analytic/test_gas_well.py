"""Dry gas: material balance and inflow, with the deviation factor and viscosity taken from the same correlations.

Sources: p/Z against cumulative gas is a straight line in a closed tank (Dake 1978, section 1.6); inflow follows the
real-gas pseudo-pressure (Al-Hussainy, Ramey and Crawford 1966), with q (S + D q) = 2 pi k h krg (psi_1 - psi_2) for a
rate-dependent skin D q.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from planner.base.constants import STANDARD_PRESSURE, STANDARD_TEMPERATURE
from planner.forecast.run import flow
from planner.physics import gas
from tests.building import BAR, CONSTANT_WATER, MD, layer, make, pseudo_steady_index, steady, within

TEMPERATURE, GRAVITY, KRG = 363.15, 0.7, 0.8
CRITICAL = gas.pseudo_critical(GRAVITY)


def well(bottom, turbulence=0.0, cells=1, support=""):
    return make(
        well={"name": "g", "kind": "gas producer", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        layers=[
            layer(
                "l",
                2000.0,
                2020.0,
                permeability="5 md",
                pressure="220 bar",
                cells=cells,
                turbulence=turbulence,
                support=support,
            )
        ],
        rocks=[{"name": "r", "compressibility": "0 1/bar"}],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={
            "temperature": "90 degC",
            "gas": {"gravity": GRAVITY},
            "water": {**CONSTANT_WATER, "compressibility": "0 1/bar"},
        },
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": f"{bottom} bar"}],
    )


def deviation(pressure):
    return gas.z_factor(np.asarray(pressure), TEMPERATURE, *CRITICAL)


def potential(low, high):
    """Integral of 1 / (Bg mu) dp, Pa of surface gas per reservoir volume and viscosity."""

    def inside(p):
        z = deviation(p)
        mu = gas.gas_viscosity(gas.gas_density(np.asarray(p), TEMPERATURE, z, GRAVITY), TEMPERATURE, GRAVITY)
        return float(p / (z * mu))

    return quad(inside, low, high, epsrel=1e-8)[0] * STANDARD_TEMPERATURE / (STANDARD_PRESSURE * TEMPERATURE)


@pytest.mark.parametrize("cells", [1, 12])
def test_pressure_over_deviation_factor_falls_on_a_straight_line(cells):
    result = steady(well(60.0, cells=cells))
    first = 220.0 * BAR
    produced = result.well["gas_volume"] / result.description.layers[0].gas_in_place
    assert produced[-1] > 0.5
    pressure = result.layer["pressure"][:, 0]
    line = pressure / deviation(pressure) / (first / deviation(first))
    # many rings: p/Z of the mean pressure is not the mean of p/Z while the layer is uneven
    within(
        "p/Z against the line, of the first p/Z", np.max(np.abs(line - (1.0 - produced))), 5e-6 if cells == 1 else 2e-3
    )


def test_gas_in_place():
    result = flow(well(60.0))
    volume = np.pi * (300.0**2 - (4.25 * 0.0254) ** 2) * 20.0 * 0.25 * 0.8
    factor = STANDARD_PRESSURE * TEMPERATURE * float(deviation(220.0 * BAR)) / (STANDARD_TEMPERATURE * 220.0 * BAR)
    within("gas in place", result.description.layers[0].gas_in_place / (volume / factor) - 1.0, 1e-5)


@pytest.mark.parametrize("turbulence", [0.0, 2.0])
@pytest.mark.parametrize("bottom", [200.0, 60.0])
def test_inflow_follows_the_pseudo_pressure(bottom, turbulence):
    """Pseudo-steady inflow at an instant; D = 2 per m3/s makes a skin of 2 to 8."""
    kh = 2.0 * np.pi * 5.0 * MD * 20.0
    resistance = kh / pseudo_steady_index(5.0, 20.0, 1.0, 300.0)
    drive = kh * KRG * potential(bottom * BAR, 220.0 * BAR)
    exact = (
        drive / resistance
        if turbulence == 0.0
        else (-resistance + np.sqrt(resistance**2 + 4.0 * turbulence * drive)) / (2.0 * turbulence)
    )
    profile = flow(well(bottom, turbulence))
    within("gas rate", profile.well["gas_rate"] / exact - 1.0, 2e-5)


@pytest.mark.parametrize("cells", [1, 12])
def test_steady_inflow_from_a_boundary(cells):
    result = steady(well(60.0, cells=cells, support="edge"))
    exact = 2.0 * np.pi * 5.0 * MD * 20.0 * KRG * potential(60.0 * BAR, 220.0 * BAR) / np.log(300.0 / (4.25 * 0.0254))
    within("gas rate", result.well["gas_rate"][-1] / exact - 1.0, 2e-5)

"""Aquifers against their own equations, outside the network.

Sources: Fetkovich 1971 (exponential influx at a constant boundary pressure); van Everdingen and Hurst 1949, constant
terminal pressure, inverted here from the Laplace domain by Stehfest 1970; Carter and Tracy 1960 approximates it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import k0e, k1e

from tests.building import BAR, CONSTANT_WATER, DAY, M3D, MD, layer, make, steady, within

FIRST, HELD = 220.0, 200.0
STIFF = {**CONSTANT_WATER, "viscosity": "0.5 cP", "compressibility": "1e-9 1/bar"}


def supported(support, permeability="5000 md", control=None, **changes):
    """A layer so conductive and small that it only passes on what its aquifer gives: its pressure is the bore's."""
    oil = {
        "method": "constant",
        "density": "850 kg/m^3",
        "viscosity": "0.1 cP",
        "formation_volume_factor": "1.0 m^3/m^3",
        "compressibility": "1e-9 1/bar",
    }
    return make(
        layers=[
            layer(
                "l",
                2000.0,
                2020.0,
                permeability=permeability,
                pressure=f"{FIRST} bar",
                support="a",
                drainage_radius="500 m",
                cells=1,
                water_saturation=0.99,
            )
        ],
        supports={"a": support},
        fluid={"temperature": "90 degC", "oil": oil, "water": STIFF},
        rocks=[
            {
                "name": "r",
                "compressibility": "1e-9 1/bar",
                "relative_permeability": {
                    "connate_water": 0.0,
                    "residual_oil_to_water": 0.01,
                    "water_end_point": 1.0,
                    "water_exponent": 1.0,
                },
            }
        ],
        controls=[{"date": "2027-01-01", **(control or {"bottom_hole_pressure": f"{HELD} bar"})}],
        **changes,
    )


def test_fetkovich_at_a_constant_boundary_pressure():
    """W = V c (p_i - p) (1 - exp(-J t / (V c))), J in series with the layer: exact at constant compressibility."""
    volume, total, index = 5e7, 1e-9, 20.0 * M3D / BAR
    case = supported(
        {
            "kind": "fetkovich aquifer",
            "volume": f"{volume} m^3",
            "compressibility": f"{total} 1/Pa",
            "productivity_index": "20 m^3/day/bar",
        }
    )
    result = steady(case)
    r, inner = 500.0, 4.25 * 0.0254
    own = 2.0 * np.pi * 5000.0 * MD * 20.0 / (0.5e-3 * np.log(r / inner))
    joined = 1.0 / (1.0 / index + 1.0 / own)
    late = result.days > 300.0
    exact = volume * total * (FIRST - HELD) * BAR * (1.0 - np.exp(-joined * result.days * DAY / (volume * total)))
    # c dp = 2 %: of the volume exp(c dp) instead of 1 + c dp gives 1 %; the layer's own fluid is a further small part
    within("influx", np.max(np.abs(result.well["water_volume"] / np.maximum(exact, 1.0) - 1.0)[late]), 0.015)


def hurst(t_d):
    """Dimensionless influx of an unbounded aquifer at constant terminal pressure, by Stehfest 1970 (14 terms)."""
    n = 14
    total = 0.0
    for i in range(1, n + 1):
        weight = sum(
            k ** (n // 2)
            * math.factorial(2 * k)
            / (
                math.factorial(n // 2 - k)
                * math.factorial(k)
                * math.factorial(k - 1)
                * math.factorial(i - k)
                * math.factorial(2 * k - i)
            )
            for k in range((i + 1) // 2, min(i, n // 2) + 1)
        )
        s = i * math.log(2.0) / t_d
        root = math.sqrt(s)
        total += (-1) ** (i + n // 2) * weight * k1e(root) / (s**1.5 * k0e(root))
    return total * math.log(2.0) / t_d


def test_reference_against_the_printed_table():
    """van Everdingen and Hurst 1949, unbounded, from memory: QD(1) = 1.569, QD(10) = 7.411, QD(100) = 43.01."""
    for t_d, printed in ((1.0, 1.569), (10.0, 7.411), (100.0, 43.01)):
        within(f"QD({t_d:g})", hurst(t_d) / printed - 1.0, 2e-3)


def test_carter_tracy_at_a_constant_boundary_pressure():
    """The method approximates convolution; at a constant pressure it stays within some percent of the exact influx."""
    permeability, porosity, total, thickness, radius = 50.0, 0.2, 1e-9, 20.0, 500.0
    case = supported(
        {
            "kind": "carter-tracy aquifer",
            "permeability": f"{permeability} md",
            "porosity": porosity,
            "thickness": f"{thickness} m",
            "radius": f"{radius} m",
            "compressibility": f"{total} 1/Pa",
        }
    )
    result = steady(case)
    scale = permeability * MD / (porosity * 0.5e-3 * total * radius**2)
    constant = 2.0 * np.pi * porosity * total * thickness * radius**2
    held = result.layer["pressure"][-1, 0]
    assert abs(held / BAR - HELD) < 1.0
    late = result.days > 300.0
    exact = np.array([constant * (FIRST * BAR - held) * hurst(scale * t * DAY) for t in result.days[late]])
    print("tD", scale * result.days[-1] * DAY)
    within("influx", np.max(np.abs(result.well["water_volume"][late] / exact - 1.0)), 0.05)


@pytest.mark.parametrize("kind", ["fetkovich", "carter-tracy"])
def test_mass_closes_with_a_producing_rate(kind):
    support = (
        {
            "kind": "fetkovich aquifer",
            "volume": "5e7 m^3",
            "compressibility": "1e-9 1/Pa",
            "productivity_index": "20 m^3/day/bar",
        }
        if kind == "fetkovich"
        else {
            "kind": "carter-tracy aquifer",
            "permeability": "50 md",
            "porosity": 0.2,
            "thickness": "20 m",
            "radius": "500 m",
            "compressibility": "1e-9 1/Pa",
        }
    )
    steady(supported(support, "200 md", {"liquid_rate": "100 m^3/day", "bottom_hole_pressure": "50 bar"}))

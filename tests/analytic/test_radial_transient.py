"""Constant-rate drawdown of a radial layer against the exact infinite cylinder (van Everdingen and Hurst 1949).

The cylinder's Laplace transform K0(sqrt s) / (s^1.5 K1(sqrt s)) is inverted here by Stehfest 1970; the line source is
-Ei(-1/4tD)/2 (Theis 1935). One volume average per ring costs some percent with few rings: the limits are what the
engine's documentation may promise: 1.5 % from tD 3 on with the default 16 rings, 4 % with 12, 1.5 % with 24. At tD 1 (a
third of a second here) what the string itself stores still counts, so the comparison starts at 3.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import exp1, k0e, k1e

from planner.forecast.jobs import outlet_control
from planner.forecast.march import March
from planner.network.compile import compile_network
from planner.network.well_graph import build
from tests.building import BAR, M3D, MD, layer, make, within, zoned_string

RATE, HOLE, MU, TOTAL = 50.0, 4.25 * 0.0254, 1e-3, 1.1e-9
TIMES = (1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1000.0, 1e4, 1e5, 1e6)


def cylinder(t_d: float) -> float:
    """Dimensionless pressure at the wall of an infinite cylinder at constant rate, Stehfest with 14 terms."""
    n, total = 14, 0.0
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
        total += (-1) ** (i + n // 2) * weight * k0e(root) / (s**1.5 * k1e(root))
    return total * math.log(2.0) / t_d


def well(cells, near=None):
    numerics = {"friction": False, "gravity": False, "first_step": "0.02 s", "tolerance": 1e-4}
    if near is not None:
        numerics["near_well_cells"] = near
    return make(
        layers=[
            layer("l", 2000.0, 2020.0, cells=cells, permeability="10 md", pressure="220 bar", drainage_radius="1000 m")
        ],
        rocks=[{"name": "r", "compressibility": "1e-9 1/Pa", "relative_permeability": {"connate_water": 0.0}}],
        fluid={
            "temperature": "90 degC",
            "oil": {
                "method": "constant",
                "density": "850 kg/m^3",
                "viscosity": "1 cP",
                "formation_volume_factor": "1.2 m^3/m^3",
                "compressibility": "1e-10 1/Pa",
            },
        },
        # a thin pipe, so that what the string stores does not count
        string=zoned_string([(2000.0, 2020.0)], inner_diameter="2 mm", outer_diameter="4 mm"),
        controls=[{"date": "2027-01-01", "oil_rate": f"{RATE} m^3/day"}],
        numerics=numerics,
    )


def errors(cells, near=None):
    """Relative error of the drawdown at TIMES."""
    case = well(cells, near)
    network = compile_network(case, build(case))
    march = March(network, outlet_control(network, case.controls[0]))
    scale = 0.25 * MU * TOTAL * HOLE**2 / (10.0 * MD)
    unit = RATE * M3D * 1.2 * MU / (2.0 * np.pi * 10.0 * MD * 20.0)
    found = []
    for t_d in TIMES:
        while march.time < t_d * scale - 1e-9:
            march.advance(t_d * scale)
        found.append((220.0 * BAR - march.x[network.bore[-1], 0]) / unit / cylinder(t_d) - 1.0)
    return np.array(found)


def test_reference_meets_the_table_and_the_line_source():
    """van Everdingen and Hurst 1949, from memory: pD(1) = 0.802, pD(10) = 1.651, pD(100) = 2.723, pD(1000) = 3.861."""
    for t_d, printed in ((1.0, 0.802), (10.0, 1.651), (100.0, 2.723), (1000.0, 3.861)):
        within(f"pD({t_d:g})", cylinder(t_d) - printed, 1e-3)
    within("line source at 1e5", cylinder(1e5) / (0.5 * exp1(0.25e-5)) - 1.0, 1e-4)


@pytest.mark.parametrize(
    ("cells", "near", "early", "late"),
    [
        (12, None, 0.04, 0.02),
        (16, None, 0.015, 0.01),
        (24, None, 0.015, 0.01),
        (48, None, 0.03, 0.003),
        (24, 24, 0.015, 0.006),
    ],
)
def test_drawdown_at_a_rate(cells, near, early, late):
    found = errors(cells, near)
    print(dict(zip(TIMES, np.round(found, 4), strict=True)))
    within("tD 3 to 1000", np.abs(found[1:7]).max(), early)
    within("tD 1000 to 1e6", np.abs(found[6:]).max(), late)

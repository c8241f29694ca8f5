"""Depletion of tanks through one bore, against exact solutions.

Sources: one tank at constant bottom-hole pressure declines exponentially (Arps 1945 for the form; the constant is
J / (V ct), Dake 1978); two tanks on one bore are a linear system whose solution is a matrix exponential.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import expm

from planner.forecast.run import forecast
from tests.building import (
    BAR,
    DAY,
    M3D,
    intervals,
    layer,
    make,
    pseudo_steady_index,
    steady,
    within,
    zoned_string,
)

# Rock takes up nearly all of the compressibility and the oil next to none, so that the exact solution is linear:
# pore volume exp(c_r (p - p_0)) over 10 bar differs from its tangent by c_r dp / 2 = 0.2 %; see `linear`.
ROCK = 4e-10
OIL = {
    "method": "constant",
    "density": "850 kg/m^3",
    "viscosity": "1 cP",
    "formation_volume_factor": "1.2 m^3/m^3",
    "compressibility": "0 1/bar",
}
VOLUME = np.pi * (300.0**2 - (4.25 * 0.0254) ** 2) * 20.0 * 0.25
SPAN = 5.0 * BAR


def tanks(permeabilities, pressures, control, **numerics):
    places = intervals(len(permeabilities))
    layers = [
        layer(f"l{i}", top, base, cells=1, permeability=f"{k} md", pressure=f"{p} Pa")
        for i, ((top, base), k, p) in enumerate(zip(places, permeabilities, pressures, strict=True))
    ]
    return make(
        layers=layers,
        string=zoned_string(places),
        controls=[{"date": "2027-01-01", **control}],
        rocks=[{"name": "r", "compressibility": f"{ROCK} 1/Pa", "relative_permeability": {"connate_water": 0.0}}],
        fluid={"temperature": "90 degC", "oil": OIL},
        numerics={"friction": False, "gravity": False, **numerics},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )


def one_tank(permeability=2.0, **numerics):
    return tanks([permeability], [220.0 * BAR], {"bottom_hole_pressure": f"{220.0 * BAR - SPAN} Pa"}, **numerics)


def decline(days, permeability=2.0):
    """(rate, cumulative) at surface, exact and linear; c dp = 2e-4, so pore volume is linear to 1e-4."""
    index = pseudo_steady_index(permeability, 20.0, 1e3, 300.0) / 1.2
    tau = VOLUME * ROCK / 1.2 / index
    fading = np.exp(-days * DAY / tau)
    return index * SPAN * fading, VOLUME * ROCK / 1.2 * SPAN * (1.0 - fading), tau


def errors(result, permeability=2.0):
    """Largest error of rate as a share of the first rate, of rate up to three time constants, and of cumulative."""
    rate, volume, tau = decline(result.days, permeability)
    early = (result.days > 0.0) & (result.days * DAY < 3.0 * tau)
    off = np.abs(result.well["oil_rate"] - rate)[1:]
    relative = np.abs(result.well["oil_rate"] / rate - 1.0)[early]
    late = result.days > 20.0
    return off.max() / rate[0], relative.max(), np.max(np.abs(result.well["oil_volume"][late] / volume[late] - 1.0))


def test_one_tank_declines_exponentially_at_default_tolerance():
    result = steady(one_tank())
    tau = decline(np.array([0.0]))[2] / DAY
    print(f"time constant {tau:.1f} d, {result.facts.steps} steps")
    of_first, relative, volume = errors(result)
    within("rate, of the first", of_first, 2e-3)
    within("rate up to three time constants, relative", relative, 0.015)
    within("cumulative", volume, 3e-3)
    within("end of depletion", result.well["oil_volume"][-1] / decline(result.days)[1][-1] - 1.0, 1e-3)


def test_error_falls_with_the_second_power_of_the_step():
    """Even steps for a year (1.9 time constants): halving them cuts the error of the rate by about 4 each time."""
    found = []
    for longest in (32.0, 16.0, 8.0):
        case = one_tank(tolerance=1e6, longest_step=f"{longest} day", first_step="0.1 day")
        case = case.model_copy(update={"schedule": case.schedule.model_copy(update={"report": "year"})})
        result = steady(case)
        found.append(result.well["oil_rate"][-1] / decline(result.days)[0][-1] - 1.0)
    orders = np.log2(np.abs(np.array(found[:-1]) / np.array(found[1:])))
    print("errors", found, "orders", orders)
    assert np.all(orders > 1.7)  # 2 in the limit; a first-order scheme gives 1


def test_error_falls_with_the_tolerance():
    found = [errors(steady(one_tank(tolerance=t)))[1] for t in (1e-3, 1e-4, 1e-5)]
    print("errors", found)
    assert found[2] < 0.25 * found[0]
    within("rate at a tolerance of 1e-5, relative", found[2], 2e-3)


def test_two_tanks_share_one_bore():
    """Open at a bottom-hole pressure they are independent; at a small rate they crossflow: matrix exponential."""
    ks, pressures, rate = (2.0, 6.0), (np.array([220.0, 224.0]) * BAR), 0.5
    result = steady(tanks(ks, pressures, {"oil_rate": f"{rate} m^3/day"}))
    index = np.array([pseudo_steady_index(k, 20.0, 1e3, 300.0) for k in ks])
    storage = VOLUME * ROCK
    # p_w = (sum J p - q B) / sum J; storage dp/dt = -J (p - p_w)
    matrix = -(np.diag(index) - np.outer(index, index) / index.sum()) / storage
    push = -index / index.sum() * rate * M3D * 1.2 / storage
    whole = np.zeros((3, 3))
    whole[:2, :2], whole[:2, 2] = matrix, push
    exact = np.array([(expm(whole * t * DAY) @ np.append(pressures, 1.0))[:2] for t in result.days])
    within("pressure, bar", np.max(np.abs(result.zone["pressure"] - exact)[1:]) / BAR, 0.01)
    bore = (exact @ index - rate * M3D * 1.2) / index.sum()
    within("bottom-hole pressure, bar", np.max(np.abs(result.well["bottom_hole_pressure"] - bore)[1:]) / BAR, 0.01)
    crossflow = index * (exact - bore[:, None]) / 1.2
    within("crossflow, m3/d", np.max(np.abs(result.zone["oil_rate"] - crossflow)[1:]) / M3D, 0.05)
    assert result.zone["oil_rate"][1, 0] < 0.0 < result.zone["oil_rate"][-1, 0]


@pytest.mark.parametrize("cells", [1, 12])
def test_late_decline_does_not_depend_on_the_rings(cells):
    """Once pseudo-steady, any number of rings produces what is expandable: volume * c * dp."""
    case = one_tank(20.0)
    case = case.model_copy(update={"layers": tuple(x.model_copy(update={"cells": cells}) for x in case.layers)})
    result = forecast(case)
    within("recovered", result.well["oil_volume"][-1] / (VOLUME * ROCK / 1.2 * SPAN) - 1.0, 1e-3)

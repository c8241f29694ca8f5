"""Liquid loading, surface tension and temperature along the well against published forms and reference data."""

import math

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

from planner.base.card import RANGE_UNITS
from planner.base.cards_of_lift import LIFT_CARDS
from planner.physics import loading, surface_tension, well_temperature
from planner.physics.field_units import CUBIC_FOOT, FOOT, POUND_PER_CUBIC_FOOT, PSI
from planner.physics.oil import specific_gravity_from_api

DYNE = 1e-3


@pytest.mark.parametrize(("sigma", "liquid", "gas"), [(60.0, 67.0, 1.24), (20.0, 45.0, 1.24), (60.0, 67.0, 6.2)])
def test_turner_velocity_in_field_units(sigma: float, liquid: float, gas: float) -> None:
    # Turner, Hubbard and Dukler 1969: 1.593 sigma^(1/4) (rho_l - rho_g)^(1/4) / rho_g^(1/2), ft/s, dyn/cm, lb/ft3
    expected = 1.593 * (sigma * (liquid - gas)) ** 0.25 / math.sqrt(gas)
    args = (liquid * POUND_PER_CUBIC_FOOT, gas * POUND_PER_CUBIC_FOOT, sigma * DYNE)
    assert float(loading.coleman_1991_velocity(*args)) / FOOT == pytest.approx(expected, rel=5e-4)
    assert float(loading.turner_1969_velocity(*args, adjusted=False)) / FOOT == pytest.approx(expected, rel=5e-4)
    assert float(loading.turner_1969_velocity(*args)) / FOOT == pytest.approx(1.2 * expected, rel=5e-4)


@pytest.mark.parametrize("pressure", [100.0, 300.0, 490.0])
def test_coleman_short_forms(pressure: float) -> None:
    # Coleman et al. 1991, gas of gravity 0.6 at 120 degF, density 0.0031 p: water 4.434 (67 - 0.0031 p)^(1/4) /
    # (0.0031 p)^(1/2), condensate 3.369 (45 - 0.0031 p)^(1/4) / (0.0031 p)^(1/2) ft/s (from memory)
    gas = 0.0031 * pressure
    for constant, liquid, sigma in ((4.434, 67.0, 60.0), (3.369, 45.0, 20.0)):
        expected = constant * (liquid - gas) ** 0.25 / math.sqrt(gas)
        found = loading.coleman_1991_velocity(liquid * POUND_PER_CUBIC_FOOT, gas * POUND_PER_CUBIC_FOOT, sigma * DYNE)
        assert float(found) / FOOT == pytest.approx(expected, rel=5e-4)


def test_critical_rate_in_field_units() -> None:
    # Turner et al. 1969: q = 3.06 p v A / (T z) MMscf/d (psia, ft/s, ft2, degR); at 14.65 psia and 60 degF 3.067
    p, z, t, velocity, diameter = 1000.0, 0.87, 580.0, 6.0, 1.995 * 0.0254
    area = 0.25 * math.pi * (diameter / FOOT) ** 2
    expected = 3.067 * p * velocity * area / (t * z)
    bg = 14.65 * z * t / (520.0 * p)
    found = float(loading.critical_gas_rate(velocity * FOOT, diameter, bg)) * 86400.0 / CUBIC_FOOT / 1e6
    assert found == pytest.approx(expected, rel=1e-3)


def test_terminal_velocity_balances_drag_and_weight() -> None:
    # drop of the largest stable size, We = 30: d = We sigma / (rho_g v^2); drag = weight, Cd = 0.44
    rho_l, rho_g, sigma = 1000.0, 40.0, 0.06
    v = float(loading.turner_1969_velocity(rho_l, rho_g, sigma, adjusted=False))
    drop = 30.0 * sigma / (rho_g * v**2)
    drag = 0.44 * math.pi / 4.0 * drop**2 * rho_g * v**2 / 2.0
    weight = math.pi / 6.0 * drop**3 * (rho_l - rho_g) * 9.80665
    assert drag == pytest.approx(weight, rel=1e-9)


def test_surface_tension_of_dead_oil() -> None:
    # Baker and Swerdloff 1956, 35 degAPI: 39 - 0.2571 API = 30.0 dyn/cm at 68 degF, 28.5 at 100 degF; factor of gas at
    # 14.7 psia 0.92 (the chart starts near 1 there, the fit does not)
    gravity = float(specific_gravity_from_api(35.0))
    cold, hot = (float(surface_tension.baker_swerdloff_1956(1e-3, (f + 459.67) / 1.8, gravity)) for f in (68.0, 100.0))
    assert cold / DYNE == pytest.approx(30.0, abs=0.05)
    assert hot / DYNE == pytest.approx(28.5, abs=0.05)
    # 1 - 0.024 2000^0.45 = 0.2656
    rich = float(surface_tension.baker_swerdloff_1956(2000.0 * PSI, (68.0 + 459.67) / 1.8, gravity))
    assert rich / cold == pytest.approx(0.266, abs=0.001)
    assert float(surface_tension.baker_swerdloff_1956(8e7, 350.0, gravity)) == pytest.approx(1.0 * DYNE)


@pytest.mark.parametrize("temperature", [298.0, 330.0, 360.0, 400.0])
def test_surface_tension_of_water_at_low_pressure(temperature: float) -> None:
    # IAPWS surface tension of pure water (CoolProp); the fits were drawn through measurements of some 2 %
    expected = PropsSI("I", "T", temperature, "Q", 0.0, "Water")
    assert float(surface_tension.hough_1951(1e5, temperature)) == pytest.approx(expected, rel=0.035)


def test_temperature_step_is_exact() -> None:
    length, relaxation, rock, entering = 700.0, 900.0, (360.0, 335.0), 358.0
    solved = solve_ivp(
        lambda s, t: (rock[0] + (rock[1] - rock[0]) * s / length - t) / relaxation, (0.0, length), [entering],
        rtol=1e-10, atol=1e-10)  # fmt: skip
    found = well_temperature.ramey_1962_step(entering, *rock, length, relaxation)
    assert found == pytest.approx(float(solved.y[0, -1]), rel=1e-9)
    # no exchange: the fluid keeps its temperature; perfect exchange: it has the rock's
    assert well_temperature.ramey_1962_step(entering, *rock, length, 1e12) == pytest.approx(entering, rel=1e-9)
    assert well_temperature.ramey_1962_step(entering, *rock, length, 0.0) == rock[1]


def test_ramey_far_up_the_well_runs_parallel_to_the_rock() -> None:
    # Ramey 1962: far above the bottom the fluid is warmer than the rock by gradient times relaxation length
    relaxation, gradient = 300.0, 0.03
    t = 400.0
    for k in range(100):
        t = well_temperature.ramey_1962_step(
            t, 400.0 - gradient * 50.0 * k, 400.0 - gradient * 50.0 * (k + 1), 50.0, relaxation
        )
    assert t - (400.0 - gradient * 5000.0) == pytest.approx(gradient * relaxation, rel=1e-6)


@pytest.mark.parametrize("time", [100.0, 1e4, 1e6])
def test_time_function_is_the_line_source(time: float) -> None:
    # at late time heat flow from a cylinder goes as (ln tD + 0.80907)/2 (van Everdingen and Hurst 1949)
    expected = 0.5 * (math.log(time) + 0.80907)
    assert well_temperature.ramey_1962_time_function(1.0, time, 1.0) == pytest.approx(expected, abs=0.002)


def test_overall_heat_transfer_adds_resistances() -> None:
    rock_alone = well_temperature.overall_heat_transfer(0.1, 2.0, 3.0)
    assert rock_alone == pytest.approx(2.0 * 2.0 / (0.1 * 3.0))  # 2 k / (d f(t))
    both = well_temperature.overall_heat_transfer(0.1, 2.0, 3.0, wall_coefficient=20.0)
    assert 1.0 / both == pytest.approx(1.0 / rock_alone + 1.0 / 20.0)


def test_every_method_of_lift_has_a_card() -> None:
    names = {"beggs_brill_1973", "hagedorn_brown_1965", "gray_1974", "shi_2005", "griffith_1962", "harmathy_1960",
             "baker_swerdloff_1956", "hough_1951", "ramey_1962", "turner_1969", "coleman_1991"}  # fmt: skip
    assert names == set(LIFT_CARDS)
    for card in LIFT_CARDS.values():
        assert card.source and card.equation
        assert set(card.ranges) <= set(RANGE_UNITS)

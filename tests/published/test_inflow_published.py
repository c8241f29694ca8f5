"""Inflow against closed forms, textbook numbers and tables of functions."""

import numpy as np
import pytest
from scipy.integrate import quad

from planner.physics import inflow
from planner.physics.field_units import BARREL, CENTIPOISE, FOOT, PSI

MILLIDARCY = 9.869233e-16  # m2
DAY = 86400.0


def test_radial_flow_in_field_units() -> None:
    # Dake 1978: q = 0.00708 k h dp / (mu B (ln(re/rw) - 3/4 + S)); 50 md, 30 ft, 2 cP, 1.2, re/rw 2000, S 2, 1000 psi
    index = inflow.radial_productivity_index(50.0 * MILLIDARCY * 30.0 * FOOT, 2.0 * CENTIPOISE, 1.2, 2000.0, 1.0, 2.0)
    barrels = float(index) * 1000.0 * PSI * DAY / BARREL
    expected = 0.00708188 * 50.0 * 30.0 * 1000.0 / (2.0 * 1.2 * (np.log(2000.0) - 0.75 + 2.0))
    assert barrels == pytest.approx(expected, rel=1e-4)


def test_pseudo_steady_constants_by_integration() -> None:
    # closed circle, uniform decline: dp/dr is proportional to 1/r - r/re^2; average pressure by volume
    re = 500.0

    def drop(r: float) -> float:
        return float(np.log(r) - 0.5 * (r**2 - 1.0) / re**2)

    average = quad(lambda r: 2.0 * r * drop(r), 1.0, re)[0] / (re**2 - 1.0)
    one = inflow.radial_productivity_index(1.0, 1.0, 1.0, re, 1.0, 0.0, "pseudo_steady_average")
    edge = inflow.radial_productivity_index(1.0, 1.0, 1.0, re, 1.0, 0.0, "pseudo_steady_edge")
    assert 2.0 * np.pi / float(one) == pytest.approx(average, rel=1e-4)
    assert 2.0 * np.pi / float(edge) == pytest.approx(drop(re), rel=1e-4)


def test_vogel_curve() -> None:
    # Vogel 1968: half the pressure gives 70 % of the maximum rate
    assert float(inflow.vogel_1968_rate(10e6, 20e6, 1.0)) == pytest.approx(0.70, abs=1e-12)
    assert float(inflow.vogel_1968_rate(0.0, 20e6, 1.0)) == pytest.approx(1.0, abs=1e-12)


def test_composite_curve_is_smooth_at_the_bubble_point() -> None:
    def rate(pressure: float) -> float:
        return float(inflow.vogel_composite_rate(pressure, 25e6, 15e6, 1e-9))

    assert rate(20e6) == pytest.approx(1e-9 * 5e6)
    assert (rate(15e6 - 1e3) - rate(15e6)) / 1e3 == pytest.approx(1e-9, rel=1e-3)
    # Beggs 1991 form: qb + J pb / 1.8 at zero flowing pressure
    assert rate(0.0) == pytest.approx(1e-9 * (10e6 + 15e6 / 1.8))


def test_fetkovich_backpressure() -> None:
    # Fetkovich 1973: exponent 1 is a parabola, q/qmax = 1 - r^2
    full = inflow.fetkovich_1973_rate(0.0, 20e6, 3e-16, 1.0)
    assert float(inflow.fetkovich_1973_rate(10e6, 20e6, 3e-16, 1.0) / full) == pytest.approx(0.75)


def test_joshi_in_isotropic_rock() -> None:
    # Joshi 1988, equation 10, written out: ln((a + sqrt(a2 - (L/2)2))/(L/2)) + h/L ln(h/(2 rw))
    length, h, re, rw = 600.0, 30.0, 500.0, 0.1
    a = 300.0 * (0.5 + (0.25 + (2.0 * re / length) ** 4) ** 0.5) ** 0.5
    expected = np.log((a + np.sqrt(a**2 - 300.0**2)) / 300.0) + h / length * np.log(h / (2.0 * rw))
    found = inflow.joshi_1988_productivity_index(1.0, 1.0, 1.0, length, h, re, rw)
    assert 2.0 * np.pi / float(found) == pytest.approx(expected, rel=1e-12)


def test_joshi_wellbore_term_in_anisotropic_rock() -> None:
    def inner(rw: float) -> float:
        index = inflow.joshi_1988_productivity_index(1.0, 1.0, 1.0, 600.0, 30.0, 500.0, rw, 3.0)
        return 2.0 * np.pi / float(index)

    # halving the hole adds (beta h / L) ln 2 in anisotropic rock: equivalent isotropic layer of thickness beta h
    assert inner(0.05) - inner(0.1) == pytest.approx(3.0 * 30.0 / 600.0 * np.log(2.0), rel=1e-9)


@pytest.mark.parametrize(("x", "value"), [(0.01, 4.03792958), (0.1, 1.82292396), (1.0, 0.21938393)])
def test_line_source_on_the_tabulated_integral(x: float, value: float) -> None:
    # Abramowitz and Stegun 1964, table 5.1 (E1); drawdown in units of q mu / (4 pi kh)
    time = 0.25 / x
    found = inflow.line_source_drawdown(4.0 * np.pi, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, time)
    assert float(found) == pytest.approx(value, abs=5e-9)


def test_theis_table_of_the_water_supply_paper() -> None:
    # Wenzel 1942, W(u): u = 1e-4 gives 8.6332 (from memory)
    found = inflow.line_source_drawdown(4.0 * np.pi, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 2500.0)
    assert float(found) == pytest.approx(8.6332, abs=5e-5)

"""Aquifers against the tables of van Everdingen and Hurst, exact limits and textbook numbers."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from planner.physics import aquifer


# van Everdingen and Hurst 1949, unbounded aquifer, constant rate; from memory. Left out: tD 2, recalled as 1.020, and
# tD 0.01, recalled as 0.112; exact evaluation gives 1.0222 and 0.1081.
@pytest.mark.parametrize(
    ("t_d", "p_d"), [(1.0, 0.802), (5.0, 1.362), (10.0, 1.651), (20.0, 1.960), (50.0, 2.389), (100.0, 2.723)]
)
def test_pressure_table(t_d: float, p_d: float) -> None:
    assert float(aquifer.pressure_function(t_d)) == pytest.approx(p_d, abs=1.5e-3)
    fit, _ = aquifer.edwardson_1962_pressure(t_d)
    assert float(fit) == pytest.approx(p_d, abs=1.5e-3)


# van Everdingen and Hurst 1949, unbounded aquifer, constant pressure; from memory, printed to about 0.3 %
@pytest.mark.parametrize(("t_d", "q_d"), [(0.1, 0.404), (1.0, 1.570), (5.0, 4.534), (10.0, 7.411), (100.0, 43.01)])
def test_influx_table(t_d: float, q_d: float) -> None:
    assert float(aquifer.influx_function(t_d)) == pytest.approx(q_d, rel=3e-3)


def test_short_and_long_time_limits() -> None:
    # Carslaw and Jaeger 1959: early influx 2 sqrt(t/pi) + t/2; late pressure (ln t + 0.80907)/2
    early, late = 1e-3, 1e6
    assert float(aquifer.influx_function(early)) == pytest.approx(2.0 * np.sqrt(early / np.pi) + 0.5 * early, rel=1e-4)
    assert float(aquifer.pressure_function(late)) == pytest.approx(0.5 * (np.log(late) + 0.80907), rel=1e-5)


def test_closed_aquifer_ends_full() -> None:
    # everything that the ring holds: (R^2 - 1)/2 per unit pressure drop
    assert float(aquifer.influx_function(200.0, 3.0)) == pytest.approx(4.0, rel=1e-6)
    # closed, constant rate, late: exact slope 2/(R^2 - 1) (van Everdingen and Hurst 1949)
    p = aquifer.pressure_function(np.array([20.0, 30.0]), 3.0)
    assert (p[1] - p[0]) / 10.0 == pytest.approx(2.0 / 8.0, rel=1e-6)


def test_fit_and_its_slope_against_the_inversion() -> None:
    t = np.geomspace(0.02, 1e5, 40)
    fit, slope = aquifer.edwardson_1962_pressure(t)
    exact_slope = (aquifer.pressure_function(t * 1.001) - aquifer.pressure_function(t * 0.999)) / (0.002 * t)
    assert np.max(np.abs(fit / aquifer.pressure_function(t) - 1.0)) < 1e-3
    assert np.max(np.abs(slope / exact_slope - 1.0)) < 2e-3


@pytest.mark.parametrize("ratio", [1.5, 3.0, 10.0])
def test_closed_radial_index_is_exact_for_small_aquifers(ratio: float) -> None:
    # constant rate, late: boundary drop less average drop of the exact closed ring is the pseudo-steady resistance
    t = 50.0 * ratio**2
    resistance = float(aquifer.pressure_function(t, ratio)) - 2.0 * t / (ratio**2 - 1.0)
    index = float(aquifer.radial_aquifer_index(1.0, 1.0, ratio))
    assert 2.0 * np.pi / index == pytest.approx(resistance, rel=1e-6)


def test_radial_index_tends_to_fetkovich() -> None:
    # Fetkovich 1971: ln(ra/re) - 3/4
    index = float(aquifer.radial_aquifer_index(1.0, 1.0, 100.0))
    assert 2.0 * np.pi / index == pytest.approx(np.log(100.0) - 0.75, rel=1e-3)


def test_linear_index_by_integration() -> None:
    # closed slab, uniform decline: drop u(x) = x - x^2/2 (unit flux), mean 1/3 of the length
    x = np.linspace(0.0, 1.0, 2001)
    mean = np.trapezoid(x - 0.5 * x**2, x)
    assert float(aquifer.linear_aquifer_index(1.0, 1.0, 1.0, 1.0)) == pytest.approx(1.0 / mean, rel=1e-6)


def test_fetkovich_step_against_an_integrator() -> None:
    initial, boundary, full, index = 30e6, 25e6, 5e6, 2e-8
    solution = solve_ivp(
        lambda t, w: [index * (initial * (1.0 - w[0] / full) - boundary)], (0.0, 3e7), [1e4], rtol=1e-10, atol=1e-3
    )
    found = aquifer.fetkovich_1971_step(1e4, boundary, 3e7, initial, full, index)
    assert float(found) == pytest.approx(solution.y[0, -1], rel=1e-7)


def test_fetkovich_first_year_of_the_textbook() -> None:
    # Dake 1978, exercise 9.2 (from memory, inputs recalled): reservoir 9200 ft, aquifer ratio 5, 140 degrees, 100 ft,
    # 200 md, 0.55 cP, porosity 0.25, ct 7e-6 1/psi, 2740 psi; Wei = 211.9 million bbl, J = 116.5 bbl/d/psi
    foot, psi, barrel, day = 0.3048, 6894.757, 0.1589873, 86400.0
    fraction = 140.0 / 360.0
    volume = np.pi * (46000.0**2 - 9200.0**2) * foot**2 * 100.0 * foot * 0.25 * fraction
    full = aquifer.encroachable_water(volume, 7e-6 / psi, 2740.0 * psi)
    assert float(full) / barrel / 1e6 == pytest.approx(211.9, rel=3e-3)
    kh = 200.0 * 9.869233e-16 * 100.0 * foot
    resistance = np.log(5.0) - 0.75
    fetkovich = 2.0 * np.pi * fraction * kh / (0.55e-3 * resistance)
    assert fetkovich * day * psi / barrel == pytest.approx(116.5, rel=3e-3)
    # the exact closed ring of ratio 5 resists more than ln 5 - 3/4: 625 ln 5/576 - 74/96
    exact = float(aquifer.radial_aquifer_index(kh, 0.55e-3, 5.0, fraction))
    assert exact / fetkovich == pytest.approx(resistance / (625.0 * np.log(5.0) / 576.0 - 74.0 / 96.0))
    assert exact < fetkovich


def test_carter_tracy_against_exact_superposition() -> None:
    # boundary pressure falling in a straight line; van Everdingen and Hurst by superposition of many small drops
    steps = np.linspace(0.0, 50.0, 51)
    drops = 1e5 * steps
    influx = 0.0
    for k in range(1, steps.size):
        p_d, slope = aquifer.edwardson_1962_pressure(steps[k])
        influx = float(
            aquifer.carter_tracy_1960_step(influx, steps[k - 1], steps[k], drops[k], 1.0, float(p_d), float(slope))
        )
    fine = np.linspace(0.0, 50.0, 2001)
    middle = 0.5 * (fine[1:] + fine[:-1])
    exact = float(np.sum(1e5 * np.diff(fine) * aquifer.influx_function(50.0 - middle)))
    # the method is approximate: Carter and Tracy claim no bound, handbook examples differ by up to 15 %
    assert influx == pytest.approx(exact, rel=0.10)

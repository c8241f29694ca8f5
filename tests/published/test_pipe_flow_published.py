"""Friction against the library `fluids`, exact annulus flow and the exact porous pipe."""

import numpy as np
import pytest
from fluids import friction as reference
from scipy.integrate import quad, solve_bvp

from planner.physics import pipe_flow

CASES = [(5e3, 0.0), (1e4, 1e-4), (1e5, 1e-3), (1e6, 1e-5), (1e7, 0.02)]


@pytest.mark.parametrize(("reynolds", "roughness"), CASES)
def test_turbulent_laws(reynolds: float, roughness: float) -> None:
    exact = reference.Colebrook(reynolds, roughness)
    assert float(pipe_flow.colebrook_friction(reynolds, roughness)) == pytest.approx(exact, rel=1e-12)
    assert float(pipe_flow.friction_factor(reynolds, roughness)) == pytest.approx(exact, rel=1e-12)
    haaland = reference.Haaland(reynolds, roughness)
    assert float(pipe_flow.haaland_friction(reynolds, roughness)) == pytest.approx(haaland, rel=1e-9)
    churchill = reference.Churchill_1977(reynolds, roughness)
    assert float(pipe_flow.churchill_friction(reynolds, roughness)) == pytest.approx(churchill, rel=1e-9)


def test_laminar_law() -> None:
    assert float(pipe_flow.friction_factor(1000.0, 0.01)) == pytest.approx(
        reference.friction_laminar(1000.0), rel=1e-12
    )


def test_moody_chart_point() -> None:
    # Moody 1944 and every hydraulics text: Re 1e5, roughness 0.001 gives 0.0222 (from memory)
    assert float(pipe_flow.friction_factor(1e5, 1e-3)) == pytest.approx(0.0222, abs=0.00005)


@pytest.mark.parametrize("ratio", [0.01, 0.3, 0.5, 0.8, 0.95])
def test_annulus_against_integrated_velocity(ratio: float) -> None:
    # laminar profile between radii k and 1: u = 1 - r^2 + (1 - k^2) ln r / ln(1/k), driven by -dp/dx = 4 mu
    def profile(r: float) -> float:
        return 1.0 - r**2 + (1.0 - ratio**2) * np.log(r) / np.log(1.0 / ratio)

    mean = quad(lambda r: 2.0 * r * profile(r), ratio, 1.0)[0] / (1.0 - ratio**2)
    hydraulic = 2.0 * (1.0 - ratio)
    # Darcy-Weisbach: 4 mu = f rho u^2 / (2 D) with f = C mu / (rho u D), so C = 8 D^2 / u
    assert float(pipe_flow.annulus_laminar_product(ratio)) == pytest.approx(8.0 * hydraulic**2 / mean, rel=1e-7)


def test_annulus_limits() -> None:
    # pipe 64, parallel plates 96 (exact); half-way ratio 95.25 (White, Fluid Mechanics: 23.81 times 4)
    assert float(pipe_flow.annulus_laminar_product(1e-200)) == pytest.approx(64.0, rel=5e-3)
    assert float(pipe_flow.annulus_laminar_product(0.99999)) == pytest.approx(96.0, rel=1e-9)
    assert float(pipe_flow.annulus_laminar_product(0.5)) == pytest.approx(4 * 23.81, abs=0.02)


def porous_pipe_friction(wall_reynolds: float) -> float:
    """Friction with wall flow over friction without: similarity solution of laminar flow (Yuan, Finkelstein 1956)."""
    a, start = 0.25 * wall_reynolds, 1e-6

    def slopes(x: np.ndarray, y: np.ndarray, p: np.ndarray) -> np.ndarray:
        bend = y[2] / x
        return np.array([y[1], bend, p[0] + a * (y[1] ** 2 - y[0] * bend)])

    def ends(ya: np.ndarray, yb: np.ndarray, p: np.ndarray) -> np.ndarray:
        return np.array([ya[0] - start * ya[1], ya[2] - start * (p[0] + a * ya[1] ** 2), yb[0] - 1.0, yb[1]])

    x = np.linspace(start, 1.0, 200)
    solution = solve_bvp(slopes, ends, x, np.array([2 * x - x**2, 2 - 2 * x, -2 * x]), [-2.0], tol=1e-6)
    assert solution.success
    return float(-0.5 * solution.y[2, -1])


@pytest.mark.parametrize("wall_reynolds", [-4.0, -3.0, -2.0, -1.0, 0.5, 2.0, 5.0, 10.0, 40.0])
def test_laminar_wall_flow_against_the_exact_solution(wall_reynolds: float) -> None:
    # with the sign of the exponent of (4.626 + Rew) that is often printed, outflow fails here by up to 18 %
    found = float(pipe_flow.laminar_inflow_multiplier(wall_reynolds))
    assert found == pytest.approx(porous_pipe_friction(wall_reynolds), rel=0.015)


def test_direction_of_wall_flow_effects() -> None:
    # abstract of Ouyang, Arbabi and Aziz 1998: laminar inflow raises friction, outflow lowers it; turbulent the reverse
    assert float(pipe_flow.inflow_multiplier(1.0, 500.0)) > 1.0 > float(pipe_flow.inflow_multiplier(-1.0, 500.0))
    assert float(pipe_flow.inflow_multiplier(50.0, 1e5)) < 1.0 < float(pipe_flow.inflow_multiplier(-50.0, 1e5))


def test_erosional_velocity_in_field_units() -> None:
    # API RP 14E, constant 100 (ft, lb): 62.43 lb/ft3 gives 12.66 ft/s
    found = pipe_flow.erosional_velocity(62.43 * 16.018463, 100.0 * pipe_flow.EROSION_CONSTANT)
    assert float(found) / 0.3048 == pytest.approx(12.66, abs=0.005)


@pytest.mark.parametrize("direction", [1.0, -1.0])
def test_turbulent_wall_flow_against_film_theory(direction: float) -> None:
    # Mickley, Ross, Squyers and Stewart 1954 (film theory): Cf/Cf0 = ln(1 + B)/B, B = (wall/mean velocity)/(Cf0/2).
    # Two approximate methods; the coefficients of Ouyang, Arbabi and Aziz are from memory, so this guards their size.
    reynolds, share = 1e5, direction * 1e-3
    b = share / (float(pipe_flow.friction_factor(reynolds, 0.0)) / 8.0)
    film = np.log1p(b) / b
    found = float(pipe_flow.turbulent_inflow_multiplier(share * reynolds, reynolds))
    assert found - 1.0 == pytest.approx(film - 1.0, rel=0.4)

"""Buckley-Leverett displacement against closed forms."""

import numpy as np
import pytest

from planner.physics import displacement
from planner.physics.relative_permeability import corey_oil, corey_water


def solve(mu_w: float, mu_o: float, points: int = 20001) -> displacement.Displacement:
    s = np.linspace(0.0, 1.0, points)
    f = displacement.fractional_flow(corey_water(s, 0.0, 0.0, 1.0, 2.0), corey_oil(s, 0.0, 0.0, 1.0, 2.0), mu_w, mu_o)
    return displacement.welge(s, f)


@pytest.mark.parametrize(("mu_w", "mu_o"), [(1.0, 1.0), (0.5, 5.0), (1.0, 0.2)])
def test_welge_tangent_of_corey_two(mu_w: float, mu_o: float) -> None:
    # f = s^2/(s^2 + a (1-s)^2), a = mu_w/mu_o: tangent from 0 at s = sqrt(a/(1+a)), slope (1 + sqrt(1+1/a))/2
    a = mu_w / mu_o
    solution = solve(mu_w, mu_o)
    front = np.sqrt(a / (1.0 + a))
    slope = front / (front**2 + a * (1.0 - front) ** 2)
    assert slope == pytest.approx(0.5 * (1.0 + np.sqrt(1.0 + 1.0 / a)))
    assert solution.shock_saturation == pytest.approx(front, abs=1e-4)
    assert solution.breakthrough == pytest.approx(1.0 / slope, rel=1e-6)
    # Welge 1952: mean saturation at breakthrough is where the tangent reaches 1
    assert solution.average_at_breakthrough == pytest.approx(1.0 / slope, rel=1e-6)


def test_profile_holds_the_injected_volume() -> None:
    solution = solve(0.5, 5.0)
    x = (np.arange(200_000) + 0.5) / 200_000
    for injected in (0.1, 0.2, 0.29):
        held = displacement.saturation_profile(solution, x, injected).mean()
        assert held == pytest.approx(injected, rel=1e-3)


def test_average_after_breakthrough_against_the_profile() -> None:
    solution = solve(0.5, 5.0)
    x = (np.arange(200_000) + 0.5) / 200_000
    for injected in (0.5, 1.0, 3.0):
        mean = displacement.saturation_profile(solution, x, injected).mean()
        assert float(displacement.average_saturation(solution, injected)) == pytest.approx(mean, rel=1e-4)


def test_before_breakthrough_everything_injected_stays() -> None:
    solution = solve(1.0, 1.0)
    assert float(displacement.average_saturation(solution, 0.3)) == pytest.approx(0.3, rel=1e-12)
    assert float(displacement.outlet_flow(solution, 0.3)) == 0.0


def test_straight_relative_permeabilities_give_a_piston_when_favourable() -> None:
    # linear curves, displacing phase the thicker one: f is convex, one shock from 0 to 1 at one pore volume
    s = np.linspace(0.0, 1.0, 401)
    solution = displacement.welge(s, displacement.fractional_flow(s, 1.0 - s, 2.0, 1.0))
    assert solution.shock_saturation == 1.0
    assert solution.breakthrough == pytest.approx(1.0)


def test_gravity_slows_up_dip_water() -> None:
    # f = (1 - N kro) fw: Buckley and Leverett 1942 with gravity; at N kro = 1 water stands still
    assert float(displacement.fractional_flow(0.2, 0.5, 1.0, 1.0, 2.0)) == 0.0

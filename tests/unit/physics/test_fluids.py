"""Fluids: inverses, continuity, shapes, dry and wet limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.physics import gas, oil, water

METHODS = ["standing_1947", "vasquez_beggs_1980", "glaso_1980", "al_marhoun_1988"]


@pytest.mark.parametrize("method", METHODS)
def test_bubble_point_and_dissolved_gas_are_inverse(method: str) -> None:
    p = np.linspace(2e6, 40e6, 25)
    rs = getattr(oil, f"{method}_rs")(p, 360.0, 0.85, 0.8)
    assert np.all(np.diff(rs) > 0.0)
    np.testing.assert_allclose(getattr(oil, f"{method}_bubble_point")(rs, 360.0, 0.85, 0.8), p, rtol=1e-9)


@pytest.mark.parametrize("method", METHODS)
def test_more_dissolved_gas_swells_the_oil(method: str) -> None:
    bo = getattr(oil, f"{method}_bo")(np.linspace(10.0, 250.0, 20), 360.0, 0.85, 0.8)
    assert np.all(np.diff(bo) > 0.0)
    assert np.all((bo > 1.0) & (bo < 2.5))


def test_undersaturated_oil_joins_the_saturated_and_has_the_given_compressibility() -> None:
    arguments = (100.0, 360.0, 0.85, 0.8)

    def bo(p: float) -> float:
        return float(oil.undersaturated_bo(p, 20e6, 1.3, *arguments))

    assert bo(20e6) == pytest.approx(1.3) and bo(10e6) == pytest.approx(1.3)
    slope = -(bo(30e6 + 1e3) - bo(30e6 - 1e3)) / 2e3 / bo(30e6)
    assert slope == pytest.approx(float(oil.vasquez_beggs_1980_compressibility(30e6, *arguments)), rel=1e-6)


def test_saturated_viscosity_without_gas_is_near_dead() -> None:
    # the fit does not pass exactly through the dead oil: A(0) = 10.715 100^-0.515 = 1.0000, B(0) = 5.44 150^-0.338
    a, b = 10.715 * 100.0**-0.515, 5.44 * 150.0**-0.338
    assert float(oil.beggs_robinson_1975_saturated_viscosity(5e-3, 0.0)) == pytest.approx(a * 5.0**b * 1e-3)
    assert (a, b) == (pytest.approx(1.0, abs=1e-3), pytest.approx(1.0, abs=2e-3))


def test_api_round_trip() -> None:
    api = np.linspace(8.0, 60.0, 14)
    np.testing.assert_allclose(oil.api_from_specific_gravity(oil.specific_gravity_from_api(api)), api)


@given(st.floats(1.05, 3.0), st.floats(1e-4, 30.0))
def test_gas_compressibility_is_the_slope_of_density(t_r: float, p_r: float) -> None:
    step = 1e-5 * p_r

    def density(p: float) -> float:
        return p / float(gas.z_factor(p, t_r, 1.0, 1.0))

    slope = (density(p_r + step) - density(p_r - step)) / (2.0 * step) / density(p_r)
    assert float(gas.gas_compressibility(p_r, t_r, 1.0, 1.0)) == pytest.approx(slope, rel=1e-4)


def test_gas_tends_to_ideal_and_shapes_broadcast() -> None:
    z = gas.z_factor(np.array([[1.0], [20e6]]), np.array([300.0, 350.0, 400.0]), 200.0, 4.6e6)
    assert z.shape == (2, 3) and z.dtype == np.float64
    np.testing.assert_allclose(z[0], 1.0, atol=1e-6)


def test_impossible_gas_is_refused() -> None:
    with pytest.raises(ValueError, match="mole fractions"):
        gas.pseudo_critical(0.7, co2=0.6, n2=0.5)


def test_water_vectorises_and_salt_thickens() -> None:
    p = np.linspace(1e5, 60e6, 5)
    assert water.water_density(p, 350.0).shape == (5,)
    assert np.all(np.diff(water.water_density(p, 350.0)) > 0.0)
    assert np.all(water.water_viscosity(p, 350.0, 0.15) > water.water_viscosity(p, 350.0))
    np.testing.assert_allclose(water.water_density(p, 350.0, 0.0), water.water_density(p, 350.0))


def test_water_compressibility_is_the_slope_of_density() -> None:
    high, low = float(water.water_density(20e6 + 1e4, 350.0)), float(water.water_density(20e6 - 1e4, 350.0))
    assert float(water.water_compressibility(20e6, 350.0)) == pytest.approx(np.log(high / low) / 2e4, rel=1e-6)

"""Relative permeability: end points, closed forms, clipping, three phases."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.physics import capillary
from planner.physics import relative_permeability as kr

SATURATION = st.floats(0.0, 1.0)


def test_corey_end_points_and_closed_form() -> None:
    sw = np.array([0.0, 0.2, 0.5, 0.8, 1.0])
    np.testing.assert_allclose(kr.corey_water(sw, 0.2, 0.2, 0.4, 3.0), [0.0, 0.0, 0.4 / 8.0, 0.4, 0.4], atol=1e-15)
    np.testing.assert_allclose(kr.corey_oil(sw, 0.2, 0.2, 0.9, 2.0), [0.9, 0.9, 0.9 / 4.0, 0.0, 0.0], atol=1e-15)


def test_gas_end_points() -> None:
    sg = np.array([0.0, 0.05, 0.4, 0.7, 0.9])
    gas = kr.corey_gas(sg, 0.05, 0.2, 0.1, 0.8, 2.0)
    np.testing.assert_allclose(gas, [0.0, 0.0, 0.8 * (0.35 / 0.65) ** 2, 0.8, 0.8], atol=1e-15)
    oil = kr.corey_oil_gas(sg, 0.2, 0.1, 1.0, 2.0)
    np.testing.assert_allclose(oil[[0, 3, 4]], [1.0, 0.0, 0.0], atol=1e-15)


def test_let_at_half_saturation_by_hand() -> None:
    # Lomeland, Ebeltoft and Thomas 2005 at x = 1/2: 2^-L / (2^-L + E 2^-T)
    found = float(kr.let_water(0.5, 0.2, 0.2, 0.5, 2.0, 3.0, 1.0))
    assert found == pytest.approx(0.5 * 0.25 / (0.25 + 3.0 * 0.5))
    oil = float(kr.let_oil(0.5, 0.2, 0.2, 1.0, 2.0, 3.0, 1.0))
    assert oil == pytest.approx(0.25 / (0.25 + 1.5))
    assert float(kr.let_gas(0.8, 0.0, 0.2, 0.0, 0.7, 2.0, 1.0, 1.5)) == pytest.approx(0.7)
    assert float(kr.let_oil_gas(0.0, 0.2, 0.1, 0.9, 2.0, 1.0, 1.5)) == pytest.approx(0.9)


def test_no_mobile_range_is_refused() -> None:
    with pytest.raises(ValueError, match="no mobile saturation"):
        kr.corey_water(0.5, 0.6, 0.4, 1.0, 2.0)


@given(SATURATION, SATURATION)
def test_curves_are_monotonic_and_bounded(a: float, b: float) -> None:
    low, high = min(a, b), max(a, b)
    for rising in (
        lambda s: kr.corey_water(s, 0.15, 0.25, 0.3, 2.5),
        lambda s: kr.let_water(s, 0.15, 0.25, 0.3, 2.5, 4.0, 1.2),
        lambda s: kr.corey_gas(s, 0.03, 0.15, 0.1, 0.3, 2.5),
    ):
        assert 0.0 <= float(rising(low)) <= float(rising(high)) + 1e-15 <= 0.3 + 1e-14
    for falling in (
        lambda s: kr.corey_oil(s, 0.15, 0.25, 0.3, 2.5),
        lambda s: kr.let_oil(s, 0.15, 0.25, 0.3, 2.5, 4.0, 1.2),
    ):
        assert 0.3 + 1e-14 >= float(falling(low)) + 1e-15 >= float(falling(high)) >= 0.0


def test_stone_falls_back_on_two_phases() -> None:
    # no gas: krog = kro_max, krg = 0, so krow comes back; no mobile water likewise
    assert float(kr.stone_1973_oil(0.3, 0.9, 0.1, 0.0, 0.9)) == pytest.approx(0.3)
    assert float(kr.stone_1973_oil(0.9, 0.25, 0.0, 0.2, 0.9)) == pytest.approx(0.25)
    assert float(kr.stone_1973_oil(0.01, 0.01, 0.3, 0.3, 0.9)) == 0.0


def test_baker_falls_back_on_two_phases_and_lies_between() -> None:
    assert float(kr.baker_1988_oil(0.5, 0.0, 0.2, 0.0, 0.3, 0.7)) == pytest.approx(0.3)
    assert float(kr.baker_1988_oil(0.2, 0.4, 0.2, 0.0, 0.3, 0.7)) == pytest.approx(0.7)
    assert float(kr.baker_1988_oil(0.4, 0.2, 0.2, 0.0, 0.3, 0.7)) == pytest.approx(0.5)


def test_capillary_pressure_at_entry_and_in_a_log_plot() -> None:
    # Brooks and Corey 1964: entry pressure when full, slope -1/lambda in log-log
    sw = np.array([0.2, 0.28, 0.6, 1.0])
    pc = capillary.brooks_corey_capillary_pressure(sw, 0.2, 1.0, 5e3, 2.0)
    assert pc[3] == pytest.approx(5e3)
    assert np.log(pc[1] / pc[2]) / np.log(0.1 / 0.5) == pytest.approx(-0.5)
    assert np.isfinite(pc[0])

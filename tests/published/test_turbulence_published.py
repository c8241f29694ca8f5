"""Forchheimer coefficients and the skin that grows with rate, against printed constants and a direct integral."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from planner.physics.turbulence import firoozabadi_katz_1979_beta, geertsma_1974_beta, rate_dependent_skin

MD = 9.869232667160130e-16


def test_geertsma_in_field_units() -> None:
    # Tiab and Donaldson, Petrophysics, equation 7.116b: beta = 4.85e4 / (porosity^5.5 sqrt(k)), 1/ft and md
    found = float(geertsma_1974_beta(50.0 * MD, 0.2)) * 0.3048
    assert found == pytest.approx(4.85e4 / (0.2**5.5 * 50.0**0.5), rel=1e-3)


def test_firoozabadi_and_katz() -> None:
    # 2.6e10 / k^1.2, 1/ft and md (from memory)
    assert float(firoozabadi_katz_1979_beta(100.0 * MD)) * 0.3048 == pytest.approx(2.6e10 / 100.0**1.2, rel=1e-9)


def test_skin_is_the_integral_of_forchheimers_law() -> None:
    # extra drop of beta rho u^2 from the wall to a far radius, over that of one unit of skin, per surface rate
    beta, k, density, viscosity, radius, length, rate, expansion = 5e9, 2e-14, 0.85, 2e-5, 0.1, 12.0, 3.0, 180.0
    volume = rate / expansion  # in place, m3/s

    def inertia(r: float) -> float:
        speed = volume / (2.0 * np.pi * r * length)
        return beta * density * expansion * speed**2

    drop, _ = quad(inertia, radius, 3000.0, limit=200)
    unit = viscosity * volume / (2.0 * np.pi * k * length)
    found = float(rate_dependent_skin(beta, k, density, viscosity, radius, length)) * rate
    assert found == pytest.approx(drop / unit, rel=1e-4)  # the far end, rw/re, is left out

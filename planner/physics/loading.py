"""Gas velocity and rate below which a gas well no longer carries its liquid up."""

from __future__ import annotations

import numpy as np

from planner.base.constants import STANDARD_GRAVITY
from planner.physics.arrays import Array, Numbers, doubles

WEBER, DRAG = 30.0, 0.44  # largest drop that survives, drag of a sphere: Turner, Hubbard and Dukler 1969
TURNER_ADJUSTMENT = 1.2  # their 20 % upward, to match the wells of their table


def turner_1969_velocity(
    liquid_density: Numbers, gas_density: Numbers, surface_tension: Numbers, adjusted: bool = True
) -> Array:
    """Least gas velocity that lifts the largest drop [m/s]; densities [kg/m3], surface tension [N/m].

    Turner, Hubbard and Dukler 1969: (4 We g sigma (rho_l - rho_g) / (3 Cd rho_g^2))^(1/4), the exact form of
    1.593 (sigma (rho_l - rho_g))^(1/4) / rho_g^(1/2) in ft/s, dyn/cm, lb/ft3; adjusted: 20 % up, as they recommend.
    """
    fall = np.maximum(doubles(liquid_density) - gas_density, 0.0)
    group = 4.0 * WEBER * STANDARD_GRAVITY / (3.0 * DRAG) * doubles(surface_tension) * fall
    velocity: Array = (group / doubles(gas_density) ** 2) ** 0.25
    return velocity * (TURNER_ADJUSTMENT if adjusted else 1.0)


def coleman_1991_velocity(liquid_density: Numbers, gas_density: Numbers, surface_tension: Numbers) -> Array:
    """Least gas velocity for wells of low wellhead pressure [m/s]: Turner's without the 20 %. Coleman et al. 1991."""
    return turner_1969_velocity(liquid_density, gas_density, surface_tension, adjusted=False)


def critical_gas_rate(velocity: Numbers, diameter: Numbers, gas_volume_factor: Numbers) -> Array:
    """Surface gas rate [sm3/s] at which gas moves at a velocity [m/s] in pipe of a diameter [m]; Bg [m3/sm3]."""
    return doubles(velocity) * np.pi / 4.0 * doubles(diameter) ** 2 / doubles(gas_volume_factor)

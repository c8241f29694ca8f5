"""Holdup and wall friction of gas with some liquid rising in a vertical pipe: Gray 1974. Compiled, scalars."""

from __future__ import annotations

import math

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.physics.wall_friction import wall_friction

WET_GAS = 8
LEAST_ROUGHNESS = 2.77e-5 * 0.3048  # m, lower limit of Gray's wall film
MOST_RELATIVE_ROUGHNESS = 0.05  # end of Colebrook's data
DRY = 1.0e-5  # liquid over gas, in place, about which the holdup of dry gas fades in (ours: Gray's own does not vanish)


@kernel
def gray_1974_holdup(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, surface_tension: float,
    diameter: float,
) -> float:  # fmt: skip
    """Holdup [-]; superficial velocities [m/s] above 0. As the liquid vanishes, the slip part fades out with it."""
    speed = liquid_velocity + gas_velocity
    ratio = liquid_velocity / gas_velocity
    share = liquid_velocity / speed
    density = share * liquid_density + (1.0 - share) * gas_density
    fall = max(liquid_density - gas_density, 1.0)
    n_velocity = density * density * speed**4 / (STANDARD_GRAVITY * surface_tension * fall)
    n_diameter = STANDARD_GRAVITY * fall * diameter * diameter / surface_tension
    power = 0.0814 * (1.0 - 0.0554 * math.log(1.0 + 730.0 * ratio / (ratio + 1.0)))
    swept = 1.0 - math.exp(-2.314 * (n_velocity * (1.0 + 205.0 / n_diameter)) ** power)
    slip = (1.0 - swept / (ratio + 1.0)) - share
    return share + slip * ratio / (ratio + DRY)


@kernel
def gray_1974(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, liquid_viscosity: float,
    gas_viscosity: float, surface_tension: float, diameter: float, roughness: float,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern) of gas that carries liquid upward; both velocities above 0.

    The liquid film acts as roughness. Friction factor by Colebrook at the Reynolds number without slip, so that dry
    gas is met exactly (the paper takes fully rough flow).
    """
    holdup = gray_1974_holdup(liquid_velocity, gas_velocity, liquid_density, gas_density, surface_tension, diameter)
    speed = liquid_velocity + gas_velocity
    ratio = liquid_velocity / gas_velocity
    share = liquid_velocity / speed
    density = share * liquid_density + (1.0 - share) * gas_density
    viscosity = share * liquid_viscosity + (1.0 - share) * gas_viscosity
    film = max(28.5 * surface_tension / (density * speed * speed), LEAST_ROUGHNESS)
    rough = film if ratio >= 0.007 else roughness + ratio * (film - roughness) / 0.007
    rough = min(rough / diameter, MOST_RELATIVE_ROUGHNESS)
    factor = wall_friction(density * speed * diameter / viscosity, rough)
    return holdup, factor * density * speed * speed / (2.0 * diameter), WET_GAS

"""Pressure gradient of gas and liquid that flow together in pipe: one entry for every method. Compiled, scalars.

A gradient here is the pressure lost per length along the flow [Pa/m]: above 0 where pressure falls. Angles are those
of the flow above horizontal [rad]: pi/2 straight up, 0 horizontal, -pi/2 straight down.
"""

from __future__ import annotations

import math

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.physics.beggs_brill import beggs_brill_1973
from planner.physics.drift_flux import shi_2005
from planner.physics.gray_wet_gas import gray_1974
from planner.physics.hagedorn_brown import hagedorn_brown_1965
from planner.physics.wall_friction import wall_friction

METHODS = (
    "beggs-brill 1973",
    "beggs-brill 1973 with payne 1979",
    "hagedorn-brown 1965",
    "gray 1974",
    "drift flux 2005",
    "no slip",
)
BEGGS_BRILL, BEGGS_BRILL_PAYNE, HAGEDORN_BROWN, GRAY, DRIFT_FLUX, NO_SLIP = range(6)

PATTERNS = (
    "liquid", "gas", "segregated", "transition", "intermittent", "distributed", "bubble", "slug to mist",
    "wet gas", "bubble to slug", "churn to annular", "no slip",
)  # fmt: skip
LIQUID, GAS, TOGETHER = 0, 1, 11
ALONE = 1e-9  # share of the mixture below which a phase is left out
FREE_KINETIC, MOST_KINETIC = 0.5, 0.95  # the kinetic term is held back from the first on and never passes the second


@kernel
def no_slip(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, liquid_viscosity: float,
    gas_viscosity: float, diameter: float, roughness: float,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern) of phases that move together; exact for one phase alone."""
    speed = liquid_velocity + gas_velocity
    share = liquid_velocity / speed
    density = share * liquid_density + (1.0 - share) * gas_density
    viscosity = share * liquid_viscosity + (1.0 - share) * gas_viscosity
    factor = wall_friction(density * speed * diameter / viscosity, roughness / diameter)
    pattern = LIQUID if share >= 1.0 - ALONE else GAS if share <= ALONE else TOGETHER
    return share, factor * density * speed * speed / (2.0 * diameter), pattern


@kernel
def holdup_and_friction(
    method: int, pressure: float, liquid_velocity: float, gas_velocity: float, liquid_density: float,
    gas_density: float, liquid_viscosity: float, gas_viscosity: float, surface_tension: float, diameter: float,
    roughness: float, angle: float,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern) by a method; arguments as in gradient.

    Hagedorn-Brown and Gray know rising flow only: flow downward is taken without slip under them.
    """
    speed = liquid_velocity + gas_velocity
    one_phase = min(liquid_velocity, gas_velocity) <= ALONE * speed
    rising_only = method == HAGEDORN_BROWN or method == GRAY
    if one_phase or method == NO_SLIP or (rising_only and angle < 0.0):
        return no_slip(
            liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity, diameter,
            roughness)  # fmt: skip
    if method == HAGEDORN_BROWN:
        return hagedorn_brown_1965(
            pressure, liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity,
            surface_tension, diameter, roughness)  # fmt: skip
    if method == GRAY:
        return gray_1974(
            liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity,
            surface_tension, diameter, roughness)  # fmt: skip
    if method == DRIFT_FLUX:
        return shi_2005(
            liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity,
            surface_tension, diameter, roughness, angle)  # fmt: skip
    return beggs_brill_1973(
        liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity, surface_tension,
        diameter, roughness, angle, method == BEGGS_BRILL_PAYNE)  # fmt: skip


@kernel
def held_kinetic(kinetic: float) -> float:
    """The kinetic term as it is up to 0.5, then bent smoothly towards 0.95.

    At 1 the flow is as fast as sound (isothermal) and no gradient exists: the pressures found beyond 0.5 only have to
    be large, so that such rates are turned down.
    """
    if kinetic <= FREE_KINETIC:
        return kinetic
    room = MOST_KINETIC - FREE_KINETIC
    return FREE_KINETIC + room * math.tanh((kinetic - FREE_KINETIC) / room)


@kernel
def gradient(
    method: int, pressure: float, liquid_velocity: float, gas_velocity: float, liquid_density: float,
    gas_density: float, liquid_viscosity: float, gas_viscosity: float, surface_tension: float, diameter: float,
    roughness: float, angle: float,
) -> tuple[float, float, float, float, float, int]:  # fmt: skip
    """Pressure lost per length along the flow [Pa/m]: (total, gravity, friction, acceleration, holdup [-], pattern).

    method: index into METHODS; pressure [Pa]; superficial velocities along the flow [m/s], at least 0, together above
    0; densities [kg/m3]; viscosities [Pa s]; surface_tension [N/m]; diameter, roughness [m]; angle of the flow above
    horizontal [rad]. pattern: index into PATTERNS. Acceleration by the kinetic term rho vm vsg / p of Beggs and Brill
    1973 in every method.
    """
    holdup, friction, pattern = holdup_and_friction(
        method, pressure, liquid_velocity, gas_velocity, liquid_density, gas_density, liquid_viscosity, gas_viscosity,
        surface_tension, diameter, roughness, angle)  # fmt: skip
    density = holdup * liquid_density + (1.0 - holdup) * gas_density
    gravity = density * STANDARD_GRAVITY * math.sin(angle)
    kinetic = density * (liquid_velocity + gas_velocity) * gas_velocity / pressure
    total = (gravity + friction) / (1.0 - held_kinetic(kinetic))
    return total, gravity, friction, total - gravity - friction, holdup, pattern

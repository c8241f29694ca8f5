"""Gas and liquid in vertical and inclined pipe by drift flux: Shi, Holmes, Durlofsky, Aziz and others 2005. Compiled.

vg = C0 vm + m(deviation) vd. Parameters are those fitted by Shi et al. to water and gas in 15 cm pipe (A = 1,
a1 = 0.06, a2 = 0.21, m0 = 1.85, n1 = 0.21, n2 = 0.95; from memory); with A = 1 the profile parameter is 1 throughout.
The paper gives m from 2 to 88 degrees of deviation and keeps 1 for vertical pipe: m runs straight from 1 at 0 to its
value at 2 degrees here, so that no corner of the well path makes a jump.
"""

from __future__ import annotations

import math

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.physics.wall_friction import wall_friction

BUBBLE, RAMP, FLOODING = 6, 9, 10
A, B, FV = 1.0, 0.3, 1.0
A1, A2 = 0.06, 0.21
M0, N1, N2 = 1.85, 0.21, 0.95
FIT_FROM = math.radians(2.0)


@kernel
def characteristic_velocity(liquid_density: float, gas_density: float, surface_tension: float) -> float:
    """Velocity (sigma g (rho_l - rho_g) / rho_l^2)^(1/4) [m/s]; Harmathy 1960 has bubbles rise at 1.53 of it."""
    fall = max(liquid_density - gas_density, 1e-3)
    return float((surface_tension * STANDARD_GRAVITY * fall / (liquid_density * liquid_density)) ** 0.25)


@kernel
def critical_kutateladze(dimensionless_diameter: float) -> float:
    """Critical Kutateladze number [-] by diameter over capillary length [-]: table of Shi et al. 2005."""
    d = dimensionless_diameter
    if d <= 2.0:
        return 0.0
    if d <= 4.0:
        return 0.5 * (d - 2.0)
    if d <= 10.0:
        return 1.0 + 1.1 * (d - 4.0) / 6.0
    if d <= 14.0:
        return 2.1 + 0.4 * (d - 10.0) / 4.0
    if d <= 20.0:
        return 2.5 + 0.3 * (d - 14.0) / 6.0
    if d <= 28.0:
        return 2.8 + 0.2 * (d - 20.0) / 8.0
    return min(3.0 + 0.2 * (d - 28.0) / 22.0, 3.2)


@kernel
def deviation_multiplier(deviation: float) -> float:
    """Drift velocity at a deviation from vertical [rad, 0 to pi/2] over that of vertical pipe [-]."""
    d = max(deviation, FIT_FROM)
    fit = float(M0 * max(math.cos(d), 0.0) ** N1 * (1.0 + math.sin(d)) ** N2)
    if deviation >= FIT_FROM:
        return fit
    return 1.0 + (fit - 1.0) * deviation / FIT_FROM


@kernel
def profile_parameter(gas_share: float, speed: float, flooding_velocity: float) -> float:
    """C0 [-] at a gas share in place, mixture speed and flooding velocity [m/s]: A / (1 + (A - 1) gamma^2)."""
    beta = max(gas_share, FV * gas_share * abs(speed) / max(flooding_velocity, 1e-9))
    gamma = min(max((beta - B) / (1.0 - B), 0.0), 1.0)
    return A / (1.0 + (A - 1.0) * gamma * gamma)


@kernel
def drift_velocity(
    gas_share: float, profile: float, kutateladze: float, characteristic: float, density_ratio: float
) -> float:
    """Drift velocity in vertical pipe [m/s]; density_ratio: gas over liquid. Shi et al. 2005."""
    low = 1.53 / profile
    if gas_share <= A1:
        k = low
    elif gas_share >= A2:
        k = kutateladze
    else:
        k = low + (kutateladze - low) * (gas_share - A1) / (A2 - A1)
    carried = gas_share * profile
    left = max(1.0 - carried, 0.0)
    return left * profile * k * characteristic / (carried * math.sqrt(density_ratio) + left)


@kernel
def _excess(
    gas_share: float, speed: float, gas_velocity: float, flooding: float, kutateladze: float, slip: float, ratio: float
) -> float:
    """Gas velocity that a gas share carries less the superficial gas velocity [m/s]."""
    profile = profile_parameter(gas_share, speed, flooding)
    return gas_share * (profile * speed + drift_velocity(gas_share, profile, kutateladze, slip, ratio)) - gas_velocity


@kernel
def shi_2005_holdup(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, surface_tension: float,
    diameter: float, angle: float,
) -> float:  # fmt: skip
    """Holdup [-]; superficial velocities [m/s] along the flow, above 0; angle of flow above horizontal [rad].

    Flow downward is solved with both velocities negative, gas drifting up all the same.
    """
    characteristic = characteristic_velocity(liquid_density, gas_density, surface_tension)
    fall = max(liquid_density - gas_density, 1e-3)
    kutateladze = critical_kutateladze(diameter * math.sqrt(STANDARD_GRAVITY * fall / surface_tension))
    ratio = gas_density / liquid_density
    flooding = kutateladze * characteristic / math.sqrt(ratio)
    slip = characteristic * deviation_multiplier(0.5 * math.pi - abs(angle))
    up = 1.0 if angle >= 0.0 else -1.0
    speed, gas = up * (liquid_velocity + gas_velocity), up * gas_velocity
    low, high = 0.0, 1.0
    f_low, f_high = -gas, up * liquid_velocity
    share = gas / speed
    last = 0
    for _ in range(60):  # regula falsi, Illinois form
        f = _excess(share, speed, gas, flooding, kutateladze, slip, ratio)
        if (f > 0.0) == (f_high > 0.0):
            high, f_high = share, f
            f_low *= 0.5 if last == 1 else 1.0
            last = 1
        else:
            low, f_low = share, f
            f_high *= 0.5 if last == -1 else 1.0
            last = -1
        trial = (low * f_high - high * f_low) / (f_high - f_low)
        if abs(trial - share) < 1e-10:
            return 1.0 - trial
        share = trial
    return 1.0 - share


@kernel
def shi_2005(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, liquid_viscosity: float,
    gas_viscosity: float, surface_tension: float, diameter: float, roughness: float, angle: float,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern); both velocities above 0.

    The paper gives holdup alone: friction is that of the mixture in place (density and viscosity by volume).
    """
    holdup = shi_2005_holdup(
        liquid_velocity, gas_velocity, liquid_density, gas_density, surface_tension, diameter, angle
    )
    speed = liquid_velocity + gas_velocity
    density = holdup * liquid_density + (1.0 - holdup) * gas_density
    viscosity = holdup * liquid_viscosity + (1.0 - holdup) * gas_viscosity
    factor = wall_friction(density * speed * diameter / viscosity, roughness / diameter)
    pattern = BUBBLE if 1.0 - holdup <= A1 else RAMP if 1.0 - holdup < A2 else FLOODING
    return holdup, factor * density * speed * speed / (2.0 * diameter), pattern

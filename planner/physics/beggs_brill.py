"""Holdup and wall friction of gas and liquid in pipe at any inclination: Beggs and Brill 1973. Compiled, scalars.

Pattern limits are the revised ones with a transition region (Payne, Palmer, Brill and Beggs 1979; Brill and Beggs,
Two-phase flow in pipes). Their holdup correction for rough pipe (0.924 uphill, 0.685 downhill) is optional.

Ours, so that a well has one pressure at a rate and a solver can follow it: at the limit of distributed flow the holdup,
which jumps there by up to a factor of four, passes over within 20 % of the limit's Froude number each way; the
transition region is never narrower than 30 % of its lower limit, which joins it to the patterns below an input share
of 0.01; the friction multiplier keeps its least value below y = 0.02, as its formula has a pole near y = 0.0003, and
from y = 0.8 to 1 its logarithm runs straight to 0, the counterpart of their own bridge from 1 to 1.2 over another pole.
Below an input share of 0.01 both bridges widen, up to four times: a column of gas with a trace of liquid otherwise tips
from one pattern to the other along its whole length.
"""

from __future__ import annotations

import math

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.physics.wall_friction import wall_friction

SEGREGATED, TRANSITION, INTERMITTENT, DISTRIBUTED = 2, 3, 4, 5
PAYNE_UPHILL, PAYNE_DOWNHILL = 0.924, 0.685
BLEND = math.log(1.2)  # of the Froude number, each side of the limit of distributed flow
NARROWEST = 0.3  # of the lower limit, width of the transition region
LEAST_LN_Y = -3.913  # ln(y) of the friction multiplier's flat minimum, 0.02
BEFORE_ONE = math.log(0.8)  # ln(y) from which the friction multiplier runs straight to 1 at y = 1
TRACE, WIDEST = 0.01, 4.0  # input share below which both bridges widen, and how far


@kernel
def distributed_limit(share: float) -> float:
    """Froude number of the mixture above which flow is distributed, at an input share of liquid [-]."""
    return float(316.0 * share**0.302 if share < 0.4 else 0.5 * share**-6.738)


@kernel
def pattern_of(share: float, froude: float) -> int:
    """Horizontal flow pattern from the input share of liquid [-] and the Froude number of the mixture [-]."""
    if share < 0.01:
        return SEGREGATED if froude < 316.0 * share**0.302 else DISTRIBUTED
    if froude < 0.0009252 * share**-2.4684:
        return SEGREGATED
    if froude <= 0.10 * share**-1.4516:
        return TRANSITION
    return INTERMITTENT if froude <= distributed_limit(share) else DISTRIBUTED


@kernel
def _widening(share: float) -> float:
    """Of the bridges, for gas with a trace of liquid."""
    return float(min(math.sqrt(TRACE / share), WIDEST)) if share < TRACE else 1.0


@kernel
def pattern_shares(share: float, froude: float) -> tuple[float, float, float]:
    """Weights of segregated, intermittent and distributed holdup: 0 and 1 but near the limits; see the module."""
    past = 0.5 + 0.5 * math.log(froude / distributed_limit(share)) / (BLEND * _widening(share))
    past = min(max(past, 0.0), 1.0)
    distributed = past * past * (3.0 - 2.0 * past)
    low, high = 0.0009252 * share**-2.4684, 0.10 * share**-1.4516
    slugs = min(max((froude - low) / max(high - low, NARROWEST * low), 0.0), 1.0)
    return (1.0 - distributed) * (1.0 - slugs), (1.0 - distributed) * slugs, distributed


@kernel
def _holdup_in(pattern: int, share: float, froude: float, velocity_number: float, angle: float) -> float:
    """Holdup [-] of one of the three patterns at an inclination, before the optional correction."""
    if pattern == SEGREGATED:
        level = 0.98 * share**0.4846 / froude**0.0868
        rise = 0.011 * share**-3.768 * velocity_number**3.539 * froude**-1.614
    elif pattern == INTERMITTENT:
        level = 0.845 * share**0.5351 / froude**0.0173
        rise = 2.96 * share**0.305 * velocity_number**-0.4473 * froude**0.0978
    else:
        level = 1.065 * share**0.5824 / froude**0.0609
        rise = 1.0
    level = max(level, share)
    if angle == 0.0:
        return float(level)
    if angle < 0.0:
        rise = 4.70 * share**-0.3692 * velocity_number**0.1244 * froude**-0.5056
    slope = max((1.0 - share) * math.log(rise), 0.0) if rise > 0.0 else 0.0
    s = math.sin(1.8 * angle)
    return float(level * (1.0 + slope * (s - s * s * s / 3.0)))


@kernel
def beggs_brill_1973_holdup(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, surface_tension: float, diameter: float,
    angle: float, payne: bool,
) -> tuple[float, int]:  # fmt: skip
    """(Holdup [-], pattern); superficial velocities [m/s] above 0, angle of flow above horizontal [rad].

    The holdup is kept between the input share of liquid and 1 uphill, between 0.001 and 1 downhill, where liquid may
    run ahead of gas.
    """
    speed = liquid_velocity + gas_velocity
    share = liquid_velocity / speed
    froude = speed * speed / (STANDARD_GRAVITY * diameter)
    number = liquid_velocity * (liquid_density / (STANDARD_GRAVITY * surface_tension)) ** 0.25
    holdup = 0.0
    segregated, slugs, distributed = pattern_shares(share, froude)
    if segregated > 0.0:
        holdup += segregated * _holdup_in(SEGREGATED, share, froude, number, angle)
    if slugs > 0.0:
        holdup += slugs * _holdup_in(INTERMITTENT, share, froude, number, angle)
    if distributed > 0.0:
        holdup += distributed * _holdup_in(DISTRIBUTED, share, froude, number, angle)
    if payne and angle != 0.0:
        holdup *= PAYNE_UPHILL if angle > 0.0 else PAYNE_DOWNHILL
    least = share if angle >= 0.0 else min(share, 0.001)
    return min(max(holdup, least), 1.0), pattern_of(share, froude)


@kernel
def two_phase_multiplier(share: float, holdup: float) -> float:
    """Friction factor of the mixture over that without slip [-], exp(S) of Beggs and Brill 1973."""
    y = share / (holdup * holdup)
    if y <= 0.0:
        return 1.0
    if 1.0 < y < 1.2:
        return 2.2 * y - 1.2
    ln_y = math.log(y)
    bridge = BEFORE_ONE * _widening(share)
    x = ln_y if ln_y > 0.0 else min(max(ln_y, LEAST_LN_Y), bridge)
    s = x / (-0.0523 + 3.182 * x - 0.8725 * x * x + 0.01853 * x**4)
    if bridge < ln_y <= 0.0:
        s *= ln_y / bridge
    return math.exp(min(s, 7.0))


@kernel
def beggs_brill_1973(
    liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float, liquid_viscosity: float,
    gas_viscosity: float, surface_tension: float, diameter: float, roughness: float, angle: float, payne: bool,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern) of gas and liquid flowing together; both velocities above 0.

    The friction factor without slip is Colebrook's for the pipe's roughness (the paper: smooth pipe).
    """
    holdup, pattern = beggs_brill_1973_holdup(
        liquid_velocity, gas_velocity, liquid_density, surface_tension, diameter, angle, payne
    )
    speed = liquid_velocity + gas_velocity
    share = liquid_velocity / speed
    density = share * liquid_density + (1.0 - share) * gas_density
    viscosity = share * liquid_viscosity + (1.0 - share) * gas_viscosity
    factor = wall_friction(density * speed * diameter / viscosity, roughness / diameter)
    factor *= two_phase_multiplier(share, holdup)
    return holdup, factor * density * speed * speed / (2.0 * diameter), pattern

"""Holdup and wall friction of gas and liquid rising in a vertical pipe: Hagedorn and Brown 1965. Compiled, scalars.

The three charts are used through published fits: liquid-viscosity number after Brown 1977 as printed by Economides,
Hill, Ehlig-Economides and Zhu (Petroleum production systems); holdup over correction, and the correction, after Trina
1986 (Memorial University of Newfoundland), which have no wiggles. Where the gas share is below the limit of Orkiszewski
1967 flow is taken as bubbles by Griffith 1962, and the holdup is never below that without slip: both common practice.
"""

from __future__ import annotations

import math

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.physics.wall_friction import wall_friction

BUBBLE, NOT_BUBBLE = 6, 7
BUBBLE_RISE = 0.8 * 0.3048  # m/s, Griffith 1962
BLEND = 0.2  # of gas share past the bubble limit over which the charts take over (ours: without it holdup jumps)
CHART_END = 1.0e-7
CHART_PRESSURE = 14.7 * 6894.757293168361  # Pa


@kernel
def viscosity_coefficient(number: float) -> float:
    """CNL [-] from the liquid viscosity number NL [-]; held outside the chart (0.002 to 0.4)."""
    x = math.log10(min(max(number, 0.002), 0.4)) + 3.0
    return float(10.0 ** (-2.69851 + 0.15841 * x - 0.55100 * x**2 + 0.54785 * x**3 - 0.12195 * x**4))


@kernel
def holdup_chart(group: float) -> float:
    """Holdup over correction [-] from the correlating group NLV p^0.1 CNL / (NGV^0.575 pa^0.1 ND).

    The chart ends near 2e-6; below that the fit fades out (ours: by itself it would leave 7 % of liquid in dry gas).
    """
    top = 0.0047 + 1123.32 * group + 729489.64 * group * group
    read = math.sqrt(top / (1.0 + 1097.1566 * group + 722153.97 * group * group))
    return read * group / (group + CHART_END)


@kernel
def correction_chart(group: float) -> float:
    """Correction psi [-] from NGV NL^0.38 / ND^2.14; the three pieces of the fit are joined without a jump."""
    b = max(group, 0.0)
    middle = -533.33 * b * b + 58.524 * b + 0.1171
    if b <= 0.025:
        return max(27170.0 * b**3 - 317.52 * b * b + 0.5472 * b + 0.9999, middle, 1.0)
    if b <= 0.0548:
        return middle
    return 1.7226 + 2.5714 * (min(b, 0.09) - 0.0548)


@kernel
def hagedorn_brown_1965_holdup(
    pressure: float, liquid_velocity: float, gas_velocity: float, liquid_density: float, liquid_viscosity: float,
    surface_tension: float, diameter: float,
) -> float:  # fmt: skip
    """Holdup by the charts [-], before bubble flow and the limit without slip are looked at; SI, velocities above 0."""
    scale = (liquid_density / (STANDARD_GRAVITY * surface_tension)) ** 0.25
    n_liquid, n_gas = liquid_velocity * scale, gas_velocity * scale
    n_diameter = diameter * math.sqrt(liquid_density * STANDARD_GRAVITY / surface_tension)
    n_viscosity = liquid_viscosity * (STANDARD_GRAVITY / (liquid_density * surface_tension**3)) ** 0.25
    group = n_liquid / n_gas**0.575 * (pressure / CHART_PRESSURE) ** 0.1
    group *= viscosity_coefficient(n_viscosity) / n_diameter
    return holdup_chart(group) * correction_chart(n_gas * n_viscosity**0.38 / n_diameter**2.14)


@kernel
def bubble_limit(speed: float, diameter: float) -> float:
    """Share of gas below which flow is taken as bubbles [-]: Orkiszewski 1967, at least 0.13."""
    return max(1.071 - 0.2218 * (speed / 0.3048) ** 2 / (diameter / 0.3048), 0.13)


@kernel
def griffith_1962_holdup(speed: float, gas_velocity: float) -> float:
    """Holdup of bubbles that rise at 0.8 ft/s through the liquid [-]: Griffith 1962."""
    ratio = 1.0 + speed / BUBBLE_RISE
    return 1.0 - 0.5 * (ratio - math.sqrt(max(ratio * ratio - 4.0 * gas_velocity / BUBBLE_RISE, 0.0)))


@kernel
def hagedorn_brown_1965(
    pressure: float, liquid_velocity: float, gas_velocity: float, liquid_density: float, gas_density: float,
    liquid_viscosity: float, gas_viscosity: float, surface_tension: float, diameter: float, roughness: float,
) -> tuple[float, float, int]:  # fmt: skip
    """(Holdup [-], friction loss [Pa/m], pattern) of gas and liquid that rise together; both velocities above 0."""
    speed = liquid_velocity + gas_velocity
    share = liquid_velocity / speed
    past = (1.0 - share - bubble_limit(speed, diameter)) / BLEND
    charts = min(max(past, 0.0), 1.0)
    holdup, friction = 0.0, 0.0
    if charts < 1.0:
        bubbles = max(griffith_1962_holdup(speed, gas_velocity), share)
        inside = liquid_velocity / bubbles
        factor = wall_friction(liquid_density * inside * diameter / liquid_viscosity, roughness / diameter)
        holdup = (1.0 - charts) * bubbles
        friction = (1.0 - charts) * factor * liquid_density * inside * inside / (2.0 * diameter)
    if charts > 0.0:
        read = hagedorn_brown_1965_holdup(
            pressure, liquid_velocity, gas_velocity, liquid_density, liquid_viscosity, surface_tension, diameter
        )
        read = min(max(read, share), 1.0)
        density = share * liquid_density + (1.0 - share) * gas_density
        standing = read * liquid_density + (1.0 - read) * gas_density
        viscosity = liquid_viscosity**read * gas_viscosity ** (1.0 - read)
        factor = wall_friction(density * speed * diameter / viscosity, roughness / diameter)
        holdup += charts * read
        friction += charts * factor * density * density * speed * speed / (2.0 * diameter * standing)
    return holdup, friction, NOT_BUBBLE if charts > 0.0 else BUBBLE

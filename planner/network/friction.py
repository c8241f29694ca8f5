"""Pressure loss of a conduit as a function of its flow, with slopes. Compiled scalar functions.

Laminar below a Reynolds number of 2000, Colebrook (1939) solved exactly above 4000, joined by a cubic in between whose
value and slope meet both sides, so that Newton sees no corner.
"""

from __future__ import annotations

from planner.base.compiled import kernel
from planner.physics.wall_friction import LAMINAR_END, TURBULENT_START, colebrook

LEAST_SLOPE = 10.0  # Pa per m3/s: keeps links of no friction well posed; 0.1 Pa at 860 m3/d


@kernel
def friction_factor(reynolds: float, relative_roughness: float, laminar: float) -> tuple[float, float]:
    """Darcy friction factor and its slope to the Reynolds number in every regime; laminar is 64 in a round pipe."""
    if reynolds <= LAMINAR_END:
        return laminar / reynolds, -laminar / (reynolds * reynolds)
    if reynolds >= TURBULENT_START:
        return colebrook(reynolds, relative_roughness)
    low = laminar / LAMINAR_END
    low_slope = -low / LAMINAR_END
    high, high_slope = colebrook(TURBULENT_START, relative_roughness)
    width = TURBULENT_START - LAMINAR_END
    t = (reynolds - LAMINAR_END) / width
    value = (
        ((2 * t - 3) * t * t + 1) * low
        + (3 - 2 * t) * t * t * high
        + (((t - 2) * t + 1) * t * low_slope + (t - 1) * t * t * high_slope) * width
    )
    slope = (6 * t * (t - 1) * (low - high)) / width + ((3 * t - 4) * t + 1) * low_slope + (3 * t - 2) * t * high_slope
    return value, slope


@kernel
def conduit_loss(
    rate: float,
    density: float,
    viscosity: float,
    length: float,
    area: float,
    diameter: float,
    roughness: float,
    laminar: float,
    linear: float,
    quadratic: float,
) -> tuple[float, float, float, float]:
    """(loss Pa, slopes to rate, density, viscosity) of a conduit at a rate (m3/s, either sign).

    length 0: no wall friction. linear in Pa per m3/s at 1 cP, quadratic in Pa per (m3/s)2 at 1000 kg/m3, both scaled
    with the actual viscosity and density.
    """
    lin = linear * viscosity * 1e3
    quad = quadratic * density * 1e-3
    size = abs(rate)
    loss = (LEAST_SLOPE + lin) * rate + quad * rate * size
    slope = LEAST_SLOPE + lin + 2.0 * quad * size
    by_density = quadratic * 1e-3 * rate * size
    by_viscosity = linear * 1e3 * rate
    if length > 0.0:
        velocity = size / area
        reynolds = density * velocity * diameter / viscosity
        if reynolds <= LAMINAR_END:
            wall = 0.5 * laminar * viscosity * length / (diameter * diameter * area)
            loss += wall * rate
            slope += wall
            by_viscosity += wall * rate / viscosity
        else:
            factor, factor_re = friction_factor(reynolds, roughness / diameter, laminar)
            head = 0.5 * density * length / diameter / (area * area)
            sign = 1.0 if rate > 0.0 else -1.0
            loss += sign * factor * head * rate * rate
            slope += head * (2.0 * factor * size + factor_re * reynolds * size)
            by_density += sign * rate * rate * head * (factor + factor_re * reynolds) / density
            by_viscosity += -sign * rate * rate * head * factor_re * reynolds / viscosity
    return loss, slope, by_density, by_viscosity

"""Strength of rock against the stress round a hole: how far the pressure in it may fall before its wall breaks.

Stresses are total, compression positive, in north, east, down.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from planner.physics.arrays import Array, Numbers, doubles

ANGLES = 361  # places round half the wall that are looked at


def mcnally_1987_strength(slowness: Numbers) -> Array:
    """Unconfined strength of sandstone [Pa] from sonic slowness [s/m]: 1200 exp(-0.036 dt) MPa. McNally 1987."""
    per_foot = doubles(slowness) * 0.3048e6
    result: Array = 1200e6 * np.exp(-0.036 * per_foot)
    return result


def vernik_1993_strength(porosity: Numbers) -> Array:
    """Unconfined strength of clean sandstone [Pa] from porosity. Vernik et al. 1993: 254 (1 - 2.7 phi)^2 MPa.

    0 from a porosity of 1/2.7 on, where the form would rise again.
    """
    result: Array = 254e6 * np.maximum(1.0 - 2.7 * doubles(porosity), 0.0) ** 2
    return result


def strength_ratio(friction_angle: float) -> float:
    """Rise of strength with confining stress [-]: (1 + sin f) / (1 - sin f). Mohr-Coulomb."""
    return float((1.0 + np.sin(friction_angle)) / (1.0 - np.sin(friction_angle)))


def poroelastic_factor(poisson: float, biot: float) -> float:
    """Change of horizontal stress over change of pore pressure [-]: biot (1 - 2 nu)/(1 - nu). Fjaer et al. 2008."""
    return biot * (1.0 - 2.0 * poisson) / (1.0 - poisson)


def breakout_pressure(greatest: float, least: float, pore: float, strength: float, friction_angle: float) -> float:
    """Least pressure [Pa] in a vertical hole with a tight wall before it breaks out.

    Horizontal total stresses, pore pressure, unconfined strength [Pa], friction angle [rad]. Closed form for the hoop
    stress largest and the radial stress least: pp + (3 sH' - sh' - UCS)/(1 + q). Kirsch 1898, Mohr-Coulomb; Zoback
    2007, Reservoir geomechanics, chapter 6.
    """
    hoop = 3.0 * (greatest - pore) - (least - pore)
    return pore + (hoop - strength) / (1.0 + strength_ratio(friction_angle))


def willson_2002_pressure(
    greatest: float, least: float, pore: float, strength: float, poisson: float, biot: float
) -> float:
    """Least flowing pressure [Pa] of a cavity with an open wall before it fails, closed form.

    greatest, least: total stresses across the axis of the cavity; pore: far pressure; strength of the wall [Pa].
    (3 s1 - s2 - U)/(2 - A) - p A/(2 - A) with A the poroelastic factor. Willson et al. 2002.
    """
    a = poroelastic_factor(poisson, biot)
    return (3.0 * greatest - least - strength - pore * a) / (2.0 - a)


def stress_tensor(vertical: float, greatest: float, least: float, azimuth: float) -> Array:
    """Total stress [3, 3, Pa] in north, east, down; azimuth [rad] of the greatest horizontal stress from north."""
    along = np.array([np.cos(azimuth), np.sin(azimuth), 0.0])
    across = np.array([-np.sin(azimuth), np.cos(azimuth), 0.0])
    down = np.array([0.0, 0.0, 1.0])
    parts = ((greatest, along), (least, across), (vertical, down))
    result: Array = sum((s * np.outer(v, v) for s, v in parts), np.zeros((3, 3)))
    return result


def across(axis: Array) -> tuple[Array, Array]:
    """Two unit vectors at right angles to an axis [3] and to one another."""
    z = doubles(axis) / np.linalg.norm(axis)
    start = np.array([1.0, 0.0, 0.0]) if abs(z[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    x = start - (start @ z) * z
    x /= np.linalg.norm(x)
    return x, np.cross(z, x)


def excess_at_wall(
    stress: Array, axis: Array, well: float, far: float, wall: float, poisson: float, biot: float, friction_angle: float
) -> float:
    """Greatest value round the wall of s1' - q s3' [Pa]: the wall fails where it passes the unconfined strength.

    stress [3, 3]: total, far from the hole; axis [3] of the hole; pressures [Pa]: in the hole (well), in the rock far
    away, and in the pores just behind the wall: `well` where fluid flows in, `far` where the wall is tight and
    nothing flows. A wall in tension counts as unconfined: that is a fracture, not a breakout. Kirsch 1898 for a hole
    in any direction; poroelastic part of steady flow: Fjaer et al. 2008,
    Petroleum related rock mechanics, chapter 4.
    """
    x, y = across(axis)
    frame = np.stack([x, y, doubles(axis) / np.linalg.norm(axis)])
    s = frame @ stress @ frame.T
    angle = np.linspace(0.0, np.pi, ANGLES)
    two = 2.0 * angle
    flow = poroelastic_factor(poisson, biot) * (wall - far)
    bent = 2.0 * (s[0, 0] - s[1, 1]) * np.cos(two) + 4.0 * s[0, 1] * np.sin(two)
    hoop = s[0, 0] + s[1, 1] - bent - well + flow - wall
    axial = s[2, 2] - poisson * bent + flow - wall
    shear = 2.0 * (-s[0, 2] * np.sin(angle) + s[1, 2] * np.cos(angle))
    radial = well - wall
    half, mean = np.hypot(0.5 * (hoop - axial), shear), 0.5 * (hoop + axial)
    top = np.maximum(mean + half, radial)
    bottom = np.maximum(np.minimum(mean - half, radial), 0.0)
    return float(np.max(top - strength_ratio(friction_angle) * bottom))


def critical_pressure(
    stress: Array, axis: Array, pore: float, strength: float, poisson: float, biot: float, friction_angle: float
) -> float:
    """Least flowing pressure [Pa] in a hole of any direction before its open wall fails; 0 where it never does.

    Above `pore` where the wall does not even stand without drawdown, infinite where no pressure holds it up.
    Arguments as `excess_at_wall`; pore: far away.
    """

    def excess(well: float) -> float:
        return excess_at_wall(stress, axis, well, pore, well, poisson, biot, friction_angle) - strength

    if excess(0.0) <= 0.0:
        return 0.0
    tried = np.linspace(0.0, 2.0 * float(np.linalg.eigvalsh(stress)[-1]), 41)
    stands = next((well for well in tried if excess(float(well)) < 0.0), None)
    return float("inf") if stands is None else float(brentq(excess, 0.0, float(stands), xtol=1.0))


def perforation_pressure(
    stress: Array, axis: Array, pore: float, strength: float, poisson: float, biot: float, friction_angle: float,
    directions: int = 12,
) -> float:  # fmt: skip
    """The same for the worst of perforations all round a hole with this axis."""
    x, y = across(axis)
    turns = np.arange(directions) * np.pi / directions
    return max(
        critical_pressure(stress, np.cos(t) * x + np.sin(t) * y, pore, strength, poisson, biot, friction_angle)
        for t in turns
    )


def depleted_stress(stress: Array, change: float, poisson: float, biot: float) -> Array:
    """Total stress [3, 3, Pa] after the reservoir pressure changed (negative: fell), the rock held sideways.

    Horizontal stresses follow by the poroelastic factor, the vertical one stays (uniaxial strain; Fjaer et al. 2008).
    """
    result: Array = stress + np.diag([1.0, 1.0, 0.0]) * poroelastic_factor(poisson, biot) * change
    return result

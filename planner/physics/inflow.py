"""Inflow of wells: radial, horizontal, with gas coming out, and the transient of the line source.

Productivity is rate at standard conditions over drawdown [m3/s/Pa].
"""

from __future__ import annotations

import numpy as np
from scipy.special import exp1

from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.skin import hawkins_skin as hawkins_skin

_FLOW_CONSTANT = {"steady": 0.0, "pseudo_steady_average": 0.75, "pseudo_steady_edge": 0.5}


def radial_productivity_index(
    kh: Numbers,
    viscosity: Numbers,
    volume_factor: Numbers,
    drainage_radius: Numbers,
    well_radius: Numbers,
    skin: Numbers = 0.0,
    regime: str = "pseudo_steady_average",
) -> Array:
    """Productivity index of a vertical well in the middle of a circle [m3/s/Pa].

    kh [m3], viscosity [Pa s], volume_factor [m3/sm3], radii [m], skin [-]. regime: 'steady' (pressure held at the
    edge), 'pseudo_steady_average' (closed, drawdown from the average pressure), 'pseudo_steady_edge' (closed, drawdown
    from the pressure at the edge). Raises KeyError for another regime, ValueError if skin makes it infinite. Darcy.
    """
    resistance = np.log(doubles(drainage_radius) / well_radius) - _FLOW_CONSTANT[regime] + skin
    if bool(np.any(resistance <= 0.0)):
        raise ValueError("skin is so negative that the well would reach beyond its drainage radius")
    result: Array = 2.0 * np.pi * doubles(kh) / (doubles(viscosity) * volume_factor * resistance)
    return result


def vogel_1968_rate(flowing: Numbers, reservoir: Numbers, maximum_rate: Numbers) -> Array:
    """Rate of a well in oil at or below its bubble point [unit of maximum_rate]; pressures [Pa]. Vogel 1968."""
    r = np.clip(doubles(flowing) / doubles(reservoir), 0.0, 1.0)
    return maximum_rate * (1.0 - 0.2 * r - 0.8 * r**2)


def vogel_composite_rate(
    flowing: Numbers, reservoir: Numbers, bubble_point: Numbers, productivity_index: Numbers
) -> Array:
    """Rate [m3/s]: straight line above the bubble point, Vogel's curve below, same slope where they meet.

    Pressures [Pa]; productivity_index [m3/s/Pa] above the bubble point, or at the reservoir pressure if that is lower.
    """
    corner = np.minimum(doubles(bubble_point), doubles(reservoir))
    straight = productivity_index * (doubles(reservoir) - np.maximum(doubles(flowing), corner))
    below = vogel_1968_rate(np.minimum(doubles(flowing), corner), corner, productivity_index * corner / 1.8)
    return straight + below


def fetkovich_1973_rate(flowing: Numbers, reservoir: Numbers, coefficient: Numbers, exponent: Numbers) -> Array:
    """Rate by the back-pressure equation, coefficient (pr^2 - pwf^2)^exponent; pressures [Pa]. Fetkovich 1973.

    coefficient [rate / Pa^(2 exponent)]; exponent 0.5 (inertia) to 1 (Darcy).
    """
    difference = np.maximum(doubles(reservoir) ** 2 - doubles(flowing) ** 2, 0.0)
    result: Array = coefficient * difference**exponent
    return result


def joshi_1988_productivity_index(
    kh: Numbers,
    viscosity: Numbers,
    volume_factor: Numbers,
    length: Numbers,
    thickness: Numbers,
    drainage_radius: Numbers,
    well_radius: Numbers,
    anisotropy: Numbers = 1.0,
    skin: Numbers = 0.0,
) -> Array:
    """Steady productivity index of a horizontal well midway between top and base [m3/s/Pa].

    kh: horizontal permeability times thickness [m3]; length, thickness, radii [m]; anisotropy: sqrt(kh/kv) [-]; skin
    per unit length of the well, as in a vertical well of that length [-]. Joshi 1988 with the wellbore term for
    anisotropic rock of Economides, Deimbacher, Brand and Heinemann 1991. Meant for length above anisotropy times
    thickness and below 1.8 drainage radii; raises ValueError for half a length beyond 0.9 drainage radii.
    """
    half = 0.5 * doubles(length)
    radius = doubles(drainage_radius)
    if bool(np.any(half > 0.9 * radius)):
        raise ValueError("Joshi's ellipse needs a well shorter than 1.8 drainage radii")
    a = half * np.sqrt(0.5 + np.sqrt(0.25 + (radius / half) ** 4))
    outer = np.log((a + np.sqrt(a**2 - half**2)) / half)
    stretched = doubles(anisotropy) * thickness
    inner = stretched / length * (np.log(stretched / (well_radius * (doubles(anisotropy) + 1.0))) + skin)
    result: Array = 2.0 * np.pi * doubles(kh) / (doubles(viscosity) * volume_factor * (outer + inner))
    return result


def line_source_drawdown(
    rate: Numbers,
    viscosity: Numbers,
    kh: Numbers,
    porosity: Numbers,
    compressibility: Numbers,
    permeability: Numbers,
    radius: Numbers,
    time: Numbers,
) -> Array:
    """Pressure drop at a distance from a well of constant rate in an unbounded layer [Pa].

    rate in place [m3/s], viscosity [Pa s], kh [m3], porosity [-], total compressibility [1/Pa], permeability [m2],
    radius [m], time [s] above 0. Line source, exponential integral: Theis 1935.
    """
    x = doubles(porosity) * viscosity * compressibility * doubles(radius) ** 2 / (4.0 * doubles(permeability) * time)
    return doubles(rate) * viscosity / (4.0 * np.pi * doubles(kh)) * exp1(x)

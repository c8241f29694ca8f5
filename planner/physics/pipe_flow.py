"""Single-phase flow in pipe and annulus: friction factors (Darcy's, four times Fanning's), inflow, erosion."""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.field_units import FOOT, POUND_PER_CUBIC_FOOT
from planner.physics.wall_friction import inflow_share, laminar_inflow_share, turbulent_inflow_share

LAMINAR_END = 2000.0  # Reynolds number up to which laminar flow is taken for granted
TURBULENT_START = 4000.0  # and from which Colebrook's equation holds; blended between
EROSION_CONSTANT = FOOT * POUND_PER_CUBIC_FOOT**0.5  # (m/s)(kg/m3)^0.5 in one (ft/s)(lb/ft3)^0.5


def reynolds_number(density: Numbers, velocity: Numbers, diameter: Numbers, viscosity: Numbers) -> Array:
    """Reynolds number [-]; density [kg/m3], velocity [m/s, either sign], diameter [m], viscosity [Pa s]."""
    result: Array = doubles(density) * np.abs(doubles(velocity)) * diameter / viscosity
    return result


def laminar_friction(reynolds: Numbers) -> Array:
    """Friction factor of laminar pipe flow [-]: 64/Re (Hagen-Poiseuille, exact)."""
    return 64.0 / doubles(reynolds)


def colebrook_friction(reynolds: Numbers, relative_roughness: Numbers) -> Array:
    """Friction factor of turbulent pipe flow [-], Colebrook 1939 solved to rounding by Newton on 1/sqrt(f)."""
    re, rough = np.broadcast_arrays(doubles(reynolds), doubles(relative_roughness))
    x: Array = 1.0 / np.sqrt(haaland_friction(re, rough))
    slope = 2.0 / np.log(10.0) * 2.51 / re
    for _ in range(8):
        inner = rough / 3.7 + 2.51 * x / re
        x = x - (x + 2.0 * np.log10(inner)) / (1.0 + slope / inner)
    result: Array = 1.0 / x**2
    return result


def haaland_friction(reynolds: Numbers, relative_roughness: Numbers) -> Array:
    """Friction factor of turbulent pipe flow [-], explicit: Haaland 1983; within 2 % of Colebrook."""
    x = -1.8 * np.log10((doubles(relative_roughness) / 3.7) ** 1.11 + 6.9 / doubles(reynolds))
    result: Array = 1.0 / x**2
    return result


def churchill_friction(reynolds: Numbers, relative_roughness: Numbers) -> Array:
    """Friction factor of pipe flow at any Reynolds number [-], one smooth expression: Churchill 1977."""
    re = doubles(reynolds)
    a = (2.457 * np.log(1.0 / ((7.0 / re) ** 0.9 + 0.27 * doubles(relative_roughness)))) ** 16
    b = (37530.0 / re) ** 16
    result: Array = 8.0 * ((8.0 / re) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0)
    return result


def _turbulent_share(reynolds: Array) -> Array:
    """Weight of the turbulent law [-]: 0 up to LAMINAR_END, 1 from TURBULENT_START, linear in log Re between."""
    span = np.log(TURBULENT_START / LAMINAR_END)
    share: Array = np.clip(np.log(np.maximum(reynolds, 1.0) / LAMINAR_END) / span, 0.0, 1.0)
    return share


def friction_factor(reynolds: Numbers, relative_roughness: Numbers) -> Array:
    """Friction factor of pipe flow [-]: laminar to Re 2000, Colebrook from 4000, blended without a jump between.

    The blend (log f linear in log Re) is ours: no published law holds in transition. Re = 0 gives inf.
    """
    re = doubles(reynolds)
    share = _turbulent_share(re)
    turbulent = colebrook_friction(np.maximum(re, LAMINAR_END), relative_roughness)
    with np.errstate(divide="ignore"):
        result: Array = laminar_friction(re) ** (1.0 - share) * turbulent**share
    return result


def annulus_laminar_product(diameter_ratio: Numbers) -> Array:
    """f Re of laminar flow in a concentric annulus [-], Re and f on the hydraulic diameter (outer less inner).

    diameter_ratio: inner over outer, 0 to below 1. Exact (Lamb 1932): 64 for a pipe, 96 for a narrow gap.
    """
    k = np.clip(doubles(diameter_ratio), 1e-300, 1.0)
    gap = 1.0 - k
    wide = np.where(gap > 1e-4, k, 0.5)
    exact = 64.0 * (1.0 - wide) ** 2 / (1.0 + wide**2 + (1.0 - wide**2) / np.log(wide))
    return np.where(gap > 1e-4, exact, 96.0)


def annulus_friction(reynolds: Numbers, relative_roughness: Numbers, diameter_ratio: Numbers) -> Array:
    """Friction factor of flow in a concentric annulus [-], Re and roughness on the hydraulic diameter.

    Exact when laminar; otherwise the pipe's law at the laminar-equivalent Reynolds number (Jones and Leung 1981).
    """
    return friction_factor(doubles(reynolds) * 64.0 / annulus_laminar_product(diameter_ratio), relative_roughness)


def friction_gradient(friction: Numbers, density: Numbers, velocity: Numbers, diameter: Numbers) -> Array:
    """Pressure lost per length to wall friction [Pa/m], signed like the velocity (Darcy-Weisbach)."""
    v = doubles(velocity)
    result: Array = doubles(friction) * density * v * np.abs(v) / (2.0 * doubles(diameter))
    return result


# ---- flow through the wall: Ouyang, Arbabi and Aziz 1998 ---------------------------------------------------------


def inflow_reynolds(density: Numbers, inflow_per_length: Numbers, viscosity: Numbers) -> Array:
    """Wall Reynolds number [-]: density q / (pi viscosity); q [m2/s] above 0 into the pipe, below 0 out of it."""
    return doubles(density) * inflow_per_length / (np.pi * doubles(viscosity))


def laminar_inflow_multiplier(wall_reynolds: Numbers) -> Array:
    """Friction with inflow over friction without, laminar flow [-]: inflow raises it, outflow lowers it.

    Ouyang, Arbabi and Aziz 1998. Two departures, both from the exact similarity solution of flow in a porous pipe
    (Yuan and Finkelstein 1956): inflow is capped at its limit, pi^2/8; and in outflow the factor
    (4.626 + wall_reynolds)^0.2724 divides (with the sign of the exponent often seen in print the result departs from
    that solution by up to a factor). Laminar outflow ends at a wall Reynolds number of -4.6; held from -4.5 on.
    """
    result: Array = np.vectorize(laminar_inflow_share, otypes=[float])(doubles(wall_reynolds))
    return result


def turbulent_inflow_multiplier(wall_reynolds: Numbers, reynolds: Numbers, perforated: bool = False) -> Array:
    """Friction with inflow over friction without, turbulent flow [-]: inflow lowers it, outflow raises it.

    perforated: inflow through perforations instead of an open or screened wall. Ouyang, Arbabi and Aziz 1998. Held
    between 0.1 and 10 (the fits pass through 0 when inflow exceeds about 1.5 % of the flow).
    """
    one_by_one = np.vectorize(turbulent_inflow_share, otypes=[float])
    result: Array = one_by_one(doubles(wall_reynolds), doubles(reynolds), perforated)
    return result


def inflow_multiplier(wall_reynolds: Numbers, reynolds: Numbers, perforated: bool = False) -> Array:
    """Friction with inflow over friction without, at any Reynolds number [-], blended like friction_factor."""
    one_by_one = np.vectorize(inflow_share, otypes=[float])
    result: Array = one_by_one(doubles(wall_reynolds), doubles(reynolds), perforated)
    return result


def erosional_velocity(mixture_density: Numbers, constant: Numbers) -> Array:
    """Velocity above which erosion is to be looked at [m/s]: constant / sqrt(density), form of API RP 14E.

    mixture_density [kg/m3]; constant [(m/s)(kg/m3)^0.5], an input of the user: the usual 100 in ft, lb units is
    100 EROSION_CONSTANT = 122. A screening form without sand, material or geometry in it.
    """
    result: Array = doubles(constant) / np.sqrt(doubles(mixture_density))
    return result

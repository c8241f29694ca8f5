"""Natural gas: pseudo-critical point, deviation factor, density, viscosity, formation volume factor."""

from __future__ import annotations

import numpy as np

from planner.base.constants import AIR_MOLAR_MASS, GAS_CONSTANT, STANDARD_PRESSURE, STANDARD_TEMPERATURE
from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.field_units import PSI, RANKINE, rankine

# Dranchuk and Abou-Kassem 1975, table of A1 to A11
_DAK = (0.3265, -1.0700, -0.5339, 0.01569, -0.05165, 0.5475, -0.7361, 0.1844, 0.1056, 0.6134, 0.7210)


def pseudo_critical(gravity: float, co2: float = 0.0, h2s: float = 0.0, n2: float = 0.0) -> tuple[float, float]:
    """Pseudo-critical temperature [K] and pressure [Pa] of a natural gas.

    gravity: of the whole gas, air = 1; co2, h2s, n2: mole fractions. Fit of Sutton 1985 for the hydrocarbon part,
    mole-weighted critical points of the impurities (Standing 1977), sour-gas correction of Wichert and Aziz 1972.
    Raises ValueError for mole fractions below 0 or adding up to 1 or more.
    """
    impurity = co2 + h2s + n2
    if min(co2, h2s, n2) < 0.0 or impurity >= 1.0:
        raise ValueError(f"mole fractions must be at least 0 and add up to less than 1: {co2=}, {h2s=}, {n2=}")
    share = 1.0 - impurity
    hydrocarbon = (gravity - 1.1767 * h2s - 1.5196 * co2 - 0.9672 * n2) / share
    t_pc = share * (169.2 + 349.5 * hydrocarbon - 74.0 * hydrocarbon**2)
    p_pc = share * (756.8 - 131.0 * hydrocarbon - 3.6 * hydrocarbon**2)
    t_pc += 672.35 * h2s + 547.58 * co2 + 227.16 * n2
    p_pc += 1306.0 * h2s + 1071.0 * co2 + 493.1 * n2
    acid = co2 + h2s
    shift = 120.0 * (acid**0.9 - acid**1.6) + 15.0 * (h2s**0.5 - h2s**4)
    p_sour = p_pc * (t_pc - shift) / (t_pc + h2s * (1.0 - h2s) * shift)
    return (t_pc - shift) * RANKINE, p_sour * PSI


def _dak_z(r: Array, t: Array) -> tuple[Array, Array]:
    """Deviation factor and its derivative by reduced density r = 0.27 ppr / (z Tpr), at reduced temperature t."""
    a = _DAK
    c1 = a[0] + a[1] / t + a[2] / t**3 + a[3] / t**4 + a[4] / t**5
    c2 = a[5] + a[6] / t + a[7] / t**2
    c3 = a[8] * (a[6] / t + a[7] / t**2)
    decay = np.exp(-a[10] * r**2)
    tail = a[9] * (1.0 + a[10] * r**2) * r**2 / t**3 * decay
    z = 1.0 + c1 * r + c2 * r**2 - c3 * r**5 + tail
    slope_tail = 2.0 * a[9] * r / t**3 * decay * (1.0 + a[10] * r**2 - (a[10] * r**2) ** 2)
    return z, c1 + 2.0 * c2 * r - 5.0 * c3 * r**4 + slope_tail


def _reduced_density(p_r: Array, t_r: Array) -> Array:
    """Reduced density at reduced pressure and temperature: Newton, held between brackets that close at each step."""
    low = np.zeros_like(p_r)
    high = np.full_like(p_r, 3.5)
    r = np.clip(0.27 * p_r / t_r, 0.0, 2.0)
    for _ in range(80):
        z, slope = _dak_z(r, t_r)
        excess = z * r * t_r / 0.27 - p_r
        low = np.where(excess < 0.0, r, low)
        high = np.where(excess >= 0.0, r, high)
        rise = t_r / 0.27 * (z + r * slope)
        trial = r - excess / np.where(rise > 0.0, rise, np.inf)
        inside = (trial >= low) & (trial <= high) & (rise > 0.0)
        moved = np.where(inside, trial, 0.5 * (low + high))
        done = np.abs(moved - r) <= 1e-14 + 1e-13 * r
        r = moved
        if bool(np.all(done)):
            break
    return r


def z_factor(p: Numbers, T: Numbers, Tpc: float, Ppc: float) -> Array:
    """Gas deviation factor z [-].

    p: pressure [Pa], T: temperature [K], any shapes that broadcast; Tpc [K], Ppc [Pa]: pseudo-critical point.
    Dranchuk and Abou-Kassem 1975, solved for the reduced density. Below the critical temperature more than one root
    may exist; the one found may be the liquid's.
    """
    p_r, t_r = np.broadcast_arrays(doubles(p) / Ppc, doubles(T) / Tpc)
    z, _ = _dak_z(_reduced_density(p_r, t_r), t_r)
    return z


def gas_compressibility(p: Numbers, T: Numbers, Tpc: float, Ppc: float) -> Array:
    """Isothermal compressibility of gas [1/Pa], 1/p - (dz/dp)/z, from the same equation as z_factor."""
    p_r, t_r = np.broadcast_arrays(doubles(p) / Ppc, doubles(T) / Tpc)
    r = _reduced_density(p_r, t_r)
    z, slope = _dak_z(r, t_r)
    return z / (z + r * slope) / doubles(p)


def gas_density(p: Numbers, T: Numbers, z: Numbers, gravity: float) -> Array:
    """Gas density [kg/m3] by the real-gas law; p [Pa], T [K], z [-], gravity (air = 1)."""
    molar_mass = gravity * AIR_MOLAR_MASS
    return doubles(p) * molar_mass / (doubles(z) * GAS_CONSTANT * doubles(T))


def gas_viscosity(density: Numbers, T: Numbers, gravity: float) -> Array:
    """Gas viscosity [Pa s]; density [kg/m3], T [K], gravity (air = 1).

    Lee, Gonzalez and Eakin 1966, with the unrounded constants (as in McCain 1990): against methane these halve the
    error of the rounded ones at high pressure. No allowance for CO2, H2S or N2.
    """
    t = rankine(T)
    m = gravity * AIR_MOLAR_MASS * 1000.0
    k = (9.379 + 0.01607 * m) * t**1.5 / (209.2 + 19.26 * m + t)
    x = 3.448 + 986.4 / t + 0.01009 * m
    y = 2.447 - 0.2224 * x
    grams_per_cc = doubles(density) / 1000.0
    result: Array = k * np.exp(x * grams_per_cc**y) * 1.0e-7
    return result


def gas_bg(
    p: Numbers, T: Numbers, z: Numbers, p_sc: float = STANDARD_PRESSURE, T_sc: float = STANDARD_TEMPERATURE
) -> Array:
    """Gas formation volume factor [m3 in place per m3 at standard conditions], with z = 1 at p_sc [Pa], T_sc [K]."""
    return p_sc * doubles(z) * doubles(T) / (doubles(p) * T_sc)

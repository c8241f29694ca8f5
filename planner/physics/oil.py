"""Crude oil: bubble point, dissolved gas, volume factor, compressibility and viscosity by published correlations.

Arguments common to all: oil_gravity is the specific gravity of stock-tank oil (water = 1, 60 degF/60 degF),
gas_gravity that of the separator gas (air = 1), solution gas ratios are sm3/sm3, pressures Pa absolute,
temperatures K. Each is a fit to one set of laboratory reports; see the card of the same name for its range.
"""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.field_units import CENTIPOISE, PSI, SCF_PER_STB, fahrenheit, rankine


def specific_gravity_from_api(api: Numbers) -> Array:
    """Specific gravity of oil from its API gravity [degrees API]. Definition of the American Petroleum Institute."""
    return 141.5 / (131.5 + doubles(api))


def api_from_specific_gravity(oil_gravity: Numbers) -> Array:
    """API gravity [degrees API] from specific gravity."""
    return 141.5 / doubles(oil_gravity) - 131.5


# ---- Standing 1947 ---------------------------------------------------------------------------------------------


def standing_1947_bubble_point(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Bubble-point pressure [Pa]. Standing 1947, in the equation form of Standing 1977."""
    a = 0.00091 * fahrenheit(T) - 0.0125 * api_from_specific_gravity(oil_gravity)
    psia = 18.2 * ((doubles(rs) / SCF_PER_STB / gas_gravity) ** 0.83 * 10.0**a - 1.4)
    return np.maximum(psia, 0.0) * PSI


def standing_1947_rs(p: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Gas dissolved at or below the bubble point [sm3/sm3]; the exact inverse of the bubble point above."""
    a = 0.00091 * fahrenheit(T) - 0.0125 * api_from_specific_gravity(oil_gravity)
    scf = gas_gravity * ((doubles(p) / PSI / 18.2 + 1.4) * 10.0**-a) ** (1.0 / 0.83)
    return scf * SCF_PER_STB


def standing_1947_bo(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Saturated oil formation volume factor [m3/sm3]. Standing 1947."""
    x = doubles(rs) / SCF_PER_STB * np.sqrt(gas_gravity / doubles(oil_gravity)) + 1.25 * fahrenheit(T)
    return 0.9759 + 0.00012 * x**1.2


# ---- Vasquez and Beggs 1980 ------------------------------------------------------------------------------------


# C1, C2, C3 of dissolved gas: up to 30 degAPI, above it
_VASQUEZ_BEGGS_GAS = ((0.0362, 1.0937, 25.7240), (0.0178, 1.1870, 23.931))


def _vasquez_beggs_row(api: Array, heavy: tuple[float, float, float], light: tuple[float, float, float]) -> list[Array]:
    return [np.where(api <= 30.0, h, w) for h, w in zip(heavy, light, strict=True)]


def vasquez_beggs_gas_gravity(gas_gravity: Numbers, oil_gravity: Numbers, p_sep: Numbers, T_sep: Numbers) -> Array:
    """Gas gravity as if separated at 100 psig (114.7 psia), from that at p_sep [Pa], T_sep [K]. Vasquez, Beggs 1980."""
    api = api_from_specific_gravity(oil_gravity)
    return gas_gravity * (1.0 + 5.912e-5 * api * fahrenheit(T_sep) * np.log10(doubles(p_sep) / PSI / 114.7))


def vasquez_beggs_1980_rs(p: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Gas dissolved at or below the bubble point [sm3/sm3]; gas_gravity at 100 psig separation. Vasquez, Beggs 1980."""
    api = api_from_specific_gravity(oil_gravity)
    c1, c2, c3 = _vasquez_beggs_row(api, *_VASQUEZ_BEGGS_GAS)
    scf = c1 * gas_gravity * (doubles(p) / PSI) ** c2 * np.exp(c3 * api / (fahrenheit(T) + 460.0))
    return scf * SCF_PER_STB


def vasquez_beggs_1980_bubble_point(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Bubble-point pressure [Pa]; the exact inverse of vasquez_beggs_1980_rs."""
    api = api_from_specific_gravity(oil_gravity)
    c1, c2, c3 = _vasquez_beggs_row(api, *_VASQUEZ_BEGGS_GAS)
    per_gas = doubles(rs) / SCF_PER_STB / (c1 * gas_gravity * np.exp(c3 * api / (fahrenheit(T) + 460.0)))
    result: Array = per_gas ** (1.0 / c2) * PSI
    return result


def vasquez_beggs_1980_bo(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Saturated oil formation volume factor [m3/sm3]; gas_gravity at 100 psig separation. Vasquez, Beggs 1980."""
    api = api_from_specific_gravity(oil_gravity)
    heavy, light = (4.677e-4, 1.751e-5, -1.811e-8), (4.670e-4, 1.100e-5, 1.337e-9)
    c1, c2, c3 = _vasquez_beggs_row(api, heavy, light)
    scf = doubles(rs) / SCF_PER_STB
    warm = (fahrenheit(T) - 60.0) * api / gas_gravity
    return 1.0 + c1 * scf + (c2 + c3 * scf) * warm


def _vasquez_beggs_elasticity(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Compressibility times pressure [-], constant for one undersaturated oil; never below 0."""
    api = api_from_specific_gravity(oil_gravity)
    scf = doubles(rs) / SCF_PER_STB
    value = (-1433.0 + 5.0 * scf + 17.2 * fahrenheit(T) - 1180.0 * gas_gravity + 12.61 * api) / 1.0e5
    return np.maximum(value, 0.0)


def vasquez_beggs_1980_compressibility(
    p: Numbers, rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers
) -> Array:
    """Compressibility of undersaturated oil [1/Pa] at p, with rs dissolved at its bubble point. Vasquez, Beggs 1980."""
    return _vasquez_beggs_elasticity(rs, T, oil_gravity, gas_gravity) / doubles(p)


def undersaturated_bo(
    p: Numbers, bubble_point: Numbers, bo_bubble: Numbers, rs: Numbers, T: Numbers, oil_gravity: Numbers,
    gas_gravity: Numbers,
) -> Array:  # fmt: skip
    """Oil formation volume factor above the bubble point [m3/sm3]: that compressibility integrated from it to p.

    With c = A/p the integral is exact: bo = bo_bubble (bubble_point/p)^A. Below the bubble point bo_bubble comes back.
    """
    a = _vasquez_beggs_elasticity(rs, T, oil_gravity, gas_gravity)
    ratio = np.minimum(doubles(bubble_point) / doubles(p), 1.0)
    result: Array = bo_bubble * ratio**a
    return result


# ---- Glaso 1980 ------------------------------------------------------------------------------------------------


def glaso_1980_bubble_point(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Bubble-point pressure of black oil [Pa]. Glaso 1980 (exponent of temperature 0.172)."""
    api = api_from_specific_gravity(oil_gravity)
    x = np.log10((doubles(rs) / SCF_PER_STB / gas_gravity) ** 0.816 * fahrenheit(T) ** 0.172 / api**0.989)
    result: Array = 10.0 ** (1.7669 + 1.7447 * x - 0.30218 * x**2) * PSI
    return result


def glaso_1980_rs(p: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Gas dissolved at or below the bubble point [sm3/sm3]; the exact inverse of glaso_1980_bubble_point.

    The published parabola ends at about 19 300 psia; pressures above that are taken as its top.
    """
    api = api_from_specific_gravity(oil_gravity)
    inside = 1.7447**2 - 4.0 * 0.30218 * (np.log10(doubles(p) / PSI) - 1.7669)
    x = (1.7447 - np.sqrt(np.maximum(inside, 0.0))) / (2.0 * 0.30218)
    scf = gas_gravity * (10.0**x * api**0.989 / fahrenheit(T) ** 0.172) ** (1.0 / 0.816)
    return scf * SCF_PER_STB


def glaso_1980_bo(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Saturated oil formation volume factor [m3/sm3]. Glaso 1980."""
    mixed = doubles(rs) / SCF_PER_STB * (gas_gravity / doubles(oil_gravity)) ** 0.526 + 0.968 * fahrenheit(T)
    x = np.log10(mixed)
    return 1.0 + 10.0 ** (-6.58511 + 2.91329 * x - 0.27683 * x**2)


# ---- Al-Marhoun 1988 -------------------------------------------------------------------------------------------


def al_marhoun_1988_bubble_point(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Bubble-point pressure [Pa]. Al-Marhoun 1988."""
    scf = doubles(rs) / SCF_PER_STB
    weight = doubles(gas_gravity) ** -1.87784 * doubles(oil_gravity) ** 3.1437
    result: Array = 5.38088e-3 * scf**0.715082 * weight * rankine(T) ** 1.32657 * PSI
    return result


def al_marhoun_1988_rs(p: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Gas dissolved at or below the bubble point [sm3/sm3]; the exact inverse of al_marhoun_1988_bubble_point."""
    weight = doubles(gas_gravity) ** -1.87784 * doubles(oil_gravity) ** 3.1437
    scf = (doubles(p) / PSI / (5.38088e-3 * weight * rankine(T) ** 1.32657)) ** (1.0 / 0.715082)
    return scf * SCF_PER_STB


def al_marhoun_1988_bo(rs: Numbers, T: Numbers, oil_gravity: Numbers, gas_gravity: Numbers) -> Array:
    """Saturated oil formation volume factor [m3/sm3]. Al-Marhoun 1988."""
    scf = doubles(rs) / SCF_PER_STB
    f = scf**0.742390 * doubles(gas_gravity) ** 0.323294 * doubles(oil_gravity) ** -1.202040
    return 0.497069 + 0.862963e-3 * rankine(T) + 0.182594e-2 * f + 0.318099e-5 * f**2


# ---- viscosity -------------------------------------------------------------------------------------------------


def beggs_robinson_1975_dead_viscosity(T: Numbers, oil_gravity: Numbers) -> Array:
    """Viscosity of gas-free oil [Pa s]. Beggs and Robinson 1975. Rises far too fast in cold oil, below about 294 K."""
    y = 10.0 ** (3.0324 - 0.02023 * api_from_specific_gravity(oil_gravity))
    return (10.0 ** (y * fahrenheit(T) ** -1.163) - 1.0) * CENTIPOISE


def beggs_robinson_1975_saturated_viscosity(dead_viscosity: Numbers, rs: Numbers) -> Array:
    """Viscosity of oil with rs dissolved [Pa s], from that of the gas-free oil [Pa s]. Beggs and Robinson 1975."""
    scf = doubles(rs) / SCF_PER_STB
    a = 10.715 * (scf + 100.0) ** -0.515
    b = 5.44 * (scf + 150.0) ** -0.338
    return a * (doubles(dead_viscosity) / CENTIPOISE) ** b * CENTIPOISE


def glaso_1980_dead_viscosity(T: Numbers, oil_gravity: Numbers) -> Array:
    """Viscosity of gas-free oil [Pa s]. Glaso 1980."""
    t = fahrenheit(T)
    exponent = 10.313 * np.log10(t) - 36.447
    result: Array = 3.141e10 * t**-3.444 * np.log10(api_from_specific_gravity(oil_gravity)) ** exponent * CENTIPOISE
    return result


def vasquez_beggs_1980_undersaturated_viscosity(p: Numbers, bubble_point: Numbers, viscosity_bubble: Numbers) -> Array:
    """Viscosity of oil above its bubble point [Pa s]; below it, viscosity_bubble comes back. Vasquez, Beggs 1980."""
    psia = doubles(p) / PSI
    m = 2.6 * psia**1.187 * np.exp(-11.513 - 8.98e-5 * psia)
    result: Array = viscosity_bubble * np.maximum(doubles(p) / doubles(bubble_point), 1.0) ** m
    return result

"""Water influx from an aquifer: exact (van Everdingen and Hurst), Carter-Tracy, Fetkovich.

Dimensionless time is k t / (porosity viscosity total-compressibility ro^2), ro the radius of the reservoir.
"""

from __future__ import annotations

import numpy as np
from scipy.special import ive, kve

from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.laplace import Complex, invert_laplace


def dimensionless_time(
    time: Numbers, permeability: Numbers, porosity: Numbers, viscosity: Numbers, compressibility: Numbers, ro: Numbers
) -> Array:
    """Dimensionless time [-]; time [s], permeability [m2], viscosity [Pa s], total compressibility [1/Pa], ro [m]."""
    result: Array = doubles(time) * permeability / (doubles(porosity) * viscosity * compressibility * doubles(ro) ** 2)
    return result


def _pressure_transform(s: Complex, radius_ratio: float) -> Complex:
    """Laplace transform of dimensionless pressure at ro for unit influx (van Everdingen and Hurst 1949)."""
    root = np.sqrt(s)
    if np.isinf(radius_ratio):
        return np.asarray(kve(0, root) / (s * root * kve(1, root)))
    far = root * radius_ratio
    # kve and ive are scaled by exp(x) and exp(-Re x); exp(Re far - root) is taken out of top and base
    fade = np.exp(root - far + root.real - far.real)
    top = kve(1, far) * ive(0, root) * fade + ive(1, far) * kve(0, root)
    base = ive(1, far) * kve(1, root) - kve(1, far) * ive(1, root) * fade
    return np.asarray(top / (s * root * base))


def pressure_function(t_d: Numbers, radius_ratio: float = np.inf) -> Array:
    """Dimensionless pressure drop at the boundary for unit influx, pD(tD) [-], exact.

    radius_ratio: outer radius of the closed aquifer over ro, inf for an unbounded one. van Everdingen and Hurst 1949,
    constant terminal rate, inverted from the Laplace domain.
    """
    return invert_laplace(lambda s: _pressure_transform(s, radius_ratio), t_d)


def influx_function(t_d: Numbers, radius_ratio: float = np.inf) -> Array:
    """Dimensionless cumulative influx for unit pressure drop, QD(tD) [-], exact.

    van Everdingen and Hurst 1949, constant terminal pressure, by their relation pD(s) QD(s) = 1/s^3.
    """
    return invert_laplace(lambda s: np.asarray(1.0 / (s**3 * _pressure_transform(s, radius_ratio))), t_d)


# Edwardson et al 1962, unbounded aquifer: coefficients of tD^(1/2), tD, tD^(3/2) over those of 1, tD^(1/2), tD
_TOP = (370.529, 137.582, 5.69549)
_BASE = (328.834, 265.488, 45.2157)


def edwardson_1962_pressure(t_d: Numbers) -> tuple[Array, Array]:
    """Dimensionless pressure of an unbounded aquifer and its derivative by dimensionless time [-].

    Fit of Edwardson, Girner, Parkison, Williams and Matthews 1962 up to tD = 200, (ln tD + 0.80907)/2 with its first
    correction beyond; the derivative is that of the same expressions.
    """
    t = doubles(t_d)
    x = np.sqrt(np.minimum(t, 200.0))
    top = _TOP[0] * x + _TOP[1] * x**2 + _TOP[2] * x**3
    base = _BASE[0] + _BASE[1] * x + _BASE[2] * x**2 + x**3
    d_top = _TOP[0] + 2.0 * _TOP[1] * x + 3.0 * _TOP[2] * x**2
    d_base = _BASE[1] + 2.0 * _BASE[2] * x + 3.0 * x**2
    late = np.maximum(t, 200.0)
    log = np.log(late) + 0.80907
    p_late = 0.5 * (log + (log + 1.0) / (2.0 * late))
    d_late = 0.5 / late + 0.25 * (1.0 - (log + 1.0)) / late**2
    early = t <= 200.0
    slope = (d_top * base - top * d_base) / base**2 / (2.0 * np.where(x > 0.0, x, np.inf))
    return np.where(early, top / base, p_late), np.where(early, slope, d_late)


def carter_tracy_constant(
    porosity: Numbers, compressibility: Numbers, thickness: Numbers, ro: Numbers, angle_fraction: Numbers = 1.0
) -> Array:
    """Influx per unit of dimensionless influx and pressure [m3/Pa]: 2 pi f porosity ct h ro^2.

    angle_fraction: part of the full circle that is open to the aquifer.
    """
    return 2.0 * np.pi * doubles(angle_fraction) * porosity * compressibility * thickness * doubles(ro) ** 2


def carter_tracy_1960_step(
    influx: Numbers, t_d: Numbers, t_d_next: Numbers, pressure_drop: Numbers, constant: Numbers, p_d: Numbers,
    p_d_slope: Numbers,
) -> Array:  # fmt: skip
    """Cumulative influx at the end of a time step [m3]. Carter and Tracy 1960.

    influx: at its start [m3]; t_d, t_d_next: dimensionless times of start and end; pressure_drop: initial less
    boundary pressure at the end [Pa]; constant [m3/Pa]; p_d, p_d_slope: pD and its derivative at t_d_next.
    """
    rate = (constant * doubles(pressure_drop) - influx * doubles(p_d_slope)) / (p_d - doubles(t_d) * p_d_slope)
    return doubles(influx) + rate * (doubles(t_d_next) - t_d)


# ---- Fetkovich 1971 --------------------------------------------------------------------------------------------


def encroachable_water(pore_volume: Numbers, compressibility: Numbers, initial_pressure: Numbers) -> Array:
    """Water that the aquifer would give if drawn down to zero pressure [m3]: ct W pi. Fetkovich 1971."""
    return doubles(pore_volume) * compressibility * initial_pressure


def radial_aquifer_index(
    kh: Numbers, viscosity: Numbers, radius_ratio: Numbers, angle_fraction: Numbers = 1.0, regime: str = "closed"
) -> Array:
    """Productivity index of a radial aquifer [m3/s/Pa]; kh [m3], viscosity [Pa s].

    regime: 'closed' (pseudo-steady, from its average pressure, exact for any radius_ratio above 1; Fetkovich's
    ln r - 3/4 is its limit for a large one) or 'steady' (pressure held at the outer edge). Raises KeyError otherwise.
    """
    r = doubles(radius_ratio)
    closed = r**4 * np.log(r) / (r**2 - 1.0) ** 2 - (3.0 * r**2 - 1.0) / (4.0 * (r**2 - 1.0))
    resistance = {"closed": closed, "steady": np.log(r)}[regime]
    return 2.0 * np.pi * doubles(angle_fraction) * kh / (viscosity * resistance)


def linear_aquifer_index(
    permeability: Numbers, area: Numbers, viscosity: Numbers, length: Numbers, regime: str = "closed"
) -> Array:
    """Productivity index of a linear aquifer [m3/s/Pa]; permeability [m2], area [m2], viscosity [Pa s], length [m].

    regime: 'closed' (3 k A / mu L) or 'steady' (k A / mu L). Raises KeyError otherwise. Fetkovich 1971.
    """
    factor = {"closed": 3.0, "steady": 1.0}[regime]
    result: Array = factor * doubles(permeability) * area / (doubles(viscosity) * length)
    return result


def fetkovich_1971_step(
    influx: Numbers, boundary_pressure: Numbers, duration: Numbers, initial_pressure: Numbers, encroachable: Numbers,
    index: Numbers,
) -> Array:  # fmt: skip
    """Cumulative influx at the end of a time step [m3], exact for a boundary pressure that is constant in it.

    influx at its start [m3], pressures [Pa], duration [s], encroachable water [m3], index [m3/s/Pa]. Fetkovich 1971.
    """
    average = initial_pressure * (1.0 - doubles(influx) / encroachable)
    share = -np.expm1(-index * doubles(initial_pressure) * duration / encroachable)
    gained: Array = encroachable / doubles(initial_pressure) * (average - boundary_pressure) * share
    return influx + gained

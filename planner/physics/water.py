"""Water and brine: density, viscosity, compressibility, formation volume factor.

Pure water follows the IAPWS industrial formulation (region 1, liquid) and the IAPWS viscosity equation; salt enters
as McCain's (1990) brine-to-water ratios. Dissolved gas is neglected: it lowers density by a few parts per thousand
and raises the compressibility of gas-saturated brine by some 10 to 20 %.
"""

from __future__ import annotations

import numpy as np

from planner.base.constants import STANDARD_PRESSURE, STANDARD_TEMPERATURE
from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.field_units import fahrenheit

_R = 461.526  # J/(kg K), IAPWS-IF97
_P_STAR, _T_STAR = 16.53e6, 1386.0

# IAPWS-IF97 (release of 2007), table 2: I, J, n
_REGION_1 = (
    (0, -2, 0.14632971213167), (0, -1, -0.84548187169114), (0, 0, -0.37563603672040e1),
    (0, 1, 0.33855169168385e1), (0, 2, -0.95791963387872), (0, 3, 0.15772038513228),
    (0, 4, -0.16616417199501e-1), (0, 5, 0.81214629983568e-3), (1, -9, 0.28319080123804e-3),
    (1, -7, -0.60706301565874e-3), (1, -1, -0.18990068218419e-1), (1, 0, -0.32529748770505e-1),
    (1, 1, -0.21841717175414e-1), (1, 3, -0.52838357969930e-4), (2, -3, -0.47184321073267e-3),
    (2, 0, -0.30001780793026e-3), (2, 1, 0.47661393906987e-4), (2, 3, -0.44141845330846e-5),
    (2, 17, -0.72694996297594e-15), (3, -4, -0.31679644845054e-4), (3, 0, -0.28270797985312e-5),
    (3, 6, -0.85205128120103e-9), (4, -5, -0.22425281908000e-5), (4, -2, -0.65171222895601e-6),
    (4, 10, -0.14341729937924e-12), (5, -8, -0.40516996860117e-6), (8, -11, -0.12734301741641e-8),
    (8, -6, -0.17424871230634e-9), (21, -29, -0.68762131295531e-18), (23, -31, 0.14478307828521e-19),
    (29, -38, 0.26335781662795e-22), (30, -39, -0.11947622640071e-22), (31, -40, 0.18228094581404e-23),
    (32, -41, -0.93537087292458e-25),
)  # fmt: skip

# IAPWS viscosity (release of 2008), tables 1 and 2
_H0 = (1.67752, 2.20462, 0.6366564, -0.241605)
_H1 = (
    (0, 0, 5.20094e-1), (1, 0, 8.50895e-2), (2, 0, -1.08374), (3, 0, -2.89555e-1), (0, 1, 2.22531e-1),
    (1, 1, 9.99115e-1), (2, 1, 1.88797), (3, 1, 1.26613), (5, 1, 1.20573e-1), (0, 2, -2.81378e-1),
    (1, 2, -9.06851e-1), (2, 2, -7.72479e-1), (3, 2, -4.89837e-1), (4, 2, -2.57040e-1), (0, 3, 1.61913e-1),
    (1, 3, 2.57399e-1), (0, 4, -3.25372e-2), (3, 4, 6.98452e-2), (4, 5, 8.72102e-3), (3, 6, -4.35673e-3),
    (5, 6, -5.93264e-4),
)  # fmt: skip


def _region_1(p: Numbers, T: Numbers) -> tuple[Array, Array]:
    """First and second derivative of the reduced Gibbs energy by reduced pressure (IAPWS-IF97, table 4)."""
    x, y = np.broadcast_arrays(7.1 - doubles(p) / _P_STAR, _T_STAR / doubles(T) - 1.222)
    first, second = np.zeros(x.shape), np.zeros(x.shape)
    for i, j, n in _REGION_1:
        term = n * y**j
        if i >= 1:
            first = first - i * term * x ** (i - 1)
        if i >= 2:
            second = second + i * (i - 1) * term * x ** (i - 2)
    return first, second


def brine_density_ratio(salinity: Numbers) -> Array:
    """Density of brine over that of pure water at standard conditions [-].

    salinity: mass fraction of dissolved solids, 0 to 0.26. McCain 1990.
    """
    percent = doubles(salinity) * 100.0
    return (62.368 + 0.438603 * percent + 1.60074e-3 * percent**2) / 62.368


def brine_viscosity_ratio(T: Numbers, salinity: Numbers) -> Array:
    """Viscosity of brine over that of pure water at one atmosphere [-]; T [K], salinity mass fraction. McCain 1990."""
    s = doubles(salinity) * 100.0
    t = fahrenheit(T)
    a = 109.574 - 8.40564 * s + 0.313314 * s**2 + 8.72213e-3 * s**3
    b = 2.63951e-2 * s - 6.79461e-4 * s**2 - 5.47119e-5 * s**3 + 1.55586e-6 * s**4
    result: Array = a / 109.574 * t**b
    return result


def water_density(p: Numbers, T: Numbers, salinity: Numbers = 0.0) -> Array:
    """Density of water or brine [kg/m3]; p [Pa], T [K], salinity mass fraction.

    IAPWS-IF97 region 1 (liquid, to 623 K and 100 MPa) times brine_density_ratio, as if thermal expansion and
    compression of brine were those of water.
    """
    first, _ = _region_1(p, T)
    return _P_STAR / (_R * doubles(T) * first) * brine_density_ratio(salinity)


def water_compressibility(p: Numbers, T: Numbers, salinity: Numbers = 0.0) -> Array:
    """Isothermal compressibility of gas-free water [1/Pa]; p [Pa], T [K]. IAPWS-IF97 region 1.

    salinity is taken so that all water functions read alike; with the density ratio of brine independent of pressure
    it has no effect. Real brine is stiffer: sea water of 3.5 % by 6 to 10 % (IAPWS R13-08), stronger brine by more.
    """
    first, second = _region_1(p, T)
    return -second / first / _P_STAR + 0.0 * doubles(salinity)


def _pure_viscosity(density: Array, T: Numbers) -> Array:
    """IAPWS 2008 viscosity of pure water [Pa s], without the enhancement next to the critical point."""
    t = doubles(T) / 647.096
    r = density / 322.0
    thin = 100.0 * np.sqrt(t) / sum(h / t**i for i, h in enumerate(_H0))
    power = sum(h * (1.0 / t - 1.0) ** i * (r - 1.0) ** j for i, j, h in _H1)
    result: Array = thin * np.exp(r * power) * 1.0e-6
    return result


def water_viscosity(p: Numbers, T: Numbers, salinity: Numbers = 0.0) -> Array:
    """Viscosity of water or brine [Pa s]; p [Pa], T [K], salinity mass fraction.

    IAPWS 2008 at the density of pure water, times McCain's brine ratio. McCain's own pressure correction is not used:
    against IAPWS it is 20 to 46 % too high between 40 and 60 MPa.
    """
    return _pure_viscosity(water_density(p, T), T) * brine_viscosity_ratio(T, salinity)


def water_formation_volume_factor(
    p: Numbers,
    T: Numbers,
    salinity: Numbers = 0.0,
    p_sc: float = STANDARD_PRESSURE,
    T_sc: float = STANDARD_TEMPERATURE,
) -> Array:
    """Volume of gas-free water in place per volume at standard conditions [m3/m3]; p, p_sc [Pa], T, T_sc [K]."""
    return water_density(p_sc, T_sc, salinity) / water_density(p, T, salinity)

"""Surface tension of oil and of water against gas."""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles
from planner.physics.field_units import PSI, fahrenheit
from planner.physics.oil import api_from_specific_gravity

DYNE_PER_CM = 1.0e-3  # N/m
LEAST = 1.0 * DYNE_PER_CM  # common practice: the tension of gas-rich oil is not let down to 0


def baker_swerdloff_1956(p: Numbers, T: Numbers, oil_gravity: Numbers) -> Array:
    """Surface tension of oil against gas [N/m]; p [Pa], T [K], specific gravity of stock-tank oil.

    Baker and Swerdloff 1956: dead oil at 68 and 100 degF, linear between and held outside; dissolved gas by the
    factor 1 - 0.024 p^0.45 (p in psia; their chart as fitted by Beggs and Brill). Never below 1 mN/m.
    """
    api = api_from_specific_gravity(oil_gravity)
    warm = np.clip((fahrenheit(T) - 68.0) / 32.0, 0.0, 1.0)
    dead = 39.0 - 0.2571 * api - 1.5 * warm
    gas = 1.0 - 0.024 * (doubles(p) / PSI) ** 0.45
    result: Array = np.maximum(dead * np.maximum(gas, 0.0) * DYNE_PER_CM, LEAST)
    return result


def hough_1951(p: Numbers, T: Numbers) -> Array:
    """Surface tension of water against natural gas [N/m]; p [Pa], T [K].

    Hough, Rzasa and Wood 1951 at 74 and 280 degF as fitted by Beggs and Brill, linear between and held outside.
    """
    psia = doubles(p) / PSI
    cold = 75.0 - 1.108 * psia**0.349
    hot = 53.0 - 0.1048 * psia**0.637
    share = np.clip((fahrenheit(T) - 74.0) / 206.0, 0.0, 1.0)
    result: Array = np.maximum((cold + (hot - cold) * share) * DYNE_PER_CM, LEAST)
    return result

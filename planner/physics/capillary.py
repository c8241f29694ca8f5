"""Capillary pressure."""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers
from planner.physics.relative_permeability import normalised_saturation

_DRIEST = 1.0e-3  # normalised saturation below which the curve is held, so that it stays finite


def brooks_corey_capillary_pressure(
    sw: Numbers, swc: Numbers, s_max: Numbers, entry_pressure: Numbers, pore_index: Numbers
) -> Array:
    """Capillary pressure, oil over water [Pa], of drainage.

    sw: water saturation; swc, s_max: where the normalised saturation is 0 and 1; entry_pressure [Pa]; pore_index: the
    exponent lambda [-], above 0. Brooks and Corey 1964. Held constant below a normalised saturation of 0.001.
    """
    x = np.maximum(normalised_saturation(sw, swc, s_max), _DRIEST)
    result: Array = entry_pressure * x ** (-1.0 / np.asarray(pore_index, dtype=np.float64))
    return result

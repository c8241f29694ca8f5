"""Flow too fast for Darcy's law at the wall of a hole: Forchheimer's coefficient and the skin that grows with rate."""

from __future__ import annotations

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles

MILLIDARCY = 9.869232667160130e-16  # m2
FOOT = 0.3048  # m


def geertsma_1974_beta(permeability: Numbers, porosity: Numbers) -> Array:
    """Forchheimer coefficient of dry rock [1/m]: 0.005 / (sqrt(k) porosity^5.5) with k in cm2, beta in 1/cm.

    permeability [m2], porosity [-]. Geertsma 1974.
    """
    in_cm2 = doubles(permeability) * 1e4
    result: Array = 100.0 * 0.005 / (np.sqrt(in_cm2) * doubles(porosity) ** 5.5)
    return result


def firoozabadi_katz_1979_beta(permeability: Numbers) -> Array:
    """Forchheimer coefficient of rock [1/m]: 2.6e10 / k^1.2 with k in md, beta in 1/ft. Firoozabadi and Katz 1979.

    permeability [m2].
    """
    result: Array = 2.6e10 / (doubles(permeability) / MILLIDARCY) ** 1.2 / FOOT
    return result


def rate_dependent_skin(
    beta: Numbers, permeability: Numbers, surface_density: Numbers, viscosity: Numbers, well_radius: Numbers,
    open_length: Numbers,
) -> Array:  # fmt: skip
    """Skin per surface rate of gas in radial flow [s/m3]: beta k rho_sc / (2 pi mu rw h).

    beta [1/m], permeability to gas [m2], density at surface [kg/m3], viscosity at the wall [Pa s], well_radius and
    open_length [m]. Forchheimer's law integrated from the wall outwards; the far end is left out (rw/re). The skin is
    counted as in a layer as thick as the length that is open.
    """
    flow = 2.0 * np.pi * doubles(viscosity) * well_radius * open_length
    result: Array = doubles(beta) * permeability * surface_density / flow
    return result

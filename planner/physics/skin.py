"""Skin: damage, deviation, partial entry, perforations, gravel. Dimensionless, 0 for an ideal vertical open hole."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from scipy.special import kve

from planner.physics.arrays import Array, Numbers, doubles


def hawkins_skin(permeability: Numbers, damaged: Numbers, damaged_radius: Numbers, well_radius: Numbers) -> Array:
    """Skin of a ring of other permeability [-]: (k/ks - 1) ln(rs/rw). Hawkins 1956.

    permeability of the rock and of the ring [m2], radii [m]. Below 0 if the ring is more permeable (stimulated).
    """
    ratio = np.log(doubles(damaged_radius) / well_radius)
    result: Array = (doubles(permeability) / damaged - 1.0) * ratio
    return result


def cinco_ley_1975_skin(
    inclination: Numbers, thickness: Numbers, well_radius: Numbers, anisotropy: Numbers = 1.0
) -> Array:
    """Pseudo-skin of a slanted well across the whole layer [-], never above 0. Cinco-Ley, Ramey and Miller 1975.

    inclination to the normal of the layer [rad, 0 to 75 degrees, held there beyond], thickness, well_radius [m],
    anisotropy sqrt(kh/kv) [-]. kh is multiplied by the vertical thickness.
    """
    angle = np.minimum(np.abs(doubles(inclination)), np.radians(75.0))
    seen = np.degrees(np.arctan(np.tan(angle) / anisotropy))
    h_d = doubles(thickness) / well_radius * anisotropy
    return -((seen / 41.0) ** 2.06) - (seen / 56.0) ** 1.865 * np.log10(np.maximum(h_d, 1.0) / 100.0)


# ---- partial entry ---------------------------------------------------------------------------------------------


def brons_marting_1961_skin(
    penetration: Numbers, thickness: Numbers, well_radius: Numbers, anisotropy: Numbers = 1.0
) -> Array:
    """Pseudo-skin of a well open over the top or the bottom part of a layer [-]. Brons and Marting 1961.

    penetration: open over whole thickness, above 0 to 1; thickness, well_radius [m]; anisotropy sqrt(kh/kv) [-]. For
    an interval in the middle give half the thickness. G(b) by the cubic 2.948 - 7.363 b + 11.45 b^2 - 4.675 b^3.
    """
    b = doubles(penetration)
    h_d = doubles(thickness) / well_radius * anisotropy
    g = 2.948 - 7.363 * b + 11.45 * b**2 - 4.675 * b**3
    return (1.0 / b - 1.0) * (np.log(h_d) - g)


def papatzacos_1987_skin(
    penetration: Numbers, offset: Numbers, thickness: Numbers, well_radius: Numbers, anisotropy: Numbers = 1.0
) -> Array:
    """Pseudo-skin of a well open over a part of a layer anywhere in it [-]. Papatzacos 1987.

    penetration: open over whole thickness, above 0 to 1; offset: from the top of the layer to the open interval over
    whole thickness; thickness, well_radius [m]; anisotropy sqrt(kh/kv) [-].
    """
    b = doubles(penetration)
    r_d = doubles(well_radius) / thickness / anisotropy
    a1 = 1.0 / (doubles(offset) + 0.25 * b)
    b1 = 1.0 / (doubles(offset) + 0.75 * b)
    # just above the bottom, the interval reaches it: b1 tends to 1/(1 - b/4), never below 1
    shape = b / (2.0 + b) * np.sqrt((a1 - 1.0) / (b1 - 1.0))
    result: Array = (1.0 / b - 1.0) * np.log(np.pi / (2.0 * r_d)) + np.log(shape) / b
    return result


def partial_entry_skin(
    penetration: float, offset: float, thickness: float, well_radius: float, anisotropy: float = 1.0, pieces: int = 32
) -> float:
    """Pseudo-skin of a well open over a part of a layer [-], exact series, same pressure all along the open part.

    Arguments as in papatzacos_1987_skin (scalars); pieces: parts of the open interval, each of uniform flux, finer at
    its ends. Raises ValueError if the interval does not lie in the layer.
    """
    return partly_open_skin([(offset, offset + penetration)], thickness, well_radius, anisotropy, pieces)


def partly_open_skin(
    intervals: Sequence[tuple[float, float]], thickness: float, well_radius: float, anisotropy: float = 1.0,
    pieces: int = 32,
) -> float:  # fmt: skip
    """Pseudo-skin of a well open over several intervals of a layer [-], exact series, the same pressure in all.

    intervals: top and base of each over whole thickness, 0 to 1, from the top down; pieces: parts of each. Cosine
    series of the closed slab with K0 and K1 on the wall of the hole (the unopened wall is closed), solved for the
    fluxes that make the pressure equal. Raises ValueError if they overlap or do not lie in the layer.
    """
    ends = [0.0, *(end for interval in intervals for end in interval), 1.0]
    if not intervals or any(b < a - 1e-12 for a, b in pairwise(ends)) or any(b <= a for a, b in intervals):
        raise ValueError(f"open intervals {list(intervals)} do not lie one below the other within the layer (0 to 1)")
    ripple = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, pieces + 1)))
    edges = [top + (base - top) * ripple for top, base in intervals]
    width = np.concatenate([np.diff(edge) for edge in edges])
    r_d = well_radius / thickness / anisotropy
    modes = np.pi * np.arange(1, max(4000, int(20.0 / r_d)) + 1)
    sines = np.concatenate([np.diff(np.sin(np.outer(modes, edge)), axis=1) for edge in edges], axis=1)
    sines /= width * modes[:, None]
    weight = 2.0 * kve(0, modes * r_d) / (kve(1, modes * r_d) * modes * r_d)
    resistance = sines.T @ (weight[:, None] * sines)
    flux = np.linalg.solve(resistance + 1.0, np.ones(len(width)))  # the 1 stands for the flow of the whole layer
    return float(1.0 / flux.sum() - 1.0)


# ---- perforations ----------------------------------------------------------------------------------------------

# Karakas and Tariq 1991, tables by phasing angle in degrees: alpha, a1, a2, b1, b2, c1, c2
_PHASING = {
    0: (0.250, -2.091, 0.0453, 5.1313, 1.8672, 1.6e-1, 2.675),
    180: (0.500, -2.025, 0.0943, 3.0373, 1.8115, 2.6e-2, 4.532),
    120: (0.648, -2.018, 0.0634, 1.6136, 1.7770, 6.6e-3, 5.320),
    90: (0.726, -1.905, 0.1038, 1.5674, 1.6935, 1.9e-3, 6.155),
    60: (0.813, -1.898, 0.1023, 1.3654, 1.6490, 3.0e-4, 7.509),
    45: (0.860, -1.788, 0.2398, 1.1915, 1.6392, 4.6e-5, 8.791),
}


def karakas_tariq_1991_parts(
    phasing: int,
    tunnel_length: Numbers,
    tunnel_radius: Numbers,
    shots_per_length: Numbers,
    well_radius: Numbers,
    anisotropy: Numbers = 1.0,
) -> tuple[Array, Array, Array]:
    """Plane-flow, vertical and wellbore parts of the perforation skin [-]. Karakas and Tariq 1991.

    phasing [degrees: 0, 45, 60, 90, 120 or 180]; tunnel length and radius, well_radius [m]; shots_per_length [1/m];
    anisotropy sqrt(kh/kv) [-]. The skin is their sum. Raises KeyError for another phasing.
    """
    alpha, a1, a2, b1, b2, c1, c2 = _PHASING[phasing]
    length = doubles(tunnel_length)
    effective = 0.25 * length if phasing == 0 else alpha * (well_radius + length)
    plane = np.log(well_radius / effective)
    spacing = 1.0 / doubles(shots_per_length)
    h_d = spacing / length * anisotropy
    r_d = tunnel_radius / (2.0 * spacing) * (1.0 + 1.0 / doubles(anisotropy))
    a = a1 * np.log10(r_d) + a2
    b = b1 * r_d + b2
    vertical = 10.0**a * h_d ** (b - 1.0) * r_d**b
    wellbore: Array = c1 * np.exp(c2 * doubles(well_radius) / (length + well_radius))
    return plane, vertical, wellbore


def crushed_zone_skin(
    permeability: Numbers, crushed: Numbers, crushed_radius: Numbers, tunnel_radius: Numbers, tunnel_length: Numbers,
    shots_per_length: Numbers,
) -> Array:  # fmt: skip
    """Skin of the crushed rock around perforation tunnels [-]. Karakas and Tariq 1991.

    permeability of the rock and of the crushed rock [m2], radii and length of the tunnel [m], shots_per_length [1/m].
    """
    ratio = np.log(doubles(crushed_radius) / tunnel_radius)
    result: Array = (doubles(permeability) / crushed - 1.0) * ratio / (doubles(shots_per_length) * tunnel_length)
    return result


def karakas_tariq_1991_skin(
    phasing: int,
    tunnel_length: float,
    tunnel_radius: float,
    shots_per_length: float,
    well_radius: float,
    anisotropy: float = 1.0,
    permeability_over_damaged: float = 1.0,
    damage_depth: float = 0.0,
) -> float:
    """Skin of a perforated, possibly damaged well [-], without crushed zone. Karakas and Tariq 1991.

    damage_depth: from the hole wall [m]; permeability_over_damaged [-]; the rest as in karakas_tariq_1991_parts.
    Tunnels that end in the damaged ring suffer all of it; longer ones see it as a shorter tunnel and a wider hole.
    Raises ValueError for a ring that is more permeable than the rock, of which the paper does not speak.
    """
    if permeability_over_damaged < 1.0:
        raise ValueError("Karakas and Tariq 1991 is for a damaged ring, not for one more permeable than the rock")
    if tunnel_length <= damage_depth:
        own = sum(
            karakas_tariq_1991_parts(phasing, tunnel_length, tunnel_radius, shots_per_length, well_radius, anisotropy)
        )
        ring = (permeability_over_damaged - 1.0) * np.log((well_radius + damage_depth) / well_radius)
        return float(ring + permeability_over_damaged * own)
    lost = (1.0 - 1.0 / permeability_over_damaged) * damage_depth
    plane, vertical, wellbore = karakas_tariq_1991_parts(
        phasing, tunnel_length - lost, tunnel_radius, shots_per_length, well_radius + lost, anisotropy
    )
    # the plane part is measured from the true hole
    return float(plane + np.log(well_radius / (well_radius + lost)) + vertical + wellbore)


# ---- gravel ----------------------------------------------------------------------------------------------------


def gravel_annulus_skin(permeability: Numbers, gravel: Numbers, hole_radius: Numbers, screen_radius: Numbers) -> Array:
    """Skin of gravel between screen and open hole [-], Darcy: (k/kg) ln(rw/rs); permeabilities [m2], radii [m]."""
    ratio = np.log(doubles(hole_radius) / screen_radius)
    result: Array = doubles(permeability) / gravel * ratio
    return result


def gravel_tunnel_skin(
    permeability: Numbers, gravel: Numbers, tunnel_length: Numbers, tunnel_diameter: Numbers, shots_per_length: Numbers
) -> Array:
    """Skin of straight flow through gravel-filled tunnels of casing and cement [-], Darcy: 8 k L / (kg n d^2).

    permeabilities [m2], tunnel_length through casing and cement and its diameter [m], shots_per_length [1/m].
    """
    area = doubles(tunnel_diameter) ** 2 * shots_per_length
    result: Array = 8.0 * doubles(permeability) * tunnel_length / (doubles(gravel) * area)
    return result

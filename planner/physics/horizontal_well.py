"""Inflow of a horizontal well in a closed box, any place and length: Babu and Odeh 1989."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi, sin, sqrt


@dataclass(frozen=True)
class DrainageBox:
    """Closed box with a horizontal well along y; lengths [m], permeabilities [m2].

    width across the well (x), length along it (y), thickness (z); x, y, z: place of the middle of the well, from one
    corner; well_length, well_radius.
    """

    width: float
    length: float
    thickness: float
    x: float
    y: float
    z: float
    well_length: float
    well_radius: float
    kx: float
    ky: float
    kz: float


def babu_odeh_1989_productivity_index(box: DrainageBox, viscosity: float, volume_factor: float, skin: float) -> float:
    """Pseudo-steady productivity index from the average pressure [m3/s/Pa]. Babu and Odeh 1989.

    viscosity [Pa s], volume_factor [m3/sm3]; skin: of damage, per length of the well open to flow [-] (it is multiplied
    by box length over well length). Raises ValueError if the well does not lie in the box.
    """
    resistance = (
        log(sqrt(box.width * box.thickness) / box.well_radius)
        + shape_logarithm(box)
        - 0.75
        + partial_penetration_skin(box)
        + skin * box.length / box.well_length
    )
    return 2.0 * pi * box.length * sqrt(box.kx * box.kz) / (viscosity * volume_factor * resistance)


def shape_logarithm(box: DrainageBox) -> float:
    """ln CH of Babu and Odeh 1989 [-], shape of the cross-section and place of the well in it."""
    stretched = box.width / box.thickness * sqrt(box.kz / box.kx)
    place = box.x / box.width
    height = log(sin(pi * box.z / box.thickness))
    return 2.0 * pi * stretched * (1.0 / 3.0 - place + place**2) - height - 0.5 * log(stretched) - 1.088


def partial_penetration_skin(box: DrainageBox) -> float:
    """sR of Babu and Odeh 1989 [-]: what a well shorter than the box loses; 0 for a full one.

    Their two cases, box wide or long, are told apart by width and length in the isotropic-equivalent box. Raises
    ValueError if the well does not lie in the box.
    """
    half = 0.5 * box.well_length
    inside = 0.0 < box.x < box.width and 0.0 < box.z < box.thickness
    if not inside or box.y - half < -1e-9 * box.length or box.y + half > box.length * (1.0 + 1e-9):
        raise ValueError("the horizontal well does not lie inside its drainage box")
    part = box.well_length / box.length
    if part >= 1.0 - 1e-12:
        return 0.0
    near = log(box.thickness / box.well_radius) + 0.25 * log(box.kx / box.kz)
    vertical = (1.0 / part - 1.0) * (near - log(sin(pi * box.z / box.thickness)) - 1.84)
    if box.width / sqrt(box.kx) >= 0.75 * box.length / sqrt(box.ky):
        return vertical + _wide_box(box, part)
    return vertical + _long_box(box, part)


def _wide_box(box: DrainageBox, part: float) -> float:
    """Pxy' of case 1 (box wide across the well)."""
    scale = 2.0 * box.length**2 / (box.well_length * box.thickness) * sqrt(box.kz / box.ky)
    above = (4.0 * box.y + box.well_length) / (2.0 * box.length)
    below = (4.0 * box.y - box.well_length) / (2.0 * box.length)
    return scale * (_f(0.5 * part) + 0.5 * (_f(above) - _f(below)))


def _long_box(box: DrainageBox, part: float) -> float:
    """Py + Pxy of case 2 (box long along the well)."""
    y, x = box.y / box.length, box.x / box.width
    scale = 2.0 * pi * box.length**2 / (box.width * box.thickness) * sqrt(box.kx * box.kz) / box.ky
    along = scale * (1.0 / 3.0 - y + y**2 + part / 24.0 * (part - 3.0))
    across = 2.0 * pi * box.width / box.thickness * sqrt(box.kz / box.kx) * (1.0 / 3.0 - x + x**2)
    return along + (1.0 / part - 1.0) * across


def _f(u: float) -> float:
    """Function F of case 1: -u (0.145 + ln u - 0.137 u^2) up to 1, mirrored about 1 beyond."""
    if u <= 0.0 or u >= 2.0:
        return 0.0
    v = u if u <= 1.0 else 2.0 - u
    value = v * (0.145 + log(v) - 0.137 * v**2)
    return -value if u <= 1.0 else value

"""Well path from a deviation survey by minimum curvature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.physics.arrays import Array, Numbers, doubles


@dataclass(frozen=True)
class WellPath:
    """Stations of a well path: measured depth, true vertical depth, north, east [m], unit tangent (n, 3).

    The columns of tangent are north, east, down.
    """

    md: Array
    tvd: Array
    north: Array
    east: Array
    tangent: Array


def _tangents(inclination: Array, azimuth: Array) -> Array:
    flat = np.sin(inclination)
    return np.stack([flat * np.cos(azimuth), flat * np.sin(azimuth), np.cos(inclination)], axis=-1)


def _ratio_factor(dogleg: Array) -> Array:
    """tan(half dogleg) / (half dogleg), 1 + d^2/12 when straight."""
    half = 0.5 * dogleg
    bent = np.where(half > 1e-4, half, 1.0)
    return np.where(half > 1e-4, np.tan(bent) / bent, 1.0 + half**2 / 3.0)


def _dogleg(first: Array, second: Array) -> Array:
    """Angle between unit vectors [rad], accurate for small angles too."""
    result: Array = 2.0 * np.arcsin(np.clip(0.5 * np.linalg.norm(second - first, axis=-1), 0.0, 1.0))
    return result


def minimum_curvature(
    md: Numbers, inclination: Numbers, azimuth: Numbers, tvd_0: float = 0.0, north_0: float = 0.0, east_0: float = 0.0
) -> WellPath:
    """Well path through survey stations, each pair joined by a circular arc.

    md [m, rising], inclination [rad from vertical], azimuth [rad from north], arrays of n >= 1; tvd_0, north_0,
    east_0: place of the first station. Raises ValueError if md does not rise or a dogleg reaches half a turn.
    Taylor and Mason 1972; Sawaryn and Thorogood 2005.
    """
    depth = np.atleast_1d(doubles(md))
    t = _tangents(np.atleast_1d(doubles(inclination)), np.atleast_1d(doubles(azimuth)))
    if bool(np.any(np.diff(depth) <= 0.0)):
        raise ValueError("measured depths of a survey must rise from station to station")
    dogleg = _dogleg(t[:-1], t[1:])
    if bool(np.any(dogleg > 0.999 * np.pi)):
        raise ValueError("two survey stations point in opposite directions: the arc between them is undetermined")
    step = 0.5 * (np.diff(depth) * _ratio_factor(dogleg))[:, None] * (t[:-1] + t[1:])
    place = np.vstack([[north_0, east_0, tvd_0], step]).cumsum(axis=0)
    return WellPath(md=depth, tvd=place[:, 2], north=place[:, 0], east=place[:, 1], tangent=t)


def along_path(path: WellPath, md: Numbers) -> WellPath:
    """Places at any measured depths [m] on the arcs of a path.

    Beyond the last station, and above the first, the path goes on straight.
    """
    wanted = np.atleast_1d(doubles(md))
    if path.md.size == 1:
        k = np.zeros(wanted.shape, dtype=np.intp)
        tangent = np.broadcast_to(path.tangent[0], (*wanted.shape, 3))
        step = (wanted - path.md[0])[:, None] * tangent
    else:
        k = np.clip(np.searchsorted(path.md, wanted, side="right") - 1, 0, path.md.size - 2)
        tangent, step = _on_arc(path, k, wanted)
    return WellPath(
        md=wanted,
        tvd=path.tvd[k] + step[:, 2],
        north=path.north[k] + step[:, 0],
        east=path.east[k] + step[:, 1],
        tangent=tangent,
    )


def _on_arc(path: WellPath, k: NDArray[np.intp], md: Array) -> tuple[Array, Array]:
    """Tangent at md on arc k, and the step [m] from the start of that arc."""
    length = path.md[k + 1] - path.md[k]
    run = np.clip(md - path.md[k], 0.0, length)
    first, second = path.tangent[k], path.tangent[k + 1]
    dogleg = _dogleg(first, second)
    bent = np.where(dogleg > 1e-9, dogleg, 1.0)
    share = run / length
    a = np.where(dogleg > 1e-9, np.sin((1.0 - share) * bent) / np.sin(bent), 1.0 - share)
    b = np.where(dogleg > 1e-9, np.sin(share * bent) / np.sin(bent), share)
    tangent = a[:, None] * first + b[:, None] * second
    step = (0.5 * run * _ratio_factor(share * dogleg))[:, None] * (first + tangent)
    return tangent, step + ((md - path.md[k]) - run)[:, None] * tangent


def inclination_of(path: WellPath) -> Array:
    """Inclination at the stations of a path [rad from vertical]."""
    result: Array = np.arctan2(np.hypot(path.tangent[:, 0], path.tangent[:, 1]), path.tangent[:, 2])
    return result


def dogleg_severity(path: WellPath) -> Array:
    """Curvature between stations [rad/m], n - 1 values."""
    return _dogleg(path.tangent[:-1], path.tangent[1:]) / np.diff(path.md)

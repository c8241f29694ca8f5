"""Grain size of a sand from its sieves, and published rules for the screen or gravel that holds it.

Sizes follow the trade's count from the coarse end: a tenth of the mass is coarser than D10.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles

FINES = 44e-6  # m: opening of the 325 mesh sieve (ASTM E11: 45 um; 44 um in Tiffin et al. 1998)


def _curve(size: Numbers, coarser: Numbers) -> tuple[Array, Array]:
    """Logarithm of size and cumulative share, from coarse to fine. Raises ValueError where they make no curve."""
    sizes, shares = doubles(size), doubles(coarser)
    order = np.argsort(-sizes)
    sizes, shares = sizes[order], shares[order]
    if sizes.size < 2 or bool(np.any(sizes <= 0.0)) or bool(np.any(np.diff(sizes) == 0.0)):
        raise ValueError("a sieve curve needs two different sizes above 0 or more")
    if bool(np.any(np.diff(shares) < 0.0)) or shares[0] < 0.0 or shares[-1] > 1.0:
        raise ValueError("the share that is coarser must rise from 0 towards 1 as sizes get finer")
    return np.log(sizes), shares


def size_at(size: Numbers, coarser: Numbers, share: float) -> float:
    """Size [m] than which a share of the mass is coarser; NaN outside what was sieved: nothing is extrapolated.

    size [n, m], coarser [n, cumulative shares 0 to 1]. Straight between sieves on the logarithm of size (the usual
    semi-logarithmic paper; API RP 19C). Where several sizes have the share, the coarsest. Raises ValueError.
    """
    log_size, shares = _curve(size, coarser)
    if not shares[0] <= share <= shares[-1]:
        return float("nan")
    k = int(np.searchsorted(shares, share, side="left"))
    if shares[k] == share:
        return float(np.exp(log_size[k]))
    weight = (share - shares[k - 1]) / (shares[k] - shares[k - 1])
    return float(np.exp(log_size[k - 1] + weight * (log_size[k] - log_size[k - 1])))


def share_finer(size: Numbers, coarser: Numbers, than: float) -> float:
    """Share of the mass that is finer than a size [m]; NaN outside what was sieved. Raises ValueError."""
    log_size, shares = _curve(size, coarser)
    wanted = np.log(than)
    slack = 1e-9
    if not log_size[-1] - slack <= wanted <= log_size[0] + slack:
        return float("nan")
    return 1.0 - float(np.interp(wanted, log_size[::-1], shares[::-1]))


@dataclass(frozen=True)
class Grading:
    """Sizes [m] than which 10, 40, 50, 70, 90 and 95 % of the mass are coarser; fines: share below 44 micron.

    NaN where the sieves do not reach.
    """

    d10: float
    d40: float
    d50: float
    d70: float
    d90: float
    d95: float
    fines: float

    @property
    def uniformity(self) -> float:
        """Uniformity coefficient D40/D90."""
        return self.d40 / self.d90

    @property
    def sorting(self) -> float:
        """Sorting coefficient D10/D95."""
        return self.d10 / self.d95


def grading(size: Numbers, coarser: Numbers) -> Grading:
    """Grading of a sample from its sieves; size [n, m], coarser [n, cumulative shares]. Raises ValueError."""
    d10, d40, d50, d70, d90, d95 = (size_at(size, coarser, share) for share in (0.10, 0.40, 0.50, 0.70, 0.90, 0.95))
    return Grading(d10, d40, d50, d70, d90, d95, share_finer(size, coarser, FINES))


# ---- rules ------------------------------------------------------------------------------------------------------


def coberly_1937_slot(d10: Numbers) -> Array:
    """Widest slot [m] on which a sand of this D10 [m] still makes a bridge: twice D10. Coberly 1937."""
    return 2.0 * doubles(d10)


def saucier_1974_gravel(d50: Numbers) -> tuple[Array, Array]:
    """Least and greatest median [m] of a gravel that holds a sand of this median [m]: 5 to 6 times. Saucier 1974."""
    median = doubles(d50)
    return 5.0 * median, 6.0 * median


def schwartz_1969_size(grains: Grading) -> float:
    """Size [m] of the sand that a gravel has to hold: D10 if uniform, D40, D70 if highly uneven. Schwartz 1969.

    Uniform: D40/D90 below 5; highly uneven: 10 and more. NaN where a size is not known.
    """
    if not np.isfinite(grains.uniformity):
        return float("nan")
    if grains.uniformity < 5.0:
        return grains.d10
    return grains.d40 if grains.uniformity < 10.0 else grains.d70


def schwartz_1969_gravel(grains: Grading) -> float:
    """The same point of the gravel's own curve [m]: six times the size to hold. Schwartz 1969."""
    return 6.0 * schwartz_1969_size(grains)


TiffinClass = Literal["bare screen", "woven screen", "larger gravel", "larger gravel and open screen", "enlarged well"]
TIFFIN_LIMITS: tuple[tuple[TiffinClass, float, float, float], ...] = (
    ("bare screen", 10.0, 3.0, 0.02),
    ("woven screen", 10.0, 5.0, 0.05),
    ("larger gravel", 20.0, 5.0, 0.05),
    ("larger gravel and open screen", 20.0, 5.0, 0.10),
)


def tiffin_1998_class(grains: Grading) -> TiffinClass | None:
    """What a sand calls for by its sorting, uniformity and fines; None where one of them is not known.

    The first class whose limits on D10/D95, D40/D90 and fines all hold; none: an enlarged well. Tiffin et al. 1998.
    """
    given = (grains.sorting, grains.uniformity, grains.fines)
    if not np.all(np.isfinite(given)):
        return None
    for name, sorting, uniformity, fines in TIFFIN_LIMITS:
        if given[0] < sorting and given[1] < uniformity and given[2] < fines:
            return name
    return "enlarged well"

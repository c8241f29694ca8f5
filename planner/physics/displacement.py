"""Displacement in one dimension: fractional flow, Welge's tangent, Buckley-Leverett profiles.

Saturation is that of the displacing phase; time is in pore volumes injected, distance a share of the length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.physics.arrays import Array, Numbers, doubles


def fractional_flow(
    kr_displacing: Numbers, kr_displaced: Numbers, mu_displacing: Numbers, mu_displaced: Numbers,
    gravity_number: Numbers = 0.0,
) -> Array:  # fmt: skip
    """Share of the displacing phase in the flow [-], without capillarity. Buckley and Leverett 1942.

    Relative permeabilities [-], viscosities [Pa s]; gravity_number: k (density of displacing less displaced) g
    sin(dip) / (mu_displaced u) [-], above 0 when a denser phase drives up dip; u total flux [m/s], k permeability [m2].
    """
    a = doubles(kr_displacing) / mu_displacing
    b = doubles(kr_displaced) / mu_displaced
    total = a + b
    share: Array = np.divide(a, total, out=np.zeros(np.shape(total)), where=total > 0.0)
    return share * (1.0 - gravity_number * doubles(kr_displaced))


@dataclass(frozen=True)
class Displacement:
    """Solution of a Buckley-Leverett problem: concave envelope of the fractional-flow curve.

    saturation, flow: corners of the envelope, from the initial to the injected state; speed: slope of each of its
    sides, falling from the leading shock, speed[0], to the injected state [lengths per pore volume].
    """

    saturation: Array
    flow: Array
    speed: Array

    @property
    def shock_saturation(self) -> float:
        """Saturation just behind the leading front [-] (Welge's tangent point)."""
        return float(self.saturation[1])

    @property
    def breakthrough(self) -> float:
        """Pore volumes injected when the front arrives [-]."""
        return float(1.0 / self.speed[0])

    @property
    def average_at_breakthrough(self) -> float:
        """Mean saturation when the front arrives [-]."""
        return float(self.saturation[0] + self.breakthrough * (self.flow[-1] - self.flow[0]))


def welge(saturation: Numbers, flow: Numbers) -> Displacement:
    """Welge's construction on a tabulated curve, as an upper concave hull, so any shape of curve is allowed.

    saturation: rising, from the initial to the injected one (n >= 2); flow: fractional flow there. The tangent point
    is one of the tabulated saturations: tabulate finely. Raises ValueError if saturation does not rise or nothing
    moves. Welge 1952.
    """
    s, f = np.atleast_1d(doubles(saturation)), np.atleast_1d(doubles(flow))
    if s.size < 2 or bool(np.any(np.diff(s) <= 0.0)):
        raise ValueError("the saturations of a fractional-flow table must rise")
    hull: list[int] = []
    for i in range(s.size):
        while len(hull) >= 2 and _not_above(s, f, hull[-2], hull[-1], i):
            hull.pop()
        hull.append(i)
    speed = np.diff(f[hull]) / np.diff(s[hull])
    if speed[0] <= 0.0:
        raise ValueError("the fractional flow nowhere rises above its initial value: nothing is displaced")
    return Displacement(saturation=s[hull], flow=f[hull], speed=speed)


def _not_above(s: Array, f: Array, a: int, b: int, c: int) -> bool:
    """Whether corner b lies on or below the chord from a to c."""
    return bool((f[b] - f[a]) * (s[c] - s[a]) <= (f[c] - f[a]) * (s[b] - s[a]))


def saturation_profile(solution: Displacement, distance: Numbers, pore_volumes: float) -> Array:
    """Saturation at a distance (share of the length) after injecting pore volumes (above 0)."""
    speed = doubles(distance) / pore_volumes
    # sides fall in speed: every side faster than this place has passed it
    passed = np.searchsorted(-solution.speed, -speed, side="right")
    return solution.saturation[passed]


def average_saturation(solution: Displacement, pore_volumes: Numbers) -> Array:
    """Mean saturation over the length after injecting pore volumes [-]. Welge 1952."""
    injected = doubles(pore_volumes)
    with np.errstate(divide="ignore"):
        passed = np.searchsorted(-solution.speed, -1.0 / injected, side="right")
    outlet = solution.saturation[passed]
    result: Array = outlet + injected * (solution.flow[-1] - solution.flow[passed])
    return result


def outlet_flow(solution: Displacement, pore_volumes: Numbers) -> Array:
    """Share of the displacing phase in what leaves, after injecting pore volumes [-]."""
    with np.errstate(divide="ignore"):
        passed = np.searchsorted(-solution.speed, -1.0 / doubles(pore_volumes), side="right")
    return solution.flow[passed]

"""Water fronts carried inside cells.

Plain upstream cells smear a front: 12 of them let water through a third too early. Here the saturation at a cell's
outlet face is read from the exact fractional-flow profile inside the cell (Buckley and Leverett 1942, Welge 1952): for
a displacement that started at the inlet end of the layer, the mean saturation of a cell and the saturation at its
outlet are both known functions of the volume that has passed, so one is a function of the other. Mass stays
conserved, the scheme stays implicit, and the front leaves the last cell when the volume that came in says so, whatever
the number of cells or the length of the step. It holds for one displacement along the layer; with vertical flow, or
where the flow turns round, the plain upstream rule is used.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.network.arrays import Fronts

Floats = NDArray[np.float64]

TABLE_POINTS = 96
PASSAGE = 0.006  # width of the front's passage through a face, share of the saturation rise
LEAST_CELL = 0.004  # of the column's volume: smaller cells carry no front
LEAST_MOBILE = 0.05  # of saturation that can still be displaced; below it no front is carried


@dataclass(frozen=True)
class Profile:
    """Self-similar displacement: outlet saturation, water fraction, and speed behind the front, falling speed."""

    ahead: float
    saturation: Floats
    fraction: Floats
    speed: Floats

    def breakthrough(self) -> float:
        """Pore volumes injected when the front arrives."""
        return float(1.0 / self.speed[0])

    def mean(self, speed: Floats) -> Floats:
        """Mean saturation between the inlet and the place that moves at this speed (Welge 1952)."""
        s = np.interp(-speed, -self.speed, self.saturation)
        f = np.interp(-speed, -self.speed, self.fraction)
        return s + (1.0 - f) / speed


def profile(saturation: Floats, fraction: Floats, ahead: float) -> Profile | None:
    """Profile behind the front for a fractional-flow curve (rising grids) and the saturation ahead of it.

    Upper concave hull of the curve from the state ahead: the first chord is the front. None where nothing is left to
    displace.
    """
    start = float(np.interp(ahead, saturation, fraction))
    keep = saturation > ahead + 1e-9
    s = np.concatenate(([ahead], saturation[keep]))
    f = np.concatenate(([start], fraction[keep]))
    full = int(np.argmax(f >= f.max() - 1e-12)) + 1
    s, f = s[:full], f[:full]
    if len(s) < 4 or s[-1] - ahead < LEAST_MOBILE:
        return None
    hull = [0]
    for k in range(1, len(s)):
        while len(hull) > 1 and (f[hull[-1]] - f[hull[-2]]) * (s[k] - s[hull[-1]]) <= (f[k] - f[hull[-1]]) * (
            s[hull[-1]] - s[hull[-2]]
        ):
            hull.pop()
        hull.append(k)
    hs, hf = s[hull], f[hull]
    slopes = np.diff(hf) / np.diff(hs)
    if slopes[0] <= 0.0:
        return None
    # value of the slope at the vertices behind the front: mean of both sides, the front's own at its foot
    speed = (
        np.concatenate(([slopes[0]], 0.5 * (slopes[:-1] + slopes[1:])[1:], [slopes[-1]]))
        if len(slopes) > 1
        else (np.array([slopes[0]]))
    )
    behind, water = hs[1:], hf[1:]
    speed = np.maximum(np.minimum.accumulate(speed[: len(behind)]), slopes[0] * 1e-6)
    speed = speed - np.arange(len(speed)) * slopes[0] * 1e-12
    return Profile(ahead, behind, water, speed)


def cell_tables(shape: Profile, volumes: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """(low, high, top [cells], table [cells, points]) for cells with these volumes, inlet end first; see Fronts."""
    ends = np.concatenate(([0.0], np.cumsum(volumes)))
    cells = len(volumes)
    low, high, top = np.empty(cells), np.empty(cells), np.empty(cells)
    table = np.empty((cells, TABLE_POINTS))
    for j in range(cells):
        near, far = ends[j], ends[j + 1]
        mean = shape.mean(shape.speed)
        if near > 0.0:
            mean = (far * mean - near * shape.mean(shape.speed * near / far)) / (far - near)
        mean = np.maximum.accumulate(np.clip(mean, shape.ahead + 1e-6, shape.saturation[-1]))
        width = max(PASSAGE * (mean[0] - shape.ahead), 1e-5)
        low[j], high[j] = mean[0] - width / 2.0, mean[0] + width / 2.0
        top[j] = max(shape.saturation[-1], high[j] + 1e-4)
        table[j] = np.interp(np.linspace(high[j], top[j], TABLE_POINTS), mean, shape.saturation)
        table[j, -1] = top[j]
    return low, high, top, table


class FrontBook:
    """Collects the rows of Fronts while the network is compiled."""

    def __init__(self) -> None:
        self._rows: list[tuple[int, float, float, float, float, Floats, bool]] = []

    def add(self, shape: Profile, nodes: list[int], volumes: Floats) -> set[int]:
        """Cells of one column, inlet end first; returns those that carry the front.

        The tiny cells round the well do not: a front crosses all of them within hours, and what plain upstream cells
        smear there is less than the volume they hold.
        """
        low, high, top, table = cell_tables(shape, volumes)
        carrying = [k for k in range(len(nodes)) if volumes[k] >= LEAST_CELL]
        for k in carrying:
            self._rows.append((nodes[k], low[k], high[k], top[k], shape.ahead, table[k], k == carrying[-1]))
        return {nodes[k] for k in carrying}

    def build(self, nodes: int) -> Fronts:
        """Arrays for that many nodes."""
        of_node = np.full(nodes, -1, dtype=np.int64)
        for row, held in enumerate(self._rows):
            of_node[held[0]] = row
        columns = [np.array([row[k] for row in self._rows]) for k in range(1, 5)]
        table = np.array([row[5] for row in self._rows]) if self._rows else np.zeros((0, TABLE_POINTS))
        node = np.array([row[0] for row in self._rows], dtype=np.int64)
        last = np.array([row[6] for row in self._rows], dtype=np.bool_)
        return Fronts(of_node, node, last, columns[0], columns[1], columns[2], columns[3], table)

"""States of the string kept on report dates, as they are in the march; columns are worked out from them afterwards.

A report date costs a few copies of short arrays; everything else is done once, for all dates together (along_string).
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.forecast.march import March
from planner.model.lift import Tubing
from planner.network.arrays import CONDUIT, PIPE, SANDFACE, WELLHEAD

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class StringStates:
    """Everything kept, time first. Places: `nodes` [N] of pipe and `rows` [R] of Links, see Snapshots.

    pressure, density [T, N]: Pa, kg/m3 of what fills the node; cells [T, C]: pressures of the rock; flux [T, R, 3]:
    surface volumes of water, oil and gas, m3/s from a to b; rate [T, R]: volume rate of conduits; multiplier, linear,
    quadratic [T, R]: switches; mobility, rock_density [T, S]: of the cells at the sandface; outlet [T, 3]: surface
    rates of water, oil and gas out of the string, m3/s. tubing [T]: the tubing then; wellhead [T]: pressure of the
    control where it held the well, Pa, else nan.
    """

    pressure: Floats
    density: Floats
    cells: Floats
    flux: Floats
    rate: Floats
    multiplier: Floats
    linear: Floats
    quadratic: Floats
    mobility: Floats
    rock_density: Floats
    outlet: Floats
    tubing: tuple[Tubing | None, ...]
    wellhead: Floats


@dataclass
class Snapshots:
    """Takes the states of a march.

    nodes [N]: pipe nodes; rows [R]: rows of Links of conduits and sandface; at_node, at_row: places of nodes and rows
    in them; sandface [S]: rows of Links; cells [C]: rock nodes of all layers.
    """

    march: March
    nodes: Ints = field(init=False)
    rows: Ints = field(init=False)
    sandface: Ints = field(init=False)
    cells: Ints = field(init=False)

    def __post_init__(self) -> None:
        net = self.march.network
        self.nodes = np.flatnonzero(net.nodes.kind == PIPE)
        self.rows = np.flatnonzero((net.links.kind == CONDUIT) | (net.links.kind == SANDFACE))
        self.sandface = net.sandface_rows
        self.cells = np.array(sorted(node for body in net.bodies for node in body.cells), dtype=np.int64)
        self.at_node = np.full(len(net.nodes.kind), -1, dtype=np.int64)
        self.at_node[self.nodes] = np.arange(len(self.nodes))
        self.at_row = np.full(len(net.links.kind), -1, dtype=np.int64)
        self.at_row[self.rows] = np.arange(len(self.rows))
        self._face = net.links.a[self.sandface]
        self._kept: list[tuple[Floats, ...]] = []
        self._tubing: list[Tubing | None] = []
        self._wellhead: list[float] = []

    def __deepcopy__(self, memo: dict[int, Any]) -> Snapshots:
        """Lists of its own; what was taken is shared, it never changes."""
        new = copy.copy(self)
        memo[id(self)] = new
        new.march = copy.deepcopy(self.march, memo)
        new._kept, new._tubing, new._wellhead = list(self._kept), list(self._tubing), list(self._wellhead)
        return new

    def take(self, tubing: Tubing | None) -> None:
        """Keep the state of the march as it stands; tubing: that of the well now."""
        march, rows = self.march, self.rows
        work, switches, face = march.work, march.switches, self._face
        pressure = march.x[:, 0]
        filled = np.vecdot(work.saturation.take(face, axis=0), work.density.take(face, axis=0))
        self._kept.append((
            pressure.take(self.nodes), work.mixture[:, 0].take(self.nodes), pressure.take(self.cells),
            work.flux.take(rows, axis=0), march.rates.take(rows), switches.multiplier.take(rows),
            switches.linear.take(rows), switches.quadratic.take(rows), work.total.take(face), filled,
            work.outlet.copy(),
        ))  # fmt: skip
        self._tubing.append(tubing)
        held = int(march.modes[0]) == WELLHEAD
        self._wellhead.append(march.control.wellhead if held else np.nan)

    def states(self) -> StringStates:
        """All that was kept, time first."""
        columns = [np.array(column) for column in zip(*self._kept, strict=True)]
        pressure, density, cells, flux, rate, multiplier, linear, quadratic, mobility, rock, outlet = columns
        return StringStates(
            pressure, density, cells, flux, rate, multiplier, linear, quadratic, mobility, rock, outlet,
            tuple(self._tubing), np.array(self._wellhead),
        )  # fmt: skip

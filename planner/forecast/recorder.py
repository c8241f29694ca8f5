"""Records the march on report dates as arrays for people: well, zones, layers, pieces of bore."""

from __future__ import annotations

import copy
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.forecast.along_string import AlongString, along_string
from planner.forecast.geometry import StringGeometry, geometry
from planner.forecast.march import March
from planner.forecast.snapshots import Snapshots, StringStates
from planner.model.lift import Tubing
from planner.network.arrays import SHUT
from planner.network.compile import Network

Floats = NDArray[np.float64]

MODE_NAMES = (
    "shut", "bottom-hole pressure", "oil rate", "liquid rate", "water rate", "gas rate", "drawdown",
    "wellhead pressure", "speed of sound at the top of the string",
)  # fmt: skip


def water_cut(water: Floats, oil: Floats) -> Floats:
    """Share of water in the liquid, surface volumes; 0 where nothing flows."""
    liquid = water + oil
    with np.errstate(invalid="ignore", divide="ignore"):
        cut: Floats = np.where(np.abs(liquid) > 1e-12, np.clip(water / liquid, 0.0, 1.0), 0.0)
    return cut


class Recorder:
    """Collects rows while the march goes on; `columns` gives the arrays."""

    def __init__(self, march: March) -> None:
        self.march = march
        net = march.network
        rows = net.sandface_rows
        self.rows = rows
        self.sign = -1.0 if march.control.injector else 1.0
        body = [net.body_of_row[int(r)] for r in rows]
        zones, layers = len(net.graph.zones), len(net.case.layers)
        self.target = 1 if net.case.fluid.oil is not None else 2  # component whose recovery is told
        self.to_zone = _indicator(zones, [net.bodies[b].zone for b in body])
        self.to_layer = _indicator(layers, [net.bodies[b].layer for b in body])
        self.of_body = np.array([b.zone for b in net.bodies])
        self.times: list[float] = []
        self.modes: list[str] = []
        self.tables: dict[str, dict[str, list[Floats]]] = {"well": {}, "zone": {}, "layer": {}}
        self.states: list[dict[str, str]] = []
        self.rock = np.array([i for body in net.bodies for i in body.cells])
        self.zone_mean = _mean(zones, [b.zone for b in net.bodies], net)
        self.layer_mean = _mean(layers, [b.layer for b in net.bodies], net)
        held = np.array([march.in_place[list(b.cells)].sum(axis=0) for b in net.bodies]).reshape(-1, 3)
        self.zone_in_place = _indicator(zones, [b.zone for b in net.bodies]) @ held
        self.layer_in_place = _indicator(layers, [b.layer for b in net.bodies]) @ held
        self.snapshots = Snapshots(march)
        self._string: tuple[int, StringGeometry, StringStates, AlongString] | None = None

    def __deepcopy__(self, memo: dict[int, Any]) -> Recorder:
        """Lists of its own; rows that are written are shared, they never change."""
        new = copy.copy(self)
        memo[id(self)] = new
        new.march = copy.deepcopy(self.march, memo)
        new.snapshots = copy.deepcopy(self.snapshots, memo)
        new.times, new.modes, new.states = list(self.times), list(self.modes), list(self.states)
        new.tables = {
            name: {column: list(rows) for column, rows in table.items()} for name, table in self.tables.items()
        }
        return new

    def _put(self, table: str, **columns: Floats | float) -> None:
        for name, value in columns.items():
            self.tables[table].setdefault(name, []).append(np.asarray(value, dtype=np.float64))

    def record(self, states: dict[str, str], tubing: Tubing | None = None) -> None:
        """One row of every table, from the march as it stands; tubing: where a job has changed the case's own."""
        march = self.march
        self.times.append(march.time)
        self.modes.append(MODE_NAMES[int(march.modes[0])])
        self.states.append(dict(states))
        self._well()
        flux = self.sign * march.work.flux[self.rows]
        passed = self.sign * march.passed[self.rows]
        for name, matrix, in_place, mean in (
            ("zone", self.to_zone, self.zone_in_place, self.zone_mean),
            ("layer", self.to_layer, self.layer_in_place, self.layer_mean),
        ):
            rate, volume = matrix @ flux, matrix @ passed
            target, got = in_place[:, self.target], volume[:, self.target]
            self._put(
                name, oil_rate=rate[:, 1], water_rate=rate[:, 0], gas_rate=rate[:, 2],
                liquid_rate=rate[:, 0] + rate[:, 1], water_cut=water_cut(rate[:, 0], rate[:, 1]),
                oil_volume=volume[:, 1], water_volume=volume[:, 0], gas_volume=volume[:, 2],
                recovery_factor=got / np.maximum(target, 1e-9) * (target > 1e-6),
                pressure=mean @ march.x[self.rock, 0], water_saturation=mean @ march.work.saturation[self.rock, 0],
            )  # fmt: skip
        zones = self.tables["zone"]
        self._put("zone", drawdown=self.sign * (zones["pressure"][-1] - march.x[march.network.zones.bore, 0]))
        self.snapshots.take(tubing or march.network.case.tubing)

    def _well(self) -> None:
        march = self.march
        rate = self.sign * march.work.outlet * (march.modes[0] != SHUT)  # one that died in this step gives nothing more
        if not self.tables["well"]:  # at the start: what the zones give, not what the string empties
            rate = self.sign * march.work.flux[self.rows].sum(axis=0)
        volume = self.sign * march.produced
        oil = max(rate[1], 0.0)
        held = float(self.zone_in_place[:, self.target].sum())
        top = march.control.top
        bottom = march.x[top, 0]
        self._put(
            "well", oil_rate=rate[1], water_rate=rate[0], gas_rate=rate[2], liquid_rate=rate[0] + rate[1],
            water_cut=water_cut(rate[0:1], rate[1:2])[0], gas_oil_ratio=rate[2] / oil if oil > 1e-9 else 0.0,
            bottom_hole_pressure=bottom, oil_volume=volume[1], water_volume=volume[0], gas_volume=volume[2],
            recovery_factor=volume[self.target] / held if held > 1e-6 else 0.0,
        )  # fmt: skip

    def string(self) -> tuple[StringGeometry, StringStates, AlongString]:
        """States of the string on all dates so far, and the columns along it."""
        if self._string is None or self._string[0] != len(self.times):
            net = self.march.network
            at, states = geometry(net, self.snapshots), self.snapshots.states()
            self._string = len(self.times), at, states, along_string(net, at, states, self.sign)
        return self._string[1:]

    def columns(self) -> dict[str, dict[str, Floats]]:
        """All tables as arrays, time first."""
        made = {
            table: {name: np.array(rows) for name, rows in columns.items()} for table, columns in self.tables.items()
        }
        return {**made, "piece": self.string()[2].columns}

    @property
    def days(self) -> Floats:
        """Days of the rows."""
        return np.array(self.times) / DAY


def _indicator(count: int, of: list[int]) -> Floats:
    """Matrix [count, len(of)] that sums what belongs together."""
    out = np.zeros((count, len(of)))
    out[of, np.arange(len(of))] = 1.0
    return out


def _mean(count: int, of: list[int], net: Network) -> Floats:
    """Matrix [count, rock cells] of volume-weighted means over the bodies that belong together."""
    cells = [of[k] for k, body in enumerate(net.bodies) for _ in body.cells]
    volume = np.concatenate([net.nodes.volume[list(body.cells)] for body in net.bodies])
    weights = _indicator(count, cells) * volume
    mean: Floats = weights / np.maximum(weights.sum(axis=1, keepdims=True), 1e-30)
    return mean

"""Records the march on report dates as arrays for people: well, zones, layers, pieces of bore."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.forecast.march import March
from planner.network.arrays import (
    BO,
    GAS_EXPANSION,
    INVERSE_BW,
    RS,
    Fluids,
)
from planner.network.compile import Network
from planner.network.records import TOP

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


def at_pressure(fluids: Fluids, pressure: Floats, which: int) -> Floats:
    """A column of the fluid table at many pressures."""
    grid = fluids.start + fluids.step * np.arange(fluids.table.shape[0])
    values: Floats = np.interp(pressure, grid, fluids.table[:, which])
    return values


def reservoir_volume(fluids: Fluids, pressure: Floats, flux: Floats) -> Floats:
    """Volume rate [k] at the pressures of surface rates [k, 3] of water, oil, gas; oil taken as saturated there."""
    dissolved = np.minimum(np.abs(flux[:, 1]) * at_pressure(fluids, pressure, RS), np.abs(flux[:, 2]))
    free = np.sign(flux[:, 2]) * (np.abs(flux[:, 2]) - dissolved)
    volume: Floats = flux[:, 0] / at_pressure(fluids, pressure, INVERSE_BW)
    volume += flux[:, 1] * at_pressure(fluids, pressure, BO)
    volume += free / at_pressure(fluids, pressure, GAS_EXPANSION)
    return volume


class Recorder:
    """Collects rows while the march goes on; `columns` gives the arrays."""

    def __init__(self, march: March) -> None:
        self.march = march
        net = march.network
        rows = net.sandface_rows
        self.rows = rows
        self.sign = -1.0 if march.control.injector else 1.0
        body = [net.body_of_row[int(r)] for r in rows]
        zones, layers, pieces = len(net.graph.zones), len(net.case.layers), len(net.graph.pieces)
        self.target = 1 if net.case.fluid.oil is not None else 2  # component whose recovery is told
        self.to_zone = _indicator(zones, [net.bodies[b].zone for b in body])
        self.to_layer = _indicator(layers, [net.bodies[b].layer for b in body])
        self.to_piece = _indicator(pieces, [net.piece_of_row[int(r)] for r in rows])
        self.into_bore = np.array([int(net.links.b[r]) in set(net.bore) for r in rows])
        self.screen_rows = _screen_rows(net)
        self.of_body = np.array([b.zone for b in net.bodies])
        self.times: list[float] = []
        self.modes: list[str] = []
        self.tables: dict[str, dict[str, list[Floats]]] = {"well": {}, "zone": {}, "layer": {}, "piece": {}}
        self.states: list[dict[str, str]] = []
        self.rock = np.array([i for body in net.bodies for i in body.cells])
        self.zone_mean = _mean(zones, [b.zone for b in net.bodies], net)
        self.layer_mean = _mean(layers, [b.layer for b in net.bodies], net)
        self.piece_area = np.array([p.bore_area for p in net.graph.pieces])
        self.beside = [row for link in net.graph.links if link.kind == "inner pipe" and link.a == TOP
                       for row in net.rows_of_link[link.index]]  # fmt: skip
        self.screen_area = np.array(
            [np.pi * p.outer_diameter * p.length if p.kind == "screen" else np.nan for p in net.graph.pieces]
        )
        held = np.array([march.in_place[list(b.cells)].sum(axis=0) for b in net.bodies]).reshape(-1, 3)
        self.zone_in_place = _indicator(zones, [b.zone for b in net.bodies]) @ held
        self.layer_in_place = _indicator(layers, [b.layer for b in net.bodies]) @ held
        self.annulus_nodes = np.array([net.annulus.get(k, net.bore[k]) for k in range(pieces)])

    def _put(self, table: str, **columns: Floats | float) -> None:
        for name, value in columns.items():
            self.tables[table].setdefault(name, []).append(np.asarray(value, dtype=np.float64))

    def record(self, states: dict[str, str]) -> None:
        """One row of every table, from the march as it stands."""
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
        self._pieces(flux)

    def _well(self) -> None:
        march = self.march
        rate = self.sign * march.work.outlet
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

    def _pieces(self, flux: Floats) -> None:
        """Inflow into every piece of bore; behind a screen with an annulus it is what passes the screen."""
        march = self.march
        net = march.network
        inflow = self.to_piece[:, self.into_bore] @ flux[self.into_bore]
        for piece, row, direction in self.screen_rows:
            inflow[piece] += self.sign * direction * march.work.flux[row]
        bore = march.x[list(net.bore), 0]
        rate = np.zeros(len(net.bore))
        rate[0] = march.outlet[0] if march.control.injector == 0 else np.nan
        for link in range(len(net.bore) - 1):
            rate[link + 1] = -self.sign * march.rates[net.rows_of_link[link][0]]
        if march.control.injector:
            rate[0] = abs(float(reservoir_volume(net.fluids, bore[:1], march.work.outlet[None, :])[0]))
        # the first piece passes what an inner pipe beside it does not
        rate[0] += self.sign * float(march.rates[self.beside].sum())
        through = reservoir_volume(net.fluids, bore, inflow)
        self._put(
            "piece", pressure=bore, annulus_pressure=march.x[self.annulus_nodes, 0], oil_inflow=inflow[:, 1],
            water_inflow=inflow[:, 0], gas_inflow=inflow[:, 2], bore_rate=rate,
            velocity=np.abs(rate) / self.piece_area, screen_velocity=np.abs(through) / self.screen_area,
        )  # fmt: skip

    def columns(self) -> dict[str, dict[str, Floats]]:
        """All tables as arrays, time first."""
        return {
            table: {name: np.array(rows) for name, rows in columns.items()} for table, columns in self.tables.items()
        }

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


def _screen_rows(net: Network) -> list[tuple[int, int, float]]:
    """(piece, row, direction) of links other than the sandface that lead into the bore."""
    found = []
    for link in net.graph.links:
        if link.kind in ("screen", "screen end"):
            for row in net.rows_of_link[link.index]:
                found.append((link.other_piece, row, 1.0))
        elif link.kind == "seal":  # a leak that enters the bore of a conforming screen, or leaves it
            for row in net.rows_of_link[link.index]:
                if link.a[0] == "bore":
                    found.append((link.piece, row, -1.0))
                if link.b[0] == "bore":
                    found.append((link.other_piece, row, 1.0))
    return found

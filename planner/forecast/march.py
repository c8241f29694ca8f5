"""One well marching in time: implicit steps of second order with local error control.

The two-step backward formula is written on the flows through the links: each link adds to its two ends
memory + weight * dt * flux, with the memory a share of what passed in the last step. So mass is conserved to round-off
whatever the weights, and a link whose cell sees a front can fall back to the first-order formula by itself. What a
Newton solution leaves over is carried into the next step, never lost.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.base.errors import ForecastError
from planner.forecast.kernels import (
    front_arrival,
    front_moved,
    front_overrun,
    lagged_losses,
    lagged_momentum,
    pressure_misfit,
    two_step_weights,
)
from planner.network.arrays import (
    CONDUIT,
    GAS_RATE,
    LIQUID_RATE,
    OIL_RATE,
    PRESSURE,
    SHUT,
    WATER_RATE,
    Control,
    Sources,
)
from planner.network.compile import Network
from planner.network.newton import CONVERGED, step
from planner.network.properties import evaluate

Floats = NDArray[np.float64]

MOST_ITERATIONS = 16
LARGEST_GROWTH = 2.0
LEAST_STEP = 1e-3  # s
CHOKED = 150.0  # m/s in a pipe that could not be solved: what the control asks for cannot pass
FRONT_DETAIL = 0.002  # of the time elapsed: how closely the arrival of a front is met
COMPONENT_NAMES = ("water balance", "oil balance", "gas balance", "pressure loss", "control")


@dataclass
class Counters:
    """How the computation went."""

    steps: int = 0
    failed: int = 0
    iterations: int = 0


@dataclass
class March:
    """State of a well in time; `advance` moves it. Times in s, everything SI."""

    network: Network
    control: Control
    time: float = 0.0
    counters: Counters = field(default_factory=Counters)
    before_try: Callable[[float], None] | None = None  # told the length of every step that is tried

    def __post_init__(self) -> None:
        net = self.network
        links = len(net.links.kind)
        self.work = net.work()
        self.switches = net.fresh_switches()
        self.open_zones = net.zones._replace(open=net.zones.open.copy(), mean=net.zones.mean.copy())
        self.screen_linear: Floats = net.screen_linear.copy()  # grow as screens plug
        self.screen_quadratic: Floats = net.screen_quadratic.copy()  # change with valves
        self.x: Floats = net.start.copy()
        self.rates: Floats = np.zeros(links)
        self.outlet: Floats = np.zeros(1)
        self.modes = np.array([first_mode(self.control)], dtype=np.int64)
        self.sources = Sources(
            np.array([i.node for i in net.inlets], dtype=np.int64),
            np.zeros((len(net.inlets), 3)),
            np.zeros((len(net.inlets), 3)),
        )
        evaluate(self.x, net.nodes, net.fluids, net.rocks, net.fronts, self.work)
        self.book: Floats = net.nodes.volume[:, None] * self.work.content
        self.in_place: Floats = self.book.copy()
        self.passed: Floats = np.zeros((links, 3))  # cumulative through every link
        self.produced: Floats = np.zeros(3)
        self.entered: Floats = np.zeros((len(net.inlets), 3))
        self._memory: Floats = np.zeros((links, 3))
        self._weight: Floats = np.ones(links)
        self._moved: Floats = np.zeros((links, 3))
        self._outlet_moved: Floats = np.zeros(3)
        self._saturation: Floats = self.work.saturation.copy()
        self._history: list[tuple[float, Floats]] = []
        self._last_dt = 0.0
        self._fastest = 0.0
        self._corner = 0  # steps until the past is smooth again
        self.next_dt = net.case.numerics.first_step
        self.range = 1e5
        self.restart()

    def restart(self) -> None:
        """Forget the past: something has changed, the next step is of first order and small."""
        self._history = [(self.time, self.x[:, 0].copy())]
        self._last_dt = 0.0
        self.next_dt = min(self.next_dt, self.network.case.numerics.first_step)

    # one step --------------------------------------------------------------------------------------------------

    def _weights(self, dt: float) -> tuple[Floats, float]:
        """Set memory and weight of the links; returns those of the outlet."""
        if self._last_dt == 0.0:
            self._memory[:] = 0.0
            self._weight[:] = 1.0
            return np.zeros(3), 1.0
        ratio = dt / self._last_dt
        net = self.network
        outlet = two_step_weights(
            ratio,
            self._saturation,
            self.work.saturation,
            self._moved,
            net.nodes,
            net.links,
            net.fronts,
            self._memory,
            self._weight,
        )
        share = ratio * ratio / (1.0 + 2.0 * ratio) if outlet < 1.0 else 0.0
        return share * self._outlet_moved, outlet

    def _predict(self, time: float, points: int) -> Floats:
        """Pressures at a time by Lagrange extrapolation through the last `points` states."""
        used = self._history[-points:]
        guess = np.zeros(len(self.x))
        for k, (at, pressure) in enumerate(used):
            factor = 1.0
            for j, (other, _) in enumerate(used):
                if j != k:
                    factor *= (time - other) / (at - other)
            guess += factor * pressure
        return guess

    def _try(self, dt: float) -> tuple[bool, int, int]:
        """One attempt; on success the state is that of time + dt, with work to match. (done, node, component)."""
        net = self.network
        if self.before_try is not None:
            self.before_try(dt)
        outlet_memory, outlet_weight = self._weights(dt)
        keep = self.x.copy(), self.rates.copy(), self.outlet.copy(), self.modes.copy()
        before = self.work.saturation.copy()
        lagged_losses(
            self.x,
            net.links,
            net.fluids,
            self.screen_linear,
            self.screen_quadratic,
            net.turbulence,
            self.switches,
            self.work,
        )
        if len(net.axis.row):
            leaves = float(self.outlet[0]) if not self.control.injector else np.nan
            lagged_momentum(self.rates, leaves, net.top, net.axis, net.links, self.switches, self.work)
        if len(self._history) > 1:
            guess = self._predict(self.time + dt, 2)
            limit = 0.3 * self.x[:, 0]
            self.x[:, 0] += np.clip(guess - self.x[:, 0], -limit, limit)
            self.x[net.nodes.frozen, 0] = keep[0][net.nodes.frozen, 0]
        status, iterations, node, component = step(
            self.x,
            self.rates,
            self.outlet,
            self.modes,
            dt,
            self.book,
            self._memory,
            self._weight,
            outlet_memory,
            outlet_weight,
            MOST_ITERATIONS,
            net.nodes,
            net.links,
            self.switches,
            self.sources,
            self.control,
            self.open_zones,
            net.fluids,
            net.rocks,
            net.fronts,
            net.pattern,
            self.work,
        )
        self.counters.iterations += iterations
        if status != CONVERGED:
            self.counters.failed += 1
            self._fastest = self._fastest_flow()
            self._undo(keep)
            return False, node, component
        self._before = before
        self._keep = keep
        self._flows = outlet_memory + outlet_weight * dt * self.work.outlet
        return True, node, component

    def _undo(self, keep: tuple[Floats, Floats, Floats, NDArray[np.int64]]) -> None:
        self.x[:], self.rates[:], self.outlet[:], self.modes[:] = keep
        net = self.network
        evaluate(self.x, net.nodes, net.fluids, net.rocks, net.fronts, self.work)

    def _error(self, dt: float) -> float:
        """Local error of pressure over its range, from the distance to the extrapolated past; 0 when none."""
        points = min(len(self._history), 3)
        if points < 2:
            return 0.0
        distance = pressure_misfit(self.x, self._predict(self.time + dt, points), self.network.nodes)
        return distance * (1.0 if points == 3 else 0.1) / self.range

    def _accept(self, dt: float) -> None:
        """Book what has passed."""
        w = self._weight[:, None]
        self._moved = self._memory + w * dt * self.work.flux
        self.passed += self._moved
        self._outlet_moved = self._flows
        self.produced += self._flows
        src = self.sources
        if len(src.node):
            self.entered += dt * (src.constant - src.slope * self.x[src.node, 0][:, None])
        self.book = self.work.storage - self.work.residual
        self._saturation = self._before
        self.time += dt
        self._last_dt = dt
        self._history.append((self.time, self.x[:, 0].copy()))
        del self._history[:-3]
        rock = self.network.nodes.kind == 0
        held = self.x[rock, 0]
        bore = self.x[self.control.top, 0]
        self.range = max(self.range, float(held.max() - min(held.min(), bore)))
        self.counters.steps += 1

    def advance(self, until: float) -> None:
        """One accepted step, not beyond `until`. Raises ForecastError when no step of any length can be solved."""
        numerics = self.network.case.numerics
        left = until - self.time
        dt = min(self.next_dt, numerics.longest_step)
        if left <= dt * 1.001:
            dt = left
        elif left < 2.0 * dt:
            dt = 0.5 * left
        while True:
            done, node, component = self._try(dt)
            if not done:
                dt *= 0.25
                self._give_up(dt, node, component)
                continue
            share = front_overrun(self._before, self.work.saturation, self.network.fronts)
            if share < 0.95 and dt > max(FRONT_DETAIL * self.time, 0.5 * DAY):
                self._undo(self._keep)
                dt *= max(share, 0.1)
                continue
            error = self._error(dt) / numerics.tolerance
            corner = front_moved(self._before, self.work.saturation, self.network.nodes, self.network.fronts)
            self._corner = 3 if corner else max(self._corner - 1, 0)
            if self._corner:
                error = min(error, 0.5)
            if error > 8.0 and dt > numerics.first_step:
                self.counters.failed += 1
                self._undo(self._keep)
                dt *= max(0.2, 0.9 * error ** (-1.0 / 3.0))
                continue
            break
        grow = LARGEST_GROWTH if error == 0.0 else min(LARGEST_GROWTH, 0.9 * error ** (-1.0 / 3.0))
        self._accept(dt)
        self.next_dt = dt * max(grow, 0.2) if dt < left or grow < 1.0 else max(dt * grow, min(self.next_dt, dt * 4.0))
        self._meet_front()

    def _meet_front(self) -> None:
        """Shorten the next step so that a front's arrival at the well falls on its end, then its passage."""
        net = self.network
        if not len(net.fronts.low):
            return
        arrival, passage = front_arrival(self._saturation, self.work.saturation, self._last_dt, net.fronts)
        if arrival < self.next_dt:
            self.next_dt = max(arrival, 1.5 * passage if arrival < passage else 0.0, 0.02 * DAY)

    def front_left(self, zone: int) -> float:
        """Share of the last step after which the first front of a zone began to leave for the well; 0: none did."""
        net = self.network
        fronts = net.fronts
        cells = {node for body in net.bodies if body.zone == zone for node in body.cells}
        shares = [
            (fronts.low[row] - self._saturation[node, 0]) / (self.work.saturation[node, 0] - self._saturation[node, 0])
            for row, node in enumerate(fronts.node)
            if fronts.last[row] and node in cells
            and self._saturation[node, 0] < fronts.low[row] < self.work.saturation[node, 0]
        ]  # fmt: skip
        return float(min(shares, default=0.0))

    def _give_up(self, dt: float, node: int, component: int) -> None:
        if dt > LEAST_STEP:
            return
        said = f"no step could be solved on day {self.time / DAY:.2f}: the {COMPONENT_NAMES[component]} of "
        said += f"{self.where(node)} would not close."
        if self._fastest > CHOKED:
            raise ForecastError(
                f"{said} Fluid was asked to run through the string at {self._fastest:.0f} m/s, near or above the "
                "speed of sound: the bore is too small for this control. Give a rate limit, a smaller drawdown or a "
                "wider bore"
            )
        raise ForecastError(f"{said} Check the input of that part, or give more cells")

    def _fastest_flow(self) -> float:
        """Largest velocity in a pipe, m/s."""
        links = self.network.links
        pipes = (links.kind == CONDUIT) & (links.length > 0.0)
        return float(np.abs(self.rates[pipes] / links.area[pipes]).max(initial=0.0))

    def where(self, node: int) -> str:
        """A node in words."""
        net = self.network
        for body in net.bodies:
            if node in body.cells:
                layer = net.case.layers[body.layer].name
                return f"layer {layer}, cell {body.cells.index(node) + 1}" + (" of the streak" if body.streak else "")
        for what, nodes in (("bore", enumerate(net.bore)), ("annulus", net.annulus.items())):
            for piece, at in nodes:
                if at == node:
                    return f"the {what} of {net.graph.pieces[piece].name}"
        return "a boundary"


def first_mode(control: Control, oil_at_top: bool = True) -> int:
    """Mode to try first: a rate where one is given, since it leaves the string near the pressure of the rock.

    oil_at_top: whether oil stands at the outlet; an oil rate cannot be asked of water that has settled there.
    """
    if control.shut:
        return SHUT
    if control.injector:
        rate, mode = (control.gas, GAS_RATE) if control.injector == 3 else (control.water, WATER_RATE)
        return PRESSURE if np.isnan(rate) else mode
    for rate, mode in ((control.liquid, LIQUID_RATE), (control.oil, OIL_RATE), (control.gas, GAS_RATE)):
        if not np.isnan(rate) and (mode != OIL_RATE or oil_at_top):
            return mode
    return PRESSURE

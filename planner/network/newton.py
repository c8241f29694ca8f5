"""One implicit step: damped Newton on the network, with the well's control switching inside. Compiled; arrays only."""

from __future__ import annotations

import math

import numpy as np

from planner.base.compiled import kernel
from planner.network.arrays import (
    CONDUIT,
    DRAWDOWN,
    GAS_RATE,
    LIQUID_RATE,
    OIL_RATE,
    PIPE,
    PRESSURE,
    SHUT,
    SOUND,
    WATER_RATE,
    WELLHEAD,
    Control,
    Floats,
    Fluids,
    Fronts,
    Ints,
    Links,
    Nodes,
    Rocks,
    Sources,
    Switches,
    Work,
    Zones,
)
from planner.network.assemble import assemble, tubing_pressure
from planner.network.properties import evaluate
from planner.solve.elimination import Pattern, solve

CONVERGED, TOO_MANY, SINGULAR = 0, 1, 2
TOLERANCE = 1e-9  # of a node's volume, or of the largest flow through any node in the step
LOSS_TOLERANCE = 5.0  # Pa
LONGEST_CHANGE = 0.2  # of a saturation in one iteration, rock
LONGEST_PIPE_CHANGE = 1.5  # the same in a conduit, which may fill with another fluid in one step
OVERDRAWN = -0.02  # of a conduit's volume: what earlier steps left over may be owed, and is washed out with the flow
MOST_SWITCHES = 8
SETTLED_MEAN = 3  # iterations in which the mean pressure of a zone follows the state; then its drawdown's is held
FASTEST = 2000.0  # m/s in a conduit: an iteration from standstill would shoot far beyond
TRICKLE = 1e-5  # m3/s, at which the tubing of a shut well is asked whether it could flow
LEAST_PRESSURE = 1.0e5


@kernel
def _zone_means(x: Floats, nodes: Nodes, zones: Zones) -> None:
    """Fill zones.mean with the mean pressure of each zone's rock."""
    for zone in range(zones.bore.shape[0]):
        volume = 0.0
        mean = 0.0
        for at in range(zones.first[zone], zones.first[zone + 1]):
            node = zones.node[at]
            volume += nodes.volume[node]
            mean += nodes.volume[node] * x[node, 0]
        zones.mean[zone] = mean / volume if volume > 0.0 else np.nan


@kernel
def _floor(x: Floats, zones: Zones, control: Control) -> tuple[float, int, int]:
    """Pressure that the top may not pass, the mode (PRESSURE or DRAWDOWN) that asks for it, and the zone that does."""
    floor = control.floor
    mode = PRESSURE
    held = -1
    if control.drawdown != control.drawdown:
        return floor, mode, held
    top = x[control.top, 0]
    sign = 1.0 if control.injector == 0 else -1.0
    for zone in range(zones.bore.shape[0]):
        if not zones.open[zone]:
            continue
        asked = zones.mean[zone] - sign * control.drawdown - (x[zones.bore[zone], 0] - top)
        if sign * (asked - floor) > 0.0:
            floor = asked
            mode = DRAWDOWN
            held = zone
    return floor, mode, held


@kernel
def _excess(rate: float, control: Control, work: Work) -> tuple[float, int]:
    """The rate limit that is passed the most: its ratio to the limit and its mode."""
    worst = 0.0
    mode = SHUT
    top = control.top
    if control.injector != 0:
        limit = control.gas if control.injector == 3 else control.water
        if limit == limit:
            return rate / max(limit, 1e-30), GAS_RATE if control.injector == 3 else WATER_RATE
        return 0.0, SHUT
    if rate > control.fastest:
        worst = rate / control.fastest
        mode = SOUND
    oil = rate * work.content[top, 1]
    water = rate * work.content[top, 0]
    if control.oil == control.oil and oil / max(control.oil, 1e-30) > worst:
        worst = oil / max(control.oil, 1e-30)
        mode = OIL_RATE
    if control.liquid == control.liquid and (oil + water) / max(control.liquid, 1e-30) > worst:
        worst = (oil + water) / max(control.liquid, 1e-30)
        mode = LIQUID_RATE
    if control.water == control.water and water / max(control.water, 1e-30) > worst:
        worst = water / max(control.water, 1e-30)
        mode = WATER_RATE
    gas = rate * work.content[top, 2]
    if control.gas == control.gas and gas / max(control.gas, 1e-30) > worst:
        worst = gas / max(control.gas, 1e-30)
        mode = GAS_RATE
    return worst, mode


@kernel
def _next_mode(x: Floats, rate: float, mode: int, floor: float, floor_mode: int, control: Control, work: Work) -> int:
    """The control that should hold, given the one that does: the tightest, with hysteresis."""
    if control.shut:
        return SHUT
    sign = 1.0 if control.injector == 0 else -1.0
    pressure = x[control.top, 0]
    if mode == SHUT:
        return floor_mode if sign * (pressure - floor) > 100.0 else SHUT
    if mode == PRESSURE or mode == DRAWDOWN or mode == WELLHEAD:
        if rate < 0.0:
            return SHUT
        worst, other = _excess(rate, control, work)
        if worst > 1.0 + 1e-7:
            return other
        return floor_mode
    if sign * (pressure - floor) < -1.0:
        return floor_mode
    worst, other = _excess(rate, control, work)
    if other != mode and worst > 1.0 + 1e-7:
        return other
    return mode


@kernel
def _largest_throughput(work: Work) -> float:
    """Largest volume that any node passes in the step."""
    largest = 0.0
    for i in range(work.throughput.shape[0]):
        gas = work.throughput[i, 2] / max(work.content[i, 2], 1.0)
        largest = max(largest, work.throughput[i, 0] + work.throughput[i, 1] + gas)
    return largest


@kernel
def _largest_gas(work: Work) -> float:
    """Largest gas content of any node, 1 at least: what balances of gas are judged by."""
    largest = 1.0
    for i in range(work.content.shape[0]):
        largest = max(largest, work.content[i, 2])
    return largest


@kernel
def _error(
    nodes: Nodes, links: Links, switches: Switches, outlet_rate: float, mode: int, control: Control, work: Work
) -> tuple[float, int, int]:
    """Largest scaled residual, in units of the tolerance, and the node and component where it is."""
    worst = 0.0
    at = 0
    component = 0
    # What a long step left open must not be asked back by a short one: the scale never shrinks.
    through_well = max(_largest_throughput(work), work.largest[0])
    gas_scale = max(_largest_gas(work), work.largest[1])
    for i in range(nodes.kind.shape[0]):
        if nodes.frozen[i]:
            continue
        size = max(nodes.volume[i], through_well)
        for c in range(3):
            error = abs(work.residual[i, c]) / (size * (gas_scale if c == 2 else 1.0)) / TOLERANCE
            if not error <= worst:
                worst = error
                at = i
                component = c
    for link in range(links.kind.shape[0]):
        if links.kind[link] == CONDUIT and switches.multiplier[link] != 0.0:
            error = abs(work.conduit[link, 0]) / (LOSS_TOLERANCE)
            if error > worst:
                worst = error
                at = links.a[link]
                component = 3
    held = work.outlet_slope
    size = 1e-8 * max(abs(outlet_rate * held[4]), 1e-9)
    if mode == PRESSURE or mode == DRAWDOWN or mode == WELLHEAD:
        size = LOSS_TOLERANCE
    if abs(held[0]) / size > worst:
        worst = abs(held[0]) / size
        at = control.top
        component = 4
    return worst, at, component


@kernel
def _across_front(fronts: Fronts, row: int, sw: float, change: float) -> float:
    """Share of a saturation change that may be taken, so that the narrow passage of a front is not stepped over."""
    width = fronts.high[row] - fronts.low[row]
    new = sw + change
    if new > fronts.top[row] and sw < fronts.top[row]:
        return float((fronts.top[row] - sw) / change)
    for corner in (fronts.low[row], fronts.high[row]):
        if sw < corner - 0.05 * width and new > corner + 0.3 * width:
            return float((corner + 0.25 * width - sw) / change)
        if sw > corner + 0.05 * width and new < corner - 0.3 * width:
            return float((corner - 0.25 * width - sw) / change)
    return 1.0


@kernel
def _update(
    x: Floats, change: Floats, relax: float, gas_density: float, nodes: Nodes, fronts: Fronts, work: Work
) -> None:
    """Add the damped change to the state; saturation of rock moves at most LONGEST_CHANGE, pressure by a third."""
    for i in range(x.shape[0]):
        if nodes.frozen[i]:
            continue
        dp = relax * change[i, 0]
        most = 0.3 * x[i, 0] + 1e5
        dp = min(max(dp, -most), most)
        factor = relax
        s = work.saturation_slope[i]
        worst = 0.0
        for phase in range(3):
            worst = max(worst, abs(s[phase, 1] * change[i, 1] + s[phase, 2] * change[i, 2]))
        if nodes.kind[i] == PIPE:
            if worst * relax > LONGEST_PIPE_CHANGE:
                factor = LONGEST_PIPE_CHANGE / worst
        else:
            row = fronts.of_node[i]
            longest = LONGEST_CHANGE if row < 0 else 2.0 * LONGEST_CHANGE
            if worst * relax > longest:
                factor = longest / worst
            if row >= 0:
                dsw = s[0, 0] * dp + factor * (s[0, 1] * change[i, 1] + s[0, 2] * change[i, 2])
                factor *= _across_front(fronts, row, work.saturation[i, 0], dsw)
        x[i, 0] = max(x[i, 0] + dp, LEAST_PRESSURE)
        least = OVERDRAWN if nodes.kind[i] == PIPE else 0.0
        x[i, 1] = max(x[i, 1] + factor * change[i, 1], least)
        x[i, 2] = max(x[i, 2] + factor * change[i, 2], least * work.density[i, 2] / gas_density)


@kernel
def _linear_change(nodes: int, pattern: Pattern, work: Work) -> bool:
    """Solve for work.change."""
    for i in range(work.change.shape[0]):
        for c in range(3):
            work.change[i, c] = -work.residual[i, c] if i < nodes else 0.0
        if i >= nodes:
            work.change[i, 0] = -work.rest[i]
    return solve(pattern, work.diagonal, work.upper, work.lower, work.change)


@kernel
def step(
    x: Floats,
    rates: Floats,
    outlet: Floats,
    modes: Ints,
    dt: float,
    book: Floats,
    memory: Floats,
    weight: Floats,
    outlet_memory: Floats,
    outlet_weight: float,
    most_iterations: int,
    nodes: Nodes,
    links: Links,
    switches: Switches,
    sources: Sources,
    control: Control,
    zones: Zones,
    fluids: Fluids,
    rocks: Rocks,
    fronts: Fronts,
    pattern: Pattern,
    work: Work,
) -> tuple[int, int, int, int]:
    """Solve one step in place: x [n,3], rates [links] of conduits, outlet [1] rate, modes [1].

    Returns (status, iterations, worst node, worst component); on CONVERGED work holds properties, storage, fluxes
    and residual of the solution.
    """
    links_count = links.kind.shape[0]
    switched = 0
    at = 0
    component = 0
    floor = control.floor
    floor_mode = PRESSURE
    zone = -1
    relax = 1.0
    worst_before = math.inf
    for iteration in range(most_iterations):
        evaluate(x, nodes, fluids, rocks, fronts, work)
        if control.drawdown == control.drawdown and iteration <= SETTLED_MEAN:
            _zone_means(x, nodes, zones)
        floor, floor_mode, zone = _floor(x, zones, control)
        if control.wellhead == control.wellhead:
            asked = tubing_pressure(max(outlet[0], TRICKLE), control, work)[0]
            if (asked > floor) == (control.injector == 0):
                floor = asked
                floor_mode = WELLHEAD
        if switched < MOST_SWITCHES:
            wanted = _next_mode(x, outlet[0], modes[0], floor, floor_mode, control, work)
            if wanted != modes[0]:
                modes[0] = wanted
                switched += 1
                if wanted == SHUT:
                    outlet[0] = 0.0
        if modes[0] == DRAWDOWN and zone < 0:
            modes[0] = PRESSURE
        assemble(
            x,
            rates,
            outlet[0],
            modes[0],
            floor,
            dt,
            book,
            memory,
            weight,
            nodes,
            links,
            switches,
            sources,
            control,
            zones,
            zone,
            pattern,
            outlet_memory,
            outlet_weight,
            work,
        )
        worst, at, component = _error(nodes, links, switches, outlet[0], modes[0], control, work)
        if worst <= 1.0 and iteration > 0:
            work.largest[0] = max(work.largest[0], _largest_throughput(work))
            work.largest[1] = max(work.largest[1], _largest_gas(work))
            return CONVERGED, iteration, at, component
        relax = max(0.3, 0.6 * relax) if worst > 0.8 * worst_before and iteration > 3 else min(1.0, 1.5 * relax)
        worst_before = worst
        if worst != worst:
            return SINGULAR, iteration, at, component
        if not _linear_change(x.shape[0], pattern, work):
            return SINGULAR, iteration, at, component
        block = x.shape[0]
        for link in range(links_count):
            if links.kind[link] == CONDUIT:
                most = FASTEST * links.area[link]
                rates[link] = min(max(rates[link] + relax * work.change[block, 0], -most), most)
                block += 1
        outlet[0] = min(outlet[0] + relax * work.change[block, 0], max(2.0 * control.fastest, outlet[0]))
        _update(x, work.change, relax, fluids.density_gas, nodes, fronts, work)
    return TOO_MANY, most_iterations, at, component

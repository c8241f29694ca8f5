"""Flows through links and the residual and Jacobian of the network. Compiled; arrays only.

The balance of a node over a step: storage - book + sum over its links of sign * (memory + weight * dt * flux) = 0,
with `book` what the node is accounted to hold and memory and weight from the two-step formula (see step.py).
"""

from __future__ import annotations

import math

from planner.base.compiled import inlined, kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.network.arrays import (
    CONDUIT,
    DRAWDOWN,
    GAS_RATE,
    LIQUID_RATE,
    OIL_RATE,
    PRESSURE,
    SANDFACE,
    SHUT,
    SOUND,
    WELLHEAD,
    Control,
    Floats,
    Links,
    Nodes,
    Sources,
    Switches,
    Work,
    Zones,
)
from planner.network.friction import conduit_loss
from planner.network.lift_table import lift_pressure
from planner.solve.elimination import Pattern

UPWIND_SMOOTHING = 2e-6  # m3/s; conduits alone
OUTLET_SLOPE = 10.0  # Pa per m3/s between the top node and the control pressure


@inlined
def _gas_mean(work: Work, p_a: float, p_b: float, a: int, b: int) -> tuple[float, float, float]:
    """Mean of 1/(Bg mu) between two pressures and its slopes: exact integral, the gas pseudo-pressure."""
    rise = p_a - p_b
    if abs(rise) < 1.0:
        return 0.5 * (work.gas[a, 1] + work.gas[b, 1]), 0.0, 0.0
    mean = (work.gas[a, 0] - work.gas[b, 0]) / rise
    return mean, (work.gas[a, 1] - mean) / rise, (mean - work.gas[b, 1]) / rise


@inlined
def _add_row(work: Work, pattern: Pattern, link: int, a: int, b: int, c: int, factor: float) -> None:
    """Add the slopes of the flux of component c (work.ga to a, work.gb to b) to the Jacobian of both ends."""
    e = pattern.link_edge[link]
    flip = pattern.link_flip[link] == 1
    for k in range(3):
        to_a = factor * work.ga[c, k]
        to_b = factor * work.gb[c, k]
        work.diagonal[a, c, k] += to_a
        work.diagonal[b, c, k] -= to_b
        if flip:
            work.lower[e, c, k] += to_b
            work.upper[e, c, k] -= to_a
        else:
            work.upper[e, c, k] += to_b
            work.lower[e, c, k] -= to_a


@inlined
def _darcy(link: int, x: Floats, links: Links, t: float, work: Work, ga: Floats, gb: Floats) -> None:
    """Flux [3] of a rock link and its slopes ga, gb [3,3]: upstream mobility phase by phase, gravity head."""
    a = links.a[link]
    b = links.b[link]
    p_a = x[a, 0]
    p_b = x[b, 0]
    fall = STANDARD_GRAVITY * links.fall[link]
    for phase in range(3):
        work.flux[link, phase] = 0.0
    for c in range(3):
        for k in range(3):
            ga[c, k] = 0.0
            gb[c, k] = 0.0
    for phase in range(3):
        if not (links.phases[link] >> phase) & 1:
            continue
        drop = p_a - p_b + 0.5 * fall * (work.density[a, phase] + work.density[b, phase])
        up, slope_up = (a, ga) if drop >= 0.0 else (b, gb)
        face = 1 if (links.sweep[link] == 1 and drop >= 0.0) or (links.sweep[link] == -1 and drop < 0.0) else 0
        mobility = work.mobility[up, face, phase]
        if mobility == 0.0:
            continue
        flow = t * mobility
        if phase == 2:
            mean, mean_a, mean_b = _gas_mean(work, p_a, p_b, a, b)
            for k in range(3):
                slope_up[2, k] += t * mean * work.mobility_slope[up, face, 2, k] * drop
            ga[2, 0] += flow * mean_a * drop
            gb[2, 0] += flow * mean_b * drop
            flow *= mean
        else:
            for k in range(3):
                slope_up[phase, k] += t * work.mobility_slope[up, face, phase, k] * drop
        ga[phase, 0] += flow
        gb[phase, 0] -= flow
        if fall != 0.0:
            for k in range(3):
                ga[phase, k] += 0.5 * fall * flow * work.density_slope[a, phase, k]
                gb[phase, k] += 0.5 * fall * flow * work.density_slope[b, phase, k]
        work.flux[link, phase] = flow * drop
    if work.flux[link, 1] != 0.0 or work.solution[a] + work.solution[b] > 0.0:
        if work.flux[link, 1] >= 0.0:
            up, slope_up = a, ga
        else:
            up, slope_up = b, gb
        work.flux[link, 2] += work.solution[up] * work.flux[link, 1]
        for k in range(3):
            ga[2, k] += work.solution[up] * ga[1, k]
            gb[2, k] += work.solution[up] * gb[1, k]
            slope_up[2, k] += work.solution_slope[up, k] * work.flux[link, 1]


@inlined
def _sandface(
    link: int, x: Floats, links: Links, t: float, linear: float, quadratic: float, work: Work, ga: Floats, gb: Floats
) -> None:
    """Flux [3] between rock a and pipe b with linear and quadratic losses in series (screen, rate-dependent skin).

    From the rock: upstream mobilities. Into the rock: the pipe's mixture at the rock's total mobility. One potential
    for all phases, with the rock's mean density.
    """
    a = links.a[link]
    b = links.b[link]
    p_a = x[a, 0]
    p_b = x[b, 0]
    fall = STANDARD_GRAVITY * links.fall[link]
    for c in range(3):
        for k in range(3):
            ga[c, k] = 0.0
            gb[c, k] = 0.0
    drop = p_a - p_b
    drop_a = work.drop_slope
    for k in range(3):
        drop_a[k] = 0.0
    if fall != 0.0:
        for phase in range(3):
            drop += fall * work.saturation[a, phase] * work.density[a, phase]
            for k in range(3):
                drop_a[k] += fall * (
                    work.saturation_slope[a, phase, k] * work.density[a, phase]
                    + work.saturation[a, phase] * work.density_slope[a, phase, k]
                )
    drop_a[0] += 1.0
    face = 1 if links.sweep[link] == 1 and drop >= 0.0 else 0
    share = 1.0
    share_drop = 0.0
    share_total = 0.0
    total = work.total[a]
    if linear > 0.0 or quadratic > 0.0:
        size = abs(drop)
        one = 1.0 + t * total * linear
        two = t * total * t * total * quadratic
        root = math.sqrt(one * one + 4.0 * two * size)
        share = 2.0 / (one + root)
        share_drop = -0.5 * share * share * 2.0 * two / root * (1.0 if drop >= 0.0 else -1.0)
        one_t = t * linear
        two_t = 2.0 * t * t * total * quadratic
        share_total = -0.5 * share * share * (one_t + (one * one_t + 2.0 * size * two_t) / root)
    if drop >= 0.0:
        mean, mean_a, mean_b = _gas_mean(work, p_a, p_b, a, b)
        for phase in range(3):
            factor = mean if phase == 2 else 1.0
            m = t * work.mobility[a, face, phase] * factor
            work.flux[link, phase] = m * share * drop
            by_drop = m * (share + share_drop * drop)
            for k in range(3):
                ga[phase, k] += (
                    t * factor * work.mobility_slope[a, face, phase, k] * share * drop
                    + by_drop * (drop_a[k])
                    + m * drop * share_total * work.total_slope[a, k]
                )
            gb[phase, 0] -= by_drop
            if phase == 2:
                ga[2, 0] += t * work.mobility[a, face, 2] * mean_a * share * drop
                gb[2, 0] += t * work.mobility[a, face, 2] * mean_b * share * drop
        rs = work.solution[a]
        work.flux[link, 2] += rs * work.flux[link, 1]
        for k in range(3):
            ga[2, k] += rs * ga[1, k] + work.solution_slope[a, k] * work.flux[link, 1]
            gb[2, k] += rs * gb[1, k]
        return
    rate = t * total * share * drop
    by_drop = t * total * (share + share_drop * drop)
    by_total = t * drop * (share + total * share_total)
    for c in range(3):
        content = work.content[b, c]
        work.flux[link, c] = rate * content
        for k in range(3):
            ga[c, k] += content * (by_drop * drop_a[k] + by_total * work.total_slope[a, k])
        gb[c, 0] -= content * by_drop
        if c == 0:
            for k in range(3):
                gb[0, k] += rate * work.water_slope[b, k]
        else:
            gb[c, c] += rate


@inlined
def _conduit(
    link: int, x: Floats, rate: float, links: Links, switches: Switches, work: Work, ga: Floats, gb: Floats
) -> None:
    """Flux [3] of a pipe link whose rate is an unknown of its own, with the loss equation to it."""
    a = links.a[link]
    b = links.b[link]
    fall = STANDARD_GRAVITY * links.fall[link]
    density = max(0.5 * (work.mixture[a, 0] + work.mixture[b, 0]), 1e-3)
    viscosity = max(0.5 * (work.mixture[a, 1] + work.mixture[b, 1]), 1e-6)
    loss, slope, by_density, by_viscosity = conduit_loss(
        rate,
        density,
        viscosity,
        links.length[link] * switches.wall[link],
        links.area[link],
        links.diameter[link],
        links.roughness[link],
        links.laminar[link],
        links.linear[link] + switches.linear[link],
        links.quadratic[link] + switches.quadratic[link] + switches.momentum[link],
    )
    work.conduit[link, 0] = x[a, 0] - x[b, 0] + density * fall - loss - switches.push[link]
    for k in range(3):
        work.conduit[link, 1 + k] = 0.5 * (
            (fall - by_density) * work.mixture_slope[a, 0, k] - by_viscosity * work.mixture_slope[a, 1, k]
        )
        work.conduit[link, 4 + k] = 0.5 * (
            (fall - by_density) * work.mixture_slope[b, 0, k] - by_viscosity * work.mixture_slope[b, 1, k]
        )
    work.conduit[link, 1] += 1.0
    work.conduit[link, 4] -= 1.0
    work.conduit[link, 7] = slope
    smooth = math.sqrt(rate * rate + UPWIND_SMOOTHING * UPWIND_SMOOTHING)
    forward = 0.5 * (rate + smooth)
    backward = 0.5 * (rate - smooth)
    forward_q = 0.5 * (1.0 + rate / smooth)
    backward_q = 0.5 * (1.0 - rate / smooth)
    for c in range(3):
        work.flux[link, c] = forward * work.content[a, c] + backward * work.content[b, c]
        work.by_rate[c] = forward_q * work.content[a, c] + backward_q * work.content[b, c]
        for k in range(3):
            ga[c, k] = forward * work.water_slope[a, k] if c == 0 else 0.0
            gb[c, k] = backward * work.water_slope[b, k] if c == 0 else 0.0
        if c > 0:
            ga[c, c] = forward
            gb[c, c] = backward


@inlined
def _add_conduit(link: int, block: int, first: int, w: float, pattern: Pattern, work: Work) -> None:
    """The block of a conduit's rate: its loss equation, and what the rate carries into the balances of both ends."""
    for side in range(2):
        e = pattern.link_edge[first + side]
        flip = pattern.link_flip[first + side] == 1  # whether the conduit's block comes before the node's
        sign = w if side == 0 else -w
        for c in range(3):
            if flip:
                work.upper[e, 0, c] = work.conduit[link, 1 + 3 * side + c]
                work.lower[e, c, 0] = sign * work.by_rate[c]
            else:
                work.lower[e, 0, c] = work.conduit[link, 1 + 3 * side + c]
                work.upper[e, c, 0] = sign * work.by_rate[c]
    work.diagonal[block, 0, 0] = -work.conduit[link, 7]
    work.rest[block] = work.conduit[link, 0]


@kernel
def tubing_pressure(rate: float, control: Control, work: Work) -> tuple[float, float, float, float]:
    """Pressure at the top of the string that the tubing asks for at a rate of the outlet, its slopes by component."""
    top = control.top
    if control.injector == 0:
        water = rate * work.content[top, 0]
        oil = rate * work.content[top, 1]
        gas = rate * work.content[top, 2]
    else:
        oil = 0.0
        water = rate if control.injector == 1 else 0.0
        gas = rate if control.injector == 3 else 0.0
    value, by_oil, by_water, by_gas, _ = lift_pressure(
        control.lift, control.wellhead, oil, water, gas, control.injector == 0
    )
    return value, by_water, by_oil, by_gas


@kernel
def _through_tubing(x: Floats, rate: float, control: Control, work: Work) -> None:
    """Control by the wellhead pressure: the pressure at the top of the string is what the tubing asks for."""
    top = control.top
    held = work.outlet_slope
    value, by_water, by_oil, by_gas = tubing_pressure(rate, control, work)
    if control.injector != 0:
        held[0] = value - x[top, 0] - OUTLET_SLOPE * rate
        held[1] = -1.0
        held[4] = min(by_water + by_oil + by_gas, 0.0) - OUTLET_SLOPE
        return
    held[0] = x[top, 0] - value - OUTLET_SLOPE * rate
    for k in range(3):
        held[1 + k] = -rate * by_water * work.water_slope[top, k]
    held[1] += 1.0
    held[2] -= rate * by_oil
    held[3] -= rate * by_gas
    along = by_water * work.content[top, 0] + by_oil * work.content[top, 1] + by_gas * work.content[top, 2]
    held[4] = -max(along, 0.0) - OUTLET_SLOPE


@inlined
def _hold_zone(x: Floats, rate: float, zone: int, zones: Zones, control: Control, work: Work) -> None:
    """Control by the drawdown of a zone: the pressure of its bore node is held, not that of the top."""
    sign = 1.0 if control.injector == 0 else -1.0
    node = zones.bore[zone]
    work.outlet_slope[0] = sign * (x[node, 0] - zones.mean[zone]) + control.drawdown - OUTLET_SLOPE * rate
    work.outlet_slope[4] = -OUTLET_SLOPE
    e = zones.edge[zone]
    if zones.flip[zone] == 1:  # the outlet's block comes before the node's
        work.upper[e, 0, 0] = sign
    else:
        work.lower[e, 0, 0] = sign


@inlined
def _outlet(x: Floats, rate: float, mode: int, floor: float, control: Control, work: Work) -> None:
    """Control equation of the well's outlet: residual and slopes in work.outlet_slope, flux in work.outlet."""
    top = control.top
    held = work.outlet_slope
    for k in range(5):
        held[k] = 0.0
    producer = control.injector == 0
    for c in range(3):
        work.outlet[c] = rate * work.content[top, c] if producer else 0.0
    if not producer:
        work.outlet[control.injector - 1] = -rate
    if mode == SHUT:
        held[0] = -rate
        held[4] = -1.0
        return
    if mode == PRESSURE:
        sign = 1.0 if producer else -1.0
        held[0] = sign * (x[top, 0] - floor) - OUTLET_SLOPE * rate
        held[1] = sign
        held[4] = -OUTLET_SLOPE
        return
    if mode == WELLHEAD:
        _through_tubing(x, rate, control, work)
        return
    if not producer:
        held[0] = (control.gas if mode == GAS_RATE else control.water) - rate
        held[4] = -1.0
        return
    if mode == SOUND:
        held[0] = control.fastest - rate
        held[4] = -1.0
        return
    if mode == OIL_RATE:
        content = work.content[top, 1]
        held[0] = control.oil - rate * content
        held[2] = -rate
    elif mode == LIQUID_RATE:
        content = work.content[top, 1] + work.content[top, 0]
        held[0] = control.liquid - rate * content
        for k in range(3):
            held[1 + k] = -rate * work.water_slope[top, k]
        held[2] -= rate
    elif mode == GAS_RATE:
        content = work.content[top, 2]
        held[0] = control.gas - rate * content
        held[3] = -rate
    else:
        content = work.content[top, 0]
        held[0] = control.water - rate * content
        for k in range(3):
            held[1 + k] = -rate * work.water_slope[top, k]
    held[4] = -max(content, 1e-9)


@kernel
def _hold_frozen(nodes: Nodes, links: Links, pattern: Pattern, work: Work) -> None:
    """Empty the off-diagonal blocks in the rows of frozen nodes."""
    for link in range(links.kind.shape[0]):
        e = pattern.link_edge[link]
        flip = pattern.link_flip[link] == 1
        if nodes.frozen[links.a[link]]:
            if flip:
                work.lower[e, :, :] = 0.0
            else:
                work.upper[e, :, :] = 0.0
        if nodes.frozen[links.b[link]]:
            if flip:
                work.upper[e, :, :] = 0.0
            else:
                work.lower[e, :, :] = 0.0


@kernel
def assemble(
    x: Floats,
    rates: Floats,
    outlet_rate: float,
    mode: int,
    floor: float,
    dt: float,
    book: Floats,
    memory: Floats,
    weight: Floats,
    nodes: Nodes,
    links: Links,
    switches: Switches,
    sources: Sources,
    control: Control,
    zones: Zones,
    zone: int,
    pattern: Pattern,
    outlet_memory: Floats,
    outlet_weight: float,
    work: Work,
) -> None:
    """Residual [n,3], Jacobian blocks and fluxes at the state; properties in work must be those of x.

    zone: the one whose drawdown is held, in mode DRAWDOWN.

    Blocks: the nodes, then one for the rate of every conduit in the order of the links, then one for the outlet's rate
    (their first row and column alone are used). work.rest [blocks] holds the residuals of those scalar equations.
    """
    n = x.shape[0]
    ga = work.ga
    gb = work.gb
    work.upper[:, :, :] = 0.0
    work.lower[:, :, :] = 0.0
    block = n
    links_count = links.kind.shape[0]
    first = links_count
    for other in range(n, work.diagonal.shape[0]):
        work.rest[other] = 0.0
        for c in range(3):
            for k in range(3):
                work.diagonal[other, c, k] = 1.0 if c == k else 0.0
    for i in range(n):
        rise = nodes.compressibility[i] * (x[i, 0] - nodes.reference[i])
        volume = nodes.volume[i] * math.exp(rise)
        for c in range(3):
            held = volume * work.content[i, c]
            work.storage[i, c] = held
            work.residual[i, c] = held - book[i, c]
            work.throughput[i, c] = 0.0
            for k in range(3):
                work.diagonal[i, c, k] = 0.0
            work.diagonal[i, c, 0] = nodes.compressibility[i] * held
        for k in range(3):
            work.diagonal[i, 0, k] += volume * work.water_slope[i, k]
        work.diagonal[i, 1, 1] += volume
        work.diagonal[i, 2, 2] += volume
    for link in range(links_count):
        a = links.a[link]
        b = links.b[link]
        w = weight[link] * dt
        if switches.multiplier[link] == 0.0:
            for c in range(3):
                work.flux[link, c] = 0.0
            if links.kind[link] == CONDUIT:
                work.rest[block] = rates[link]
        elif links.kind[link] == CONDUIT:
            _conduit(link, x, rates[link], links, switches, work, ga, gb)
            _add_conduit(link, block, first, w, pattern, work)
        elif links.kind[link] == SANDFACE:
            _sandface(
                link,
                x,
                links,
                links.conductance[link] * switches.multiplier[link],
                switches.linear[link],
                switches.quadratic[link],
                work,
                ga,
                gb,
            )
        else:
            _darcy(link, x, links, links.conductance[link] * switches.multiplier[link], work, ga, gb)
        for c in range(3):
            moved = memory[link, c] + w * work.flux[link, c]
            size = abs(w * work.flux[link, c])
            work.residual[a, c] += moved
            work.residual[b, c] -= moved
            work.throughput[a, c] += size
            work.throughput[b, c] += size
            if switches.multiplier[link] != 0.0:
                _add_row(work, pattern, link, a, b, c, w)
        if links.kind[link] == CONDUIT:
            block += 1
            first += 2
    for s in range(sources.node.shape[0]):
        i = sources.node[s]
        for c in range(3):
            work.residual[i, c] -= dt * (sources.constant[s, c] - sources.slope[s, c] * x[i, 0])
            work.diagonal[i, c, 0] += dt * sources.slope[s, c]
    _outlet(x, outlet_rate, mode, floor, control, work)
    if mode == DRAWDOWN:
        _hold_zone(x, outlet_rate, zone, zones, control, work)
    top = control.top
    held = work.outlet_slope
    w = outlet_weight * dt
    e = pattern.link_edge[first]
    flip = pattern.link_flip[first] == 1  # whether the outlet's block comes before the top node's
    work.diagonal[block, 0, 0] = held[4]
    work.rest[block] = held[0]
    for c in range(3):
        per_rate = work.content[top, c] if control.injector == 0 else (-1.0 if control.injector - 1 == c else 0.0)
        work.residual[top, c] += outlet_memory[c] + w * work.outlet[c]
        work.throughput[top, c] += abs(w * work.outlet[c])
        if flip:
            work.upper[e, 0, c] = held[1 + c]
            work.lower[e, c, 0] = w * per_rate
        else:
            work.lower[e, 0, c] = held[1 + c]
            work.upper[e, c, 0] = w * per_rate
        if control.injector == 0:
            for k in range(3):
                if c == 0:
                    work.diagonal[top, 0, k] += w * outlet_rate * work.water_slope[top, k]
                elif c == k:
                    work.diagonal[top, c, c] += w * outlet_rate
    for i in range(n):
        if nodes.frozen[i]:
            for c in range(3):
                work.residual[i, c] = 0.0
                for k in range(3):
                    work.diagonal[i, c, k] = 1.0 if c == k else 0.0
    _hold_frozen(nodes, links, pattern, work)

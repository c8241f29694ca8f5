"""Compiled helpers of the march: what is smooth enough for two steps, losses that lag a step, arrival of fronts."""

from __future__ import annotations

import math

import numpy as np

from planner.base.compiled import kernel
from planner.network.arrays import (
    CONDUIT,
    ROCK,
    SANDFACE,
    Axis,
    Floats,
    Fluids,
    Fronts,
    Links,
    Nodes,
    Switches,
    Work,
)
from planner.physics.wall_friction import inflow_share

ROUGH_JUMP = 0.05  # of a saturation in a step: the pressures have a corner there, no smooth past to compare with
ROUGH_CHANGE = 0.01  # of a saturation in a step: beyond it the flows of a cell are taken first order


@kernel
def two_step_weights(
    ratio: float,
    before: Floats,
    after: Floats,
    moved: Floats,
    nodes: Nodes,
    links: Links,
    fronts: Fronts,
    memory: Floats,
    weight: Floats,
) -> float:
    """Fill memory [links,3] and weight [links] of the two-step formula; returns the weight of the well's outlet.

    ratio: this step over the last. before, after: saturations [n,3] at both ends of the last step. moved [links,3]:
    what passed in it. Where a saturation jumps, the link falls back to one step (first order, monotone); when that
    happens at the sandface, the whole string does.
    """
    past = ratio * ratio / (1.0 + 2.0 * ratio)
    now = 1.0 - ratio / (1.0 + 2.0 * ratio)
    rough = np.zeros(nodes.kind.shape[0], dtype=np.bool_)
    for i in range(nodes.kind.shape[0]):
        if nodes.kind[i] != ROCK or nodes.frozen[i]:
            continue
        change = max(abs(after[i, 0] - before[i, 0]), abs(after[i, 2] - before[i, 2]))
        rough[i] = change > ROUGH_CHANGE
        row = fronts.of_node[i]
        if row >= 0 and after[i, 0] > fronts.low[row] - 0.002 and before[i, 0] < fronts.high[row] + 0.002:
            rough[i] = True
    string_smooth = True
    for link in range(links.kind.shape[0]):
        if links.kind[link] == SANDFACE and rough[links.a[link]]:
            string_smooth = False
    for link in range(links.kind.shape[0]):
        smooth = string_smooth
        if links.kind[link] != SANDFACE and links.kind[link] != CONDUIT:
            smooth = not (rough[links.a[link]] or rough[links.b[link]])
        if smooth:
            weight[link] = now
            for c in range(3):
                memory[link, c] = past * moved[link, c]
        else:
            weight[link] = 1.0
            for c in range(3):
                memory[link, c] = 0.0
    return now if string_smooth else 1.0


@kernel
def lagged_losses(
    x: Floats,
    links: Links,
    fluids: Fluids,
    screen_linear: Floats,
    screen_quadratic: Floats,
    turbulence: Floats,
    switches: Switches,
    work: Work,
) -> None:
    """Losses in series with the sandface from the fluids of the last step: screen, and rate-dependent skin of gas."""
    for link in range(links.kind.shape[0]):
        if links.kind[link] != SANDFACE:
            continue
        b = links.b[link]
        linear = screen_linear[link] * work.mixture[b, 1] * 1e3
        quadratic = screen_quadratic[link] * work.mixture[b, 0] * 1e-3
        if turbulence[link] > 0.0:
            # adds to the skin of the pseudo-pressure: q (S + D q) = 2 pi k h krg (psi_a - psi_b)
            a = links.a[link]
            rise = x[a, 0] - x[b, 0]
            mean = work.gas[a, 1]
            if abs(rise) > 1.0:
                mean = (work.gas[a, 0] - work.gas[b, 0]) / rise
            quadratic += turbulence[link] * work.mobility[a, 0, 2] * mean / max(work.total[a] * work.total[a], 1e-30)
        switches.linear[link] = linear
        switches.quadratic[link] = quadratic


@kernel
def lagged_momentum(
    rates: Floats, outlet: float, top: int, axis: Axis, links: Links, switches: Switches, work: Work
) -> None:
    """Acceleration along the string and the effect of inflow on its friction, from the flows of the last step.

    Acceleration between two pieces is the difference of their momentum flow, density times velocity squared; where it
    opposes the flow it goes in as a loss that grows with the square of the rate, so that it follows changes of rate.
    outlet: flow that leaves at the top node, m3/s, nan: as much as passes there; inflow joins without momentum along
    the pipe.
    """
    count = axis.area.shape[0]
    above = np.zeros(count)
    below = np.zeros(count)
    above[top] = -outlet
    for k in range(axis.row.shape[0]):
        row = axis.row[k]
        if switches.multiplier[row] > 0.0:
            below[links.a[row]] += rates[row]
            above[links.b[row]] += rates[row]
    if above[top] != above[top]:
        above[top] = below[top]
    for k in range(axis.row.shape[0]):
        row = axis.row[k]
        a = links.a[row]
        b = links.b[row]
        q = rates[row]
        density_a = max(work.mixture[a, 0], 1e-3)
        density_b = max(work.mixture[b, 0], 1e-3)
        density = 0.5 * (density_a + density_b)
        through_a = 0.5 * (above[a] + below[a])
        through_b = 0.5 * (above[b] + below[b])
        gain = density_b * (through_b / axis.area[b]) ** 2 - density_a * (through_a / axis.area[a]) ** 2
        switches.momentum[row] = 0.0
        switches.push[row] = 0.0
        if gain * q > 0.0 and abs(q) > 0.3 * max(abs(through_a), abs(through_b)):
            switches.momentum[row] = gain / (q * abs(q)) / (density * 1e-3)
        else:
            switches.push[row] = gain
        switches.wall[row] = 1.0
        if axis.bore[k] and abs(q) > 1e-9:
            into = (below[a] - above[a] + below[b] - above[b]) / (axis.length[a] + axis.length[b])
            viscosity = max(0.5 * (work.mixture[a, 1] + work.mixture[b, 1]), 1e-6)
            reynolds = density * abs(q) / links.area[row] * links.diameter[row] / viscosity
            switches.wall[row] = inflow_share(density * into / (math.pi * viscosity), reynolds)


@kernel
def front_arrival(before: Floats, after: Floats, dt: float, fronts: Fronts) -> tuple[float, float]:
    """(time until the next front leaves for a well, time it will take to pass), from the last step; inf: none near."""
    arrival = np.inf
    passage = np.inf
    for row in range(fronts.node.shape[0]):
        i = fronts.node[row]
        speed = (after[i, 0] - before[i, 0]) / dt
        if not fronts.last[row] or speed <= 0.0 or after[i, 0] >= fronts.high[row]:
            continue
        if after[i, 0] < fronts.low[row]:
            wait = (fronts.low[row] - after[i, 0]) / speed
            if wait < arrival:
                arrival = wait
                passage = (fronts.high[row] - fronts.low[row]) / speed
        else:
            arrival = 0.0
            passage = min(passage, (fronts.high[row] - fronts.low[row]) / speed)
    return arrival, passage


@kernel
def front_overrun(before: Floats, after: Floats, fronts: Fronts) -> float:
    """Share of a step after which the first front began to leave for a well, where it did more than begin; 1: none."""
    share = 1.0
    for row in range(fronts.node.shape[0]):
        i = fronts.node[row]
        begun = fronts.low[row] + 0.1 * (fronts.high[row] - fronts.low[row])
        if fronts.last[row] and before[i, 0] < fronts.low[row] and after[i, 0] > begun:
            share = min(share, (fronts.low[row] - before[i, 0]) / (after[i, 0] - before[i, 0]))
    return share


@kernel
def front_moved(before: Floats, after: Floats, nodes: Nodes, fronts: Fronts) -> bool:
    """Whether a front passed through a face, or a saturation jumped, between two states [n,3]."""
    for i in range(nodes.kind.shape[0]):
        if nodes.kind[i] != ROCK or nodes.frozen[i]:
            continue
        if max(abs(after[i, 0] - before[i, 0]), abs(after[i, 2] - before[i, 2])) > ROUGH_JUMP:
            return True
        row = fronts.of_node[i]
        if row >= 0 and after[i, 0] > fronts.low[row] and before[i, 0] < fronts.high[row]:
            return True
    return False


@kernel
def pressure_misfit(x: Floats, guess: Floats, nodes: Nodes) -> float:
    """Largest difference of rock pressures from their prediction, Pa."""
    worst = 0.0
    for i in range(x.shape[0]):
        if nodes.kind[i] == ROCK and not nodes.frozen[i]:
            worst = max(worst, abs(x[i, 0] - guess[i]))
    return worst

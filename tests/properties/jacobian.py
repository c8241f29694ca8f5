"""The network's Jacobian as assembled and by central differences, for the tests beside it.

Rates of conduits and of the outlet are unknowns that the engine condenses out, so a change of a state carries them along
their linearised loss: rate + (loss at the new state - loss) / slope, as Newton does.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.forecast.march import March
from planner.network.arrays import CONDUIT
from planner.network.assemble import assemble
from planner.network.properties import evaluate

DT = 86400.0


def residual(march: March, x: Any, rates: Any, outlet: float, mode: int) -> Any:
    """Residual [n,3] at a state; leaves loss residuals and blocks in march.work."""
    net = march.network
    links = len(net.links.kind)
    evaluate(x, net.nodes, net.fluids, net.rocks, net.fronts, march.work)
    assemble(
        x,
        rates,
        outlet,
        mode,
        march.control.floor,
        DT,
        march.book,
        np.zeros((links, 3)),
        np.ones(links),
        net.nodes,
        net.links,
        march.switches,
        march.sources,
        march.control,
        net.pattern,
        np.zeros(3),
        1.0,
        march.work,
    )
    return march.work.residual.copy()


def assembled(march: March, x: Any, rates: Any, outlet: float, mode: int) -> Any:
    """The condensed Jacobian as a dense matrix [3n, 3n]."""
    residual(march, x, rates, outlet, mode)
    net, work = march.network, march.work
    n = len(x)
    full = np.zeros((n, 3, n, 3))
    for i in range(n):
        full[i, :, i, :] = work.diagonal[i]
    seen = set()
    for link in range(len(net.links.kind)):
        edge = int(net.pattern.link_edge[link])
        if edge in seen:
            continue
        seen.add(edge)
        a, b = int(net.links.a[link]), int(net.links.b[link])
        if net.pattern.link_flip[link] == 1:
            a, b = b, a
        full[a, :, b, :] += work.upper[edge]
        full[b, :, a, :] += work.lower[edge]
    return full.reshape(3 * n, 3 * n)


def differences(march: March, x: Any, rates: Any, outlet: float, mode: int, sizes: Any) -> Any:
    """The same by central differences with steps `sizes` [n,3]."""
    net, work = march.network, march.work
    pipes = (net.links.kind == CONDUIT) & (march.switches.multiplier != 0.0)
    residual(march, x, rates, outlet, mode)
    loss, slope = work.conduit[:, 0].copy(), work.conduit[:, 7].copy()
    held, held_slope = work.outlet_slope[0], work.outlet_slope[4]
    n = len(x)
    full = np.zeros((3 * n, 3 * n))
    for i in range(n):
        for k in range(3):
            ends = []
            for sign in (1.0, -1.0):
                moved = x.copy()
                moved[i, k] += sign * sizes[i, k]
                residual(march, moved, rates, outlet, mode)
                carried = rates.copy()
                carried[pipes] += (work.conduit[pipes, 0] - loss[pipes]) / slope[pipes]
                at_top = outlet - (work.outlet_slope[0] - held) / held_slope
                ends.append(residual(march, moved, carried, at_top, mode))
            full[:, 3 * i + k] = ((ends[0] - ends[1]) / (2.0 * sizes[i, k])).ravel()
    return full

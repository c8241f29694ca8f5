"""The whole network's Jacobian as assembled and by central differences, for the tests beside it.

Unknowns: pressure, oil and gas content of every node, the rate of every conduit, the outlet's rate. All equations are
taken as `assemble` writes them: balances of the nodes, losses of the conduits, the control.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.forecast.march import March
from planner.network.arrays import CONDUIT
from planner.network.assemble import assemble
from planner.network.properties import evaluate

DT = 86400.0


class System:
    """A march's network as a function of one vector: [3 n] states, [conduits] rates, outlet."""

    def __init__(self, march: March, mode: int, zone: int = -1) -> None:
        self.march, self.mode, self.zone = march, mode, zone
        net = march.network
        self.n = len(net.nodes.kind)
        self.conduits = np.nonzero(net.links.kind == CONDUIT)[0]
        self.size = 3 * self.n + len(self.conduits) + 1

    def pack(self, x: Any, rates: Any, outlet: float) -> Any:
        """One vector."""
        return np.concatenate((np.asarray(x).ravel(), np.asarray(rates)[self.conduits], [outlet]))

    def residual(self, y: Any) -> Any:
        """All equations; leaves the blocks in march.work."""
        march, net, n = self.march, self.march.network, self.n
        x = np.ascontiguousarray(y[: 3 * n].reshape(n, 3))
        links = len(net.links.kind)
        rates = np.zeros(links)
        rates[self.conduits] = y[3 * n : -1]
        evaluate(x, net.nodes, net.fluids, net.rocks, net.fronts, march.work)
        assemble(
            x,
            rates,
            float(y[-1]),
            self.mode,
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
            march.open_zones,
            self.zone,
            net.pattern,
            np.zeros(3),
            1.0,
            march.work,
        )
        return np.concatenate((march.work.residual.ravel(), march.work.rest[n:]))

    def assembled(self, y: Any) -> Any:
        """The Jacobian of the engine as a dense matrix."""
        self.residual(y)
        work, pattern = self.march.work, self.march.network.pattern
        blocks = len(work.diagonal)
        full = np.zeros((blocks, 3, blocks, 3))
        for k in range(blocks):
            full[k, :, k, :] = work.diagonal[k]
        for step, k in enumerate(pattern.order):
            for e in range(pattern.first[step], pattern.first[step + 1]):
                full[k, :, pattern.node[e], :] = work.upper[e]
                full[pattern.node[e], :, k, :] = work.lower[e]
        keep = [3 * i + c for i in range(self.n) for c in range(3)] + [3 * k for k in range(self.n, blocks)]
        return full.reshape(3 * blocks, 3 * blocks)[np.ix_(keep, keep)]

    def differences(self, y: Any, sizes: Any) -> Any:
        """The same by central differences."""
        full = np.zeros((self.size, self.size))
        for k in range(self.size):
            up, down = y.copy(), y.copy()
            up[k] += sizes[k]
            down[k] -= sizes[k]
            full[:, k] = (self.residual(up) - self.residual(down)) / (2.0 * sizes[k])
        return full

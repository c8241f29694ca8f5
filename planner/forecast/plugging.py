"""Screens that plug with what has passed them: their linear loss grows with the volume per screen area."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.forecast.march import March
from planner.forecast.recorder import reservoir_volume
from planner.network.arrays import CONDUIT

Floats = NDArray[np.float64]


class Plugging:
    """Volume that has passed every screen that can plug, at the pressure of the pipe, and what it adds to the loss.

    `volume` [rows] m3, of `rows` (of Links). The volume of the step that is tried is taken at the rate of the last
    one, so that at a constant rate the loss is exactly that of the volume passed.
    """

    def __init__(self, march: March) -> None:
        self.march = march
        growth = march.network.plugging
        self.rows = np.array(sorted(growth), dtype=np.int64)
        self.growth: Floats = np.array([growth[int(row)] for row in self.rows])
        self.volume: Floats = np.zeros(len(self.rows))
        self._rate: Floats = np.zeros(len(self.rows))
        self._passed: Floats = march.passed[self.rows].copy()
        self._time = march.time

    def update(self, dt: float) -> None:
        """Take in the steps accepted so far, and set the losses for a step of this length (s)."""
        if not len(self.rows):
            return
        march, links = self.march, self.march.network.links
        if march.time > self._time:
            moved = march.passed[self.rows] - self._passed
            pressure = march.x[links.b[self.rows], 0]
            gone = np.abs(reservoir_volume(march.network.fluids, pressure, moved))
            self._rate = gone / (march.time - self._time)
            self.volume += gone
            self._passed, self._time = march.passed[self.rows].copy(), march.time
        added = self.growth * (self.volume + self._rate * dt)
        conduit = links.kind[self.rows] == CONDUIT
        march.switches.linear[self.rows[conduit]] = added[conduit]
        straight = self.rows[~conduit]
        march.screen_linear[straight] = march.network.screen_linear[straight] + added[~conduit]

"""Water and gas that enter layers from outside at a rate: injectors matched to offtake, Carter-Tracy aquifers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.forecast.march import March
from planner.model.case import Support
from planner.network.arrays import GAS_EXPANSION, INVERSE_BW, MU_W
from planner.network.compile import Inlet
from planner.network.equilibrium import column
from planner.physics import aquifer

Floats = NDArray[np.float64]


class Inflows:
    """Sets march.sources before every step. `remaining`: share of each support that is left (what-ifs)."""

    def __init__(self, march: March) -> None:
        self.march = march
        self.remaining: dict[str, float] = {}
        self._water: dict[int, tuple[float, float]] = {}
        net = march.network
        self._outflow_rows = {
            k: [row for row, body in net.body_of_row.items() if body == inlet.body]
            for k, inlet in enumerate(net.inlets)
        }

    def update(self, dt: float) -> None:
        """Rates of all inlets for a step of this length."""
        for k, inlet in enumerate(self.march.network.inlets):
            support = self.march.network.case.supports[inlet.support]
            share = inlet.share * self.remaining.get(inlet.support, 1.0)
            constant = self.march.sources.constant[k]
            slope = self.march.sources.slope[k]
            constant[:] = 0.0
            slope[:] = 0.0
            if share == 0.0:
                continue
            if support.kind == "carter-tracy aquifer":
                constant[0], slope[0] = self._carter_tracy(k, inlet, support, share, dt)
            elif support.rate is not None:
                constant[2 if support.fluid == "gas" else 0] = support.rate * share
            elif support.voidage_replacement is not None:
                which = 2 if support.fluid == "gas" else 0
                constant[which] = (
                    self._voidage(k, inlet, which)
                    * support.voidage_replacement
                    * (self.remaining.get(inlet.support, 1.0))
                )

    def _voidage(self, k: int, inlet: Inlet, which: int) -> float:
        """Surface rate that fills what the layer gave up at the end of the last step, at its outer pressure."""
        march = self.march
        net = march.network
        flux = march.work.flux[self._outflow_rows[k]].sum(axis=0)
        body = net.bodies[inlet.body]
        fluids = net.fluids
        p = float(march.x[body.cells[-1], 0])
        water = flux[0] / column(fluids, p, INVERSE_BW)
        solution = float(march.work.solution[body.cells[0]])
        oil_volume = (
            flux[1] * float(march.work.saturation[body.cells[-1], 1]) / max(float(march.x[body.cells[-1], 1]), 1e-9)
            if march.x[body.cells[-1], 1] > 1e-6
            else flux[1]
        )
        gas = max(flux[2] - solution * flux[1], 0.0) / column(fluids, p, GAS_EXPANSION)
        volume = max(float(water + oil_volume + gas), 0.0)
        return volume * column(fluids, p, GAS_EXPANSION if which == 2 else INVERSE_BW)

    def _water_at(self, k: int, first: float) -> tuple[float, float]:
        """Viscosity and surface volume per volume of the water of an inlet, at its first pressure."""
        if k not in self._water:
            fluids = self.march.network.fluids
            self._water[k] = column(fluids, first, MU_W), column(fluids, first, INVERSE_BW)
        return self._water[k]

    def _carter_tracy(self, k: int, inlet: Inlet, s: Support, share: float, dt: float) -> tuple[float, float]:
        """Rate = constant - slope * pressure of the outermost cell. Source: Carter and Tracy 1960."""
        assert s.permeability and s.porosity and s.compressibility and s.radius and s.thickness
        march = self.march
        first = s.pressure or march.network.bodies[inlet.body].state.pressure
        mu, surface = self._water_at(k, first)
        scale = s.permeability / (s.porosity * mu * s.compressibility * s.radius**2)
        constant = s.encroachment_angle * s.porosity * s.compressibility * s.thickness * s.radius**2 * share
        before, after = scale * march.time, scale * (march.time + dt)
        pressure, slope = aquifer.edwardson_1962_pressure(after)
        drawn = float(march.entered[k, 0]) / surface
        divisor = float(pressure) - before * float(slope)
        span = (after - before) / dt
        rate = (constant * first - drawn * float(slope)) / divisor * span * surface
        return rate, constant / divisor * span * surface

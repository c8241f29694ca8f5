"""Initial state of the rock: pressures in gravity equilibrium with the contacts of each compartment."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from planner.base.constants import STANDARD_GRAVITY
from planner.model.case import Case, Compartment, Layer
from planner.network.arrays import RS, Fluids
from planner.network.fluid_tables import trapped
from planner.network.properties import oil_state

STEPS = 60  # of the pressure integration between datum and depth


class State(NamedTuple):
    """Pressure (Pa), saturations, and dissolved gas of a piece of rock or pipe."""

    pressure: float
    water: float
    oil: float
    gas: float
    solution: float

    def unknowns(self, fluids: Fluids) -> tuple[float, float, float]:
        """The three unknowns of a node in this state."""
        factor = oil_state(fluids, self.pressure, 1.0, self.solution)[0]
        held = self.oil / factor
        return self.pressure, held, self.gas * column(fluids, self.pressure, 5) + held * self.solution


def column(fluids: Fluids, pressure: float, which: int) -> float:
    """A column of the fluid table at a pressure."""
    last = fluids.table.shape[0] - 1
    row = min(max(int((pressure - fluids.start) / fluids.step), 0), last - 1)
    low, high = float(fluids.table[row, which]), float(fluids.table[row + 1, which])
    share = (pressure - fluids.start) / fluids.step - row
    return low + min(max(float(share), 0.0), 1.0) * (high - low)


def solution_at(case: Case, fluids: Fluids, pressure: float, saturated: bool) -> float:
    """Gas dissolved in the initial oil: what the oil holds, or all it can hold below a gas cap."""
    if case.fluid.oil is None or fluids.dead:
        return 0.0
    most = column(fluids, pressure, RS)
    given = case.fluid.oil.solution_gas_ratio
    if case.fluid.oil.method == "table" and given == 0.0:
        given = case.fluid.oil.table[-1].solution_gas_ratio
    return most if saturated else min(given, most)


def _density(case: Case, fluids: Fluids, compartment: Compartment, depth: float, pressure: float) -> float:
    """Density of the continuous fluid at a depth of a compartment, kg/m3."""
    water_from = compartment.oil_water_contact or compartment.gas_water_contact
    if (water_from is not None and depth > water_from) or (water_from is None and all_water(case)):
        return fluids.density_water * column(fluids, pressure, 0)
    goc = compartment.gas_oil_contact
    if case.fluid.oil is None or (goc is not None and depth < goc):
        return fluids.density_gas * column(fluids, pressure, 5)
    solution = solution_at(case, fluids, pressure, goc is not None)
    factor = oil_state(fluids, pressure, 1.0, solution)[0]
    return (fluids.density_oil + solution * fluids.density_gas) / factor


def all_water(case: Case) -> bool:
    """A water injector in a case without oil and gas: rock full of water unless a contact says otherwise."""
    return case.fluid.oil is None and case.well.kind == "water injector"


def pressure_at(case: Case, fluids: Fluids, compartment: Compartment, depth: float) -> float:
    """Hydrostatic pressure of a compartment at a depth (Pa; m true vertical), by the midpoint rule.

    Without gravity it is the pressure at the datum everywhere.
    """
    if not case.numerics.gravity:
        return compartment.pressure
    pressure = compartment.pressure
    step = (depth - compartment.datum) / STEPS
    for k in range(STEPS):
        at = compartment.datum + k * step
        half = pressure + 0.5 * step * STANDARD_GRAVITY * _density(case, fluids, compartment, at, pressure)
        pressure += step * STANDARD_GRAVITY * _density(case, fluids, compartment, at + 0.5 * step, half)
    return pressure


def initial_state(case: Case, fluids: Fluids, layer: Layer, top: float, base: float) -> State:
    """State of the part of a layer between two true vertical depths (m)."""
    compartment = next(c for c in case.compartments if c.name == layer.compartment)
    curve = next(r for r in case.rocks if r.name == layer.rock).relative_permeability
    middle = 0.5 * (top + base)
    pressure = layer.pressure if layer.pressure is not None else pressure_at(case, fluids, compartment, middle)
    contact = compartment.oil_water_contact or compartment.gas_water_contact
    wet = _share_below(contact, top, base) if contact is not None else float(all_water(case))
    water = layer.water_saturation
    if water is None:
        water = wet + (1.0 - wet) * curve.connate_water
    if case.fluid.oil is None:
        return State(pressure, water, 0.0, 1.0 - water, 0.0)
    goc = compartment.gas_oil_contact
    capped = 1.0 - _share_below(goc, top, base) if goc is not None else 0.0
    gas = min(capped * (1.0 - curve.connate_water), 1.0 - water)
    return State(pressure, water, 1.0 - water - gas, gas, solution_at(case, fluids, pressure, goc is not None))


def swept(case: Case, layer: Layer, state: State) -> State:
    """State of rock that water has swept: what stays behind is trapped."""
    curve = next(r for r in case.rocks if r.name == layer.rock).relative_permeability
    gas_only = case.fluid.oil is None
    left = min(trapped(curve, gas_only), 1.0 - state.water)
    return State(state.pressure, 1.0 - left, 0.0 if gas_only else left, left if gas_only else 0.0, state.solution)


def _share_below(contact: float, top: float, base: float) -> float:
    """Share of an interval that lies below a contact."""
    if base <= top:
        return float(top >= contact)
    return float(np.clip((base - contact) / (base - top), 0.0, 1.0))

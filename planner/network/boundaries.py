"""Supports at the outer end of layers: aquifers, constant pressure, injectors."""

from __future__ import annotations

import math

from planner.base.constants import STANDARD_GRAVITY
from planner.model.case import Support
from planner.network.arrays import DARCY, INVERSE_BW, MU_W, ROCK
from planner.network.draft import ALL_PHASES, GAS_ONLY, OIL_ONLY, WATER_ONLY, Body, Draft, Inlet
from planner.network.equilibrium import State, column, swept
from planner.network.rock import scale


def add_boundaries(draft: Draft) -> None:
    """Supports at the outer end of the layers that name them."""
    if draft.frozen:
        return
    for name, support in draft.case.supports.items():
        bodies = [k for k, b in enumerate(draft.bodies) if draft.case.layers[b.layer].support == name]
        if not bodies or support.kind == "closed":
            continue
        total = sum(draft.bodies[k].kh for k in bodies)
        if support.kind == "fetkovich aquifer":
            _fetkovich(draft, name, support, bodies, total)
        elif support.kind == "constant pressure":
            for k in bodies:
                _constant_pressure(draft, name, support, draft.bodies[k])
        else:
            for k in bodies:
                body = draft.bodies[k]
                draft.inlets.append(Inlet(name, body.cells[-1], k, body.kh / total))


def _fetkovich(draft: Draft, name: str, support: Support, bodies: list[int], total: float) -> None:
    """One node of water for all layers that share the aquifer; Fetkovich 1971 is a tank on a conductance."""
    assert support.volume is not None and support.productivity_index is not None
    first = draft.bodies[bodies[0]]
    pressure = support.pressure or first.state.pressure
    state = State(pressure, 1.0, 0.0, 0.0, 0.0)
    denser = column(draft.fluids, pressure + 1e5, INVERSE_BW)
    of_water = math.log(denser / column(draft.fluids, pressure, INVERSE_BW)) / 1e5
    wanted = support.compressibility if support.compressibility is not None else of_water + 4e-10
    rock = max(wanted - of_water, 0.0)
    volume = support.volume * wanted / (rock + of_water)
    depth = draft.nodes[first.cells[-1]][5]
    node = draft.node(ROCK, len(draft.case.rocks), volume, rock, depth, False, state)
    mu = column(draft.fluids, pressure, MU_W)
    for k in bodies:
        body = draft.bodies[k]
        conductance = support.productivity_index * mu * body.kh / total
        fall = _rest_head(draft, pressure, body) if support.pressure is None else 0.0
        row = draft.rows.add(DARCY, node, body.cells[-1], conductance, fall=fall, phases=WATER_ONLY)
        draft.boundary_rows.setdefault(name, []).append(row)


def _rest_head(draft: Draft, pressure: float, body: Body) -> float:
    """Height of a water column between aquifer and layer, m, that leaves both at rest at the start."""
    density = 0.5 * sum(
        draft.fluids.density_water * column(draft.fluids, p, INVERSE_BW) for p in (pressure, body.state.pressure)
    )
    return (body.state.pressure - pressure) / (density * STANDARD_GRAVITY)


def _constant_pressure(draft: Draft, name: str, support: Support, body: Body) -> None:
    layer = draft.case.layers[body.layer]
    pressure = support.pressure or body.state.pressure
    state, phases = body.state, ALL_PHASES
    if support.fluid == "water":
        state, phases = swept(draft.case, layer, body.state), WATER_ONLY
    elif support.fluid == "oil":
        phases = OIL_ONLY
    elif support.fluid == "gas":
        connate = min(body.state.water, 0.9)
        state, phases = State(pressure, connate, 0.0, 1.0 - connate, 0.0), GAS_ONLY
    state = state._replace(pressure=pressure)
    rock = [r.name for r in draft.case.rocks].index(layer.rock)
    node = draft.node(ROCK, rock, 1.0, 0.0, draft.nodes[body.cells[-1]][5], True, state)
    conductance = scale(layer, body.kh) / float(body.grid.resistance[-1])
    row = draft.rows.add(DARCY, node, body.cells[-1], conductance, phases=phases)
    draft.boundary_rows.setdefault(name, []).append(row)

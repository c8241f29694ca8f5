"""The well for people straight from a case: graph, contents, what can be shut."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import WellDescription
from planner.network.arrays import Floats
from planner.network.compile import Network, compile_network
from planner.network.completed import completed
from planner.network.composed import skin_warnings
from planner.network.description import InPlace, describe
from planner.network.properties import evaluate
from planner.network.skin_table import at_start, skin_shares
from planner.network.well_graph import build


def describe_case(case: Case, what_if: WhatIf | None = None) -> WellDescription:
    """Zones, layers, pieces and blanks of a case, with what is in place."""
    case = completed(case, what_if)
    network = compile_network(case, build(case, what_if))
    work = network.work()
    evaluate(network.start, network.nodes, network.fluids, network.rocks, network.fronts, work)
    described = describe_network(network, network.nodes.volume[:, None] * work.content)
    told = skin_warnings(case, network.graph.pieces, network.graph.columns)
    warnings = tuple(dict.fromkeys((*described.warnings, *told)))
    return replace(described, skins=skin_shares(network, at_start(network, work)), warnings=warnings)


def describe_network(network: Network, held: Floats) -> WellDescription:
    """The same from a compiled network and the component volumes held by every node at the start [n, 3]."""
    count = len(network.graph.columns)

    def by_column(values: list[float]) -> NDArray[np.float64]:
        out = np.zeros(count)
        for body, value in zip(network.bodies, values, strict=True):
            out[body.column] += value
        return out

    inside = [held[list(body.cells)].sum(axis=0) for body in network.bodies]
    pores = by_column([body.pore_volume for body in network.bodies])
    share = [body.pore_volume / pores[body.column] for body in network.bodies]
    bodies = network.bodies
    in_place = InPlace(
        kh=by_column([body.kh for body in bodies]),
        pore_volume=pores,
        pressure=by_column([body.state.pressure * w for body, w in zip(bodies, share, strict=True)]),
        water_saturation=by_column([body.state.water * w for body, w in zip(bodies, share, strict=True)]),
        oil=by_column([float(h[1]) for h in inside]),
        water=by_column([float(h[0]) for h in inside]),
        gas=by_column([float(h[2]) for h in inside]),
    )
    return describe(network.graph, network.case, in_place)

"""Which layers open in which zone, for paths that mean a whole zone."""

from __future__ import annotations

from planner.model.case import Case
from planner.network.pieces import cut_string
from planner.network.trajectory import Trajectory
from planner.network.zones import divide


def zone_layers(case: Case) -> dict[str, tuple[str, ...]]:
    """Zone -> names of the layers that open in it, both top-down; a layer that opens in two zones is in both.

    Raises CaseError as `network.well_graph.build`.
    """
    trajectory = Trajectory(case.well.survey)
    division = divide(case, cut_string(case, trajectory), trajectory)
    found: dict[str, list[str]] = {zone.name: [] for zone in division.zones}
    for column in division.columns:
        zone, layer = division.zones[column.zone].name, case.layers[column.layer].name
        if layer not in found[zone]:
            found[zone].append(layer)
    return {zone: tuple(layers) for zone, layers in found.items()}

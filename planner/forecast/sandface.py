"""What a march says of the sandface: shares of the skins, horizontal sections beside published formulas."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from planner.base.cards import out_of_range
from planner.forecast.march import March
from planner.model.case import Layer
from planner.model.sandface_results import HorizontalIndex, SkinShare
from planner.network.skin_table import Moment, row_shares, skin_shares
from planner.physics.horizontal_well import DrainageBox, babu_odeh_1989_productivity_index
from planner.physics.inflow import joshi_1988_productivity_index

Floats = NDArray[np.float64]

LEAST_DRAWDOWN = 1.0  # Pa


def moment(march: March) -> Moment:
    """The march as it stands."""
    return Moment(march.x, march.work, march.switches, march.screen_linear, march.screen_quadratic, march.rates)


def skins_of(march: March) -> tuple[SkinShare, ...]:
    """Shares of the skins at the flow of the last step."""
    return skin_shares(march.network, moment(march))


def horizontal_of(march: March, pressure: Floats) -> tuple[HorizontalIndex, ...]:
    """Productivity of every layer along the hole by the network, by Joshi 1988 and by Babu and Odeh 1989.

    pressure [layers]: average, Pa. Oil producers alone: the formulas are for one liquid.
    """
    case = march.network.case
    if case.well.kind != "oil producer":
        return ()
    return tuple(
        found for k, layer in enumerate(case.layers)
        if layer.geometry == "along hole" and (found := _index(march, k, layer, float(pressure[k]))) is not None
    )  # fmt: skip


def _index(march: March, number: int, layer: Layer, pressure: float) -> HorizontalIndex | None:
    net = march.network
    rows = [row for row, body in net.body_of_row.items() if net.bodies[body].layer == number]
    flux = march.work.flux[rows]
    if not rows or flux[:, 1].sum() <= 0.0:
        return None
    bore = [net.bore[net.piece_of_row[row]] for row in rows]
    oil = flux[:, 1]
    drawdown = pressure - float(np.average(march.x[bore, 0], weights=np.maximum(oil, 0.0)))
    if drawdown < LEAST_DRAWDOWN:
        return None
    now = moment(march)
    skin = sum(float(q) * sum(s.value for s in row_shares(net, now, row)) for row, q in zip(rows, oil, strict=True))
    columns = [c for c in net.graph.columns if c.layer == number]
    length = sum(opening.length for column in columns for opening in column.openings)
    mobility = float(np.average(march.work.mobility[net.links.a[rows], 0, 1], weights=np.maximum(oil, 0.0)))
    skin /= float(oil.sum())
    bare = HorizontalIndex(
        layer.name, length, layer.thickness or math.nan, skin, drawdown, float(oil.sum()) / drawdown, None, None
    )
    return _with_formulas(bare, layer, sum(c.base_md - c.top_md for c in columns), _radius(march, rows), 1.0 / mobility)


def _radius(march: March, rows: list[int]) -> float:
    net = march.network
    return 0.5 * float(np.mean([net.graph.pieces[net.piece_of_row[row]].hole_diameter for row in rows]))


def _with_formulas(
    bare: HorizontalIndex, layer: Layer, along: float, radius: float, resistance: float
) -> HorizontalIndex:
    """The formulas beside the network's index; resistance: viscosity times volume factor over kr, Pa s."""
    if layer.thickness is None or layer.vertical_to_horizontal == 0.0 or layer.drainage_radius is None:
        text = "Joshi 1988 and Babu and Odeh 1989 need the layer's true vertical thickness and a kv/kh above 0"
        return replace(bare, missing=(text,))
    height, length = layer.thickness, bare.length
    width = math.pi * layer.drainage_radius**2 / height  # the box drains the same rock as the rings round the hole
    ratio = 1.0 / math.sqrt(layer.vertical_to_horizontal)
    kh = layer.permeability * layer.net_to_gross
    box = DrainageBox(
        width, along, height, 0.5 * width, 0.5 * along, 0.5 * height, length, radius,
        kh, kh, kh * layer.vertical_to_horizontal,
    )  # fmt: skip
    by_box = babu_odeh_1989_productivity_index(box, resistance, 1.0, bare.skin)
    reach = math.sqrt(width * along / math.pi)
    try:
        by_ellipse = joshi_1988_productivity_index(
            kh * height, resistance, 1.0, length, height, reach, radius, ratio, bare.skin
        )
    except ValueError as reason:
        return replace(bare, babu_odeh=by_box, missing=(f"Joshi 1988: {reason}",))
    warnings = tuple(out_of_range("joshi_1988", length_ratio=length / (ratio * height)))
    return replace(bare, joshi=float(by_ellipse), babu_odeh=by_box, warnings=warnings)

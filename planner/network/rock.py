"""Layers become bodies of cells, joined along the layer and, where asked for, across layers."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.model.case import Layer, Support
from planner.network.arrays import DARCY, MU_G, MU_W, ROCK, Fluids
from planner.network.composed import compose
from planner.network.draft import Body, Draft
from planner.network.equilibrium import State, initial_state
from planner.network.fluid_tables import trapped
from planner.network.fronts import Profile, profile
from planner.network.grid import Cells, linear_cells, radial_cells
from planner.network.properties import oil_state
from planner.network.records import Column

WIDEST = 0.5  # of the drainage radius, that the hole of a negative skin may have


def add_rock(draft: Draft) -> None:
    """Bodies, their cells and the links along them."""
    for part in draft.graph.columns:
        streak = draft.streak if draft.streak and draft.streak.layer == part.layer else None
        for piece, share in _along(draft, part):
            if streak is None:
                _add_body(draft, part, share, share, False, piece, share)
            else:
                _add_body(draft, part, share * streak.kh, share * streak.volume, True, piece, share)
                rest = share * (1.0 - streak.kh), share * (1.0 - streak.volume)
                _add_body(draft, part, *rest, False, piece, share)


def _along(draft: Draft, part: Column) -> list[tuple[int, float]]:
    """(piece, share) of each opening along a horizontal hole, so that rock rings do not carry flow from toe to heel
    past the friction in the bore; (-1, 1) for all other columns."""
    if draft.case.layers[part.layer].geometry != "along hole" or draft.frozen or len(part.openings) < 2:
        return [(-1, 1.0)]
    whole = sum(opening.length for opening in part.openings)
    return [(opening.piece, opening.length / whole) for opening in part.openings]


def _grid(draft: Draft, layer: Layer, inner: float, closed: bool) -> Cells:
    numerics = draft.case.numerics
    count = draft.cells or layer.cells or numerics.cells
    if layer.geometry == "linear":
        assert layer.length is not None and layer.width is not None
        return linear_cells(layer.length, layer.width, count, closed)
    assert layer.drainage_radius is not None
    near = numerics.near_well_cells
    if near is None:
        resolved = numerics.fronts == "resolved" and not numerics.vertical_flow
        near = count if resolved else round(count / 3)
    return radial_cells(inner, layer.drainage_radius, count, near, closed)


def _height(draft: Draft, part: Column, layer: Layer) -> float:
    along = layer.geometry == "along hole"
    if layer.thickness is not None and not along:
        gross = layer.thickness * part.fraction
    else:
        gross = part.base_md - part.top_md if along else part.base_tvd - part.top_tvd
    return gross * layer.net_to_gross


def _inner_radius(draft: Draft, part: Column) -> float:
    open_pieces = [draft.graph.pieces[o.piece] for o in part.openings]
    if not open_pieces:
        return 0.5 * draft.case.well.hole[0].diameter
    lengths = [o.length for o in part.openings]
    return 0.5 * float(np.average([p.hole_diameter for p in open_pieces], weights=lengths))


def _held_skin(draft: Draft, part: Column, piece: int) -> float:
    """Skin that a wider hole stands for: the lowest of the openings of a body (piece, or all), where below 0."""
    totals = []
    for opening in part.openings:
        if piece in (-1, opening.piece):
            skin = draft.skins.setdefault(
                (part.index, opening.piece), compose(draft.case, draft.graph.pieces, part, opening)
            )
            totals.append(skin.total)
    return min(0.0, min(totals, default=draft.case.layers[part.layer].skin))


def _refuse_too_wide(layer: Layer, part: Column, skin: float, inner: float) -> None:
    """Raises CaseError where a skin is so low that the hole it stands for reaches into the drainage boundary."""
    if layer.geometry != "linear" and layer.drainage_radius is not None and inner > WIDEST * layer.drainage_radius:
        message = (
            f"the skins of layer '{layer.name}' come to {skin:.3g}: as good as a hole of {inner:.3g} m radius, too "
            f"near to its drainage radius of {layer.drainage_radius:.4g} m"
        )
        remedy = "Raise the skin (a share of an open part counts whole thickness over open length)."
        raise CaseError([Problem("", f"layers[{part.layer + 1}].skin", f"{layer.skin:g}", message, remedy)])


def _add_body(
    draft: Draft, part: Column, kh_share: float, volume_share: float, streak: bool, piece: int, share: float
) -> None:  # fmt: skip
    layer = draft.case.layers[part.layer]
    support = draft.case.supports.get(layer.support)
    steady = support is not None and support.kind == "constant pressure"
    closed = support is None or support.kind == "closed" or (draft.frozen and not steady)
    held = _held_skin(draft, part, piece)
    inner = _inner_radius(draft, part) * math.exp(-held)
    _refuse_too_wide(layer, part, held, inner)
    grid = _grid(draft, layer, inner, closed)
    if draft.frozen and steady:  # the one cell stands for the boundary
        grid = replace(grid, resistance=np.array([grid.resistance.sum(), np.inf]))
    height = _height(draft, part, layer) * volume_share
    kh = layer.permeability * _height(draft, part, layer) * kh_share
    area = float(grid.areas.sum())
    state = initial_state(draft.case, draft.fluids, layer, part.top_tvd, part.base_tvd)
    if draft.frozen and support is not None and steady and support.pressure is not None:
        state = state._replace(pressure=support.pressure)
    pore = area * height * layer.porosity
    rock = [r.name for r in draft.case.rocks].index(layer.rock)
    depth = 0.5 * (part.top_tvd + part.base_tvd)
    first = len(draft.nodes)
    for volume in grid.volume:
        draft.node(ROCK, rock, pore * float(volume), draft.case.rocks[rock].compressibility, depth, draft.frozen, state)
    cells = range(first, len(draft.nodes))
    sweep, carrying = (0, set()) if draft.frozen else _front(draft, layer, support, grid, state, cells)
    unit = scale(layer, kh)
    # a: outer cell, b: inner one; positive flow is towards the well
    rows = tuple(
        draft.rows.add(DARCY, cells[k], cells[k - 1], unit / float(grid.resistance[k]),
                      sweep=sweep if cells[k if sweep > 0 else k - 1] in carrying else 0)
        for k in range(1, len(cells))
    )  # fmt: skip
    draft.front_leaves |= {index for index in (len(draft.bodies),) if sweep > 0 and cells[0] in carrying}
    draft.bodies.append(
        Body(part.index, part.layer, part.zone, kh, height, inner, grid, state, pore, cells, streak, rows, piece, share,
             held)
    )  # fmt: skip


def scale(layer: Layer, kh: float) -> float:
    """What a dimensionless resistance is divided into: 2 pi k h, or k h width for a slab."""
    if layer.geometry == "linear":
        assert layer.width is not None
        return kh * layer.width
    return 2.0 * math.pi * kh


def _front(
    draft: Draft, layer: Layer, support: Support | None, grid: Cells, state: State, cells: range
) -> tuple[int, set[int]]:  # fmt: skip
    """Carry a water front through the cells where water comes from one end; the sweep and the cells that do."""
    numerics = draft.case.numerics
    injector = draft.case.well.kind == "water injector"
    watered = support is not None and support.kind != "closed" and support.fluid == "water"
    if numerics.fronts != "resolved" or numerics.vertical_flow or not (watered or injector):
        return 0, set()
    shape = front_profile(draft, layer, state)
    if shape is None:
        return 0, set()
    nodes = list(cells)
    if injector:
        return -1, draft.fronts.add(shape, nodes, grid.volume)
    return 1, draft.fronts.add(shape, nodes[::-1], grid.volume[::-1])


def front_profile(draft: Draft, layer: Layer, state: State) -> Profile | None:
    """Displacement by water of what the layer holds, at its initial pressure."""
    rock = [r.name for r in draft.case.rocks].index(layer.rock)
    curves = draft.rocks.curves[rock]
    s = np.linspace(0.0, 1.0, curves.shape[0])
    left = trapped(draft.case.rocks[rock].relative_permeability, draft.case.fluid.oil is None)
    row = int((state.pressure - draft.fluids.start) / draft.fluids.step)
    table = draft.fluids.table[min(max(row, 0), len(draft.fluids.table) - 1)]
    water = curves[:, 0] / table[MU_W]
    if state.oil >= state.gas:
        mu = oil_viscosity(draft.fluids, state)
        other = np.interp(1.0 - s, s, curves[:, 1]) / mu
    else:
        other = np.interp(1.0 - s, s, curves[:, 2]) / table[MU_G]
    with np.errstate(invalid="ignore", divide="ignore"):
        fraction = np.where(water + other > 0.0, water / (water + other), 0.0)
    use = s <= 1.0 - left + 1e-9
    fraction = np.where(use, fraction, 1.0)
    return profile(s[use], fraction[use], state.water)


def add_vertical(draft: Draft) -> None:
    """Vertical links between columns, cell by cell, where vertical flow is asked for."""
    if not draft.case.numerics.vertical_flow or draft.frozen:
        return
    of_column: dict[int, list[Body]] = {}
    for body in draft.bodies:
        of_column.setdefault(body.column, []).append(body)
    for link in draft.graph.links:
        if link.kind != "vertical":
            continue
        upper, lower = of_column[link.column][-1], of_column[link.other_column][0]
        a, b = draft.case.layers[upper.layer], draft.case.layers[lower.layer]
        if len(upper.cells) != len(lower.cells) or a.geometry != b.geometry:
            draft.warnings.append(
                f"no vertical flow between layers {a.name} and {b.name}: give both the same number of cells and "
                "the same geometry"
            )
            continue
        rows = []
        for k in range(len(upper.cells)):
            area = 0.5 * float(upper.grid.areas[k] + lower.grid.areas[k])
            path = 0.0
            for body, layer in ((upper, a), (lower, b)):
                vertical = layer.permeability * layer.vertical_to_horizontal
                path += 0.5 * body.height / vertical if vertical > 0.0 else math.inf
            fall = (
                draft.nodes[lower.cells[k]][5] - draft.nodes[upper.cells[k]][5]
                if (draft.case.numerics.gravity)
                else 0.0
            )
            rows.append(draft.rows.add(DARCY, upper.cells[k], lower.cells[k], area / path, fall=fall))
        draft.rows_of_link[link.index] = rows


def oil_viscosity(fluids: Fluids, state: State) -> float:
    """Viscosity of the oil of a state, Pa s."""
    return float(oil_state(fluids, state.pressure, 1.0, state.solution)[4])

"""The string becomes conduits: bore, annulus, screens, seals, and the sandface that joins them to the rock."""

from __future__ import annotations

import math

from planner.network.arrays import CONDUIT, PIPE, SANDFACE
from planner.network.draft import Draft
from planner.network.equilibrium import State
from planner.network.loss import Parts, total
from planner.network.losses import nozzle_parts, pack_parts, plugging_of, sandface_parts, screen_parts, turbulence_parts
from planner.network.records import TOP, Link, Node, Piece
from planner.network.rock import scale as conductance_scale

TOP_LENGTH = 1.0  # m of pipe that the top node holds
GRAVEL_POROSITY = 0.35  # common practice, no source
PIPE_GIVE = 5e-11  # 1/Pa, hoop strain of a steel pipe, D / (E t) with D/t of 10; keeps stiff fluids well posed
LEAST_STIMULATED = 0.05  # of the resistance well to first cell that a negative skin may leave


def _pipe_state(draft: Draft, piece: Piece) -> State:
    """What fills the string at the start: the fluid of the rock nearest to it; an injector's own fluid."""
    body = min(draft.bodies, key=lambda b: abs(draft.nodes[b.cells[0]][5] - piece.tvd))
    state = body.state
    density = 850.0 if draft.case.fluid.oil is not None else 150.0
    if draft.case.well.kind == "water injector":
        state, density = State(state.pressure, 1.0, 0.0, 0.0, 0.0), 1000.0
    elif draft.case.fluid.oil is None or draft.case.well.kind == "gas injector":
        density = 150.0
        state = State(state.pressure, 0.0, 0.0, 1.0, 0.0)
    elif state.oil + state.gas > 0.0:
        state = State(state.pressure, 0.0, 1.0, 0.0, state.solution)
    else:
        state = State(state.pressure, 1.0, 0.0, 0.0, 0.0)
    return state._replace(pressure=state.pressure + density * 9.8 * (piece.tvd - draft.nodes[body.cells[0]][5]))


def add_string(draft: Draft) -> tuple[list[int], dict[int, int]]:
    """Bore and annulus nodes; returns them by piece."""
    bore, annulus = [], {}
    for piece in draft.graph.pieces:
        state = _pipe_state(draft, piece)
        bore.append(draft.node(PIPE, 0, piece.bore_area * piece.length, PIPE_GIVE, piece.tvd, False, state))
        draft.pipe_size[bore[-1]] = piece.bore_area, piece.length
    for piece in draft.graph.pieces:
        if piece.outside == "none":
            continue
        volume = _annulus_area(piece) * piece.length
        if piece.outside == "gravel":
            volume *= GRAVEL_POROSITY
        annulus[piece.index] = draft.node(PIPE, 0, volume, PIPE_GIVE, piece.tvd, False, _pipe_state(draft, piece))
        draft.pipe_size[annulus[piece.index]] = _annulus_area(piece), piece.length
    return bore, annulus


def add_top(draft: Draft) -> int:
    """Node at the top of the string, where the control acts: half a piece of friction and head above the first one."""
    piece = draft.graph.pieces[0]
    state = _pipe_state(draft, piece)
    node = draft.node(PIPE, 0, piece.bore_area * TOP_LENGTH, PIPE_GIVE, piece.top_tvd, False, state)
    draft.pipe_size[node] = piece.bore_area, TOP_LENGTH
    return node


def _annulus_area(piece: Piece) -> float:
    return max(0.25 * math.pi * (piece.hole_diameter**2 - piece.outer_diameter**2), 1e-5)


def add_links(draft: Draft, bore: list[int], annulus: dict[int, int], top: int) -> None:
    """Every link of the graph but the vertical ones; conduits run downwards from a to b, outside to bore."""
    keys: dict[Node, int] = {TOP: top}
    keys |= {("bore", k): node for k, node in enumerate(bore)}
    keys |= {("annulus", k): node for k, node in annulus.items()}
    for link in draft.graph.links:
        if link.kind == "vertical":
            continue
        if link.kind == "sandface":
            draft.rows_of_link[link.index] = _sandface(draft, link, keys[link.b])
            continue
        a, b = (top, bore[0]) if link.kind == "top" else (keys[link.a], keys[link.b])
        fall = draft.nodes[b][5] - draft.nodes[a][5] if draft.case.numerics.gravity else 0.0
        row = draft.rows.add(CONDUIT, a, b, fall=fall, pipe=_pipe(draft, link))
        draft.rows_of_link[link.index] = [row]
        if link.kind in ("screen", "screen end"):
            draft.losses[row] = _screen_parts(draft, link, draft.rows.rows[row][8])
        if link.kind == "screen":
            draft.plugging[row] = plugging_of(draft.case, draft.graph.pieces[link.piece], link.length)
        draft.multiplier[row] = 1.0 if link.open or link.conductance > 0.0 else 0.0
        if link.conductance > 0.0:
            draft.extra_linear[row] = 1.0 / link.conductance


def _pipe(draft: Draft, link: Link) -> tuple[float, ...]:
    """Length, area, diameter, roughness, laminar constant, linear and quadratic loss of a conduit."""
    upper = draft.graph.pieces[link.piece]
    lower = draft.graph.pieces[link.other_piece if link.other_piece >= 0 else link.piece]
    length = link.length if draft.case.numerics.friction else 0.0
    if link.kind in ("bore", "top") and (upper.filled or lower.filled):
        return _beside_inner_pipe(upper, lower, link, length)
    if link.kind == "bore":
        halves = (0.5 * upper.length, upper.inner_diameter), (0.5 * lower.length, lower.inner_diameter)
        size = (sum(h for h, _ in halves) / sum(h / d**5 for h, d in halves)) ** 0.2
        return length, 0.25 * math.pi * size**2, size, max(upper.roughness, lower.roughness), 64.0, 0.0, 0.0
    if link.kind == "top":
        size = upper.inner_diameter
        return length, 0.25 * math.pi * size**2, size, upper.roughness, 64.0, 0.0, 0.0
    if link.kind in ("bypass", "inner pipe"):
        size = link.diameter
        return length, 0.25 * math.pi * size**2, size, upper.roughness, 64.0, 0.0, 0.0
    if link.kind == "annulus":
        return _annulus_pipe(draft, upper, lower, length)
    if link.kind == "seal":
        return 0.0, 1.0, 1.0, 0.0, 64.0, 0.0, 0.0
    face = lower if link.kind == "screen end" else upper
    area = math.pi * face.outer_diameter * (upper.length if link.kind == "screen" else upper.outer_diameter)
    return 0.0, area, 1.0, 0.0, 64.0, *total(_screen_parts(draft, link, area))


def _beside_inner_pipe(upper: Piece, lower: Piece, link: Link, length: float) -> tuple[float, ...]:
    """Bore beside an inner pipe as an annulus; a half without one by the length of annulus that costs as much."""
    narrow = upper if upper.filled else lower
    area, gap = narrow.bore_area, narrow.inner_diameter - narrow.filled
    if link.kind == "bore" and length > 0.0:
        length = 0.5 * sum(
            one.length * (gap * area**2) / ((one.inner_diameter - one.filled) * one.bore_area**2)
            for one in (upper, lower)
        )  # fmt: skip
    laminar = _laminar(narrow.filled / narrow.inner_diameter)
    return length, area, gap, narrow.roughness, laminar, 0.0, 0.0


def _laminar(kappa: float) -> float:
    """Friction factor times Reynolds number on the hydraulic diameter of a concentric annulus (Lamb 1932)."""
    return 64.0 * (1.0 - kappa) ** 2 / (1.0 + kappa**2 + (1.0 - kappa**2) / math.log(kappa))


def _screen_parts(draft: Draft, link: Link, area: float) -> Parts:
    """Losses from an annulus into the bore: gravel, screen, nozzles."""
    outside = draft.graph.pieces[link.piece]
    face = draft.graph.pieces[link.other_piece]
    element = draft.case.string[face.element]
    parts = pack_parts(draft.case.string[outside.element], outside)
    if face.kind == "screen":
        parts |= screen_parts(element, area)
    if link.kind == "screen":
        parts |= nozzle_parts(element, face.nozzles)
    return {name: loss for name, loss in parts.items() if loss.linear or loss.quadratic}


def _annulus_pipe(draft: Draft, upper: Piece, lower: Piece, length: float) -> tuple[float, ...]:
    area = min(_annulus_area(upper), _annulus_area(lower))
    gap = min(p.hole_diameter - p.outer_diameter for p in (upper, lower))
    gap = max(gap, 1e-4)
    linear = quadratic = 0.0
    gravel = [p for p in (upper, lower) if p.outside == "gravel"]
    for piece in gravel:
        element = draft.case.string[piece.element]
        half = 0.5 * piece.length
        if element.gravel_permeability:
            linear += 1e-3 * half / (element.gravel_permeability * area)
            quadratic += 1e3 * element.gravel_turbulence * half / area**2
    if gravel:
        length *= 0.5 if len(gravel) == 1 else 0.0
    kappa = (0.5 * (upper.outer_diameter + lower.outer_diameter)) / (
        0.5 * (upper.outer_diameter + lower.outer_diameter) + gap
    )
    return length, area, gap, upper.roughness, _laminar(kappa), linear, quadratic


def _sandface(draft: Draft, link: Link, pipe: int) -> list[int]:
    """Rows of one opening: from the first cell of each body of the column into the pipe or annulus."""
    rows = []
    part = draft.graph.columns[link.column]
    piece = draft.graph.pieces[link.piece]
    for index, body in enumerate(draft.bodies):
        if body.column != link.column or body.piece not in (-1, link.piece):
            continue
        layer = draft.case.layers[body.layer]
        skin = draft.skins[part.index, link.piece]
        resistance = max(float(body.grid.resistance[0]) + skin.total - body.held_skin, LEAST_STIMULATED)
        scale = conductance_scale(layer, body.kh) * skin.weight / body.share
        fall = draft.nodes[pipe][5] - draft.nodes[body.cells[0]][5] if draft.case.numerics.gravity else 0.0
        sweep = int(index in draft.front_leaves)
        row = draft.rows.add(SANDFACE, body.cells[0], pipe, scale / resistance, fall=fall, sweep=sweep)
        draft.body_of_row[row] = index
        draft.piece_of_row[row] = link.piece
        draft.scale[row] = scale
        opening = next(o for o in part.openings if o.piece == link.piece)
        draft.turbulence[row] = turbulence_parts(draft, layer, body, part, opening, skin.weight)
        if link.b[0] == "bore":
            draft.losses[row] = sandface_parts(draft.case, piece, link.length)
            draft.plugging[row] = plugging_of(draft.case, piece, link.length)
        rows.append(row)
    return rows

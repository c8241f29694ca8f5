"""Losses between the sandface and the bore, part by part: screen, gravel, nozzles; and the turbulence of gas.

Linear losses in Pa per m3/s at 1 cP, quadratic ones in Pa per (m3/s)2 at 1000 kg/m3; the kernels scale both with the
viscosity and density of what flows.
"""

from __future__ import annotations

import math

from planner.model.case import Case, Element, Layer
from planner.network.arrays import MU_G
from planner.network.draft import Body, Draft
from planner.network.loss import Loss, Parts
from planner.network.records import Column, Opening, Piece
from planner.physics.turbulence import firoozabadi_katz_1979_beta, geertsma_1974_beta, rate_dependent_skin

CENTIPOISE = 1e-3  # Pa s
REFERENCE_DENSITY = 1000.0  # kg/m3
THINNEST = 1.0001  # outer over inner radius of a gravel pack


def screen_parts(element: Element, area: float) -> Parts:
    """The loss of a screen over an outer area [m2]."""
    return {"screen": Loss(element.linear_loss / area, element.quadratic_loss / area**2)}


def nozzle_parts(element: Element, area: float) -> Parts:
    """The loss of nozzles of this area [m2]; none for none."""
    if area <= 0.0:
        return {}
    return {"nozzles": Loss(0.0, REFERENCE_DENSITY / (2.0 * (element.nozzle_coefficient * area) ** 2))}


def pack_parts(element: Element, piece: Piece) -> Parts:
    """Radial flow through the gravel between hole wall and screen: Darcy and Forchheimer."""
    if piece.outside != "gravel" or not element.gravel_permeability:
        return {}
    inner, outer, round_ = 0.5 * piece.outer_diameter, 0.5 * piece.hole_diameter, 2.0 * math.pi * piece.length
    across = math.log(max(outer / inner, THINNEST)) / round_
    linear = CENTIPOISE * across / element.gravel_permeability
    quadratic = REFERENCE_DENSITY * element.gravel_turbulence / round_**2 * (1.0 / inner - 1.0 / outer)
    return {"gravel": Loss(linear, quadratic)}


def tunnel_parts(case: Case, element: Element, piece: Piece, length: float) -> Parts:
    """Straight flow through gravel-filled tunnels of casing and cement, over a perforated length [m]."""
    if piece.kind != "perforated casing" or not element.gravel_permeability:
        return {}
    gun = case.perforations[element.perforations]
    path = max(0.5 * (piece.hole_diameter - piece.inner_diameter), 0.0)
    area = gun.shot_density * length * 0.25 * math.pi * gun.entrance_diameter**2
    linear = CENTIPOISE * path / (element.gravel_permeability * area)
    return {"gravel": Loss(linear, REFERENCE_DENSITY * element.gravel_turbulence * path / area**2)}


def sandface_parts(case: Case, piece: Piece, length: float) -> Parts:
    """What is in series with an opening of this length [m] that flows straight into the bore."""
    element = case.string[piece.element]
    parts: Parts = {}
    if piece.kind == "screen":
        parts |= screen_parts(element, math.pi * piece.outer_diameter * length)
        parts |= nozzle_parts(element, piece.nozzles * length / piece.length)
    parts |= tunnel_parts(case, element, piece, length)
    return {name: loss for name, loss in parts.items() if loss.linear or loss.quadratic}


def plugging_of(case: Case, piece: Piece, length: float) -> float:
    """Growth of the linear loss of a screen per volume passed through this length [m] of it, Pa s/m6 at 1 cP."""
    element = case.string[piece.element]
    area = math.pi * piece.outer_diameter * length
    return element.plugging / area**2 if piece.kind == "screen" else 0.0


def turbulence_parts(
    draft: Draft, layer: Layer, body: Body, part: Column, opening: Opening, weight: float
) -> dict[str, tuple[float, str]]:
    """Rate-dependent skin of an opening per surface gas rate through it [s/m3], by name, with its method card.

    The layer's own number is for the rate of the whole layer: an opening sees it over its share of the flow.
    """
    if layer.geometry == "linear":
        return {}
    opened = sum(o.length for c in draft.graph.columns if c.layer == part.layer for o in c.openings)
    whole = sum(b.kh for b in draft.bodies if b.column == body.column and b.piece == body.piece)
    share = opening.length / opened * (body.kh / whole if whole > 0.0 else 1.0)
    found = {}
    if layer.turbulence > 0.0:
        found["turbulence as given"] = (layer.turbulence / share, "")
    beta = _beta(layer)
    if beta > 0.0 and draft.case.fluid.oil is None:
        pressure = body.state.pressure
        fluids = draft.fluids
        row = min(max(int((pressure - fluids.start) / fluids.step), 0), len(fluids.table) - 1)
        viscosity = float(fluids.table[row, MU_G])
        curves = draft.case.rocks[[r.name for r in draft.case.rocks].index(layer.rock)].relative_permeability
        to_gas = layer.permeability * curves.gas_end_point
        net = opening.length * layer.net_to_gross * (body.kh / whole if whole > 0.0 else 1.0)
        height = body.kh / layer.permeability * weight / body.share
        radius = 0.5 * draft.graph.pieces[opening.piece].hole_diameter
        skin = float(rate_dependent_skin(beta, to_gas, fluids.density_gas, viscosity, radius, net))
        card = layer.forchheimer_method.replace(" ", "_").replace("-", "_") or "forchheimer_1901"
        found["turbulence"] = (skin * height / net, card)
    return found


def _beta(layer: Layer) -> float:
    """Forchheimer coefficient of a layer [1/m], 0 where none is asked for."""
    if layer.forchheimer_method == "geertsma 1974":
        return float(geertsma_1974_beta(layer.permeability, layer.porosity))
    if layer.forchheimer_method == "firoozabadi-katz 1979":
        return float(firoozabadi_katz_1979_beta(layer.permeability))
    return layer.forchheimer or 0.0

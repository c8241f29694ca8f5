"""Skins composed for every opening of a layer: what the sandface holds, part by part.

An opening flows with scale * weight / (resistance of the rock + sum of the shares). Shares that depend on the rate
(screen, gravel, nozzles, turbulence) are losses of the network; `skin_table` reads them back at a flow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from planner.model.case import Case, Layer
from planner.network.records import Column, Opening, Piece
from planner.physics.skin import (
    cinco_ley_1975_skin,
    crushed_zone_skin,
    hawkins_skin,
    karakas_tariq_1991_skin,
    partly_open_skin,
)

STEEPEST = math.radians(75.0)  # range of Cinco-Ley et al. 1975
TOGETHER = 1e-6  # of a layer: openings nearer than this are one


class Share(NamedTuple):
    """One part of a skin and the key of its method card ('' for what the user gave)."""

    name: str
    value: float
    card: str = ""


@dataclass(frozen=True)
class Skin:
    """The skin of an opening at rest. weight: the opening's share of what the layer would conduct fully open.

    stretch: what multiplies a skin of the open part, thickness over open length under a partial-entry skin.
    """

    weight: float
    shares: tuple[Share, ...] = ()
    stretch: float = 1.0

    @property
    def total(self) -> float:
        """Sum of the shares."""
        return math.fsum(share.value for share in self.shares)


def compose(case: Case, pieces: tuple[Piece, ...], part: Column, opening: Opening) -> Skin:
    """Skin at rest of one opening of a column. A linear slab has none."""
    layer = case.layers[part.layer]
    thickness = part.base_md - part.top_md
    opened = sum(one.length for one in part.openings)
    if layer.geometry == "linear":
        return Skin(opening.length / thickness)
    # with a partial-entry skin the layer conducts as a whole, and what sits at the open part counts for that part
    weight, stretch = opening.length / thickness, 1.0
    if layer.partial_entry:
        weight, stretch = opening.length / opened, thickness / opened
    piece = pieces[opening.piece]
    found = [Share("as given", stretch * layer.skin)]
    found += [share._replace(value=stretch * share.value) for share in _at_the_wall(case, layer, piece)]
    found += _geometric(case, layer, pieces, part)
    return Skin(weight, tuple(share for share in found if share.value != 0.0), stretch)


def anisotropy(layer: Layer) -> float:
    """sqrt(kh/kv) of a layer [-]."""
    return 1.0 / math.sqrt(layer.vertical_to_horizontal)


def gross_thickness(layer: Layer, part: Column) -> float:
    """True vertical thickness of a column [m]."""
    if layer.thickness is not None:
        return layer.thickness * part.fraction
    return part.base_tvd - part.top_tvd


def _at_the_wall(case: Case, layer: Layer, piece: Piece) -> list[Share]:
    """Damage, and where the piece is perforated casing its tunnels."""
    radius = 0.5 * piece.hole_diameter
    ratio, depth = 1.0, 0.0
    if layer.damaged_permeability is not None and layer.damaged_radius is not None:
        ratio = layer.permeability / layer.damaged_permeability
        depth = max(layer.damaged_radius - radius, 0.0)
    if piece.kind != "perforated casing":
        return [Share("damage", float(hawkins_skin(ratio, 1.0, radius + depth, radius)), "hawkins_1956")]
    gun = case.perforations[case.string[piece.element].perforations]
    phasing, tunnel = round(math.degrees(gun.phasing)), 0.5 * gun.entrance_diameter
    shape = (phasing, gun.length, tunnel, gun.shot_density, radius, anisotropy(layer))
    clean = karakas_tariq_1991_skin(*shape)
    damaged = karakas_tariq_1991_skin(*shape, max(ratio, 1.0), depth)  # a better ring: left out, see skin_warnings
    crushed = crushed_zone_skin(
        1.0, gun.crushed_permeability, tunnel + gun.crushed_thickness, tunnel, gun.length, gun.shot_density
    )
    return [
        Share("perforations", clean, "karakas_tariq_1991"),
        Share("crushed zone", float(crushed), "karakas_tariq_1991"),
        Share("damage", damaged - clean, "karakas_tariq_1991"),
    ]


def _geometric(case: Case, layer: Layer, pieces: tuple[Piece, ...], part: Column) -> list[Share]:
    """Slant of the hole and entry over a part of the layer."""
    found = []
    thickness = gross_thickness(layer, part)
    lengths = [opening.length for opening in part.openings]
    radius = 0.5 * math.fsum(
        pieces[o.piece].hole_diameter * length for o, length in zip(part.openings, lengths, strict=True)
    ) / math.fsum(lengths)  # fmt: skip
    if layer.deviation_skin:
        skin = float(cinco_ley_1975_skin(slant(part), thickness, radius, anisotropy(layer)))
        found.append(Share("deviation", skin, "cinco_ley_1975"))
    if layer.partial_entry:
        intervals = open_intervals(pieces, part)
        skin = _partial_entry(intervals, thickness, radius, anisotropy(layer))
        found.append(Share("partial entry", skin, "partial_entry_series"))
    return found


def slant(part: Column) -> float:
    """Mean inclination of the hole through a column [rad]."""
    cosine = (part.base_tvd - part.top_tvd) / (part.base_md - part.top_md)
    return math.acos(min(max(cosine, 0.0), 1.0))


def open_intervals(pieces: tuple[Piece, ...], part: Column) -> tuple[tuple[float, float], ...]:
    """Top and base of what is open of a column, as shares of its thickness; neighbours joined."""
    whole = part.base_md - part.top_md
    found: list[tuple[float, float]] = []
    for piece in (pieces[o.piece] for o in sorted(part.openings)):
        top = max(piece.top_md - part.top_md, 0.0) / whole
        base = min(piece.base_md - part.top_md, whole) / whole
        if found and top - found[-1][1] < TOGETHER:
            found[-1] = (found[-1][0], base)
        else:
            found.append((top, base))
    return tuple(found)


@lru_cache(maxsize=256)
def _partial_entry(intervals: tuple[tuple[float, float], ...], thickness: float, radius: float, ratio: float) -> float:
    if len(intervals) == 1 and intervals[0][1] - intervals[0][0] > 1.0 - TOGETHER:
        return 0.0
    return partly_open_skin(intervals, thickness, radius, ratio)


def skin_warnings(case: Case, pieces: tuple[Piece, ...], columns: tuple[Column, ...]) -> list[str]:
    """Sentences on composed skins that stand outside the range of their method, or that leave something out."""
    found = []
    for part in columns:
        layer = case.layers[part.layer]
        if layer.deviation_skin and slant(part) > STEEPEST:
            found.append(
                f"layer '{layer.name}' is crossed at {math.degrees(slant(part)):.0f} deg; its deviation skin is that "
                "of 75 deg, the end of the range of Cinco-Ley et al. 1975: a layer 'along hole' describes it better"
            )
        perforated = any(pieces[o.piece].kind == "perforated casing" for o in part.openings)
        if perforated and (layer.damaged_permeability or 0.0) > layer.permeability:
            found.append(
                f"layer '{layer.name}': the ring within damaged_radius is more permeable than the rock; the skin of "
                "perforations leaves that out"
            )
        turbulent = layer.forchheimer is not None or layer.forchheimer_method != ""
        if turbulent and perforated:
            found.append(
                f"layer '{layer.name}' is perforated: its turbulence is that of an open hole wall, without the "
                "convergence to the tunnels, and too low where few tunnels carry the gas"
            )
        if turbulent and case.fluid.oil is not None:
            found.append(f"layer '{layer.name}': the forchheimer coefficient counts in gas wells alone")
    return list(dict.fromkeys(found))

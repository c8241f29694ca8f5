"""Zones and columns: the outside of the string falls apart where it is sealed; each part takes its share of the layers.

A part without screen or open hole (blank pipe between two seals) is a zone only for a layer that opens nowhere else.
The rock that it covers of other layers does not flow there, but still drains along the layer to its screens.
"""

from __future__ import annotations

from bisect import bisect
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import numpy as np

from planner.base.errors import CaseError, Problem
from planner.model.case import Case, Layer
from planner.network.records import TOUCH, Column, Opening, Piece, Zone
from planner.network.trajectory import Trajectory

Part = tuple[int, ...]  # pieces whose outsides are connected, top-down


@dataclass(frozen=True)
class Division:
    """The well divided into zones; zone_of_piece: -1 for pieces outside any zone."""

    zones: tuple[Zone, ...]
    columns: tuple[Column, ...]
    zone_of_piece: tuple[int, ...]
    warnings: tuple[str, ...]


def outside_parts(pieces: tuple[Piece, ...]) -> list[Part]:
    """Connected parts of the outside of the string once all seals are tight, top-down."""
    outside = nx.Graph()
    outside.add_nodes_from(piece.index for piece in pieces if piece.exposed != "closed")
    outside.add_edges_from(
        (k, k + 1) for k in outside if k + 1 in outside and pieces[k].cemented == pieces[k + 1].cemented
    )
    return sorted(tuple(sorted(part)) for part in nx.connected_components(outside))


def divide(case: Case, pieces: tuple[Piece, ...], trajectory: Trajectory) -> Division:
    """Zones from top to bottom, and the columns of rock that belong to them.

    Raises CaseError when no layer opens to the string at all.
    """
    parts = outside_parts(pieces)
    openings = [_openings(layer, pieces, parts) for layer in case.layers]
    used = sorted({part for opened in openings for part in opened})
    if not used:
        raise CaseError([Problem("", "string", "", "no screen, blank pipe or open hole lies beside any layer",
                                 "Compare the depths of layers and string.")])  # fmt: skip
    flowing = [any(pieces[k].lets_in for k in parts[part]) for part in used]
    names, warnings = _names(case, [pieces[parts[part][0]].name for part in used], flowing)
    zones = tuple(
        Zone(name, pieces[parts[part][0]].top_md, pieces[parts[part][-1]].base_md)
        for name, part in zip(names, used, strict=True)
    )
    number = {part: zone for zone, part in enumerate(used)}
    of_piece = {k: zone for part, zone in number.items() for k in parts[part]}
    cut = [0.5 * (upper.base_md + lower.top_md) for upper, lower in pairwise(zones)]
    columns: list[Column] = []
    for k in sorted(range(len(case.layers)), key=lambda k: (case.layers[k].top_md, k)):
        by_zone = {number[part]: found for part, found in openings[k].items()}
        columns += _columns(case.layers[k], k, by_zone, zones, cut, trajectory, len(columns))
        warnings += _layer_warnings(case.layers[k], by_zone, zones)
    zone_of_piece = tuple(of_piece.get(piece.index, -1) for piece in pieces)
    return Division(zones, tuple(columns), zone_of_piece, tuple(warnings))


def _openings(layer: Layer, pieces: tuple[Piece, ...], parts: list[Part]) -> dict[int, tuple[Opening, ...]]:
    """Part of the outside -> openings of a layer there; parts that let nothing in count only if there is no other."""
    found: dict[int, tuple[Opening, ...]] = {}
    for number, part in enumerate(parts):
        opened = []
        for piece in (pieces[k] for k in part):
            length = min(layer.base_md, piece.base_md) - max(layer.top_md, piece.top_md)
            if length > TOUCH and piece.exposed != "closed":
                opened.append(Opening(piece.index, length, piece.exposed))
        if opened:
            found[number] = tuple(opened)
    flowing = {number: opened for number, opened in found.items() if any(pieces[k].lets_in for k in parts[number])}
    return flowing or found


def _names(case: Case, first: list[str], flowing: list[bool]) -> tuple[list[str], list[str]]:
    """Names of the zones, and warnings when the case names another number of them.

    first: name of the topmost element of each; parts behind blank pipe take a name of the case only if all fit.
    """
    count = len(flowing) if len(case.zones) == len(flowing) else sum(flowing)
    given = iter((*case.zones, *(f"zone {k + 1}" for k in range(len(case.zones), count))))
    names = [next(given) if count == len(flowing) or flows else f"behind {first[k]}" for k, flows in enumerate(flowing)]
    if case.zones and len(case.zones) != count:
        return names, [
            f"the case names {len(case.zones)} zones, but the seals outside the string make {count}; names are given "
            "from the top down"
        ]
    return names, []


def _columns(
    layer: Layer, index: int, by_zone: dict[int, tuple[Opening, ...]], zones: tuple[Zone, ...], cut: list[float],
    trajectory: Trajectory, start: int,
) -> list[Column]:  # fmt: skip
    """One column per zone in which the layer opens, cut midway between the zones; unopened: the zone by its depth."""
    inside = sorted(by_zone) or [bisect(cut, 0.5 * (layer.top_md + layer.base_md))]
    edges = [layer.top_md]
    for upper, lower in pairwise(inside):
        edges.append(0.5 * (zones[upper].base_md + zones[lower].top_md))
    edges.append(layer.base_md)
    tvd = trajectory.tvd(np.array(edges))
    return [
        Column(
            index=start + n, layer=index, zone=zone, top_md=edges[n], base_md=edges[n + 1],
            fraction=(edges[n + 1] - edges[n]) / (layer.base_md - layer.top_md),
            top_tvd=float(tvd[n]), base_tvd=float(tvd[n + 1]), openings=by_zone.get(zone, ()),
        )
        for n, zone in enumerate(inside)
    ]  # fmt: skip


def _layer_warnings(layer: Layer, by_zone: dict[int, tuple[Opening, ...]], zones: tuple[Zone, ...]) -> list[str]:
    opened = sum(opening.length for found in by_zone.values() for opening in found)
    thickness = layer.base_md - layer.top_md
    if not by_zone:
        return [f"layer '{layer.name}' lies behind seals or casing, or off the string: nothing of it flows"]
    if opened < 0.5 * thickness:
        text = f"layer '{layer.name}': {opened / thickness:.0%} of its thickness is open to the string"
        plain = layer.geometry == "radial" and not layer.partial_entry
        return [text + ("; partial_entry = true adds what the way to the open part costs" if plain else "")]
    if all(zones[zone].name.startswith("behind ") for zone in by_zone):
        return [f"layer '{layer.name}' lies behind blank pipe between two seals: it flows only if a seal leaks"]
    return []

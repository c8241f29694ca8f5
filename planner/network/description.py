"""The well for people: zones, layers, pieces and blanks, with what can be shut later and what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from planner.model.case import Case
from planner.model.results import BlankInfo, LayerInfo, PieceInfo, WellDescription, ZoneInfo
from planner.network.closures import describe_zone, initial_state, plug_outlook
from planner.network.records import Column, Piece, WellGraph

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class InPlace:
    """What each column of rock holds at the start, arrays [columns].

    kh m3; pore_volume reservoir m3; pressure Pa; water_saturation fraction; oil, water, gas in place surface m3.
    """

    kh: Floats
    pore_volume: Floats
    pressure: Floats
    water_saturation: Floats
    oil: Floats
    water: Floats
    gas: Floats


def describe(graph: WellGraph, case: Case, in_place: InPlace) -> WellDescription:
    """The well as a graph, for people. in_place: arrays over graph.columns."""
    return WellDescription(
        well=case.well.name,
        kind=case.well.kind,
        zones=tuple(_zone(graph, case, in_place, k) for k in range(len(graph.zones))),
        layers=tuple(_layer(graph, case, in_place, k) for k in range(len(case.layers))),
        pieces=tuple(_piece(graph, piece) for piece in graph.pieces),
        blanks=blank_infos(graph),
        warnings=graph.warnings,
    )


def blank_infos(graph: WellGraph) -> tuple[BlankInfo, ...]:
    """Every blank pipe: whether a later element fits, and what a plug in it would shut in the string as it was run."""
    infos = []
    for blank in graph.blanks:
        outlook = plug_outlook(graph, blank, initial_state(graph))
        infos.append(
            BlankInfo(
                name=blank.name, top_md=blank.top_md, base_md=blank.base_md, zone=zone_name(graph, blank.first),
                fits=blank.rooms > 0, shuts=tuple(graph.zones[k].name for k in outlook.shuts),
                missing=outlook.missing,
            )
        )  # fmt: skip
    return tuple(infos)


def zone_name(graph: WellGraph, piece: int) -> str:
    """Zone that the outside of a piece belongs to, '' for none."""
    zone = graph.zone_of_piece[piece]
    return graph.zones[zone].name if zone >= 0 else ""


def seals_of(graph: WellGraph, zone: int) -> tuple[str, str]:
    """Names of the nearest seals just above and below a zone; '' where the string begins or ends there."""
    own = [piece.index for piece in graph.pieces if graph.zone_of_piece[piece.index] == zone]

    def nearest(run: list[Piece]) -> str:
        closed = list(takewhile(lambda piece: piece.exposed == "closed", run))
        seals = [piece.name for piece in closed if piece.kind not in ("casing", "blank pipe")] or [
            piece.name for piece in closed
        ]
        return seals[0] if seals else ""

    return nearest(list(graph.pieces[: own[0]])[::-1]), nearest(list(graph.pieces[own[-1] + 1 :]))


def _zone(graph: WellGraph, case: Case, held: InPlace, zone: int) -> ZoneInfo:
    columns = [c for c in graph.columns if c.zone == zone]
    rows = [c.index for c in columns]
    closure = describe_zone(graph, zone)
    upper_seal, lower_seal = seals_of(graph, zone)
    return ZoneInfo(
        name=graph.zones[zone].name, top_md=graph.zones[zone].top_md, base_md=graph.zones[zone].base_md,
        layers=tuple(dict.fromkeys(case.layers[c.layer].name for c in columns)),
        upper_seal=upper_seal, lower_seal=lower_seal, shut_by=closure.kind,
        upper_blank=closure.upper.name if closure.upper else "",
        lower_blank=closure.lower.name if closure.lower else "", missing=closure.missing,
        oil_in_place=float(np.sum(held.oil[rows])), water_in_place=float(np.sum(held.water[rows])),
        gas_in_place=float(np.sum(held.gas[rows])),
    )  # fmt: skip


def _layer(graph: WellGraph, case: Case, held: InPlace, layer: int) -> LayerInfo:
    columns: list[Column] = [c for c in graph.columns if c.layer == layer]
    rows = [c.index for c in columns]
    pore = held.pore_volume[rows]
    return LayerInfo(
        name=case.layers[layer].name, zone=", ".join(graph.zones[c.zone].name for c in columns),
        top_md=columns[0].top_md, base_md=columns[-1].base_md, top_tvd=columns[0].top_tvd,
        base_tvd=columns[-1].base_tvd, kh=float(np.sum(held.kh[rows])), pore_volume=float(np.sum(pore)),
        pressure=float(np.average(held.pressure[rows], weights=pore)),
        water_saturation=float(np.average(held.water_saturation[rows], weights=pore)),
        oil_in_place=float(np.sum(held.oil[rows])), water_in_place=float(np.sum(held.water[rows])),
        gas_in_place=float(np.sum(held.gas[rows])),
    )  # fmt: skip


def _piece(graph: WellGraph, piece: Piece) -> PieceInfo:
    return PieceInfo(
        element=piece.name, kind=piece.kind, zone=zone_name(graph, piece.index), top_md=piece.top_md,
        base_md=piece.base_md, tvd=piece.tvd, inner_diameter=piece.inner_diameter,
        has_annulus=piece.outside != "none",
    )  # fmt: skip

"""The graph of a well becomes flat arrays for the kernels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import CaseError, Problem
from planner.model.case import Case
from planner.network.arrays import CONDUIT, Axis, Fluids, Fronts, Links, Nodes, Rocks, Switches, Work, Zones, make_work
from planner.network.boundaries import add_boundaries
from planner.network.composed import Skin
from planner.network.draft import Body, Draft, Inlet, Streak
from planner.network.loss import Parts, total
from planner.network.records import WellGraph
from planner.network.rock import add_rock, add_vertical
from planner.network.string import LEAST_STIMULATED, add_links, add_string, add_top
from planner.solve.elimination import Pattern, analyse

__all__ = ["LEAST_STIMULATED", "Body", "Inlet", "Network", "Streak", "compile_network"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Network:
    """A compiled well: arrays, and what is needed to read them back.

    rows_of_link: rows of Links for each link of the graph. sandface_rows, body_of_row, piece_of_row: the sandface.
    screen_linear, screen_quadratic [rows]: screen in series with the sandface (Pa s/m3 at 1 cP, Pa s2/m6 at
    1000 kg/m3); turbulence [rows]: rate-dependent skin times 1 / (2 pi k h). axis: conduits that carry momentum. skins,
    turbulence_parts, scale: of the sandface rows, what they are composed of; losses, plugging (Pa s/m6 a volume): of
    these and of the conduits through screens.
    """

    case: Case
    graph: WellGraph
    fluids: Fluids
    rocks: Rocks
    fronts: Fronts
    nodes: Nodes
    links: Links
    zones: Zones
    pattern: Pattern
    start: Floats
    bodies: tuple[Body, ...]
    bore: tuple[int, ...]
    top: int
    annulus: dict[int, int]
    rows_of_link: dict[int, list[int]]
    sandface_rows: NDArray[np.int64]
    body_of_row: dict[int, int]
    piece_of_row: dict[int, int]
    boundary_rows: dict[str, list[int]]
    inlets: tuple[Inlet, ...]
    switches: Switches
    screen_linear: Floats
    screen_quadratic: Floats
    turbulence: Floats
    axis: Axis
    skins: dict[int, Skin]
    losses: dict[int, Parts]
    turbulence_parts: dict[int, dict[str, tuple[float, str]]]
    plugging: dict[int, float]
    scale: dict[int, float]
    warnings: tuple[str, ...]

    def work(self) -> Work:
        """Fresh scratch arrays."""
        return make_work(len(self.nodes.kind), len(self.pattern.order), len(self.links.kind), len(self.pattern.node))

    def fresh_switches(self) -> Switches:
        """A copy of the switches as the well was built, for a run to change."""
        return Switches(*(part.copy() for part in self.switches))


def drawdown_zones(draft: Draft, bore: list[int]) -> Zones:
    """Rock nodes and the drawdown node of each zone."""
    first: list[int] = [0]
    nodes: list[int] = []
    at: list[int] = []
    for zone in range(len(draft.graph.zones)):
        for body in draft.bodies:
            if body.zone == zone:
                nodes.extend(body.cells)
        first.append(len(nodes))
        pieces = [o.piece for c in draft.graph.columns if c.zone == zone for o in c.openings]
        at.append(bore[sorted(pieces)[len(pieces) // 2]] if pieces else bore[0])
    count = len(draft.graph.zones)
    none = np.empty(0, dtype=np.int64)
    return Zones(
        np.array(first), np.array(nodes, dtype=np.int64), np.array(at), np.ones(count, dtype=np.bool_),
        np.zeros(count), none, none,
    )  # fmt: skip


def axis(draft: Draft, nodes: int) -> Axis:
    """The conduits along bore and annulus."""
    numerics = draft.case.numerics
    kinds = ("top", "bore", "bypass", "inner pipe", "annulus") if numerics.friction and numerics.wellbore_inflow else ()
    along = [link for link in draft.graph.links if link.kind in kinds]
    rows = [draft.rows_of_link[link.index][0] for link in along]
    area, length = np.zeros(nodes), np.zeros(nodes)
    for node, (across, size) in draft.pipe_size.items():
        area[node], length[node] = across, size
    bore = np.array([link.kind in ("top", "bore") for link in along], dtype=np.bool_)
    return Axis(np.array(rows, dtype=np.int64), bore, area, length)


def block_pattern(nodes: int, links: Links, top: int, held: Sequence[int] = ()) -> Pattern:
    """Pattern of the blocks: nodes, rates of conduits, rate of the outlet; edges as `assemble` counts them.

    held: bore nodes that the control's equation may hold instead of the top one; the outlet is then eliminated last.
    """
    pairs = list(zip(links.a.tolist(), links.b.tolist(), strict=True))
    conduits = np.nonzero(links.kind == CONDUIT)[0]
    for block, link in enumerate(conduits, start=nodes):
        pairs += [(int(links.a[link]), block), (int(links.b[link]), block)]
    outlet = nodes + len(conduits)
    pairs.append((top, outlet))
    pairs += [(node, outlet) for node in held]
    rates = range(nodes, outlet + 1)
    return analyse(outlet + 1, np.array(pairs, dtype=np.int64), rates, last=outlet if held else -1)


def compile_network(
    case: Case,
    graph: WellGraph,
    *,
    cells: int | None = None,
    frozen: bool = False,
    streak: Streak | None = None,
    drawdown: bool = False,
) -> Network:
    """Arrays for a graph.

    cells: overrides the case's; frozen: rock keeps its state (flow at an instant); drawdown: a drawdown limit may be
    asked for, which costs some fill in the elimination.
    """
    if not graph.columns:
        raise CaseError(
            [Problem("", "layers", "", "no layer lies along the string", "extend the string or the layers")]
        )
    draft = Draft(case, graph, cells, frozen, streak)
    add_rock(draft)
    add_vertical(draft)
    smeared = case.numerics.fronts == "upstream" or case.numerics.vertical_flow
    if smeared and not frozen and any(s.kind != "closed" and s.fluid == "water" for s in case.supports.values()):
        draft.warnings.append(
            "water fronts are carried by plain upstream cells (fronts = upstream, or vertical flow): water may arrive "
            "up to a third too early; compare with more cells"
        )
    add_boundaries(draft)
    bore, annulus = add_string(draft)
    top = add_top(draft)
    add_links(draft, bore, annulus, top)
    links = draft.rows.build()
    nodes = draft.node_arrays()
    count = len(links.kind)
    one, none = np.ones, np.zeros
    switches = Switches(one(count), none(count), none(count), one(count), none(count), none(count))
    for row, value in draft.multiplier.items():
        switches.multiplier[row] = value
    for row, value in draft.extra_linear.items():
        switches.linear[row] = value
    screens = np.zeros((2, count))
    turbulence = np.zeros(count)
    for row in draft.body_of_row:
        screens[:, row] = total(draft.losses.get(row, {}))
        if draft.scale[row] > 0.0:
            turbulence[row] = sum(value for value, _ in draft.turbulence[row].values()) / draft.scale[row]
    zones = drawdown_zones(draft, bore)
    held = zones.bore.tolist() if drawdown else []
    pattern = block_pattern(len(draft.nodes), links, top, held)
    if held:
        zones = zones._replace(edge=pattern.link_edge[-len(held) :], flip=pattern.link_flip[-len(held) :])
    return Network(
        case=draft.case,
        graph=draft.graph,
        fluids=draft.fluids,
        rocks=draft.rocks,
        fronts=draft.fronts.build(len(draft.nodes)),
        nodes=nodes,
        links=links,
        zones=zones,
        pattern=pattern,
        start=np.array(draft.start),
        bodies=tuple(draft.bodies),
        bore=tuple(bore),
        top=top,
        annulus=annulus,
        rows_of_link=draft.rows_of_link,
        sandface_rows=np.array(sorted(draft.body_of_row), dtype=np.int64),
        body_of_row=draft.body_of_row,
        piece_of_row=draft.piece_of_row,
        boundary_rows=draft.boundary_rows,
        inlets=tuple(draft.inlets),
        switches=switches,
        screen_linear=screens[0],
        screen_quadratic=screens[1],
        turbulence=turbulence,
        axis=axis(draft, len(draft.nodes)),
        skins={
            row: draft.skins[draft.bodies[body].column, draft.piece_of_row[row]]
            for row, body in draft.body_of_row.items()
        },
        losses=draft.losses,
        turbulence_parts=draft.turbulence,
        plugging={row: growth for row, growth in draft.plugging.items() if growth > 0.0},
        scale=draft.scale,
        warnings=tuple(draft.warnings),
    )

"""The graph of a well becomes flat arrays for the kernels."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from planner.base.errors import CaseError, Problem
from planner.model.case import Case, Layer, Support
from planner.network.arrays import (
    CONDUIT,
    DARCY,
    MU_W,
    PIPE,
    ROCK,
    SANDFACE,
    Fluids,
    Fronts,
    Links,
    Nodes,
    Rocks,
    Switches,
    Work,
    Zones,
    make_work,
)
from planner.network.equilibrium import State, column, initial_state, swept
from planner.network.fluid_tables import fluid_tables, rock_tables, trapped
from planner.network.fronts import FrontBook, Profile, profile
from planner.network.grid import Cells, linear_cells, radial_cells
from planner.network.records import Column, Link, Piece, WellGraph
from planner.solve.elimination import Pattern, analyse

Floats = NDArray[np.float64]

GRAVEL_POROSITY = 0.35  # common practice, no source
LEAST_STIMULATED = 0.05  # of the resistance well to first cell that a negative skin may leave
ALL_PHASES, WATER_ONLY, OIL_ONLY, GAS_ONLY = 7, 1, 2, 4


@dataclass(frozen=True)
class Streak:
    """A thief streak: shares of a layer's kh and of its pore volume."""

    layer: int
    kh: float
    volume: float


@dataclass(frozen=True)
class Body:
    """A column of rock, or the streak or the rest of one that holds a streak. cells: nodes, inner to outer."""

    column: int
    layer: int
    zone: int
    kh: float
    height: float
    inner: float
    grid: Cells
    state: State
    pore_volume: float
    cells: range
    streak: bool
    link_rows: tuple[int, ...] = ()  # rows of Links between cells, from the well outwards


@dataclass(frozen=True)
class Inlet:
    """Something that enters the outermost cell of a body from outside: an injector or a Carter-Tracy aquifer."""

    support: str
    node: int
    body: int
    share: float


@dataclass
class _Rows:
    """Columns of Links while they are collected."""

    rows: list[tuple[float, ...]] = field(default_factory=list)

    def add(self, kind: int, a: int, b: int, conductance: float = 0.0, fall: float = 0.0, phases: int = ALL_PHASES,
            sweep: int = 0, pipe: tuple[float, ...] = (0.0, 1.0, 1.0, 0.0, 64.0, 0.0, 0.0)) -> int:
        """One link; pipe: length, area, diameter, roughness, laminar, linear, quadratic. Returns its row."""
        self.rows.append((kind, a, b, conductance, fall, phases, sweep, *pipe))
        return len(self.rows) - 1

    def build(self) -> Links:
        """The arrays."""
        table = np.array(self.rows, dtype=np.float64).reshape(-1, 14).T
        whole = [table[k].astype(np.int64) for k in (0, 1, 2)]
        return Links(*whole, table[3].copy(), table[4].copy(), table[5].astype(np.int64), table[6].astype(np.int64),
                     *(table[k].copy() for k in range(7, 14)))


@dataclass(frozen=True)
class Network:
    """A compiled well: arrays, and what is needed to read them back.

    rows_of_link: rows of Links for each link of the graph. sandface_rows, body_of_row, piece_of_row: the sandface.
    screen_linear, screen_quadratic [rows]: screen in series with the sandface (Pa s/m3 at 1 cP, Pa s2/m6 at
    1000 kg/m3); turbulence [rows]: rate-dependent skin times 1 / (2 pi k h).
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
    warnings: tuple[str, ...]

    def work(self) -> Work:
        """Fresh scratch arrays."""
        return make_work(len(self.nodes.kind), len(self.links.kind), len(self.pattern.node))

    def fresh_switches(self) -> Switches:
        """A copy of the switches as the well was built, for a run to change."""
        return Switches(*(part.copy() for part in self.switches))


class Compiler:
    """Builds a Network step by step; use `compile_network`."""

    def __init__(self, case: Case, graph: WellGraph, cells: int | None, frozen: bool, streak: Streak | None) -> None:
        self.case, self.graph, self.cells, self.frozen, self.streak = case, graph, cells, frozen, streak
        self.fluids = fluid_tables(case)
        self.rocks = rock_tables(case)
        self.fronts = FrontBook()
        self.nodes: list[tuple[float, ...]] = []
        self.start: list[tuple[float, float, float]] = []
        self.rows = _Rows()
        self.bodies: list[Body] = []
        self.front_leaves: set[int] = set()  # bodies whose first cell carries a front to the sandface
        self.rows_of_link: dict[int, list[int]] = {}
        self.boundary_rows: dict[str, list[int]] = {}
        self.inlets: list[Inlet] = []
        self.body_of_row: dict[int, int] = {}
        self.piece_of_row: dict[int, int] = {}
        self.multiplier: dict[int, float] = {}
        self.extra_linear: dict[int, float] = {}
        self.screen: dict[int, tuple[float, float]] = {}
        self.turbulence: dict[int, float] = {}
        self.warnings: list[str] = list(graph.warnings)

    def node(self, kind: int, rock: int, volume: float, compressibility: float, depth: float, frozen: bool,
             state: State) -> int:
        """Add a node; returns its index."""
        self.nodes.append((kind, rock, volume, compressibility, state.pressure, depth, frozen))
        self.start.append(state.unknowns(self.fluids))
        return len(self.nodes) - 1

    # rock ------------------------------------------------------------------------------------------------------

    def add_rock(self) -> None:
        """Bodies, their cells and the links along them."""
        for part in self.graph.columns:
            streak = self.streak if self.streak and self.streak.layer == part.layer else None
            if streak is None:
                self._add_body(part, 1.0, 1.0, False)
            else:
                self._add_body(part, streak.kh, streak.volume, True)
                self._add_body(part, 1.0 - streak.kh, 1.0 - streak.volume, False)

    def _grid(self, layer: Layer, inner: float, closed: bool) -> Cells:
        numerics = self.case.numerics
        count = self.cells or layer.cells or numerics.cells
        if layer.geometry == "linear":
            assert layer.length is not None and layer.width is not None
            return linear_cells(layer.length, layer.width, count, closed)
        assert layer.drainage_radius is not None
        near = numerics.near_well_cells
        if near is None:
            near = round(count * (2 / 3 if numerics.fronts == "resolved" else 1 / 3))
        return radial_cells(inner, layer.drainage_radius, count, near, closed)

    def _height(self, part: Column, layer: Layer) -> float:
        along = layer.geometry == "along hole"
        if layer.thickness is not None and not along:
            gross = layer.thickness * part.fraction
        else:
            gross = part.base_md - part.top_md if along else part.base_tvd - part.top_tvd
        return gross * layer.net_to_gross

    def _inner_radius(self, part: Column) -> float:
        open_pieces = [self.graph.pieces[o.piece] for o in part.openings]
        if not open_pieces:
            return 0.5 * self.case.well.hole[0].diameter
        lengths = [o.length for o in part.openings]
        return 0.5 * float(np.average([p.hole_diameter for p in open_pieces], weights=lengths))

    def _add_body(self, part: Column, kh_share: float, volume_share: float, streak: bool) -> None:
        layer = self.case.layers[part.layer]
        support = self.case.supports.get(layer.support)
        closed = support is None or support.kind == "closed" or self.frozen
        least_skin = min(layer.skin, 0.0)
        inner = self._inner_radius(part) * math.exp(-least_skin)
        grid = self._grid(layer, inner, closed)
        height = self._height(part, layer) * volume_share
        kh = layer.permeability * self._height(part, layer) * kh_share
        area = layer.length * layer.width if layer.geometry == "linear" else (  # type: ignore[operator]
            math.pi * (grid.edges[-1] ** 2 - grid.edges[0] ** 2))
        state = initial_state(self.case, self.fluids, layer, part.top_tvd, part.base_tvd)
        pore = area * height * layer.porosity
        rock = [r.name for r in self.case.rocks].index(layer.rock)
        depth = 0.5 * (part.top_tvd + part.base_tvd)
        first = len(self.nodes)
        for share in grid.volume:
            self.node(ROCK, rock, pore * float(share), self.case.rocks[rock].compressibility, depth, self.frozen, state)
        cells = range(first, len(self.nodes))
        sweep, carrying = (0, set()) if self.frozen else self._front(layer, support, grid, state, cells)
        scale = self.scale(layer, kh)
        # a: outer cell, b: inner one; positive flow is towards the well
        rows = tuple(
            self.rows.add(DARCY, cells[k], cells[k - 1], scale / float(grid.resistance[k]),
                          sweep=sweep if cells[k if sweep > 0 else k - 1] in carrying else 0)
            for k in range(1, len(cells))
        )  # fmt: skip
        self.front_leaves |= {index for index in (len(self.bodies),) if sweep > 0 and cells[0] in carrying}
        self.bodies.append(
            Body(part.index, part.layer, part.zone, kh, height, inner, grid, state, pore, cells, streak, rows))

    def scale(self, layer: Layer, kh: float) -> float:
        """What a dimensionless resistance is divided into: 2 pi k h, or k h width for a slab."""
        if layer.geometry == "linear":
            assert layer.width is not None
            return kh * layer.width
        return 2.0 * math.pi * kh

    def _front(self, layer: Layer, support: Support | None, grid: Cells, state: State, cells: range) -> tuple[int, set[int]]:
        """Carry a water front through the cells where water comes from one end; the sweep and the cells that do."""
        numerics = self.case.numerics
        injector = self.case.well.kind == "water injector"
        watered = support is not None and support.kind != "closed" and support.fluid == "water"
        if numerics.fronts != "resolved" or numerics.vertical_flow or not (watered or injector):
            return 0, set()
        shape = self.front_profile(layer, state)
        if shape is None:
            return 0, set()
        nodes = list(cells)
        if injector:
            return -1, self.fronts.add(shape, nodes, grid.volume)
        return 1, self.fronts.add(shape, nodes[::-1], grid.volume[::-1])

    def front_profile(self, layer: Layer, state: State) -> Profile | None:
        """Displacement by water of what the layer holds, at its initial pressure."""
        rock = [r.name for r in self.case.rocks].index(layer.rock)
        curves = self.rocks.curves[rock]
        s = np.linspace(0.0, 1.0, curves.shape[0])
        left = trapped(self.case.rocks[rock].relative_permeability, self.case.fluid.oil is None)
        row = int((state.pressure - self.fluids.start) / self.fluids.step)
        table = self.fluids.table[min(max(row, 0), len(self.fluids.table) - 1)]
        water = curves[:, 0] / table[MU_W]
        if state.oil >= state.gas:
            mu = oil_viscosity(self.fluids, state)
            other = np.interp(1.0 - s, s, curves[:, 1]) / mu
        else:
            other = np.interp(1.0 - s, s, curves[:, 2]) / table[6]
        with np.errstate(invalid="ignore", divide="ignore"):
            fraction = np.where(water + other > 0.0, water / (water + other), 0.0)
        use = s <= 1.0 - left + 1e-9
        fraction = np.where(use, fraction, 1.0)
        return profile(s[use], fraction[use], state.water)

    def add_vertical(self) -> None:
        """Vertical links between columns, cell by cell, where vertical flow is asked for."""
        if not self.case.numerics.vertical_flow or self.frozen:
            return
        of_column: dict[int, list[Body]] = {}
        for body in self.bodies:
            of_column.setdefault(body.column, []).append(body)
        for link in self.graph.links:
            if link.kind != "vertical":
                continue
            upper, lower = of_column[link.column][-1], of_column[link.other_column][0]
            a, b = self.case.layers[upper.layer], self.case.layers[lower.layer]
            if len(upper.cells) != len(lower.cells) or a.geometry != b.geometry:
                self.warnings.append(
                    f"no vertical flow between layers {a.name} and {b.name}: give both the same number of cells and "
                    "the same geometry")
                continue
            rows = []
            for k in range(len(upper.cells)):
                area = 0.5 * float(upper.grid.areas[k] + lower.grid.areas[k])
                path = 0.0
                for body, layer in ((upper, a), (lower, b)):
                    vertical = layer.permeability * layer.vertical_to_horizontal
                    path += 0.5 * body.height / vertical if vertical > 0.0 else math.inf
                fall = self.nodes[lower.cells[k]][5] - self.nodes[upper.cells[k]][5]
                rows.append(self.rows.add(DARCY, upper.cells[k], lower.cells[k], area / path, fall=fall))
            self.rows_of_link[link.index] = rows

    # boundaries ------------------------------------------------------------------------------------------------

    def add_boundaries(self) -> None:
        """Supports at the outer end of the layers that name them."""
        if self.frozen:
            return
        for name, support in self.case.supports.items():
            bodies = [k for k, b in enumerate(self.bodies) if self.case.layers[b.layer].support == name]
            if not bodies or support.kind == "closed":
                continue
            total = sum(self.bodies[k].kh for k in bodies)
            if support.kind == "fetkovich aquifer":
                self._fetkovich(name, support, bodies, total)
            elif support.kind == "constant pressure":
                for k in bodies:
                    self._constant_pressure(name, support, self.bodies[k])
            else:
                for k in bodies:
                    body = self.bodies[k]
                    self.inlets.append(Inlet(name, body.cells[-1], k, body.kh / total))

    def _fetkovich(self, name: str, support: Support, bodies: list[int], total: float) -> None:
        """One node of water for all layers that share the aquifer; Fetkovich 1971 is a tank on a conductance."""
        assert support.volume is not None and support.productivity_index is not None
        first = self.bodies[bodies[0]]
        pressure = support.pressure or first.state.pressure
        state = State(pressure, 1.0, 0.0, 0.0, 0.0)
        of_water = math.log(column(self.fluids, pressure + 1e5, 0) / column(self.fluids, pressure, 0)) / 1e5
        wanted = support.compressibility if support.compressibility is not None else of_water + 4e-10
        rock = max(wanted - of_water, 0.0)
        volume = support.volume * wanted / (rock + of_water)
        depth = self.nodes[first.cells[-1]][5]
        node = self.node(ROCK, len(self.case.rocks), volume, rock, depth, False, state)
        mu = column(self.fluids, pressure, MU_W)
        for k in bodies:
            body = self.bodies[k]
            conductance = support.productivity_index * mu * body.kh / total
            row = self.rows.add(DARCY, node, body.cells[-1], conductance, phases=WATER_ONLY)
            self.boundary_rows.setdefault(name, []).append(row)

    def _constant_pressure(self, name: str, support: Support, body: Body) -> None:
        layer = self.case.layers[body.layer]
        pressure = support.pressure or body.state.pressure
        state, phases = body.state, ALL_PHASES
        if support.fluid == "water":
            state, phases = swept(self.case, layer, body.state), WATER_ONLY
        elif support.fluid == "oil":
            phases = OIL_ONLY
        elif support.fluid == "gas":
            connate = min(body.state.water, 0.9)
            state, phases = State(pressure, connate, 0.0, 1.0 - connate, 0.0), GAS_ONLY
        state = state._replace(pressure=pressure)
        rock = [r.name for r in self.case.rocks].index(layer.rock)
        node = self.node(ROCK, rock, 1.0, 0.0, self.nodes[body.cells[-1]][5], True, state)
        conductance = self.scale(layer, body.kh) / float(body.grid.resistance[-1])
        row = self.rows.add(DARCY, node, body.cells[-1], conductance, phases=phases)
        self.boundary_rows.setdefault(name, []).append(row)

    # string ----------------------------------------------------------------------------------------------------

    def _pipe_state(self, piece: Piece) -> State:
        """What fills the string at the start: the fluid of the rock nearest to it, water for a water injector."""
        body = min(self.bodies, key=lambda b: abs(self.nodes[b.cells[0]][5] - piece.tvd))
        state = body.state
        density = 850.0 if self.case.fluid.oil is not None else 150.0
        if self.case.well.kind == "water injector":
            state, density = State(state.pressure, 1.0, 0.0, 0.0, 0.0), 1000.0
        elif self.case.fluid.oil is None:
            state = State(state.pressure, 0.0, 0.0, 1.0, 0.0)
        elif state.oil > 0.0:
            state = State(state.pressure, 0.0, 1.0, 0.0, state.solution)
        else:
            state = State(state.pressure, 1.0, 0.0, 0.0, 0.0)
        return state._replace(pressure=state.pressure + density * 9.8 * (piece.tvd - self.nodes[body.cells[0]][5]))

    def add_string(self) -> tuple[list[int], dict[int, int]]:
        """Bore and annulus nodes; returns them by piece."""
        bore, annulus = [], {}
        for piece in self.graph.pieces:
            state = self._pipe_state(piece)
            area = 0.25 * math.pi * piece.inner_diameter**2
            bore.append(self.node(PIPE, 0, area * piece.length, 0.0, piece.tvd, False, state))
        for piece in self.graph.pieces:
            if piece.outside == "none":
                continue
            volume = self._annulus_area(piece) * piece.length
            if piece.outside == "gravel":
                volume *= GRAVEL_POROSITY
            annulus[piece.index] = self.node(PIPE, 0, volume, 0.0, piece.tvd, False, self._pipe_state(piece))
        return bore, annulus

    @staticmethod
    def _annulus_area(piece: Piece) -> float:
        return max(0.25 * math.pi * (piece.hole_diameter**2 - piece.outer_diameter**2), 1e-5)

    def add_links(self, bore: list[int], annulus: dict[int, int]) -> None:
        """Every link of the graph but the vertical ones and the outlet."""
        keys = {("bore", k): node for k, node in enumerate(bore)} | {("annulus", k): n for k, n in annulus.items()}
        for link in self.graph.links:
            if link.kind in ("vertical", "top"):
                continue
            if link.kind == "sandface":
                self.rows_of_link[link.index] = self._sandface(link, keys[link.b])  # type: ignore[index]
                continue
            a, b = keys[link.a], keys[link.b]  # type: ignore[index]
            fall = self.nodes[b][5] - self.nodes[a][5] if self.case.numerics.gravity else 0.0
            row = self.rows.add(CONDUIT, a, b, fall=fall, pipe=self._pipe(link))
            self.rows_of_link[link.index] = [row]
            self.multiplier[row] = 1.0 if link.open or link.conductance > 0.0 else 0.0
            if link.conductance > 0.0:
                self.extra_linear[row] = 1.0 / link.conductance

    def _pipe(self, link: Link) -> tuple[float, ...]:
        """Length, area, diameter, roughness, laminar constant, linear and quadratic loss of a conduit."""
        upper = self.graph.pieces[link.piece]
        lower = self.graph.pieces[link.other_piece if link.other_piece >= 0 else link.piece]
        length = link.length if self.case.numerics.friction else 0.0
        if link.kind == "bore":
            halves = (0.5 * upper.length, upper.inner_diameter), (0.5 * lower.length, lower.inner_diameter)
            size = (sum(h for h, _ in halves) / sum(h / d**5 for h, d in halves)) ** 0.2
            return length, 0.25 * math.pi * size**2, size, max(upper.roughness, lower.roughness), 64.0, 0.0, 0.0
        if link.kind == "bypass":
            size = link.diameter
            return length, 0.25 * math.pi * size**2, size, upper.roughness, 64.0, 0.0, 0.0
        if link.kind == "annulus":
            return self._annulus_pipe(upper, lower, length)
        if link.kind == "seal":
            return 0.0, 1.0, 1.0, 0.0, 64.0, 0.0, 0.0
        face = lower if link.kind == "screen end" else upper
        outside = upper
        area = math.pi * face.outer_diameter * (upper.length if link.kind == "screen" else upper.outer_diameter)
        element = self.case.string[face.element]
        linear, quadratic = element.linear_loss / area, element.quadratic_loss / area**2
        if outside.outside == "gravel" and element.gravel_permeability:
            inner, outer = 0.5 * outside.outer_diameter, 0.5 * outside.hole_diameter
            across = math.log(max(outer / inner, 1.0001)) / (2.0 * math.pi * outside.length)
            linear += 1e-3 * across / element.gravel_permeability
            quadratic += 1e3 * element.gravel_turbulence / (2.0 * math.pi * outside.length) ** 2 * (
                1.0 / inner - 1.0 / outer)
        return 0.0, area, 1.0, 0.0, 64.0, linear, quadratic

    def _annulus_pipe(self, upper: Piece, lower: Piece, length: float) -> tuple[float, ...]:
        area = min(self._annulus_area(upper), self._annulus_area(lower))
        gap = min(p.hole_diameter - p.outer_diameter for p in (upper, lower))
        gap = max(gap, 1e-4)
        linear = quadratic = 0.0
        gravel = [p for p in (upper, lower) if p.outside == "gravel"]
        for piece in gravel:
            element = self.case.string[piece.element]
            half = 0.5 * piece.length
            if element.gravel_permeability:
                linear += 1e-3 * half / (element.gravel_permeability * area)
                quadratic += 1e3 * element.gravel_turbulence * half / area**2
        if gravel:
            length *= 0.5 if len(gravel) == 1 else 0.0
        kappa = (0.5 * (upper.outer_diameter + lower.outer_diameter)) / (
            0.5 * (upper.outer_diameter + lower.outer_diameter) + gap)
        laminar = 64.0 * (1.0 - kappa) ** 2 / (1.0 + kappa**2 + (1.0 - kappa**2) / math.log(kappa))
        return length, area, gap, upper.roughness, laminar, linear, quadratic

    def _sandface(self, link: Link, pipe: int) -> list[int]:
        """Rows of one opening: from the first cell of each body of the column into the pipe or annulus."""
        rows = []
        part = self.graph.columns[link.column]
        piece = self.graph.pieces[link.piece]
        for index, body in enumerate(self.bodies):
            if body.column != link.column:
                continue
            layer = self.case.layers[body.layer]
            share = link.length / (part.base_md - part.top_md)
            skin = max(layer.skin, 0.0)
            if layer.geometry == "linear":
                skin = 0.0
            resistance = max(float(body.grid.resistance[0]) + skin, LEAST_STIMULATED)
            scale = self.scale(layer, body.kh) * share
            fall = self.nodes[pipe][5] - self.nodes[body.cells[0]][5] if self.case.numerics.gravity else 0.0
            sweep = int(index in self.front_leaves)
            row = self.rows.add(SANDFACE, body.cells[0], pipe, scale / resistance, fall=fall, sweep=sweep)
            self.body_of_row[row] = index
            self.piece_of_row[row] = link.piece
            if layer.turbulence > 0.0 and scale > 0.0:
                self.turbulence[row] = layer.turbulence / scale
            element = self.case.string[piece.element]
            if link.b[0] == "bore" and piece.kind == "screen" and (element.linear_loss or element.quadratic_loss):
                area = math.pi * piece.outer_diameter * link.length
                self.screen[row] = element.linear_loss / area, element.quadratic_loss / area**2
            rows.append(row)
        return rows

    def zones(self, bore: list[int]) -> Zones:
        """Rock nodes and the drawdown node of each zone."""
        first, nodes, at = [0], [], []
        for zone in range(len(self.graph.zones)):
            for body in self.bodies:
                if body.zone == zone:
                    nodes.extend(body.cells)
            first.append(len(nodes))
            pieces = [o.piece for c in self.graph.columns if c.zone == zone for o in c.openings]
            at.append(bore[sorted(pieces)[len(pieces) // 2]] if pieces else bore[0])
        count = len(self.graph.zones)
        return Zones(np.array(first), np.array(nodes, dtype=np.int64), np.array(at), np.ones(count, dtype=np.bool_))

    def build(self) -> Network:
        """Everything, in order."""
        self.add_rock()
        self.add_vertical()
        self.add_boundaries()
        bore, annulus = self.add_string()
        self.add_links(bore, annulus)
        links = self.rows.build()
        table = np.array(self.nodes, dtype=np.float64).T
        nodes = Nodes(table[0].astype(np.int64), table[1].astype(np.int64), *(table[k].copy() for k in range(2, 6)),
                      table[6].astype(np.bool_))
        count = len(links.kind)
        switches = Switches(np.ones(count), np.zeros(count), np.zeros(count))
        for row, value in self.multiplier.items():
            switches.multiplier[row] = value
        for row, value in self.extra_linear.items():
            switches.linear[row] = value
        screens = np.zeros((2, count))
        for row, (linear, quadratic) in self.screen.items():
            screens[:, row] = linear, quadratic
        turbulence = np.zeros(count)
        for row, value in self.turbulence.items():
            turbulence[row] = value
        pattern = analyse(len(self.nodes), np.stack([links.a, links.b], axis=1))
        return Network(
            case=self.case, graph=self.graph, fluids=self.fluids, rocks=self.rocks,
            fronts=self.fronts.build(len(self.nodes)), nodes=nodes, links=links, zones=self.zones(bore),
            pattern=pattern, start=np.array(self.start), bodies=tuple(self.bodies), bore=tuple(bore), annulus=annulus,
            rows_of_link=self.rows_of_link,
            sandface_rows=np.array(sorted(self.body_of_row), dtype=np.int64), body_of_row=self.body_of_row,
            piece_of_row=self.piece_of_row, boundary_rows=self.boundary_rows, inlets=tuple(self.inlets),
            switches=switches, screen_linear=screens[0], screen_quadratic=screens[1], turbulence=turbulence,
            warnings=tuple(self.warnings),
        )


def oil_viscosity(fluids: Fluids, state: State) -> float:
    """Viscosity of the oil of a state, Pa s."""
    from planner.network.properties import oil_state

    return float(oil_state(fluids, state.pressure, 1.0, state.solution)[4])


def compile_network(case: Case, graph: WellGraph, *, cells: int | None = None, frozen: bool = False,
                    streak: Streak | None = None) -> Network:
    """Arrays for a graph. cells: overrides the case's; frozen: rock keeps its state (flow at an instant)."""
    if not graph.columns:
        raise CaseError([Problem("", "layers", "", "no layer lies along the string", "extend the string or the layers")])
    return Compiler(case, graph, cells, frozen, streak).build()

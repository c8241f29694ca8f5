"""A network in the making: nodes, links and what belongs to them, collected before they become arrays."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from planner.model.case import Case
from planner.network.arrays import Links, Nodes
from planner.network.composed import Skin, skin_warnings
from planner.network.equilibrium import State
from planner.network.fluid_tables import fluid_tables, fluid_warnings, rock_tables
from planner.network.fronts import FrontBook
from planner.network.grid import Cells
from planner.network.loss import Parts
from planner.network.records import WellGraph

Floats = NDArray[np.float64]

ALL_PHASES, WATER_ONLY, OIL_ONLY, GAS_ONLY = 7, 1, 2, 4


@dataclass(frozen=True)
class Streak:
    """A thief streak: shares of a layer's kh and of its pore volume."""

    layer: int
    kh: float
    volume: float


@dataclass(frozen=True)
class Body:
    """A column of rock, or the streak or the rest of one that holds a streak. cells: nodes, inner to outer.

    Along a horizontal hole each opening has a body of its own: piece names it, share is its part of the column.
    """

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
    piece: int = -1
    share: float = 1.0
    held_skin: float = 0.0  # below 0: the part of the skin that the radius `inner` holds


@dataclass(frozen=True)
class Inlet:
    """Something that enters the outermost cell of a body from outside: an injector or a Carter-Tracy aquifer."""

    support: str
    node: int
    body: int
    share: float


@dataclass
class Rows:
    """Columns of Links while they are collected."""

    rows: list[tuple[float, ...]] = field(default_factory=list)

    def add(
        self,
        kind: int,
        a: int,
        b: int,
        conductance: float = 0.0,
        fall: float = 0.0,
        phases: int = ALL_PHASES,
        sweep: int = 0,
        pipe: tuple[float, ...] = (0.0, 1.0, 1.0, 0.0, 64.0, 0.0, 0.0),
    ) -> int:
        """One link; pipe: length, area, diameter, roughness, laminar, linear, quadratic. Returns its row."""
        self.rows.append((kind, a, b, conductance, fall, phases, sweep, *pipe))
        return len(self.rows) - 1

    def build(self) -> Links:
        """The arrays."""
        table = np.array(self.rows, dtype=np.float64).reshape(-1, 14).T
        whole = [table[k].astype(np.int64) for k in (0, 1, 2)]
        real = [table[k].copy() for k in (3, 4, *range(7, 14))]
        phases, sweep = table[5].astype(np.int64), table[6].astype(np.int64)
        return Links(
            whole[0],
            whole[1],
            whole[2],
            real[0],
            real[1],
            phases,
            sweep,
            real[2],
            real[3],
            real[4],
            real[5],
            real[6],
            real[7],
            real[8],
        )


class Draft:
    """Everything that `compile_network` collects."""

    def __init__(self, case: Case, graph: WellGraph, cells: int | None, frozen: bool, streak: Streak | None) -> None:
        self.case, self.graph, self.cells, self.frozen, self.streak = case, graph, cells, frozen, streak
        self.fluids = fluid_tables(case)
        self.rocks = rock_tables(case)
        self.fronts = FrontBook()
        self.nodes: list[tuple[float, ...]] = []
        self.start: list[tuple[float, float, float]] = []
        self.rows = Rows()
        self.bodies: list[Body] = []
        self.front_leaves: set[int] = set()  # bodies whose first cell carries a front to the sandface
        self.rows_of_link: dict[int, list[int]] = {}
        self.boundary_rows: dict[str, list[int]] = {}
        self.inlets: list[Inlet] = []
        self.body_of_row: dict[int, int] = {}
        self.piece_of_row: dict[int, int] = {}
        self.multiplier: dict[int, float] = {}
        self.extra_linear: dict[int, float] = {}
        self.skins: dict[tuple[int, int], Skin] = {}  # of column and piece
        self.losses: dict[int, Parts] = {}  # of sandface and screen rows, part by part
        self.plugging: dict[int, float] = {}  # of screen rows: growth of the linear loss per volume, Pa s/m6
        self.scale: dict[int, float] = {}  # of sandface rows: what a dimensionless resistance is divided into
        self.turbulence: dict[int, dict[str, tuple[float, str]]] = {}  # per gas rate, part by part
        self.pipe_size: dict[int, tuple[float, float]] = {}  # area and length of the nodes of the string
        self.warnings: list[str] = [
            *graph.warnings, *fluid_warnings(case), *skin_warnings(case, graph.pieces, graph.columns)
        ]  # fmt: skip

    def node(
        self, kind: int, rock: int, volume: float, compressibility: float, depth: float, frozen: bool, state: State
    ) -> int:
        """Add a node; returns its index."""
        self.nodes.append((kind, rock, volume, compressibility, state.pressure, depth, frozen))
        self.start.append(state.unknowns(self.fluids))
        return len(self.nodes) - 1

    def node_arrays(self) -> Nodes:
        """The nodes as arrays."""
        table = np.array(self.nodes, dtype=np.float64).T
        return Nodes(
            table[0].astype(np.int64),
            table[1].astype(np.int64),
            table[2].copy(),
            table[3].copy(),
            table[4].copy(),
            table[5].copy(),
            table[6].astype(np.bool_),
        )

"""What the graph of a well is made of: pieces of the string, columns of rock, links, zones, blanks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple, TypeAlias

from planner.model.case import Case, ElementKind

Outside = Literal["none", "open", "gravel"]
Exposed = Literal["bore", "annulus", "closed"]
LinkKind = Literal[
    "bore", "annulus", "screen", "screen end", "sandface", "vertical", "seal", "bypass", "top", "inner pipe",
]  # fmt: skip
Node: TypeAlias = tuple[str] | tuple[str, int]  # ('bore', piece), ('annulus', piece), ('rock', column), ('top',)

TOP: Node = ("top",)
TOUCH = 0.01  # m; layers nearer than this touch, shorter overlaps are rounding


@dataclass(frozen=True)
class Piece:
    """A length of one element of the string; depths and diameters in m.

    element: index into case.string; outside: what lies between pipe and hole; exposed: where the rock flows to.
    tvd is that of its middle; nozzles: area of those in it, m2; filled: outer diameter of
    the inner pipe that hangs inside, 0 for none.
    """

    index: int
    element: int
    name: str
    kind: ElementKind
    screen: str
    top_md: float
    base_md: float
    tvd: float
    top_tvd: float
    base_tvd: float
    inner_diameter: float
    outer_diameter: float
    hole_diameter: float
    roughness: float
    outside: Outside
    exposed: Exposed
    nozzles: float = 0.0
    filled: float = 0.0

    @property
    def length(self) -> float:
        """Along the hole, m."""
        return self.base_md - self.top_md

    @property
    def bore_area(self) -> float:
        """Open to flow inside it, beside an inner pipe, m2."""
        return 0.25 * math.pi * (self.inner_diameter**2 - self.filled**2)

    @property
    def bore_node(self) -> Node:
        """Node of its inside."""
        return ("bore", self.index)

    @property
    def outside_node(self) -> Node | None:
        """Node of its outside: the annulus, or the bore where the rock flows straight into it; none when closed."""
        if self.exposed == "closed":
            return None
        return ("bore" if self.outside == "none" else "annulus", self.index)

    @property
    def cemented(self) -> bool:
        """Whether cement fills the hole round a pipe that takes in fluid: nothing enters at its ends."""
        return self.kind == "perforated casing"

    @property
    def lets_in(self) -> bool:
        """Whether fluid can pass between its outside and its bore."""
        return self.kind in ("screen", "open hole", "perforated casing") or self.nozzles > 0.0


class Opening(NamedTuple):
    """Length [m] of a column that flows to a piece, into its 'bore' or its 'annulus'."""

    piece: int
    length: float
    into: Literal["bore", "annulus"]


@dataclass(frozen=True)
class Column:
    """The part of a layer that belongs to one zone; fraction: its share of the layer's thickness along the hole."""

    index: int
    layer: int
    zone: int
    top_md: float
    base_md: float
    fraction: float
    top_tvd: float
    base_tvd: float
    openings: tuple[Opening, ...]


class Zone(NamedTuple):
    """What lies between two outside seals: name and depths [m] along the hole."""

    name: str
    top_md: float
    base_md: float


@dataclass(frozen=True)
class Link:
    """A way for fluid from node a to node b (downwards along the string; rock to well; outside to bore).

    name: the element that governs it or ''; elements: all of them where several act in series (seals, plugs).
    length: m along the flow path (sandface: of the opening; vertical: true vertical between the middles of columns).
    piece, other_piece: upper (or outside) and lower (or bore) piece; column, other_column: upper and lower; -1: none.
    conductance: leak of a seal or closed plug, m3/s/Pa at 1 cP, 0 tight; diameter: of a bypass, m.
    open: initial state; a seal is open when it leaks; a plug that leaks is closed and has a conductance.
    across_zones: a vertical link whose columns lie in two zones.
    """

    kind: LinkKind
    a: Node
    b: Node
    name: str = ""
    length: float = 0.0
    open: bool = True
    piece: int = -1
    other_piece: int = -1
    column: int = -1
    other_column: int = -1
    elements: tuple[str, ...] = ()
    conductance: float = 0.0
    diameter: float = 0.0
    across_zones: bool = False
    index: int = -1


@dataclass(frozen=True)
class Blank:
    """A blank pipe and where a later element would sit in it.

    element: index into case.string; first, last: its pieces; rooms: later elements that fit, 0 to 2; upper, lower:
    bore links of the setting places, the same link where only one fits. A straddle's upper packer and a plug take
    the lower place, a straddle's lower packer the upper place, so that neighbours do not cross.
    """

    element: int
    name: str
    top_md: float
    base_md: float
    first: int
    last: int
    rooms: int
    upper: int
    lower: int

    @property
    def length(self) -> float:
        """Along the hole, m."""
        return self.base_md - self.top_md


@dataclass(frozen=True)
class WellGraph:
    """The well as nodes and links. links[i] is the bore link between pieces i and i + 1 for i < len(pieces) - 1.

    zone_of_piece: zone of its outside, -1 for none. graph: networkx MultiGraph, node keys as in Link, each edge
    with its Link as attribute `link` and its index as key.
    """

    case: Case
    pieces: tuple[Piece, ...]
    columns: tuple[Column, ...]
    links: tuple[Link, ...]
    zones: tuple[Zone, ...]
    zone_of_piece: tuple[int, ...]
    blanks: tuple[Blank, ...]
    graph: Any
    warnings: tuple[str, ...] = ()

    def blank_at(self, link: int) -> Blank:
        """The blank pipe that holds a bore link. Raises KeyError when none does."""
        for blank in self.blanks:
            if blank.first <= link < blank.last:
                return blank
        raise KeyError(f"link {link} is not inside a blank pipe")

    def depth_of(self, link: int) -> float:
        """Measured depth [m] of a bore link: the boundary of its pieces."""
        return self.pieces[link].base_md

"""The flat arrays that the compiled kernels see. Built by `compile`, read by `properties`, `assemble` and `newton`.

Unknowns of a node: pressure (Pa), and the surface volumes of oil and of gas (free and dissolved) per pore volume.
Water fills what is left of the pore volume. Components are ordered water, oil, gas throughout.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.network.lift_table import LiftTable

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# columns of Fluids.table
INVERSE_BW, MU_W, RS, BO, MU_O, GAS_EXPANSION, MU_G, GAS_POTENTIAL, OIL_COMPRESSIBILITY, OIL_VISCOSITY_SLOPE = range(10)
# columns of Rocks.curves
KRW, KROW, KRG, KROG = range(4)
# kinds of node
ROCK, PIPE = 0, 1
# kinds of link
DARCY, SANDFACE, CONDUIT = 0, 1, 2
# control modes of the well
SHUT, PRESSURE, OIL_RATE, LIQUID_RATE, WATER_RATE, GAS_RATE, DRAWDOWN, WELLHEAD, SOUND = range(9)


class Fluids(NamedTuple):
    """Fluid properties on a uniform pressure grid.

    table [points, 10]: 1/Bw, water viscosity, solution gas ratio, Bo and viscosity of saturated oil, 1/Bg, gas
    viscosity, integral of 1/(Bg mu) dp, undersaturated compressibility and log viscosity slope at that bubble point.
    dead: no dissolved gas at all. Densities at surface conditions, kg/m3.
    """

    start: float
    step: float
    table: Floats
    dead: bool
    density_water: float
    density_oil: float
    density_gas: float


class Rocks(NamedTuple):
    """Relative permeability of every rock type on a uniform saturation grid.

    curves [rocks, points, 4]: krw(Sw), kro in oil and water (So), krg(Sg), kro in gas and connate water (So).
    connate [rocks].
    """

    curves: Floats
    connate: Floats


class Fronts(NamedTuple):
    """Water fronts carried inside cells: saturation at the outlet face as a function of the cell's mean saturation.

    of_node [nodes]: row here or -1; node [rows]; last [rows]: the cell from which fronts leave for the well. Below
    `low` the face still sees `ahead`; between `low` and `high` the front passes; above, the face follows `table`
    [rows, points], uniform from `high` to `top`.
    """

    of_node: Ints
    node: Ints
    last: NDArray[np.bool_]
    low: Floats
    high: Floats
    top: Floats
    ahead: Floats
    table: Floats


class Nodes(NamedTuple):
    """kind, rock [n]; volume at `reference` pressure, compressibility, depth [n]; frozen [n]: state never changes."""

    kind: Ints
    rock: Ints
    volume: Floats
    compressibility: Floats
    reference: Floats
    depth: Floats
    frozen: NDArray[np.bool_]


class Links(NamedTuple):
    """Links a -> b.

    kind; ends a, b; conductance (k A / length, m3) of rock and sandface links; fall: depth of b minus depth of a, m;
    phases: bits 1 water, 2 oil, 4 gas that may pass; sweep: 1 (-1) when fronts leave through the face of a (b).
    Conduits: length, area, hydraulic diameter, roughness, laminar (64 in a pipe), linear (Pa per m3/s at 1 cP) and
    quadratic (Pa per (m3/s)2 at 1000 kg/m3) loss.
    """

    kind: Ints
    a: Ints
    b: Ints
    conductance: Floats
    fall: Floats
    phases: Ints
    sweep: Ints
    length: Floats
    area: Floats
    diameter: Floats
    roughness: Floats
    laminar: Floats
    linear: Floats
    quadratic: Floats


class Switches(NamedTuple):
    """What an intervention may change, never the topology.

    multiplier [links]: 0 closed, 1 as built (rock, sandface: times the conductance; conduits: closed or open).
    linear, quadratic [links]: extra loss of conduits (nozzle, leak) or, at the sandface, of skin and screen in series,
    Pa per m3/s (1 cP) and per (m3/s)2 (1000 kg/m3).
    wall [links]: friction with inflow through the wall over friction without. Acceleration: momentum [links] as a
    quadratic loss (as above) where it opposes the flow, push [links] in Pa where it helps it.
    """

    multiplier: Floats
    linear: Floats
    quadratic: Floats
    wall: Floats
    momentum: Floats
    push: Floats


class Axis(NamedTuple):
    """Conduits along the string, for the momentum of what flows in them.

    row [k] of Links; bore [k]: whether inflow through the wall changes the friction; area, length [nodes]: of the
    pieces (0 where a node is none).
    """

    row: Ints
    bore: NDArray[np.bool_]
    area: Floats
    length: Floats


class Sources(NamedTuple):
    """Water, oil and gas that enter nodes from outside: rate = constant - slope * pressure, surface m3/s [k, 3]."""

    node: Ints
    constant: Floats
    slope: Floats


class Control(NamedTuple):
    """The well's outlet at node `top`. Rates in surface m3/s, nan: no such limit; signs positive.

    injector: 0 producer, 1 injects water, 3 injects gas (component index plus one). floor: least bottom-hole pressure
    of a producer, most of an injector, at the top node. drawdown: most, over open zones.
    shut: closed by the user, not to be reopened by the solver. wellhead: pressure at the wellhead, nan: none, reached
    through the tubing of `lift`. fastest: most that can leave a producer, m3/s at the top's own conditions (speed of
    sound in gas).
    """

    top: int
    injector: int
    shut: bool
    floor: float
    drawdown: float
    wellhead: float
    lift: LiftTable
    oil: float
    liquid: float
    water: float
    gas: float
    fastest: float


class Zones(NamedTuple):
    """Rock nodes of each zone (first [zones+1] into node), the bore node that its drawdown is taken at, and whether
    the zone is open.

    mean [zones]: scratch, mean pressure of the zone's rock. edge, flip [zones]: where the Jacobian keeps the slope of
    the outlet's equation to the zone's bore node (as Pattern.link_edge); empty unless a drawdown limit is asked for.
    """

    first: Ints
    node: Ints
    bore: Ints
    open: NDArray[np.bool_]
    mean: Floats
    edge: Ints
    flip: Ints


class Work(NamedTuple):
    """Scratch arrays of the kernels, one set a forecast."""

    content: Floats  # [n,3] surface volume of each component per pore volume
    water_slope: Floats  # [n,3] derivative of the water content
    saturation: Floats  # [n,3]
    saturation_slope: Floats  # [n,3,3]
    density: Floats  # [n,3] of each phase
    density_slope: Floats  # [n,3,3]
    mobility: Floats  # [n,2,3] krw bw/mu_w, kro bo/mu_o, krg; plain and at the outlet face
    mobility_slope: Floats  # [n,2,3,3]
    total: Floats  # [n] total mobility, plain
    total_slope: Floats  # [n,3]
    solution: Floats  # [n] dissolved gas
    solution_slope: Floats  # [n,3]
    mixture: Floats  # [n,2] density and viscosity of what fills the node
    mixture_slope: Floats  # [n,2,3]
    gas: Floats  # [n,2] gas potential and its slope 1/(Bg mu)
    storage: Floats  # [n,3] component volumes held
    residual: Floats  # [n,3]
    rest: Floats  # [blocks] residuals of the equations of conduits and outlet; see assemble
    throughput: Floats  # [n,3] sum of magnitudes of flows
    diagonal: Floats
    upper: Floats
    lower: Floats
    flux: Floats  # [links,3]
    outlet: Floats  # [3]
    conduit: Floats  # [links,8] loss residual, its slopes to the unknowns of a and of b, slope of the loss to the rate
    viscous: Floats  # [2,4] of the node at hand: b/mu of water and oil and their slopes
    face_slope: Floats  # [3,3] of the node at hand
    passing: Floats  # [3,4] mobilities ahead of a passing front and their slopes
    ga: Floats  # [3,3] slopes of the flux of the link at hand to a
    gb: Floats  # [3,3] and to b
    by_rate: Floats  # [3] slope of the flux of the conduit at hand to its rate
    drop_slope: Floats  # [3]
    change: Floats  # [blocks,3] of the unknowns
    outlet_slope: Floats  # [5] control residual, its slopes to the unknowns of the top node, and to the rate
    largest: Floats  # [2] largest volume that a node passed in any step solved so far, largest gas content of a node


def make_work(nodes: int, blocks: int, links: int, edges: int) -> Work:
    """Scratch arrays for a network of that size."""
    n = nodes
    shapes = dict(
        content=(n, 3),
        water_slope=(n, 3),
        saturation=(n, 3),
        saturation_slope=(n, 3, 3),
        density=(n, 3),
        density_slope=(n, 3, 3),
        mobility=(n, 2, 3),
        mobility_slope=(n, 2, 3, 3),
        total=(n,),
        total_slope=(n, 3),
        solution=(n,),
        solution_slope=(n, 3),
        mixture=(n, 2),
        mixture_slope=(n, 2, 3),
        gas=(n, 2),
        storage=(n, 3),
        residual=(n, 3),
        rest=(blocks,),
        throughput=(n, 3),
        diagonal=(blocks, 3, 3),
        upper=(edges, 3, 3),
        lower=(edges, 3, 3),
        flux=(links, 3),
        outlet=(3,),
        conduit=(links, 8),
        viscous=(2, 4),
        face_slope=(3, 3),
        passing=(3, 4),
        ga=(3, 3),
        gb=(3, 3),
        by_rate=(3,),
        drop_slope=(3,),
        change=(blocks, 3),
        outlet_slope=(5,),
        largest=(2,),
    )
    return Work(**{name: np.zeros(shape) for name, shape in shapes.items()})

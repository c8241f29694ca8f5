"""The same small pipe networks solved by scipy.optimize on friction factors of the `fluids` package.

Nodes: bore and annulus pieces; unknown pressures; inflow from rock linear in pressure. Laminar 64/Re, Colebrook 1939;
states are chosen well inside the turbulent range, since the engine joins both by a cubic between Reynolds 2000 and 4000
where there is no accepted law. Annulus: hydraulic diameter, Colebrook.
"""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from scipy.optimize import brentq, least_squares
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from planner.forecast.life import Life
from planner.solve.elimination import solve
from tests.building import BAR, CONSTANT_OIL, M3D, element, layer, make, within
from tests.properties.jacobian import System

RHO, MU, ROUGH = 850.0, 1e-3, 4.6e-5
ZONES = [(2000.0, 2020.0), (2100.0, 2120.0), (2200.0, 2220.0)]


def loss(rate, length, area, diameter, relative):
    """Pa, either sign; 10 Pa per m3/s of its own, as every conduit of the engine has."""
    speed = abs(rate) / area
    reynolds = RHO * speed * diameter / MU
    if reynolds < 1e-9:
        return 10.0 * rate
    factor = (
        64.0 / reynolds if reynolds < 2000.0 else fluids.friction_factor(Re=reynolds, eD=relative, Method="Colebrook")
    )
    return np.sign(rate) * factor * length / diameter * 0.5 * RHO * speed**2 + 10.0 * rate


def well(kind, plug=False, seal=False, permeability=800.0):
    """Three sands; screens of the kind between blanks; a plug in the lower blank or a seal outside it."""
    parts = [element("casing", 1998.0, 2000.0)]
    for k, (top, base) in enumerate(ZONES):
        if k:
            above = ZONES[k - 1][1]
            if seal and k == 2:
                parts += [
                    element("blank pipe", above, 2158.0),
                    element("isolation joint", 2158.0, 2162.0),
                    element("blank pipe", 2162.0, top),
                ]
            else:
                parts.append(element("blank pipe", above, top))
        parts.append(element("screen", top, base, screen=kind))
    pipe = {"inner_diameter": "0.07 m", "outer_diameter": "0.09 m", "roughness": f"{ROUGH} m"}
    parts = [{**part, **pipe} for part in parts]
    if plug:
        parts.append(element("plug", 2140.0 if seal else 2160.0, 2141.0 if seal else 2161.0))
    oil = {**CONSTANT_OIL, "formation_volume_factor": "1 m^3/m^3", "compressibility": "0 1/bar"}
    return make(
        well={"name": "n", "hole": [{"md": "0 m", "diameter": "0.12 m"}]},
        layers=[
            layer(
                f"l{k}",
                top,
                base,
                cells=1,
                pressure=f"{210 + 5 * k} bar",
                permeability=f"{permeability} md",
                support="edge",
            )
            for k, (top, base) in enumerate(ZONES)
        ],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={"temperature": "90 degC", "oil": oil},
        string=parts,
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "190 bar"}],
        numerics={"friction": True, "gravity": False, "wellbore_inflow": False},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )


def independent(case, plug=False, seal=False):
    """Rates of the three layers: pieces from the result's own list, everything else from scratch."""
    run = Life(case, None)
    run.run()
    result = run.result(0.0)
    pieces = result.description.pieces
    count = len(pieces)
    tops, bases = (np.array([getattr(p, key) for p in pieces]) for key in ("top_md", "base_md"))
    lengths, mids = bases - tops, 0.5 * (bases + tops)
    bore = (0.25 * np.pi * 0.07**2, 0.07, ROUGH / 0.07)
    gap = (0.25 * np.pi * (0.12**2 - 0.09**2), 0.03, ROUGH / 0.03)
    annuli = [k for k, p in enumerate(pieces) if p.has_annulus]
    place = {k: count + n for n, k in enumerate(annuli)}
    edges = []
    for k in range(count - 1):
        middle = bases[k]
        closed = plug and abs(middle - (2139.0 if seal else 2160.0)) < 1e-6
        if not closed:
            edges.append((k, k + 1, 0.5 * (lengths[k] + lengths[k + 1]), *bore))
        if k in place and k + 1 in place:
            edges.append((place[k], place[k + 1], 0.5 * (lengths[k] + lengths[k + 1]), *gap))
    for k in annuli:
        if pieces[k].kind == "screen":
            edges.append((place[k], k, 0.0, *bore))
        for face in (k - 1, k + 1):  # the outside of a blank opens into the end of a conforming screen beside it
            if 0 <= face < count and pieces[face].kind == "screen" and not pieces[face].has_annulus:
                edges.append((place[k], face, 0.0, *bore))
    index = {}
    for n, (top, base) in enumerate(ZONES):
        inside = [k for k in range(count) if pieces[k].kind == "screen" and top <= mids[k] <= base]
        # one column of rock a layer: its ring's pressure is common to the pieces, the boundary feeds it
        index[n] = inside
    hole = 0.06
    kh = 2.0 * np.pi * 800.0 * 9.869232667160130e-16 * 20.0 / MU
    ratio = (300.0**2 * np.log(300.0 / hole) - 0.5 * (300.0**2 - hole**2)) / (300.0**2 - hole**2)
    inner, outer = ratio, np.log(300.0 / hole) - ratio
    # unknowns: pressures of nodes in bar below 220, rates of edges in 1e-3 m3/s, ring pressures
    nodes = count + len(annuli)
    scale_q = 1e-3

    def balance(y):
        p = 220.0 * BAR - y[:nodes] * BAR
        q = y[nodes : nodes + len(edges)] * scale_q
        ring = 220.0 * BAR - y[nodes + len(edges) :] * BAR
        out = np.zeros(nodes)
        losses = []
        for (a, b, *pipe), rate in zip(edges, q, strict=True):
            out[a] -= rate
            out[b] += rate
            drop = loss(rate, *pipe) if pipe[0] > 0.0 else 10.0 * rate
            losses.append((p[a] - p[b] - drop) / BAR)
        rock = []
        for n, inside in index.items():
            total = 0.0
            for k in inside:
                into = place.get(k, k)
                rate = kh / inner * lengths[k] / 20.0 * (ring[n] - p[into])
                out[into] += rate
                total += rate
            rock.append((kh / outer * ((210.0 + 5.0 * n) * BAR - ring[n]) - total) / scale_q)
        held = out / scale_q
        # the outlet takes what comes, through half of the first piece
        above = loss(out[0], 0.5 * lengths[0], *bore)
        held[0] = (p[0] - above - 190.0 * BAR) / BAR
        return np.concatenate((held, losses, rock))

    # nodes that nothing flows through are pinned by a tiny spring
    first = np.concatenate((np.full(nodes, 20.0), np.full(len(edges), -1.0), np.full(3, 8.0)))
    solved = least_squares(
        lambda y: np.concatenate((balance(y), 1e-10 * y)), first, xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=400
    )
    assert np.abs(balance(solved.x)).max() < 1e-5
    ring = 220.0 * BAR - solved.x[nodes + len(edges) :] * BAR
    exact = np.array([kh / outer * ((210.0 + 5.0 * n) * BAR - ring[n]) for n in range(3)])
    return result.layer["oil_rate"][-1], exact


@pytest.mark.parametrize(
    ("kind", "plug", "seal"),
    [
        ("conforming", False, False),  # the outside of each blank is a way round it
        ("conforming", True, True),  # a tree with its end closed
        ("stand-alone", False, False),  # a ladder: bore and annulus joined at the screens
        ("stand-alone", True, False),  # a ladder with one rung of the bore closed: flow goes round by the annulus
        ("stand-alone", True, True),  # bore and annulus closed: what is below is shut in
        ("stand-alone", False, True),  # annulus closed by a seal
    ],
)
def test_against_an_independent_solve(kind, plug, seal):
    got, exact = independent(well(kind, plug, seal), plug, seal)
    print("engine", got / M3D, "independent", exact / M3D)
    # each conduit's loss is closed to 5 Pa of some 1e5: 1e-4 of the drawdown
    within("layer rates, of the largest", np.abs(got - exact).max() / exact.max(), 5e-4)


def test_friction_alone_by_one_equation():
    """One sand, one long blank: drawdown in the rock plus loss in the pipe is what there is, by bisection."""
    pipe = {"inner_diameter": "0.07 m", "outer_diameter": "0.09 m", "roughness": f"{ROUGH} m"}
    oil = {**CONSTANT_OIL, "formation_volume_factor": "1 m^3/m^3", "compressibility": "0 1/bar"}
    case = make(
        layers=[layer("l", 2000.0, 2020.0, cells=1, pressure="220 bar", permeability="2000 md", support="edge")],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={"temperature": "90 degC", "oil": oil},
        string=[element("casing", 1500.0, 2000.0, **pipe), element("screen", 2000.0, 2020.0, **pipe)],
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "190 bar"}],
        numerics={"friction": True, "gravity": False, "piece_length": "10 m", "wellbore_inflow": False},
        schedule={"start": "2027-01-01", "end": "2028-01-01"},
    )
    run = Life(case, None)
    run.run()
    got = run.result(0.0).well["oil_rate"][-1]
    index = 2.0 * np.pi * 2000.0 * 9.869232667160130e-16 * 20.0 / MU / np.log(300.0 / (4.25 * 0.0254))
    area = 0.25 * np.pi * 0.07**2

    def left(q):  # inflow into the screen is spread over 20 m: half of it on the way
        return (
            30.0 * BAR
            - q / index
            - loss(q, 500.0, area, 0.07, ROUGH / 0.07)
            - loss(0.5 * q, 10.0, area, 0.07, ROUGH / 0.07)
        )

    exact = brentq(left, 1e-6, 1.0)
    # the outlet is at the middle of the top piece: half a piece of 500 m is not felt (1 % of the loss, 0.5 % of rate)
    within("rate", got / exact - 1.0, 0.006)


def test_block_elimination_of_a_whole_well_against_a_sparse_solve():
    """One Newton matrix of the ladder, solved by the block elimination and by scipy's sparse LU."""
    run = Life(well("stand-alone"), None)
    run.run()
    march = run.march
    system = System(march, int(march.modes[0]))
    matrix = system.assembled(system.pack(march.x, march.rates, float(march.outlet[0])))
    size = np.abs(matrix).max(axis=1)
    right = np.linspace(-1.0, 1.0, len(size)) * size
    sparse = spsolve(coo_array(matrix / size[:, None]).tocsc(), right / size)
    change = np.zeros((len(march.work.diagonal), 3))
    change[: system.n] = right[: 3 * system.n].reshape(-1, 3)
    change[system.n :, 0] = right[3 * system.n :]
    work = march.work
    assert solve(march.network.pattern, work.diagonal, work.upper, work.lower, change)
    ours = np.concatenate((change[: system.n].ravel(), change[system.n :, 0]))
    left = [np.abs(matrix @ solution - right).max() / size.max() for solution in (ours, sparse)]
    print("residuals of ours and of the sparse solve", left)
    # scaled by rows; pressures of 1e7 Pa beside contents of 1: both lose the same digits
    within(
        "difference, of the largest change of each kind",
        max(
            np.abs(ours[k : 3 * system.n : 3] - sparse[k : 3 * system.n : 3]).max()
            / np.abs(sparse[k : 3 * system.n : 3]).max()
            for k in range(3)
        ),
        1e-5,
    )

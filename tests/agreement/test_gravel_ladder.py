"""A gravel-packed ladder of bore and annulus solved by scipy from Darcy's and Forchheimer's laws alone.

Two sands, screens in a pack, blank pipe between them packed too. A plug in the blank makes the lower sand flow along
the gravel. Oil of 3 cP and 850 kg/m3, so that viscosity and density of what flows count. No wall friction.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import fsolve

from planner.forecast.life import Life
from tests.building import BAR, CONSTANT_OIL, MD, element, layer, make, within

MU, RHO = 3e-3, 850.0
HOLE, OUTER, INNER = 0.12, 0.09, 0.07
SANDS = ((2000.0, 2010.0), (2020.0, 2030.0))
PERMEABILITY, BETA = 3e-10, 5e5  # m2 (about 300 darcy), 1/m
OWN = 10.0  # Pa per m3/s that every conduit of the engine has


def well(plug, beta):
    """Casing, screen, blank of one later element, screen; all in one hole."""
    pipe = {"inner_diameter": f"{INNER} m", "outer_diameter": f"{OUTER} m"}
    gravel = {"gravel_permeability": f"{PERMEABILITY} m^2", "gravel_turbulence": f"{beta} 1/m", **pipe}
    string = [
        element("casing", 1999.0, 2000.0, **pipe),
        element("screen", *SANDS[0], screen="gravel pack", **gravel),
        element("blank pipe", 2010.0, 2020.0, **gravel),
        element("screen", *SANDS[1], screen="gravel pack", **gravel),
    ]
    if plug:
        string.append(element("plug", 2014.0, 2016.0))
    return make(
        well={"name": "g", "hole": [{"md": "0 m", "diameter": f"{HOLE} m"}]},
        layers=[
            layer(f"l{k}", *span, cells=1, permeability="4000 md", pressure=f"{230 + 10 * k} bar", support="edge")
            for k, span in enumerate(SANDS)
        ],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={
            "temperature": "90 degC",
            "oil": {**CONSTANT_OIL, "formation_volume_factor": "1 m^3/m^3", "compressibility": "0 1/bar",
                    "viscosity": "3 cP"},
        },
        string=string,
        numerics={"friction": False, "gravity": False, "piece_length": "10 m"},
        later_element={"length": "2 m", "depth_tolerance": "1 m"},
    )  # fmt: skip


def engine(case):
    """Rates of the two sands, m3/s, and pressures of bore and annulus."""
    life = Life(case, None, still=True)
    life.settle()
    rows = {life.network.bodies[body].layer: row for row, body in life.network.body_of_row.items()}
    return np.array([life.march.work.flux[rows[k], 1] for k in range(2)])


def independent(case, plug, beta):
    """The same from scratch: pieces between the ends of the elements and, in the blank, at its middle or quarters."""
    radius = 0.5 * HOLE
    kh = 2.0 * np.pi * 4000.0 * MD * 10.0 / MU
    # steady flow from a boundary at 300 m: ln(re/rw) from edge to wall
    rock = kh / np.log(300.0 / radius)
    cuts = [2000.0, 2010.0, 2012.5, 2015.0, 2017.5, 2020.0, 2030.0]
    mids = 0.5 * (np.array(cuts[:-1]) + cuts[1:])
    area = 0.25 * np.pi * (HOLE**2 - OUTER**2)
    across = np.log(HOLE / OUTER) / (2.0 * np.pi * 10.0)
    inertia = radial_inertia(beta)

    def along(q, length):
        return MU * length / (PERMEABILITY * area) * q + beta * RHO * length / area**2 * q * abs(q) + OWN * q

    def through(q):
        return MU * across / PERMEABILITY * q + inertia * q * abs(q) + OWN * q

    steps = np.diff(mids)
    count = len(mids)

    def left(y):
        annulus, bore = 150.0 * BAR + y[:count] * BAR, 150.0 * BAR + y[count : 2 * count] * BAR
        outside, inside = y[2 * count : 3 * count - 1] * 1e-3, y[3 * count - 1 : 4 * count - 2] * 1e-3
        screens = y[4 * count - 2 : 4 * count] * 1e-3
        out = []
        a_balance, b_balance = np.zeros(count), np.zeros(count)
        for k in range(count - 1):  # positive downwards
            a_balance[k] -= outside[k]
            a_balance[k + 1] += outside[k]
            b_balance[k] -= inside[k]
            b_balance[k + 1] += inside[k]
            out.append((annulus[k] - annulus[k + 1] - along(outside[k], steps[k])) / BAR)
            closed = plug and abs(cuts[k + 1] - 2015.0) < 1e-9
            out.append(inside[k] / 1e-3 if closed else (bore[k] - bore[k + 1] - OWN * inside[k]) / BAR)
        for k, (at, edge) in enumerate(((0, 230.0), (count - 1, 240.0))):
            a_balance[at] += rock * (edge * BAR - annulus[at]) - screens[k]
            b_balance[at] += screens[k]
            out.append((annulus[at] - bore[at] - through(screens[k])) / BAR)
        rate = b_balance[0]  # what the well gives, out of the first piece
        b_balance[0] = (bore[0] - 150.0 * BAR - 4.0 * OWN * rate) / BAR * 1e-3  # casing, top and outlet: OWN each
        return np.concatenate((out, a_balance / 1e-3, b_balance / 1e-3))

    first = np.concatenate((np.full(2 * count, 20.0), np.full(2 * (count - 1), -1.0), np.full(2, 1.0)))
    solved, *_, text = fsolve(left, first, full_output=True, xtol=1e-12)
    assert np.abs(left(solved)).max() < 1e-6, text
    annulus = 150.0 * BAR + solved[:count] * BAR
    return np.array([rock * (230.0 * BAR - annulus[0]), rock * (240.0 * BAR - annulus[-1])])


def radial_inertia(beta):
    """Forchheimer's term of radial flow: beta rho / (2 pi h)^2 (1/r_s - 1/r_w)."""
    return beta * RHO / (2.0 * np.pi * 10.0) ** 2 * (2.0 / OUTER - 2.0 / HOLE)


@pytest.mark.parametrize("plug", [False, True])
@pytest.mark.parametrize("beta", [0.0, BETA])
def test_gravel_along_and_across(plug, beta):
    case = well(plug, beta)
    found, exact = engine(case), independent(case, plug, beta)
    print("engine", found * 86400.0, "independent", exact * 86400.0)
    within("rates of the sands", float(np.abs(found - exact).max() / exact.max()), 5e-5)
    if plug:  # the pack along 20 m lets the lower sand through, but not much
        assert 0.0 < exact[1] < 0.5 * exact[0]

"""Analytic derivatives of the whole network against central differences, for every link law and phase state.

The states are random, so either sign of flow, saturated and undersaturated oil, and phases that are absent all occur.
Tables have corners at their points, and a central difference across one is off by a share: steps are small against the
spacing, and three entries of some 1e4 may be off. Unknowns at zero sit on the corner of a phase that appears; left out.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.forecast.jobs import outlet_control
from planner.forecast.march import March
from planner.network.arrays import LIQUID_RATE, OIL_RATE, PIPE, PRESSURE, SHUT
from planner.network.compile import compile_network
from planner.network.equilibrium import State
from planner.network.friction import conduit_loss
from planner.network.well_graph import build
from tests.building import CONSTANT_OIL, CONSTANT_WATER, element, intervals, layer, make, within, zoned_string
from tests.properties.jacobian import System

LIVE = {"method": "correlation", "api": 35.0, "solution_gas_ratio": "80 m^3/m^3"}
FLUIDS = {
    "live oil": {"temperature": "90 degC", "oil": LIVE},
    "constant oil": {"temperature": "90 degC", "oil": dict(CONSTANT_OIL), "water": dict(CONSTANT_WATER)},
    "gas": {"temperature": "90 degC"},
}


def network(fluid, kind="conforming", vertical=False, fronts="resolved"):
    """Two zones, screens with losses, an aquifer under one and an injector at the other."""
    places = intervals(2)
    loss = {"screen": kind, "linear_loss": "1e5 Pa/(m/s)", "quadratic_loss": "1e7 Pa/(m/s)^2"}
    if kind == "gravel pack":
        loss |= {"gravel_permeability": "100000 md", "gravel_turbulence": "1e4 1/m"}
    string = zoned_string(places, leak="1 m^3/day/bar", **loss)
    if vertical:
        places = [(2000.0, 2020.0), (2020.0, 2040.0)]
        string = [element("blank pipe", 1988.0, 2000.0), element("screen", 2000.0, 2040.0, **loss)]
    layers = [
        layer(f"l{k}", top, base, cells=3, support=("a", "b")[k], turbulence=1.0 if fluid == "gas" else 0.0)
        for k, (top, base) in enumerate(places)
    ]
    return make(
        well={
            "name": "w",
            "kind": "gas producer" if fluid == "gas" else "oil producer",
            "hole": [{"md": "0 m", "diameter": "8.5 in"}],
        },
        layers=layers,
        string=string,
        fluid=FLUIDS[fluid],
        supports={
            "a": {
                "kind": "fetkovich aquifer",
                "volume": "1e7 m^3",
                "compressibility": "1e-9 1/Pa",
                "productivity_index": "10 m^3/day/bar",
            },
            "b": {"kind": "constant pressure"},
        },
        numerics={
            "friction": True,
            "gravity": True,
            "vertical_flow": vertical,
            "fronts": fronts,
            "piece_length": "20 m",
        },
    )


def march_of(case):
    net = compile_network(case, build(case))
    march = March(net, outlet_control(net, case.controls[0]))
    march.switches.linear[net.sandface_rows] = 1e6
    march.switches.quadratic[net.sandface_rows] = 1e7
    return march


def random_state(march, rng, gas_only):
    """Pressures around 200 bar, any saturations, rates of either sign in the turbulent and laminar range."""
    net = march.network
    n = len(net.nodes.kind)
    x = np.empty((n, 3))
    for i in range(n):
        pressure = rng.uniform(120e5, 260e5)
        parts = rng.dirichlet((1.0, 1.0, 1.0))
        if net.nodes.kind[i] == PIPE:
            parts = parts[rng.permutation(3)]
        water, oil, gas = (parts[0] + parts[1], 0.0, parts[2]) if gas_only else parts
        if not gas_only and rng.random() < 0.5:
            water, gas = water + gas, 0.0  # undersaturated
        solution = 0.0 if net.fluids.dead else rng.uniform(20.0, 75.0) if gas == 0.0 else None
        if solution is None:
            row = (pressure - net.fluids.start) / net.fluids.step
            solution = float(np.interp(row, np.arange(len(net.fluids.table)), net.fluids.table[:, 2]))
        x[i] = State(pressure, water, oil, gas, solution).unknowns(net.fluids)
    rates = rng.choice([-1.0, 1.0], len(net.links.kind)) * 10.0 ** rng.uniform(-4.5, -2.0, len(net.links.kind))
    return x, rates, 10.0 ** rng.uniform(-4.0, -2.0)


def compare(case, seed, mode=PRESSURE):
    march = march_of(case)
    march.control = march.control._replace(oil=0.002, liquid=0.003)
    rng = np.random.default_rng(seed)
    gas_only = case.fluid.oil is None
    x, rates, outlet = random_state(march, rng, gas_only)
    system = System(march, mode)
    y = system.pack(x, rates, outlet)
    n = system.n
    sizes = np.concatenate((np.tile((50.0, 1e-7, 1e-5), n), 1e-6 * np.abs(y[3 * n :])))
    scales = np.concatenate((np.tile((1e5, 0.5, 50.0), n), np.abs(y[3 * n :])))
    one, two = system.assembled(y), system.differences(y, sizes)
    row = np.abs(one * scales).max(axis=1) + 1e-300
    off = np.abs((one - two) * scales) / row[:, None]
    off[np.concatenate((np.repeat(march.network.nodes.frozen, 3), np.zeros(len(y) - 3 * n, bool)))] = 0.0
    off[:, y == 0.0] = 0.0  # a phase that is just absent: both sides differ there
    return off, one, two


@pytest.mark.parametrize("mode", [PRESSURE, OIL_RATE, LIQUID_RATE, SHUT])
def test_controls(mode):
    """The last row is the control's equation."""
    off, _, _ = compare(network("constant oil"), 7, mode)
    within("share of the row's largest", off[-1].max(), 1e-6)


@pytest.mark.parametrize("fluid", list(FLUIDS))
@pytest.mark.parametrize("kind", ["conforming", "stand-alone", "gravel pack"])
@settings(max_examples=4, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 10_000))
def test_whole_network(fluid, kind, seed):
    """All but what lies on a corner of a table: at most 3 entries off, none of the rest by 1e-6."""
    off, one, two = compare(network(fluid, kind), seed)
    worst = np.sort(off.ravel())[::-1]
    print(f"{fluid} {kind}: largest {worst[0]:.2e}, then {worst[3]:.2e}")
    assert worst[3] < 1e-6, [
        (np.unravel_index(k, off.shape), one.ravel()[k], two.ravel()[k]) for k in np.argsort(-off.ravel())[:8]
    ]


@pytest.mark.parametrize("fluid", list(FLUIDS))
@pytest.mark.parametrize("fronts", ["resolved", "upstream"])
def test_vertical_links_and_fronts(fluid, fronts):
    off, _, _ = compare(network(fluid, vertical=True, fronts=fronts), 3)
    within("share of the row's largest, fourth", np.sort(off.ravel())[-4], 1e-6)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(
    log_rate=st.floats(-9.0, -0.5),
    sign=st.sampled_from((-1.0, 1.0)),
    density=st.floats(1.0, 1200.0),
    log_viscosity=st.floats(-5.0, -1.0),
    length=st.floats(0.0, 50.0),
    linear=st.floats(0.0, 1e8),
    quadratic=st.floats(0.0, 1e9),
)
def test_loss_of_a_conduit(log_rate, sign, density, log_viscosity, length, linear, quadratic):
    """Slopes to rate, density and viscosity, and the loss always opposes the flow and grows with it."""
    rate, viscosity = sign * 10.0**log_rate, 10.0**log_viscosity
    pipe = (length, 0.007, 0.1, 4.6e-5, 64.0, linear, quadratic)
    loss, slope, by_density, by_viscosity = conduit_loss(rate, density, viscosity, *pipe)
    assert loss * rate > 0.0 and slope > 0.0
    for derivative, at in ((slope, 0), (by_density, 1), (by_viscosity, 2)):
        values = [rate, density, viscosity]
        ends = []
        step = 1e-5 * abs(values[at])
        for way in (1.0, -1.0):
            moved = list(values)
            moved[at] += way * step
            ends.append(conduit_loss(*moved, *pipe)[0])
        found = (ends[0] - ends[1]) / (2.0 * step)
        # a slope has corners where the cubic meets both laws; a central difference there is off by a part of it
        reynolds = density * abs(rate) / 0.007 * 0.1 / viscosity
        if min(abs(reynolds / 2000.0 - 1.0), abs(reynolds / 4000.0 - 1.0)) > 1e-4:
            assert abs(found - derivative) <= 1e-5 * abs(loss / values[at]) + 1e-6 * abs(derivative)

"""A smaller pipe hung inside the bore: pressures and split of the flow on friction factors of the `fluids` package."""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from scipy.optimize import brentq

from planner.forecast.life import Life
from planner.network.closures import closure_of, initial_state
from planner.network.well_graph import build
from tests.building import CONSTANT_OIL, element, layer, make, within

RHO, MU, ROUGH = 850.0, 1e-3, 4.6e-5
BORE, OUTER, INNER = 0.15, 0.073, 0.062
SANDS = ((2000.0, 2020.0), (2400.0, 2420.0))


def drop(rate, length, area, diameter):
    """Pa of turbulent flow, Colebrook 1939."""
    reynolds = RHO * rate / area * diameter / MU
    factor = fluids.friction_factor(Re=reynolds, eD=ROUGH / diameter, Method="Colebrook")
    return factor * length / diameter * 0.5 * RHO * (rate / area) ** 2


def well(open_top=False, **changes):
    """Two sands 380 m apart, an inner pipe from the top of the string to beside the lower one."""
    pipe = {"inner_diameter": f"{BORE} m", "outer_diameter": "0.17 m", "roughness": f"{ROUGH} m"}
    string = [
        element("casing", 1990.0, 2000.0, **pipe), element("screen", *SANDS[0], **pipe),
        element("casing", 2020.0, 2400.0, **pipe), element("screen", *SANDS[1], **pipe),
        element("inner pipe", 1990.0, 2390.0, inner_diameter=f"{INNER} m", outer_diameter=f"{OUTER} m",
                roughness=f"{ROUGH} m", open_top=open_top),
    ]  # fmt: skip
    return make(
        layers=[layer(f"l{k}", *span, permeability="800 md", support="edge") for k, span in enumerate(SANDS)],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        fluid={"temperature": "90 degC", "oil": {**CONSTANT_OIL, "formation_volume_factor": "1 m^3/m^3",
               "compressibility": "0 1/bar"}},
        string=string, numerics={"friction": True, "gravity": False, "piece_length": "10 m"}, **changes,
    )  # fmt: skip


def settled(case):
    """A march at rest with its pieces, rows of the inner pipe and of the bore."""
    life = Life(case, None, still=True)
    life.settle()
    (inner,) = (link for link in life.graph.links if link.kind == "inner pipe")
    return life, life.network.rows_of_link[inner.index][0]


def test_all_flow_enters_the_shoe_under_a_sealed_top():
    life, row = settled(well())
    march, net = life.march, life.network
    total = float(march.outlet[0])
    within("all of it", -march.rates[row] / total - 1.0, 1e-6)
    shoe = net.links.b[row]
    within("friction", (march.x[shoe, 0] - march.x[net.top, 0]) / drop(total, 400.0, 0.25 * np.pi * INNER**2, INNER)
           - 1.0, 2e-3)  # fmt: skip
    upper, lower = life.recorder.columns()["layer"]["oil_rate"][-1]
    assert upper < lower  # the upper sand has the way down to the shoe beside the inner pipe
    pieces = life.recorder.columns()["piece"]["bore_rate"][-1]
    assert abs(pieces[0]) < 1e-6 * total and min(pieces[5:30]) < -0.9 * upper  # downwards past the casing


def test_two_ways_up_share_the_flow():
    life, row = settled(well(open_top=True))
    march = life.march
    inside = -float(march.rates[row])
    area, gap = 0.25 * np.pi * (BORE**2 - OUTER**2), BORE - OUTER
    upper, lower = (float(q) for q in life.recorder.columns()["layer"]["oil_rate"][-1])

    def miss(q):
        # beside the pipe: from the shoe at 2390 m the rest of the lower sand up to the upper one, then both
        low = lower - q
        beside = drop(low, 370.0, area, gap) + drop(low + upper, 10.0, area, gap)
        beside += np.mean([drop(low + share * upper, 20.0, area, gap) for share in (0.25, 0.75)])
        return drop(q, 400.0, 0.25 * np.pi * INNER**2, INNER) - beside

    exact = brentq(miss, 1e-3 * lower, 0.9 * lower)
    within("through the inner pipe", inside / exact - 1.0, 0.02)  # ends of the two ways lie half a piece apart


def test_what_an_inner_pipe_covers_cannot_be_plugged():
    pipe = {"inner_diameter": f"{BORE} m", "outer_diameter": "0.17 m"}
    string = [
        element("blank pipe", 1980.0, 2000.0, **pipe), element("screen", *SANDS[0], **pipe),
        element("blank pipe", 2020.0, 2200.0, **pipe), element("isolation joint", 2200.0, 2210.0),
        element("blank pipe", 2210.0, 2400.0, **pipe), element("screen", *SANDS[1], **pipe),
        element("inner pipe", 1980.0, 2205.0, inner_diameter=f"{INNER} m", outer_diameter=f"{OUTER} m"),
    ]  # fmt: skip
    graph = build(well().model_copy(update={"string": make(string=string).string}))
    assert [blank.name for blank in graph.blanks] == ["blank pipe 3"]
    assert closure_of(graph, 1, initial_state(graph)).kind == "plug"
    assert not closure_of(graph, 0, initial_state(graph)).kind


@pytest.mark.parametrize(
    ("changes", "place"),
    [({"inner_diameter": None}, "inner_diameter"), ({"outer_diameter": "0.2 m"}, "outer_diameter"),
     ({"base_md": "3000 m"}, "base_md")],
)  # fmt: skip
def test_inner_pipes_that_cannot_be(changes, place):
    from planner.model.consistency import check

    case = well()
    raw = case.string[-1].model_dump(exclude_none=True)
    pipe = element("inner pipe", 1990.0, 2390.0, inner_diameter="0.062 m", outer_diameter="0.073 m") | changes
    assert raw["kind"] == "inner pipe"
    tail = make(string=[{k: v for k, v in pipe.items() if v is not None}]).string
    found = check(case.model_copy(update={"string": (*case.string[:-1], *tail)}))
    assert f"string[5].{place}" in {problem.place for problem in found}

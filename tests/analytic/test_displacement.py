"""Displacement of oil by water along a layer at default fidelity, against Buckley and Leverett 1942 and Welge 1952.

The reference is built here from the fractional-flow curve on 60 000 saturations: the tangent from the initial point
gives the front, its slope the pore volumes at breakthrough, the slope at a saturation the volume at which it leaves.
Incompressible in effect (1e-9 1/bar); Corey 2/2 and LET curves (Lomeland, Ebeltoft and Thomas 2005) are written out.
"""

from __future__ import annotations

import numpy as np
import pytest

from planner.forecast.run import forecast
from tests.building import element, layer, make, within

SWC, SOR, KRW, KRO = 0.2, 0.2, 0.4, 1.0
LET = {"water_let": (2.5, 3.0, 1.2), "oil_let": (2.0, 1.5, 1.1)}
RATE = 20.0  # m3/d


def slab(cells, oil_viscosity, geometry="linear", support=None, let=False, **numerics):
    shape = (
        {"length": "300 m", "width": "100 m", "drainage_radius": None}
        if geometry == "linear"
        else {"drainage_radius": "150 m"}
    )
    curves = {"form": "let", **LET} if let else {}
    stiff = {"method": "constant", "formation_volume_factor": "1.0 m^3/m^3", "compressibility": "1e-9 1/bar"}
    return make(
        layers=[
            layer(
                "l",
                2000.0,
                2010.0,
                permeability="500 md",
                pressure="250 bar",
                support="w",
                cells=cells,
                geometry=geometry,
                **shape,
            )
        ],
        supports={"w": support or {"kind": "constant pressure", "fluid": "water"}},
        fluid={
            "temperature": "90 degC",
            "oil": {"density": "850 kg/m^3", "viscosity": f"{oil_viscosity} cP", **stiff},
            "water": {"density": "1000 kg/m^3", "viscosity": "0.5 cP", **stiff},
        },
        rocks=[{"name": "r", "compressibility": "1e-9 1/bar", "relative_permeability": curves}],
        string=[element("blank pipe", 1990.0, 2000.0), element("screen", 2000.0, 2010.0)],
        controls=[{"date": "2027-01-01", "liquid_rate": f"{RATE} m^3/day", "bottom_hole_pressure": "20 bar"}],
        numerics={"friction": False, "gravity": False, **numerics},
        schedule={"start": "2027-01-01", "end": "2052-01-01"},
    )


class Welge:
    """Breakthrough and water cut after it, from the curve itself."""

    def __init__(self, oil_viscosity, let=False):
        s = np.linspace(SWC, 1.0 - SOR, 60001)
        x = (s - SWC) / (1.0 - SWC - SOR)
        if let:
            (lw, ew, tw), (lo, eo, to) = LET["water_let"], LET["oil_let"]
            krw = KRW * x**lw / (x**lw + ew * (1.0 - x) ** tw)
            kro = KRO * (1.0 - x) ** lo / ((1.0 - x) ** lo + eo * x**to)
        else:
            krw, kro = KRW * x**2, KRO * (1.0 - x) ** 2
        f = krw / 0.5 / (krw / 0.5 + kro / oil_viscosity)
        chord = f[1:] / (s[1:] - SWC)
        front = int(np.argmax(chord)) + 1
        self.breakthrough = 1.0 / chord[front - 1]
        slope = np.gradient(f, s)[front:]
        self.volumes = np.maximum.accumulate(1.0 / np.maximum(slope, 1e-12))
        self.water = f[front:]

    def water_cut(self, volumes):
        return np.where(volumes < self.breakthrough, 0.0, np.interp(volumes, self.volumes, self.water))


def check(case, exact, after=0.02, day=0.02):
    """Day of arrival within `day` of Welge, water cut from 3 % past it within `after`, balances closed."""
    result = forecast(case)
    size = sum(x.pore_volume for x in result.description.layers)
    [arrival] = [h.day for h in result.happenings if h.kind == "water arrives"]
    within("day of water against Welge", arrival * RATE / (exact.breakthrough * size) - 1.0, day)
    volumes = (result.well["oil_volume"] + result.well["water_volume"]) / size
    late = volumes > 1.03 * exact.breakthrough
    assert np.count_nonzero(late) > 3
    within(
        "water cut after breakthrough", np.max(np.abs(result.well["water_cut"] - exact.water_cut(volumes))[late]), after
    )
    assert max(abs(v) for v in result.facts.balance.values()) < 1e-8
    return result


def test_closed_form_of_corey_two_two():
    """f' at the tangent of Corey 2/2: s_f = sqrt(1 / (1 + M)) with M = krw mu_o / (kro mu_w); Welge 1952."""
    for viscosity in (0.5, 2.0, 10.0):
        ratio = KRW / 0.5 * viscosity / KRO
        front = np.sqrt(1.0 / (1.0 + ratio))
        f = front**2 / (front**2 + (1.0 - front) ** 2 / ratio)
        within("pore volumes", Welge(viscosity).breakthrough / ((1.0 - SWC - SOR) * front / f) - 1.0, 1e-6)


@pytest.mark.parametrize("geometry", ["linear", "radial"])
@pytest.mark.parametrize("viscosity", [0.5, 2.0, 10.0, 50.0])
def test_water_arrives_on_the_day_of_welge(viscosity, geometry):
    check(slab(None, viscosity, geometry), Welge(viscosity))


@pytest.mark.parametrize("geometry", ["linear", "radial"])
def test_let_curves(geometry):
    check(slab(None, 2.0, geometry, let=True), Welge(2.0, let=True))


@pytest.mark.parametrize("cells", [1, 3, 24, 48])
def test_any_number_of_cells(cells):
    check(slab(cells, 2.0, "radial"), Welge(2.0))


@pytest.mark.parametrize("geometry", ["linear", "radial"])
def test_boundary_is_an_injector_at_a_rate(geometry):
    check(slab(None, 2.0, geometry, {"kind": "injector", "rate": f"{RATE} m^3/day"}), Welge(2.0))


def test_boundary_is_an_injector_matched_to_offtake():
    """What is injected follows the offtake of the last step, so rock and fluids must give a little: 4e-5 1/bar."""
    case = slab(None, 2.0, "radial", {"kind": "injector", "voidage_replacement": 1.0})
    rock = case.rocks[0].model_copy(update={"compressibility": 4e-10})
    check(case.model_copy(update={"rocks": (rock,)}), Welge(2.0))


def test_step_length_does_not_move_the_day():
    """Longest step of 5 d instead of 31 d."""
    check(slab(None, 2.0, "radial", longest_step="5 day"), Welge(2.0))


def test_plain_upstream_cells_smear_the_front():
    """First order in space without the fronts: 12 cells are more than 15 % early (keeps the reference honest)."""
    result = forecast(slab(12, 2.0, "linear", fronts="upstream"))
    size = sum(x.pore_volume for x in result.description.layers)
    [arrival] = [h.day for h in result.happenings if h.kind == "water arrives"]
    assert arrival * RATE / (Welge(2.0).breakthrough * size) < 0.85


def test_two_layers_break_through_in_the_order_of_their_throughput():
    """Layers apart, equal viscosities and stiff: each takes its share of kh (mobilities differ, so only order).

    The tighter layer of low porosity is first (Dykstra and Parsons 1950: k / (porosity dS) counts).
    """
    base = slab(None, 0.5)
    first = base.layers[0]
    tight = first.model_copy(
        update={
            "name": "m",
            "top_md": 2010.0,
            "base_md": 2020.0,
            "porosity": 0.05,
            "permeability": 0.5 * first.permeability,
            "connected_below": False,
        }
    )
    string = (base.string[0], base.string[1].model_copy(update={"base_md": 2020.0}))
    both = base.model_copy(update={"layers": (first, tight), "string": string})
    result = forecast(both)
    cut = result.layer["water_cut"]
    days = [result.days[np.argmax(cut[:, k] > 0.3)] for k in range(2)]
    assert days[1] < days[0]

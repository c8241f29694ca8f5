"""Columns along the string against closed forms: hydrostatic head and friction, inflow, drawdown, skin, the tubing.

Single-phase flow of a constant fluid: Darcy-Weisbach with Colebrook's factor from the library `fluids`, and rho g dz.
"""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import numpy as np
import pytest
from fluids.friction import Colebrook

from planner.forecast.run import flow, forecast
from planner.model.change import WhatIf
from planner.model.results import FlowProfile
from tests.building import BAR, CONSTANT_OIL, M3D, MD, element, layer, make, within, zoned_string

G = 9.80665
STIFF = {**CONSTANT_OIL, "compressibility": "1e-9 1/bar"}
FLUID = {"temperature": "90 degC", "oil": STIFF}
DENSITY, VISCOSITY, BO = 850.0 / 1.2, 1e-3, 1.2
ROUGH = 4.6e-5
SLANTED = [{"md": "0 m", "inclination": "0 deg"}, {"md": "1500 m", "inclination": "0 deg"},
           {"md": "1501 m", "inclination": "60 deg"}, {"md": "3000 m", "inclination": "60 deg"}]  # fmt: skip


def gradient(rate: float, diameter: float) -> float:
    """Friction of the constant oil, Pa/m, at a rate in place (m3/s) in pipe of that diameter (m)."""
    speed = rate / (0.25 * math.pi * diameter**2)
    factor = Colebrook(DENSITY * speed * diameter / VISCOSITY, ROUGH / diameter)
    return float(factor * DENSITY * speed**2 / (2.0 * diameter))


def long_well(**changes: Any) -> FlowProfile:
    """A screen below 600 m of blank pipe, 1,500 m3/d of stiff oil; slanted at 60 degrees."""
    string = [element("blank pipe", 1800.0, 2400.0), element("screen", 2400.0, 2420.0)]
    given = {
        "well": {"name": "a", "survey": SLANTED, "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        "layers": [layer("l", 2400.0, 2420.0, permeability="2000 md")], "string": string, "fluid": FLUID,
        "controls": [{"date": "2027-01-01", "liquid_rate": "1500 m^3/day", "bottom_hole_pressure": "30 bar"}],
        "numerics": {"inner_diameter": "0.1 m"},
    }  # fmt: skip
    return flow(make(**{**given, **changes}))


def middle(profile: FlowProfile) -> np.ndarray:
    return np.array([0.5 * (piece.top_md + piece.base_md) for piece in profile.description.pieces])


def test_bore_pressure_is_head_and_friction() -> None:
    profile = long_well()
    blanks = np.array([piece.kind == "blank pipe" for piece in profile.description.pieces])
    md = middle(profile)[blanks]
    tvd = np.array([piece.tvd for piece in profile.description.pieces])[blanks]
    pressure = profile.piece["pressure"][blanks]
    friction = gradient(1500.0 * M3D * BO, 0.1)
    expected = pressure[0] + DENSITY * G * (tvd - tvd[0]) + friction * (md - md[0])
    assert friction * (md[-1] - md[0]) > 2.0 * BAR  # not a trifle
    within("head and friction, share", float(np.abs(pressure - expected).max() / (expected[-1] - expected[0])), 2e-3)


def test_velocity_and_rate_in_the_bore() -> None:
    profile = long_well()
    top = profile.piece
    assert top["oil_rate"][0] / M3D == pytest.approx(1500.0, rel=1e-6)
    assert top["bore_rate"][0] / M3D == pytest.approx(1500.0 * BO, rel=1e-5)
    assert top["velocity"][0] == pytest.approx(1500.0 * M3D * BO / (0.25 * math.pi * 0.1**2), rel=1e-5)
    assert top["mixture_density"] == pytest.approx(DENSITY, rel=1e-4)
    assert top["temperature"] == pytest.approx(363.15)
    assert top["bore_diameter"] == pytest.approx(0.1)


def test_screen_flux_over_the_outer_area() -> None:
    """Outer diameter: inner plus one inch."""
    profile = long_well()
    assert profile.piece["screen_velocity"][-1] == pytest.approx(
        1500.0 * M3D * BO / (math.pi * (0.1 + 0.0254) * 20.0), rel=1e-5
    )
    assert np.isnan(profile.piece["screen_velocity"][:-1]).all()


THREE = [(2000.0, 2020.0), (2060.0, 2090.0), (2130.0, 2140.0)]


def three_zones(**changes: Any) -> Any:
    """Three zones of oil with gas dissolved and mobile water in one of them, held up at their edges."""
    given = {
        "layers": [
            layer("a", *THREE[0], support="e"), layer("b", *THREE[1], support="e", water_saturation=0.5),
            layer("c", *THREE[2], support="e", permeability="400 md"),
        ],
        "supports": {"e": {"kind": "constant pressure", "fluid": "own"}},
        "fluid": {"temperature": "85 degC", "oil": {"api": 33.0, "solution_gas_ratio": "80 m^3/m^3",
                                                    "bubble_point": "140 bar"}},
        "string": zoned_string(THREE),
        "controls": [{"date": "2027-01-01", "liquid_rate": "600 m^3/day", "bottom_hole_pressure": "120 bar"}],
        "schedule": {"start": "2027-01-01", "end": "2028-01-01"},
        "numerics": {"cells": 6, "piece_length": "7 m"},
    }  # fmt: skip
    return make(**{**given, **changes})


@pytest.mark.parametrize("on", [None, date(2028, 1, 1)])
def test_inflow_over_depth_adds_up_to_the_well_by_phase(on: date | None) -> None:
    profile = flow(three_zones(), on=on)
    lengths = np.array([piece.base_md - piece.top_md for piece in profile.description.pieces])
    for phase in ("oil", "water", "gas"):
        total = float((profile.piece[f"{phase}_inflow_per_length"] * lengths).sum())
        assert total == pytest.approx(profile.well[f"{phase}_rate"], rel=2e-6)
        assert profile.piece[f"{phase}_rate"][0] == pytest.approx(total, rel=2e-6)
        from_below = np.cumsum(profile.piece[f"{phase}_inflow"][::-1])[::-1]
        assert profile.piece[f"{phase}_rate"] == pytest.approx(from_below, rel=1e-5, abs=1e-6 * abs(total))


def test_undersaturated_oil_shrinks_from_its_own_bubble_point() -> None:
    """All gas stays dissolved above 140 bar: in place the inflow is oil times Bo and water, and no free gas."""
    profile = flow(three_zones())
    assert profile.piece["annulus_pressure"].min() > 140.0 * BAR
    inflow, oil = profile.piece["reservoir_inflow"], profile.piece["oil_inflow"]
    dry = (profile.piece["water_inflow"] < 1e-3 * oil) & (oil > 1e-6)
    factor = inflow[dry] / oil[dry]
    flowing = profile.piece["bore_rate"][0] / profile.well["oil_rate"]
    assert factor.max() - factor.min() < 0.01 and 1.15 < factor.min() < 1.35
    whole = inflow.sum() / profile.piece["bore_rate"][0]  # the network's own volume rate at the top
    assert whole == pytest.approx(1.0, rel=5e-3) and flowing > factor.min()


def test_drawdown_is_reservoir_less_bore_and_skin_takes_its_share() -> None:
    """One cell a layer: q mu B (F + S)/(2 pi k h), with F of pseudo-steady flow from the mean pressure (Dake 1978)."""
    skin = 5.0
    case = make(
        layers=[layer("l", 2000.0, 2020.0, skin=skin)], fluid=FLUID,
        controls=[{"date": "2027-01-01", "liquid_rate": "120 m^3/day", "bottom_hole_pressure": "30 bar"}],
    )  # fmt: skip
    profile = flow(case)
    ratio = 300.0 / (0.5 * 8.5 * 0.0254)
    shape = math.log(ratio) - 0.75
    pressure = 120.0 * M3D * BO * VISCOSITY * (shape + skin) / (2.0 * math.pi * 100.0 * MD * 20.0)
    screen = next(k for k, piece in enumerate(profile.description.pieces) if piece.kind == "screen")
    assert profile.piece["drawdown"][screen] == pytest.approx(pressure, rel=1e-3)
    assert profile.piece["drawdown"][screen] == pytest.approx(
        profile.zone["pressure"][0] - profile.piece["pressure"][screen], rel=1e-9
    )
    share = profile.piece["skin_loss"][screen] / profile.piece["drawdown"][screen]
    assert share == pytest.approx(skin / (shape + skin), rel=1e-3)


def test_loss_of_a_screen_in_series() -> None:
    """3e4 Pa s/m over the screen's outer area at 1 cP."""
    profile = long_well(
        string=[element("blank pipe", 1800.0, 2400.0), element("screen", 2400.0, 2420.0, linear_loss="3e8 Pa*s/m")]
    )
    lost = 3e8 * profile.piece["screen_velocity"][-1]
    assert lost > 0.5 * BAR
    assert profile.piece["screen_loss"][-1] == pytest.approx(lost, rel=2e-3)
    assert profile.piece["skin_loss"][-1] == pytest.approx(0.0, abs=1.0)


def straddled() -> FlowProfile:
    """A straddle of 2 in over the upper of two zones; the lower alone flows."""
    string = [
        element("blank pipe", 1970.0, 1994.0), element("isolation joint", 1994.0, 1997.0),
        element("blank pipe", 1997.0, 2000.0), *zoned_string([(2000.0, 2100.0), (2140.0, 2160.0)])[1:],
    ]  # fmt: skip
    case = make(
        layers=[layer("upper", 2000.0, 2100.0), layer("lower", 2140.0, 2160.0, permeability="2000 md")],
        string=string, fluid=FLUID, later_element={"straddle_inner_diameter": "50.8 mm"},
        controls=[{"date": "2027-01-01", "liquid_rate": "400 m^3/day", "bottom_hole_pressure": "30 bar"}],
        numerics={"inner_diameter": "0.1 m"},
    )  # fmt: skip
    shut = {"name": "s", "events": [{"do": "shut zone", "zone": "zone 1", "on": "2027-01-01"}]}
    return flow(case, WhatIf.model_validate(shut))


def test_inside_a_straddle_the_columns_are_those_of_the_inner_pipe() -> None:
    profile = straddled()
    rate = 400.0 * M3D * BO
    inside = profile.piece["bore_diameter"] < 0.09
    md = middle(profile)
    assert md[inside].min() < 2000.0 and md[inside].max() > 2100.0
    assert profile.piece["bore_rate"][inside] == pytest.approx(rate, rel=1e-4)
    assert profile.piece["oil_rate"][inside] / M3D == pytest.approx(400.0, rel=1e-4)
    assert profile.piece["velocity"][inside] == pytest.approx(rate / (0.25 * math.pi * 0.0508**2), rel=1e-4)
    above = int(np.flatnonzero(inside)[0]) - 1
    pressure = profile.piece["pressure"]
    first, last = (profile.description.pieces[k] for k in np.flatnonzero(inside)[[0, -1]])
    span = md[np.flatnonzero(inside)[-1] + 1] - md[above]  # its ends are the middles of the pieces beyond the packers
    friction = gradient(rate, 0.0508) * (last.base_md - first.top_md) / span
    per_metre = DENSITY * G + friction
    assert friction > 0.1 * DENSITY * G
    step = (pressure[inside] - pressure[above]) / (md[inside] - md[above])
    assert step == pytest.approx(per_metre, rel=5e-3)
    shut = profile.piece["annulus_pressure"][inside]
    assert (shut - pressure[inside]).min() > BAR  # what was shut off stands at the pressure of its rock


WATER = {"method": "constant", "density": "1000 kg/m^3", "viscosity": "1 cP", "formation_volume_factor": "1 m^3/m^3",
         "compressibility": "1e-10 1/bar"}  # fmt: skip


def test_up_the_tubing_of_a_water_injector() -> None:
    """One liquid: wellhead pressure, head and friction at every node, whether the control names it or not."""
    given = {
        "well": {"name": "w", "kind": "water injector", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        "fluid": {"temperature": "90 degC", "oil": dict(CONSTANT_OIL), "water": WATER},
        "layers": [layer("l", 2000.0, 2020.0, permeability="500 md", water_saturation=0.8)],
        "tubing": {"inner_diameter": "76 mm", "method": "liquid column", "surface_temperature": "20 degC"},
    }  # fmt: skip
    limit = "300 bar"
    case = make(**given, controls=[{"date": "2027-01-01", "bottom_hole_pressure": limit, "water_rate": "600 m^3/day"}])
    profile = flow(case)
    assert profile.tubing is not None and profile.tubing.string_pressure == profile.well["bottom_hole_pressure"]
    columns = profile.tubing.columns
    speed = profile.well["water_rate"] / (0.25 * math.pi * 0.076**2)
    factor = Colebrook(1000.0 * speed * 0.076 / 1e-3, 1.5e-5 / 0.076)
    friction = factor * 1000.0 * speed**2 / (2.0 * 0.076)
    expected = profile.well["bottom_hole_pressure"] - (1000.0 * G - friction) * (columns["tvd"][-1] - columns["tvd"])
    assert columns["pressure"] == pytest.approx(expected, abs=2e3)
    assert profile.tubing.wellhead_pressure == pytest.approx(expected[0], abs=2e3)
    assert profile.tubing.base_pressure == pytest.approx(profile.tubing.string_pressure, abs=200.0)
    assert columns["velocity"] == pytest.approx(speed, rel=1e-6) and columns["holdup"] == pytest.approx(1.0)
    rock = 293.15 + (363.15 - 293.15) * columns["tvd"] / columns["tvd"][-1]
    assert columns["temperature"] == pytest.approx(rock)  # no heat transfer given: as warm as the rock beside it


def test_a_well_that_does_not_reach_the_wellhead_says_so() -> None:
    """100 bar at 1,988 m does not lift oil of 708 kg/m3 to the surface (138 bar)."""
    case = make(
        fluid=FLUID, tubing={"inner_diameter": "76 mm", "method": "liquid column"},
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "100 bar"}],
    )  # fmt: skip
    tubing = flow(case).tubing
    assert tubing is not None and "does not lift" in tubing.note
    assert tubing.wellhead_pressure == pytest.approx(1e5)


def test_no_tubing_no_traverse() -> None:
    assert flow(make()).tubing is None


def test_columns_of_a_forecast_on_a_date_are_those_of_the_flow_on_it() -> None:
    case = three_zones()
    whole, instant = forecast(case), flow(case, on=date(2028, 1, 1))
    for name, values in instant.piece.items():
        assert whole.piece[name][-1] == pytest.approx(values, rel=1e-9, nan_ok=True), name

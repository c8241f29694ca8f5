"""Every kind of measurement and every kind of parameter at least once: data without noise give the truth back."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from planner.model.case import Case
from planner.model.measured import KINDS
from planner.model.paths import read
from planner.uncertainty.matching import MatchOptions, match
from tests.building import MD, element, layer
from tests.unit.uncertainty.twin import LATER, tiny, with_data

CONDUCTANCE = 1.0 / 86_400.0 / 1e5  # m3/s/Pa in m3/d/bar
FLUID = {"oil": {"api": 33.0, "solution_gas_ratio": "80 m^3/m^3"}, "temperature": "85 degC"}
ERRORS = {
    "oil rate": "2 %", "water rate": "2 %", "liquid rate": "2 %", "gas rate": "2 %", "water cut": "0.01",
    "gas-oil ratio": "2 %", "bottom-hole pressure": "1 bar", "wellhead pressure": "1 bar",
    "formation pressure": "1 bar", "cumulative oil": "2 %", "cumulative water": "2 %", "cumulative gas": "2 %",
    "liquid share": "0.02", "gas share": "0.02", "kh": "10 %", "skin": "0.5",
}  # fmt: skip


def best(case: Case, truth: dict[str, float], wanted: list[tuple[str, str, date]]) -> Case:
    """The case matched by least squares, ranges as bounds, to what the truth makes without noise."""
    told = with_data(case, truth, None, wanted, ERRORS)
    found = match(told, MatchOptions(method="least squares", members=0, prior=False))
    assert found.overall[2] < 1e-3 < found.overall[0]
    return found.case


def multiplier(name: str, path: str, low: float, high: float) -> dict[str, Any]:
    return {"name": name, "path": path, "acts_as": "multiplier", "kind": "uniform", "low": low, "high": high}


def test_pore_volume_relative_permeability_and_kh_from_every_kind_of_data() -> None:
    """An edge at constant pressure floods both zones: when and how strongly water comes tells volumes and end point;
    pressures and the well test tell kh and skin."""
    case = tiny(
        fluid=FLUID,
        tubing={"inner_diameter": "76 mm", "method": "beggs-brill 1973"},
        supports={"edge": {"kind": "constant pressure"}},
        layers=[
            layer("upper", 2000.0, 2010.0, cells=2, support="edge", drainage_radius="150 m"),
            layer("lower", 2050.0, 2060.0, cells=2, support="edge", drainage_radius="150 m", permeability="80 md"),
        ],
        controls=[{"date": "2027-01-01", "liquid_rate": "150 m^3/day", "bottom_hole_pressure": "50 bar"}],
        uncertain=[
            multiplier("kh upper", "zones.Upper.permeability", 0.3, 3.0),
            multiplier("volume upper", "zones.Upper.porosity", 0.5, 1.5),
            {"name": "skin upper", "path": "layers.upper.skin", "kind": "uniform", "low": -2, "high": 10},
            {"name": "end point", "path": "rocks.*.relative_permeability.water_end_point", "kind": "uniform",
             "low": 0.1, "high": 0.9},
        ],
    )  # fmt: skip
    rock = case.rocks[0].name
    end_point = f"rocks.{rock}.relative_permeability.water_end_point"
    truth = {"layers.upper.permeability": 150.0 * MD, "layers.upper.porosity": 0.2, "layers.upper.skin": 4.0,
             end_point: 0.6}  # fmt: skip
    wanted = [
        (kind, "Upper" if KINDS[kind].where == "zone" or kind in ("kh", "skin") else "", day)
        for kind in KINDS
        for day in (LATER[:1] if kind in ("kh", "skin") else (LATER[0], LATER[2], LATER[4], LATER[5]))
    ]
    assert {kind for kind, *_ in wanted} == set(KINDS)
    made = best(case, truth, wanted)
    for path, value in truth.items():
        assert read(made, path) == pytest.approx(value, rel=0.02), path


def test_a_leaking_seal_is_found_from_a_zone_behind_a_plug() -> None:
    """The lower zone gives only what comes past the seal: a log above it, and its pressure, tell the leak."""
    string = [
        element("blank pipe", 1988.0, 2000.0), element("screen", 2000.0, 2010.0),
        element("isolation joint", 2010.0, 2016.0, name="seal", leak="1 m^3/day/bar"),
        element("blank pipe", 2016.0, 2050.0), element("screen", 2050.0, 2060.0),
        element("plug", 2030.0, 2031.0, name="plug"),
    ]  # fmt: skip
    leak = {"name": "leak", "path": "string.seal.leak", "kind": "lognormal", "p90": "0.1 m^3/day/bar",
            "p10": "10 m^3/day/bar"}  # fmt: skip
    case = tiny(string=string, uncertain=[leak])
    truth = {"string.seal.leak": 0.4 * CONDUCTANCE}
    days = (LATER[1], LATER[3], LATER[5])
    wanted = [("formation pressure", "Lower", day) for day in days] + [("liquid share", "Lower", day) for day in days]
    made = best(case, truth, wanted)
    assert read(made, "string.seal.leak") == pytest.approx(truth["string.seal.leak"], rel=0.01)

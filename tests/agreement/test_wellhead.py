"""A well controlled at the wellhead: the implicit solve on the tabulated lift against the direct march up the tubing.

The march itself is held against published methods in tests/published; here only that control and table lead to the same
pressure, that a well dies when nothing satisfies both reservoir and tubing, and that a job revives it.
"""

from __future__ import annotations

import pytest

from planner.base.errors import CaseError, Refusal
from planner.forecast.jobs import lift_table
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.network.lift import column_of_case
from tests.building import BAR, M3D, layer, make, within, zoned_string

WELLHEAD = 15.0  # bar
TUBING = {"inner_diameter": "76 mm", "method": "beggs-brill 1973"}
OIL = {"oil": {"api": 33.0, "solution_gas_ratio": "80 m^3/m^3"}, "temperature": "85 degC"}


def producer(**changes) -> Case:
    """One sand with water behind it, at a wellhead pressure; no friction below the tubing."""
    given = {
        "layers": [layer("sand", 2000.0, 2020.0, support="edge", permeability="300 md", drainage_radius="150 m")],
        "supports": {"edge": {"kind": "constant pressure"}},
        "fluid": OIL,
        "string": zoned_string([(2000.0, 2020.0)]),
        "controls": [{"date": "2027-01-01", "wellhead_pressure": f"{WELLHEAD} bar", "liquid_rate": "900 m^3/day"}],
        "tubing": TUBING,
        "schedule": {"start": "2027-01-01", "end": "2037-01-01"},
        "numerics": {"cells": 8},
    }
    return make(**{**given, **changes})


def marched(case: Case, result, row: int, wellhead: float = WELLHEAD) -> float:
    """Pressure at the top of the string by the direct march at the rates of a row."""
    rates = [float(result.well[name][row]) for name in ("oil_rate", "water_rate", "gas_rate")]
    return column_of_case(case).bottom_hole_pressure(wellhead * BAR, *rates)


def test_pressure_at_the_top_of_the_string_is_that_of_the_march():
    case = producer()
    result = forecast(case)
    rows = [k for k, mode in enumerate(result.control) if mode == "wellhead pressure"]
    assert len(rows) > 12
    for row in rows[:: len(rows) // 12]:
        exact = marched(case, result, row)
        within(f"row {row}", result.well["bottom_hole_pressure"][row] / exact - 1.0, 0.01)


def test_a_wet_well_dies_on_a_date_and_gas_lift_keeps_it_alive():
    case = producer(
        layers=[layer("sand", 2000.0, 2020.0, support="edge", permeability="60 md", drainage_radius="150 m")],
        controls=[{"date": "2027-01-01", "wellhead_pressure": f"{WELLHEAD} bar"}],
        compartments=[{"name": "c", "datum": "2000 m", "pressure": "170 bar"}],
        schedule={"start": "2027-01-01", "end": "2057-01-01", "report": "quarter"},
    )
    dead = forecast(case)
    died = [h for h in dead.happenings if "dies" in h.text]
    assert died and dead.control[-1] == "shut"
    assert dead.well["liquid_rate"][-1] == pytest.approx(0.0, abs=1e-9)
    lifted = forecast(
        case,
        WhatIf.model_validate({"name": "gas lift", "events": [
            {"do": "change lift", "on": str(died[0].date), "gas_lift": {"depth_md": "1900 m", "rate": "50 e3m3/day"}},
        ]}),
    )  # fmt: skip
    assert lifted.well["oil_volume"][-1] > 1.02 * dead.well["oil_volume"][-1]
    assert lifted.control[-1] == "wellhead pressure"


def test_an_injector_by_its_wellhead_pressure():
    case = producer(
        well={"name": "w", "kind": "water injector", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
        controls=[{"date": "2027-01-01", "wellhead_pressure": "60 bar"}],
        supports={"edge": {"kind": "constant pressure", "fluid": "own"}},
        tubing={**TUBING, "method": "liquid column"},
    )
    result = forecast(case)
    assert result.control[-1] == "wellhead pressure"
    assert result.well["water_rate"][-1] > 10.0 * M3D
    within("pressure", result.well["bottom_hole_pressure"][-1] / marched(case, result, -1, 60.0) - 1.0, 0.01)


def test_no_tubing_no_lift_to_change():
    case = producer(tubing=None, controls=[{"date": "2027-01-01", "bottom_hole_pressure": "120 bar"}])
    job = WhatIf.model_validate({"name": "x", "events": [{"do": "change lift", "on": "2028-01-01"}]})
    with pytest.raises(Refusal, match="no tubing"):
        forecast(case, job)
    assert lift_table(case, None, 1e6).marches == 0


def test_wellhead_pressure_without_tubing_is_told(tmp_path):
    from planner.io.read import read_case
    from planner.io.write import write_case

    write_case(producer(tubing=None), tmp_path / "well")
    with pytest.raises(CaseError, match="no tubing to the wellhead"):
        read_case(tmp_path / "well")

"""The lift of a well from the records of a case."""

import pytest

from planner.model.case import Fluid, Gas, Oil, WellKind
from planner.model.lift import Pump, PumpPoint, Tubing
from planner.network.lift import KINDS, Lift, lift_of
from planner.network.lift_table import least_stable_rate, lift_pressure

OIL = Fluid(temperature="82 degC", oil=Oil(api=33, solution_gas_ratio="80 m^3/m^3"), gas=Gas(gravity=0.75))
GAS = Fluid(temperature="95 degC", gas=Gas(gravity=0.65))
# oil, water, gas at surface, m3/s
RATES = {
    "oil producer": (0.006, 0.002, 0.6),
    "gas producer": (0.0, 1e-4, 5.0),
    "water injector": (0.0, 0.01, 0.0),
    "gas injector": (0.0, 0.0, 5.0),
}


def made(kind: WellKind, wellhead: float, **fields: object) -> Lift:
    tubing = Tubing(inner_diameter="3 in", method="drift flux 2005", **fields)
    return lift_of(kind, OIL if kind == "oil producer" else GAS, tubing, (), 2000.0, wellhead, 300e5)


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_kind_of_well(kind: WellKind) -> None:
    for pressure in (120e5, 180e5) if kind == "gas injector" else (30e5, 120e5):
        lift = made(kind, pressure)
        exact = lift.column.bottom_hole_pressure(pressure, *RATES[kind])
        assert lift_pressure(lift.table, *RATES[kind], False)[0] == pytest.approx(exact, rel=0.003)


def test_a_rate_that_no_pressure_pushes_through_is_turned_down() -> None:
    lift = made("gas injector", 30e5)
    assert lift.column.bottom_hole_pressure(30e5, *RATES["gas injector"]) < 0.0
    assert lift_pressure(lift.table, *RATES["gas injector"], True)[0] < 1e5


def test_the_same_lift_is_made_once() -> None:
    assert made("gas producer", 30e5) is made("gas producer", 30e5)
    assert made("gas producer", 30e5, roughness="0.1 mm") is not made("gas producer", 30e5)
    assert made("gas producer", 40e5) is not made("gas producer", 30e5)


def test_condensate_has_an_axis_only_where_there_is_oil() -> None:
    assert len(made("gas producer", 30e5).table.second) == 1
    tubing = Tubing(inner_diameter="3 in", method="gray 1974")
    wet = lift_of("gas producer", OIL, tubing, (), 2000.0, 60e5, 300e5)
    assert len(wet.table.second) > 1
    rates = (1e-3, 1e-4, 5.0)
    exact = wet.column.bottom_hole_pressure(60e5, *rates)
    assert lift_pressure(wet.table, *rates, False)[0] == pytest.approx(exact, rel=0.005)


def test_a_pump_is_in_the_table() -> None:
    points = ((0, 9.0), (500, 8.0), (1000, 5.0), (1400, 0.0))
    pump = Pump(
        depth_md="1900 m",
        stages=120,
        curve=tuple(PumpPoint(rate=f"{q} m^3/day", head=f"{h} m") for q, h in points),
    )
    rates = (0.002, 0.005, 0.16)
    for pressure in (15e5, 30e5):
        lift, plain = made("oil producer", pressure, pump=pump), made("oil producer", pressure)
        exact = lift.column.bottom_hole_pressure(pressure, *rates)
        assert lift_pressure(lift.table, *rates, False)[0] == pytest.approx(exact, rel=0.005)
        assert exact < plain.column.bottom_hole_pressure(pressure, *rates) - 30e5


def test_liquid_alone_needs_no_least_rate() -> None:
    assert least_stable_rate(made("oil producer", 50e5).table, 0.0, 1e-6, 0.0) == 0.0


def test_a_loaded_gas_well_lies_below_its_least_rate() -> None:
    table = made("gas producer", 50e5).table
    least = least_stable_rate(table, 0.0, 1e-4, 5.0)
    assert 0.1 < least < 5.0
    # slope of the lift curve at fixed water-gas ratio: falling below the least rate, rising well above it
    for rate, sign in ((0.4 * least, -1.0), (3.0 * least, 1.0)):
        _, _, by_water, by_gas = lift_pressure(table, 0.0, 2e-5 * rate, rate, False)
        assert sign * (by_gas + 2e-5 * by_water) > 0.0

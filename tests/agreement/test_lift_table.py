"""The table of bottom-hole pressures against the direct march, its derivatives against differences."""

import math

import numpy as np
import pytest

from planner.model.case import Fluid, Gas, Oil, Water
from planner.model.lift import GasLift, Pump, PumpPoint, Tubing
from planner.network.lift_axes import unstretched
from planner.network.lift_build import FLOOR, LEAST_DIFFERENCE, build_lift_table, usual_range
from planner.network.lift_curve import largest_rate, lift_curve, lift_minimum
from planner.network.lift_fluids import tubing_fluids
from planner.network.lift_march import bottom_hole_pressure, make_pipe
from planner.network.lift_table import (
    GAS_INJECTOR,
    GAS_PRODUCER,
    OIL_PRODUCER,
    WATER_INJECTOR,
    LiftTable,
    least_stable_rate,
    lift_pressure,
    rates_of,
)
from planner.network.trajectory import Trajectory

DAY = 86400.0
OIL = Fluid(
    temperature="82 degC",
    oil=Oil(api=33, solution_gas_ratio="80 m^3/m^3", bubble_point="138 bar"),
    gas=Gas(gravity=0.75),
    water=Water(salinity=0.035),
)
GAS = Fluid(temperature="95 degC", gas=Gas(gravity=0.65))
HIGHEST = 250e5
DIAMETER = 0.0762
LIFTED = GasLift(depth_md="1900 m", rate="50 e3m3/day")
PUMP = Pump(
    depth_md="1900 m",
    stages=120,
    curve=tuple(
        PumpPoint(rate=f"{q} m^3/day", head=f"{h} m") for q, h in ((0, 9.0), (500, 8.0), (1000, 5.0), (1400, 0.0))
    ),
)
# method, kind of well, wellhead pressure [bar], what else the tubing has
WELLS = {
    "oil, beggs-brill": ("beggs-brill 1973", OIL_PRODUCER, 15.0, {}),
    "oil, payne": ("beggs-brill 1973 with payne 1979", OIL_PRODUCER, 40.0, {}),
    "oil, hagedorn-brown": ("hagedorn-brown 1965", OIL_PRODUCER, 8.0, {}),
    "oil, gray": ("gray 1974", OIL_PRODUCER, 40.0, {}),
    "oil, drift flux": ("drift flux 2005", OIL_PRODUCER, 20.0, {}),
    "oil, gas lift": ("drift flux 2005", OIL_PRODUCER, 15.0, {"gas_lift": LIFTED}),
    "oil, pump": ("hagedorn-brown 1965", OIL_PRODUCER, 15.0, {"pump": PUMP}),
    "gas, beggs-brill": ("beggs-brill 1973", GAS_PRODUCER, 40.0, {}),
    "gas, payne": ("beggs-brill 1973 with payne 1979", GAS_PRODUCER, 10.0, {}),
    "gas, hagedorn-brown": ("hagedorn-brown 1965", GAS_PRODUCER, 40.0, {}),
    "gas, gray": ("gray 1974", GAS_PRODUCER, 40.0, {}),
    "gas, drift flux": ("drift flux 2005", GAS_PRODUCER, 40.0, {}),
    "water injector": ("liquid column", WATER_INJECTOR, 60.0, {}),
    "gas injector": ("gas column", GAS_INJECTOR, 150.0, {}),
}


class Tabulated:
    """A table with the march behind it."""

    def __init__(self, method: str, kind: int, wellhead: float, fields: dict[str, object]) -> None:
        self.method = method
        self.wellhead = wellhead * 1e5
        fluid = OIL if kind == OIL_PRODUCER else GAS
        self.fluids = tubing_fluids(fluid, 212e5, 6e7, 283.15, 370.0)
        tubing = Tubing(inner_diameter=f"{DIAMETER} m", method=method, **fields)
        self.pipe = make_pipe(tubing, Trajectory(), 2000.0, 355.15, kind >= WATER_INJECTOR)
        self.span = usual_range(kind, DIAMETER, self.wellhead, HIGHEST, 80.0)
        self.table = build_lift_table(self.fluids, self.pipe, kind, self.span)

    def march(self, rates: tuple[float, float, float]) -> float:
        return bottom_hole_pressure(self.fluids, self.pipe, self.wellhead, *rates)

    def counts(self, exact: float) -> bool:
        """Whether accuracy is promised there: see LiftTable."""
        least = FLOOR if self.pipe.pump_node >= 0 else self.wellhead
        return least < exact < self.span.highest

    def error(self, found: float, exact: float) -> float:
        """Of the pressure or of its difference to the wellhead's, the larger one."""
        difference = max(abs(exact - self.wellhead), LEAST_DIFFERENCE * exact)
        return abs(found - exact) / min(exact, difference)


_kept: dict[str, Tabulated] = {}


@pytest.fixture(params=list(WELLS))
def made(request: pytest.FixtureRequest) -> Tabulated:
    if request.param not in _kept:
        _kept[request.param] = Tabulated(*WELLS[request.param])
    return _kept[request.param]


def random_rates(table: LiftTable, count: int, seed: int) -> list[tuple[float, float, float]]:
    """Surface rates, drawn evenly along the stretched axes."""
    axes = (table.rate, table.first, table.second)
    found = []
    for share in np.random.default_rng(seed).random((count, 3)):
        main, first, second = (
            unstretched(float(x[0] + u * (x[-1] - x[0])), float(s))
            for x, u, s in zip(axes, share, table.scale, strict=True)
        )
        found.append(rates_of(table.kind, table.wellhead_pressure, main, first, second))
    return found


def test_table_meets_the_march_at_random_points(made: Tabulated) -> None:
    # strict: the worst of all points, of the pressure and of its difference to the wellhead's, both
    table = made.table
    everywhere, stable = [], []
    for rates in random_rates(table, 3000, 11):
        exact = made.march(rates)
        if not made.counts(exact):
            continue
        everywhere.append(made.error(lift_pressure(table, *rates, False)[0], exact))
        main = rates[2] if table.kind == GAS_PRODUCER else rates[0] + rates[1]
        if main >= least_stable_rate(table, *rates):
            stable.append(made.error(lift_pressure(table, *rates, True)[0], exact))
    assert len(stable) > 500
    assert max(stable) < 0.01
    assert np.quantile(everywhere, 0.999) < 0.01
    assert max(everywhere) < 0.02  # on the branch that no well flows on steadily
    assert np.median(everywhere) < 5e-4


def test_error_that_the_table_claims_is_honest(made: Tabulated) -> None:
    errors = []
    for rates in random_rates(made.table, 1000, 12):
        exact = made.march(rates)
        if made.counts(exact):
            errors.append(made.error(lift_pressure(made.table, *rates, False)[0], exact))
    assert np.quantile(errors, 0.99) <= 1.1 * made.table.error
    assert made.table.stable_error <= made.table.error < 0.015


def test_derivatives_against_central_differences(made: Tabulated) -> None:
    table = made.table
    for stable in (False, True):
        for rates in random_rates(table, 60, 13):
            _, *slopes = lift_pressure(table, *rates, stable)
            for k in range(3):
                if rates[k] < 1e-6:
                    continue
                step = 1e-6 * rates[k]
                ends = []
                for sign in (1.0, -1.0):
                    moved = list(rates)
                    moved[k] += sign * step
                    ends.append(lift_pressure(table, *moved, stable)[0])
                expected = (ends[0] - ends[1]) / (2.0 * step)
                # 1 Pa over the whole of the step is rounding
                assert slopes[k] == pytest.approx(expected, rel=2e-3, abs=0.03 / step), (k, rates, stable)


def test_the_pressure_is_continuous(made: Tabulated) -> None:
    table = made.table
    for rates in random_rates(table, 300, 15):
        for stable in (False, True):
            here = lift_pressure(table, *rates, stable)[0]
            near = lift_pressure(table, *(q * (1.0 + 1e-9) for q in rates), stable)[0]
            assert near == pytest.approx(here, abs=1e-5 * max(abs(here), 1e5))


def test_beyond_the_table_nothing_breaks(made: Tabulated) -> None:
    table = made.table
    top = unstretched(float(table.rate[-1]), float(table.scale[0]))
    for rates in ((0.0, 0.0, 0.0), (-1e-3, -1e-3, -0.1), (top, top, 500.0 * top), (1e-9, 0.0, 0.0)):
        assert np.all(np.isfinite(lift_pressure(table, *rates, True)))
        assert math.isfinite(least_stable_rate(table, *rates))
    inside, outside = (
        lift_pressure(table, *rates_of(table.kind, made.wellhead, x * top, 0.0, 0.0), False)[0] for x in (1.0, 1.5)
    )
    assert (outside > inside) == (table.kind < WATER_INJECTOR)


@pytest.fixture(scope="module")
def drift() -> Tabulated:
    return Tabulated("drift flux 2005", OIL_PRODUCER, 20.0, {})


def rates(liquid: float, water_cut: float, ratio: float) -> tuple[float, float, float]:
    """Of oil, water and gas."""
    return liquid * (1.0 - water_cut), liquid * water_cut, liquid * ratio


def test_stable_curve_is_level_where_the_lift_curve_is_steep_and_joins_it(drift: Tabulated) -> None:
    table = drift.table
    liquid, lift = lift_curve(table, 0.6, 80.0, 200)
    stable = np.array([lift_pressure(table, *rates(q, 0.6, 80.0), True)[0] for q in liquid])
    best, lowest = lift_minimum(table, 0.6, 80.0)
    limit = least_stable_rate(table, *rates(0.01, 0.6, 80.0))
    assert 50.0 / DAY < best < 1500.0 / DAY
    assert 0.3 * best < limit < best
    assert lift[0] > 1.05 * lowest
    joined, left = liquid > 1.001 * limit, liquid < 0.999 * limit
    assert stable[joined] == pytest.approx(lift[joined], rel=1e-12)
    assert np.ptp(stable[left]) < 1e-6 * lowest
    # it is followed down to the fall that lift_build names, dln(p)/dln(q) = -0.1, and not beyond
    fall = np.diff(np.log(stable)) / np.diff(np.log(liquid))
    assert -0.11 < fall.min() < -0.03


def test_largest_rate_meets_march_and_inflow(drift: Tabulated) -> None:
    index = 20.0 / DAY / 1e5  # m3/s/Pa
    rate = largest_rate(drift.table, 0.5, 80.0, lambda q: 212e5 - q / index)
    flowing = 212e5 - rate / index
    assert drift.march(rates(rate, 0.5, 80.0)) == pytest.approx(flowing, rel=0.005)
    # the inflow falls faster than the lift curve: beyond that rate the well cannot lift
    assert drift.march(rates(1.05 * rate, 0.5, 80.0)) > 212e5 - 1.05 * rate / index


def test_a_wet_well_of_low_pressure_dies_and_gas_lift_revives_it(drift: Tabulated) -> None:
    index = 20.0 / DAY / 1e5
    assert math.isnan(largest_rate(drift.table, 0.95, 80.0, lambda q: 150e5 - q / index))
    gas_lift = GasLift(depth_md="1900 m", rate="60 e3m3/day")
    lifted = Tabulated("drift flux 2005", OIL_PRODUCER, 20.0, {"gas_lift": gas_lift})
    rate = largest_rate(lifted.table, 0.95, 80.0, lambda q: 150e5 - q / index)
    assert rate * DAY > 200.0
    # a lower wellhead pressure helps too
    eased = Tabulated("drift flux 2005", OIL_PRODUCER, 10.0, {"gas_lift": gas_lift})
    assert largest_rate(eased.table, 0.95, 80.0, lambda q: 150e5 - q / index) > rate

"""The lift of a well ready for use: fluids along the tubing, the tubing as arrays, table of pressures, traverse."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from planner.base.constants import STANDARD_GRAVITY
from planner.model.case import Case, Fluid, SurveyStation, WellKind
from planner.model.lift import Tubing
from planner.network.fluid_tables import highest_pressure
from planner.network.lift_build import LEAST_WATER, TOLERANCE, build_lift_table, usual_range
from planner.network.lift_fluids import TubingFluids, tubing_fluids
from planner.network.lift_march import Pipe, Traverse, bottom_hole_pressure, make_pipe, traverse
from planner.network.lift_table import GAS_INJECTOR, GAS_PRODUCER, OIL_PRODUCER, WATER_INJECTOR, LiftTable
from planner.network.trajectory import Trajectory

KINDS: dict[WellKind, int] = {
    "oil producer": OIL_PRODUCER,
    "gas producer": GAS_PRODUCER,
    "water injector": WATER_INJECTOR,
    "gas injector": GAS_INJECTOR,
}
MARGIN = 10.0  # K, beyond the temperatures of the tubing
HEAVIEST = 1200.0  # kg/m3, of what may be injected
WORST = 0.01  # departure of the table from the march above which it is said


class Column(NamedTuple):
    """Fluids and pipe of a well: what the direct march needs."""

    kind: WellKind
    fluids: TubingFluids
    pipe: Pipe

    def rates(self, oil: float, water: float, gas: float) -> tuple[float, float, float]:
        """Surface rates [m3/s] as the tables take them: nothing below 0, and a gas well's least water."""
        oil, water, gas = max(oil, 0.0), max(water, 0.0), max(gas, 0.0)
        return oil, max(water, LEAST_WATER * gas) if self.kind == "gas producer" else water, gas

    def bottom_hole_pressure(self, wellhead_pressure: float, oil: float, water: float, gas: float) -> float:
        """Pressure at the base of the tubing [Pa] by the direct march; rates at surface [m3/s], gas all of it."""
        return bottom_hole_pressure(self.fluids, self.pipe, wellhead_pressure, *self.rates(oil, water, gas))

    def traverse(self, wellhead_pressure: float, oil: float, water: float, gas: float) -> Traverse:
        """State along the tubing by the direct march; arguments as of bottom_hole_pressure."""
        return traverse(self.fluids, self.pipe, wellhead_pressure, *self.rates(oil, water, gas))


class Lift(NamedTuple):
    """Fluids and pipe for the march (and for traverses), and the table made from them at one wellhead pressure."""

    column: Column
    table: LiftTable


@lru_cache(maxsize=64)
def _column(
    kind: WellKind, fluid: Fluid, tubing: Tubing, survey: tuple[SurveyStation, ...], base_md: float, highest: float
) -> Column:
    temperatures = (tubing.surface_temperature, fluid.temperature)
    fluids = tubing_fluids(fluid, highest, 2.0 * highest, min(temperatures) - MARGIN, max(temperatures) + MARGIN)
    pipe = make_pipe(tubing, Trajectory(survey), base_md, fluid.temperature, kind.endswith("injector"))
    return Column(kind, fluids, pipe)


@lru_cache(maxsize=64)
def lift_of(
    kind: WellKind,
    fluid: Fluid,
    tubing: Tubing,
    survey: tuple[SurveyStation, ...],
    base_md: float,
    wellhead_pressure: float,
    highest: float,
    tolerance: float = TOLERANCE,
) -> Lift:
    """Lift of a well; kept for the same arguments, so that a what-if that changes no lift makes no new table.

    base_md [m]: top of the string, where the fluid has reservoir temperature (a tubing's own base_md goes before);
    wellhead_pressure [Pa] that the control holds; highest [Pa]: bottom-hole pressure up to which accuracy counts:
    somewhat above the highest reservoir pressure (of an injector: the highest injection pressure). Takes up to two
    seconds, and some 20 more when nothing is compiled yet.
    """
    column = _column(kind, fluid, tubing, survey, base_md, highest)
    dissolved = fluid.oil.solution_gas_ratio if fluid.oil is not None else 0.0
    span = usual_range(
        KINDS[kind], tubing.inner_diameter, wellhead_pressure, highest, dissolved, condensate=fluid.oil is not None
    )
    return Lift(column, build_lift_table(column.fluids, column.pipe, KINDS[kind], span, tolerance))


def _base_and_highest(case: Case) -> tuple[float, float]:
    """Measured depth of the top of the string [m], and bottom-hole pressure up to which accuracy counts [Pa]."""
    top_md = min(e.top_md for e in case.string if e.kind not in ("packer", "plug"))
    highest = highest_pressure(case) / 1.5
    if case.well.kind.endswith("injector"):  # the column of what is injected comes on top of the wellhead pressure
        named = [c.wellhead_pressure for c in case.controls]
        named += [getattr(e, "wellhead_pressure", None) for w in case.what_ifs for e in w.events]
        most = max((pressure for pressure in named if pressure is not None), default=0.0)
        highest = max(highest, most + HEAVIEST * STANDARD_GRAVITY * top_md)
    return top_md, highest


def column_of_case(case: Case, tubing: Tubing | None = None) -> Column:
    """Fluids and pipe of a case's tubing, or of another one that a job has put in its place.

    Raises ValueError without a tubing.
    """
    tubing = tubing or case.tubing
    if tubing is None:
        raise ValueError("the case has no tubing")
    top_md, highest = _base_and_highest(case)
    return _column(case.well.kind, case.fluid, tubing, case.well.survey, top_md, highest)


def lift_of_case(case: Case, wellhead_pressure: float, tubing: Tubing | None = None) -> Lift:
    """Lift of a case at a wellhead pressure [Pa], with its tubing or another one. Raises ValueError without one."""
    tubing = tubing or case.tubing
    if tubing is None:
        raise ValueError("the case has no tubing")
    top_md, highest = _base_and_highest(case)
    return lift_of(case.well.kind, case.fluid, tubing, case.well.survey, top_md, wellhead_pressure, highest)


def tubing_traverse(
    case: Case, wellhead_pressure: float, oil: float, water: float, gas: float, tubing: Tubing | None = None
) -> Traverse:
    """The tubing at an instant: depth, pressure, temperature, holdup, velocities, density and pattern from top to base.

    wellhead_pressure [Pa]; oil, water, gas: surface rates [m3/s], 0 or above, gas all that the well makes or takes
    without lift gas; tubing: in place of the case's, where a job has changed it. Arrays in SI, see Traverse. Raises
    ValueError without a tubing.
    """
    return column_of_case(case, tubing).traverse(wellhead_pressure, oil, water, gas)

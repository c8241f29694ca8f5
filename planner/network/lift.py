"""The lift of a well ready for use: fluids along the tubing, the tubing as arrays, and the table of pressures."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from planner.model.case import Fluid, SurveyStation, WellKind
from planner.model.lift import Tubing
from planner.network.lift_build import TOLERANCE, build_lift_table, usual_range
from planner.network.lift_fluids import TubingFluids, tubing_fluids
from planner.network.lift_march import Pipe, make_pipe
from planner.network.lift_table import GAS_INJECTOR, GAS_PRODUCER, OIL_PRODUCER, WATER_INJECTOR, LiftTable
from planner.network.trajectory import Trajectory

KINDS: dict[WellKind, int] = {
    "oil producer": OIL_PRODUCER,
    "gas producer": GAS_PRODUCER,
    "water injector": WATER_INJECTOR,
    "gas injector": GAS_INJECTOR,
}
MARGIN = 10.0  # K, beyond the temperatures of the tubing


class Lift(NamedTuple):
    """Fluids and pipe for the march (and for traverses), and the table made from them."""

    fluids: TubingFluids
    pipe: Pipe
    table: LiftTable


@lru_cache(maxsize=16)
def lift_of(
    kind: WellKind,
    fluid: Fluid,
    tubing: Tubing,
    survey: tuple[SurveyStation, ...],
    base_md: float,
    least_pressure: float,
    most_pressure: float,
    highest: float,
    tolerance: float = TOLERANCE,
) -> Lift:
    """Lift of a well; kept for the same arguments, so that a what-if that changes no lift makes no new table.

    base_md [m]: top of the string, where the fluid has reservoir temperature (a tubing's own base_md goes before);
    least_pressure, most_pressure [Pa]: wellhead pressures that any control or what-if may ask for; highest [Pa]:
    bottom-hole pressure up to which accuracy counts: somewhat above the highest reservoir pressure (of an injector: the
    highest injection pressure). Takes one to two seconds, and some 20 more when nothing is compiled yet.
    """
    temperatures = (tubing.surface_temperature, fluid.temperature)
    fluids = tubing_fluids(fluid, highest, 2.0 * highest, min(temperatures) - MARGIN, max(temperatures) + MARGIN)
    pipe = make_pipe(tubing, Trajectory(survey), base_md, fluid.temperature, kind.endswith("injector"))
    dissolved = fluid.oil.solution_gas_ratio if fluid.oil is not None else 0.0
    span = usual_range(
        KINDS[kind], tubing.inner_diameter, least_pressure, most_pressure, highest, dissolved,
        condensate=fluid.oil is not None)  # fmt: skip
    return Lift(fluids, pipe, build_lift_table(fluids, pipe, KINDS[kind], span, tolerance))

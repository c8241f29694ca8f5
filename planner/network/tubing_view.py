"""The tubing seen at an instant: its traverse by the direct march, velocities, and what is asked of them."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.base.constants import STANDARD_GRAVITY
from planner.model.case import Case, Fluid, SurveyStation
from planner.model.lift import Tubing
from planner.network.fluid_tables import highest_pressure
from planner.network.lift import MARGIN
from planner.network.lift_fluids import LOWEST, TubingFluids, flowing_state, tubing_fluids
from planner.network.lift_march import (
    GAS_VELOCITY,
    HOLDUP,
    LIQUID_VELOCITY,
    MIXTURE_DENSITY,
    PATTERN,
    PRESSURE,
    TEMPERATURE,
    Pipe,
    make_pipe,
    make_record,
    march,
)
from planner.network.trajectory import Trajectory
from planner.physics.multiphase_gradient import PATTERNS

Floats = NDArray[np.float64]

HEAVIEST = 1200.0  # kg/m3, of what may be injected
MOST_TRIES = 60
CLOSE = 100.0  # Pa, to which the wellhead pressure is sought
# columns of what flowing_at fills
VELOCITY, NO_SLIP_DENSITY, GAS_SPEED, LIQUID_DENSITY, GAS_DENSITY, TENSION = range(6)


class TubingParts(NamedTuple):
    """Fluids along a tubing, and the tubing as arrays."""

    fluids: TubingFluids
    pipe: Pipe


class TubingState(NamedTuple):
    """A tubing at surface rates [m3/s]: wellhead and base pressure [Pa], arrays over its nodes top to bottom.

    traverse [n, 7] and flowing [n, 6]: see the columns of lift_march and of this module. lifted: False where even the
    least wellhead pressure asks for more than the pressure at the top of the string.
    """

    wellhead: float
    base: float
    traverse: Floats
    flowing: Floats
    lifted: bool


def top_of_string(case: Case) -> float:
    """Measured depth of the top of the string [m]."""
    return min(e.top_md for e in case.string if e.kind not in ("packer", "plug"))


def asked_at_wellhead(case: Case) -> list[float]:
    """Wellhead pressures that the controls and what-ifs of a case name [Pa]."""
    named = [c.wellhead_pressure for c in case.controls]
    named += [getattr(e, "wellhead_pressure", None) for w in case.what_ifs for e in w.events]
    return [pressure for pressure in named if pressure is not None]


def highest_in_tubing(case: Case) -> float:
    """Pressure up to which the tubing's fluids are needed [Pa]: the reservoir's, or that of what is injected."""
    highest, asked = highest_pressure(case) / 1.5, asked_at_wellhead(case)
    if case.well.kind.endswith("injector") and asked:  # the column of what is injected comes on top
        highest = max(highest, max(asked) + HEAVIEST * STANDARD_GRAVITY * top_of_string(case))
    return highest


def tubing_parts(case: Case, tubing: Tubing) -> TubingParts:
    """Fluids and pipe of a tubing of the case (its own, or one that a job has changed)."""
    injecting = case.well.kind.endswith("injector")
    return _parts(case.fluid, tubing, case.well.survey, top_of_string(case), highest_in_tubing(case), injecting)


@lru_cache(maxsize=16)
def _parts(
    fluid: Fluid, tubing: Tubing, survey: tuple[SurveyStation, ...], base_md: float, highest: float, injecting: bool
) -> TubingParts:
    temperatures = (tubing.surface_temperature, fluid.temperature)
    fluids = tubing_fluids(fluid, highest, 2.0 * highest, min(temperatures) - MARGIN, max(temperatures) + MARGIN)
    return TubingParts(fluids, make_pipe(tubing, Trajectory(survey), base_md, fluid.temperature, injecting))


@kernel
def wellhead_for(
    fluids: TubingFluids, pipe: Pipe, bottom: float, oil: float, water: float, gas: float, record: Floats
) -> float:
    """Wellhead pressure [Pa] from which the march meets a pressure at the base [Pa]; nan where LOWEST is too much.

    Illinois variant of the rule of false position between LOWEST and a pressure that leads beyond; record: scratch.
    """
    low, miss_low = LOWEST, march(fluids, pipe, LOWEST, oil, water, gas, record) - bottom
    if miss_low > 0.0:
        return np.nan
    high = max(bottom, 2.0 * LOWEST)
    miss_high = march(fluids, pipe, high, oil, water, gas, record) - bottom
    for _ in range(20):
        if miss_high > 0.0:
            break
        low, miss_low = high, miss_high
        high *= 1.5
        miss_high = march(fluids, pipe, high, oil, water, gas, record) - bottom
    side = 0
    middle = high
    for _ in range(MOST_TRIES):
        middle = (low * miss_high - high * miss_low) / (miss_high - miss_low)
        miss = march(fluids, pipe, middle, oil, water, gas, record) - bottom
        if abs(miss) < CLOSE or high - low < CLOSE:
            break
        if miss > 0.0:
            high, miss_high = middle, miss
            if side == 1:
                miss_low *= 0.5
            side = 1
        else:
            low, miss_low = middle, miss
            if side == -1:
                miss_high *= 0.5
            side = -1
    return middle


@kernel
def flowing_at(
    fluids: TubingFluids, pipe: Pipe, oil: float, water: float, gas: float, record: Floats, out: Floats
) -> None:
    """Fill out [n, 6] from a traverse: velocity and density of the mixture without slip, gas velocity, what it lifts.

    The liquid to be lifted is water where any flows or no oil does (the heavier, of higher tension), else the oil.
    """
    area = 0.25 * np.pi * pipe.diameter * pipe.diameter
    for k in range(pipe.md.shape[0]):
        p, t = record[k, PRESSURE], record[k, TEMPERATURE]
        through = gas + (pipe.lift_gas if k < pipe.lift_node else 0.0)
        liquid, free, rho_l, rho_g, _, _, _ = flowing_state(fluids, p, t, oil, water, through)
        total = max(liquid + free, 1e-30)
        out[k, VELOCITY] = total / area
        out[k, NO_SLIP_DENSITY] = (liquid * rho_l + free * rho_g) / total
        out[k, GAS_SPEED] = free / area
        if water > 0.0 or oil <= 0.0:
            _, _, rho, _, _, _, sigma = flowing_state(fluids, p, t, 0.0, 1.0, 0.0)
        else:
            _, _, rho, _, _, _, sigma = flowing_state(fluids, p, t, oil, 0.0, through)
        out[k, LIQUID_DENSITY] = rho
        out[k, GAS_DENSITY] = rho_g
        out[k, TENSION] = sigma


def tubing_state(
    parts: TubingParts, bottom: float, wellhead: float, oil: float, water: float, gas: float
) -> TubingState | None:
    """The tubing at surface rates [m3/s]; None where nothing flows.

    wellhead [Pa]: where the control held it; nan: the one that meets `bottom`, the pressure at the top of the string.
    """
    oil, water, gas = max(oil, 0.0), max(water, 0.0), max(gas, 0.0)
    if oil + water <= 1e-9 and gas <= 1e-6:
        return None
    fluids, pipe = parts
    record = make_record(pipe)
    start = wellhead if np.isfinite(wellhead) else wellhead_for(fluids, pipe, bottom, oil, water, gas, record)
    lifted = bool(np.isfinite(start))
    start = float(start) if lifted else LOWEST
    base = float(march(fluids, pipe, start, oil, water, gas, record))
    flowing = np.zeros((len(pipe.md), 6))
    flowing_at(fluids, pipe, oil, water, gas, record, flowing)
    return TubingState(start, base, record, flowing, lifted)


def tubing_columns(parts: TubingParts, state: TubingState) -> tuple[dict[str, Floats], tuple[str, ...]]:
    """Columns for people of a tubing [nodes], SI, and the flow pattern at every node."""
    record = state.traverse
    columns = {
        "md": parts.pipe.md,
        "tvd": parts.pipe.tvd,
        "pressure": record[:, PRESSURE],
        "temperature": record[:, TEMPERATURE],
        "holdup": record[:, HOLDUP],
        "liquid_velocity": record[:, LIQUID_VELOCITY],
        "gas_velocity": record[:, GAS_VELOCITY],
        "velocity": state.flowing[:, VELOCITY],
        "mixture_density": record[:, MIXTURE_DENSITY],
    }
    return columns, tuple(PATTERNS[int(k)] for k in record[:, PATTERN])

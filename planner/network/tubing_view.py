"""The tubing seen at an instant: its traverse by the direct march, velocities, and what is asked of them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.base.compiled import kernel
from planner.network.lift import Column
from planner.network.lift_fluids import LOWEST, TubingFluids, flowing_state
from planner.network.lift_march import (
    GAS_VELOCITY,
    HOLDUP,
    LIQUID_VELOCITY,
    MIXTURE_DENSITY,
    PATTERN,
    PRESSURE,
    TEMPERATURE,
    Pipe,
    make_record,
    march,
)
from planner.physics.multiphase_gradient import PATTERNS

Floats = NDArray[np.float64]

MOST_TRIES = 60
LEAST_LIQUID, LEAST_GAS = 1e-9, 1e-6  # m3/s at surface; a well that gives less is shut
CLOSE = 100.0  # Pa, to which the wellhead pressure is sought
# columns of what flowing_at fills
VELOCITY, NO_SLIP_DENSITY, GAS_SPEED, LIQUID_DENSITY, GAS_DENSITY, TENSION = range(6)


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
    column: Column, bottom: float, wellhead: float, oil: float, water: float, gas: float
) -> TubingState | None:
    """The tubing at surface rates [m3/s]; None where nothing flows. A gas well makes its least water, see Column.

    wellhead [Pa]: where the control held it; nan: the one that meets `bottom`, the pressure at the top of the string.
    """
    oil, water, gas = column.rates(oil, water, gas)
    if oil + water <= LEAST_LIQUID and gas <= LEAST_GAS:
        return None
    fluids, pipe = column.fluids, column.pipe
    record = make_record(pipe)
    start = wellhead if np.isfinite(wellhead) else wellhead_for(fluids, pipe, bottom, oil, water, gas, record)
    lifted = bool(np.isfinite(start))
    start = float(start) if lifted else LOWEST
    base = float(march(fluids, pipe, start, oil, water, gas, record))
    flowing = np.zeros((len(pipe.md), 6))
    flowing_at(fluids, pipe, oil, water, gas, record, flowing)
    return TubingState(start, base, record, flowing, lifted)


def tubing_columns(column: Column, state: TubingState) -> tuple[dict[str, Floats], tuple[str, ...]]:
    """Columns for people of a tubing [nodes], SI, and the flow pattern at every node."""
    record = state.traverse
    columns = {
        "md": column.pipe.md,
        "tvd": column.pipe.tvd,
        "pressure": record[:, PRESSURE],
        "temperature": record[:, TEMPERATURE],
        "holdup": record[:, HOLDUP],
        "liquid_velocity": record[:, LIQUID_VELOCITY],
        "gas_velocity": record[:, GAS_VELOCITY],
        "velocity": state.flowing[:, VELOCITY],
        "mixture_density": record[:, MIXTURE_DENSITY],
    }
    return columns, tuple(PATTERNS[int(k)] for k in record[:, PATTERN])

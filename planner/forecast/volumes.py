"""Volumes in place of surface rates, for many places and dates at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.network.arrays import BO, GAS_EXPANSION, INVERSE_BW, OIL_COMPRESSIBILITY, RS, Fluids

Floats = NDArray[np.float64]


def at_pressure(fluids: Fluids, pressure: Floats, which: int) -> Floats:
    """A column of the fluid table at many pressures."""
    grid = fluids.start + fluids.step * np.arange(fluids.table.shape[0])
    values: Floats = np.interp(pressure, grid, fluids.table[:, which])
    return values


def volume_in_place(fluids: Fluids, pressure: Floats, flux: Floats) -> Floats:
    """Volume rate [...] at pressures [...] of surface rates [..., 3] of water, oil, gas, either sign.

    Oil that has less gas than it could hold is undersaturated: shrunk from its own bubble point.
    """
    water, oil, gas = flux[..., 0], flux[..., 1], flux[..., 2]
    most = np.zeros_like(pressure) if fluids.dead else at_pressure(fluids, pressure, RS)
    some = np.abs(oil) > 0.0
    ratio = np.where(some, np.abs(gas) / np.where(some, np.abs(oil), 1.0), 0.0)
    dissolved = np.minimum(ratio, most)
    grid = fluids.start + fluids.step * np.arange(fluids.table.shape[0])
    bubble = (
        pressure if fluids.dead else np.where(ratio < most, np.interp(dissolved, fluids.table[:, RS], grid), pressure)
    )
    bo = at_pressure(fluids, bubble, BO) * np.exp(
        -at_pressure(fluids, bubble, OIL_COMPRESSIBILITY) * (pressure - bubble)
    )
    free = gas - np.sign(gas) * dissolved * np.abs(oil)
    volume: Floats = water / at_pressure(fluids, pressure, INVERSE_BW)
    volume = volume + oil * bo + free / at_pressure(fluids, pressure, GAS_EXPANSION)
    return volume

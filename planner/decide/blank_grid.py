"""A coarser case for the many forecasts behind the worth of blanks, and how far its gains lie from the case's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.base.constants import DAY
from planner.base.errors import CaseError, Problem
from planner.model.case import Case

Floats = NDArray[np.float64]

OWN, COARSE, AUTO = "own", "coarse", "auto"
GRIDS = (AUTO, OWN, COARSE)
MANY = 1000  # forecasts above which the coarse grid is taken by itself
CELLS = 4  # a layer: fronts are carried inside cells, so that few cells lose little
LONGEST, FIRST = 92.0 * DAY, 2.0 * DAY  # steps
TOLERANCE = 1e-2  # local error of pressure, share of its range
CHECKED = 2  # members that are computed on the case's own grid as well


def grid_of(asked: str, forecasts: int) -> str:
    """The grid that is taken. Raises CaseError for one that there is not."""
    if asked not in GRIDS:
        remedy = f"Use one of: {', '.join(GRIDS)}."
        raise CaseError([Problem("", "grid", asked, "there is no such grid", remedy)])
    if asked == AUTO:
        return COARSE if forecasts > MANY else OWN
    return asked


def coarse(case: Case) -> Case:
    """The case with fewer cells, longer steps and quarterly dates; what is coarser already stays.

    Cells stay where they carry more than a front: plain upstream fronts, and vertical flow.
    """
    own = case.numerics
    keeps = own.vertical_flow or own.fronts == "upstream"
    numerics = own.model_copy(
        update={
            "cells": own.cells if keeps else min(own.cells, CELLS),
            "longest_step": max(own.longest_step, LONGEST),
            "first_step": max(own.first_step, FIRST),
            "tolerance": max(own.tolerance, TOLERANCE),
        }
    )
    layers = tuple(
        layer if keeps or layer.cells is None else layer.model_copy(update={"cells": min(layer.cells, CELLS)})
        for layer in case.layers
    )
    report = "quarter" if case.schedule.report == "month" else case.schedule.report
    schedule = case.schedule.model_copy(update={"report": report})
    return case.model_copy(update={"numerics": numerics, "layers": layers, "schedule": schedule})


@dataclass(frozen=True)
class GridCheck:
    """Gains of the same members on both grids. size: root mean square of a gain; off: of the difference; shift: its
    mean; all in money. members: how many were compared.
    """

    members: int
    size: float
    off: float
    shift: float

    @property
    def share(self) -> float:
        """Difference over size."""
        return self.off / self.size if self.size > 0.0 else 0.0


def compared(own: Floats, coarse_gains: Floats) -> GridCheck:
    """Gains [members, dates, actions] on the case's own grid and on the coarse one."""
    off = coarse_gains - own
    return GridCheck(
        len(own), float(np.sqrt(np.mean(own**2))), float(np.sqrt(np.mean(off**2))), float(off.mean())
    )  # fmt: skip

"""True vertical depth along the hole."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.model.case import SurveyStation
from planner.physics.survey import WellPath, along_path, minimum_curvature

Floats = NDArray[np.float64]


class Trajectory:
    """Depths along the hole from a deviation survey; a well without a survey is vertical.

    The hole is vertical down to the first station, and goes on straight below the last.
    """

    def __init__(self, survey: tuple[SurveyStation, ...] = ()) -> None:
        self._path: WellPath | None = None
        if survey:
            md, inclination, azimuth = (
                np.array([getattr(station, column) for station in survey], dtype=np.float64)
                for column in ("md", "inclination", "azimuth")
            )
            self._path = minimum_curvature(md, inclination, azimuth, tvd_0=float(md[0]))

    def tvd(self, md: float | Floats) -> Floats:
        """True vertical depth [m] at measured depths [m]; a plain number gives an array without dimensions."""
        wanted = np.asarray(md, dtype=np.float64)
        if self._path is None:
            return wanted.copy()
        below = along_path(self._path, wanted.ravel()).tvd.reshape(wanted.shape)
        first = float(self._path.md[0])
        depth: Floats = np.where(wanted < first, wanted, below)
        return depth

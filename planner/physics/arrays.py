"""Types of the numbers that the physics functions take and give back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Numbers = float | Array


def doubles(values: Numbers) -> Array:
    """Values as an array of doubles (a plain number becomes an array without dimensions)."""
    return np.asarray(values, dtype=np.float64)

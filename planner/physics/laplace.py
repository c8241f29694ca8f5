"""Numerical inversion of Laplace transforms."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from planner.physics.arrays import Array, Numbers, doubles

Complex = NDArray[np.complex128]


def invert_laplace(transform: Callable[[Complex], Complex], time: Numbers, terms: int = 24) -> Array:
    """Function of time whose Laplace transform is given, at times above 0.

    transform: takes and gives arrays of complex numbers; terms: points on the contour, 24 gives 8 to 10 digits for
    smooth functions. Fixed Talbot contour of Abate and Valko 2004.
    """
    t = doubles(time)[..., None]
    r: Array = 2.0 * terms / (5.0 * t)
    theta = np.arange(1, terms) * np.pi / terms
    cotangent = 1.0 / np.tan(theta)
    s = np.asarray(r * theta * (cotangent + 1j), dtype=np.complex128)
    sigma = theta + (theta * cotangent - 1.0) * cotangent
    weight = np.asarray(1.0 + 1j * sigma, dtype=np.complex128)
    inside = np.real(np.exp(t * s) * transform(s) * weight).sum(axis=-1)
    real_axis = 0.5 * np.exp(r * t) * np.real(transform(r.astype(np.complex128)))
    result: Array = (r / terms)[..., 0] * (real_axis[..., 0] + inside)
    return result

"""Babu and Odeh against the exact series of a uniform-flux line in a closed box."""

import numpy as np
import pytest

from planner.physics.horizontal_well import (
    DrainageBox,
    babu_odeh_1989_productivity_index,
    partial_penetration_skin,
    shape_logarithm,
)


def exact_resistance(box: DrainageBox) -> tuple[float, float]:
    """Drawdown from the average pressure, in q mu / (2 pi k b): of the full-length well, and the rest of a shorter one.

    Isotropic rock. Cosine series along y and z, closed form along x; pressure at the middle of the well, at its wall.
    """
    a, b, h = box.width, box.length, box.thickness
    seen = box.x + box.well_radius
    n, m = np.arange(600), np.arange(int(6 * h / box.well_radius))
    first, last = box.y - 0.5 * box.well_length, box.y + 0.5 * box.well_length
    mode = np.where(n == 0, 1.0, n) * np.pi / b
    source = np.where(n == 0, 1.0, (np.sin(mode * last) - np.sin(mode * first)) / (mode * box.well_length))
    along = np.where(n == 0, 1.0, 2.0) * source * np.cos(n * np.pi * box.y / b)
    upward = np.where(m == 0, 1.0, 2.0) * np.cos(m * np.pi * box.z / h) ** 2
    k = np.hypot.outer(n * np.pi / b, m * np.pi / h)
    k[0, 0] = 1.0
    images = (seen - box.x, seen + box.x, 2 * a - seen - box.x, 2 * a - seen + box.x)
    across = sum(np.exp(-k * far) for far in images) / (2.0 * k * -np.expm1(-2.0 * k * a))
    across[0, 0] = a * (1.0 / 3.0 - seen / a + (seen**2 + box.x**2) / (2.0 * a**2))
    terms = 2.0 * np.pi / h * along[:, None] * upward[None, :] * across
    return float(terms[0].sum()), float(terms[1:].sum())


def box(width: float, length: float, thickness: float, place: tuple[float, float, float], well: float) -> DrainageBox:
    return DrainageBox(width, length, thickness, *place, well, 0.1, 1.0, 1.0, 1.0)


@pytest.mark.parametrize("place", [(400.0, 15.0), (250.0, 15.0), (400.0, 6.0)])
def test_full_length_well(place: tuple[float, float]) -> None:
    well = box(800.0, 600.0, 30.0, (place[0], 300.0, place[1]), 600.0)
    exact, _ = exact_resistance(well)
    # ln CH neglects terms that are small in a flat box
    assert np.log(np.sqrt(800.0 * 30.0) / 0.1) + shape_logarithm(well) - 0.75 == pytest.approx(exact, rel=2e-3)
    index = babu_odeh_1989_productivity_index(well, 1.0, 1.0, 0.0)
    assert index == pytest.approx(2.0 * np.pi * 600.0 / exact, rel=2e-3)


@pytest.mark.parametrize(
    ("shape", "place", "well", "tolerance"),
    [
        ((800.0, 600.0, 30.0), (400.0, 300.0, 15.0), 300.0, 0.02),  # case 1, wide
        ((800.0, 600.0, 30.0), (400.0, 300.0, 15.0), 500.0, 0.02),
        ((800.0, 600.0, 30.0), (200.0, 200.0, 10.0), 250.0, 0.07),  # away from the middle the fit is worse
        ((300.0, 900.0, 30.0), (150.0, 450.0, 15.0), 450.0, 0.02),  # case 2, long
        ((500.0, 2000.0, 20.0), (250.0, 1000.0, 10.0), 1000.0, 0.02),
    ],
)
def test_shorter_well(
    shape: tuple[float, float, float], place: tuple[float, float, float], well: float, tolerance: float
) -> None:
    # Babu and Odeh give 3 % of error for their approximations of the whole productivity
    lying = box(*shape, place, well)
    _, exact = exact_resistance(lying)
    assert partial_penetration_skin(lying) == pytest.approx(exact, rel=tolerance)


def test_well_outside_its_box_is_refused() -> None:
    with pytest.raises(ValueError, match="does not lie inside"):
        partial_penetration_skin(box(800.0, 600.0, 30.0, (400.0, 300.0, 15.0), 700.0))

"""Minimum curvature against a textbook example and circles."""

import numpy as np
import pytest

from planner.physics import survey


def test_textbook_station() -> None:
    # worked example of a public tutorial (drillingformulas.com, minimum curvature method, after Lapeyrouse, Formulas
    # and calculations for drilling, production and workover, 2nd edition): 3500 ft, 15 and 20 degrees; 3600 ft, 25 and
    # 45 degrees: north 27.22, east 19.45, vertical 94.01 ft
    path = survey.minimum_curvature([3500.0, 3600.0], np.radians([15.0, 25.0]), np.radians([20.0, 45.0]))
    assert path.north[1] == pytest.approx(27.22, abs=0.006)
    assert path.east[1] == pytest.approx(19.45, abs=0.006)
    assert path.tvd[1] == pytest.approx(94.01, abs=0.006)
    # dog leg of the same example: 0.22605 rad
    assert survey.dogleg_severity(path)[0] * 100.0 == pytest.approx(0.22605, abs=6e-6)


def test_quarter_circle() -> None:
    radius = 300.0
    path = survey.minimum_curvature([0.0, 0.5 * np.pi * radius], [0.0, 0.5 * np.pi], [1.0, 1.0])
    assert path.tvd[1] == pytest.approx(radius, rel=1e-12)
    assert np.hypot(path.north[1], path.east[1]) == pytest.approx(radius, rel=1e-12)
    angle = np.linspace(0.0, 0.5 * np.pi, 7)
    between = survey.along_path(path, radius * angle)
    np.testing.assert_allclose(between.tvd, radius * np.sin(angle), atol=1e-9)
    np.testing.assert_allclose(np.hypot(between.north, between.east), radius * (1.0 - np.cos(angle)), atol=1e-9)
    np.testing.assert_allclose(survey.inclination_of(between), angle, atol=1e-12)


def test_straight_slant() -> None:
    path = survey.minimum_curvature([100.0, 500.0, 900.0], np.full(3, np.radians(60.0)), np.zeros(3), tvd_0=100.0)
    np.testing.assert_allclose(path.tvd, [100.0, 300.0, 500.0], rtol=1e-12)
    np.testing.assert_allclose(path.north, [0.0, 200.0 * 3**0.5, 400.0 * 3**0.5], atol=1e-9)


def test_splitting_an_arc_changes_nothing() -> None:
    path = survey.minimum_curvature([0.0, 90.0], np.radians([10.0, 40.0]), np.radians([350.0, 30.0]))
    middle = survey.along_path(path, 37.0)
    azimuth = np.arctan2(middle.tangent[0, 1], middle.tangent[0, 0])
    again = survey.minimum_curvature(
        [0.0, 37.0, 90.0],
        [np.radians(10.0), survey.inclination_of(middle)[0], np.radians(40.0)],
        [np.radians(350.0), azimuth, np.radians(30.0)],
    )
    assert again.tvd[2] == pytest.approx(path.tvd[1], rel=1e-12)
    assert again.east[2] == pytest.approx(path.east[1], rel=1e-10)

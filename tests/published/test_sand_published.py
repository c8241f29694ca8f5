"""Grain size and rock strength against published examples and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from planner.physics.grain_size import (
    Grading,
    coberly_1937_slot,
    grading,
    saucier_1974_gravel,
    schwartz_1969_gravel,
    share_finer,
    size_at,
    tiffin_1998_class,
)
from planner.physics.rock_strength import (
    breakout_pressure,
    critical_pressure,
    depleted_stress,
    excess_at_wall,
    mcnally_1987_strength,
    perforation_pressure,
    strength_ratio,
    stress_tensor,
    vernik_1993_strength,
    willson_2002_pressure,
)

PSI = 6894.757293168361
VERTICAL = np.array([0.0, 0.0, 1.0])


def test_sizes_between_sieves_lie_straight_on_the_logarithm_of_size():
    """Two sieves a factor 4 apart, half the mass between them: the middle of it is at the geometric mean (exact)."""
    size, coarser = [400e-6, 100e-6], [0.25, 0.75]
    assert size_at(size, coarser, 0.50) == pytest.approx(200e-6, rel=1e-12)
    assert share_finer(size, coarser, 200e-6) == pytest.approx(0.50, rel=1e-12)
    assert size_at(size, coarser, 0.25) == pytest.approx(400e-6, rel=1e-12)
    assert math.isnan(size_at(size, coarser, 0.10)) and math.isnan(size_at(size, coarser, 0.95))


def test_a_lognormal_sand_gives_its_own_quantiles_and_fines():
    """Exact: quantiles of the lognormal distribution (scipy.stats), finely sieved."""
    from scipy.stats import norm

    median, spread = 150e-6, 0.7
    size = np.geomspace(5e-6, 3e-3, 400)
    coarser = norm.sf(np.log(size / median) / spread)
    found = grading(size, coarser)
    for share, value in ((0.10, found.d10), (0.40, found.d40), (0.50, found.d50), (0.90, found.d90), (0.95, found.d95)):
        assert value == pytest.approx(median * math.exp(spread * norm.isf(share)), rel=1e-4)
    assert found.fines == pytest.approx(norm.cdf(math.log(44e-6 / median) / spread), rel=1e-3)


def test_curves_that_are_none_are_refused():
    for size, coarser in (([1e-4], [0.5]), ([1e-4, 1e-4], [0.1, 0.5]), ([4e-4, 1e-4], [0.5, 0.1])):
        with pytest.raises(ValueError):
            grading(size, coarser)


def sand(sorting: float = 5.0, uniformity: float = 2.0, fines: float = 0.01) -> Grading:
    return Grading(300e-6, 200e-6, 170e-6, 130e-6, 200e-6 / uniformity, 300e-6 / sorting, fines)


def test_rules_for_screens_and_gravel():
    """Coberly 1937: two D10; Saucier 1974: 5 to 6 D50; Schwartz 1969: 6 D10, D40 or D70 (numbers from memory)."""
    assert coberly_1937_slot(150e-6) == pytest.approx(300e-6)
    assert [float(v) for v in saucier_1974_gravel(150e-6)] == pytest.approx([750e-6, 900e-6])
    assert schwartz_1969_gravel(sand(uniformity=2.0)) == pytest.approx(6 * 300e-6)
    assert schwartz_1969_gravel(sand(uniformity=7.0)) == pytest.approx(6 * 200e-6)
    assert schwartz_1969_gravel(sand(uniformity=12.0)) == pytest.approx(6 * 130e-6)


@pytest.mark.parametrize(
    "sorting, uniformity, fines, wanted",
    [
        (9.0, 2.9, 0.019, "bare screen"),
        (9.0, 2.9, 0.03, "woven screen"),
        (9.0, 4.0, 0.01, "woven screen"),
        (15.0, 4.0, 0.03, "larger gravel"),
        (15.0, 4.0, 0.08, "larger gravel and open screen"),
        (25.0, 4.0, 0.03, "enlarged well"),
        (9.0, 2.0, 0.15, "enlarged well"),
        (math.nan, 2.0, 0.01, None),
    ],
)
def test_classes_of_tiffin_1998(sorting, uniformity, fines, wanted):
    """SPE 39437; the limits are from memory."""
    assert tiffin_1998_class(sand(sorting, uniformity, fines)) == wanted


# ---- strength ---------------------------------------------------------------------------------------------------


def test_breakout_pressure_of_a_worked_example():
    """Espinoza, Introduction to energy geomechanics, example 6.1: SHmax 6300, Shmin 4300, pore 3080, UCS 3500 psi,
    coefficient of friction 0.6: 4279 psi."""
    angle = math.atan(0.6)
    assert strength_ratio(angle) == pytest.approx(3.12, abs=0.005)
    found = breakout_pressure(6300 * PSI, 4300 * PSI, 3080 * PSI, 3500 * PSI, angle)
    assert found / PSI == pytest.approx(4279.0, abs=0.6)


def test_the_wall_of_any_hole_agrees_with_the_worked_example_of_a_vertical_one():
    """The general solution with a tight wall reaches the strength at the pressure of example 6.1."""
    angle = math.atan(0.6)
    stress = stress_tensor(7000 * PSI, 6300 * PSI, 4300 * PSI, 0.3)
    at = breakout_pressure(6300 * PSI, 4300 * PSI, 3080 * PSI, 3500 * PSI, angle)
    excess = excess_at_wall(stress, VERTICAL, at, 3080 * PSI, 3080 * PSI, 0.25, 1.0, angle)
    assert excess / PSI == pytest.approx(3500.0, rel=2e-4)


def test_breakout_width_of_a_worked_example():
    """Example 6.2 of the same source: at 3710 psi the breakout is 66 degrees wide."""
    q = strength_ratio(math.atan(0.6))
    cosine = (3220 + 1220 - 3500 - (1 + q) * (3710 - 3080)) / (2 * (3220 - 1220))
    assert 180.0 - math.degrees(math.acos(cosine)) == pytest.approx(66.0, abs=0.5)
    angle = 0.5 * math.acos(cosine)  # from the direction of SHmax, where failure begins
    hoop = 3220 + 1220 - 2 * (3220 - 1220) * math.cos(2 * angle) - (3710 - 3080)
    assert hoop - q * (3710 - 3080) == pytest.approx(3500.0, rel=1e-9)


@pytest.mark.parametrize("azimuth", [0.0, 0.7, 2.0])
@pytest.mark.parametrize("nu, biot", [(0.2, 1.0), (0.35, 0.8)])
def test_critical_pressure_of_a_vertical_hole_is_the_closed_form(azimuth, nu, biot):
    """Willson et al. 2002 for a hole along a principal stress; closed form against root finding round the wall."""
    sv, s_h, s_l, pore, strength = 60e6, 52e6, 45e6, 30e6, 75e6
    stress = stress_tensor(sv, s_h, s_l, azimuth)
    found = critical_pressure(stress, VERTICAL, pore, strength, nu, biot, math.radians(30.0))
    assert found == pytest.approx(willson_2002_pressure(s_h, s_l, pore, strength, nu, biot), rel=2e-3)


def test_a_horizontal_hole_sees_the_overburden():
    """Along the least stress: across it lie overburden and greatest horizontal stress, closed form again."""
    stress = stress_tensor(60e6, 52e6, 45e6, 0.0)  # greatest along north, least along east
    found = critical_pressure(stress, np.array([0.0, 1.0, 0.0]), 30e6, 95e6, 0.25, 1.0, math.radians(30.0))
    assert found == pytest.approx(willson_2002_pressure(60e6, 52e6, 30e6, 95e6, 0.25, 1.0), rel=2e-3)


def test_perforations_of_a_vertical_hole_are_judged_by_the_worst_direction():
    """The worst horizontal cavity: overburden against the least horizontal stress."""
    stress = stress_tensor(60e6, 52e6, 45e6, 0.0)
    found = perforation_pressure(stress, VERTICAL, 30e6, 95e6, 0.25, 1.0, math.radians(30.0))
    assert found == pytest.approx(willson_2002_pressure(60e6, 45e6, 30e6, 95e6, 0.25, 1.0), rel=2e-3)


def test_strong_rock_stands_without_pressure():
    stress = stress_tensor(60e6, 52e6, 45e6, 0.0)
    assert critical_pressure(stress, VERTICAL, 30e6, 500e6, 0.25, 1.0, math.radians(30.0)) == 0.0


def test_rotating_stress_and_hole_together_changes_nothing():
    """Frame indifference: turn the axis with the horizontal stresses (exact)."""
    tilt = math.radians(40.0)
    found = []
    for turn in (0.0, 1.1):
        axis = np.array([math.sin(tilt) * math.cos(turn), math.sin(tilt) * math.sin(turn), math.cos(tilt)])
        stress = stress_tensor(60e6, 55e6, 45e6, turn)
        found.append(critical_pressure(stress, axis, 30e6, 80e6, 0.25, 0.9, math.radians(30.0)))
    assert found[0] == pytest.approx(found[1], rel=2e-3)


def test_depletion_lowers_horizontal_stress_by_the_poroelastic_factor():
    """Uniaxial strain: biot (1 - 2 nu)/(1 - nu) = 2/3 for nu 0.25 and biot 1 (exact)."""
    stress = depleted_stress(stress_tensor(60e6, 52e6, 45e6, 0.0), -9e6, 0.25, 1.0)
    assert np.diag(stress) == pytest.approx([46e6, 39e6, 60e6])


def test_strength_from_logs():
    """McNally 1987 at 100 us/ft: 1200 exp(-3.6) = 32.8 MPa; Vernik et al. 1993 at 20 %: 254 * 0.46^2 = 53.7 MPa."""
    assert mcnally_1987_strength(100e-6 / 0.3048) / 1e6 == pytest.approx(32.8, abs=0.05)
    assert vernik_1993_strength(0.20) / 1e6 == pytest.approx(53.7, abs=0.05)
    assert vernik_1993_strength(0.45) == 0.0

"""Pipe flow, inflow, path, displacement: continuity, limits, refusals."""

import numpy as np
import pytest

from planner.physics import displacement, inflow, pipe_flow, skin, survey
from planner.physics.laplace import invert_laplace


def test_friction_has_no_jump_and_keeps_shape() -> None:
    re = np.geomspace(1.0, 1e8, 4001)
    f = pipe_flow.friction_factor(re, 1e-4)
    assert f.shape == re.shape
    assert np.max(np.abs(np.diff(np.log(f)))) < 0.02


def test_friction_of_water_at_rest_gives_no_gradient() -> None:
    re = pipe_flow.reynolds_number(1000.0, np.array([0.0, 1.0]), 0.1, 1e-3)
    gradient = pipe_flow.friction_gradient(
        pipe_flow.friction_factor(np.maximum(re, 1.0), 1e-4), 1000.0, [0.0, -1.0], 0.1
    )
    assert gradient[0] == 0.0 and gradient[1] < 0.0


def test_laminar_gradient_is_poiseuille() -> None:
    v, d, mu = 0.01, 0.1, 0.1
    re = pipe_flow.reynolds_number(900.0, v, d, mu)
    gradient = pipe_flow.friction_gradient(pipe_flow.friction_factor(re, 0.0), 900.0, v, d)
    assert float(gradient) == pytest.approx(32.0 * mu * v / d**2)


def test_narrow_annulus_loses_up_to_half_more_than_the_pipe_law() -> None:
    assert float(pipe_flow.annulus_friction(500.0, 0.0, 0.9999)) == pytest.approx(96.0 / 500.0, rel=1e-6)


def test_inflow_multiplier_is_one_without_wall_flow() -> None:
    re = np.array([10.0, 2500.0, 1e5])
    np.testing.assert_allclose(pipe_flow.inflow_multiplier(0.0, re), 1.0, atol=1e-12)
    assert float(pipe_flow.inflow_reynolds(1000.0, 1e-3, 1e-3)) == pytest.approx(1000.0 / np.pi)


def test_perforated_turbulent_inflow_by_hand() -> None:
    # Ouyang, Arbabi and Aziz 1998: 1 - 0.0153 Rew^0.3978
    found = float(pipe_flow.turbulent_inflow_multiplier(100.0, 1e5, perforated=True))
    assert found == pytest.approx(1.0 - 0.0153 * 100.0**0.3978)


def test_radial_index_refuses_impossible_skin_and_regime() -> None:
    with pytest.raises(ValueError, match="drainage radius"):
        inflow.radial_productivity_index(1.0, 1.0, 1.0, 100.0, 0.1, -20.0)
    with pytest.raises(KeyError):
        inflow.radial_productivity_index(1.0, 1.0, 1.0, 100.0, 0.1, 0.0, "wishful")


def test_joshi_refuses_a_well_longer_than_its_ellipse() -> None:
    with pytest.raises(ValueError, match="drainage radii"):
        inflow.joshi_1988_productivity_index(1.0, 1.0, 1.0, 1000.0, 30.0, 500.0, 0.1)


def test_partial_entry_outside_the_layer_is_refused() -> None:
    with pytest.raises(ValueError, match="within the layer"):
        skin.partial_entry_skin(0.6, 0.5, 100.0, 0.1)


def test_survey_refuses_bad_stations() -> None:
    with pytest.raises(ValueError, match="must rise"):
        survey.minimum_curvature([0.0, 10.0, 10.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0])
    with pytest.raises(ValueError, match="opposite"):
        survey.minimum_curvature([0.0, 10.0], [0.0, np.pi], [0.0, 0.0])


def test_path_goes_on_straight_beyond_its_stations() -> None:
    path = survey.minimum_curvature([0.0, 100.0], [0.0, np.radians(60.0)], [0.0, 0.0])
    beyond = survey.along_path(path, [-10.0, 100.0, 120.0])
    assert beyond.tvd[0] == pytest.approx(-10.0)
    assert beyond.tvd[2] - beyond.tvd[1] == pytest.approx(10.0)
    lone = survey.along_path(survey.minimum_curvature(5.0, 0.0, 0.0, tvd_0=5.0), [5.0, 25.0])
    np.testing.assert_allclose(lone.tvd, [5.0, 25.0])


def test_welge_refuses_tables_that_do_not_rise_or_move() -> None:
    with pytest.raises(ValueError, match="must rise"):
        displacement.welge([0.2, 0.2, 0.5], [0.0, 0.1, 1.0])
    with pytest.raises(ValueError, match="nothing is displaced"):
        displacement.welge([0.2, 0.4], [0.5, 0.5])


def test_two_shocks_come_out_of_a_curve_with_two_humps() -> None:
    solution = displacement.welge([0.0, 0.3, 0.5, 0.8, 1.0], [0.0, 0.6, 0.65, 0.95, 1.0])
    np.testing.assert_allclose(solution.saturation, [0.0, 0.3, 0.8, 1.0])
    assert np.all(np.diff(solution.speed) < 0.0)


@pytest.mark.parametrize("time", [0.1, 1.0, 10.0])
def test_laplace_inversion_of_known_pairs(time: float) -> None:
    # exp(-t), t^2/2 and erfc(1/(2 sqrt t)): Abramowitz and Stegun 1964, chapter 29
    from scipy.special import erfc

    assert float(invert_laplace(lambda s: 1.0 / (s + 1.0), time)) == pytest.approx(np.exp(-time), rel=1e-5)
    assert float(invert_laplace(lambda s: 1.0 / s**3, time)) == pytest.approx(0.5 * time**2, rel=1e-8)
    found = float(invert_laplace(lambda s: np.exp(-np.sqrt(s)) / s, time))
    assert found == pytest.approx(float(erfc(0.5 / np.sqrt(time))), rel=1e-6)

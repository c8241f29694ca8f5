"""Skins against closed forms, textbook examples and an independent finite-difference solution."""

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from planner.physics import inflow, skin


def test_hawkins_textbook_example() -> None:
    # Economides, Hill and Ehlig-Economides 1994, example 5-1 (from memory): rw 0.328 ft, damage 3 ft beyond it,
    # k/ks 5 gives 9.3
    assert float(skin.hawkins_skin(5.0, 1.0, 3.328, 0.328)) == pytest.approx(9.3, abs=0.05)
    assert inflow.hawkins_skin is skin.hawkins_skin


def test_hawkins_is_two_rings_in_series() -> None:
    series = np.log(2.0 / 0.1) / 0.2 + np.log(100.0 / 2.0) / 1.0
    assert np.log(100.0 / 0.1) + float(skin.hawkins_skin(1.0, 0.2, 2.0, 0.1)) == pytest.approx(series)


def test_cinco_ley_by_hand() -> None:
    # Cinco-Ley, Ramey and Miller 1975 at 41 degrees, hD 100: -1 and the second term vanishes
    assert float(skin.cinco_ley_1975_skin(np.radians(41.0), 10.0, 0.1)) == pytest.approx(-1.0, abs=1e-12)
    # 56 degrees, hD 1000: -(56/41)^2.06 - 1
    expected = -((56.0 / 41.0) ** 2.06) - 1.0
    assert float(skin.cinco_ley_1975_skin(np.radians(56.0), 100.0, 0.1)) == pytest.approx(expected, abs=1e-12)
    # anisotropy sqrt(kh/kv) turns the angle toward the normal: tan 60 / sqrt 3 is 45 degrees, hD 1000
    expected = -((45.0 / 41.0) ** 2.06) - (45.0 / 56.0) ** 1.865 * np.log10(10.0 * 3**0.5)
    found = skin.cinco_ley_1975_skin(np.radians(60.0), 100.0, 0.1, 3**0.5)
    assert float(found) == pytest.approx(expected, abs=1e-9)


def finite_difference_skin(penetration: float, offset: float, h_d: float, nr: int, nz: int) -> float:
    """Partial-entry skin by finite volumes on a grid of rings: open wall at 0, far wall at 1, slab closed."""
    far = 6.0 * h_d  # beyond a few thicknesses flow is radial again
    edges = np.exp(np.linspace(0.0, np.log(far), nr + 1))
    centre = np.sqrt(edges[1:] * edges[:-1])
    dz = h_d / nz
    depth = (np.arange(nz) + 0.5) / nz
    is_open = (depth > offset) & (depth < offset + penetration)
    number = np.arange(nr * nz).reshape(nr, nz)
    across = 2.0 * np.pi * dz / np.log(centre[1:] / centre[:-1])
    along = np.pi * (edges[1:] ** 2 - edges[:-1] ** 2) / dz
    pairs = [(number[:-1].ravel(), number[1:].ravel(), np.repeat(across, nz))]
    pairs.append((number[:, :-1].ravel(), number[:, 1:].ravel(), np.repeat(along, nz - 1)))
    a, b, t = (np.concatenate(part) for part in zip(*pairs, strict=True))
    near = 2.0 * np.pi * dz / np.log(centre[0] / edges[0]) * is_open
    outer = 2.0 * np.pi * dz / np.log(edges[-1] / centre[-1])
    diagonal = np.zeros(nr * nz)
    np.add.at(diagonal, a, t)
    np.add.at(diagonal, b, t)
    diagonal[number[0]] += near
    diagonal[number[-1]] += outer
    every = np.arange(nr * nz)
    rows, columns = np.concatenate([a, b, every]), np.concatenate([b, a, every])
    matrix = coo_matrix((np.concatenate([-t, -t, diagonal]), (rows, columns))).tocsc()
    right = np.zeros(nr * nz)
    right[number[-1]] = outer
    pressure = spsolve(matrix, right)
    flow = float((near * pressure[number[0]]).sum())
    return float(2.0 * np.pi * h_d / flow - np.log(far))


@pytest.mark.parametrize(("penetration", "offset"), [(0.5, 0.0), (0.5, 0.25), (0.25, 0.75)])
def test_partial_entry_series_against_finite_differences(penetration: float, offset: float) -> None:
    # halving the cells and extrapolating (first order at the tip of the interval) removes most of the grid error
    coarse = finite_difference_skin(penetration, offset, 40.0, 60, 80)
    fine = finite_difference_skin(penetration, offset, 40.0, 120, 160)
    found = skin.partial_entry_skin(penetration, offset, 40.0, 1.0)
    assert found == pytest.approx(2.0 * fine - coarse, rel=0.01)


def test_partial_entry_by_mirror_image() -> None:
    # exact: an interval in the middle is the same interval at the top of half the layer
    assert skin.partial_entry_skin(0.4, 0.3, 100.0, 0.1) == pytest.approx(
        skin.partial_entry_skin(0.4, 0.0, 50.0, 0.1), rel=2e-3
    )
    assert skin.partial_entry_skin(1.0, 0.0, 100.0, 0.1) == pytest.approx(0.0, abs=1e-9)


def test_several_open_intervals() -> None:
    # exact by symmetry: two intervals, each the other's image in the middle, are one in half the layer
    both = skin.partly_open_skin([(0.1, 0.2), (0.8, 0.9)], 100.0, 0.1)
    assert both == pytest.approx(skin.partial_entry_skin(0.2, 0.2, 50.0, 0.1), rel=2e-3)
    # touching intervals are one interval
    whole = skin.partial_entry_skin(0.4, 0.3, 100.0, 0.1)
    assert skin.partly_open_skin([(0.3, 0.5), (0.5, 0.7)], 100.0, 0.1) == pytest.approx(whole, rel=2e-3)
    # spread over the layer the same open share costs less
    assert skin.partly_open_skin([(0.0, 0.1), (0.3, 0.4), (0.6, 0.7), (0.9, 1.0)], 100.0, 0.1) < 0.8 * whole
    with pytest.raises(ValueError, match="one below the other"):
        skin.partly_open_skin([(0.3, 0.6), (0.5, 0.7)], 100.0, 0.1)


@pytest.mark.parametrize("h_d", [100.0, 1000.0, 5000.0])
@pytest.mark.parametrize("b", [0.2, 0.5, 0.8])
def test_published_partial_entry_against_the_series(b: float, h_d: float) -> None:
    exact = skin.partial_entry_skin(b, 0.0, h_d, 1.0)
    # both papers are fits: to 0.2 (Papatzacos 1987) and 0.5 (Brons and Marting 1961) of a unit of skin
    assert float(skin.papatzacos_1987_skin(b, 0.0, h_d, 1.0)) == pytest.approx(exact, abs=0.2)
    assert float(skin.brons_marting_1961_skin(b, h_d, 1.0)) == pytest.approx(exact, abs=0.52)


def test_karakas_tariq_textbook_example() -> None:
    # Economides, Hill and Ehlig-Economides 1994, example 5-5 (from memory): rw 0.328 ft, 2 shots/ft, tunnel radius
    # 0.25 in, length 8 in, phasing 180 degrees, kh/kv 10: plane -0.4, vertical 4.3, wellbore 0.1
    foot = 0.3048
    plane, vertical, wellbore = skin.karakas_tariq_1991_parts(
        180, 8.0 / 12.0 * foot, 0.25 / 12.0 * foot, 2.0 / foot, 0.328 * foot, 10**0.5
    )
    assert float(plane) == pytest.approx(-0.4, abs=0.05)
    assert float(vertical) == pytest.approx(4.3, abs=0.05)
    assert float(wellbore) == pytest.approx(0.1, abs=0.05)


@pytest.mark.parametrize("phasing", [180, 120, 90, 60, 45])
def test_plane_flow_against_the_exact_star_of_slits(phasing: int) -> None:
    # m slits meeting at the well act like a round hole of length 4^(-1/m) (conformal map, exact); the casing between
    # the tunnels, closed to flow, is why the fit lies up to 3 % above
    plane, _, _ = skin.karakas_tariq_1991_parts(phasing, 0.5, 0.005, 20.0, 0.01)
    effective = 0.01 / np.exp(float(plane))
    assert effective / 0.51 == pytest.approx(0.25 ** (phasing / 360.0), rel=0.03)


def test_single_row_of_tunnels_is_a_quarter_of_its_length() -> None:
    # one slit: a quarter of its length (exact, Prats 1961 for one wing)
    plane, _, _ = skin.karakas_tariq_1991_parts(0, 0.4, 0.005, 20.0, 0.1)
    assert float(plane) == pytest.approx(np.log(0.1 / 0.1))


@pytest.mark.parametrize(
    ("phasing", "a1", "a2", "b1", "b2", "c1", "c2"),
    [
        (0, -2.091, 0.0453, 5.1313, 1.8672, 1.6e-1, 2.675),
        (180, -2.025, 0.0943, 3.0373, 1.8115, 2.6e-2, 4.532),
        (120, -2.018, 0.0634, 1.6136, 1.7770, 6.6e-3, 5.320),
        (90, -1.905, 0.1038, 1.5674, 1.6935, 1.9e-3, 6.155),
        (60, -1.898, 0.1023, 1.3654, 1.6490, 3.0e-4, 7.509),
        (45, -1.788, 0.2398, 1.1915, 1.6392, 4.6e-5, 8.791),
    ],
)
def test_karakas_tariq_tables_by_hand(
    phasing: int, a1: float, a2: float, b1: float, b2: float, c1: float, c2: float
) -> None:
    # Karakas and Tariq 1991, tables 1 to 3, from memory: written a second time, so that a slip in one copy shows
    _, vertical, wellbore = skin.karakas_tariq_1991_parts(phasing, 0.3, 0.006, 20.0, 0.1, 2.0)
    h_d, r_d = 0.05 / 0.3 * 2.0, 0.006 / 0.1 * 1.5
    a, b = a1 * np.log10(r_d) + a2, b1 * r_d + b2
    assert float(vertical) == pytest.approx(10.0**a * h_d ** (b - 1.0) * r_d**b, rel=1e-9)
    assert float(wellbore) == pytest.approx(c1 * np.exp(c2 * 0.25), rel=1e-9)


def test_perforations_that_end_in_damage_suffer_it_all() -> None:
    # Karakas and Tariq 1991: S = (k/ks - 1) ln(rs/rw) + (k/ks) Sp
    own = sum(float(part) for part in skin.karakas_tariq_1991_parts(60, 0.3, 0.005, 20.0, 0.1, 2.0))
    found = skin.karakas_tariq_1991_skin(60, 0.3, 0.005, 20.0, 0.1, 2.0, 4.0, 0.4)
    assert found == pytest.approx(3.0 * np.log(5.0) + 4.0 * own)


def test_perforations_in_a_better_ring_are_refused() -> None:
    with pytest.raises(ValueError, match="damaged ring"):
        skin.karakas_tariq_1991_skin(60, 0.3, 0.005, 20.0, 0.1, 2.0, 0.2, 0.1)


def test_crushed_zone_by_darcy() -> None:
    # n tunnels per metre, each with a sleeve of crushed rock in radial flow along its length
    found = float(skin.crushed_zone_skin(1.0, 0.1, 0.013, 0.006, 0.3, 20.0))
    sleeve = 2.0 * np.pi * (np.log(0.013 / 0.006) / (2.0 * np.pi * 0.3 * 20.0)) * (1.0 / 0.1 - 1.0)
    assert found == pytest.approx(sleeve)


def test_gravel_by_darcy() -> None:
    # pressure drop through one metre of well at unit rate, made a skin by 2 pi k
    annulus = 2.0 * np.pi * 1.0 * np.log(0.108 / 0.07) / (2.0 * np.pi * 50.0)
    assert float(skin.gravel_annulus_skin(1.0, 50.0, 0.108, 0.07)) == pytest.approx(annulus)
    tunnels = 2.0 * np.pi * 1.0 * 0.05 / (50.0 * 39.0 * np.pi / 4.0 * 0.02**2)
    assert float(skin.gravel_tunnel_skin(1.0, 50.0, 0.05, 0.02, 39.0)) == pytest.approx(tunnels)

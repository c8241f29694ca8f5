"""Draws: even over every range, correlated as asked, reproducible, the same whatever else is in the case."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from planner.base.errors import CaseError
from planner.network.zone_layers import zone_layers
from planner.uncertainty.draws import draw, even_numbers, given_draws
from tests.building import MD
from tests.unit.uncertainty.ranged import KH, PERMEABILITY, PRESSURE, ranged_case

ZONES = {"upper": ("A",), "lower": ("B",)}


def test_a_latin_hypercube_has_one_draw_in_every_stratum() -> None:
    shares = even_numbers(["a", "b"], 50, 3, "latin hypercube")
    assert (np.sort((shares * 50).astype(int), axis=0) == np.arange(50)[:, None]).all()


@pytest.mark.parametrize("design", ["latin hypercube", "sobol", "random"])
def test_moments_are_those_of_the_ranges(design) -> None:
    """Lognormal with P90 60 and P10 160 md: mean exp(m + s2/2); normal and uniform as given. Bounds: 4 standard
    errors of random members, which stratified ones keep easily."""
    count = 4096
    made = draw(ranged_case(), count, 5, ZONES, design)
    s = np.log(160 / 60) / (2 * stats.norm.ppf(0.9))
    mean = np.sqrt(160 * 60) * np.exp(0.5 * s * s)
    sd = mean * np.sqrt(np.exp(s * s) - 1.0)
    k = made.column("k of A") / MD
    assert k.mean() == pytest.approx(mean, abs=4 * sd / np.sqrt(count))
    assert np.quantile(k, [0.1, 0.9]) == pytest.approx([60, 160], rel=0.05)
    p = made.column("p") / 1e5
    assert (p.mean(), p.std()) == pytest.approx((0.0, 5.0), abs=4 * 5.0 / np.sqrt(count))
    assert made.column("kh").mean() == pytest.approx(1.25, abs=4 * 1.5 / np.sqrt(12 * count))


def test_draws_depend_on_seed_members_and_inputs_alone() -> None:
    case = ranged_case()
    first = draw(case, 40, 1, zone_layers(case))
    assert (draw(case, 40, 1, ZONES).values == first.values).all()
    assert (draw(case, 40, 2, ZONES).values != first.values).any(axis=0).all()
    fewer = draw(ranged_case(uncertain=[PRESSURE, PERMEABILITY], what_ifs=[]), 40, 1, ZONES)
    assert (fewer.column("p") == first.column("p")).all()
    assert (fewer.column("k of A") == first.column("k of A")).all()


@pytest.mark.parametrize("design", ["latin hypercube", "sobol", "random"])
@pytest.mark.parametrize("wanted", [-0.8, 0.3, 0.7])
def test_rank_correlations_are_met_and_columns_keep_their_values(design, wanted) -> None:
    correlated = ranged_case(correlation=[{"between": ["k of A", "p"], "rank": wanted}])
    free = draw(ranged_case(), 1024, 1, ZONES, design)
    made = draw(correlated, 1024, 1, ZONES, design)
    found = stats.spearmanr(made.column("k of A"), made.column("p")).statistic
    assert found == pytest.approx(wanted, abs=0.02)
    assert abs(stats.spearmanr(made.column("k of A"), made.column("kh")).statistic) < 0.1
    if design != "sobol":
        assert (np.sort(made.values, axis=0) == np.sort(free.values, axis=0)).all()


def test_a_gaussian_copula_is_met_in_its_normals() -> None:
    correlated = ranged_case(correlation=[{"between": ["k of A", "p"], "normal": 0.6}])
    made = draw(correlated, 2048, 1, ZONES)
    assert np.corrcoef(np.log(made.column("k of A")), made.column("p"))[0, 1] == pytest.approx(0.6, abs=0.02)


def test_three_ranges_that_hang_together_meet_every_correlation() -> None:
    pairs = {("k of A", "p"): 0.6, ("k of A", "kh"): -0.4, ("p", "kh"): 0.1}
    correlated = ranged_case(correlation=[{"between": list(pair), "rank": value} for pair, value in pairs.items()])
    made = draw(correlated, 1000, 1, ZONES)
    for (one, other), value in pairs.items():
        assert stats.spearmanr(made.column(one), made.column(other)).statistic == pytest.approx(value, abs=0.02)


def test_given_draws_are_taken_by_name_or_path_with_their_units() -> None:
    case = ranged_case()
    table = pd.DataFrame({"k of A [md]": [50.0, 70.0], "layers.B.skin": [1.0, -1.0], "p [bar]": [2.0, -2.0]})
    made = given_draws(case, table, 1, ZONES)
    assert made.column("k of A") == pytest.approx([50 * MD, 70 * MD], rel=1e-12)
    assert made.column("layers.B.skin") == pytest.approx([1.0, -1.0])
    assert made.column("p") == pytest.approx([2e5, -2e5])
    assert (made.column("kh") == draw(case, 2, 1, ZONES).column("kh")).all()
    assert made.notes == ("not in the table of draws, so drawn here: kh",)


def test_wrong_columns_of_given_draws_are_told_at_once() -> None:
    table = pd.DataFrame({"k of A": [50.0], "layers.C.skin": [1.0], "p [md]": [1.0]})
    table.attrs["file"] = "draws.csv"
    with pytest.raises(CaseError) as caught:
        given_draws(ranged_case(), table, 1, ZONES)
    places = [(one.file, one.place) for one in caught.value.problems]
    assert places == [("draws.csv", f"column {name}") for name in ("k of A", "layers.C.skin", "p [md]")]


def test_a_case_without_ranges_says_so() -> None:
    with pytest.raises(CaseError, match="nothing in the case is uncertain"):
        draw(ranged_case(uncertain=[]), 10, 1, ZONES)


def test_alternatives_and_failures_come_as_often_as_they_should() -> None:
    case = ranged_case(
        uncertain=[KH],
        alternatives=[{"name": "edge", "choices": [
            {"name": "open", "probability": 0.75},
            {"name": "shut", "probability": 0.25, "set": {"layers.A.support": ""}},
        ]}],
        failures=[
            {"name": "leak", "do": "leak seal", "element": "seal 1", "conductance": "1 m^3/day/bar", "rate": 0.1},
            {"name": "job", "do": "job fails", "job": "shut zone", "success": 0.9},
        ],
    )  # fmt: skip
    made = draw(case, 1000, 1, ZONES)
    assert (made.column("edge") == 1.0).mean() == pytest.approx(0.25, abs=1e-3)
    assert (made.column("job") == 1.0).mean() == pytest.approx(0.9, abs=1e-3)
    ten_years = 10 * 365.25 * 86400
    assert (made.column("leak") < ten_years).mean() == pytest.approx(1.0 - np.exp(-1.0), abs=1e-3)


def test_alternatives_and_failures_move_together_with_ranges() -> None:
    """A high permeability with the second choice, a late leak and a job that succeeds: shares of the corners of a
    Gaussian copula, by scipy's distribution of two normals."""
    case = ranged_case(
        uncertain=[PERMEABILITY],
        alternatives=[{"name": "edge", "choices": [
            {"name": "open", "probability": 0.75}, {"name": "shut", "probability": 0.25},
        ]}],
        failures=[
            {"name": "leak", "do": "leak seal", "element": "seal 1", "conductance": "1 m^3/day/bar", "rate": 0.1},
            {"name": "job", "do": "job fails", "job": "shut zone", "success": 0.9},
        ],
        correlation=[
            {"between": ["k of A", "edge"], "normal": 0.7}, {"between": ["k of A", "leak"], "normal": 0.5},
            {"between": ["edge", "job"], "normal": 0.6}, {"between": ["k of A", "job"], "rank": 0.4},
        ],
    )  # fmt: skip
    free = draw(case.model_copy(update={"correlation": ()}), 4096, 1, ZONES)
    for design in ("latin hypercube", "sobol", "random"):
        made = draw(case, 4096, 1, ZONES, design)
        high, shut, works = (
            made.column("k of A") > stats.lognorm.ppf(0.5, *lognormal_of(free.column("k of A"))),
            made.column("edge") == 1.0,
            made.column("job") == 1.0,
        )
        late = made.column("leak") > np.log(2.0) * 10.0 * 365.25 * 86400.0
        assert (shut.mean(), works.mean()) == pytest.approx((0.25, 0.9), abs=0.015)
        for first, p, second, q, r in (
            (high, 0.5, shut, 0.25, 0.7), (high, 0.5, late, 0.5, 0.5), (shut, 0.25, works, 0.9, 0.6),
            (high, 0.5, works, 0.9, 2.0 * np.sin(np.pi * 0.4 / 6.0)),
        ):  # fmt: skip
            both = stats.multivariate_normal([0.0, 0.0], [[1.0, r], [r, 1.0]]).cdf(
                [stats.norm.ppf(p), stats.norm.ppf(q)]
            )
            assert (first & second).mean() == pytest.approx(both, abs=0.02), (design, r)


def lognormal_of(values: np.ndarray) -> tuple[float, float, float]:
    """Shape, location and scale of a lognormal by its logarithms."""
    return float(np.log(values).std()), 0.0, float(np.exp(np.log(values).mean()))


def test_other_columns_stay_as_they_are_when_a_failure_is_tied() -> None:
    failures = [{"name": "leak", "do": "leak seal", "element": "seal 1", "conductance": "1 m^3/day/bar", "rate": 0.1}]
    tied = ranged_case(failures=failures, correlation=[{"between": ["p", "leak"], "rank": -0.5}])
    one, other = draw(ranged_case(failures=failures), 200, 1, ZONES), draw(tied, 200, 1, ZONES)
    assert (one.column("k of A") == other.column("k of A")).all() and (one.column("kh") == other.column("kh")).all()
    assert stats.spearmanr(other.column("p"), other.column("leak")).statistic == pytest.approx(-0.5, abs=0.03)

"""Policies on futures whose values are known by hand: enumeration, exact fractions, and the bounds between them."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import numpy as np
import pytest

from planner.decide.policies import (
    NEVER,
    Futures,
    halves,
    idle,
    mean_and_error,
    out_of_sample,
    perfect,
    tune_plan,
)
from planner.decide.regression_policy import tune_regression
from planner.decide.trigger_rule import tune_rule

TUNERS = (tune_plan, tune_rule, tune_regression)


def futures(gains, well=None, log=None, **more):
    """Futures of lists; nothing is seen where nothing is given."""
    gains = np.asarray(gains, dtype=np.float64)
    nothing = np.zeros((*gains.shape[:2], 1))
    well = nothing if well is None else np.asarray(well, dtype=np.float64)
    log = nothing if log is None else np.asarray(log, dtype=np.float64)
    return Futures(gains, well, log, **more)


def whole(ahead, tune):
    """Mean value of a policy tuned and valued on the same members."""
    return float(tune(ahead)(ahead).value.mean())


def out(ahead, tune, seed=1):
    return out_of_sample(ahead, tune, halves(ahead.members, seed)).value


# --- decision trees in exact fractions


def tree(hit: Fraction, cost: float | None):
    """A zone waters out (chance 3/10) and shutting it then brings 70, else it loses 20; a log says which, rightly with
    chance `hit`. 100 members hold the tree exactly: members of each branch by its probability.
    """
    rows = []
    for wet, says in product((True, False), (True, False)):
        chance = (Fraction(3, 10) if wet else Fraction(7, 10)) * (hit if says == wet else 1 - hit)
        count = chance * 1000
        assert count.denominator == 1
        rows += [(70.0 if wet else -20.0, float(says))] * int(count)
    gains = [[[gain]] for gain, _ in rows]
    seen = [[[says]] for _, says in rows]
    return futures(gains, log=seen, log_cost=None if cost is None else np.array([cost]), watched=(0,))


def by_hand(hit: Fraction, cost: Fraction) -> Fraction:
    """The tree rolled back: the best of acting blind, of nothing, and of a log and the best act on what it says."""
    wet, gain, loss = Fraction(3, 10), Fraction(70), Fraction(-20)
    blind = max(wet * gain + (1 - wet) * loss, Fraction(0))
    says_wet = wet * hit * gain + (1 - wet) * (1 - hit) * loss
    says_dry = wet * (1 - hit) * gain + (1 - wet) * hit * loss
    return max(blind, max(says_wet, Fraction(0)) + max(says_dry, Fraction(0)) - cost)


def test_a_tree_without_a_log_a_perfect_and_an_imperfect_one():
    assert by_hand(Fraction(1), Fraction(0)) == 21 and by_hand(Fraction(1, 2), Fraction(0)) == 7
    assert whole(tree(Fraction(1), None), tune_regression) == pytest.approx(7.0)  # 0.3 x 70 - 0.7 x 20
    assert whole(tree(Fraction(1), 0.0), tune_regression) == pytest.approx(21.0)  # 0.3 x 70
    for hit, cost in product((Fraction(1), Fraction(9, 10), Fraction(7, 10)), (0, 3, 8, 13, 30)):
        expected = float(by_hand(hit, Fraction(cost)))
        assert whole(tree(hit, float(cost)), tune_regression) == pytest.approx(expected), (hit, cost)


def test_a_log_is_run_only_where_it_pays():
    cheap, dear = tree(Fraction(9, 10), 3.0), tree(Fraction(9, 10), 30.0)
    assert tune_regression(cheap)(cheap).logs.sum() == cheap.members
    assert tune_regression(dear)(dear).logs.sum() == 0


# --- full enumeration


def enumerated(ahead: Futures) -> float:
    """The best of all policies that map what is seen on a date to an act, each followed through: brute force."""
    _, dates, actions = ahead.gains.shape
    signs = [sorted(set(ahead.well[:, at, 0])) for at in range(dates)]
    acts = [NEVER, *range(actions)]
    best = -np.inf
    for policy in product(*(product(acts, repeat=len(some)) for some in signs)):
        total = 0.0
        for m in range(ahead.members):
            for at in range(dates):
                act = policy[at][signs[at].index(ahead.well[m, at, 0])]
                if act != NEVER:
                    total += ahead.gains[m, at, act]
                    break
        best = max(best, total / ahead.members)
    return best


@pytest.mark.parametrize("seed", range(6))
def test_the_regression_finds_the_best_policy_of_small_problems(seed):
    """Markov signs, so that the sign of the date is all that matters: every history met with the same weight."""
    rng = np.random.default_rng(seed)
    worth = rng.normal(0.0, 10.0, (3, 2, 2))  # date, sign, action
    signs = np.array(list(product((0.0, 1.0), repeat=3)))
    signs = np.repeat(signs, 4, axis=0)
    luck = np.tile([3.0, -3.0, 9.0, -9.0], 8)  # says nothing about the signs
    gains = np.array([[worth[t, int(s)] for t, s in enumerate(row)] for row in signs]) + luck[:, None, None]
    ahead = futures(gains, well=signs[:, :, None])
    assert whole(ahead, tune_regression) == pytest.approx(enumerated(ahead))


# --- no peeking


def coin(members: int, seed: int, sign: float = 0.0):
    """Zone A or B waters out, by a coin that shows after the only date; shutting the right one brings 10, the wrong one
    loses 10, A one more. sign: how much of the coin is seen beforehand.
    """
    rng = np.random.default_rng(seed)
    right = rng.integers(0, 2, members)
    gains = np.where(right[:, None] == np.arange(2), 10.0, -10.0) + np.array([1.0, 0.0])
    seen = rng.normal(0.0, 1.0, (members, 3))
    seen[:, 0] += sign * right
    return futures(gains[:, None, :], well=seen[:, None, :], log=seen[:, None, :], log_cost=np.array([0.0]),
                   watched=(0, 1), well_watched=(0, 1, 2))  # fmt: skip


def test_nothing_is_gained_from_what_cannot_be_known():
    for seed in range(4):
        ahead = coin(400, seed)
        fixed = out(ahead, tune_plan)
        best, error = mean_and_error(perfect(ahead).value)
        assert best > 9.0
        for tune in (tune_rule, tune_regression):
            gain, error = mean_and_error(out(ahead, tune) - fixed)
            assert gain < 2.5 * error + 1e-9, (seed, tune, gain, error)
            assert out(ahead, tune).mean() < 0.3 * best


def test_a_sign_that_is_there_is_used():
    ahead = coin(400, 1, sign=3.0)
    gain, error = mean_and_error(out(ahead, tune_regression) - out(ahead, tune_plan))
    assert gain > 5.0 * error > 0.0
    assert perfect(ahead).value.mean() > out(ahead, tune_regression).mean()  # each by itself overstates the option


def test_an_act_does_not_depend_on_what_comes_later():
    """What is seen on later dates, and what comes of it all, is changed: the acts up to then stay the same."""
    rng = np.random.default_rng(3)
    well, log = rng.normal(size=(60, 4, 2)), rng.normal(size=(60, 4, 2))
    gains = rng.normal(size=(60, 4, 2)) + 3.0 * well[:, :, :2]
    ahead = futures(gains, well, log, log_cost=np.full(4, 0.1), watched=(0, 1))
    for tune in TUNERS:
        policy = tune(ahead)
        before = policy(ahead)
        for cut in range(4):
            later = futures(-gains, well.copy(), log.copy(), log_cost=ahead.log_cost, watched=(0, 1))
            later.well[:, cut + 1 :] = 7.0
            later.log[:, cut + 1 :] = -7.0
            after = policy(later)
            early = (before.date != NEVER) & (before.date <= cut)
            assert (after.date[early] == before.date[early]).all()
            assert (after.action[early] == before.action[early]).all()
            assert not ((after.date != NEVER) & (after.date <= cut) & ~early).any()


# --- known values


def test_a_blank_above_a_zone_that_is_sure_to_water_out_is_worth_the_oil_it_saves():
    """Shutting the wet zone in year 5 frees 1,000 m3 of oil a year of the other for five years, for 300,000.

    Both zones are open to the program; every member alike, so no policy can do better or worse: to the cent.
    """
    rate = 0.1
    saved = sum(1_000.0 * 400.0 / (1.0 + rate) ** year for year in range(6, 11)) - 300_000.0 / (1.0 + rate) ** 5
    dates = [1, 3, 5, 8]
    gain = []
    for day in dates:
        rest = sum(1_000.0 * 400.0 / (1.0 + rate) ** year for year in range(max(day, 5) + 1, 11))
        early = sum(2_000.0 * 400.0 / (1.0 + rate) ** year for year in range(day + 1, 6))  # dry oil of that zone lost
        gain.append([rest - early - 300_000.0 / (1.0 + rate) ** day, -50_000.0])
    wet = np.arange(4.0)[None, :, None] >= 2.0
    ahead = futures([gain] * 20, well=np.repeat(wet, 20, axis=0))
    for tune in TUNERS:
        played = out_of_sample(ahead, tune, halves(20, 1))
        assert (played.date == 2).all() and (played.action == 0).all()
        assert mean_and_error(played.value) == (pytest.approx(saved, abs=0.005), pytest.approx(0.0, abs=1e-6))
        without = out_of_sample(ahead.only([1]), tune, halves(20, 1))
        assert (without.value == 0.0).all()
    assert perfect(ahead).value.mean() == pytest.approx(saved, abs=0.005)


def test_where_acting_never_pays_everything_is_worth_nothing():
    rng = np.random.default_rng(1)
    ahead = futures(-rng.random((50, 3, 2)), well=rng.random((50, 3, 2)))
    for policy in (idle, perfect):
        assert (policy(ahead).value == 0.0).all() and (policy(ahead).date == NEVER).all()
    for tune in TUNERS:
        assert (out(ahead, tune) == 0.0).all()
    assert (perfect(ahead.only([])).value == 0.0).all() and whole(ahead.only([]), tune_regression) == 0.0


# --- order


@pytest.mark.parametrize("seed", range(8))
def test_policies_on_their_own_members_stand_in_order(seed):
    """None <= plan <= rule <= perfect, since each holds the one before; the regression stays below perfect."""
    rng = np.random.default_rng(seed)
    well = rng.normal(size=(40, 3, 2))
    gains = rng.normal(-0.5, 2.0, (40, 3, 3)) + well[:, :, :1]
    ahead = futures(gains, well, well, log_cost=np.full(3, 0.2), watched=(0, 1, 0), well_watched=(0, 1))
    values = [0.0, *(whole(ahead, tune) for tune in (tune_plan, tune_rule)), float(perfect(ahead).value.mean())]
    assert values == sorted(values)
    assert whole(ahead, tune_regression) <= values[-1]
    fewer = ahead.only([0, 2])
    for tune in (tune_plan, tune_rule):
        assert whole(fewer, tune) <= whole(ahead, tune)
    assert (perfect(fewer).value <= perfect(ahead).value).all()


def test_the_rule_counts_its_logs():
    """A log on every date of its time until it acts: the sign comes on the second or third date, logs cost 1, 2, 4."""
    signs = [[0.0, 1.0, 1.0]] * 10 + [[0.0, 0.0, 1.0]] * 10 + [[0.0, 0.0, 0.0]] * 10
    sign = np.array(signs)[:, :, None]
    gains = np.where(sign > 0.5, np.array([100.0, 100.0, 90.0])[:, None], -100.0)
    ahead = futures(gains, log=sign, log_cost=np.array([1.0, 2.0, 4.0]), watched=(0,))
    played = tune_rule(ahead)(ahead)
    assert played.value[:10] == pytest.approx(100.0 - 2.0) and played.value[10:20] == pytest.approx(90.0 - 6.0)
    assert played.value[20:] == pytest.approx(-6.0)
    assert (played.logs == [1] * 10 + [2] * 20).all()  # none on the first date, where nothing can be seen


def test_a_rule_stops_where_acting_no_longer_pays():
    """The sign pays on the first date and costs on the second, where it comes to half of the rest."""
    sign = np.array([[1.0, 1.0]] * 10 + [[0.0, 1.0]] * 10 + [[0.0, 0.0]] * 10)[:, :, None]
    gains = np.where(sign > 0.5, np.array([50.0, -80.0])[:, None], -100.0)
    ahead = futures(gains, well=sign)
    assert whole(ahead, tune_rule) == pytest.approx(50.0 / 3.0)


def test_values_are_stable_under_another_seed():
    found = [mean_and_error(out(coin(300, seed, sign=2.0), tune_regression, seed)) for seed in (1, 2, 3)]
    for (a, of_a), (b, of_b) in ((found[0], found[1]), (found[1], found[2])):
        assert abs(a - b) < 3.0 * np.hypot(of_a, of_b)


# --- jobs that may fail


def risky(gain: Fraction, loss: Fraction, chance: Fraction, failure: Fraction, hit: Fraction):
    """The tree above with a job that succeeds by chance; one that fails costs `failure`, wet or dry."""
    rows = []
    for wet, says in product((True, False), (True, False)):
        weight = (Fraction(3, 10) if wet else Fraction(7, 10)) * (hit if says == wet else 1 - hit) * 1000
        assert weight.denominator == 1
        rows += [(float(gain if wet else loss), float(says))] * int(weight)
    return futures(
        [[[value]] for value, _ in rows], log=[[[says]] for _, says in rows], log_cost=np.array([3.0]), watched=(0,),
        chance=np.array([float(chance)]), failed=np.full((len(rows), 1, 1), float(failure)),
    )  # fmt: skip


@pytest.mark.parametrize("chance", [Fraction(1), Fraction(9, 10), Fraction(3, 5), Fraction(1, 5)])
def test_a_tree_with_a_job_that_may_fail(chance):
    """Rolled back in exact fractions: the luck of the job comes after the decision, whatever the log says."""
    gain, loss, failure, hit, log = Fraction(70), Fraction(-20), Fraction(-8), Fraction(9, 10), Fraction(3)
    wet, dry = (chance * one + (1 - chance) * failure for one in (gain, loss))
    p = Fraction(3, 10)
    says_wet = p * hit * wet + (1 - p) * (1 - hit) * dry
    says_dry = p * (1 - hit) * wet + (1 - p) * hit * dry
    blind = max(p * wet + (1 - p) * dry, Fraction(0))
    expected = max(blind, max(says_wet, Fraction(0)) + max(says_dry, Fraction(0)) - log)
    ahead = risky(gain, loss, chance, failure, hit)
    assert whole(ahead, tune_regression) == pytest.approx(float(expected), abs=1e-9)
    assert whole(ahead, tune_plan) == pytest.approx(float(blind), abs=1e-9)
    # whoever knows rock and luck acts where it is wet and the job will succeed, and nowhere else
    assert perfect(ahead).value.mean() == pytest.approx(float(p * chance * gain), abs=1e-9)


def test_perfect_information_over_several_jobs_is_an_enumeration_of_their_luck():
    """All outcomes of three jobs, two of which hang on one draw: the best of each, weighted by its probability."""
    rng = np.random.default_rng(5)
    gains, failed = rng.normal(0.0, 10.0, (12, 2, 3)), rng.normal(-2.0, 3.0, (12, 2, 3))
    chance, luck = np.array([0.7, 0.4, 0.7]), (0, 1, 0)
    ahead = futures(gains, chance=chance, failed=failed, luck=luck)
    expected = np.zeros(12)
    for first, second in product((True, False), repeat=2):
        outcome = np.array([first, second, first])
        weight = (0.7 if first else 0.3) * (0.4 if second else 0.6)
        best = np.where(outcome, gains, failed).max(axis=(1, 2))
        expected += weight * np.maximum(best, 0.0)
    assert perfect(ahead).value == pytest.approx(expected)
    assert (perfect(ahead.only([0, 1])).value <= perfect(ahead).value + 1e-12).all()


def test_nobody_foresees_the_luck_of_a_job():
    """What a failure brings is changed: where its mean stays, what is done and its value stay, but for perfect."""
    rng = np.random.default_rng(2)
    well = rng.normal(size=(60, 2, 1))
    gains = 5.0 * well + rng.normal(size=(60, 2, 1))
    half = np.array([0.5])
    one = futures(gains - 4.0, well, chance=half, failed=np.zeros((60, 2, 1)))
    other = futures(gains, well, chance=half, failed=np.full((60, 2, 1), -4.0))
    for tune in TUNERS:
        assert out(one, tune) == pytest.approx(out(other, tune))
    assert perfect(other).value.mean() > perfect(one).value.mean() + 0.1


# --- standard errors


def test_standard_errors_tell_how_far_new_seeds_scatter():
    """60 ensembles of their own: the scatter of the mean is that of the standard errors told."""
    found = []
    for seed in range(60):
        ahead = coin(120, seed, sign=1.5)
        parts = [halves(120, 10 * seed + k) for k in range(4)]
        values = np.array([out_of_sample(ahead, tune_regression, part).value for part in parts])
        found.append(mean_and_error(values))
    means, errors = np.array(found).T
    assert 0.75 < np.sqrt(np.mean(errors**2)) / means.std(ddof=1) < 1.5

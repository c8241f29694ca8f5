"""Money against streams whose answers follow exactly from the definitions of discounting and of the rate of return."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.decide.jobs import Job
from planner.decide.money import cash_flow
from planner.decide.months import month_ends
from planner.decide.value import difference, figures, net_present_value, payback_years, rate_of_return
from tests.unit.synthetic import END, START, made_case, made_forecast


def stream(months: int, **cash: float) -> np.ndarray:
    """Cash by month number from 1, written m1=..., m24=..."""
    net = np.zeros(months)
    for month, value in cash.items():
        net[int(month[1:]) - 1] = value
    return net


def test_npv_of_payments_at_whole_years_is_the_sum_of_yearly_discounts():
    """Effective yearly rate: 110 after one year and 121 after two are worth 100 each at 10 %."""
    assert net_present_value(stream(24, m12=110.0, m24=121.0), 0.1) == pytest.approx(200.0, rel=1e-14)


def test_npv_of_a_monthly_annuity():
    """Geometric series: sum of v^k, k = 1..n, is v (1 - v^n) / (1 - v) with v = 1.1^(-1/12)."""
    v = 1.1 ** (-1.0 / 12.0)
    assert net_present_value(np.ones(240), 0.1) == pytest.approx(v * (1 - v**240) / (1 - v), rel=1e-13)


def test_npv_at_no_discount_is_the_sum():
    assert net_present_value(np.array([1.5, -2.0, 4.25]), 0.0) == 3.75


def test_rate_of_return_of_one_payment_back_after_a_year():
    """-100, then 125 twelve months later: 25 % a year, whenever it begins."""
    assert rate_of_return(stream(40, m3=-100.0, m15=125.0)) == pytest.approx(0.25, abs=1e-10)


def test_rate_of_return_of_two_payments():
    """-100, then 60 and 72 a year apart: 100 x^2 = 60 x + 72, x = 1 + i = (3 + sqrt(81)) / 10 = 6/5."""
    root = (Fraction(60) + Fraction(180)) / 200
    assert rate_of_return(stream(25, m1=-100.0, m13=60.0, m25=72.0)) == pytest.approx(float(root) - 1.0, abs=1e-10)


def test_a_stream_with_two_rates_of_return_gives_none():
    """-100 + 230 / x - 132 / x^2 is nought at x = 1.1 and at x = 1.2: there is no single answer."""
    assert math.isnan(rate_of_return(stream(25, m1=-100.0, m13=230.0, m25=-132.0)))


@pytest.mark.parametrize("net", [np.zeros(5), np.ones(5), -np.ones(5), np.zeros(0)])
def test_a_stream_of_one_sign_has_no_rate_of_return(net):
    assert math.isnan(rate_of_return(net))


@settings(deadline=None)
@given(st.floats(-0.5, 5.0), st.integers(1, 120))
def test_npv_at_the_rate_of_return_is_nought(rate, months):
    net = stream(months + 1, m1=-100.0)
    net[months] = 100.0 * (1.0 + rate) ** (months / 12.0)
    assert abs(net_present_value(net, rate_of_return(net))) < 1e-6 * 100.0


def test_payback_counts_from_the_first_outlay_and_runs_straight_inside_a_month():
    """-120 at month 2, then 30 a month: 4 months; with 48 a month 2.5 months."""
    assert payback_years(np.array([0.0, -120.0, 30.0, 30.0, 30.0, 30.0])) == pytest.approx(4.0 / 12.0)
    assert payback_years(np.array([0.0, -120.0, 48.0, 48.0, 48.0])) == pytest.approx(2.5 / 12.0)


def test_payback_of_what_never_pays_back_and_of_what_never_costs():
    assert math.isnan(payback_years(np.array([-10.0, 3.0, 3.0])))
    assert payback_years(np.array([5.0, -3.0, 3.0])) == 0.0


def test_what_is_earned_and_lost_again_has_not_paid_back():
    """-10, +15, -10, +8: above nought after one month, below again, above for good 5/8 into the fourth month."""
    assert payback_years(np.array([-10.0, 15.0, -10.0, 8.0])) == pytest.approx((2.0 + 5.0 / 8.0) / 12.0)
    assert math.isnan(payback_years(np.array([-10.0, 15.0, -10.0])))


def test_a_loan_has_no_rate_of_return():
    """+100 now, -125 a year later: the one root is what the money costs, not what it earns."""
    assert math.isnan(rate_of_return(stream(13, m1=100.0, m13=-125.0)))


def test_month_ends_keep_to_the_day_of_the_month_and_cover_the_end():
    assert [str(day) for day in month_ends(date(2031, 11, 30), date(2032, 3, 1))] == [
        "2031-12-30", "2032-01-30", "2032-02-29", "2032-03-30",
    ]  # fmt: skip
    assert [str(day) for day in month_ends(date(2030, 1, 31), date(2030, 2, 28))] == ["2030-02-28"]


def test_cash_of_each_month_is_days_times_rate_times_price():
    """40 m3/d of oil at 400, 10 m3/d of water at 10, 10 000 a month: January 31, February 28 days."""
    flow = cash_flow(made_forecast(), made_case().economics)
    assert len(flow.net) == 24
    assert flow.revenue[:2] == pytest.approx([31 * 16_000.0, 28 * 16_000.0])
    assert flow.water_cost[:2] == pytest.approx([3_100.0, 2_800.0])
    assert flow.operating_cost == pytest.approx(np.full(24, 10_000.0))
    assert flow.net[0] == pytest.approx(31 * 16_000.0 - 3_100.0 - 10_000.0)


def test_royalty_comes_off_revenue_and_tax_off_what_is_left_with_relief_for_losses():
    case = made_case(economics={"oil_price": "100 1/m^3", "royalty": 0.125, "tax": 0.4, "operating_cost": 12e6})
    flow = cash_flow(made_forecast(), case.economics)
    revenue = 31 * 4_000.0
    assert flow.royalty[0] == pytest.approx(revenue / 8)
    assert flow.tax[0] == pytest.approx(0.4 * (revenue * 7 / 8 - 1e6))
    assert flow.net[0] == pytest.approx(0.6 * (revenue * 7 / 8 - 1e6))


def test_operating_cost_ends_with_the_last_flow():
    case, day = made_case(), date(2030, 2, 15)
    forecast = made_forecast(shut="upper", on=day, step=1)
    alone = forecast.well | {name: forecast.zone[name][:, 0] for name in ("oil_volume", "water_volume", "gas_volume")}
    dead = type(forecast)(**{**vars(forecast), "well": alone})
    flow = cash_flow(dead, case.economics)
    assert flow.operating_cost[:3] == pytest.approx([10_000.0, 10_000.0 * 14 / 28, 0.0])


def test_a_job_is_paid_in_the_month_in_which_it_is_done():
    jobs = (Job("set plug", date(2030, 3, 10), 7.0), Job("set plug", date(2033, 1, 1), 99.0))
    flow = cash_flow(made_forecast(), made_case().economics, jobs)
    assert flow.job_cost.nonzero()[0].tolist() == [2]
    assert flow.job_cost.sum() == 7.0


def test_an_injector_earns_nothing_and_pays_for_its_water():
    case = made_case(economics={"oil_price": "400 1/m^3", "water_cost": "10 1/m^3", "injection_cost": "2 1/m^3"})
    forecast = made_forecast()
    told = type(forecast.description)(**{**vars(forecast.description), "kind": "water injector"})
    flow = cash_flow(type(forecast)(**{**vars(forecast), "description": told}), case.economics)
    assert flow.revenue.sum() == 0.0 and flow.water_cost.sum() == 0.0
    assert flow.injection_cost.sum() == pytest.approx(2.0 * 10.0 * (END - START).days)


def test_difference_to_the_base_is_the_lost_oil_the_saved_water_and_the_job():
    """Shutting the lower zone for 2031 loses 365 x 10 m3 of oil and of water, and costs a job at the year's turn."""
    case = made_case()
    base = cash_flow(made_forecast(), case.economics)
    shut = cash_flow(
        made_forecast("shut lower", "lower"), case.economics, (Job("shut zone", date(2031, 1, 1), 500_000.0),)
    )
    assert difference(shut, base).sum() == pytest.approx(365 * 10 * (10.0 - 400.0) - 500_000.0)
    found = figures(shut, base, 0.1)
    assert found["npv_against_base"] == pytest.approx(found["npv"] - figures(base, base, 0.1)["npv"], rel=1e-12)
    assert found["job_cost"] == 500_000.0
    assert math.isnan(found["payback_years_against_base"]) and math.isnan(found["rate_of_return_against_base"])


def test_the_base_against_itself_is_nought():
    base = cash_flow(made_forecast(), made_case().economics)
    found = figures(base, base, 0.1)
    assert found["npv_against_base"] == 0.0
    assert math.isnan(found["payback_years_against_base"])


def test_without_an_outlay_there_is_no_payback_and_no_rate_of_return():
    """More oil for nothing: a gain in value, but nothing was invested."""
    case = made_case()
    base = cash_flow(made_forecast("less", "lower"), case.economics)
    found = figures(cash_flow(made_forecast(), case.economics), base, 0.1)
    assert found["npv_against_base"] > 0.0
    assert math.isnan(found["rate_of_return_against_base"]) and math.isnan(found["payback_years_against_base"])


def test_a_job_that_pays_has_both():
    """The same gain of 10 m3/d of oil less its water, for a job at the start of 2031."""
    case = made_case()
    base = cash_flow(made_forecast("less", "lower"), case.economics)
    jobs = (Job("open zone", date(2031, 1, 1), 300_000.0),)
    found = figures(cash_flow(made_forecast(), case.economics, jobs), base, 0.1)
    gain = 10.0 * 390.0
    assert found["payback_years_against_base"] == pytest.approx((2 + (300e3 - 59 * gain) / (31 * gain)) / 12)
    assert found["rate_of_return_against_base"] > 1.0

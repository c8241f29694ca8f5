"""Net present value and rate of return against published worked values, at the end and in the middle of the year."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest

from planner.decide.months import month_ends, years_between, years_to_cash
from planner.decide.value import net_present_value, rate_of_return, rate_of_return_told


def yearly(*cash: float) -> np.ndarray:
    """Cash in the last month of year 0, 1, 2 ...; the first is the month that the others are counted from."""
    net = np.zeros(12 * (len(cash) - 1) + 1)
    net[::12] = cash
    return net


@pytest.mark.parametrize(
    ("cash", "rate", "digits"),
    [
        # worked examples in the documentation of the irr function of numpy-financial, from memory
        ((-100, 39, 59, 55, 20), 0.28095, 5),
        ((-100, 0, 0, 74), -0.0955, 4),
        ((-100, 100, 0, -7), math.nan, 4),  # two sign changes: it prints one of the two roots; here there is none
        ((-5, 10.5, 1, -8, 1), math.nan, 4),  # the same: three sign changes
    ],
)
def test_rate_of_return_of_worked_examples(cash, rate, digits):
    found = rate_of_return(yearly(*cash))
    assert found == pytest.approx(rate, abs=0.5 * 10**-digits, nan_ok=True)


def test_a_stream_with_several_rates_names_them():
    told = rate_of_return_told(yearly(-100.0, 100.0, 0.0, -7.0))
    assert math.isnan(told.rate)
    # x^3 - x^2 + 0.07 = 0 with x = 1 + i: both roots that the sentence names are roots of that polynomial
    roots = [root.real - 1.0 for root in np.roots([-100.0, 100.0, 0.0, -7.0]) if root.real > 0.0]
    assert len(roots) == 2
    for root in roots:
        assert f"{root:.3g}" in told.why_none


def test_net_present_value_of_a_worked_example():
    """-40 000, then 5 000, 8 000, 12 000, 30 000 at 8 %: 3 065.22 (documentation of numpy-financial, from memory)."""
    net = yearly(-40_000.0, 5_000.0, 8_000.0, 12_000.0, 30_000.0)
    years = np.arange(len(net)) / 12.0
    assert net_present_value(net, 0.08, years) == pytest.approx(3065.22, abs=0.005)


def test_end_of_year_is_the_closed_form_of_an_annuity():
    """100 a month: 1200 at the end of each of 5 years, 1200 (1 - v^5) / i with v = 1 / (1 + i)."""
    ends = month_ends(date(2030, 1, 1), date(2035, 1, 1))
    years = years_to_cash(ends, date(2030, 1, 1), date(2030, 1, 1), "end of year")
    wanted = 1200.0 * (1.0 - 1.1**-5) / 0.1
    assert net_present_value(np.full(60, 100.0), 0.1, years) == pytest.approx(wanted, rel=1e-13)


def test_mid_year_is_worth_half_a_year_more():
    """The same annuity half a year earlier: times (1 + i)^(1/2)."""
    ends = month_ends(date(2030, 1, 1), date(2035, 1, 1))
    years = years_to_cash(ends, date(2030, 1, 1), date(2030, 1, 1), "mid-year")
    wanted = 1200.0 * (1.0 - 1.1**-5) / 0.1 * 1.1**0.5
    assert net_present_value(np.full(60, 100.0), 0.1, years) == pytest.approx(wanted, rel=1e-13)


def test_mid_month_is_worth_half_a_month_more_than_end_of_month():
    ends = month_ends(date(2030, 1, 1), date(2032, 1, 1))
    values = [
        net_present_value(np.ones(24), 0.1, years_to_cash(ends, date(2030, 1, 1), date(2030, 1, 1), rule))
        for rule in ("end of month", "mid-month")
    ]
    assert values[1] == pytest.approx(values[0] * 1.1 ** (1.0 / 24.0), rel=1e-13)


def test_another_reference_date_moves_the_whole_value():
    """Two years before the start: worth 1.1^-2; one year after it: worth 1.1."""
    ends = month_ends(date(2030, 1, 1), date(2032, 1, 1))

    def value(reference: date, rule: str) -> float:
        return net_present_value(np.ones(24), 0.1, years_to_cash(ends, date(2030, 1, 1), reference, rule))

    for rule in ("end of month", "mid-month", "end of year", "mid-year"):
        now = value(date(2030, 1, 1), rule)
        assert value(date(2028, 1, 1), rule) == pytest.approx(now / 1.21, rel=1e-13)
        assert value(date(2031, 1, 1), rule) == pytest.approx(now * 1.1, rel=1e-13)


def test_years_between_counts_days_as_a_share_of_their_month():
    assert years_between(date(2030, 1, 1), date(2031, 7, 1)) == pytest.approx(1.5)
    assert years_between(date(2030, 2, 15), date(2030, 2, 1)) == pytest.approx(-0.5 / 12.0)

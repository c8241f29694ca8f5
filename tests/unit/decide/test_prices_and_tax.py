"""Price decks, escalation, costs, capital and tax against sums made by hand."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from planner.decide.break_even import break_even_price, value_at_price
from planner.decide.capital import cost_of_string
from planner.decide.jobs import Job
from planner.decide.money import cash_flow
from planner.decide.months import month_ends
from planner.decide.tax import tax_of
from planner.decide.value import break_even_date, figures, net_present_value
from planner.model.economics import Economics
from tests.unit.synthetic import made_case, made_forecast

OIL = 40.0  # m3/d of the made-up well


def economics(**given: object) -> Economics:
    return Economics.model_validate({"oil_price": "400 1/m^3", **given})


def test_the_deck_holds_from_its_dates_on():
    """400 until 2030-07, 500 until 2031, then 300; the middle of the month decides."""
    deck = [{"date": "2030-07-01", "oil_price": "500 1/m^3"}, {"date": "2031-01-01", "oil_price": "300 1/m^3"}]
    flow = cash_flow(made_forecast(), economics(prices=deck))
    days = {0: (31, 400.0), 5: (30, 400.0), 6: (31, 500.0), 11: (31, 500.0), 12: (31, 300.0), 23: (31, 300.0)}
    for month, (length, price) in days.items():
        assert flow.revenue[month] == pytest.approx(length * OIL * price), month


def test_a_row_without_a_price_leaves_that_price():
    deck = [{"date": "2031-01-01", "gas_price": "0.2 1/m^3"}]
    flow = cash_flow(made_forecast(), economics(prices=deck))
    assert flow.revenue[11] == pytest.approx(31 * OIL * 400.0)
    assert flow.revenue[12] == pytest.approx(31 * (OIL * 400.0 + 4000.0 * 0.2))


def test_prices_and_costs_escalate_from_the_reference_date():
    """Month k's middle is (k + 1/2) / 12 years from the start, and two years more from 2028."""
    given = {"price_escalation": 0.05, "cost_escalation": 0.03, "operating_cost": 120_000, "oil_cost": "5 1/m^3"}
    flow = cash_flow(made_forecast(), economics(**given))
    assert flow.revenue[6] == pytest.approx(31 * OIL * 400.0 * 1.05 ** (6.5 / 12))
    assert flow.operating_cost[6] == pytest.approx(10_000.0 * 1.03 ** (6.5 / 12))
    assert flow.handling_cost[6] == pytest.approx(31 * OIL * 5.0 * 1.03 ** (6.5 / 12))
    later = cash_flow(made_forecast(), economics(reference_date="2028-01-01", **given))
    assert later.revenue[6] == pytest.approx(flow.revenue[6] * 1.05**2)


def test_losses_carried_forward_by_hand():
    """Losses of 100 and 20, then incomes of 50, 100, 40: taxed on 30 and 40 at 0.25, each in December."""
    ends = month_ends(date(2030, 1, 1), date(2035, 1, 1))
    taxable = np.zeros(60)
    taxable[[3, 14, 25, 40, 50]] = [-100.0, -20.0, 50.0, 100.0, 40.0]
    tax = tax_of(taxable, ends, economics(tax=0.25, losses="carried forward"))
    wanted = np.zeros(60)
    wanted[47], wanted[59] = 0.25 * 30.0, 0.25 * 40.0
    assert tax == pytest.approx(wanted)


def test_losses_left_at_the_end_are_lost_and_a_year_nets_its_own_months():
    ends = month_ends(date(2030, 1, 1), date(2032, 1, 1))
    taxable = np.zeros(24)
    taxable[[0, 6, 20]] = [-30.0, 50.0, -99.0]
    tax = tax_of(taxable, ends, economics(tax=0.5, losses="carried forward"))
    assert tax.sum() == pytest.approx(0.5 * 20.0)
    assert tax[11] == pytest.approx(10.0)


def test_tax_years_are_calendar_years_wherever_the_stream_starts():
    """From October: three months of the first year, then twelve, and the tax of the first year falls in December."""
    ends = month_ends(date(2030, 10, 1), date(2032, 1, 1))
    tax = tax_of(np.ones(15), ends, economics(tax=0.5, losses="carried forward"))
    assert np.flatnonzero(tax).tolist() == [2, 14]
    assert tax[[2, 14]] == pytest.approx([1.5, 6.0])


def test_relief_and_carry_forward_agree_where_no_year_loses():
    """The same tax in the sum; only its month differs."""
    relief, carried = (
        cash_flow(made_forecast(), economics(tax=0.3, losses=rule)) for rule in ("relief", "carried forward")
    )
    assert carried.tax.sum() == pytest.approx(relief.tax.sum(), rel=1e-12)


def test_gas_injectors_pay_for_their_gas():
    forecast = made_forecast()
    told = type(forecast.description)(**{**vars(forecast.description), "kind": "gas injector"})
    flow = cash_flow(
        type(forecast)(**{**vars(forecast), "description": told}), economics(gas_injection_cost="0.1 1/m^3")
    )
    assert flow.injection_cost[0] == pytest.approx(31 * 4000.0 * 0.1)
    assert flow.revenue.sum() == 0.0


def test_the_string_costs_its_elements_by_joints_and_its_rig_by_time():
    """A screen of 40 m: 4 joints of 12 m at 1000 each and 40 m at 200; 40 m run at 100 m/h and expanded at 20 m/h."""
    terms = {
        "each": 1000, "per_length": "200 1/m", "joint_length": "12 m", "running_speed": "100 m/hour",
        "expansion_speed": "20 m/hour", "rig_time": "0.5 hour",
    }  # fmt: skip
    given = economics(elements={"screen": terms}, rig_rate="24000 1/day", rig_time="10 hour")
    found = cost_of_string(given, made_case().string)
    assert found.elements == pytest.approx(4 * 1000.0 + 40 * 200.0)
    assert found.rig_time == pytest.approx(3600.0 * (10.0 + 4 * 0.5 + 0.4 + 2.0))
    assert found.rig == pytest.approx(1000.0 * 14.4)
    flow = cash_flow(made_forecast(), given, (), found.total)
    assert flow.capital_cost.nonzero()[0].tolist() == [0]
    assert flow.net[0] == pytest.approx(31 * OIL * 400.0 - found.total)


def test_a_screen_has_the_terms_of_its_own_kind_first():
    given = economics(elements={"screen": {"each": 1}, "gravel pack screen": {"each": 2}})
    assert given.terms_of("screen", "conforming").each == 1.0
    assert given.terms_of("screen", "gravel pack").each == 2.0
    assert given.terms_of("plug").each == 0.0


@pytest.mark.parametrize("losses", ["relief", "carried forward"])
def test_at_the_break_even_price_the_value_is_nought(losses):
    given = economics(operating_cost=2e6, tax=0.4, royalty=0.1, losses=losses, price_escalation=0.02)
    flow = cash_flow(made_forecast(), given)
    price = break_even_price(flow, given, "oil")
    again = given.model_copy(update={"oil_price": price})
    value = figures(cash_flow(made_forecast(), again), flow, 0.1)["npv"]
    assert abs(value) < 1e-6 * 2e6
    assert value_at_price(flow, given, "oil", 400.0) == pytest.approx(net_present_value(flow.net, 0.1, flow.years))


def test_break_even_price_by_hand():
    """40 m3 a day balance 10 000 a month at the price that is their ratio."""
    given = economics(operating_cost=120_000, discount_rate=0.0)
    price = break_even_price(cash_flow(made_forecast(), given), given, "oil")
    assert price == pytest.approx(240_000.0 / (OIL * 730), rel=1e-12)


def test_no_price_breaks_even_where_nothing_is_spent():
    given = economics()
    assert np.isnan(break_even_price(cash_flow(made_forecast(), given), given, "gas"))


def test_the_date_on_which_a_job_has_paid_for_itself():
    """300 000 in January 2031 against 3 900 a day: back after 77 days, in March."""
    case = made_case()
    base = cash_flow(made_forecast("less", "lower"), case.economics)
    flow = cash_flow(made_forecast(), case.economics, (Job("open zone", date(2031, 1, 15), 300_000.0),))
    assert break_even_date(flow, base) == "2031-04-01"
    assert break_even_date(base, base) == ""


LATER = [{"date": "2031-01-01", "oil_price": "1 1/m^3"}]  # 40 m3 a day against 10 000 a month: a loss from then on


def test_at_its_economic_limit_the_well_is_given_up():
    """Twelve months of 400 a m3 less 10 000 a month, then nothing; without the limit twelve months of loss follow."""
    given = economics(operating_cost=120_000, prices=LATER, economic_limit=True)
    flow = cash_flow(made_forecast(), given)
    assert flow.given_up == "2031-01-01"
    assert flow.net.sum() == pytest.approx(365 * OIL * 400.0 - 120_000.0)
    assert flow.net[12:].tolist() == [0.0] * 12 and flow.zones.oil_volume[12:].sum() == 0.0
    on = cash_flow(made_forecast(), given.model_copy(update={"economic_limit": False}))
    assert on.given_up == "" and on.net.sum() == pytest.approx(flow.net.sum() + 365 * OIL * 1.0 - 120_000.0)


def test_a_bad_year_before_good_ones_does_not_end_the_well():
    """Prices fall in the second half of 2030 and rise in 2031: the sum to the end is the most, so it goes on."""
    deck = [{"date": "2030-07-01", "oil_price": "1 1/m^3"}, {"date": "2031-01-01", "oil_price": "400 1/m^3"}]
    flow = cash_flow(made_forecast(), economics(operating_cost=120_000, prices=deck, economic_limit=True))
    assert flow.given_up == "" and (flow.net[6:12] < 0.0).all() and flow.net[-1] > 0.0


def test_no_job_is_cut_off_by_the_economic_limit():
    jobs = (Job("shut zone", date(2031, 6, 10), 5.0),)
    flow = cash_flow(made_forecast(), economics(operating_cost=120_000, prices=LATER, economic_limit=True), jobs)
    assert flow.given_up == "2031-07-01" and flow.job_cost.sum() == 5.0


def test_tax_falls_on_what_is_earned_until_the_well_is_given_up():
    given = economics(operating_cost=120_000, prices=LATER, economic_limit=True, tax=0.4, losses="carried forward")
    flow = cash_flow(made_forecast(), given)
    assert flow.tax.sum() == pytest.approx(0.4 * (365 * OIL * 400.0 - 120_000.0))

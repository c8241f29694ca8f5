"""The bars of a waterfall add up to the difference in value, whatever the deck, the tax and the dates."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.decide.jobs import Job
from planner.decide.money import cash_flow
from planner.decide.value import net_present_value
from planner.decide.waterfall import Waterfall, waterfall
from planner.model.economics import Economics
from planner.report.frames import Style
from planner.report.money_figures import shortened, waterfall_figure
from tests.unit.synthetic import made_forecast


def economics(**given: object) -> Economics:
    return Economics.model_validate({"oil_price": "400 1/m^3", "water_cost": "10 1/m^3", **given})


def bars(found: Waterfall) -> dict[tuple[str, str], float]:
    return {(bar.cause, bar.zone): bar.value for bar in found.bars}


@settings(deadline=None, max_examples=40)
@given(
    st.sampled_from(["relief", "carried forward"]),
    st.sampled_from(["end of month", "mid-month", "end of year", "mid-year"]),
    st.floats(0.0, 0.3),
    st.floats(0.0, 0.9),
    st.floats(-0.1, 0.1),
    st.floats(0.0, 5e6),
)
def test_it_adds_up(losses, discounting, rate, tax, escalation, cost):
    deck = [{"date": "2030-09-01", "oil_price": "700 1/m^3", "gas_price": "0.1 1/m^3"}]
    given = economics(
        prices=deck, losses=losses, discounting=discounting, tax=tax, royalty=0.2, price_escalation=escalation,
        operating_cost=1e6, oil_cost="7 1/m^3",
    )  # fmt: skip
    first = cash_flow(made_forecast(), given)
    second = cash_flow(made_forecast("shut", "lower"), given, (Job("shut zone", date(2031, 1, 1), cost),), 3e5)
    found = waterfall(first, second, rate)
    values = [net_present_value(flow.net, rate, flow.years) for flow in (first, second)]
    assert (found.first_value, found.second_value) == pytest.approx(values, rel=1e-12)
    assert abs(found.unexplained) <= 1e-7 * max(abs(bar.value) for bar in found.bars)
    assert sum(value for _, value in shortened(found)) == pytest.approx(
        values[1] - values[0], abs=1e-6 * abs(values[0])
    )


def test_without_discount_and_deck_all_is_volume_water_and_job():
    """The lower zone shut for 2031: 365 x 10 m3 of oil at 400 and of water at 10; nothing is price or timing."""
    given = economics(discount_rate=0.0)
    first = cash_flow(made_forecast(), given)
    second = cash_flow(made_forecast("shut", "lower"), given, (Job("shut zone", date(2031, 1, 1), 5e5),))
    found = bars(waterfall(first, second, 0.0))
    assert found[("oil", "lower")] == pytest.approx(-365 * 10 * 400.0)
    assert found[("water handled", "lower")] == pytest.approx(365 * 10 * 10.0)
    assert found[("job cost", "")] == pytest.approx(-5e5)
    assert all(abs(value) < 1e-3 for key, value in found.items() if key not in
               {("oil", "lower"), ("water handled", "lower"), ("job cost", "")})  # fmt: skip


def test_the_same_volume_at_another_price_is_price_alone():
    """A what-if under other prices: 400 to 500 on the same volumes, 730 days of 30 and 10 m3."""
    first, second = (
        cash_flow(made_forecast(), economics(oil_price=f"{price} 1/m^3", discount_rate=0.0)) for price in (400, 500)
    )
    found = bars(waterfall(first, second, 0.0))
    assert found == pytest.approx({("oil price", "upper"): 730 * 30 * 100.0, ("oil price", "lower"): 730 * 10 * 100.0})


def test_the_same_volume_at_another_discount_rate_is_timing_alone():
    flow = cash_flow(made_forecast(), economics())
    found = waterfall(flow, flow, 0.1, 0.2)
    causes = {bar.cause for bar in found.bars}
    assert causes == {"oil deferred or advanced", "water handled"}
    assert abs(found.unexplained) < 1e-6


def test_nothing_differs_from_itself():
    flow = cash_flow(made_forecast(), economics())
    assert waterfall(flow, flow, 0.1).bars == ()


def test_shares_of_a_product_by_hand():
    """Volume doubles and the price rises from 1 to 3: (1 + 3) / 2 = 2 is volume's, 2 x 3 / 2 = 3 price's."""
    one = economics(oil_price="1 1/m^3", water_cost="0 1/m^3", discount_rate=0.0)
    three = economics(oil_price="3 1/m^3", water_cost="0 1/m^3", discount_rate=0.0)
    twice = made_forecast()
    for table in (twice.well, twice.zone):
        table["oil_volume"] = 2.0 * table["oil_volume"]
    found = bars(waterfall(cash_flow(made_forecast(), one), cash_flow(twice, three), 0.0))
    assert found[("oil", "upper")] == pytest.approx(730 * 30 * 2.0)
    assert found[("oil price", "upper")] == pytest.approx(730 * 30 * 3.0)


def test_the_figure_stands_on_what_the_waterfall_says():
    given = economics()
    first = cash_flow(made_forecast(), given)
    second = cash_flow(made_forecast("shut", "lower"), given, (Job("shut zone", date(2031, 1, 1), 5e5),))
    found = waterfall(first, second, 0.1, names=("base", "shut lower"))
    figure = waterfall_figure(found, Style("metric", "words", "EUR"))
    adds, takes, whole = figure.data
    assert whole.y == ("in all",) and sum(adds.x) - sum(takes.x) == pytest.approx(
        (found.second_value - found.first_value) / 1e6
    )
    assert sum(adds.x) + sum(takes.x) == pytest.approx(sum(abs(one.value) for one in found.bars) / 1e6)
    ends = {
        name: (low, low + high) for bar in (adds, takes) for name, low, high in zip(bar.y, bar.base, bar.x, strict=True)
    }
    level = 0.0  # each bar begins where the one before it ends
    for name in reversed(figure.layout.yaxis.categoryarray):
        if name in ends:
            low, high = ends[name]
            assert level == pytest.approx(low if name in adds.y else high, abs=1e-9)
            level = high if name in adds.y else low
    assert level == pytest.approx((found.second_value - found.first_value) / 1e6)

"""The one constant price at which a cash flow, or its difference to the base, is worth nothing."""

from __future__ import annotations

from typing import Literal

import numpy as np
from scipy.optimize import brentq

from planner.decide.money import CashFlow
from planner.decide.tax import tax_of
from planner.decide.value import net_present_value
from planner.model.economics import Economics

HIGHEST = 1e6  # of the currency per m3 of oil or 1000 m3 of gas: beyond it no break-even is looked for


def break_even_price(
    flow: CashFlow, economics: Economics, phase: Literal["oil", "gas"], base: CashFlow | None = None
) -> float:
    """Constant price (per m3, before escalation) at which a stream is worth nothing, or as much as the base.

    flow, base: of `cash_flow` with these economics. Nothing but the price changes: neither the forecast nor when the
    well stops. NaN where no price from 0 up does it, or where the price changes nothing.
    """

    def value_at(price: float) -> float:
        value = value_at_price(flow, economics, phase, price)
        return value if base is None else value - value_at_price(base, economics, phase, price)

    highest = HIGHEST if phase == "oil" else HIGHEST / 1000.0
    low, high = value_at(0.0), value_at(highest)
    if low == high or low * high > 0.0:
        return float("nan")
    if economics.losses == "relief":  # the value is a straight line in the price
        return float(highest * low / (low - high))
    return float(brentq(value_at, 0.0, highest, xtol=1e-12 * highest, rtol=1e-13))


def value_at_price(flow: CashFlow, economics: Economics, phase: Literal["oil", "gas"], price: float) -> float:
    """Net present value of a stream with one constant price (per m3, before escalation) of oil or gas."""
    zones = flow.zones
    volume, revenue = (zones.oil_volume, zones.oil_revenue) if phase == "oil" else (zones.gas_volume, zones.gas_revenue)
    earned = revenue.any() or not flow.injection_cost.any()
    more = price * flow.risen * volume.sum(axis=1) * earned - revenue.sum(axis=1)
    taxable = flow.net + flow.tax + (1.0 - economics.royalty) * more
    net = taxable - tax_of(np.asarray(taxable), flow.month_ends, economics)
    return net_present_value(np.asarray(net), economics.discount_rate, flow.years)

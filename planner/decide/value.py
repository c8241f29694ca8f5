"""Value of cash flows: net present value, rate of return, payback, break-even."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from planner.decide.money import CashFlow
from planner.model.results import Floats

# Quantity of every figure; 'money' is in the currency of the case. A stream is undiscounted unless it says so.
FIGURES: dict[str, str] = {
    "npv": "money",
    "revenue": "money",
    "royalty": "money",
    "operating_cost": "money",
    "water_cost": "money",
    "injection_cost": "money",
    "handling_cost": "money",
    "job_cost": "money",
    "capital_cost": "money",
    "tax": "money",
    "cash_flow": "money",
    "npv_against_base": "money",
    "risked_npv_against_base": "money",
    "chance_of_success": "fraction",
    "rate_of_return_against_base": "fraction",
    "payback_years_against_base": "number",
    "rate_of_return": "fraction",
}
BREAK_EVEN: dict[str, str] = {
    "break_even_oil_price": "liquid price",
    "break_even_gas_price": "gas price",
    "break_even_oil_price_against_base": "liquid price",
    "break_even_gas_price_against_base": "gas price",
}


@dataclass(frozen=True)
class Return:
    """A yearly rate of return, or NaN and the reason why there is none."""

    rate: float
    why_none: str = ""


def figures(
    flow: CashFlow, base: CashFlow, discount_rate: float, failed: CashFlow | None = None, chance: float = 1.0
) -> dict[str, float]:
    """Figures of one what-if and its difference to the base, keyed as FIGURES; NaN where a figure does not exist.

    discount_rate: per year, effective. chance: that all jobs of the what-if succeed; failed: what is left where they do
    not, none: the base. The differences compare month
    by month and need the same start. Rate of return and payback against the base exist only where more is spent on
    jobs and string than in the base: without an outlay they say nothing.
    """
    increment = difference(flow, base)
    years = years_of(flow, base)
    invested = bool(outlay(flow, base) > 0.0)
    gain = net_present_value(increment, discount_rate, years)
    failure = net_present_value(difference(failed or base, base), discount_rate, base.years)
    return {
        "npv": net_present_value(flow.net, discount_rate, flow.years),
        **{name: float(getattr(flow, name).sum()) for name in FIGURES if hasattr(flow, name)},
        "cash_flow": float(flow.net.sum()),
        "npv_against_base": gain,
        "risked_npv_against_base": risked(gain, failure, chance),
        "chance_of_success": chance,
        "rate_of_return_against_base": rate_of_return(increment, years) if invested else float("nan"),
        "payback_years_against_base": payback_years(increment) if invested else float("nan"),
        "rate_of_return": rate_of_return(flow.net, flow.years),
    }


def risked(gain: float, failure: float, chance: float) -> float:
    """Expected value of a job: chance of success times its gain, the rest times what a failure leaves."""
    return chance * gain + (1.0 - chance) * failure


def difference(flow: CashFlow, base: CashFlow) -> Floats:
    """Net cash of one stream less the base's, [months]; the shorter one counts as zero after its end."""
    months = max(len(flow.net), len(base.net))
    return _padded(flow.net, months) - _padded(base.net, months)


def years_of(flow: CashFlow, base: CashFlow) -> Floats:
    """Years to the cash of each month of the longer of two streams."""
    return flow.years if len(flow.years) >= len(base.years) else base.years


def outlay(flow: CashFlow, base: CashFlow) -> float:
    """What is spent on jobs and string beyond the base, undiscounted."""
    spent = flow.job_cost.sum() + flow.capital_cost.sum()
    return float(spent - base.job_cost.sum() - base.capital_cost.sum())


def net_present_value(net: Floats, discount_rate: float, years: Floats | None = None) -> float:
    """Value at the reference date of a monthly stream [months].

    discount_rate: per year, effective; years: to the cash of each month, none: month k (from 1) falls k/12 years later.
    Source: definition of discounting; (1 + i)^(-t).
    """
    later = np.arange(1, len(net) + 1) / 12.0 if years is None else years
    return float(np.sum(net * (1.0 + discount_rate) ** -later))


def rate_of_return(net: Floats, years: Floats | None = None) -> float:
    """Yearly effective rate at which a monthly stream [months] is worth nothing; NaN where there is none or several."""
    return rate_of_return_told(net, years).rate


def rate_of_return_told(net: Floats, years: Floats | None = None) -> Return:
    """Yearly effective rate at which a monthly stream [months] is worth nothing, or the reason why there is none.

    The rate must be one of an investment: worth less than nothing at any higher rate. Looked for between -99 % and
    100 000 % a year. years: as in net_present_value.
    """
    later = np.arange(1, len(net) + 1) / 12.0 if years is None else years
    significant = np.abs(net) > 1e-9 * float(np.abs(net).max(initial=0.0))
    stream = np.where(significant, net, 0.0)
    if not (stream > 0.0).any():
        return Return(float("nan"), "the cash is never above nought")
    if not (stream < 0.0).any():
        return Return(float("nan"), "the cash is never below nought: nothing is put in")
    first = int(np.flatnonzero(stream)[0])  # the date of the first cash does not move the rate
    stream, later = stream[first:], later[first:] - later[first]
    rates = np.expm1(np.linspace(np.log(0.01), np.log(1000.0), 400))
    signs = np.sign([net_present_value(stream, rate, later) for rate in rates])
    crossings = np.flatnonzero(signs[:-1] * signs[1:] < 0)
    if len(crossings) == 0:
        return Return(float("nan"), "no rate between -99 % and 100 000 % a year makes it worth nothing")
    if len(crossings) > 1:
        found = ", ".join(f"{_root(stream, later, rates[k], rates[k + 1]):.3g}" for k in crossings)
        return Return(float("nan"), f"{len(crossings)} rates make it worth nothing ({found}): none of them says much")
    if signs[0] < 0.0:
        return Return(float("nan"), "the one rate is that of a loan: what the money costs, not what it earns")
    return Return(_root(stream, later, rates[crossings[0]], rates[crossings[0] + 1]))


def _root(stream: Floats, years: Floats, low: float, high: float) -> float:
    return float(brentq(lambda rate: net_present_value(stream, rate, years), low, high, xtol=1e-12))


def payback_years(net: Floats) -> float:
    """Years from the first month that takes the undiscounted sum below zero until it is back there for good.

    net: [months]. NaN where the sum ends below zero, 0 where it never is. Between month ends the sum runs straight.
    """
    total = np.cumsum(net)
    slack = 1e-9 * float(np.abs(net).max(initial=0.0))
    below = np.flatnonzero(total < -slack)
    if not below.size:
        return 0.0
    first, last = int(below[0]), int(below[-1])
    if last == len(total) - 1:
        return float("nan")
    part = -total[last] / (total[last + 1] - total[last])
    return float((last - first + part) / 12.0)


def break_even_date(flow: CashFlow, base: CashFlow) -> str:
    """End of the month in which the undiscounted difference is back at zero for good, ISO; '' where it never is.

    Only where more is spent on jobs and string than in the base.
    """
    if outlay(flow, base) <= 0.0:
        return ""
    total = np.cumsum(difference(flow, base))
    below = np.flatnonzero(total < -1e-9 * float(np.abs(total).max(initial=0.0)))
    longer = flow if len(flow.net) >= len(base.net) else base
    if not below.size or below[-1] == len(total) - 1:
        return ""
    return str(longer.month_ends[below[-1] + 1])


def _padded(stream: Floats, months: int) -> Floats:
    return np.pad(stream, (0, months - len(stream)))

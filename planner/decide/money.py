"""Money: monthly cash flows of a forecast, their net present value, rate of return and payback.

Rules, all of them simple and shown in the report: prices and costs are constant in time; cash flows fall at the end
of each month after the start of the schedule and are discounted at the effective yearly rate; royalty is a share of
revenue; tax is a share of revenue less royalty and costs, and a loss earns relief at the same rate (the owner pays
tax on other income); operating cost runs until the well stops for good; a job is paid in the month in which it is
done.
"""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from planner.decide.jobs import Job
from planner.model.economics import Economics
from planner.model.results import Floats, Forecast

VOLUMES = ("oil_volume", "water_volume", "gas_volume")

# Quantity of every figure; 'money' is in the currency of the case. A stream is undiscounted unless it says so.
FIGURES: dict[str, str] = {
    "npv": "money",
    "revenue": "money",
    "royalty": "money",
    "operating_cost": "money",
    "water_cost": "money",
    "injection_cost": "money",
    "job_cost": "money",
    "tax": "money",
    "cash_flow": "money",
    "npv_against_base": "money",
    "rate_of_return_against_base": "fraction",
    "payback_years_against_base": "number",
}


@dataclass(frozen=True)
class CashFlow:
    """Monthly cash flow of one forecast, in the case's currency; every array is [months], cash at the month's end.

    month_ends: datetime64[D]. `net` is revenue less royalty, costs and tax.
    """

    month_ends: NDArray[np.datetime64]
    revenue: Floats
    royalty: Floats
    operating_cost: Floats
    water_cost: Floats
    injection_cost: Floats
    job_cost: Floats
    tax: Floats
    net: Floats


def cash_flow(forecast: Forecast, economics: Economics, jobs: tuple[Job, ...] = ()) -> CashFlow:
    """Monthly cash flow of a forecast.

    forecast: cumulative volumes are read between its dates in a straight line; jobs: what was done and its cost.
    A forecast that stops inside a month has its last cash at the end of that month.
    """
    start, end = _day(forecast.dates[0]), _day(forecast.dates[-1])
    ends = month_ends(start, end)
    oil, water, gas = (_monthly(forecast, name, ends) for name in VOLUMES)
    injector = forecast.description.kind.endswith("injector")
    nothing = np.zeros(len(ends))
    revenue = nothing if injector else oil * economics.oil_price + gas * economics.gas_price
    royalty = economics.royalty * revenue
    water_cost = nothing if injector else water * economics.water_cost
    injection_cost = water * economics.injection_cost if injector else nothing
    operating = _operating_cost(forecast, ends, economics.operating_cost)
    job_cost = _job_cost(jobs, ends, start, end)
    taxable = revenue - royalty - water_cost - injection_cost - operating - job_cost
    tax = economics.tax * taxable
    return CashFlow(ends, revenue, royalty, operating, water_cost, injection_cost, job_cost, tax, taxable - tax)


def figures(flow: CashFlow, base: CashFlow, discount_rate: float) -> dict[str, float]:
    """Figures of one what-if and its difference to the base, keyed as FIGURES; NaN where a figure does not exist.

    discount_rate: per year, effective. The differences compare month by month and need the same start. Rate of return
    and payback exist only where more is spent on jobs than in the base: without an outlay they say nothing.
    """
    increment = difference(flow, base)
    invested = bool(difference_of_jobs(flow, base) > 0.0)
    return {
        "npv": net_present_value(flow.net, discount_rate),
        **{name: float(getattr(flow, name).sum()) for name in FIGURES if hasattr(flow, name)},
        "cash_flow": float(flow.net.sum()),
        "npv_against_base": net_present_value(increment, discount_rate),
        "rate_of_return_against_base": rate_of_return(increment) if invested else float("nan"),
        "payback_years_against_base": payback_years(increment) if invested else float("nan"),
    }


def difference(flow: CashFlow, base: CashFlow) -> Floats:
    """Net cash of one stream less the base's, [months]; the shorter one counts as zero after its end."""
    months = max(len(flow.net), len(base.net))
    return _padded(flow.net, months) - _padded(base.net, months)


def difference_of_jobs(flow: CashFlow, base: CashFlow) -> float:
    """What is spent on jobs beyond the base, undiscounted."""
    return float(flow.job_cost.sum() - base.job_cost.sum())


def net_present_value(net: Floats, discount_rate: float) -> float:
    """Value at the start of a monthly stream [months]; month k (from 1) falls k/12 years later. Yearly effective rate.

    Source: definition of discounting; (1 + i)^(-k/12).
    """
    years = np.arange(1, len(net) + 1) / 12.0
    return float(np.sum(net * (1.0 + discount_rate) ** -years))


def rate_of_return(net: Floats) -> float:
    """Yearly effective rate at which a monthly stream [months] is worth nothing; NaN where there is none or several.

    The rate must be one of an investment: worth less than nothing at any higher rate. Looked for between -99 % and
    100 000 % a year.
    """
    significant = np.abs(net) > 1e-9 * float(np.abs(net).max(initial=0.0))
    stream = np.where(significant, net, 0.0)
    if not (stream > 0.0).any() or not (stream < 0.0).any():
        return float("nan")
    stream = stream[np.flatnonzero(stream)[0] :]  # the date of the first cash does not move the rate
    rates = np.expm1(np.linspace(np.log(0.01), np.log(1000.0), 400))
    signs = np.sign([net_present_value(stream, rate) for rate in rates])
    crossings = np.flatnonzero(signs[:-1] * signs[1:] < 0)
    if len(crossings) != 1 or signs[0] < 0.0:
        return float("nan")
    low, high = rates[crossings[0]], rates[crossings[0] + 1]
    return float(brentq(lambda rate: net_present_value(stream, rate), low, high, xtol=1e-12))


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


def month_ends(start: date, end: date) -> NDArray[np.datetime64]:
    """Dates one month, two months ... after the start, up to the first at or past the end; datetime64[D], at least one.

    A start on the 31st gives the last day of shorter months.
    """
    found = [_months_later(start, 1)]
    while found[-1] < end:
        found.append(_months_later(start, len(found) + 1))
    return np.array(found, dtype="datetime64[D]")


def _months_later(start: date, months: int) -> date:
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def _day(value: np.datetime64) -> date:
    return date.fromisoformat(str(value.astype("datetime64[D]")))


def _days_since_start(forecast: Forecast, ends: NDArray[np.datetime64]) -> Floats:
    return np.asarray((ends - forecast.dates[0].astype("datetime64[D]")).astype(np.float64))


def _monthly(forecast: Forecast, name: str, ends: NDArray[np.datetime64]) -> Floats:
    """Volume of each month, m3; zero where the forecast has no such column."""
    column = forecast.well.get(name)
    if column is None:
        return np.zeros(len(ends))
    at_ends = np.asarray(np.interp(_days_since_start(forecast, ends), forecast.days, column), dtype=np.float64)
    return np.diff(at_ends, prepend=float(column[0]))


def _operating_cost(forecast: Forecast, ends: NDArray[np.datetime64], per_year: float) -> Floats:
    """A twelfth of the yearly cost for each month, in part for the month in which the well moves its last volume."""
    moved = np.zeros(len(forecast.days), dtype=bool)
    for name in VOLUMES:
        if name in forecast.well:
            moved |= np.diff(forecast.well[name], prepend=forecast.well[name][0]) > 0.0
    last_day = float(forecast.days[moved].max(initial=0.0))
    days = _days_since_start(forecast, ends)
    lengths = np.diff(days, prepend=0.0)
    lived = np.diff(np.minimum(days, last_day), prepend=0.0)
    return np.asarray(per_year / 12.0 * lived / lengths, dtype=np.float64)


def _job_cost(jobs: tuple[Job, ...], ends: NDArray[np.datetime64], start: date, end: date) -> Floats:
    cost = np.zeros(len(ends))
    for job in jobs:
        if start <= job.day <= end:
            cost[min(int(np.searchsorted(ends, np.datetime64(job.day, "D"))), len(cost) - 1)] += job.cost
    return cost


def _padded(stream: Floats, months: int) -> Floats:
    return np.pad(stream, (0, months - len(stream)))

"""Money: monthly cash flows of a forecast, by zone where they come from zones.

Rules, all of them shown in the report: prices are those of the deck in the month's middle, escalated like costs from
the reference date; royalty is a share of revenue; tax is a share of revenue less royalty and costs, capital included
when it is spent, and a loss either earns relief at once (the owner pays tax on other income) or is carried forward;
operating cost runs until the well stops for good; a job is paid in the month in which it is done, the string in the
first month. With `economic_limit` nothing is earned or paid any more after the month up to which the discounted
operating result (revenue less royalty and costs without jobs and string) adds up to the most; the month of the last job
is never cut off.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from planner.decide.jobs import Job
from planner.decide.months import month_days, month_ends, years_to_cash, years_to_middle
from planner.decide.tax import tax_of
from planner.model.economics import Economics
from planner.model.results import Floats, Forecast

VOLUMES = ("oil_volume", "water_volume", "gas_volume")
STRING_STORE = "in the string"  # what the zones gave and the well did not yet, or the other way round


@dataclass(frozen=True)
class ZoneStreams:
    """What each zone brings: volumes (m3, surface), revenue, and cost of water; every array is [months, zones].

    names: zones from top to bottom, then STRING_STORE, which makes the sum that of the well to the last digit.
    """

    names: tuple[str, ...]
    oil_volume: Floats
    gas_volume: Floats
    water_volume: Floats
    oil_revenue: Floats
    gas_revenue: Floats
    handling_cost: Floats
    water_cost: Floats


@dataclass(frozen=True)
class CashFlow:
    """Monthly cash flow of one forecast, in the case's currency; every array is [months].

    month_ends: datetime64[D]; years: from the reference date to when the cash of a month counts as paid. `net` is
    revenue less royalty, costs, capital and tax. handling_cost: of oil and gas. risen: what prices have risen to by
    escalation, as a share of those of the reference date. given_up: day on which the well is given up at its economic
    limit, ISO; '' where it is not.
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
    handling_cost: Floats
    capital_cost: Floats
    years: Floats
    risen: Floats
    zones: ZoneStreams
    given_up: str = ""


def cash_flow(forecast: Forecast, economics: Economics, jobs: tuple[Job, ...] = (), capital: float = 0.0) -> CashFlow:
    """Monthly cash flow of a forecast.

    forecast: cumulative volumes are read between its dates in a straight line; jobs: what was done and its cost;
    capital: of the string, paid in the first month. A forecast that stops inside a month has its last cash at the end
    of that month.
    """
    start, end = _day(forecast.dates[0]), _day(forecast.dates[-1])
    ends = month_ends(start, end)
    middle = years_to_middle(ends, start, economics.reference_date or start)
    dearer = (1.0 + economics.cost_escalation) ** middle
    risen = (1.0 + economics.price_escalation) ** middle
    zones = _by_zone(forecast, economics, ends, risen, dearer)
    injector = forecast.description.kind.endswith("injector")
    nothing = np.zeros(len(ends))
    revenue = (zones.oil_revenue + zones.gas_revenue).sum(axis=1)
    handling, water_cost = zones.handling_cost.sum(axis=1), zones.water_cost.sum(axis=1)
    injection_cost = _injection_cost(zones, economics) * dearer if injector else nothing
    royalty = economics.royalty * revenue
    operating = _operating_cost(forecast, ends, economics.operating_cost) * dearer
    job_cost = _job_cost(jobs, ends, start, end) * dearer
    capital_cost = nothing.copy()
    capital_cost[0] = capital
    years = years_to_cash(ends, start, economics.reference_date or start, economics.discounting)
    flow = CashFlow(
        ends, revenue, royalty, operating, water_cost, injection_cost, job_cost, nothing, nothing, handling,
        capital_cost, years, risen, zones,
    )  # fmt: skip
    if economics.economic_limit:
        flow = _given_up(flow, last_month_that_pays(flow, economics.discount_rate))
    return _taxed(flow, economics)


def operating_result(flow: CashFlow) -> Floats:
    """Revenue less royalty and costs, without jobs, string and tax [months]."""
    costs = flow.handling_cost + flow.water_cost + flow.injection_cost + flow.operating_cost
    return np.asarray(flow.revenue - flow.royalty - costs)


def last_month_that_pays(flow: CashFlow, discount_rate: float) -> int:
    """Month (from 0) up to which the discounted operating result adds up to the most, or that of the last job."""
    total = np.cumsum(operating_result(flow) * (1.0 + discount_rate) ** -flow.years)
    jobs = np.flatnonzero(flow.job_cost)
    return int(max(np.argmax(total), jobs[-1] if jobs.size else 0))


def _given_up(flow: CashFlow, last: int) -> CashFlow:
    """The same stream with nothing after a month."""
    if last >= len(flow.years) - 1:
        return flow
    kept = np.arange(len(flow.years)) <= last
    streams = ("oil_volume", "gas_volume", "water_volume", "oil_revenue", "gas_revenue", "handling_cost", "water_cost")
    zones = replace(flow.zones, **{name: getattr(flow.zones, name) * kept[:, None] for name in streams})
    money = [one.name for one in fields(flow) if one.name not in ("month_ends", "years", "risen", "zones", "given_up")]
    cut = {name: getattr(flow, name) * kept for name in money}
    return replace(flow, **cut, zones=zones, given_up=str(flow.month_ends[last]))


def _taxed(flow: CashFlow, economics: Economics) -> CashFlow:
    """The same stream with its tax and what is left."""
    taxable = operating_result(flow) - flow.job_cost - flow.capital_cost
    tax = tax_of(taxable, flow.month_ends, economics)
    return replace(flow, tax=tax, net=np.asarray(taxable - tax))


def prices(economics: Economics, ends: NDArray[np.datetime64], phase: str) -> Floats:
    """Price of 'oil' or 'gas' in each month [months], without escalation: that of the deck in the month's middle."""
    name = f"{phase}_price"
    rows = [row for row in economics.prices if getattr(row, name) is not None]
    days = np.array([row.date for row in rows], dtype="datetime64[D]")
    known = np.array([getattr(economics, name), *(getattr(row, name) for row in rows)], dtype=np.float64)
    middles = ends - (np.asarray(month_days(ends)) / 2.0).astype("timedelta64[D]")
    return np.asarray(known[np.searchsorted(days, middles, side="right")])


def _by_zone(
    forecast: Forecast, economics: Economics, ends: NDArray[np.datetime64], risen: Floats, dearer: Floats
) -> ZoneStreams:
    oil, water, gas = (_monthly_by_zone(forecast, name, ends) for name in VOLUMES)
    names = (*(zone.name for zone in forecast.description.zones), STRING_STORE)
    earns = 0.0 if forecast.description.kind.endswith("injector") else 1.0
    column = (slice(None), None)
    return ZoneStreams(
        names, oil, gas, water,
        oil_revenue=oil * (prices(economics, ends, "oil") * risen * earns)[column],
        gas_revenue=gas * (prices(economics, ends, "gas") * risen * earns)[column],
        handling_cost=(oil * economics.oil_cost + gas * economics.gas_cost) * earns * dearer[column],
        water_cost=water * economics.water_cost * earns * dearer[column],
    )  # fmt: skip


def _injection_cost(zones: ZoneStreams, economics: Economics) -> Floats:
    """Of what an injector takes, at the prices of the reference date."""
    water, gas = zones.water_volume.sum(axis=1), zones.gas_volume.sum(axis=1)
    return np.asarray(water * economics.injection_cost + gas * economics.gas_injection_cost)


def _day(value: np.datetime64) -> date:
    return date.fromisoformat(str(value.astype("datetime64[D]")))


def _days_since_start(forecast: Forecast, ends: NDArray[np.datetime64]) -> Floats:
    return np.asarray((ends - forecast.dates[0].astype("datetime64[D]")).astype(np.float64))


def _monthly_by_zone(forecast: Forecast, name: str, ends: NDArray[np.datetime64]) -> Floats:
    """Volume of each month and zone [months, zones + 1], m3; the last column makes the sum that of the well."""
    count = len(forecast.description.zones)
    days = _days_since_start(forecast, ends)
    well = forecast.well.get(name)
    if well is None:
        return np.zeros((len(ends), count + 1))
    table = forecast.zone.get(name)
    if table is None:
        table = np.zeros((len(well), count))
    whole = _monthly(forecast, well, days)
    parts = np.column_stack([_monthly(forecast, table[:, k], days) for k in range(count)] or [np.zeros((len(ends), 0))])
    return np.column_stack([parts, whole - parts.sum(axis=1)])


def _monthly(forecast: Forecast, column: Floats, days: Floats) -> Floats:
    at_ends = np.asarray(np.interp(days, forecast.days, column), dtype=np.float64)
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

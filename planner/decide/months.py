"""Months of a cash flow, and how far from the reference date their cash counts as paid."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

import numpy as np
from numpy.typing import NDArray

from planner.model.economics import Discounting
from planner.model.results import Floats

MONTHS_A_YEAR = 12


def month_ends(start: date, end: date) -> NDArray[np.datetime64]:
    """Dates one month, two months ... after the start, up to the first at or past the end; datetime64[D], at least one.

    A start on the 31st gives the last day of shorter months.
    """
    found = [months_later(start, 1)]
    while found[-1] < end:
        found.append(months_later(start, len(found) + 1))
    return np.array(found, dtype="datetime64[D]")


def month_days(ends: NDArray[np.datetime64]) -> Floats:
    """Length of each month in days; the first is taken as 30 days, which only says where its middle lies."""
    return np.asarray(np.diff(ends, prepend=ends[0] - np.timedelta64(30, "D")).astype(np.float64))


def years_between(first: date, later: date) -> float:
    """Years of twelve equal months from one date to another; days count as a share of their month."""
    months = (later.year - first.year) * MONTHS_A_YEAR + later.month - first.month
    share = (later.day - 1) / monthrange(later.year, later.month)[1]
    share -= (first.day - 1) / monthrange(first.year, first.month)[1]
    return (months + share) / MONTHS_A_YEAR


def years_to_middle(ends: NDArray[np.datetime64], start: date, reference: date) -> Floats:
    """Years from the reference date to the middle of each month [months]; negative before it."""
    return years_between(reference, start) + (np.arange(len(ends)) + 0.5) / MONTHS_A_YEAR


def years_to_cash(ends: NDArray[np.datetime64], start: date, reference: date, rule: Discounting) -> Floats:
    """Years from the reference date to when the cash of each month counts as paid [months].

    rule: at the end or in the middle of the month, or of the year of twelve months, counted from the reference date,
    that the middle of the month lies in. Source: definition of discounting.
    """
    middle = years_to_middle(ends, start, reference)
    if rule == "end of month":
        return years_between(reference, start) + np.arange(1, len(ends) + 1) / MONTHS_A_YEAR
    if rule == "mid-month":
        return middle
    return np.floor(middle) + (1.0 if rule == "end of year" else 0.5)


def months_later(start: date, months: int) -> date:
    """The same day so many months later, or the last day of a shorter month."""
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))

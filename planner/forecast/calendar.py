"""Dates of a forecast: report dates and the march's seconds."""

from __future__ import annotations

from datetime import date, timedelta

from planner.base.constants import DAY
from planner.model.case import Case


def report_dates(case: Case, until: date | None = None) -> list[date]:
    """Start, then the same day of every month (quarter, year), then the end."""
    start = case.schedule.start
    end = min(case.schedule.end, until) if until else case.schedule.end
    months = {"month": 1, "quarter": 3, "year": 12}[case.schedule.report]
    dates = [start]
    k = 1
    while True:
        after = _months_later(start, k * months)
        if after >= end:
            break
        dates.append(after)
        k += 1
    if end > start:
        dates.append(end)
    return dates


def _months_later(start: date, months: int) -> date:
    year, month = divmod(start.month - 1 + months, 12)
    year += start.year
    month += 1
    last = (date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)).day
    return date(year, month, min(start.day, last))


def seconds(case: Case, day: date) -> float:
    """Seconds from the start of the forecast to a date."""
    return (day - case.schedule.start).days * DAY


def date_of(case: Case, time: float) -> str:
    """Date of a time in seconds, ISO."""
    return (case.schedule.start + timedelta(days=int(time / DAY + 1e-6))).isoformat()

"""What time a number of a production table stands for, and the mean rate over it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from planner.base.errors import Problem
from planner.io.dates import Day
from planner.io.reporting import Report

RateMeaning = Literal["", "of the day", "calendar day", "producing day"]
DateMeaning = Literal["", "start of period", "end of period"]


@dataclass(frozen=True)
class Period:
    """From `start` up to but without `end`."""

    start: date
    end: date

    @property
    def days(self) -> int:
        """Length in days."""
        return (self.end - self.start).days


def periods_of(
    days: list[Day], meaning: DateMeaning, place: list[str], name: str, report: Report, remark: Report
) -> list[Period | None] | None:
    """The time that each row of one well and zone stands for, rows in order of date; None after a report.

    A month names itself. A whole date starts or ends its time: `meaning` says which, unless all are the last days of
    months. At the open end of the table the month is taken where dates are months' ends, else the row has no time.
    """
    if all(day.month_only for day in days):
        return [Period(day.date, day.end) for day in days]
    if any(day.month_only for day in days):
        report(Problem(name, place[0], "", "some dates are months, some are days", "Write all of them alike."))
        return None
    dates = [day.date for day in days]
    last_days = all((one + timedelta(days=1)).day == 1 for one in dates)
    if not meaning and last_days:
        meaning = "end of period"
    if not meaning:
        message = "does the date start or end the time that the volume or mean rate stands for?"
        remedy = 'Say dates = "start of period" or "end of period".'
        report(Problem(name, place[0], str(dates[0]), message, remedy))
        return None
    if meaning == "end of period":
        ends = [one + timedelta(days=1) for one in dates]
        first = ends[0] - timedelta(days=1)
        opening = first.replace(day=1) if last_days else None
        starts = [opening, *ends[:-1]]
        if last_days:  # a month left out must not be spread over the one that follows
            starts = [one.replace(day=1) for one in dates]
        made = [Period(a, b) if a is not None else None for a, b in zip(starts, ends, strict=True)]
    else:
        firsts = all(one.day == 1 for one in dates)
        closing = [Day(one, True).end for one in dates] if firsts else [*dates[1:], None]
        made = [Period(a, b) if b is not None else None for a, b in zip(dates, closing, strict=True)]
    lost = [k for k, one in enumerate(made) if one is None]
    if lost:
        which = "first" if meaning == "end of period" else "last"
        told = f"the {which} row has no other date to reckon its time from; its volumes and mean rates are left out"
        remark(Problem(name, place[lost[0]], str(dates[lost[0]]), told, "Give months, or one row more."))
    return made


def producing_share(period: Period, days: float | None, hours: float | None) -> float:
    """Share of a period that the well produced. Raises ValueError where it is longer than the period."""
    on = days if days is not None else hours / 24.0 if hours is not None else float(period.days)
    if on < 0.0:
        raise ValueError("a negative producing time; correct it")
    if on > period.days + 0.05:
        raise ValueError(f"more producing time than the period has ({period.days} days); correct it or the date")
    return min(on / period.days, 1.0)

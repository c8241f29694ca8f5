"""Report dates of a schedule, as the slider of the picture counts them."""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.model.case import Schedule

MONTHS = {"month": 1, "quarter": 3, "year": 12}


def steps(schedule: Schedule) -> int:
    """Number of report dates after the start."""
    months = (schedule.end.year - schedule.start.year) * 12 + schedule.end.month - schedule.start.month
    return max(1, months // MONTHS[schedule.report])


def date_at(at: Any, schedule: Schedule) -> date:
    """The first of the month of a report index, inside the schedule and after its start."""
    months = schedule.start.month - 1 + max(1, int(at or 0)) * MONTHS[schedule.report]
    years, month = divmod(months, 12)
    return min(date(schedule.start.year + years, month + 1, 1), schedule.end)


def index_of(month: str, schedule: Schedule) -> int | None:
    """The report index of '2031-06'; None where it is not in the schedule."""
    try:
        day = date.fromisoformat(f"{month}-01")
    except ValueError:
        return None
    months = (day.year - schedule.start.year) * 12 + day.month - schedule.start.month
    at = months // MONTHS[schedule.report]
    return at if 0 <= at <= steps(schedule) else None


def index_after(day: Any, schedule: Schedule) -> int | None:
    """The first report index after a day: the first that shows what was done on it."""
    if not day:
        return None
    done, last = date.fromisoformat(str(day)[:10]), steps(schedule)
    return next((at for at in range(1, last + 1) if date_at(at, schedule) > done), last)

"""The best date of a job on a grid of dates: coarse to fine on real forecasts, asked for in batches."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import pairwise

import numpy as np

from planner.decide.months import months_later
from planner.model.late_life import DateStep

MONTHS: dict[DateStep, int] = {"month": 1, "quarter": 3, "year": 12}
FIRST = 5  # dates in the first round
COARSE = 9  # gaps of a grid that is worth anything are halved down to about an eighth of it, whatever they hold
STEEPER = 2.0  # between two dates values may rise so many times as steeply as they are seen to do round about


def grid(first: date, end: date, step: DateStep) -> list[date]:
    """Dates from the first on, a step apart, before the end; at least the first."""
    found = [first]
    while (after := months_later(first, len(found) * MONTHS[step])) < end:
        found.append(after)
    return found


class DateSearch:
    """Finds the largest of `count` values on a grid, asking for as few as it can.

    `ask` gives the places wanted next, `tell` takes their values (NaN: cannot be done there). First 5 places over the
    whole grid. Then every gap between two known places that may hold more than nought is halved, down to an eighth of
    the grid (on long grids finer, so that 1.5 times the root of their number is known), and after that every gap that
    may hold more than the best so far. The values in a gap are taken to rise at most twice as steeply as they are seen
    to do in that gap and in those beside it (the bound of Piyavskii 1972 and Shubert 1972 with a local slope). So all
    humps whose foot is seen are looked at, not the highest alone. Last, the end of what is worth something is narrowed
    down. Exact where the values rise to one peak and fall; a hump between two known places with flat values round about
    can be missed.
    """

    def __init__(self, count: int) -> None:
        self.known: dict[int, float] = {}
        self._first = sorted({round(place) for place in np.linspace(0, count - 1, min(FIRST, count))})
        self._wide = 1.3 * (count - 1) / (max(COARSE, 1.5 * np.sqrt(count)) - 1.0)

    def ask(self) -> list[int]:
        """Places whose values are wanted next; none when the search is over."""
        first = [place for place in self._first if place not in self.known]
        return first or self._between() or self._end()

    def tell(self, values: Iterable[tuple[int, float]]) -> None:
        """Values of places that were asked for."""
        self.known |= {place: value if np.isfinite(value) else -np.inf for place, value in values}

    @property
    def best(self) -> int:
        """Place of the largest value so far, the earliest of equals."""
        return max(sorted(self.known), key=lambda place: self.known[place])

    @property
    def last_above_nought(self) -> int | None:
        """The last place tried that is worth something."""
        return max((place for place, value in self.known.items() if value > 0.0), default=None)

    def _between(self) -> list[int]:
        """The middle of every gap that may hold more than nought; of one not wide, more than the best so far."""
        most = max(self.known[self.best], 0.0)
        places = sorted(self.known)
        slopes = [self._slope(low, high) for low, high in pairwise(places)]
        found = []
        for number, (low, high) in enumerate(pairwise(places)):
            steepest = STEEPER * max(slopes[max(number - 1, 0) : number + 2])
            least = 0.0 if high - low > self._wide else most
            if high - low > 1 and self._most(low, high, steepest) > least:
                found.append((low + high) // 2)
        return found

    def _slope(self, low: int, high: int) -> float:
        """How steep the values are between two known places; 0 where one of them cannot be done."""
        slope = abs(self.known[high] - self.known[low]) / (high - low)
        return slope if np.isfinite(slope) else 0.0

    def _most(self, low: int, high: int, slope: float) -> float:
        """The most that values between two known places can be if they are nowhere steeper than this."""
        ends = [self.known[low], self.known[high]]
        if not np.isfinite(ends).all():
            return max(ends) + slope * (high - low)
        return 0.5 * (sum(ends) + slope * (high - low))

    def _end(self) -> list[int]:
        """Halfway between the last place worth something and the next one."""
        last = self.last_above_nought
        if last is None:
            return []
        after = min((place for place in self.known if place > last), default=last)
        return [(last + after) // 2] if after - last > 1 else []

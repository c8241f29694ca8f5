"""The best date of a job on a grid of dates: coarse to fine on real forecasts, asked for in batches."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

import numpy as np

from planner.decide.months import months_later
from planner.model.late_life import DateStep

MONTHS: dict[DateStep, int] = {"month": 1, "quarter": 3, "year": 12}
COARSE = 5  # dates in the first round


def grid(first: date, end: date, step: DateStep) -> list[date]:
    """Dates from the first on, a step apart, before the end; at least the first."""
    found = [first]
    while (after := months_later(first, len(found) * MONTHS[step])) < end:
        found.append(after)
    return found


class DateSearch:
    """Finds the largest of `count` values on a grid, asking for as few as it can.

    `ask` gives the places wanted next, `tell` takes their values (NaN: cannot be done there). First a coarse round over
    the whole grid, then both sides of the best so far are halved until its neighbours are known; then the last place
    with a value above nought is narrowed down the same way. Exact where the values rise to one peak and fall; a narrow
    peak between two coarse places can be missed, and where nothing is above nought in the coarse round it ends there.
    """

    def __init__(self, count: int, coarse: int = COARSE) -> None:
        self.known: dict[int, float] = {}
        self._first = sorted({round(place) for place in np.linspace(0, count - 1, min(max(coarse, 2), count))})

    def ask(self) -> list[int]:
        """Places whose values are wanted next; none when the search is over."""
        first = [place for place in self._first if place not in self.known]
        if first or not self.known[self.best] > 0.0:
            return first
        return self._beside(self.best) or self._end()

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

    def _beside(self, place: int) -> list[int]:
        """Halfway to the known neighbours of a place, where they are not next to it."""
        low = max((other for other in self.known if other < place), default=place)
        high = min((other for other in self.known if other > place), default=place)
        return sorted({(low + place) // 2, (place + high + 1) // 2} - self.known.keys())

    def _end(self) -> list[int]:
        """Halfway between the last place worth something and the next one."""
        last = self.last_above_nought
        if last is None:
            return []
        after = min((place for place in self.known if place > last), default=last)
        return [(last + after) // 2] if after - last > 1 else []

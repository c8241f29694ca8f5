"""The search of the best date against enumeration of the grid."""

from __future__ import annotations

import math
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.decide.best_date import DateSearch, grid


def searched(values: list[float]) -> DateSearch:
    search = DateSearch(len(values))
    while wanted := search.ask():
        assert not set(wanted) & search.known.keys()
        search.tell([(place, values[place]) for place in wanted])
    return search


@settings(deadline=None)
@given(st.integers(1, 120), st.floats(0.0, 1.0), st.floats(0.1, 5.0), st.floats(0.1, 5.0))
def test_one_peak_is_found_exactly(count, where, rise, fall):
    """Rises to a peak and falls, above nought throughout: as enumeration finds it."""
    peak = round(where * (count - 1))
    values = [1000.0 - (rise if k < peak else fall) * abs(k - peak) for k in range(count)]
    search = searched(values)
    assert search.best == peak == max(range(count), key=lambda k: values[k])
    assert len(search.known) <= 5 + 2 * math.ceil(math.log2(count + 1)) + 2


@settings(deadline=None)
@given(st.integers(6, 120), st.floats(0.0, 1.0))
def test_the_last_date_that_pays_is_found_exactly(count, where):
    """Falls from the first date on and crosses nought once."""
    last = round(where * (count - 2))
    values = [last + 0.5 - k for k in range(count)]
    search = searched(values)
    assert (search.best, search.last_above_nought) == (0, last)


def test_a_grid_as_small_as_the_coarse_round_is_enumerated():
    values = [3.0, -1.0, 7.0, 2.0, 6.0]
    assert set(searched(values).known) == set(range(5))


def test_what_never_pays_ends_after_the_coarse_round():
    search = searched([-float(k) for k in range(100)])
    assert len(search.known) == 5 and search.last_above_nought is None


def test_dates_that_cannot_be_computed_are_never_best():
    search = searched([math.nan, 1.0, math.nan])
    assert search.best == 1


def test_dates_are_steps_apart_before_the_end():
    assert grid(date(2030, 1, 31), date(2031, 1, 31), "quarter") == [
        date(2030, 1, 31), date(2030, 4, 30), date(2030, 7, 31), date(2030, 10, 31),
    ]  # fmt: skip
    assert grid(date(2030, 1, 1), date(2030, 1, 1), "year") == [date(2030, 1, 1)]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_short_grids(count):
    assert searched([1.0 + k for k in range(count)]).best == count - 1

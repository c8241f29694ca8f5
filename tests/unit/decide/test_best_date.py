"""The search of the best date against enumeration of the grid."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
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
    assert len(search.known) <= 3 * math.sqrt(count) + 9 + 4 * math.ceil(math.log2(count + 1))


@settings(deadline=None)
@given(st.integers(6, 120), st.floats(0.0, 1.0))
def test_the_last_date_that_pays_is_found_exactly(count, where):
    """Falls from the first date on and crosses nought once."""
    last = round(where * (count - 2))
    values = [last + 0.5 - k for k in range(count)]
    search = searched(values)
    assert (search.best, search.last_above_nought) == (0, last)


def hump(count: int, at: float, width: float, height: float) -> np.ndarray:
    return height * np.exp(-0.5 * ((np.arange(count) - at) / width) ** 2)


@settings(deadline=None)
@given(
    st.integers(20, 240), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.3, 3.0), st.floats(-0.5, 0.5),
)  # fmt: skip
def test_the_higher_of_two_humps_is_found(count, first, second, height, foot):
    """Both as wide as a coarse step or wider; the lower one may hold the highest value of the coarse round."""
    step = (count - 1) / 8
    values = hump(count, first * (count - 1), step, 1.0) + hump(count, second * (count - 1), 1.3 * step, height) + foot
    search = searched(values.tolist())
    assert values[search.best] == pytest.approx(values.max(), abs=1e-12) or values.max() <= 0.0


def test_a_lower_hump_under_a_coarse_place_does_not_hide_a_higher_one_between_two():
    """80 quarters, 17 coarse places about 5 apart: one hump tops out on a place, the higher one between two of them."""
    values = hump(80, 39.0, 4.0, 1.0) + hump(80, 66.6, 4.0, 1.02) - 0.1
    search = searched(values.tolist())
    assert search.best == int(np.argmax(values)) == 67
    assert len(search.known) < 40


def test_a_step_in_the_value_is_found_on_its_day():
    """A price that rises in the middle of a long grid: nothing before, most on the day itself, less later."""
    values = [-5.0 if place < 97 else 300.0 - place for place in range(240)]
    assert searched(values).best == 97


def test_a_grid_as_small_as_the_first_round_is_enumerated():
    values = [3.0, -1.0, 7.0, 2.0, 6.0]
    assert set(searched(values).known) == set(range(5))


def test_what_never_pays_ends_after_the_coarse_round():
    search = searched([-float(k) for k in range(100)])
    assert len(search.known) < 10 and search.last_above_nought is None


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

"""The doors of the room: the life of a well under one what-if, and its flow at an instant."""

from __future__ import annotations

import time as clock
from collections.abc import Callable, Sequence
from datetime import date

from planner.base.errors import CaseError, Problem
from planner.forecast.early_water import Found, find_streak, in_this_string
from planner.forecast.life import Life, Progress
from planner.forecast.limits import limits_now, margins_along
from planner.forecast.sandface import horizontal_of, skins_of
from planner.forecast.tubing_profile import tubing_profile
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.history import with_history
from planner.model.results import FlowProfile, Forecast
from planner.network.describe import describe_network


def forecast(
    case: Case,
    what_if: WhatIf | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
    until: date | None = None,
    also: Sequence[date] = (),
    sized: Found | None = None,
) -> Forecast:
    """Life of the well under a what-if (None: the base).

    Where the case says so, its measured history controls the well. also: days to report besides the schedule's.
    sized: the streak of early water as it was found in another string in the same rock; none: it is found here.
    progress(share, text) is called on every report date; cancelled() is asked before every step. Raises Refusal when
    the string cannot do a job, ForecastError when a step cannot be solved, Cancelled.
    """
    started = clock.perf_counter()
    case = with_history(case)
    found = find_streak(case, what_if, progress, cancelled) if sized is None else in_this_string(sized, what_if)
    life = Life(case, what_if, found.streak if found else None)
    if found is not None:
        life.note("event", found.zone, found.text, 0.0, found.event)
    life.run(until, progress, cancelled, also)
    return life.result(started)


def size_early_water(case: Case, what_if: WhatIf | None, cancelled: Callable[[], bool] | None = None) -> Found | None:
    """The streak that the early water of a what-if needs, for `forecast(sized=...)`; None where it has none.

    Raises Refusal when it cannot be, ForecastError, Cancelled.
    """
    return find_streak(with_history(case), what_if, None, cancelled)


def flow(case: Case, what_if: WhatIf | None = None, on: date | None = None) -> FlowProfile:
    """Flow at an instant under a what-if (None: the base).

    At the start (on None) the layers are held at their initial state and flow in pseudo-steady state; events of the
    first day count. On a later date it is the state of the forecast. Raises as `forecast`.
    """
    if on is not None and not case.schedule.start <= on <= case.schedule.end:
        remedy = f"ask for a date from {case.schedule.start} to {case.schedule.end}"
        raise CaseError([Problem("", "on", on.isoformat(), "the date of the flow is outside the schedule", remedy)])
    case = with_history(case)
    found = find_streak(case, what_if)
    streak = found.streak if found else None
    later = on is not None and on > case.schedule.start
    life = Life(case, what_if, streak, still=not later)
    if later:
        life.run(on)
    else:
        life.settle()
    now = {name: {k: v[-1] for k, v in table.items()} for name, table in life.recorder.columns().items()}
    along = {**now["piece"], **{name: values[-1] for name, values in margins_along(life.recorder).items()}}
    return FlowProfile(
        date=(on or case.schedule.start).isoformat(),
        description=describe_network(life.network, life.march.in_place),
        well={k: float(v) for k, v in now["well"].items()}, zone=now["zone"], layer=now["layer"], piece=along,
        control=life.recorder.modes[-1], limits=limits_now(life.recorder), warnings=life.network.warnings,
        skins=skins_of(life.march), horizontal=horizontal_of(life.march, now["layer"]["pressure"]),
        tubing=tubing_profile(life.recorder),
    )  # fmt: skip

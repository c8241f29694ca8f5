"""The doors of the room: the life of a well under one what-if, and its flow at an instant."""

from __future__ import annotations

import time as clock
from collections.abc import Callable
from datetime import date

from planner.base.errors import CaseError, Problem
from planner.forecast.early_water import find_streak
from planner.forecast.life import Life, Progress
from planner.forecast.sandface import horizontal_of, skins_of
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import FlowProfile, Forecast
from planner.network.describe import describe_network


def forecast(
    case: Case,
    what_if: WhatIf | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
    until: date | None = None,
) -> Forecast:
    """Life of the well under a what-if (None: the base).

    progress(share, text) is called on every report date; cancelled() is asked before every step. Raises Refusal when
    the string cannot do a job, ForecastError when a step cannot be solved, Cancelled.
    """
    started = clock.perf_counter()
    found = find_streak(case, what_if, progress, cancelled)
    life = Life(case, what_if, found.streak if found else None)
    if found is not None:
        life.note("event", found.zone, found.text, 0.0, found.event)
    life.run(until, progress, cancelled)
    return life.result(started)


def flow(case: Case, what_if: WhatIf | None = None, on: date | None = None) -> FlowProfile:
    """Flow at an instant under a what-if (None: the base).

    At the start (on None) the layers are held at their initial state and flow in pseudo-steady state; events of the
    first day count. On a later date it is the state of the forecast. Raises as `forecast`.
    """
    if on is not None and not case.schedule.start <= on <= case.schedule.end:
        remedy = f"ask for a date from {case.schedule.start} to {case.schedule.end}"
        raise CaseError([Problem("", "on", on.isoformat(), "the date of the flow is outside the schedule", remedy)])
    found = find_streak(case, what_if)
    streak = found.streak if found else None
    later = on is not None and on > case.schedule.start
    life = Life(case, what_if, streak, still=not later)
    if later:
        life.run(on)
    else:
        life.settle()
    now = {name: {k: v[-1] for k, v in table.items()} for name, table in life.recorder.columns().items()}
    return FlowProfile(
        date=(on or case.schedule.start).isoformat(),
        description=describe_network(life.network, life.march.in_place),
        well={k: float(v) for k, v in now["well"].items()}, zone=now["zone"], layer=now["layer"], piece=now["piece"],
        control=life.recorder.modes[-1], limits=life.limits.checks(life.recorder), warnings=life.network.warnings,
        skins=skins_of(life.march), horizontal=horizontal_of(life.march, now["layer"]["pressure"]),
    )  # fmt: skip

"""Options of a portfolio: what `cure` found on every well, and jobs whose value is given."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from planner.base.errors import CaseError, ForecastError, Refusal
from planner.decide.cure import cure
from planner.decide.portfolio import Allowed, groups_of, plan
from planner.decide.runs import Asked, Progress
from planner.model.case import Case
from planner.model.cures import DO_NOTHING, Cure
from planner.model.portfolio import Option, Portfolio, PortfolioPlan


def plan_of(
    portfolio: Portfolio,
    cases: Mapping[str, Case],
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> PortfolioPlan:
    """The best set of jobs on some wells. cases: by the name of their folder.

    A well that cannot be computed is left out with a note, the others go on. Raises CaseError for a group that names a
    job that is not there, ForecastError where no well can be computed and no job is given, Cancelled.
    """
    options: list[Option] = []
    notes: list[str] = []
    left_out: list[str] = []
    day = str(portfolio.on) if portfolio.on else ""
    for number, (name, case) in enumerate(cases.items()):
        try:
            found = cure(
                case, portfolio.on, step="year" if portfolio.when == "best" else None,
                progress=_part(progress, number, len(cases), name), cancelled=cancelled, processes=processes,
            )  # fmt: skip
        except (CaseError, ForecastError, Refusal) as reason:
            left_out.append(f"{name} is left out: {_words(reason)}")
            continue
        day = found.date
        options += options_of(name, found)
        notes += [f"{name}: {text}" for text in found.warnings]
    options += [Option(one.well, one.name, one.value, one.cost, one.rig_time) for one in portfolio.jobs]
    if cases and len(left_out) == len(cases) and not portfolio.jobs:
        raise ForecastError(f"no well could be computed: {'; '.join(left_out)}")
    groups = groups_of(options, portfolio.exclusive, portfolio.several_a_well)
    allowed = Allowed(
        np.inf if portfolio.budget is None else portfolio.budget,
        np.inf if portfolio.rig_time is None else portfolio.rig_time,
        groups,
    )
    currency = next((case.economics.currency for case in cases.values()), "money")
    if portfolio.several_a_well:
        notes.append("Values of several jobs on one well are added, as if one did not change what another is worth.")
    return plan(
        options, allowed, title=portfolio.title, currency=currency, date=day, notes=dict.fromkeys([*left_out, *notes])
    )


def _words(reason: Exception) -> str:
    """A reason in a sentence."""
    return "; ".join(one.message for one in reason.problems) if isinstance(reason, CaseError) else str(reason)


def options_of(well: str, found: Cure) -> list[Option]:
    """The jobs that `cure` found on a well, on their best dates."""
    return [
        Option(well, job.name, job.value, job.cost, job.rig_time, job.best_date)
        for job in found.jobs
        if job.do != DO_NOTHING
    ]


def _part(progress: Progress | None, number: int, count: int, name: str) -> Progress | None:
    if progress is None:
        return None

    def told(share: float, text: str) -> None:
        progress((number + share) / count, f"{name}: {text}")

    return told

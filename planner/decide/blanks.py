"""What blank pipes are worth over an ensemble: what the removal of each costs somebody who acts on what is seen."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from planner.base.errors import CaseError, Problem
from planner.decide.blank_futures import Shut, decision_dates, ensemble_of, futures_of, jobs_of
from planner.decide.capital import joints
from planner.decide.policies import (
    NEVER,
    Futures,
    Played,
    Tuner,
    halves,
    idle,
    mean_and_error,
    out_of_sample,
    perfect,
    tune_plan,
    tune_regression,
    tune_rule,
)
from planner.model.blank_value import (
    BY_LOG,
    BY_WELL,
    NOTHING,
    PERFECT,
    PLAN,
    RULE,
    BlankValue,
    BlankValues,
    WayOfActing,
    Worth,
    ZoneToShut,
)
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import BASE, Ensemble, Flip
from planner.model.results import BlankInfo
from planner.network.completed import completed
from planner.network.description import blank_infos
from planner.network.well_graph import build
from planner.network.zone_layers import zone_layers
from planner.uncertainty.draws import draw, given_draws
from planner.uncertainty.pool import Crew
from planner.uncertainty.sensitivity import flips_of

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

FEW = 100  # members below which the regression has little to learn from
APART = 2.0  # standard errors at which two blanks are told apart
WITH, WITHOUT = "with it", "without it"


@dataclass(frozen=True)
class _Way:
    """A way of acting: how it is tuned, and whether it may run logs."""

    name: str
    tune: Tuner
    logs: bool = False

    def played(self, futures: Futures, parts: tuple[NDArray[np.int64], NDArray[np.int64]]) -> Played:
        """Every member played by a policy tuned on the other half."""
        own = futures if self.logs else replace(futures, log_cost=None)
        return out_of_sample(own, self.tune, parts)


def blanks(
    case: Case,
    members: int = 200,
    *,
    seed: int = 1,
    dates: int = 5,
    log_cost: float | None = None,
    under: WhatIf | None = None,
    table: pd.DataFrame | None = None,
    folder: Path | None = None,
    fresh: bool = False,
    crew: Crew = Crew(),  # noqa: B008 - frozen
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> BlankValues:
    """Blank pipes ranked by what the removal of each costs, under several ways of acting on what is seen.

    dates: of decision. log_cost: of one production log, none: late_life.log_cost of the case; where neither is given
    the zones' own rates are never known. under: what happens anyway, none: the base; a first job in it lets blanks be
    valued for the second one. table: draws that the user brings, such as those of a match; its rows are the members
    then. folder: where members are kept, none: a new temporary one. The numbers do not
    depend on the crew. Raises CaseError (an injector, no zone to shut, ranges that do not fit), ForecastError,
    Cancelled with finished members kept.
    """
    if case.well.kind.endswith("injector"):
        remedy = "Ask it of a producer."
        raise CaseError([Problem("", "well.kind", case.well.kind, "no water is shut off in an injector", remedy)])
    if under is not None and under.completion is not None:
        remedy = "Give the case that completion, and ask again."
        raise CaseError(
            [Problem("", "what_if", under.name, "blanks are those of the string as the case has it", remedy)]
        )
    days = decision_dates(case, dates)
    jobs, forbidden = jobs_of(case, under, days)
    if not jobs:
        why = "; ".join(f"{zone}: {reason}" for zone, reason in forbidden)
        remedy = "Give the string seals and blank pipes that part its zones."
        raise CaseError(
            [Problem("", "string", "", f"no zone can be shut, so no blank is worth anything: {why}", remedy)]
        )
    zones = zone_layers(case)
    drawn = draw(case, members, seed, zones) if table is None else given_draws(case, table, seed, zones)
    members = len(drawn.values)
    place = folder if folder is not None else Path(tempfile.mkdtemp(prefix="blankwise-blanks-")) / "run"
    made = ensemble_of(case, drawn, jobs, days, place, crew, progress, cancelled, under, fresh)
    cost = case.late_life.log_cost if log_cost is None else log_cost
    futures, rows, base = futures_of(case, made, jobs, days, cost)
    ways = ways_of(cost is not None)
    main = BY_LOG if cost is not None else BY_WELL
    ranking = Ranking(futures, ways, main, halves(len(rows), seed), [set(job.blanks) for job in jobs])
    told = blank_infos(build(completed(case, None)))
    infos = tuple(made_of(case, made, rows, ranking, info, jobs) for info in told)
    return BlankValues(
        made.well, made.kind, members, members - len(rows), seed, tuple(str(day) for day in days),
        float("nan") if cost is None else cost, main, base, tuple(ranking.way(one) for one in ways),
        tuple(_zone(ranking, k, job) for k, job in enumerate(jobs)), ranked(infos, ranking, jobs), tuple(forbidden),
        members * (len(jobs) * len(days) + 1), made.seconds, notes_of(ranking, cost),
        warnings_of(case, ranking, made, under),
        {"case": case, "draws": made.draws, "folder": str(place), "under": under.name if under else BASE},
    )  # fmt: skip


def ways_of(logs: bool) -> tuple[_Way, ...]:
    """The ways of acting that are looked at."""
    found = [_Way(NOTHING, lambda _: idle), _Way(PLAN, tune_plan), _Way(RULE, tune_rule, logs),
             _Way(BY_WELL, tune_regression)]  # fmt: skip
    found += [_Way(BY_LOG, tune_regression, True)] if logs else []
    return (*found, _Way(PERFECT, lambda _: perfect))


class Ranking:
    """What each way of acting is worth with all blanks, and without one of them. needs: blanks of every action."""

    def __init__(
        self, futures: Futures, ways: tuple[_Way, ...], main: str,
        parts: tuple[NDArray[np.int64], NDArray[np.int64]], needs: list[set[str]],
    ) -> None:  # fmt: skip
        self.futures, self.ways, self.main, self.parts, self.needs = futures, ways, main, parts, needs
        self.played = {one.name: one.played(futures, parts) for one in ways}
        self._costs: dict[tuple[int, ...], dict[str, Floats]] = {}

    def way(self, one: _Way) -> WayOfActing:
        """Value with all blanks."""
        played = self.played[one.name]
        value = Worth(*mean_and_error(played.value))
        return WayOfActing(one.name, value, float((played.action != NEVER).mean()), float(played.logs.mean()))

    def costs(self, blank: str) -> dict[str, Floats]:
        """What the removal of a blank costs, by way of acting [members]: policies are tuned anew without it."""
        left = tuple(k for k, needs in enumerate(self.needs) if blank not in needs)
        if len(left) == len(self.needs):
            return {one.name: np.zeros(self.futures.members) for one in self.ways}
        if left not in self._costs:
            fewer = self.futures.only(left)
            self._costs[left] = {
                one.name: self.played[one.name].value - one.played(fewer, self.parts).value for one in self.ways
            }
        return self._costs[left]

    def used(self, blank: str) -> float:
        """Share of the members in which the main way of acting needs a blank."""
        acted = self.played[self.main].action
        return float(np.isin(acted, [k for k, needs in enumerate(self.needs) if blank in needs]).mean())


def made_of(
    case: Case, made: Ensemble, rows: NDArray[np.int64], ranking: Ranking, info: BlankInfo, jobs: list[Shut]
) -> BlankValue:  # fmt: skip
    """The value of one blank."""
    costs = ranking.costs(info.name)
    price = price_of(case, info)
    over = costs[ranking.main] - (price if np.isfinite(price) else 0.0)
    return BlankValue(
        info.name, info.top_md, info.base_md, tuple(job.zone for job in jobs if info.name in job.blanks),
        {name: Worth(*mean_and_error(values)) for name, values in costs.items()}, price, ranking.used(info.name),
        float((over > 0.0).mean()), drivers_of(made, rows, over), False,
    )  # fmt: skip


def price_of(case: Case, info: BlankInfo) -> float:
    """Cost of a blank pipe and of the rig that runs it, NaN where economics.elements has no 'blank pipe'."""
    economics = case.economics
    if "blank pipe" not in economics.elements:
        return float("nan")
    terms = economics.terms_of("blank pipe")
    length = info.base_md - info.top_md
    count = joints(length, terms)
    return float(terms.cost(length, count) + economics.rig_rate * terms.time(length, count))


def drivers_of(made: Ensemble, rows: NDArray[np.int64], over: Floats) -> tuple[Flip, ...]:
    """Inputs that tell members in which a blank is worth more than its price, the strongest first; at most three."""
    figures = {"worth": np.column_stack([over, np.zeros(len(over))])}
    draws = replace(made.draws, values=made.draws.values[rows])
    return flips_of(replace(made, draws=draws, what_ifs=(WITH, WITHOUT), figures=figures), "worth", WITH, WITHOUT)[:3]


def ranked(infos: tuple[BlankValue, ...], ranking: Ranking, jobs: list[Shut]) -> tuple[BlankValue, ...]:
    """Dearest loss first; blanks that cannot be told apart from the next one are marked."""
    order = sorted(infos, key=lambda one: (-one.worth[ranking.main].mean, -one.worth[PERFECT].mean, one.top_md))
    found = []
    for one, after in zip(order, [*order[1:], None], strict=True):
        tied = False
        if after is not None:
            gap, error = mean_and_error(ranking.costs(one.name)[ranking.main] - ranking.costs(after.name)[ranking.main])
            tied = gap <= APART * error
        found.append(replace(one, tied=tied))
    return tuple(found)


def _zone(ranking: Ranking, number: int, job: Shut) -> ZoneToShut:
    gains = ranking.futures.gains[:, :, number]
    used = float((ranking.played[ranking.main].action == number).mean())
    return ZoneToShut(
        job.zone, job.shut_by, job.blanks, tuple(Worth(*mean_and_error(column)) for column in gains.T), used
    )


def notes_of(ranking: Ranking, cost: float | None) -> tuple[str, ...]:
    """How the numbers came about, and what they leave out."""
    seen = (
        "A production log shows every zone's water and main rate on its date; it is run where it is expected to pay, "
        "and forgotten by the next date."
        if cost is not None
        else "No log is run: zones' own rates are never known. --log-cost or late_life.log_cost allows logs."
    )
    return (
        "Ways of acting are tuned on one half of the members and valued on the other, and the other way round. The "
        "regression (Longstaff and Schwartz 2001, Rev. Financ. Stud. 14) is a bound from below to what acting well is "
        "worth, perfect information one from above that nobody reaches.",
        "A standard error takes the members as random and the policy as given.",
        "Seen from the well on a decision date: water cut (a gas well: water rate), main rate, bottom-hole pressure, "
        "volume so far and the rise of the water cut since the last decision date, without error. " + seen,
        "What a blank is worth is what its removal costs: jobs that need it are gone, policies are tuned anew. A zone "
        "that two blanks shut together gives its worth to both, so worths do not add up; a blank that another one can "
        "stand in for is worth nothing by itself.",
        "Not modelled: more than one job in a well's life (--what-if with the first one in it values blanks for the "
        "second), jobs other than shutting one zone (chokes, plugs over several zones, opening again), a job's "
        "chance of success other than where the case's failures draw it, prices seen before acting, days of decision "
        "in between, seals, what a screen in the blank's place would give.",
    )


def warnings_of(case: Case, ranking: Ranking, made: Ensemble, under: WhatIf | None) -> tuple[str, ...]:
    """What to beware of."""
    found = []
    if under is not None:
        found.append(f"what happens anyway ({under.name}) keeps the blanks it needs: their worth for it is not in here")
    count = ranking.futures.members
    if count < FEW:
        found.append(f"{count} members are few: half of them are little to learn from, {2 * FEW} are better")
    if count < made.members:
        why = next(iter(made.messages.values()), "")
        found.append(f"{made.members - count} of {made.members} members could not be computed and are left out: {why}")
    gain, _ = mean_and_error(ranking.played[ranking.main].value - ranking.played[PLAN].value)
    if gain < 0.0:
        found.append(
            "acting on what is seen came out below the fixed plan: with these members nothing is learned from it"
        )
    if case.economics.oil_price == case.economics.gas_price == 0.0 and not case.economics.prices:
        found.append("the case has no prices: only costs are counted")
    return tuple(found)

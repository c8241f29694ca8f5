"""What the worth of blanks rests on and leaves out, in sentences."""

from __future__ import annotations

from planner.decide.blank_futures import may_fail
from planner.decide.blank_grid import CELLS, CHECKED, GridCheck
from planner.decide.blank_jobs import Shut, luck_of, of_jobs
from planner.decide.blank_ranking import HALVINGS, Ranking
from planner.decide.policies import mean_and_error
from planner.model.blank_value import PLAN
from planner.model.case import Case
from planner.model.change import ShutZone, WhatIf
from planner.model.ensemble import Ensemble

FEW = 100  # members below which the regression has little to learn from
OFF = 0.03  # of the size of a gain by which the coarse grid may be off


def notes_of(
    case: Case, ranking: Ranking, jobs: list[Shut], cost: float | None, check: GridCheck | None
) -> tuple[str, ...]:  # fmt: skip
    """How the numbers came about, and what they leave out."""
    seen = (
        "A production log shows every zone's water and main rate on its date; it is run where it is expected to pay, "
        "and forgotten by the next date."
        if cost is not None
        else "No log is run: zones' own rates are never known. --log-cost or late_life.log_cost allows logs."
    )
    return (
        "Ways of acting are tuned on one half of the members and valued on the other, and the other way round, for "
        f"{HALVINGS} ways of halving them. The regression (Longstaff and Schwartz 2001, Rev. Financ. Stud. 14) is a "
        "bound from below to what acting well is worth, perfect information one from above that nobody reaches.",
        "A standard error takes the members as random, and adds how much the mean moves from one halving to the next. "
        "Worths are differences over the same members and halvings.",
        "Seen from the well on a decision date: water cut (a gas well: water rate), main rate, bottom-hole pressure, "
        "volume so far and the rise of the water cut since the last decision date, without error. " + seen,
        "What a blank is worth is what its removal costs: jobs that need it are gone, policies are tuned anew. A zone "
        "that two blanks shut together gives its worth to both, so worths do not add up. Where one can stand in for "
        "another, each by itself is worth little or nothing: read the row of the group, which loses all of them. "
        "'Alone' is what a blank adds to a string without any other.",
        "The price of a blank is its pipe, the rig that runs it and, beside a layer, what a screen in its place would "
        "have given (one forecast of the case's middle values) less the cost of that screen, all after tax and "
        "discounted as the worth is. In shale no screen is lost, and behind a blank without cement a layer flows on "
        "along the open hole to the next screen. The plug or straddle set later is part of the job's cost, so of the "
        "worth.",
        *_luck(case, jobs),
        *_grid(check),
        "Not modelled: more than one job in a well's life, so no second try after one that failed (--what-if with a "
        "first job in it values blanks for the second), jobs other than shutting one zone (chokes, plugs over several "
        "zones, opening again), prices seen before acting, days of decision in between, seals.",
    )


def _luck(case: Case, jobs: list[Shut]) -> tuple[str, ...]:
    """How jobs that may fail are counted; nothing where all are sure."""
    if not may_fail(case, jobs):
        return ("Every job succeeds: the case gives no chance below 1.",)
    by_chance: dict[float, list[str]] = {}
    for job in jobs:
        by_chance.setdefault(luck_of(case, job.zone).chance, []).append(job.zone)
    said = "; ".join(f"{chance:.0%} on {', '.join(zones)}" for chance, zones in by_chance.items())
    return (
        f"Jobs may fail: chance of success {said}. Every way of acting is valued at the expectation over that luck "
        "(success times gain, failure times the money and the time lost), and none but perfect information knows it "
        "beforehand. A job that failed is not tried again.",
    )


def _grid(check: GridCheck | None) -> tuple[str, ...]:
    if check is None:
        return ()
    return (
        f"Forecasts are on a coarse grid (at most {CELLS} cells a layer, quarterly dates, longer steps; --grid own "
        f"takes the case's). In {check.members} members computed on both, a gain is off by {check.share:.1%} of its "
        f"size (root mean square; {check.shift:+,.3g} on average).",
    )


def warnings_of(
    case: Case, ranking: Ranking, made: Ensemble, under: WhatIf | None, check: GridCheck | None, coarse: bool = False
) -> tuple[str, ...]:  # fmt: skip
    """What to beware of."""
    found = []
    if under is not None:
        found.append(f"what happens anyway ({under.name}) keeps the blanks it needs: their worth for it is not in here")
    if under is not None and any(isinstance(event, ShutZone) for event in under.events):
        rows = [one.name for one in case.failures if of_jobs(one)]
        if rows:
            found.append(f"what happens anyway is taken to succeed, whatever {', '.join(rows)} says of its jobs")
    count = ranking.futures.members
    if not made.draws.inputs:
        found.append("nothing in the case is uncertain but whether jobs succeed: every member is the same future")
    elif count < FEW:
        found.append(f"{count} members are few: half of them are little to learn from, {2 * FEW} are better")
    if count < made.members:
        why = next(iter(made.messages.values()), "")
        found.append(f"{made.members - count} of {made.members} members could not be computed and are left out: {why}")
    values = ranking.values(ranking.every)
    gain, _ = mean_and_error(values[ranking.main] - values[PLAN])
    if gain < 0.0:
        found.append(
            "acting on what is seen came out below the fixed plan: with these members nothing is learned from it"
        )
    if coarse and check is None:
        found.append(f"none of {CHECKED} members could be computed on the case's own grid: the coarse one's error is "
                     "not known")  # fmt: skip
    if check is not None and check.share > OFF:
        found.append(f"the coarse grid is off by {check.share:.1%} of a gain: --grid own takes the case's")
    if case.economics.oil_price == case.economics.gas_price == 0.0 and not case.economics.prices:
        found.append("the case has no prices: only costs are counted")
    return tuple(found)

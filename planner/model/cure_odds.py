"""Frozen records of what `cure` found over draws: each job over the members, with the same draws for all."""

from __future__ import annotations

from dataclasses import dataclass

# Quantity of the columns of the record below.
ODDS: dict[str, str] = {
    "value": "money",
    "value_error": "money",
    "p90": "money",
    "p50": "money",
    "p10": "money",
    "value_in_case": "money",
    "value_now": "money",
    "value_if_done": "money",
    "value_if_failed": "money",
    "pays": "fraction",
    "best": "fraction",
    "breaks_a_limit": "fraction",
    "chance": "fraction",
    "oil_difference": "liquid volume",
    "water_difference": "liquid volume",
    "gas_difference": "gas volume",
}


@dataclass(frozen=True)
class JobOdds:
    """A job against doing nothing over the members. Money of the day of the decision, in the case's currency; m3.

    date: of those tried the one with the largest mean value; value: mean over the members of what the job is worth,
    its success weighed by its chance; value_error: standard error of that mean. value_if_done, value_if_failed: means
    of the two, NaN where it cannot fail. p90, p50, p10: of what it brings in the end, success or failure: P90 is the
    low case. pays: probability that it brings more than it costs; pays_band holds with 90 %. best: share of the
    members in which no other job, nor doing nothing, is worth more. breaks_a_limit: share of the members in which it
    breaks a limit that doing nothing keeps. value_now: mean on the day of the decision, NaN where it was not looked at
    then; value_in_case: in the case itself, without draws, on `date`.
    """

    name: str
    do: str
    zone: str
    date: str
    members: int
    chance: float
    value: float
    value_error: float
    p90: float
    p50: float
    p10: float
    pays: float
    pays_band: tuple[float, float]
    best: float
    value_if_done: float
    value_if_failed: float
    value_now: float
    value_in_case: float
    breaks_a_limit: float
    oil_difference: float
    water_difference: float
    gas_difference: float


@dataclass(frozen=True)
class CureOdds:
    """Jobs over the members, the largest mean value first. nothing_best: share of the members in which no job pays.

    members: drawn; used: those in which everything could be computed. forecasts: marched or branched.
    """

    jobs: tuple[JobOdds, ...]
    members: int
    used: int
    nothing_best: float
    forecasts: int
    seconds: float
    folder: str
    notes: tuple[str, ...] = ()

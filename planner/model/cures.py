"""Frozen records of what `cure` found: where the water comes from, which jobs there are, what each is worth."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from planner.model.cure_odds import CureOdds

Mechanism = Literal[
    "dry", "too little to tell", "channelling", "coning", "even displacement", "depletion", "gas breaks through"
]

DO_NOTHING = "do nothing"  # stands among the jobs, worth nought: what ranks below it never pays

# Quantity of the columns of the records below.
TROUBLE: dict[str, str] = {
    "oil_rate": "liquid rate",
    "water_rate": "liquid rate",
    "gas_rate": "gas rate",
    "water_cut": "fraction",
    "share_of_water": "fraction",
    "pressure": "pressure",
    "ratio": "number",
    "ratio_slope": "number",
    "derivative_slope": "number",
}
OUTLOOK: dict[str, str] = {
    "value": "money",
    "value_now": "money",
    "value_of_waiting": "money",
    "value_if_done": "money",
    "value_if_failed": "money",
    "chance": "fraction",
    "cost": "money",
    "duration": "time",
    "oil_difference": "liquid volume",
    "water_difference": "liquid volume",
    "gas_difference": "gas volume",
}


@dataclass(frozen=True)
class Trouble:
    """What a zone (or '' for the well) makes on the day, and why it is wet. Rates m3/s at surface, pressure Pa.

    ratio: water over oil (gas well: over gas) by surface volume; ratio_slope, derivative_slope: log-log slopes of it
    and of its derivative with time since water came, NaN where there is too little to tell; points: rows they rest on.
    plot: what the slopes alone speak for; mechanism: with what the model knows, the reasons beside it.
    """

    zone: str
    oil_rate: float
    water_rate: float
    gas_rate: float
    water_cut: float
    share_of_water: float
    pressure: float
    ratio: float
    ratio_slope: float
    derivative_slope: float
    points: int
    plot: Mechanism
    mechanism: Mechanism
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Forbidden:
    """A job that cannot be done, or was not looked at, with the reason."""

    name: str
    do: str
    zone: str
    reason: str


@dataclass(frozen=True)
class JobOutlook:
    """A job against doing nothing. Money of the day of the decision, in the case's currency; volumes m3; duration s.

    value: risked, on the best date; value_if_done and value_if_failed on that date; value_of_waiting: value less
    value_now. pays_until: last date tried at which the job is still worth something, '' for none. dates, values: what
    was tried, by date. needs: what the job does to the string. broken: limits that doing nothing would keep. A job that
    never pays stands on the date on which it loses least. value_now: NaN where it cannot be computed on that day.
    """

    name: str
    do: str
    zone: str
    way: str
    needs: str
    cost: float
    duration: float
    chance: float
    rig_time: float
    best_date: str
    value: float
    value_now: float
    value_if_done: float
    value_if_failed: float
    pays_until: str
    oil_difference: float
    water_difference: float
    gas_difference: float
    broken: tuple[str, ...]
    dates: tuple[str, ...]
    values: tuple[float, ...]

    @property
    def value_of_waiting(self) -> float:
        """What the best date is worth more than today."""
        return self.value - self.value_now

    @property
    def pays(self) -> bool:
        """Whether the job is worth more than doing nothing, on its best date."""
        return self.value > 0.0


@dataclass(frozen=True)
class Cure:
    """Diagnosis on a day and the jobs ranked by risked value, doing nothing among them (no date, all nought).

    step: of the dates tried, '' for that day alone. odds: what the jobs are worth over draws, where asked for. extra:
    the case ('case'), the forecast of doing nothing ('base'), what happens anyway ('under'), jobs without their dates
    by name ('candidates').
    """

    well: str
    kind: str
    date: str
    step: str
    what_if: str
    whole_well: Trouble
    zones: tuple[Trouble, ...]
    jobs: tuple[JobOutlook, ...]
    forbidden: tuple[Forbidden, ...]
    forecasts: int
    seconds: float
    warnings: tuple[str, ...] = ()
    odds: CureOdds | None = None
    extra: dict[str, Any] = field(default_factory=dict)

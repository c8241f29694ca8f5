"""A portfolio: jobs on several wells under one budget. Input records (as portfolio.toml has them) and results."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.quantity import Duration, Money, Number


class PortfolioRecord(BaseModel):
    """Base of the input records of a portfolio: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class GivenJob(PortfolioRecord):
    """A job whose value somebody else worked out; it stands beside those found by `cure`."""

    well: str
    name: str
    value: Number = Field(description="risked, against doing nothing, of the day of the decision")
    cost: Money
    rig_time: Duration = Field(default=0.0, description="of a rig")


class Portfolio(PortfolioRecord):
    """What may be spent on which wells."""

    title: str = ""
    on: date | None = Field(default=None, description="day of the decision for all wells; none: each well's own")
    when: Literal["now", "best"] = Field(default="now", description="jobs on that day, or each on its best date")
    budget: Money | None = Field(default=None, description="for all jobs together; none: no limit")
    rig_time: Duration | None = Field(default=None, description="of the rig, for all jobs together; none: no limit")
    wells: tuple[str, ...] = Field(default=(), description="folders with a case; none: all in this folder")
    several_a_well: bool = Field(default=False, description="more than one job on a well; their values are then added")
    exclusive: tuple[tuple[str, ...], ...] = Field(
        default=(), description="groups of jobs of which one can be done, each written 'well: job'"
    )
    jobs: tuple[GivenJob, ...] = Field(default=(), description="jobs whose value is given here")


@dataclass(frozen=True)
class Option:
    """A job on a well that may be chosen: risked value and cost in the currency, rig_time s, date '' if not known."""

    well: str
    name: str
    value: float
    cost: float
    rig_time: float = 0.0
    date: str = ""

    @property
    def key(self) -> str:
        """How a group names it: 'well: job'."""
        return f"{self.well}: {self.name}"


@dataclass(frozen=True)
class Chosen:
    """The best set: places of the options, their value, cost, and rig time (s)."""

    places: tuple[int, ...]
    value: float
    cost: float
    rig_time: float


@dataclass(frozen=True)
class Missed:
    """An option that is not chosen. loss: what the best set that holds it is worth less; '' or why no set can hold it.

    budget_needed: least budget of the curve, with the same rig time, at which the best set holds it (of several that
    are worth the same, the one found); NaN where there is none up to the cost of everything.
    """

    option: Option
    loss: float
    why: str
    budget_needed: float


@dataclass(frozen=True)
class PortfolioPlan:
    """The best set of jobs and what more budget would be worth.

    next_budget: least budget at which a better set exists, and next_value its value; NaN where none does. dual: value
    of one more unit of budget, dual_rig: of one more s of rig time, where jobs could be done in part (linear
    relaxation: a hint, not a promise). budgets, values: the best value against the budget. notes: per well.
    """

    title: str
    currency: str
    date: str
    options: tuple[Option, ...]
    chosen: Chosen
    budget: float
    rig_time: float
    dual: float
    dual_rig: float
    next_budget: float
    next_value: float
    next_set: tuple[int, ...]
    budgets: tuple[float, ...]
    values: tuple[float, ...]
    missed: tuple[Missed, ...]
    notes: tuple[str, ...] = ()

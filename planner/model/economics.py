"""Money as the case states it: prices, costs, ways of doing jobs, what elements cost, tax, discounting. In SI."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.quantity import (
    Duration,
    Fraction,
    GasPrice,
    LiquidPrice,
    Money,
    MoneyPerLength,
    MoneyRate,
    Number,
    OpenFraction,
    PositiveLength,
    Velocity,
)

Discounting = Literal["end of month", "mid-month", "end of year", "mid-year"]
Losses = Literal["relief", "carried forward"]

LATER_KINDS = ("straddle", "conforming screen", "stand-alone screen", "gravel pack screen")  # beside the string's own


class MoneyRecord(BaseModel):
    """Base of the records of money: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PriceRow(MoneyRecord):
    """Prices from a date on, until the next row. Not given: the price of the row before, first of all the constant."""

    date: date
    oil_price: LiquidPrice | None = None
    gas_price: GasPrice | None = None


class Way(MoneyRecord):
    """A way of doing jobs, such as wireline, coiled tubing or a rig: what each job costs, how long it takes."""

    cost: Money = Field(default=0.0, description="of each job, whatever its length")
    daily_cost: MoneyRate = Field(default=0.0, description="on top, for as long as the job takes")
    duration: Duration = Field(default=0.0, description="of each job; the well is shut in for as long")
    chance: OpenFraction = Field(default=1.0, description="of success; a job that fails changes nothing")
    rig_time: Duration | None = Field(default=None, description="of a rig, in a portfolio; none: no rig is needed")

    @property
    def job_cost(self) -> float:
        """Cost of one job done this way."""
        return self.cost + self.daily_cost * self.duration


class ElementTerms(MoneyRecord):
    """What one kind of element of the string costs, and how fast it is run."""

    each: Money = Field(default=0.0, description="cost of each")
    per_length: MoneyPerLength = Field(default=0.0, description="cost by length")
    joint_length: PositiveLength | None = Field(default=None, description="of one joint; none: the element as it is")
    running_speed: Velocity | None = Field(default=None, description="none: runs in no time")
    expansion_speed: Velocity | None = Field(default=None, description="none: it is not expanded")
    rig_time: Duration = Field(default=0.0, description="for each, beside running and expansion")

    def cost(self, length: float, count: int = 1) -> float:
        """Cost of `count` elements of a total length in m."""
        return self.each * count + self.per_length * length

    def time(self, length: float, count: int = 1) -> float:
        """Rig time in s of `count` elements of a total length in m: run, expanded, and the time for each."""
        speeds = [speed for speed in (self.running_speed, self.expansion_speed) if speed is not None]
        return self.rig_time * count + sum(length / speed for speed in speeds)


class Economics(MoneyRecord):
    """Money, in one currency of the user's choice."""

    currency: str = "money"
    oil_price: LiquidPrice = Field(default=0.0, description="constant, or until the first row of prices")
    gas_price: GasPrice = Field(default=0.0, description="the same")
    prices: tuple[PriceRow, ...] = Field(default=(), description="price deck: rows by date")
    oil_cost: LiquidPrice = Field(default=0.0, description="per volume of oil: handling, transport")
    gas_cost: GasPrice = Field(default=0.0, description="per volume of gas: handling, transport")
    water_cost: LiquidPrice = Field(default=0.0, description="handling of produced water")
    injection_cost: LiquidPrice = Field(default=0.0, description="per volume of injected water")
    gas_injection_cost: GasPrice = Field(default=0.0, description="per volume of injected gas")
    operating_cost: Money = Field(default=0.0, description="per year")
    price_escalation: Number = Field(default=0.0, description="per year, of prices, from the reference date")
    cost_escalation: Number = Field(default=0.0, description="per year, of costs, jobs included, the same way")
    discount_rate: Fraction = Field(default=0.1, description="per year, effective")
    discounting: Discounting = Field(default="end of month", description="when the cash of a month counts as paid")
    reference_date: date | None = Field(default=None, description="values are of this date; none: the schedule's start")
    royalty: Fraction = Field(default=0.0, description="share of revenue")
    tax: Fraction = Field(default=0.0, description="share of revenue less royalty and costs")
    losses: Losses = Field(
        default="relief", description="relief: a loss lowers other tax at once; carried forward: to later years"
    )
    economic_limit: bool = Field(
        default=False,
        description="true: the well is given up, at no cost, where it would only lose money from then on, not before "
        "its last job; false: it runs as long as the forecast",
    )
    intervention_cost: Money = Field(default=0.0, description="of each job without a cost or a way of its own")
    ways: dict[str, Way] = Field(default={}, description="ways of doing jobs, by name")
    default_ways: dict[str, str] = Field(default={}, description="way of a job that names none, by what it does")
    rig_rate: MoneyRate = Field(default=0.0, description="of the rig that runs the string")
    rig_time: Duration = Field(default=0.0, description="to run the string, beside the time of its elements")
    elements: dict[str, ElementTerms] = Field(default={}, description="cost and speed of elements, by kind")

    def terms_of(self, kind: str, screen: str = "") -> ElementTerms:
        """Terms of a kind of element; of a screen, those of its own kind ('conforming screen') before 'screen'."""
        if kind == "screen" and f"{screen} screen" in self.elements:
            return self.elements[f"{screen} screen"]
        return self.elements.get(kind, ElementTerms())

    def way_of(self, do: str, way: str = "") -> Way | None:
        """The way of doing a job: the one that it names, else the default of what it does; None where there is none."""
        return self.ways.get(way or self.default_ways.get(do, ""))

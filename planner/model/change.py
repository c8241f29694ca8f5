"""What-ifs as data: a name and a list of events, each an action at a date or at a trigger. Replayable, comparable."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.lift import GasLift, Pump
from planner.model.quantity import (
    Area,
    Diameter,
    Duration,
    Fraction,
    GasOilRatio,
    GasRate,
    LeakConductance,
    LiquidRate,
    Money,
    OpenFraction,
    Positive,
    Pressure,
    PressureDifference,
)
from planner.model.sandface import CompletionName


class Trigger(BaseModel):
    """A condition watched at every report date after `after`; the action follows `delay` later.

    Exactly one of the five conditions is given. `zone` empty: the whole well.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    zone: str = ""
    water_cut_above: Fraction | None = None
    gas_oil_ratio_above: GasOilRatio | None = None
    oil_rate_below: LiquidRate | None = None
    water_rate_above: LiquidRate | None = Field(default=None, description="the one to use on gas wells")
    pressure_below: Pressure | None = Field(default=None, description="zone's average, or bottom hole for the well")
    after: date | None = None
    delay: Duration = 0.0


class Event(BaseModel):
    """Base of all events: a fixed date or a trigger, never both."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    on: date | None = Field(default=None, description="fixed date")
    when: Trigger | None = Field(default=None, description="or a condition")
    cost: Money | None = Field(
        default=None, description="of the job; none: that of its way, or economics.intervention_cost"
    )
    way: str = Field(default="", description="of doing it, of economics.ways; none: economics.default_ways")
    duration: Duration | None = Field(
        default=None, description="the well is shut in for as long; none: that of its way"
    )
    chance: OpenFraction | None = Field(default=None, description="of success; none: that of its way, or 1")


class ShutZone(Event):
    """Shut a zone for good by the plug (lowest zone) or straddle (others) that can do it; refused where none can."""

    do: Literal["shut zone"] = "shut zone"
    zone: str


class OpenZone(Event):
    """Take the plug or straddle of a zone out again."""

    do: Literal["open zone"] = "open zone"
    zone: str


class SetPlug(Event):
    """A packer with plug in a blank pipe: everything deeper is shut in."""

    do: Literal["set plug"] = "set plug"
    blank: str


class SetStraddle(Event):
    """Two packers and an inner pipe from one blank pipe to a deeper one: what lies between is shut, or choked."""

    do: Literal["set straddle"] = "set straddle"
    upper_blank: str
    lower_blank: str
    nozzle_area: Area | None = Field(default=None, description="none: closed; else the zone flows through the nozzle")


class ChokeZone(Event):
    """A straddle with a nozzle over a zone."""

    do: Literal["choke zone"] = "choke zone"
    zone: str
    nozzle_area: Area


class Stimulate(Event):
    """Change the skin of a zone's layers: lower is stimulation, higher is damage."""

    do: Literal["set skin"] = "set skin"
    zone: str
    skin: float


class LeakSeal(Event):
    """A seal, packer or plug begins to leak."""

    do: Literal["leak seal"] = "leak seal"
    element: str
    conductance: LeakConductance = Field(description="for a fluid of 1 cP; 0 makes it tight again")


class PlugScreen(Event):
    """The screens of a zone plug up: their inflow conductance falls to a share, at once or over a time."""

    do: Literal["plug screen"] = "plug screen"
    zone: str
    remaining: Positive = Field(description="share of the inflow conductance that remains")
    over: Duration = 0.0


class LoseSupport(Event):
    """A support (aquifer, injector, constant pressure) fails or weakens to a share."""

    do: Literal["lose support"] = "lose support"
    support: str
    remaining: Fraction = 0.0


class EarlyWater(Event):
    """Water reaches the well from a layer by a date: part of it becomes a thief streak, sized by root finding."""

    do: Literal["early water"] = "early water"
    zone: str
    layer: str = Field(default="", description="none: the zone's layer with water support and the largest kh")
    by: date
    share: Positive = Field(default=0.3, description="share of the layer's kh that the streak carries, below 1")
    water_cut: Fraction = Field(default=0.05, description="of the zone, that counts as arrival")


class ChangeControl(Event):
    """Change of the well's control; what is not given stays as it was."""

    do: Literal["change control"] = "change control"
    shut: bool | None = None
    bottom_hole_pressure: Pressure | None = None
    oil_rate: LiquidRate | None = None
    liquid_rate: LiquidRate | None = None
    water_rate: LiquidRate | None = None
    gas_rate: GasRate | None = None
    drawdown: PressureDifference | None = None
    wellhead_pressure: Pressure | None = None


class ChangeLift(Event):
    """Change what lifts the well: gas lift, pump, or the tubing's inner diameter; what is not given stays."""

    do: Literal["change lift"] = "change lift"
    gas_lift: GasLift | None = None
    pump: Pump | None = None
    inner_diameter: Diameter | None = None


class SetValve(Event):
    """Turn the valves of a screen or blank pipe that has nozzles: a share of their area stays open."""

    do: Literal["set valve"] = "set valve"
    element: str
    opening: Fraction = Field(description="share of nozzle_area that is open: 0 closed, 1 as run")


AnyEvent = Annotated[
    ShutZone
    | OpenZone
    | SetPlug
    | SetStraddle
    | ChokeZone
    | Stimulate
    | LeakSeal
    | PlugScreen
    | LoseSupport
    | EarlyWater
    | ChangeControl
    | ChangeLift
    | SetValve,
    Field(discriminator="do"),
]

# What somebody has to go out and do; other events happen, or are done at the well's head.
JOB_KINDS = ("shut zone", "open zone", "set plug", "set straddle", "choke zone", "set skin", "change lift")


class WhatIf(BaseModel):
    """A named list of events on top of the case, which may be completed another way from the start."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    description: str = ""
    completion: CompletionName | None = Field(
        default=None, description="the same well completed that way from the start, with the numbers of `completions`"
    )
    events: tuple[AnyEvent, ...] = ()

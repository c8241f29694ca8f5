"""What late-life jobs may be looked at: the day of the decision, nozzles, stimulation, lifts. Inputs, in SI."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.lift import GasLift, Pump
from planner.model.quantity import Area, Diameter, Money, Number, Pressure

CureKind = Literal["shut zone", "open zone", "set plug", "set straddle", "choke zone", "set skin", "change lift"]
DateStep = Literal["month", "quarter", "year"]


class LateLifeRecord(BaseModel):
    """Base of the records of late life: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class LiftOption(LateLifeRecord):
    """One change of what lifts the well that may be looked at; what is not given stays."""

    name: str
    gas_lift: GasLift | None = None
    pump: Pump | None = None
    inner_diameter: Diameter | None = Field(default=None, description="of another tubing")
    wellhead_pressure: Pressure | None = None
    bottom_hole_pressure: Pressure | None = None
    way: str = Field(default="", description="of doing it; none: economics.default_ways of 'change lift'")
    cost: Money | None = Field(default=None, description="none: that of its way")


class LateLife(LateLifeRecord):
    """What `cure` looks at."""

    today: date | None = Field(default=None, description="day of the decision; none: the start of the schedule")
    jobs: tuple[CureKind, ...] = Field(default=(), description="kinds of job to look at; none: all")
    nozzle_area: Area = Field(default=60e-6, description="of the nozzle where a zone is choked")
    stimulated_skin: Number = Field(default=0.0, description="of a zone's layers after stimulation")
    lifts: tuple[LiftOption, ...] = ()
    log_cost: Money | None = Field(
        default=None, description="of one production log, after which the zones' own rates are known; none: none is run"
    )

"""What brings the fluids up (or takes them down): tubing, gas lift, pump. Frozen validated records in SI."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from planner.model.quantity import (
    Diameter,
    GasRate,
    Length,
    LiquidRate,
    NotNegative,
    Positive,
    PositiveLength,
    Roughness,
    Temperature,
)

GradientMethod = Literal[
    "beggs-brill 1973",
    "beggs-brill 1973 with payne 1979",
    "hagedorn-brown 1965",
    "gray 1974",
    "drift flux 2005",
    "gas column",
    "liquid column",
]


class LiftRecord(BaseModel):
    """Base of the records of lift: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class GasLift(LiftRecord):
    """Gas let into the tubing from outside; its gravity is that of the case's gas."""

    depth_md: Length = Field(description="where the gas enters")
    rate: GasRate = Field(description="at surface conditions")


class PumpPoint(LiftRecord):
    """One row of a pump's curve at its reference speed: head of one stage at a rate through the pump."""

    rate: LiquidRate = Field(description="through the pump, at intake conditions")
    head: Length = Field(description="of one stage, in metres or feet of the fluid pumped")


class Pump(LiftRecord):
    """A submersible pump as head against rate. Speed by the affinity laws; gas at the intake is not held against it."""

    depth_md: Length
    curve: tuple[PumpPoint, ...] = Field(min_length=2, description="rates rising, heads not rising")
    stages: int = Field(default=1, ge=1)
    speed: Positive = Field(default=1.0, description="over the speed of the curve: 1.1 is 10 % faster")

    @model_validator(mode="after")
    def _curve_falls(self) -> Pump:
        pairs = list(pairwise(self.curve))
        if any(b.rate <= a.rate for a, b in pairs):
            raise ValueError("the rates of a pump curve must rise from row to row")
        if any(b.head > a.head for a, b in pairs):
            raise ValueError("the head of a pump curve must not rise with rate")
        return self


class Tubing(LiftRecord):
    """The pipe from the wellhead to the top of the string, and how its pressures are computed.

    'gas column' and 'liquid column' take whatever flows without slip: exact for one phase alone.
    """

    top_md: Length = Field(default=0.0, description="of the wellhead")
    base_md: Length | None = Field(default=None, description="none: the top of the string")
    inner_diameter: Diameter
    roughness: Roughness = 1.5e-5
    method: GradientMethod = "beggs-brill 1973"
    surface_temperature: Temperature = Field(
        default=288.15, description="of the ground at the wellhead, and of what is injected"
    )
    heat_transfer: NotNegative | None = Field(
        default=None,
        description="W/(m2 K) between fluid and undisturbed rock over the inner wall; none: the fluid is as warm as "
        "the rock beside it",
    )
    segment: PositiveLength = Field(default=100.0, description="longest step of the march")
    gas_lift: GasLift | None = None
    pump: Pump | None = None

    @model_validator(mode="after")
    def _depths(self) -> Tubing:
        places = {"gas_lift": self.gas_lift, "pump": self.pump}
        for name, part in places.items():
            if part is None:
                continue
            if part.depth_md <= self.top_md or (self.base_md is not None and part.depth_md > self.base_md):
                raise ValueError(f"{name}.depth_md must lie below the top of the tubing and not below its base")
        if self.base_md is not None and self.base_md <= self.top_md:
            raise ValueError("base_md must be below top_md")
        return self

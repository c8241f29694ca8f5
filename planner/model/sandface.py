"""What lies between rock and pipe: perforations, and the ways in which a well may be completed. Frozen, in SI.

A what-if may complete the same well another way from the start (`completion`); what that way needs stands in the
`completions` of the case. A number without common practice behind it has no default: it is asked for.
"""

from __future__ import annotations

import math
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from planner.model.quantity import (
    Angle,
    Diameter,
    Length,
    LinearLoss,
    NotNegativeLength,
    OpenFraction,
    Permeability,
    Plugging,
    PositiveLength,
    QuadraticLoss,
    Roughness,
    ShotDensity,
    TurbulenceCoefficient,
)

CompletionName = Literal["conforming", "stand-alone", "gravel pack", "perforated casing"]
ForchheimerMethod = Literal["", "geertsma 1974", "firoozabadi-katz 1979"]
PHASINGS = (0, 45, 60, 90, 120, 180)  # degrees, those of Karakas and Tariq 1991


class SandfaceRecord(BaseModel):
    """Base of the records of the sandface: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Perforations(SandfaceRecord):
    """One way of perforating a cemented casing; elements of the kind 'perforated casing' name it."""

    shot_density: ShotDensity
    phasing: Angle = Field(description="between neighbouring tunnels: 0, 45, 60, 90, 120 or 180 deg")
    length: PositiveLength = Field(description="of a tunnel, beyond the hole wall, in the rock")
    entrance_diameter: Diameter = Field(description="of a tunnel, in casing and rock")
    crushed_thickness: NotNegativeLength = Field(description="of the crushed rock round a tunnel; 0: none")
    crushed_permeability: OpenFraction = Field(description="of the crushed rock, as a share of the rock's")

    @field_validator("phasing")
    @classmethod
    def _known_phasing(cls, phasing: float) -> float:
        if round(math.degrees(phasing), 6) not in PHASINGS:
            raise ValueError(f"must be one of {', '.join(map(str, PHASINGS))} deg, for which the method has numbers")
        return phasing


class ScreenCompletion(SandfaceRecord):
    """What all screens share. The roughness is that of commercial steel: common practice, no source."""

    inner_diameter: Diameter
    roughness: Roughness = 4.6e-5
    linear_loss: LinearLoss = Field(default=0.0, description="pressure loss per superficial velocity; 0: left out")
    quadratic_loss: QuadraticLoss = Field(default=0.0, description="per superficial velocity squared; 0: left out")
    plugging: Plugging = Field(default=0.0, description="growth of linear_loss per volume passed per screen area")


class ConformingScreens(ScreenCompletion):
    """Screens against the hole wall: no annulus. Blank pipe and isolation joints stay as they are in the string."""

    outer_diameter: Diameter | None = Field(default=None, description="none: that of the hole")


class StandAloneScreens(ScreenCompletion):
    """Screens with an open annulus round them."""

    outer_diameter: Diameter
    isolation_joints: Literal["kept", "blank pipe"] = Field(
        description="whether the string's isolation joints stay (as packers against the hole) or are run as blank pipe"
    )


class GravelPack(StandAloneScreens):
    """Screens in an annulus full of gravel, which is packed round the blank pipe too (common practice)."""

    gravel_permeability: Permeability
    gravel_turbulence: TurbulenceCoefficient = Field(description="Forchheimer coefficient of the gravel; 0: Darcy")


class PerforatedInterval(SandfaceRecord):
    """A perforated interval along the hole."""

    top_md: Length
    base_md: Length

    @model_validator(mode="after")
    def _goes_down(self) -> PerforatedInterval:
        if self.base_md <= self.top_md:
            raise ValueError("base_md must be below top_md")
        return self


class PerforatedCasing(SandfaceRecord):
    """Casing cemented over the whole section: no annulus, flow through perforations alone, all else isolated."""

    inner_diameter: Diameter
    outer_diameter: Diameter
    roughness: Roughness = Field(default=4.6e-5, description="commercial steel: common practice, no source")
    perforations: str = Field(description="name of one of the case's perforations")
    intervals: tuple[PerforatedInterval, ...] = Field(default=(), description="none: where the string has screens")
    gravel_permeability: Permeability | None = Field(default=None, description="of gravel packed into the tunnels")
    gravel_turbulence: TurbulenceCoefficient = Field(default=0.0, description="Forchheimer coefficient of that gravel")

    @model_validator(mode="after")
    def _has_a_wall(self) -> PerforatedCasing:
        if self.outer_diameter <= self.inner_diameter:
            raise ValueError("outer_diameter must be above inner_diameter")
        return self


class Completions(SandfaceRecord):
    """What each way of completing the well needs; a what-if that names a way finds its numbers here."""

    conforming: ConformingScreens | None = None
    stand_alone: StandAloneScreens | None = None
    gravel_pack: GravelPack | None = None
    perforated_casing: PerforatedCasing | None = None

    def of(self, name: CompletionName) -> ScreenCompletion | PerforatedCasing | None:
        """What a completion of that name needs, None where it is not given."""
        found: ScreenCompletion | PerforatedCasing | None = getattr(self, key_of(name))
        return found


def key_of(name: CompletionName) -> str:
    """Key of a completion in `completions`: 'stand-alone' is 'stand_alone'."""
    return name.replace(" ", "_").replace("-", "_")

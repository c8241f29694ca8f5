"""What the hole and the sand are judged against before a string is chosen: ranges of diameters, sieves, strength.

Nothing here has a default that stands for a measurement: what is not given is reported as missing, never guessed.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.quantity import (
    Angle,
    Diameter,
    Fraction,
    GrainSize,
    Length,
    NotNegativeLength,
    Number,
    OpenFraction,
    Positive,
    PositiveLength,
    Pressure,
    PressureGradient,
    Slowness,
    Strength,
)

CompletionKind = Literal["conforming screen", "stand-alone screen", "gravel pack", "perforated casing"]
COMPLETION_KINDS: tuple[CompletionKind, ...] = (
    "conforming screen",
    "stand-alone screen",
    "gravel pack",
    "perforated casing",
)


class SuitRecord(BaseModel):
    """Base of these records: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class HoleRange(SuitRecord):
    """Hole diameters that one kind of equipment fits or can be expanded to, and the wash-out that it bridges."""

    least_hole: Diameter | None = Field(default=None, description="least hole diameter")
    greatest_hole: Diameter | None = Field(default=None, description="greatest hole diameter")
    washout_tolerance: NotNegativeLength = Field(
        default=0.0, description="longest stretch of wider hole that does not count, along the hole"
    )


class ScreenRange(HoleRange):
    """A screen: the hole that it fits, and the opening that meets the sand."""

    opening: GrainSize | None = Field(default=None, description="of the filter: slot width or weave opening")


class GravelRange(ScreenRange):
    """A gravel pack: its screen holds the gravel, the gravel holds the sand."""

    gravel_median: GrainSize | None = Field(default=None, description="D50 of the gravel")
    gravel_least: GrainSize | None = Field(default=None, description="smallest grain of the gravel")


class SealRange(HoleRange):
    """A seal against the hole (isolation joint)."""

    length: PositiveLength | None = Field(default=None, description="of gauge hole that the seal needs")


class SieveRow(SuitRecord):
    """One row of a sieve table: how much of a sample is coarser than a size."""

    sample: str
    md: Length = Field(description="where the sample was taken")
    size: GrainSize
    coarser: Fraction = Field(description="cumulative share of the mass that is coarser than the size")


class StrengthRow(SuitRecord):
    """Unconfined compressive strength at a depth: measured, or the sonic slowness to work it out from."""

    md: Length
    strength: Strength | None = Field(default=None, description="unconfined compressive strength")
    slowness: Slowness | None = Field(default=None, description="of the compressional wave; needs strength_relation")


class Stress(SuitRecord):
    """Total stresses in the ground as gradients from the surface, true vertical, and how rock answers them."""

    overburden: PressureGradient
    greatest_horizontal: PressureGradient
    least_horizontal: PressureGradient
    azimuth_of_greatest: Angle | None = Field(default=None, description="from north; needed in a deviated well")
    poisson: OpenFraction = Field(description="Poisson's ratio of the rock, below 0.5")
    biot: OpenFraction = Field(description="Biot coefficient")
    friction_angle: Angle = Field(description="internal friction of the rock")
    strength_factor: Positive = Field(
        default=1.0,
        description="strength of a hole's wall over unconfined strength, such as from hollow cylinders",
    )


class FluidTest(SuitRecord):
    """Whether the fluid in the hole passed a particle test when the screen went in, and what it does if it did not."""

    clean: bool
    remaining: Positive | None = Field(
        default=None, description="share of the screen's inflow conductance left after a test that failed"
    )
    skin: Number | None = Field(default=None, description="or skin of the damaged rock")


class Suitability(SuitRecord):
    """What the hole and the sand are judged against. A part that is not given is reported as missing."""

    conforming: ScreenRange | None = None
    stand_alone: ScreenRange | None = None
    gravel_pack: GravelRange | None = None
    perforated: HoleRange | None = Field(default=None, description="cased, cemented, perforated, no sand control")
    seal: SealRange | None = None
    barrier_length: PositiveLength = Field(
        default=3.0, description="shale between two layers at least this long along the hole parts two sands"
    )
    sieves: tuple[SieveRow, ...] = ()
    strengths: tuple[StrengthRow, ...] = ()
    strength_relation: Literal["", "mcnally 1987", "vernik 1993"] = Field(
        default="", description="mcnally 1987: from slowness; vernik 1993: from the porosity of the layers"
    )
    stress: Stress | None = None
    depleted_pressure: Pressure | None = Field(
        default=None, description="reservoir pressure late in life, for drawdown then"
    )
    fluid_test: FluidTest | None = None

    def range_of(self, kind: str) -> HoleRange | None:
        """Range of a completion kind or of 'seal'; None where the case does not give it."""
        return {
            "conforming screen": self.conforming,
            "stand-alone screen": self.stand_alone,
            "gravel pack": self.gravel_pack,
            "perforated casing": self.perforated,
            "seal": self.seal,
        }[kind]

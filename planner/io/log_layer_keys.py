"""What a case says of layers that come from a log: curves, cut-offs, intervals."""

from __future__ import annotations

from typing import Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from planner.model.quantity import (
    Fraction,
    Length,
    NotNegative,
    OpenFraction,
    Permeability,
    Positive,
    PositiveLength,
    TurbulenceCoefficient,
)
from planner.model.sandface import ForchheimerMethod


class _LogRecord(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Curves(_LogRecord):
    """Mnemonics of the curves; those not given are looked for under the usual names."""

    gamma_ray: str = ""
    shale_volume: str = ""
    porosity: str = ""
    water_saturation: str = ""
    permeability: str = ""


class CutOffs(_LogRecord):
    """What makes a sample net rock; a cut-off that is not given does not count."""

    gamma_ray: NotNegative | None = Field(default=None, description="most, API units")
    shale_volume: Fraction | None = Field(default=None, description="most")
    porosity: Fraction | None = Field(default=None, description="least")
    water_saturation: Fraction | None = Field(default=None, description="most")
    permeability: Permeability | None = Field(default=None, description="least")
    minimum_thickness: PositiveLength = Field(default=0.5, description="thinner layers are left out; along the hole")
    maximum_gap: Length = Field(default=0.5, description="net samples closer than this make one layer")


class GammaRayScale(_LogRecord):
    """Gamma ray of clean sand and of shale, for a shale volume by straight line."""

    clean: NotNegative
    shale: Positive

    @model_validator(mode="after")
    def _differ(self) -> Self:
        if self.clean == self.shale:
            raise ValueError("clean and shale are the same; give the readings of clean sand and of shale")
        return self


class PermeabilityFromPorosity(_LogRecord):
    """permeability * 10^(decades * (porosity - at))."""

    permeability: Permeability
    at: OpenFraction = Field(description="porosity that has this permeability")
    decades: Positive = Field(description="tenfold steps of permeability per unit of porosity")


class Interval(_LogRecord):
    """What the layers between two measured depths get; each key as in a layer."""

    name: str
    top_md: Length
    base_md: Length
    compartment: str
    rock: str
    support: str = ""
    drainage_radius: PositiveLength | None = None
    vertical_to_horizontal: NotNegative = 0.1
    skin: float = 0.0
    damaged_radius: PositiveLength | None = None
    damaged_permeability: Permeability | None = None
    deviation_skin: bool = False
    partial_entry: bool = False
    turbulence: NotNegative = 0.0
    forchheimer: TurbulenceCoefficient | None = None
    forchheimer_method: ForchheimerMethod = ""
    cells: int | None = Field(default=None, ge=1, le=2000)
    connected_below: bool = True

    @model_validator(mode="after")
    def _has_length(self) -> Self:
        if not self.top_md < self.base_md:
            raise ValueError("top_md is not above base_md; give the two depths in order")
        return self


class LogLayers(_LogRecord):
    """The [layers] table of a case whose layers come from a log."""

    log: str
    curves: Curves = Curves()
    cutoffs: CutOffs
    gamma_ray_scale: GammaRayScale | None = Field(default=None, description="where the log has no shale volume")
    permeability_from_porosity: PermeabilityFromPorosity | None = None
    initial_saturation: bool = Field(default=False, description="water saturation from the log, not the contacts")
    intervals: tuple[Interval, ...] = Field(min_length=1)

"""Fields with units: one description serves validation, forms, table headers, JSON Schema and documents."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema, core_schema

from planner.base.units import QUANTITIES, example, parse


@dataclass(frozen=True)
class Of:
    """Marks a float field as a number of a named quantity: read from text with a unit, kept in SI; bounds are in SI."""

    name: str
    above: float | None = None
    least: float | None = None
    most: float | None = None

    def read(self, raw: object) -> float:
        """Text with a unit (or a plain number where the quantity has none) to SI; ValueError with the remedy."""
        if isinstance(raw, bool) or not isinstance(raw, str | int | float):
            raise ValueError(f"a {self.name} is needed, such as a number with {example(self.name)}")
        number = parse(raw, self.name)
        unit = QUANTITIES[self.name].si
        if self.above is not None and not number > self.above:
            raise ValueError(f"must be above {self.above:g} {unit}".rstrip())
        if self.least is not None and number < self.least:
            raise ValueError(f"must be at least {self.least:g} {unit}".rstrip())
        if self.most is not None and number > self.most:
            raise ValueError(f"must be at most {self.most:g} {unit}".rstrip())
        return number

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        if not QUANTITIES[self.name].si:
            bounds = {"exclusiveMinimum": self.above, "minimum": self.least, "maximum": self.most}
            return {"type": "number", **{k: v for k, v in bounds.items() if v is not None}, "x-quantity": self.name}
        return {"type": "string", "x-quantity": self.name, "examples": [f"1 {QUANTITIES[self.name].metric}"]}


def quantity_of(field: FieldInfo) -> str | None:
    """Name of the quantity that a field holds, or None."""
    for mark in field.metadata:
        if isinstance(mark, Of):
            return mark.name
    for part in getattr(field.annotation, "__args__", ()):
        for mark in getattr(part, "__metadata__", ()):
            if isinstance(mark, Of):
                return mark.name
    return None


Length = Annotated[float, Of("length")]
PositiveLength = Annotated[float, Of("length", above=0.0)]
NotNegativeLength = Annotated[float, Of("length", least=0.0)]
Diameter = Annotated[float, Of("diameter", above=0.0)]
Roughness = Annotated[float, Of("roughness", least=0.0)]
Area = Annotated[float, Of("area", above=0.0)]
Angle = Annotated[float, Of("angle")]
Pressure = Annotated[float, Of("pressure", above=0.0)]
PressureDifference = Annotated[float, Of("pressure", least=0.0)]
Temperature = Annotated[float, Of("temperature", above=0.0)]
Duration = Annotated[float, Of("time", least=0.0)]
Permeability = Annotated[float, Of("permeability", above=0.0)]
Viscosity = Annotated[float, Of("viscosity", above=0.0)]
Density = Annotated[float, Of("density", above=0.0)]
Compressibility = Annotated[float, Of("compressibility", least=0.0)]
LiquidRate = Annotated[float, Of("liquid rate", least=0.0)]
GasRate = Annotated[float, Of("gas rate", least=0.0)]
LiquidVolume = Annotated[float, Of("liquid volume", above=0.0)]
GasOilRatio = Annotated[float, Of("gas-oil ratio", least=0.0)]
VolumeFactor = Annotated[float, Of("volume factor", above=0.0)]
Velocity = Annotated[float, Of("velocity", above=0.0)]
ProductivityIndex = Annotated[float, Of("productivity index", above=0.0)]
LinearLoss = Annotated[float, Of("linear loss", least=0.0)]
QuadraticLoss = Annotated[float, Of("quadratic loss", least=0.0)]
Plugging = Annotated[float, Of("plugging", least=0.0)]
TurbulenceCoefficient = Annotated[float, Of("turbulence coefficient", least=0.0)]
ShotDensity = Annotated[float, Of("shot density", above=0.0)]
LeakConductance = Annotated[float, Of("leak conductance", least=0.0)]
Fraction = Annotated[float, Of("fraction", least=0.0, most=1.0)]
OpenFraction = Annotated[float, Of("fraction", above=0.0, most=1.0)]
Number = Annotated[float, Of("number")]
Positive = Annotated[float, Of("number", above=0.0)]
NotNegative = Annotated[float, Of("number", least=0.0)]
LiquidPrice = Annotated[float, Of("liquid price")]
GasPrice = Annotated[float, Of("gas price")]
Money = Annotated[float, Of("money", least=0.0)]
MoneyRate = Annotated[float, Of("money rate", least=0.0)]
MoneyPerLength = Annotated[float, Of("money per length", least=0.0)]

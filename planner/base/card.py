"""The passport of a published method."""

from __future__ import annotations

from dataclasses import dataclass, field

RANGE_UNITS: dict[str, str] = {
    "temperature": "K",
    "pressure": "Pa",
    "reduced_pressure": "",
    "reduced_temperature": "",
    "gas_gravity": "",
    "oil_gravity": "",
    "solution_gas_ratio": "sm3/sm3",
    "volume_factor": "m3/sm3",
    "viscosity": "Pa s",
    "salinity": "",
    "co2": "",
    "h2s": "",
    "n2": "",
    "reynolds": "",
    "relative_roughness": "",
    "inflow_reynolds": "",
    "inclination": "rad",
    "penetration": "",
    "perforation_phasing": "rad",
    "dimensionless_time": "",
    "dimensionless_radius": "",
    "quality": "",
    "diameter": "m",
    "velocity": "m/s",
    "length_ratio": "",
    "anisotropy": "",
    "surface_tension": "N/m",
    "liquid_viscosity": "Pa s",
    "porosity": "",
}


@dataclass(frozen=True)
class Card:
    """Passport of a published method.

    name: what it gives; source: author, year, title, place; equation: number or form; ranges: quantity -> (lowest,
    highest) in the SI unit of RANGE_UNITS; note: what the user should know.
    """

    name: str
    source: str
    equation: str
    ranges: dict[str, tuple[float, float]] = field(default_factory=dict)
    note: str = ""

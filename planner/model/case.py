"""The case: one well, its rock, fluids, string, controls, money and what-ifs, as frozen validated records in SI.

Every number with a unit is read from text ('2500 ft'); see `quantity`. Checks that need more than one record (layers
that overlap, a packer outside a blank ...) live in `consistency`.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.change import WhatIf
from planner.model.economics import Economics
from planner.model.late_life import LateLife
from planner.model.lift import Tubing
from planner.model.measured import Measured
from planner.model.quantity import (
    Angle,
    Area,
    Compressibility,
    Density,
    Diameter,
    Duration,
    ErosionalConstant,
    Fraction,
    GasOilRatio,
    GasRate,
    LeakConductance,
    Length,
    LinearLoss,
    LiquidRate,
    LiquidVolume,
    NotNegative,
    OpenFraction,
    Permeability,
    Plugging,
    Positive,
    PositiveLength,
    Pressure,
    PressureDifference,
    ProductivityIndex,
    QuadraticLoss,
    Roughness,
    Temperature,
    TurbulenceCoefficient,
    Velocity,
    Viscosity,
    VolumeFactor,
)
from planner.model.sandface import Completions, ForchheimerMethod, Perforations
from planner.model.split import Split
from planner.model.suitability import Suitability
from planner.model.uncertain import Alternative, Correlation, Failure, Uncertain

WellKind = Literal["oil producer", "gas producer", "water injector", "gas injector"]
Phase = Literal["oil", "water", "gas"]


class Record(BaseModel):
    """Base of all records: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class SurveyStation(Record):
    """One row of the deviation survey."""

    md: Length = Field(description="measured depth")
    inclination: Angle = Field(description="from vertical")
    azimuth: Angle = Field(default=0.0, description="from north, clockwise")


class HoleSize(Record):
    """Hole diameter from this measured depth down to the next row."""

    md: Length
    diameter: Diameter
    measured: bool = Field(
        default=True,
        description="false: no caliper from here to the next row; the diameter stands in for the flow alone",
    )


class Well(Record):
    """The well itself."""

    name: str
    kind: WellKind = "oil producer"
    survey: tuple[SurveyStation, ...] = Field(default=(), description="none: vertical")
    hole: tuple[HoleSize, ...] = Field(min_length=1, description="one row: constant; many: table or caliper")


class Compartment(Record):
    """Rock in one initial pressure and contact equilibrium. Layers name the compartment that they belong to."""

    name: str
    datum: Length = Field(description="true vertical depth of the pressure")
    pressure: Pressure = Field(description="initial pressure at the datum")
    oil_water_contact: Length | None = Field(default=None, description="true vertical depth; none: no mobile water")
    gas_oil_contact: Length | None = Field(default=None, description="true vertical depth; none: no gas cap")
    gas_water_contact: Length | None = Field(default=None, description="true vertical depth, gas wells")


class Support(Record):
    """What holds up the pressure at the outer boundary of a layer."""

    kind: Literal["closed", "constant pressure", "fetkovich aquifer", "carter-tracy aquifer", "injector"] = "closed"
    fluid: Literal["water", "oil", "gas", "own"] = Field(
        default="water", description="what flows in at a constant-pressure boundary or injector; own: the layer's fluid"
    )
    pressure: Pressure | None = Field(default=None, description="of a constant-pressure boundary; none: initial")
    volume: LiquidVolume | None = Field(default=None, description="water in place of a Fetkovich aquifer")
    compressibility: Compressibility | None = Field(default=None, description="total, of the aquifer")
    productivity_index: ProductivityIndex | None = Field(default=None, description="of a Fetkovich aquifer")
    permeability: Permeability | None = Field(default=None, description="of a Carter-Tracy aquifer")
    porosity: OpenFraction | None = None
    thickness: PositiveLength | None = None
    radius: PositiveLength | None = Field(default=None, description="inner radius of a Carter-Tracy aquifer")
    encroachment_angle: Angle = Field(default=6.283185307179586, description="of a Carter-Tracy aquifer")
    rate: LiquidRate | None = Field(default=None, description="of an injector, at surface conditions")
    voidage_replacement: NotNegative | None = Field(default=None, description="injector matched to offtake: its share")


class Layer(Record):
    """A piece of rock with one set of properties, along the hole from top_md to base_md."""

    name: str
    top_md: Length
    base_md: Length
    compartment: str
    permeability: Permeability
    porosity: OpenFraction
    rock: str = Field(description="name of the rock type: relative permeability, compressibility")
    vertical_to_horizontal: NotNegative = Field(default=0.1, description="kv/kh")
    net_to_gross: OpenFraction = 1.0
    geometry: Literal["radial", "along hole", "linear"] = Field(
        default="radial",
        description="radial: rings round the hole, height is the true vertical thickness; along hole: rings round the "
        "hole axis, height is the length along the hole (horizontal section); linear: a slab",
    )
    drainage_radius: PositiveLength | None = Field(default=None, description="radial and along hole")
    length: PositiveLength | None = Field(default=None, description="of a linear slab, away from the well")
    width: PositiveLength | None = Field(default=None, description="of a linear slab")
    thickness: PositiveLength | None = Field(default=None, description="true vertical; none: from the survey")
    skin: float = Field(default=0.0, description="damage skin")
    damaged_radius: PositiveLength | None = Field(
        default=None, description="of damaged rock, from the axis of the hole; its skin (Hawkins 1956) is added"
    )
    damaged_permeability: Permeability | None = Field(default=None, description="of the rock within damaged_radius")
    deviation_skin: bool = Field(
        default=False, description="add the skin of a slanted hole (Cinco-Ley et al. 1975), angle from the survey"
    )
    partial_entry: bool = Field(
        default=False, description="add the skin of what is not open of the layer (exact series, kv/kh); radial layers"
    )
    turbulence: NotNegative = Field(default=0.0, description="rate-dependent skin per m3/s of surface gas")
    forchheimer: TurbulenceCoefficient | None = Field(
        default=None, description="non-Darcy coefficient of the rock (beta), gas: adds to turbulence"
    )
    forchheimer_method: ForchheimerMethod = Field(
        default="", description="correlation for beta instead of a number; none: no turbulence from beta"
    )
    pressure: Pressure | None = Field(default=None, description="initial, at mid layer; none: from the compartment")
    water_saturation: Fraction | None = Field(default=None, description="initial; none: from the contacts")
    support: str = Field(default="", description="name of the support; none: closed")
    cells: int | None = Field(default=None, ge=1, le=2000, description="rings or slabs; none: numerics.cells")
    connected_below: bool = Field(default=True, description="whether vertical flow to the next layer down is possible")
    sand_drawdown: PressureDifference | None = Field(
        default=None, description="drawdown at which its sand may come; none: limits.sand_drawdown"
    )
    fracture_pressure: Pressure | None = Field(
        default=None, description="of its rock, for injectors; none: limits.fracture_pressure"
    )


class RelativePermeability(Record):
    """Corey (exponents) or LET (three numbers a curve) relative permeability of a rock type."""

    form: Literal["corey", "let"] = "corey"
    connate_water: Fraction = 0.2
    residual_oil_to_water: Fraction = 0.2
    residual_oil_to_gas: Fraction = 0.1
    critical_gas: Fraction = 0.05
    residual_gas_to_water: Fraction | None = Field(default=None, description="trapped gas; none: critical gas")
    water_end_point: Positive = Field(default=0.4, description="krw at residual oil")
    oil_end_point: Positive = Field(default=1.0, description="kro at connate water")
    gas_end_point: Positive = Field(default=0.8, description="krg at connate water and residual oil")
    water_exponent: Positive = 2.0
    oil_exponent: Positive = Field(default=2.0, description="against water")
    oil_gas_exponent: Positive = Field(default=2.0, description="oil against gas")
    gas_exponent: Positive = 2.0
    water_let: tuple[Positive, Positive, Positive] | None = None
    oil_let: tuple[Positive, Positive, Positive] | None = None
    oil_gas_let: tuple[Positive, Positive, Positive] | None = None
    gas_let: tuple[Positive, Positive, Positive] | None = None


class Rock(Record):
    """A rock type."""

    name: str
    compressibility: Compressibility = 4.0e-10
    relative_permeability: RelativePermeability = RelativePermeability()


class OilRow(Record):
    """One row of an oil table: saturated oil at this bubble point pressure."""

    pressure: Pressure
    solution_gas_ratio: GasOilRatio
    formation_volume_factor: VolumeFactor
    viscosity: Viscosity


class Oil(Record):
    """Oil: constant, from published correlations, or a table of saturated oil."""

    method: Literal["correlation", "constant", "table"] = "correlation"
    density: Density | None = Field(default=None, description="of stock-tank oil")
    api: Positive | None = Field(default=None, description="API gravity, instead of the density")
    solution_gas_ratio: GasOilRatio = Field(default=0.0, description="initial")
    correlation: Literal["standing 1947", "vasquez-beggs 1980"] = "standing 1947"
    bubble_point: Pressure | None = Field(default=None, description="measured; correlations are scaled to meet it")
    viscosity: Viscosity | None = Field(default=None, description="of a constant oil")
    formation_volume_factor: VolumeFactor | None = Field(
        default=None, description="of a constant oil, at reference_pressure"
    )
    compressibility: Compressibility | None = Field(default=None, description="undersaturated; none: correlation")
    viscosity_slope: Compressibility = Field(default=0.0, description="relative growth of viscosity with pressure")
    reference_pressure: Pressure | None = Field(default=None, description="of a constant oil; none: first compartment")
    table: tuple[OilRow, ...] = ()


class GasRow(Record):
    """One row of a gas table."""

    pressure: Pressure
    formation_volume_factor: VolumeFactor
    viscosity: Viscosity


class Gas(Record):
    """Dry gas: correlations from its gravity, ideal with constant viscosity, or a table."""

    method: Literal["correlation", "ideal", "table"] = "correlation"
    gravity: Positive = Field(default=0.7, description="air = 1")
    carbon_dioxide: Fraction = 0.0
    hydrogen_sulphide: Fraction = 0.0
    nitrogen: Fraction = 0.0
    viscosity: Viscosity | None = Field(default=None, description="of an ideal gas")
    table: tuple[GasRow, ...] = ()


class Water(Record):
    """Formation and injected water: correlations from salinity, or constants."""

    method: Literal["correlation", "constant"] = "correlation"
    salinity: Fraction = Field(default=0.03, description="mass fraction of salt")
    density: Density | None = Field(default=None, description="at surface; none: correlation")
    viscosity: Viscosity | None = None
    formation_volume_factor: VolumeFactor | None = Field(default=None, description="at reference_pressure")
    compressibility: Compressibility | None = None
    reference_pressure: Pressure | None = None


class Fluid(Record):
    """The fluids of the well at one reservoir temperature."""

    temperature: Temperature
    oil: Oil | None = None
    gas: Gas = Gas()
    water: Water = Water()


ElementKind = Literal[
    "casing",
    "hanger",
    "screen",
    "blank pipe",
    "isolation joint",
    "open hole",
    "packer",
    "plug",
    "perforated casing",
    "inner pipe",
]


class Element(Record):
    """One element of the string, top to bottom. Packers and plugs sit inside a blank pipe, an inner pipe hangs inside
    the bore of what it passes; all others follow on.

    A hanger carries the top seal. An isolation joint is a seal against the hole. 'open hole' is bare hole below the
    last pipe. 'perforated casing' is cemented and flows through its perforations alone, over its whole length. The
    bottom of the string is closed. Round the top of an inner pipe a packer seals unless it is `open_top`: what enters
    beside it then flows down to its shoe first.
    """

    kind: ElementKind
    name: str = Field(default="", description="none: kind and number, such as 'screen 2'")
    top_md: Length
    base_md: Length
    screen: Literal["conforming", "stand-alone", "gravel pack"] = Field(default="conforming")
    inner_diameter: Diameter | None = Field(default=None, description="none: numerics.inner_diameter")
    outer_diameter: Diameter | None = Field(default=None, description="none: inner diameter plus one inch")
    roughness: Roughness = 4.6e-5
    linear_loss: LinearLoss = Field(default=0.0, description="screen: pressure loss per superficial velocity")
    quadratic_loss: QuadraticLoss = Field(default=0.0, description="screen: per superficial velocity squared")
    plugging: Plugging = Field(
        default=0.0, description="screen: growth of linear_loss per volume that has passed per screen area"
    )
    gravel_permeability: Permeability | None = Field(
        default=None,
        description="gravel pack; of a blank pipe: gravel round it; of perforated casing: gravel in the tunnels",
    )
    gravel_turbulence: TurbulenceCoefficient = Field(default=0.0, description="Forchheimer coefficient of the gravel")
    cemented: bool = Field(default=False, description="blank pipe: cement outside, no annulus")
    perforations: str = Field(default="", description="perforated casing: name of one of the case's perforations")
    nozzle_area: Area | None = Field(
        default=None, description="screen or blank pipe: total area of its nozzles, evenly spread; none: no nozzles"
    )
    open_top: bool = Field(default=False, description="inner pipe: no packer round its top")
    nozzle_coefficient: Positive = Field(
        default=0.8, description="discharge coefficient of the nozzles; common practice, no source"
    )
    leak: LeakConductance = Field(default=0.0, description="of a seal or packer, water-like fluid of 1 cP; 0: tight")
    differential_rating: PressureDifference | None = Field(default=None, description="of a seal, packer or plug")


class LaterElement(Record):
    """What a later packer, plug or straddle needs."""

    length: PositiveLength = Field(default=3.0, description="of the element")
    depth_tolerance: PositiveLength = Field(default=1.5, description="how far off depth it may be set, each way")
    differential_rating: PressureDifference | None = Field(default=None, description="none: limits.seal_differential")
    straddle_inner_diameter: Diameter = Field(default=0.0508)


class Control(Record):
    """What holds from a date on, until the next control. Of all that are given, the tightest holds.

    Rates are at surface conditions; for an injector they are the injected rates and the pressure is a maximum.
    """

    date: date
    shut: bool = False
    bottom_hole_pressure: Pressure | None = Field(
        default=None, description="least for a producer, most for an injector, at the top of the string"
    )
    oil_rate: LiquidRate | None = None
    liquid_rate: LiquidRate | None = None
    water_rate: LiquidRate | None = None
    gas_rate: GasRate | None = None
    drawdown: PressureDifference | None = Field(default=None, description="most, over all open zones")
    wellhead_pressure: Pressure | None = Field(
        default=None, description="least for a producer, most for an injector, at the top of the tubing"
    )


class Limits(Record):
    """Limits that are checked in every state; inputs, never guesses of the program. Not given: not checked."""

    sand_drawdown: PressureDifference | None = Field(
        default=None, description="drawdown at which sand may come, for layers without a limit of their own"
    )
    screen_velocity: Velocity | None = Field(default=None, description="superficial, over the screen's outer area")
    seal_differential: PressureDifference | None = Field(
        default=None, description="for seals, packers and plugs without a rating of their own, later ones too"
    )
    bore_velocity: Velocity | None = Field(default=None, description="in the string and in straddles")
    erosional_constant: ErosionalConstant | None = Field(
        default=None,
        description="C of the erosional velocity C / sqrt(mixture density), API RP 14E; in the string and the tubing",
    )
    liquid_loading: Literal["turner 1969", "coleman 1991"] | None = Field(
        default=None, description="gas producers: method for the least gas velocity that lifts liquid"
    )
    fracture_pressure: Pressure | None = Field(
        default=None, description="injectors; for layers without one of their own"
    )
    water_handling: LiquidRate | None = None
    oil_rate_economic: LiquidRate | None = Field(default=None, description="least oil rate that pays")


class Numerics(Record):
    """Fidelity and tolerances. The defaults meet the checks of the tests."""

    cells: int = Field(default=16, ge=1, le=2000, description="rings or slabs a layer")
    near_well_cells: int | None = Field(
        default=None,
        ge=0,
        description="of these, logarithmic ones near the well; none: all (upstream: a third)",
    )
    fronts: Literal["resolved", "upstream"] = Field(
        default="resolved", description="resolved: water fronts carried inside cells; upstream: plain, smears them"
    )
    vertical_flow: bool = Field(default=False, description="flow between layers of a zone through the rock")
    friction: bool = True
    wellbore_inflow: bool = Field(
        default=True, description="acceleration along the string, and friction changed by inflow through its wall"
    )
    gravity: bool = True
    piece_length: PositiveLength = Field(default=30.0, description="longest piece of bore")
    inner_diameter: Diameter = Field(default=0.1, description="of the string where an element gives none")
    tolerance: Positive = Field(default=1.0e-3, description="local error of pressure per step, share of its range")
    longest_step: Duration = Field(default=31 * 86400.0)
    first_step: Duration = Field(default=864.0)


class Schedule(Record):
    """When the forecast starts, ends and reports."""

    start: date
    end: date
    report: Literal["month", "quarter", "year"] = "month"


class Case(Record):
    """Everything about one well and the questions asked of it."""

    title: str = ""
    units: Literal["field", "metric"] = Field(default="field", description="unit system of what is shown")
    well: Well
    compartments: tuple[Compartment, ...] = Field(min_length=1)
    layers: tuple[Layer, ...] = Field(min_length=1)
    rocks: tuple[Rock, ...] = Field(min_length=1)
    supports: dict[str, Support] = {}
    fluid: Fluid
    string: tuple[Element, ...] = Field(min_length=1)
    zones: tuple[str, ...] = Field(default=(), description="names from top to bottom; none: zone 1, zone 2 ...")
    tubing: Tubing | None = Field(default=None, description="needed where a control names the wellhead pressure")
    perforations: dict[str, Perforations] = Field(default={}, description="by name; perforated casing names them")
    completions: Completions = Field(default=Completions(), description="other ways of completing this well")
    later_element: LaterElement = LaterElement()
    controls: tuple[Control, ...] = Field(min_length=1)
    limits: Limits = Limits()
    economics: Economics = Economics()
    late_life: LateLife = LateLife()
    schedule: Schedule
    numerics: Numerics = Numerics()
    suitability: Suitability | None = Field(default=None, description="what the hole and the sand are judged against")
    split: Split | None = Field(default=None, description="how the well may be split into zones")
    what_ifs: tuple[WhatIf, ...] = ()
    uncertain: tuple[Uncertain, ...] = Field(default=(), description="ranges of inputs")
    correlation: tuple[Correlation, ...] = Field(default=(), description="of ranges, two by two")
    alternatives: tuple[Alternative, ...] = Field(default=(), description="of which exactly one holds")
    failures: tuple[Failure, ...] = Field(default=(), description="what may fail: seals, screens, supports, jobs")
    measured: Measured | None = Field(default=None, description="what was measured; for matching")

"""Frozen records of results, in SI. Arrays are numpy float64; time runs along the first axis."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.model.sandface_results import HorizontalIndex, SkinShare

Floats = NDArray[np.float64]

# Quantity (see planner.base.units) of every column that leaves the engine; tables, keys and axes follow from it.
COLUMNS: dict[str, str] = {
    "oil_rate": "liquid rate",
    "water_rate": "liquid rate",
    "liquid_rate": "liquid rate",
    "gas_rate": "gas rate",
    "water_cut": "fraction",
    "gas_oil_ratio": "gas-oil ratio",
    "bottom_hole_pressure": "pressure",
    "drawdown": "pressure",
    "pressure": "pressure",
    "oil_volume": "liquid volume",
    "water_volume": "liquid volume",
    "gas_volume": "gas volume",
    "recovery_factor": "fraction",
    "oil_in_place": "liquid volume",
    "water_in_place": "liquid volume",
    "gas_in_place": "gas volume",
    "oil_inflow": "liquid rate",
    "water_inflow": "liquid rate",
    "gas_inflow": "gas rate",
    "bore_rate": "liquid rate",
    "velocity": "velocity",
    "screen_velocity": "velocity",
    "annulus_pressure": "pressure",
    "water_saturation": "fraction",
}


@dataclass(frozen=True)
class ZoneInfo:
    """A zone: what lies between two outside seals, and what could shut it later.

    shut_by is 'plug', 'straddle' or '' (cannot be shut on its own; `missing` says what lacks, one sentence each).
    In-place volumes are at surface conditions, m3.
    """

    name: str
    top_md: float
    base_md: float
    layers: tuple[str, ...]
    upper_seal: str
    lower_seal: str
    shut_by: str
    upper_blank: str
    lower_blank: str
    missing: tuple[str, ...]
    oil_in_place: float
    water_in_place: float
    gas_in_place: float


@dataclass(frozen=True)
class LayerInfo:
    """A layer as the network sees it; depths m, kh m3, volumes m3 (pore: reservoir, in place: surface)."""

    name: str
    zone: str
    top_md: float
    base_md: float
    top_tvd: float
    base_tvd: float
    kh: float
    pore_volume: float
    pressure: float
    water_saturation: float
    oil_in_place: float
    water_in_place: float
    gas_in_place: float


@dataclass(frozen=True)
class PieceInfo:
    """A piece of the bore: part of one element of the string."""

    element: str
    kind: str
    zone: str
    top_md: float
    base_md: float
    tvd: float
    inner_diameter: float
    has_annulus: bool


@dataclass(frozen=True)
class BlankInfo:
    """A blank pipe: whether a later element fits, which zones a plug in it would shut off (all deeper ones)."""

    name: str
    top_md: float
    base_md: float
    zone: str
    fits: bool
    shuts: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True)
class WellDescription:
    """The well as a graph, for people: zones, layers, pieces of bore, blanks and what they can do."""

    well: str
    kind: str
    zones: tuple[ZoneInfo, ...]
    layers: tuple[LayerInfo, ...]
    pieces: tuple[PieceInfo, ...]
    blanks: tuple[BlankInfo, ...]
    warnings: tuple[str, ...] = ()
    skins: tuple[SkinShare, ...] = ()  # at rest


@dataclass(frozen=True)
class Happening:
    """Something that happened on a day: an event of the what-if, breakthrough, a switch of control, the well's end."""

    day: float
    date: str
    kind: str  # 'event' 'waiting' 'water arrives' 'control' 'shut in'
    where: str
    text: str
    event: int | None = None  # place in the what-if's list of the event that was done


@dataclass(frozen=True)
class LimitCheck:
    """A limit over the whole forecast: worst value against the limit, and the first day it was broken (nan: never)."""

    name: str
    where: str
    quantity: str
    limit: float
    worst: float
    worst_day: float
    first_broken_day: float

    @property
    def broken(self) -> bool:
        """Whether the limit was crossed."""
        return bool(np.isfinite(self.first_broken_day))

    @property
    def margin(self) -> float:
        """What is left before the limit, as a share of it; negative when broken."""
        return (self.limit - self.worst) / self.limit if self.limit else float("nan")


@dataclass(frozen=True)
class RunFacts:
    """How the computation went. balance: per component, unexplained mass over what was produced or injected."""

    steps: int
    failed_steps: int
    newton_iterations: int
    seconds: float
    nodes: int
    balance: dict[str, float]


@dataclass(frozen=True)
class Forecast:
    """Life of the well under one what-if.

    days [T] since the start, dates [T] datetime64[D]; `well` columns are [T], `zone` [T, zones], `layer` [T, layers],
    `piece` [T, pieces] (inflow at surface conditions into each piece of bore; negative: out of the bore). Rates are of
    the instant at that date, positive when produced (a producer) or injected (an injector); volumes are cumulative.
    control [T]: name of the control that held.
    """

    name: str
    description: WellDescription
    days: Floats
    dates: NDArray[np.datetime64]
    well: dict[str, Floats]
    zone: dict[str, Floats]
    layer: dict[str, Floats]
    piece: dict[str, Floats]
    control: tuple[str, ...]
    happenings: tuple[Happening, ...]
    limits: tuple[LimitCheck, ...]
    facts: RunFacts
    element_states: tuple[dict[str, str], ...] = ()  # [T] element or zone -> 'plug set', 'straddle set', 'leaking' ...
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class FlowProfile:
    """Flow at an instant, at a fixed state of the reservoir.

    `well` holds numbers; `zone` [zones], `layer` [layers], `piece` [pieces] arrays, same columns as Forecast.
    """

    date: str
    description: WellDescription
    well: dict[str, float]
    zone: dict[str, Floats]
    layer: dict[str, Floats]
    piece: dict[str, Floats]
    control: str
    limits: tuple[LimitCheck, ...]
    warnings: tuple[str, ...] = ()
    skins: tuple[SkinShare, ...] = ()
    horizontal: tuple[HorizontalIndex, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Forecasts of the base and of what-ifs on the same dates, with differences to the base.

    refused: what-if name -> the reason why the string cannot do it. money: what-if name -> figures of `decide.money`.
    """

    base: Forecast
    others: tuple[Forecast, ...]
    refused: dict[str, str] = field(default_factory=dict)
    money: dict[str, dict[str, float]] = field(default_factory=dict)
    extra: dict[str, Any] = field(default_factory=dict)

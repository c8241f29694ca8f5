"""Where the water comes from and by which mechanism: ratio of water to oil, its derivative, and what the model knows.

Chan 1995, Water control diagnostic plots (SPE 30775): on log-log axes against time the derivative of the water-oil
ratio rises where water runs through a channel (or a flooded layer), falls where it cones, and is flat or gently rising
where the displacement is even. The two slopes at which the words change are a choice of this program.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.stats import theilslopes

from planner.base.card import Card
from planner.base.cards import add_card
from planner.model.case import Case, Layer
from planner.model.cures import Mechanism, Trouble
from planner.model.results import Floats, Forecast

WET = 0.01  # ratio of water to oil that counts as water
STEEP = 0.3  # log-log slope of the derivative beyond which it rises or falls; a choice of the program
FEWEST = 6  # rows that a slope rests on
DEPLETED = 0.7  # share of the first pressure below which a zone counts as depleted; a choice of the program
GAS_RISE = 1.5  # of the first gas-oil ratio that counts as gas breaking through; a choice of the program
UNEVEN = 3.0  # permeability of the best layer over that of the tightest, from which a flooded layer is a channel
TINY = 1e-9  # m3/s

add_card(
    "chan 1995",
    Card(
        "water-oil ratio diagnosis",
        "Chan 1995, Water control diagnostic plots, SPE 30775, Annual technical conference, Dallas",
        "log-log slopes of the water-oil ratio and of its derivative with time",
        note="a rising derivative says channelling, a falling one coning; the slopes that part them are the program's",
    ),
)


@dataclass(frozen=True)
class Slopes:
    """Log-log slopes of a ratio and of its derivative with time, NaN where there is too little to tell."""

    ratio: float
    derivative: float
    points: int


def diagnose(case: Case, forecast: Forecast, at: int) -> tuple[Trouble, tuple[Trouble, ...]]:
    """The well and its zones at a row of a forecast that holds its history up to there."""
    days = forecast.days[: at + 1]
    whole = _trouble(case, "", days, {k: v[: at + 1] for k, v in forecast.well.items()}, case.layers, float("nan"))
    wet = float(forecast.well["water_rate"][at])
    zones = []
    for index, zone in enumerate(forecast.description.zones):
        columns = {name: values[: at + 1, index] for name, values in forecast.zone.items()}
        layers = tuple(layer for layer in case.layers if layer.name in zone.layers)
        share = float(columns["water_rate"][-1]) / wet if wet > TINY else 0.0
        zones.append(_trouble(case, zone.name, days, columns, layers, share))
    return whole, tuple(zones)


def water_ratio(forecast: Forecast, zone: int | None) -> Floats:
    """Water over oil (in a gas well over gas) by surface volume [T], of a zone or of the well; NaN while it stands."""
    columns = forecast.well if zone is None else {name: values[:, zone] for name, values in forecast.zone.items()}
    return _ratio(columns, forecast.description.kind)


def _ratio(columns: Mapping[str, Floats], kind: str) -> Floats:
    main = columns["gas_rate"] if kind.startswith("gas") else columns["oil_rate"]
    flowing = main > TINY
    return np.where(flowing, columns["water_rate"] / np.where(flowing, main, 1.0), np.nan)


def slopes(days: Floats, ratio: Floats) -> Slopes:
    """Log-log slopes (median of all pairs, Sen 1968) of a ratio and of its derivative since it rose above WET.

    days: since the well began [T]; ratio [T]. Rows in which the well stands are left out.
    """
    good = np.isfinite(ratio) & (days > 0.0)
    days, ratio = days[good], ratio[good]
    wet = np.flatnonzero(ratio > WET)
    first = int(wet[0]) if wet.size else len(days)
    if len(days) - first < FEWEST:
        return Slopes(float("nan"), float("nan"), len(days) - first)
    derivative = np.gradient(ratio, days)[first:]
    days, ratio = days[first:], ratio[first:]
    rising = derivative > 0.0
    by_time = _slope(days[ratio > 0.0], ratio[ratio > 0.0])
    return Slopes(by_time, _slope(days[rising], derivative[rising]), len(days))


def mechanism_of(found: Slopes, now: float) -> Mechanism:
    """The mechanism that the slopes speak for."""
    if now <= WET:
        return "dry"
    if not np.isfinite(found.derivative):
        return "too little to tell"
    if found.derivative > STEEP:
        return "channelling"
    return "coning" if found.derivative < -STEEP else "even displacement"


def _slope(days: Floats, values: Floats) -> float:
    if len(days) < FEWEST:
        return float("nan")
    return float(theilslopes(np.log(values), np.log(days))[0])


def _trouble(
    case: Case, name: str, days: Floats, columns: Mapping[str, Floats], layers: tuple[Layer, ...], share: float
) -> Trouble:
    water, gas = columns["water_rate"], columns["gas_rate"]
    ratio = _ratio(columns, case.well.kind)
    now = float(ratio[-1])
    found = slopes(days, ratio)
    pressure = columns.get("pressure", np.full(len(days), np.nan))
    plot = mechanism_of(found, now)
    spent = bool(pressure[-1] < DEPLETED * pressure[0])
    gassy = _gas(case, columns["oil_rate"], gas)
    reasons = [*_read(plot, found, now), *gassy]
    reasons += [f"its pressure has fallen to {pressure[-1] / pressure[0]:.0%} of the first"] if spent else []
    mechanism, why = _with_the_model(case, plot, layers, bool(gassy), spent)
    liquid = float(columns["oil_rate"][-1] + water[-1])
    return Trouble(
        name, float(columns["oil_rate"][-1]), float(water[-1]), float(gas[-1]),
        float(water[-1]) / liquid if liquid > TINY else float("nan"), share if name else 1.0, float(pressure[-1]), now,
        found.ratio, found.derivative, found.points, plot, mechanism, (*reasons, *why, *_known(case, layers)),
    )  # fmt: skip


def _read(plot: Mechanism, found: Slopes, now: float) -> list[str]:
    """What the plot of the ratio says, in words."""
    if not np.isfinite(now):
        return ["it does not flow on that day"]
    words: dict[Mechanism, str] = {
        "dry": "no water to speak of yet",
        "too little to tell": f"water came {found.points} report dates ago; {FEWEST} are needed for a slope",
        "channelling": "the derivative of the ratio rises",
        "coning": "the derivative of the ratio falls",
        "even displacement": "the derivative of the ratio is nearly flat",
    }
    slope = f" (log-log slope {found.derivative:+.2f})" if np.isfinite(found.derivative) and now > WET else ""
    return [words[plot] + slope]


def _with_the_model(
    case: Case, plot: Mechanism, layers: tuple[Layer, ...], gassy: bool, spent: bool
) -> tuple[Mechanism, list[str]]:
    """The mechanism where what the model knows is put beside what the plot says, and why they differ."""
    if plot == "dry":
        return ("gas breaks through" if gassy else "depletion" if spent else "dry"), []
    if plot != "coning" or case.numerics.vertical_flow:
        return plot, []
    why = "a falling derivative would say coning, but the model has no flow between layers through the rock"
    best = max(layers, key=lambda layer: layer.permeability, default=None)
    worst = min((layer.permeability for layer in layers), default=0.0)
    if best is not None and best.permeability > UNEVEN * worst:
        ratio = best.permeability / worst
        told = f"{best.name} is {ratio:.2g} times as permeable as the tightest layer: it has been flooded first"
        return "channelling", [f"{why}, and {told}"]
    return "even displacement", [why]


def _gas(case: Case, oil: Floats, gas: Floats) -> list[str]:
    """A sentence where an oil well's gas has risen well above the first gas-oil ratio."""
    if not case.well.kind.startswith("oil") or oil[0] <= TINY or oil[-1] <= TINY:
        return []
    first, now = gas[0] / oil[0], gas[-1] / oil[-1]
    if first <= 0.0 or now < GAS_RISE * first:
        return []
    return [f"its gas-oil ratio is {now / first:.2g} times the first one"]


def _known(case: Case, layers: tuple[Layer, ...]) -> list[str]:
    """What the model knows about where water can come from."""
    said = []
    for name in dict.fromkeys(layer.support for layer in layers if layer.support):
        held = ", ".join(one.name for one in layers if one.support == name)
        said.append(f"{held}: held up by {name} ({case.supports[name].kind})")
    contacts = {c.name: c.oil_water_contact or c.gas_water_contact for c in case.compartments}
    wet = [layer.name for layer in layers if contacts.get(layer.compartment) is not None]
    if wet and not said:
        said.append(f"{', '.join(wet)}: a water contact in the compartment, and no support that brings water")
    return said

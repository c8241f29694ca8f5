"""Comparison of what-ifs with the base: what each zone and the well gave, when, within which limits, for what money."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.decide.break_even import break_even_price
from planner.decide.capital import cost_of_string
from planner.decide.jobs import chance_of_all, jobs_done
from planner.decide.money import CashFlow, cash_flow
from planner.decide.value import break_even_date, difference, figures, outlay, rate_of_return_told, years_of
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import Comparison, Floats, Forecast, Happening, LimitCheck
from planner.network.completed import completed

BASE = "base"


@dataclass(frozen=True)
class ZoneOutcome:
    """What one zone gave until the end of a forecast; surface volumes m3, fractions; NaN where it does not exist.

    recovery_factor: of oil, in a gas well of gas. water_arrival: ISO date, '' where no water came.
    """

    name: str
    oil_volume: float
    water_volume: float
    gas_volume: float
    recovery_factor: float
    peak_water_cut: float
    water_arrival: str


@dataclass(frozen=True)
class Outcome:
    """What one forecast came to; surface volumes m3, fractions; NaN where a number does not exist.

    water_volume is the water handled. well_end: ISO date of the last day on which the well gave (or took) anything.
    oil_difference and so on: this less the base.
    """

    name: str
    oil_volume: float
    water_volume: float
    gas_volume: float
    recovery_factor: float
    peak_water_cut: float
    peak_water_rate: float
    water_arrival: str
    well_end: str
    oil_difference: float
    water_difference: float
    gas_difference: float
    zones: tuple[ZoneOutcome, ...]
    happenings: tuple[Happening, ...]
    limits: tuple[LimitCheck, ...]

    @property
    def broken(self) -> tuple[LimitCheck, ...]:
        """Limits that were crossed."""
        return tuple(limit for limit in self.limits if limit.broken)


@dataclass(frozen=True)
class Ran:
    """What came of one what-if: its forecast, or the reason why there is none. what_if None: the base."""

    what_if: WhatIf | None
    forecast: Forecast | None = None
    refused: str = ""
    failed: str = ""


def outcome(forecast: Forecast, base: Forecast) -> Outcome:
    """What a forecast came to, and its difference to the base (zero for the base itself)."""
    total = {name: _last(forecast.well, name) for name in ("oil_volume", "water_volume", "gas_volume")}
    first = {name: _last(base.well, name) for name in total}
    zones = tuple(_zone(forecast, index) for index in range(len(forecast.description.zones)))
    return Outcome(
        name=forecast.name,
        **total,
        recovery_factor=_recovery(forecast, total),
        peak_water_cut=_peak(forecast.well.get("water_cut")),
        peak_water_rate=_peak(forecast.well.get("water_rate")),
        water_arrival=min((zone.water_arrival for zone in zones if zone.water_arrival), default=""),
        well_end=last_alive(forecast),
        oil_difference=total["oil_volume"] - first["oil_volume"],
        water_difference=total["water_volume"] - first["water_volume"],
        gas_difference=total["gas_volume"] - first["gas_volume"],
        zones=zones,
        happenings=forecast.happenings,
        limits=forecast.limits,
    )


def outcomes(comparison: Comparison) -> tuple[Outcome, ...]:
    """Outcomes of the base and of every what-if that ran, in order, the base first."""
    return tuple(outcome(one, comparison.base) for one in (comparison.base, *comparison.others))


def chosen_what_ifs(case: Case, names: Iterable[str] | None) -> tuple[WhatIf, ...]:
    """The what-ifs of these names (none given: all), in the order of the case. Raises CaseError for an unknown name."""
    if names is None:
        return case.what_ifs
    wanted = list(names)
    known = [one.name for one in case.what_ifs]
    unknown = [name for name in wanted if name not in known and name != BASE]
    if unknown:
        remedy = f"Use one of: {', '.join(known)}." if known else "Add a what-if to the case."
        raise CaseError([Problem("", "what_ifs", name, "no what-if has this name", remedy) for name in unknown])
    return tuple(one for one in case.what_ifs if one.name in wanted)


def comparison_of(case: Case, ran: Sequence[Ran]) -> Comparison:
    """Put what ran side by side, the base first, and add the money.

    The comparison's `extra` carries the case ('case'), the monthly cash flows by name ('cash_flow': dict of CashFlow),
    the runs that failed with their reasons ('failed'), the dates on which jobs have paid for themselves
    ('break_even_dates') and why there is no rate of return against the base ('no_return'). Raises ValueError where
    the base did not run.
    """
    base = ran[0].forecast
    if base is None:
        raise ValueError("the base has no forecast to compare with")
    paid: dict[str, _Paid] = {}
    others: list[Forecast] = []
    refused: dict[str, str] = {}
    failed: dict[str, str] = {}
    for index, one in enumerate(ran):
        name = one.what_if.name if one.what_if else BASE
        if one.forecast is not None:
            paid[one.forecast.name] = _paid(case, one.what_if, one.forecast, base)
            others += [one.forecast] if index else []
        elif one.refused:
            refused[name] = one.refused
        else:
            failed[name] = one.failed
    first = paid[base.name].flow
    extra = {
        "case": case,
        "cash_flow": {name: one.flow for name, one in paid.items()},
        "failed": failed,
        "break_even_dates": {name: break_even_date(one.flow, first) for name, one in paid.items()},
        "no_return": {name: why for name, one in paid.items() if (why := _no_return(one.flow, first))},
    }
    return Comparison(
        base, tuple(others), refused, {name: _money(case, one, first) for name, one in paid.items()}, extra
    )


@dataclass(frozen=True)
class _Paid:
    """Cash flow of a what-if, the same where its jobs are paid for and change nothing, and their chance to succeed."""

    flow: CashFlow
    unchanged: CashFlow
    chance: float


def _paid(case: Case, what_if: WhatIf | None, forecast: Forecast, base: Forecast) -> _Paid:
    jobs = jobs_done(case, what_if, forecast)
    capital = cost_of_string(case.economics, completed(case, what_if).string).total
    flow = cash_flow(forecast, case.economics, jobs, capital)
    return _Paid(flow, cash_flow(base, case.economics, jobs, capital), chance_of_all(jobs))


def _money(case: Case, paid: _Paid, base: CashFlow) -> dict[str, float]:
    """Figures of one what-if, break-even prices included."""
    economics = case.economics
    found = figures(paid.flow, base, economics.discount_rate, paid.unchanged, paid.chance)
    for phase in ("oil", "gas"):
        key = f"break_even_{phase}_price"
        found[key] = break_even_price(paid.flow, economics, phase)
        against = break_even_price(paid.flow, economics, phase, base) if paid.flow is not base else float("nan")
        found[f"{key}_against_base"] = against
    return found


def _no_return(flow: CashFlow, base: CashFlow) -> str:
    if outlay(flow, base) <= 0.0:
        return ""
    return rate_of_return_told(difference(flow, base), years_of(flow, base)).why_none


def last_alive(forecast: Forecast) -> str:
    """Last date of the forecast on which a volume still grew; '' if none ever did."""
    alive = np.zeros(len(forecast.days), dtype=bool)
    for name in ("oil_volume", "water_volume", "gas_volume"):
        if name in forecast.well:
            alive |= np.diff(forecast.well[name], prepend=forecast.well[name][0]) > 0.0
    return str(forecast.dates[np.flatnonzero(alive)[-1]].astype("datetime64[D]")) if alive.any() else ""


def _zone(forecast: Forecast, index: int) -> ZoneOutcome:
    zone = forecast.description.zones[index]
    columns = {name: values[:, index] for name, values in forecast.zone.items()}
    total = {name: _last(columns, name) for name in ("oil_volume", "water_volume", "gas_volume")}
    gas_well = forecast.description.kind.startswith("gas")
    given, in_place = (total["gas_volume"], zone.gas_in_place) if gas_well else (total["oil_volume"], zone.oil_in_place)
    arrivals = [one.date for one in forecast.happenings if one.kind == "water arrives" and one.where == zone.name]
    return ZoneOutcome(
        name=zone.name,
        **total,
        recovery_factor=_share(given, in_place) if _produces(forecast) else float("nan"),
        peak_water_cut=_peak(columns.get("water_cut")),
        water_arrival=min(arrivals, default=""),
    )


def _recovery(forecast: Forecast, total: dict[str, float]) -> float:
    if not _produces(forecast):
        return float("nan")
    zones = forecast.description.zones
    if forecast.description.kind.startswith("gas"):
        return _share(total["gas_volume"], sum(zone.gas_in_place for zone in zones))
    return _share(total["oil_volume"], sum(zone.oil_in_place for zone in zones))


def _produces(forecast: Forecast) -> bool:
    return forecast.description.kind.endswith("producer")


def _share(part: float, whole: float) -> float:
    return part / whole if whole > 0.0 else float("nan")


def _last(columns: dict[str, Floats], name: str) -> float:
    return float(columns[name][-1]) if name in columns else float("nan")


def _peak(values: Floats | None) -> float:
    if values is None or np.isnan(values).all():
        return float("nan")
    return float(np.nanmax(values))

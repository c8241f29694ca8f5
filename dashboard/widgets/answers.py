"""The answer in numbers: headline tiles, the table of all what-ifs against the base, happenings and limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from dashboard.measure import NOTHING, System, amount, change, month_year, number, shown, unit
from dashboard.session import Result
from planner.model.case import Case
from planner.model.results import COLUMNS, Forecast


@dataclass(frozen=True)
class Figure:
    """A number that what-ifs are compared by: SI, with the quantity that says how to show it. more_is: good or bad."""

    name: str
    quantity: str
    of: Callable[[Result], float]
    more_is: str = ""
    currency: str = ""

    def text(self, result: Result, system: System) -> str:
        """The number with its unit."""
        if self.quantity == "money":
            return money_text(self.of(result), self.currency)
        return amount(self.of(result), self.quantity, system, 4)

    def against(self, result: Result, base: Result, system: System) -> str:
        """Difference to the base with sign and unit."""
        gap = self.of(result) - self.of(base)
        if self.quantity == "money":
            return money_text(gap, self.currency, sign=True)
        return change(gap, self.quantity, system)

    def unit(self, system: System) -> str:
        """Unit as printed."""
        return millions(self.currency) if self.quantity == "money" else unit(self.quantity, system)

    def header(self, system: System) -> str:
        """Name with unit."""
        label = self.unit(system)
        return f"{self.name}, {label}" if label else self.name

    def bare(self, text: str, system: System) -> str:
        """A text of `text` or `against` without its unit, for columns that carry it in their header."""
        return text.removesuffix(self.unit(system)).removesuffix("points").rstrip(" \u00d7")


def money_text(value: float, currency: str, sign: bool = False) -> str:
    """Money in millions: '2,256 million USD'."""
    if not np.isfinite(value):
        return NOTHING
    if sign and abs(value) < 500:
        return "same"
    return f"{number(value / 1e6, 4, sign=sign)} {millions(currency)}"


def millions(currency: str) -> str:
    """Millions of a currency; of money, where the case names none."""
    return "million" if currency in ("", "money") else f"million {currency}"


def last(forecast: Forecast, name: str) -> float:
    """The last value of a column of the well; nan where the engine gave none."""
    found = forecast.well.get(name)
    return float(found[-1]) if found is not None and len(found) else float("nan")


def _of_well(name: str) -> Callable[[Result], float]:
    return lambda result: last(result.forecast, name)


def recovery(result: Result) -> float:
    """Recovery factor of the well: what came up over what was in place in its zones (gas in a gas well)."""
    forecast = result.forecast
    if "recovery_factor" in forecast.well:
        return last(forecast, "recovery_factor")
    phase = "gas" if forecast.description.kind.startswith("gas") else "oil"
    place = sum(getattr(zone, f"{phase}_in_place") for zone in forecast.description.zones)
    return last(forecast, f"{phase}_volume") / place if place > 0 else float("nan")


def npv(result: Result) -> float:
    """Net present value, where the case has economics."""
    return float(result.money.get("npv", float("nan")))


def figures_of(case: Case) -> list[Figure]:
    """Figures that fit the kind of well, the headline ones first."""
    kind, currency = case.well.kind, case.economics.currency
    money = [Figure("NPV", "money", npv, "good", currency)]
    if kind.endswith("injector"):
        phase = kind.split()[0]
        name = f"{phase}_volume"
        return [Figure(f"{phase.capitalize()} injected", COLUMNS[name], _of_well(name), "good"), *money]
    main = "gas" if kind.startswith("gas") else "oil"
    if main == "gas":
        rest = [Figure("Water rate at the end", COLUMNS["water_rate"], _of_well("water_rate"), "bad")]
    else:
        rest = [
            Figure("Gas", COLUMNS["gas_volume"], _of_well("gas_volume"), "good"),
            Figure("Water cut at the end", "fraction", _of_well("water_cut"), "bad"),
        ]
    return [
        Figure(main.capitalize(), COLUMNS[f"{main}_volume"], _of_well(f"{main}_volume"), "good"),
        Figure("Water", COLUMNS["water_volume"], _of_well("water_volume"), "bad"),
        Figure("Recovery", "fraction", recovery, "good"),
        *money,
        *rest,
    ]


def shown_figures(case: Case, results: list[Result]) -> list[Figure]:
    """Figures that at least one result has a number for."""
    return [f for f in figures_of(case) if any(np.isfinite(f.of(result)) for result in results)]


def first_water(forecast: Forecast) -> tuple[str, str]:
    """When and where water first arrives: ('Mar 2029', 'Birch'); a dash when it does not."""
    for happening in forecast.happenings:
        if happening.kind == "water arrives":
            return month_year(happening.date), happening.where or "well"
    return NOTHING, ""


def broken(forecast: Forecast) -> list[str]:
    """A sentence for each limit that was crossed."""
    return [f"{check.name}, {check.where}".rstrip(", ") for check in forecast.limits if check.broken]


def table(case: Case, results: dict[str, Result], system: System) -> tuple[list[str], list[list[tuple[str, str]]]]:
    """Header and rows, the base first; each cell is (the number, the difference to the base)."""
    base = results["base"]
    figures = shown_figures(case, list(results.values()))
    header = ["What-if", *[f.header(system) for f in figures], "First water", "Limits crossed"]
    rows = []
    for name, result in results.items():
        cells = [("Base" if name == "base" else name, "")]
        for figure in figures:
            gap = "" if result is base else figure.bare(figure.against(result, base, system), system)
            cells.append((figure.bare(figure.text(result, system), system), gap))
        arrival, where = first_water(result.forecast)
        rows.append([*cells, (arrival, where), (str(len(broken(result.forecast))), "")])
    return header, rows


def csv_rows(results: dict[str, Result], system: System) -> list[dict[str, Any]]:
    """Every result in one long table, unit in each header: well columns, then the columns of each zone."""
    rows = []
    for name, result in results.items():
        forecast = result.forecast
        columns = {_key(c, system): shown(v, COLUMNS[c], system) for c, v in forecast.well.items() if c in COLUMNS}
        for at, zone in enumerate(forecast.description.zones):
            for c, v in forecast.zone.items():
                if c in COLUMNS:
                    columns[f"{zone.name}: {_key(c, system)}"] = shown(v[:, at], COLUMNS[c], system)
        for t, day in enumerate(forecast.dates):
            rows.append(
                {"what_if": name, "date": str(day), **{key: f"{float(v[t]):.8g}" for key, v in columns.items()}}
            )
    return rows


def _key(name: str, system: System) -> str:
    """Header of a column with its unit; fractions stay fractions in files."""
    label = "" if COLUMNS[name] == "fraction" else unit(COLUMNS[name], system)
    return f"{name.replace('_', ' ')} ({label})" if label else name.replace("_", " ")

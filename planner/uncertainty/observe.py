"""What a forecast says where something was measured: the same numbers in the same order, SI."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from planner.base.errors import CaseError, Problem
from planner.forecast.calendar import seconds
from planner.model.case import Case
from planner.model.measured import Measurement
from planner.model.results import Forecast
from planner.network.lift import tubing_traverse

Floats = NDArray[np.float64]

DAY = 86_400.0
_RATES = {"oil rate": ("oil",), "water rate": ("water",), "liquid rate": ("oil", "water"), "gas rate": ("gas",)}
_TOTALS = {"cumulative oil": "oil", "cumulative water": "water", "cumulative gas": "gas"}
_TESTS = ("kh", "skin")


def last_day(rows: Sequence[Measurement], case: Case) -> date:
    """The day up to which a forecast has to run: the last thing measured, at least a month."""
    dated = [row.date for row in rows if row.kind not in _TESTS]
    least = case.schedule.start + timedelta(days=1)
    return min(max([least, *dated]), case.schedule.end)


def days_to_report(rows: Sequence[Measurement]) -> tuple[date, ...]:
    """Days on which a forecast has to be reported to be compared."""
    return tuple(sorted({row.date for row in rows} | {row.since for row in rows if row.since is not None}))


def problems_of_places(rows: Sequence[Measurement], forecast: Forecast, case: Case) -> list[Problem]:
    """Zones and layers that the well does not have; wellhead pressures without a tubing."""
    zones = [zone.name for zone in forecast.description.zones]
    layers = [layer.name for layer in forecast.description.layers]
    found: list[Problem] = []
    for name in dict.fromkeys(row.zone for row in rows if row.zone):
        if name not in (*zones, *layers):
            remedy = f"Known: {', '.join([*zones, *layers])}."
            found.append(Problem("", "measured", name, f"no zone or layer is called '{name}'", remedy))
    if case.tubing is None and any(row.kind == "wellhead pressure" for row in rows):
        message = "wellhead pressures are measured, but the case has no tubing to compute them by"
        found.append(Problem("", "measured", "", message, "Give [tubing], or leave these rows out."))
    return found


def predicted(case: Case, forecast: Forecast, rows: Sequence[Measurement]) -> Floats:
    """What the forecast of a case says for each measurement [n], SI; nan where it says nothing.

    Means over a time come from cumulative volumes, all else is read on its day between report dates by straight
    lines. kh is that of the layers of the zone, skin their mean by kh. Raises CaseError for places that are not there.
    """
    problems = problems_of_places(rows, forecast, case)
    if problems:
        raise CaseError(problems)
    reader = _Reader(case, forecast)
    return np.array([reader.value(row) for row in rows])


class _Reader:
    """Reads one forecast."""

    def __init__(self, case: Case, forecast: Forecast) -> None:
        self.case, self.forecast = case, forecast
        self.zones = [zone.name for zone in forecast.description.zones]
        self.layers = [layer.name for layer in forecast.description.layers]

    def value(self, row: Measurement) -> float:
        """The number that was measured."""
        if row.kind in _TESTS:
            return self._test(row)
        if row.kind in _TOTALS:
            return self._at(row.zone, f"{_TOTALS[row.kind]}_volume", row.date)
        if row.kind == "formation pressure":
            return self._at(row.zone, "pressure", row.date)
        if row.kind == "bottom-hole pressure":
            return self._at("", "bottom_hole_pressure", row.date)
        if row.kind == "wellhead pressure":
            return self._wellhead(row.date)
        flows = {phase: self._flow(row.zone, phase, row) for phase in ("oil", "water", "gas")}
        if row.kind in _RATES:
            return sum(flows[phase] for phase in _RATES[row.kind])
        if row.kind == "water cut":
            return _ratio(flows["water"], flows["oil"] + flows["water"])
        if row.kind == "gas-oil ratio":
            return _ratio(flows["gas"], flows["oil"])
        whole = {phase: self._flow("", phase, row) for phase in ("oil", "water", "gas")}
        if row.kind == "liquid share":
            return _ratio(flows["oil"] + flows["water"], whole["oil"] + whole["water"])
        return _ratio(flows["gas"], whole["gas"])

    def _flow(self, zone: str, phase: str, row: Measurement) -> float:
        """Rate on the day, or the mean over the time of the measurement."""
        if row.since is None:
            return self._at(zone, f"{phase}_rate", row.date)
        column = f"{phase}_volume"
        return (self._at(zone, column, row.date) - self._at(zone, column, row.since)) / (
            (row.date - row.since).days * DAY
        )

    def _at(self, zone: str, column: str, day: date) -> float:
        forecast = self.forecast
        if not zone:
            series = forecast.well[column]
        elif zone in self.zones:
            series = forecast.zone[column][:, self.zones.index(zone)]
        else:
            series = forecast.layer[column][:, self.layers.index(zone)]
        at = seconds(self.case, day) / DAY
        if at > forecast.days[-1] + 1e-6:
            return math.nan
        return float(np.interp(at, forecast.days, series))

    def _test(self, row: Measurement) -> float:
        layers = [one for one in self.forecast.description.layers if row.zone in ("", one.zone, one.name)]
        kh = np.array([one.kh for one in layers])
        if row.kind == "kh":
            return float(kh.sum())
        skins = {layer.name: layer.skin for layer in self.case.layers}
        return float(np.average([skins[one.name] for one in layers], weights=kh))

    def _wellhead(self, day: date) -> float:
        """The wellhead pressure that the lift needs for the rates and the bottom-hole pressure of the day."""
        oil, water, gas = (self._at("", f"{phase}_rate", day) for phase in ("oil", "water", "gas"))
        bottom = self._at("", "bottom_hole_pressure", day)

        def short(wellhead: float) -> float:
            return float(tubing_traverse(self.case, wellhead, oil, water, gas).pressure[-1]) - bottom

        low, high = 1.0e4, bottom + 1.0e7
        if short(low) > 0.0 or short(high) < 0.0:
            return math.nan
        return float(brentq(short, low, high, xtol=10.0))


def _ratio(part: float, whole: float) -> float:
    return part / whole if abs(whole) > 1e-12 else 0.0

"""What is kept of one forecast of one member of an ensemble: figures with money, series of well and zones."""

from __future__ import annotations

from datetime import date

import numpy as np

from planner.base.constants import DAY
from planner.decide.capital import cost_of_string
from planner.decide.compare import outcome
from planner.decide.jobs import jobs_done
from planner.decide.money import cash_flow
from planner.decide.value import net_present_value
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import Summary
from planner.model.results import Forecast

WELL = ("oil_rate", "water_rate", "gas_rate", "water_cut", "bottom_hole_pressure", "oil_volume", "water_volume",
        "gas_volume")  # fmt: skip
ZONE = ("oil_rate", "water_rate", "gas_rate", "pressure", "oil_volume", "water_volume", "gas_volume")


def life_summary(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """Figures and series of one forecast, SI, money in the case's currency; each zone's volumes as 'zone: figure'.

    Times count from the start of the schedule, NaN for what never came. The money is that of the member's own
    prices and costs.
    """
    found = outcome(forecast, forecast)
    capital = cost_of_string(case.economics, case.string).total
    stream = cash_flow(forecast, case.economics, jobs_done(case, what_if, forecast), capital)
    start = case.schedule.start
    figures = {
        "oil_volume": found.oil_volume,
        "water_volume": found.water_volume,
        "gas_volume": found.gas_volume,
        "recovery_factor": found.recovery_factor,
        "peak_water_cut": found.peak_water_cut,
        "peak_water_rate": found.peak_water_rate,
        "water_arrival": _since(start, found.water_arrival),
        "producing_time": _since(start, found.well_end),
        "npv": net_present_value(stream.net, case.economics.discount_rate, stream.years),
        "job_cost": float(stream.job_cost.sum()),
        "limits_broken": float(len(found.broken)),
    }
    for zone in found.zones:
        for name in ("oil_volume", "water_volume", "gas_volume"):
            figures[f"{zone.name}: {name}"] = getattr(zone, name)
    return Summary(
        figures=figures,
        dates=forecast.dates,
        well={name: forecast.well[name] for name in WELL if name in forecast.well},
        zone={name: np.asarray(forecast.zone[name]) for name in ZONE if name in forecast.zone},
        zones=tuple(zone.name for zone in forecast.description.zones),
    )


def _since(start: date, day: str) -> float:
    """Seconds from the start to an ISO date; NaN for ''."""
    return (date.fromisoformat(day) - start).days * DAY if day else float("nan")

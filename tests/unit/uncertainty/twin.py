"""Twin experiments: data made by the model itself on a tiny well, with noise, the truth hidden from the matching."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np

from planner.base.units import QUANTITIES
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.measured import KINDS, Measured, Measurement, measurements
from planner.model.paths import put
from planner.uncertainty.observe import days_to_report, last_day, predicted
from tests.building import MD, element, layer, raw

TRUTH = {"layers.upper.permeability": 160.0 * MD, "layers.lower.skin": 9.0, "supports.edge.volume": 4.0e6}
RANGES: list[dict[str, Any]] = [
    {"name": "kh upper", "path": "layers.upper.permeability", "kind": "lognormal", "p90": "50 md", "p10": "300 md"},
    {"name": "skin lower", "path": "layers.lower.skin", "kind": "uniform", "low": -3.0, "high": 15.0},
    {"name": "aquifer", "path": "supports.edge.volume", "kind": "lognormal", "p90": "1e6 m^3", "p10": "2e7 m^3"},
]
ERRORS = {"bottom-hole pressure": "1.5 bar", "oil rate": "3 %", "formation pressure": "1 bar", "liquid share": "0.03"}
LATER = [date(2027, m, 1) for m in (4, 7, 10)] + [date(2028, m, 1) for m in (1, 5, 9)]


def tiny(**changes: Any) -> Case:
    """Two zones of two cells each, an aquifer below, on a steady liquid rate."""
    document = raw(
        layers=[
            layer("upper", 2000.0, 2010.0, cells=2, support="edge", drainage_radius="400 m"),
            layer("lower", 2050.0, 2060.0, cells=2, permeability="80 md", drainage_radius="400 m"),
        ],
        supports={
            "edge": {"kind": "fetkovich aquifer", "volume": "5e6 m^3", "compressibility": "1e-4 1/bar",
                     "productivity_index": "20 m^3/day/bar"},
        },
        string=[
            element("blank pipe", 1988.0, 2000.0), element("screen", 2000.0, 2010.0),
            element("isolation joint", 2010.0, 2016.0), element("blank pipe", 2016.0, 2050.0),
            element("screen", 2050.0, 2060.0),
        ],
        zones=["Upper", "Lower"],
        controls=[{"date": "2027-01-01", "liquid_rate": "80 m^3/day", "bottom_hole_pressure": "50 bar"}],
        schedule={"start": "2027-01-01", "end": "2029-01-01", "report": "year"},
        numerics={"friction": False, "gravity": False, "tolerance": 2.0e-2, "longest_step": "365 day",
                  "first_step": "5 day"},
        uncertain=RANGES,
    )  # fmt: skip
    document.update(changes)
    return Case.model_validate(document)


def plan() -> list[tuple[str, str, date]]:
    """What is measured, where and when."""
    found = [("bottom-hole pressure", "", day) for day in LATER]
    found += [("formation pressure", zone, LATER[-1]) for zone in ("Upper", "Lower")]
    found += [("liquid share", "Upper", day) for day in (LATER[0], LATER[-1])]
    return found


def with_data(
    case: Case, truth: dict[str, float], seed: int | None, wanted: list[tuple[str, str, date]],
    given: dict[str, str] = ERRORS,
) -> Case:  # fmt: skip
    """The case with measurements that the model makes at the truth; seed None: without noise."""
    true_case = put(case, dict(truth))
    blank = [Measurement(kind, zone, day, None, 0.0, 1.0) for kind, zone, day in wanted]
    run = forecast(true_case, until=last_day(blank, case), also=days_to_report(blank))
    values = predicted(true_case, run, blank)
    rng = np.random.default_rng(0 if seed is None else seed)
    rows = []
    for one, value in zip(blank, values, strict=True):
        unit = QUANTITIES[KINDS[one.kind].quantity].si
        rows.append({"date": one.date, "kind": one.kind, "zone": one.zone, "value": f"{float(value)!r} {unit}".strip()})
    measured = Measured.model_validate({"rows": rows, "errors": given})
    if seed is not None:
        errors = [one.error for one in measurements(measured)]
        order = {(m.kind, m.zone, m.date): e for m, e in zip(measurements(measured), errors, strict=True)}
        for row, one, value in zip(rows, blank, values, strict=True):
            unit = QUANTITIES[KINDS[one.kind].quantity].si
            noisy = value + order[one.kind, one.zone, one.date] * rng.standard_normal()
            row["value"] = f"{float(noisy)!r} {unit}".strip()
        measured = Measured.model_validate({"rows": rows, "errors": given})
    return case.model_copy(update={"measured": measured})

"""Late life as plain data for JSON: stable keys with the unit in the key."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from planner.base.units import UnitSystem
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.cures import OUTLOOK, TROUBLE, Cure
from planner.report.cure_odds import odds_document
from planner.report.documents import record
from planner.report.tables import keys_for

Document = dict[str, Any]


def cure_document(found: Cure, system: UnitSystem) -> Document:
    """Diagnosis and ranked jobs."""
    style = keys_for(system)
    case = found.extra.get("case")
    jobs = []
    for job in found.jobs:
        plain = {**asdict(job), "value_of_waiting": job.value_of_waiting, "pays": job.pays}
        jobs.append(record(plain, {**OUTLOOK, "rig_time": "time"}, style))
    return {
        "well": found.well,
        "kind": found.kind,
        "date": found.date,
        "step": found.step,
        "what_if": found.what_if,
        "units": system,
        "currency": case.economics.currency if isinstance(case, Case) else "money",
        "caution": CAUTION,
        "whole_well": record(asdict(found.whole_well), TROUBLE, style),
        "zones": [record(asdict(zone), TROUBLE, style) for zone in found.zones],
        "jobs": jobs,
        **({"over_draws": odds_document(found.odds, style)} if found.odds is not None else {}),
        "forbidden": [asdict(one) for one in found.forbidden],
        "forecasts": found.forecasts,
        "seconds": found.seconds,
        "warnings": list(found.warnings),
    }

"""The judgement of hole and sand as plain data for JSON."""

from __future__ import annotations

from planner.base.units import UnitSystem
from planner.model.cautions import CAUTION
from planner.model.suitability_results import SuitabilityResult
from planner.report.documents import Document, records
from planner.report.suitability_tables import gradings_table, hole_table, reasons_table, seats_table, strengths_table
from planner.report.tables import keys_for


def suitability_document(result: SuitabilityResult, system: UnitSystem) -> Document:
    """Reasons, seats, gradings and strengths; what is missing; the what-if of dirty fluid."""
    style = keys_for(system)
    top, base = style.header("top md", "length"), style.header("base md", "length")
    return {
        "well": result.well,
        "units": system,
        "caution": CAUTION,
        "intervals": [
            {
                "name": sand.name,
                top: style.value(sand.top_md, "length"),
                base: style.value(sand.base_md, "length"),
                "layers": list(sand.layers),
                style.header("planned drawdown", "pressure"): style.value(
                    result.planned_drawdown[sand.name], "pressure"
                ),
            }
            for sand in result.sands
        ],
        "reasons": records(reasons_table(result.reasons, style)),
        "hole": records(hole_table(result, style)),
        "seats": records(seats_table(result, style)),
        "grain_sizes": records(gradings_table(result, style)),
        "strengths": records(strengths_table(result, style)),
        "missing": list(result.missing),
        "what_if": result.what_if.model_dump(mode="json") if result.what_if else None,
        "warnings": list(result.warnings),
    }

"""Results as plain data for JSON: stable snake_case keys with the unit in the key, null where there is no number."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import numpy as np
import pandas as pd

from planner.base.units import UnitSystem
from planner.decide.compare import Outcome, outcomes
from planner.decide.value import BREAK_EVEN, FIGURES
from planner.decide.waterfall import Waterfall, waterfalls
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.results import COLUMNS, Comparison, FlowProfile, Forecast, LimitCheck, WellDescription
from planner.report.frames import Style, words
from planner.report.sandface_tables import horizontal_documents, skin_documents
from planner.report.tables import (
    flow_layer_table,
    flow_zone_table,
    instant,
    keys_for,
    layers_table,
    profile_table,
)

Document = dict[str, Any]


def to_json(document: Document) -> str:
    """Strict JSON text: NaN and infinities become null, numbers keep ten digits."""
    return json.dumps(_plain(document), indent=2, allow_nan=False, ensure_ascii=False)


def description_document(description: WellDescription, system: UnitSystem) -> Document:
    """The well: zones, layers, blanks and warnings."""
    style = keys_for(system)
    return {
        "well": description.well,
        "kind": description.kind,
        "units": system,
        "zones": [record(asdict(zone), _ZONE, style) for zone in description.zones],
        "layers": records(layers_table(description, style)),
        "blanks": [record(asdict(blank), _DEPTHS, style) for blank in description.blanks],
        "pieces": [record(asdict(piece), _PIECE, style) for piece in description.pieces],
        "skins": skin_documents(description.skins, style),
        "warnings": list(description.warnings),
    }


def check_document(
    case: Case, description: WellDescription, refused: Mapping[str, str], system: UnitSystem
) -> Document:
    """The well and whether the string can do each what-if. refused: what-if name -> reason."""
    what_ifs = [
        {
            "name": one.name,
            "description": one.description,
            "completion": one.completion,
            "possible": one.name not in refused,
            "reason": refused.get(one.name, ""),
        }
        for one in case.what_ifs
    ]
    return {"title": case.title, **description_document(description, system), "what_ifs": what_ifs}


def forecast_document(forecast: Forecast, system: UnitSystem) -> Document:
    """A forecast over time: arrays by column for the well, each zone and each layer, and what happened."""
    style = keys_for(system)
    zones = [zone.name for zone in forecast.description.zones]
    layers = [layer.name for layer in forecast.description.layers]
    return {
        "what_if": forecast.name,
        "well": forecast.description.well,
        "units": system,
        "caution": CAUTION,
        "dates": [str(one) for one in forecast.dates.astype("datetime64[D]")],
        "time_d": forecast.days,
        "totals": _columns(forecast.well, style),
        "zones": {name: _columns(_pick(forecast.zone, i), style) for i, name in enumerate(zones)},
        "layers": {name: _columns(_pick(forecast.layer, i), style) for i, name in enumerate(layers)},
        "control": list(forecast.control),
        "happenings": [asdict(one) for one in forecast.happenings],
        "limits": [limit_document(one, style) for one in forecast.limits],
        "facts": asdict(forecast.facts),
        "warnings": [*forecast.description.warnings, *forecast.warnings],
    }


def flow_document(flow: FlowProfile, system: UnitSystem) -> Document:
    """Flow at an instant: the well, its zones, layers and pieces of bore."""
    style = keys_for(system)
    return {
        "date": flow.date,
        "well": flow.description.well,
        "units": system,
        "caution": CAUTION,
        "totals": _columns(instant(flow.well), style),
        "control": flow.control,
        "zones": records(flow_zone_table(flow, style)),
        "layers": records(flow_layer_table(flow, style)),
        "pieces": records(profile_table(flow, style)),
        "skins": skin_documents(flow.skins, style),
        "horizontal": horizontal_documents(flow.horizontal, style),
        "limits": [limit_document(one, style) for one in flow.limits],
        "warnings": [*flow.description.warnings, *flow.warnings],
    }


def comparison_document(comparison: Comparison, system: UnitSystem) -> Document:
    """Base and what-ifs: outcomes, money, and the what-ifs that were refused or failed, with the reason."""
    case = comparison.extra.get("case")
    style = keys_for(system)
    rows = [_outcome(row, comparison.money.get(row.name, {}), style) for row in outcomes(comparison)]
    for row in rows:
        row["has_paid_by"] = comparison.extra.get("break_even_dates", {}).get(row["name"], "")
        row["no_rate_of_return"] = comparison.extra.get("no_return", {}).get(row["name"], "")
    for row, found in zip(rows[1:], waterfalls(comparison), strict=False):
        row["value_bars"] = waterfall_document(found)["bars"]
    return {
        "well": comparison.base.description.well,
        "units": system,
        "currency": case.economics.currency if isinstance(case, Case) else "money",
        "caution": CAUTION,
        "base": rows[0],
        "what_ifs": rows[1:],
        "refused": [{"name": name, "reason": reason} for name, reason in comparison.refused.items()],
        "failed": [{"name": name, "reason": reason} for name, reason in comparison.extra.get("failed", {}).items()],
        "warnings": _warnings(comparison),
    }


def waterfall_document(found: Waterfall) -> Document:
    """What makes the difference in value between two what-ifs."""
    return {
        "from": found.first,
        "to": found.second,
        "npv_from_money": found.first_value,
        "npv_to_money": found.second_value,
        "bars": [{"cause": bar.cause, "zone": bar.zone, "adds_to_npv_money": bar.value} for bar in found.bars],
        "unexplained_money": found.unexplained,
    }


def limit_document(limit: LimitCheck, style: Style) -> Document:
    """One limit; its numbers carry the unit of its own quantity in their keys."""
    return {
        "name": limit.name,
        "where": limit.where,
        "broken": limit.broken,
        style.header("allowed", limit.quantity): style.value(limit.limit, limit.quantity),
        style.header("worst", limit.quantity): style.value(limit.worst, limit.quantity),
        "margin": limit.margin,
        "worst_day": limit.worst_day,
        "first_broken_day": limit.first_broken_day,
    }


def records(table: pd.DataFrame) -> list[Document]:
    """Rows of a table as dictionaries."""
    return [{str(name): value for name, value in row.items()} for row in table.to_dict("records")]


_DEPTHS = {"top_md": "length", "base_md": "length"}
_IN_PLACE = {"oil_in_place": "liquid volume", "water_in_place": "liquid volume", "gas_in_place": "gas volume"}
_ZONE = {**_DEPTHS, **_IN_PLACE}
_PIECE = {**_DEPTHS, "tvd": "length", "inner_diameter": "diameter"}
_OUTCOME = {
    **{name: COLUMNS[name] for name in ("oil_volume", "water_volume", "gas_volume", "recovery_factor")},
    "oil_difference": "liquid volume",
    "water_difference": "liquid volume",
    "gas_difference": "gas volume",
    "peak_water_cut": "fraction",
    "peak_water_rate": "liquid rate",
}


def _outcome(row: Outcome, money: Mapping[str, float], style: Style) -> Document:
    values = {name: getattr(row, name) for name in ("name", *_OUTCOME, "water_arrival", "well_end")}
    return {
        **record(values, _OUTCOME, style),
        "money": record(dict(money), {**FIGURES, **BREAK_EVEN}, style),
        "zones": [record(asdict(zone), _OUTCOME, style) for zone in row.zones],
        "happenings": [asdict(one) for one in row.happenings],
        "limits": [limit_document(one, style) for one in row.limits],
    }


def _warnings(comparison: Comparison) -> list[str]:
    found = [*comparison.base.description.warnings, *comparison.base.warnings]
    found += [f"{run.name}: {text}" for run in comparison.others for text in run.warnings if text not in found]
    return found


def record(values: Document, quantities: Mapping[str, str], style: Style) -> Document:
    """One record with units put on; a record of scalars, keys in the given order."""
    made: Document = {}
    for name, value in values.items():
        quantity = quantities.get(name, "")
        made[style.header(words(name), quantity)] = style.value(value, quantity)
    return made


def _columns(columns: Mapping[str, Any], style: Style) -> Document:
    return {
        style.header(words(name), COLUMNS[name]): style.value(value, COLUMNS[name])
        for name, value in columns.items()
        if name in COLUMNS
    }


def _pick(columns: Mapping[str, Any], index: int) -> Document:
    return {name: values[:, index] for name, values in columns.items()}


def _plain(value: Any) -> Any:
    """Numbers, text, lists and dictionaries alone."""
    if isinstance(value, Mapping):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, np.ndarray):
        return [_plain(one) for one in value.tolist()]
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, bool | np.bool_):
        return bool(value)
    if isinstance(value, float | np.floating):
        return float(f"{value:.10g}") if math.isfinite(value) else None
    return int(value) if isinstance(value, np.integer) else value

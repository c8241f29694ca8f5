"""JSON Schema of the case: the records' own, with units and with the tables that may stand in files."""

from __future__ import annotations

from typing import Any

from planner.base.units import QUANTITIES
from planner.io.filed import FILED
from planner.io.log_layer_keys import LogLayers
from planner.io.measured_file import MeasuredFile
from planner.model.case import Case

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of case.toml: keys, allowed words, bounds, defaults, meaning and units.

    Each number with a unit is a string that carries 'x-quantity' and 'x-units' (the units of each system). Defaults of
    such numbers are in SI, named 'x-default-si'.
    """
    made = Case.model_json_schema()
    logs = LogLayers.model_json_schema(ref_template="#/$defs/{model}")
    made["$defs"] |= logs.pop("$defs")
    made["$defs"]["LogLayers"] = logs
    _add_units(made)
    for location, record in FILED.items():
        holder = made if len(location) == 1 else made["$defs"][str(location[-2]).title()]  # Well, Oil, Gas
        _allow_file(holder["properties"], str(location[-1]), record.__name__)
    _allow_measured_file(made)
    well = made["$defs"]["Well"]
    well["properties"]["hole_diameter"] = {
        "type": "string",
        "title": "Hole Diameter",
        "description": "constant hole diameter, instead of hole",
        "x-quantity": "diameter",
        "x-units": _units("diameter"),
    }
    well["required"] = [key for key in well["required"] if key != "hole"]
    well["oneOf"] = [{"required": ["hole"]}, {"required": ["hole_diameter"]}]
    return {"$schema": DIALECT, **made, "title": "Case"}


def _allow_measured_file(made: dict[str, Any]) -> None:
    """[measured] file = ... with how it is to be read, instead of rows."""
    how = MeasuredFile.model_json_schema(ref_template="#/$defs/{model}")["properties"]
    section = made["$defs"]["Measured"]
    section["properties"] |= how
    one = {"type": "object", "properties": how, "required": ["file"], "additionalProperties": False}
    section["properties"]["files"] = {"type": "array", "items": one, "description": "several files, instead of file"}
    section["required"] = [key for key in section["required"] if key != "rows"]
    section["oneOf"] = [{"required": [key]} for key in ("rows", "file", "files")]


def _units(quantity: str) -> dict[str, str]:
    known = QUANTITIES[quantity]
    return {"field": known.field, "metric": known.metric, "si": known.si}


def _add_units(node: Any) -> None:
    """Units beside every quantity of the schema; defaults of text with a unit moved to 'x-default-si'."""
    if isinstance(node, dict):
        quantities = [part["x-quantity"] for part in (node, *node.get("anyOf", [])) if _has_quantity(part)]
        if quantities and QUANTITIES[quantities[0]].si:
            node["x-units"] = _units(quantities[0])
            if node.get("default") is not None:
                node["x-default-si"] = node.pop("default")
        for value in list(node.values()):
            _add_units(value)
    elif isinstance(node, list):
        for value in node:
            _add_units(value)


def _has_quantity(part: object) -> bool:
    return isinstance(part, dict) and isinstance(part.get("x-quantity"), str)


def _allow_file(properties: dict[str, Any], key: str, record: str) -> None:
    """A list, or { file = ... }; layers and hole also from a log."""
    here = properties[key]
    about = {name: here.pop(name) for name in ("title", "description", "default") if name in here}
    file = {
        "type": "object",
        "description": f"CSV table, one {record} a row, units in the header: 'top md [ft]'",
        "properties": {"file": {"type": "string"}},
        "required": ["file"],
        "additionalProperties": False,
    }
    ways = [here, file]
    if record == "Layer":
        ways.append({"$ref": "#/$defs/LogLayers"})
    if record == "HoleSize":
        caliper = {"log": {"type": "string"}, "curve": {"type": "string", "default": "CALI"}}
        ways.append({"type": "object", "properties": caliper, "required": ["log"], "additionalProperties": False})
    if record == "StrengthRow":
        sonic = {"log": {"type": "string"}, "curve": {"type": "string", "default": "DT"}}
        ways.append({"type": "object", "properties": sonic, "required": ["log"], "additionalProperties": False})
    properties[key] = {**about, "anyOf": ways}

"""The JSON Schema of the case says what the reader takes."""

from __future__ import annotations

import json

from planner.base.units import QUANTITIES
from planner.io.write import schema
from planner.model.case import Case


def test_schema_is_json_with_title_and_every_section() -> None:
    made = json.loads(json.dumps(schema()))
    assert made["title"] == "Case"
    assert made["description"]
    assert set(made["properties"]) == set(Case.model_fields)
    assert set(made["required"]) == {name for name, info in Case.model_fields.items() if info.is_required()}


def test_numbers_carry_their_units() -> None:
    layer = schema()["$defs"]["Layer"]["properties"]
    assert layer["top_md"]["type"] == "string"
    assert layer["top_md"]["x-units"] == {"field": "ft", "metric": "m", "si": "m"}
    assert layer["drainage_radius"]["x-units"]["field"] == "ft"
    assert layer["drainage_radius"]["description"] == "radial and along hole"
    assert "x-units" not in layer["porosity"]
    assert layer["porosity"]["maximum"] == 1.0


def test_defaults_with_units_are_named_si() -> None:
    later = schema()["$defs"]["LaterElement"]["properties"]
    assert "default" not in later["length"]
    assert later["length"]["x-default-si"] == 3.0


def test_files_and_logs_are_allowed() -> None:
    made = schema()
    ways = made["properties"]["layers"]["anyOf"]
    assert any("file" in way.get("properties", {}) for way in ways)
    assert {"$ref": "#/$defs/LogLayers"} in ways
    assert "hole_diameter" in made["$defs"]["Well"]["properties"]
    assert "hole" not in made["$defs"]["Well"]["required"]
    for name, holder in (("survey", "Well"), ("table", "Oil"), ("table", "Gas")):
        assert any("file" in way.get("properties", {}) for way in made["$defs"][holder]["properties"][name]["anyOf"])


def test_every_reference_leads_somewhere() -> None:
    made = schema()
    found: list[str] = []

    def walk(node: object) -> None:
        if isinstance(node, dict):
            if isinstance(node.get("$ref"), str):
                found.append(node["$ref"])
            if isinstance(node.get("x-quantity"), str):
                assert node["x-quantity"] in QUANTITIES
            for value in node.values():
                walk(value)
        elif isinstance(node, list):
            for value in node:
                walk(value)

    walk(made)
    assert found
    assert {reference.removeprefix("#/$defs/") for reference in found} <= set(made["$defs"])


def test_measurements_may_stand_in_a_file() -> None:
    measured = schema()["$defs"]["Measured"]
    assert {"file", "date_format", "decimal", "rates", "errors", "control"} <= set(measured["properties"])
    assert {"required": ["file"]} in measured["oneOf"]

"""A form on a page: the inputs of the fields of a record, and what was typed into them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import dash_mantine_components as dmc
from dash import html

from dashboard import forms
from dashboard.forms import Field
from dashboard.measure import System

Json = dict[str, Any]


def form_field(owner: Any, path: Any) -> Json:
    """Id of an input of a form."""
    return {"type": "form-field", "owner": owner, "path": path}


def inputs(
    owner: str, fields: list[Field], raw: Json, system: System, errors: Mapping[str, str] | None = None
) -> list[Any]:
    """An input for each field, filled from JSON; fields inside other records stand under a heading of their own."""
    groups: dict[str, list[Any]] = {}
    for field in fields:
        groups.setdefault(field.path.rpartition(".")[0], []).append(_input(owner, field, raw, system, errors or {}))
    made: list[Any] = []
    for group, members in groups.items():
        grid = html.Div(members, className="form-grid")
        words = group.replace("_", " ").replace(".", ", ")
        made.append(html.Fieldset([html.Legend(words[:1].upper() + words[1:]), grid]) if group else grid)
    return made


def _input(owner: str, field: Field, raw: Json, system: System, errors: Mapping[str, str]) -> Any:
    value = forms.shown_value(field, forms.at(raw, field.path), system)
    given = {
        "id": form_field(owner, field.path), "label": field.label(system), "size": "xs", "value": value,
        "error": errors.get(field.path) or None, "withAsterisk": field.required,
    }  # fmt: skip
    hint = field.meaning if field.kind != "rows" else f"{field.meaning}; {forms.row_head(field, system)}".lstrip("; ")
    given["description"] = hint or None
    if field.kind in ("number", "whole", "text"):
        return dmc.TextInput(**given, placeholder=forms.default_words(field, system))
    if field.kind == "date":
        return dmc.DateInput(**given, valueFormat="YYYY-MM-DD", clearable=not field.required)
    if field.kind == "rows":
        return dmc.Textarea(**given, autosize=True, minRows=2, maxRows=6, className="whole-row")
    words = [{"value": word, "label": word} for word in field.choices]
    return dmc.Select(**given, data=words, clearable=not field.required and field.default in (None, ""))


def typed(ids_: list[Json], values: list[Any]) -> Json:
    """What stands in the inputs, by path."""
    return {name["path"]: value for name, value in zip(ids_, values, strict=True)}


def errors_at(ids_: list[Json], place: str, sentence: str) -> list[str | None]:
    """The sentence at the input that it is about: the one with this path, or the one that ends in it."""
    exact = [sentence if name["path"] == place else None for name in ids_]
    if any(exact):
        return exact
    last = place.rpartition(".")[2]
    return [sentence if name["path"].rpartition(".")[2] == last else None for name in ids_]

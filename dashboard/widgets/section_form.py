"""A section of the case as a form: every field with its meaning and unit, each problem beside its field."""

from __future__ import annotations

import copy
from typing import Any, get_args

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, html, no_update

from dashboard import forms, ids, records, session, tables
from dashboard.events import BadInput
from dashboard.forms import Field
from dashboard.house import House, Visit
from dashboard.measure import System
from dashboard.session import BadCase
from dashboard.tables import FORMS
from dashboard.widgets import form, grid
from planner.model.case import Case
from planner.model.measured import MeasuredKind

Json = dict[str, Any]
OWNER = "case"
KEEP = "input-keep"


def aside(section: str) -> tuple[str, ...]:
    """Fields of a form that are tables of their own."""
    return tuple(table.path[-1] for table in tables.TABLES.values() if len(table.path) > 1 and table.path[0] == section)


def body(visit: Visit, section: str) -> list[Any]:
    """A form with its button."""
    if section == "measured" and visit.case.measured is None:
        return [html.P(NOT_MEASURED, className="hint")]
    fields = fields_of(visit.case, section, visit)
    raw = records.exact(visit.case).get(section) or {}
    what = (_record(section).__doc__ or "").split("\n")[0]
    return [
        html.Div([html.P(what, className="hint"), *form.inputs(OWNER, fields, raw, visit.system)], className="scroll"),
        html.Div(dmc.Button("Keep these", id=KEEP, n_clicks=0, size="compact-sm"), className="chart-tools"),
    ]


NOT_MEASURED = "Nothing is measured yet: fill the table of measurements, or read a file."


def _record(section: str) -> Any:
    return forms.plain_type(Case.model_fields[section].annotation)


def fields_of(case: Case, section: str, visit: Visit) -> list[Field]:
    """The fields of a section of the case; of measurements, the error of each kind that is there."""
    found = forms.fields_of(_record(section), forms.choices_of(case, visit.told), skip=aside(section))
    if section == "measured" and case.measured is not None:
        there = {row.kind for row in case.measured.rows}
        kinds = [kind for kind in get_args(MeasuredKind) if kind in there or kind in case.measured.errors]
        found += [Field(f"errors.{kind}", "text", meaning=ONE_ERROR) for kind in kinds]
    return found


ONE_ERROR = "one standard deviation: '5 %' of the value, or an amount such as '2 bar'"


def new_form(visit: Visit, section: str, typed: Json) -> Json:
    """The case document with a section as typed; what the form does not show stays. Raises BadInput."""
    document = records.exact(visit.case)
    fields = fields_of(visit.case, section, visit)
    raw = document.get(section) or {}
    made = _untouched(raw, fields, typed, visit.system)
    kept = copy.deepcopy(raw)
    for field in fields:
        tables.take_out(kept, field.path)
    whole = _merged(kept, made)
    if whole or (section in document and section != "tubing"):
        document[section] = whole
    else:
        document.pop(section, None)  # nothing was said about it
    return document


def _merged(kept: Json, made: Json) -> Json:
    """What was typed beside what the form does not show; holders that are left empty go."""
    found = {name: value for name, value in kept.items() if value != {}}
    for name, value in made.items():
        both = isinstance(value, dict) and isinstance(found.get(name), dict)
        found[name] = _merged(found[name], value) if both else value
    return found


def _untouched(raw: Json, fields: list[Field], typed: Json, system: System) -> Json:
    """What was typed as JSON; a field that shows what is held keeps its number exactly."""
    made = forms.read(fields, typed, system)
    for field in fields:
        old = forms.at(raw, field.path)
        if old is not None and tables.same(typed.get(field.path), forms.shown_value(field, old, system)):
            forms.put(made, field.path, old)
    return made


def register(app: dash.Dash, house: House, section: str, said: str) -> None:
    """Keeping what was typed. section: of the store with the part in hand; said: of the words above."""

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(form.form_field(OWNER, ALL), "error"),
        Output(said, "children", allow_duplicate=True),
        Input(KEEP, "n_clicks"),
        State(section, "data"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def keep(clicks: int, part: str, values: Any, names: Any, here: Json, look: Json | None) -> tuple[Any, Any, Any]:
        visit = house.visit(here, look)
        if not clicks or visit is None or part not in FORMS:
            return no_update, [no_update] * len(names), no_update
        try:
            case = session.case_from(new_form(visit, part, form.typed(names, values)))
        except BadInput as bad:
            return no_update, form.errors_at(names, bad.field, str(bad)), ""
        except BadCase as bad:
            return no_update, *at_fields(bad, part, names)
        after, _, said = grid.apply(house, here, case, f"{FORMS[part]} changed")
        return after, [None] * len(names), said


def at_fields(bad: BadCase, section: str, names: list[Json]) -> tuple[list[Any], Any]:
    """Each problem of the reader at its field, the others in a list."""
    errors: list[Any] = [None] * len(names)
    rest = []
    for problem in bad.problems:
        sentence = f"{problem['message'][:1].upper()}{problem['message'][1:]}. {problem['remedy']}"
        found = form.errors_at(names, problem["place"].removeprefix(f"{section}."), sentence)
        if not any(found) or not problem["place"].startswith(section):
            rest.append(f"{problem['place']}: {sentence}")
        errors = [old or new for old, new in zip(errors, found, strict=True)]
    return errors, html.Ul([html.Li(text) for text in rest]) if rest else ""

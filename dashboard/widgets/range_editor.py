"""What is not known for sure: the ranges of a case, and which of them move together, made in a form."""

from __future__ import annotations

from typing import Any

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import forms, ids, ranges, records, session
from dashboard.events import BadInput
from dashboard.house import House, Visit
from dashboard.numbers import number_at, numbers_of
from dashboard.session import BadCase
from dashboard.widgets import form, grid

Json = dict[str, Any]
PART = "ranges"
OWNER, NEW = "range", "new"
EDITED, LISTED, EDITOR, NAME, PATHS, ACTS, KIND, FIELDS, KEEP, SAID = (
    "range-edited", "range-list", "range-editor", "range-name", "range-paths", "range-acts", "range-kind",
    "range-fields", "range-keep", "range-said",
)  # fmt: skip
ONE, OTHER, RANK, JOIN = "range-one", "range-other", "range-rank", "range-join"
WHAT = (
    "Each range is a number of the case that is not known for sure. Draws from the ranges are what Uncertainty, Blanks "
    "and Match compute with. P90 is the low case."
)


def act(what: Any, at: Any) -> Json:
    """A button of the lists: change or take out a range, take out a correlation."""
    return {"type": "range-act", "what": what, "at": at}


def body(visit: Visit) -> list[Any]:
    """The list of ranges and the form beside it."""
    return [
        html.Div(
            [
                dcc.Store(id=EDITED, data=NEW),
                html.Div(listed(visit), id=LISTED, className="scroll"),
                html.Div(editor(visit, NEW), id=EDITOR, className="scroll"),
            ],
            className="range-body",
        )
    ]


def everything(visit: Visit) -> list[Any]:
    """Every component once, whatever the case holds."""
    return [*body(visit), *_together(visit)]


def listed(visit: Visit) -> list[Any]:
    """Every range with what it is of and how it is spread, then the correlations."""
    rows = []
    for row in visit.case.uncertain:
        raw = records.exact(row)
        try:
            first = number_at(visit.case, visit.told, row.all_paths[0])
            of = first.words + (f" and {len(row.all_paths) - 1} more" if len(row.all_paths) > 1 else "")
            told = ranges.in_words(raw, first.quantity, visit.system)
        except BadCase as bad:
            of, told = str(bad), row.kind
        buttons = [
            _small("Change", act("change", row.name), row.name),
            _small("Take out", act("drop", row.name), row.name),
        ]
        rows.append(html.Tr([html.Th(row.name), html.Td(of), html.Td(told), html.Td(buttons)]))
    head = html.Tr([html.Th(text) for text in ("Range", "Of", "Spread", "")])
    made: list[Any] = [html.P(WHAT, className="hint")]
    if rows:
        made.append(html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words"))
    else:
        made.append(html.P("No ranges yet. Make the first one with the form.", className="hint"))
    return made + (_together(visit) if len(rows) > 1 else [])


def _small(text: str, name: Json, of: str) -> Any:
    return dmc.Button(text, id=name, n_clicks=0, size="compact-xs", variant="subtle",
                      attributes={"root": {"aria-label": f"{text} {of}"}})  # fmt: skip


def _together(visit: Visit) -> list[Any]:
    """Which ranges move together, and a line to join two."""
    rows = [
        html.Tr(
            [
                html.Td(f"{one.between[0]} and {one.between[1]}"),
                html.Td(f"{one.rank:g}" if one.rank is not None else f"{one.normal:g} of the normals"),
                html.Td(_small("Take out", act("part", at), f"{one.between[0]} and {one.between[1]}")),
            ]
        )
        for at, one in enumerate(visit.case.correlation)
    ]
    head = html.Tr([html.Th(text) for text in ("Move together", "Rank correlation", "")])
    names = [row.name for row in visit.case.uncertain] or [""]
    pick = {"data": names, "size": "xs", "w": 150, "allowDeselect": False}
    return [
        html.H3("Move together", className="gap-above"),
        *([html.Table([html.Thead(head), html.Tbody(rows)], className="plain-table words")] if rows else []),
        html.Div(
            [
                dmc.Select(id=ONE, value=names[0], label="One", **pick),
                dmc.Select(id=OTHER, value=names[-1], label="Other", **pick),
                dmc.TextInput(id=RANK, value="0.5", size="xs", w=120, label="From \u22121 to 1"),
                dmc.Button("Join them", id=JOIN, n_clicks=0, size="compact-sm", variant="light"),
            ],
            className="chart-tools low",
        ),
    ]  # fmt: skip


def editor(visit: Visit, edited: str) -> list[Any]:
    """The form of a range of the case, or of a new one."""
    raw = _raw(visit, edited)
    paths = [raw["path"]] if raw.get("path") else list(raw.get("paths", ()))
    choices = [{"value": one.path, "label": one.label(visit.system)} for one in numbers_of(visit.case, visit.told)]
    known = {one["value"] for one in choices}
    choices += [{"value": path, "label": path} for path in paths if path not in known]
    acts, kind = raw.get("acts_as", "value"), raw.get("kind", "lognormal")
    return [
        html.H2(f"Change {raw['name']}" if raw else "A new range"),
        dmc.MultiSelect(
            id=PATHS, data=choices, value=paths, label="Which number of the case", size="xs", searchable=True,
            description="type a word, such as 'permeability' or the name of a sand; several take the same draw",
            nothingFoundMessage="Nothing is called that. Try one word of it.",
            placeholder="" if paths else "search", limit=60, maxDropdownHeight=260, hidePickedOptions=True,
        ),
        dmc.TextInput(id=NAME, value=raw.get("name", ""), label="Name of the range", size="xs",
                      placeholder="such as: kh of the upper sand"),
        html.Div(
            [
                dmc.Select(id=ACTS, data=_options(ranges.ACTS), value=acts, label="What is drawn", size="xs",
                           allowDeselect=False),
                dmc.Select(id=KIND, data=_options(ranges.KINDS), value=kind, label="How it is spread", size="xs",
                           allowDeselect=False),
            ],
            className="form-grid wide-cells",
        ),
        html.Div(inputs(visit, kind, acts, paths, raw), id=FIELDS),
        html.Div(id=SAID, role="alert", className="problems"),
        html.Div(
            [
                dmc.Button("Keep this range" if raw else "Add this range", id=KEEP, n_clicks=0, size="compact-sm"),
                dmc.Button("A new one instead", id=act("change", NEW), n_clicks=0, size="compact-sm", variant="subtle",
                           display="inline-block" if raw else "none"),
            ],
            className="editor-foot",
        ),
    ]  # fmt: skip


def _options(words: dict[str, str]) -> list[Json]:
    return [{"value": key, "label": text} for key, text in words.items()]


def _raw(visit: Visit, edited: str) -> Json:
    """A range of the case by its name; {} for a new one."""
    found = next((row for row in visit.case.uncertain if row.name == edited), None)
    return records.exact(found) if found is not None and edited != NEW else {}


def quantity_of(visit: Visit, paths: list[str]) -> str:
    """Quantity of the numbers that a range is of; '' where none is chosen yet."""
    try:
        return number_at(visit.case, visit.told, paths[0]).quantity if paths else ""
    except BadCase:
        return ""


def inputs(visit: Visit, kind: str, acts: str, paths: list[str], raw: Json) -> list[Any]:
    """The parameters of a kind of range."""
    quantity = quantity_of(visit, paths)
    shown = ranges.shown(raw, quantity, visit.system) if raw.get("kind") == kind else {}
    cells = []
    for field, label in ranges.fields(kind, acts, quantity, visit.system):
        given = {"id": form.form_field(OWNER, field.path), "label": label, "description": field.meaning or None,
                 "value": shown.get(field.path, ""), "size": "xs", "withAsterisk": field.required}  # fmt: skip
        many = field.path in ("values", "weights", "table")
        cells.append(dmc.Textarea(**given, autosize=True, minRows=3, maxRows=8) if many else dmc.TextInput(**given))
    hint = "Give P90 and P10, or mean and standard deviation." if kind in ("normal", "lognormal") else ""
    return [html.P(hint, className="hint"), html.Div(cells, className="form-grid")]


def register(app: dash.Dash, house: House) -> None:
    """Lists, form, keeping."""
    _choose(app, house)
    _keep(app, house)
    _change(app, house)


def _choose(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(EDITED, "data"),
        Output(EDITOR, "children"),
        Input(act("change", ALL), "n_clicks"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def take(clicks: Any, here: Json | None, look: Json | None) -> tuple[Any, Any]:
        visit, asked = house.visit(here, look), ctx.triggered_id
        if visit is None or not isinstance(asked, dict) or not ctx.triggered[0]["value"]:
            return no_update, no_update
        return asked["at"], editor(visit, asked["at"])

    @app.callback(
        Output(FIELDS, "children"),
        Input(KIND, "value"),
        Input(ACTS, "value"),
        Input(PATHS, "value"),
        State(EDITED, "data"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def refill(kind: str, acts: str, paths: Any, edited: str, values: Any, names: Any, here: Any, look: Any) -> Any:
        visit = house.visit(here, look)
        if visit is None or kind not in ranges.KINDS:
            return no_update
        made = inputs(visit, kind, acts, list(paths or []), _raw(visit, edited))
        typed = form.typed(names, values)
        for cell in made[1].children:
            cell.value = typed.get(cell.id["path"]) or cell.value
        return made

    @app.callback(Output(LISTED, "children"), Input(ids.HERE, "data"), Input(ids.LOOK, "data"))
    def show(here: Json | None, look: Json | None) -> Any:
        visit = house.visit(here, look)
        return listed(visit) if visit else no_update


def _keep(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(form.form_field(OWNER, ALL), "error"),
        Output(PATHS, "error"),
        Output(NAME, "error"),
        Output(SAID, "children"),
        Output(EDITED, "data", allow_duplicate=True),
        Output(EDITOR, "children", allow_duplicate=True),
        Input(KEEP, "n_clicks"),
        State(PATHS, "value"),
        State(NAME, "value"),
        State(ACTS, "value"),
        State(KIND, "value"),
        State(form.form_field(OWNER, ALL), "value"),
        State(form.form_field(OWNER, ALL), "id"),
        State(EDITED, "data"),
        State(ids.HERE, "data"),
        State(ids.LOOK, "data"),
        prevent_initial_call=True,
    )
    def keep(
        clicks: int,
        paths: Any,
        name: str,
        acts: str,
        kind: str,
        values: Any,
        names: Any,
        edited: str,
        here: Any,
        look: Any,
    ) -> Any:
        visit = house.visit(here, look)
        if not clicks or visit is None:
            return no_update, [no_update] * len(names), *[no_update] * 5
        typed = {**form.typed(names, values), "paths": paths, "name": name, "acts_as": acts, "kind": kind}
        try:
            case = session.case_from(with_range(visit, edited, typed))
        except BadInput as bad:
            return no_update, *_at(bad.field, str(bad), names), no_update, no_update
        except BadCase as bad:
            first = bad.problems[0]
            return no_update, *_at(first["place"].rpartition(".")[2], sentences(bad), names), no_update, no_update
        after, _, said = grid.apply(house, here, case, f"Range {name} {'made' if edited == NEW else 'changed'}")
        if said:
            return no_update, [None] * len(names), None, None, said, no_update, no_update
        fresh = house.visit(after, look)
        return after, [None] * len(names), None, None, "", NEW, editor(fresh, NEW) if fresh else no_update


def sentences(bad: BadCase) -> str:
    """What is wrong with a range, without its number in the file."""
    return " ".join(f"{one['message'][:1].upper()}{one['message'][1:]}. {one['remedy']}" for one in bad.problems)


def _at(field: str, text: str, names: list[Json]) -> tuple[Any, Any, Any, Any]:
    """The sentence at its field, or below the form."""
    field = {"path": "paths"}.get(field, field)
    errors = [text if one["path"] == field else None for one in names]
    elsewhere = not any(errors) and field not in ("paths", "name")
    return errors, text if field == "paths" else None, text if field == "name" else None, text if elsewhere else ""


def with_range(visit: Visit, edited: str, typed: Json) -> Json:
    """The case document with a range as typed: in its old place, or at the end. Raises BadInput."""
    document = records.exact(visit.case)
    before = _raw(visit, edited)
    paths = list(typed.get("paths") or [])
    made = ranges.read(typed, before, quantity_of(visit, paths), visit.system)
    listed_ = list(document.get("uncertain", []))
    if before:
        listed_[[one["name"] for one in listed_].index(edited)] = made
        for one in document.get("correlation", []):
            one["between"] = [made["name"] if name == edited else name for name in one["between"]]
    else:
        listed_.append(made)
    document["uncertain"] = listed_
    return document


def _change(app: dash.Dash, house: House) -> None:
    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(act("drop", ALL), "n_clicks"),
        Input(act("part", ALL), "n_clicks"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def drop(ranges_: Any, parts: Any, here: Json | None) -> tuple[Any, Any]:
        visit, asked = house.visit(here), ctx.triggered_id
        if visit is None or not isinstance(asked, dict) or not ctx.triggered[0]["value"]:
            return no_update, no_update
        document, told = without(visit, asked["what"], asked["at"])
        return _taken(house, here or {}, document, told)

    @app.callback(
        Output(ids.HERE, "data", allow_duplicate=True),
        Output(RANK, "error"),
        Output(ids.TROUBLE, "children", allow_duplicate=True),
        Input(JOIN, "n_clicks"),
        State(ONE, "value"),
        State(OTHER, "value"),
        State(RANK, "value"),
        State(ids.HERE, "data"),
        prevent_initial_call=True,
    )
    def join(clicks: int, one: str, other: str, rank: str, here: Json | None) -> tuple[Any, Any, Any]:
        visit = house.visit(here)
        if not clicks or visit is None:
            return no_update, no_update, no_update
        try:
            value = float(forms.as_written(rank, forms.Field("rank", "number"), visit.system))
            document = records.exact(visit.case)
            document["correlation"] = [*document.get("correlation", []), {"between": [one, other], "rank": value}]
            case = session.case_from(document)
        except (BadInput, ValueError) as bad:
            return no_update, sentences(bad) if isinstance(bad, BadCase) else str(bad), no_update
        after, _, said = grid.apply(house, here or {}, case, f"{one} and {other} move together")
        return after, None, said


def without(visit: Visit, what: str, at: Any) -> tuple[Json, str]:
    """The case document without a range (and its correlations) or without a correlation, and what to call it."""
    document = records.exact(visit.case)
    joined = document.get("correlation", [])
    if what == "part":
        document["correlation"] = [one for number, one in enumerate(joined) if number != at]
        return document, "A correlation taken out"
    document["uncertain"] = [one for one in document.get("uncertain", []) if one["name"] != at]
    document["correlation"] = [one for one in joined if at not in one["between"]]
    return document, f"Range {at} taken out"


def _taken(house: House, here: Json, document: Json, told: str) -> tuple[Any, Any]:
    try:
        after, _, said = grid.apply(house, here, session.case_from(document), told)
    except BadCase as bad:
        return no_update, str(bad)
    return after, said

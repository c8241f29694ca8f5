"""Tables of a case as people edit them: rows in shown units out, a case document in; pure.

A cell that was not touched keeps its number exactly; a touched one goes through the reader of case files, whose
messages come back to the very cell.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from dashboard import forms, records
from dashboard.events import BadInput
from dashboard.forms import Choices, Field
from dashboard.measure import System
from planner.model.case import Case, Compartment, Control, Element, HoleSize, Layer, Rock, Support, SurveyStation
from planner.model.change import Trigger
from planner.model.economics import ElementTerms, PriceRow, Way
from planner.model.measured import MeasuredRow
from planner.model.quantity import QUANTITIES
from planner.model.sandface import Perforations
from planner.model.split import Future, GivenBarrier
from planner.model.suitability import SieveRow, StrengthRow
from planner.model.uncertain import Failure

Json = dict[str, Any]
AT, BAD = "_at", "_bad"  # of a row: its place in the case (None: new), its faulty cells


@dataclass(frozen=True)
class Table:
    """A list of records of the case; named: kept by name in the case, not as a list."""

    key: str
    title: str
    path: tuple[str, ...]
    record: type[BaseModel]
    named: bool = False

    def fields(self, choices: Choices) -> list[Field]:
        """The columns."""
        name = [Field("name", "text", required=True, meaning="that others call it by")] if self.named else []
        return [*name, *forms.fields_of(self.record, choices)]


TABLES = {
    table.key: table
    for table in (
        Table("survey", "Survey", ("well", "survey"), SurveyStation),
        Table("hole", "Hole", ("well", "hole"), HoleSize),
        Table("layers", "Layers", ("layers",), Layer),
        Table("compartments", "Compartments", ("compartments",), Compartment),
        Table("rocks", "Rocks", ("rocks",), Rock),
        Table("supports", "Supports", ("supports",), Support, named=True),
        Table("string", "String", ("string",), Element),
        Table("perforations", "Perforations", ("perforations",), Perforations, named=True),
        Table("controls", "Controls", ("controls",), Control),
        Table("prices", "Price deck", ("economics", "prices"), PriceRow),
        Table("ways", "Ways of doing jobs", ("economics", "ways"), Way, named=True),
        Table("elements", "Costs of elements", ("economics", "elements"), ElementTerms, named=True),
        Table("failures", "What may fail", ("failures",), Failure),
        Table("rows", "Measurements", ("measured", "rows"), MeasuredRow),
        Table("sieves", "Sieve samples", ("suitability", "sieves"), SieveRow),
        Table("strengths", "Rock strength", ("suitability", "strengths"), StrengthRow),
        Table("barriers", "Barriers", ("split", "barriers"), GivenBarrier),
        Table("rules", "Rules for shutting", ("split", "rules"), Trigger),
        Table("futures", "Futures", ("split", "futures"), Future),
    )
}
FORMS = {
    "well": "Well", "completions": "Other completions", "later_element": "Later elements", "fluid": "Fluid",
    "tubing": "Tubing", "schedule": "Schedule", "limits": "Limits", "economics": "Prices and costs",
    "measured": "Errors of measurement", "suitability": "Hole and sand", "split": "Zone split",
    "late_life": "Late life", "numerics": "Numerics",
}  # fmt: skip


def listed(document: Json, table: Table) -> list[Json]:
    """The records of a table in a case document."""
    held: Any = document
    for part in table.path:
        held = held.get(part, {} if table.named or part != table.path[-1] else [])
    return [{"name": name, **one} for name, one in held.items()] if table.named else list(held)


def rows(case: Case, table: Table, fields: list[Field], system: System) -> list[Json]:
    """The rows as they are shown."""
    return [
        {
            AT: at,
            BAD: {},
            **{field.path: forms.shown_value(field, forms.at(raw, field.path), system) for field in fields},
        }
        for at, raw in enumerate(listed(records.exact(case), table))
    ]


def document(case: Case, table: Table, edited: Iterable[Json], fields: list[Field], system: System) -> Json:
    """The case document with a table as it was edited. Raises BadCells with what cannot be read as a number."""
    made = records.exact(case)
    before = listed(made, table)
    bad: dict[tuple[int, str], str] = {}
    new = []
    for number, row in enumerate(edited):
        at = row.get(AT)
        raw = copy.deepcopy(before[at]) if isinstance(at, int) and at < len(before) else {}
        for field in fields:
            try:
                _put(raw, field, row.get(field.path), system)
            except BadInput as word:
                bad[number, field.path] = str(word)
        new.append(raw)
    if bad:
        raise BadCells(bad)
    return with_table(made, table, new)


def _put(raw: Json, field: Field, value: Any, system: System) -> None:
    """Put a cell into a record, unless it shows what the record holds already."""
    value = value.strip() if isinstance(value, str) else value
    old = forms.shown_value(field, forms.at(raw, field.path), system)
    if same(value, old):
        return
    if value in (None, ""):
        take_out(raw, field.path)
    else:
        forms.put(raw, field.path, forms.at(forms.read([field], {field.path: value}, system), field.path))


def same(one: Any, other: Any) -> bool:
    """Whether two cells show the same; a browser writes 24.0 as 24."""
    texts = ["" if value is None else str(value) for value in (one, other)]
    try:
        return float(texts[0]) == float(texts[1])
    except ValueError:
        return texts[0] == texts[1]


def alike(rows: list[Json], shown: list[Json], fields: list[Field]) -> bool:
    """Whether a grid shows these rows already, each in its place and none of them faulty."""
    if len(rows) != len(shown):
        return False
    for row, one in zip(rows, shown, strict=True):
        if one.get(BAD) or one.get(AT) != row[AT]:
            return False
        if not all(same(row.get(field.path), one.get(field.path)) for field in fields):
            return False
    return True


def take_out(raw: Json, path: str) -> None:
    """Take what lies at a dotted path out of JSON."""
    *holders, name = path.split(".")
    held: Any = raw
    for part in holders:
        held = held.get(part, {})
    held.pop(name, None)


def with_table(made: Json, table: Table, new: list[Json]) -> Json:
    """The document with the records of a table replaced."""
    value: Any = (
        {str(one.get("name", "")): {k: v for k, v in one.items() if k != "name"} for one in new} if table.named else new
    )
    if not value and not listed(made, table):
        return made  # nothing there and nothing given: what holds without it stays
    held = made
    for part in table.path[:-1]:
        held = held.setdefault(part, {})
    held[table.path[-1]] = value
    if not value and table.record is MeasuredRow:
        made.pop("measured")  # errors without anything measured
    return made


class BadCells(ValueError):
    """Cells that cannot be read: (row, path of the field) -> sentence."""

    def __init__(self, cells: dict[tuple[int, str], str]) -> None:
        self.cells = cells
        super().__init__("; ".join(cells.values()))


def cells_of(
    problems: list[dict[str, str]], table: Table, edited: list[Json]
) -> tuple[dict[tuple[int, str], str], list[str]]:
    """Problems of the reader by cell, and those that belong to no cell of this table."""
    cells: dict[tuple[int, str], str] = {}
    rest: list[str] = []
    head = re.escape(".".join(table.path))
    names = [str(row.get("name", "")) for row in edited]
    for problem in problems:
        sentence = f"{problem['message'][:1].upper()}{problem['message'][1:]}. {problem['remedy']}"
        place = problem["place"]
        found = re.match(rf"{head}\[(\d+)\]\.?([\w.]*)", place)
        by_name = re.match(rf"{head}\.(.+?)\.([\w.]+)$", place) if table.named else None
        if found:
            cells[int(found[1]) - 1, found[2] or "name"] = sentence
        elif by_name and by_name[1] in names:
            cells[names.index(by_name[1]), by_name[2]] = sentence
        else:
            rest.append(f"{place}: {sentence}" if place else sentence)
    return cells, rest


def marked(edited: list[Json], cells: dict[tuple[int, str], str]) -> list[Json]:
    """The rows with their faulty cells marked."""
    return [
        {**row, BAD: {path: text for (at, path), text in cells.items() if at == number}}
        for number, row in enumerate(edited)
    ]


def pasted(text: str, fields: list[Field], system: System) -> list[Json]:
    """Rows from the clipboard of a spreadsheet: with a line of headers (a unit in brackets counts), or in our order.

    Raises BadInput with a sentence.
    """
    lines = [
        re.split(r"\t|;", line) if re.search(r"\t|;", line) else line.split(",")
        for line in text.splitlines()
        if line.strip()
    ]
    if not lines:
        raise BadInput("paste", "There is nothing to paste yet.")
    heads = [_head(cell, fields, system) for cell in lines[0]]
    if any(heads):
        unknown = [cell for cell, head in zip(lines[0], heads, strict=True) if head is None and cell.strip()]
        if unknown:
            raise BadInput(
                "paste", f"There is no column '{unknown[0].strip()}'. Columns: {', '.join(words(f) for f in fields)}."
            )
        lines = lines[1:]
    else:
        heads = [(field, "") for field in fields[: len(lines[0])]]
    if any(len(line) > len(heads) for line in lines):
        raise BadInput("paste", f"A line has more cells than there are columns ({len(heads)}).")
    made = []
    for line in lines:
        row: Json = {AT: None, BAD: {}, **{field.path: "" for field in fields}}
        for head, cell in zip(heads, line, strict=False):
            if head and cell.strip():
                row[head[0].path] = f"{cell.strip()} {head[1]}".strip() if head[1] else cell.strip()
        made.append(row)
    return made


def words(field: Field) -> str:
    """The header of a column without its unit."""
    return field.path.replace("_", " ").replace(".", " ")


def _head(cell: str, fields: list[Field], system: System) -> tuple[Field, str] | None:
    """The column that a header names, and the unit that it gives where that is not the shown one."""
    found = re.fullmatch(r"\s*([^\[(,]+?)\s*(?:[\[(,]\s*([^\])]*)[\])]?)?\s*", cell)
    if not found:
        return None
    name = found[1].strip().lower().replace("_", " ")
    for field in fields:
        if name in (words(field).lower(), field.name.replace("_", " ").lower()):
            given = (found[2] or "").strip()
            known = field.label(system).partition(", ")[2]
            return field, given if field.quantity and QUANTITIES[field.quantity].si and given != known else ""
    return None


def changed(table: Table, before: list[Json], edited: list[Json], fields: list[Field], system: System) -> str:
    """A sentence on what was changed in a table."""
    if len(edited) != len(before):
        gap = len(edited) - len(before)
        return f"{table.title}: {abs(gap)} row{'s' * (abs(gap) > 1)} {'added' if gap > 0 else 'taken out'}"
    moves = []
    for old, new in zip(before, edited, strict=True):
        for field in fields:
            if not same(old.get(field.path), new.get(field.path)):
                name = new.get("name") or new.get("md") or new.get("date") or ""
                moves.append(
                    f"{field.label(system)} of {name}: "
                    f"{old.get(field.path) or 'none'} to {new.get(field.path) or 'none'}"
                )
    if len(moves) == 1:
        return f"{table.title}: {moves[0]}"
    return f"{table.title}: {len(moves)} cells changed"

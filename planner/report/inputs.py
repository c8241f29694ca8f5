"""The inputs of a case as tables, in the user's units; every field of every record, as it was understood."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
from pydantic import BaseModel

from planner.model.case import Case
from planner.model.quantity import quantity_of
from planner.report.frames import Style, shown, words

NOT_GIVEN = "not given"
LONGEST = 40  # rows of a table of inputs; a longer one (a caliper, foot by foot) is thinned

# Groups of the case in the order of the report: heading and field of the case.
LISTS = (
    ("Compartments", "compartments"),
    ("Layers", "layers"),
    ("String, top to bottom", "string"),
    ("Controls", "controls"),
)
SINGLES = (
    ("Fluids", "fluid"),
    ("Later packer, plug or straddle", "later_element"),
    ("Limits (not given: not checked)", "limits"),
    ("Economics", "economics"),
    ("Late life", "late_life"),
    ("Schedule", "schedule"),
    ("Numerics", "numerics"),
)


Group = tuple[str, str, pd.DataFrame]


def input_tables(case: Case, style: Style) -> list[Group]:
    """Heading, note and table of all inputs: lists of records have a row each, single records a row a field."""
    tables = [_single("Well", case.well, style), _list("Hole", case.well.hole, style)]
    if case.well.survey:
        tables.append(_list("Deviation survey", case.well.survey, style))
    tables += [_list(heading, getattr(case, name), style) for heading, name in LISTS]
    tables.append(("Rock types", "", _turned({rock.name: _entries(rock, style) for rock in case.rocks})))
    if case.supports:
        entries = {name: _entries(support, style) for name, support in case.supports.items()}
        tables.append(("Supports", "", _turned(entries)))
    if case.economics.prices:
        tables.append(_list("Prices", case.economics.prices, style))
    if case.perforations:
        entries = {name: _entries(one, style) for name, one in case.perforations.items()}
        tables.append(("Perforations", "", _turned(entries)))
    for name in type(case.completions).model_fields:
        given = getattr(case.completions, name)
        if given is not None:
            tables.append(_single(f"Completed another way: {words(name)}", given, style))
    return tables + [_single(heading, getattr(case, name), style) for heading, name in SINGLES]


def events_table(case: Case, style: Style) -> pd.DataFrame:
    """Events of every what-if, one row each."""
    rows = [
        {
            "what-if": what_if.name,
            "when": _when(event, style),
            "do": event.do,
            "with": "; ".join(f"{k}: {v}" for k, v in _entries(event, style).items() if _tells(k, v)),
        }
        for what_if in case.what_ifs
        for event in what_if.events
    ]
    rows += [
        {"what-if": what_if.name, "when": "from the start", "do": "complete as", "with": what_if.completion}
        for what_if in case.what_ifs
        if what_if.completion is not None
    ]
    return pd.DataFrame(rows, columns=["what-if", "when", "do", "with"])


def shown_field(value: Any, quantity: str | None, style: Style) -> str:
    """A field's value as text with its unit; 'not given' for None."""
    if value is None or value == "":
        return NOT_GIVEN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if quantity and isinstance(value, int | float):
        number = style.value(value, quantity)
        return f"{_digits(number)} {'' if quantity == 'fraction' else style.unit(quantity)}".rstrip()
    if isinstance(value, float):
        return _digits(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return ", ".join(shown_field(one, quantity, style) for one in value) or "none"
    return str(value)


def _entries(record: BaseModel, style: Style) -> dict[str, str]:
    """Fields of a record by their names in words; records inside it are spread out under the same names."""
    found: dict[str, str] = {}
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if isinstance(value, BaseModel):
            found |= {f"{words(name)}: {inner}": text for inner, text in _entries(value, style).items()}
        elif isinstance(value, dict):
            found |= _named(words(name), value, style)
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            found[words(name)] = f"{len(value)} rows"
        else:
            found[words(name)] = shown_field(value, quantity_of(field), style)
    return found


def _named(name: str, values: dict[str, Any], style: Style) -> dict[str, str]:
    """Records, or words, that go by names of the user's; 'none' where there are none."""
    found: dict[str, str] = {}
    for key, value in values.items():
        if isinstance(value, BaseModel):
            found |= {f"{name}: {key}: {inner}": text for inner, text in _entries(value, style).items()}
        else:
            found[f"{name}: {key}"] = str(value)
    return found or {name: "none"}


def _list(heading: str, records: Sequence[BaseModel], style: Style) -> Group:
    """A row each record; what is the same in all of them stands in the note, what none gives is left out."""
    table = pd.DataFrame([_entries(record, style) for record in records])
    table = table[[name for name in table.columns if not (table[name] == NOT_GIVEN).all()]]
    if len(table) < 2:
        return heading, "", table
    same = [name for name in table.columns[1:] if table[name].nunique() == 1]
    note = f"In all rows: {'; '.join(f'{name} {table[name].iloc[0]}' for name in same)}." if same else ""
    thinned = table.drop(columns=same)
    if len(table) > LONGEST:
        kept = np.unique(np.linspace(0, len(table) - 1, LONGEST).round().astype(int))
        note = f"{len(table):,} rows, of which {len(kept)} are shown. {_extremes(records, style)} {note}".rstrip()
        thinned = thinned.iloc[kept]
    return heading, note, thinned


def _extremes(records: Sequence[BaseModel], style: Style) -> str:
    """'Diameter from 8.4 in to 11.7 in.' for the measured fields after the first."""
    found = []
    for name, field in list(type(records[0]).model_fields.items())[1:]:
        numbers = [value for one in records if isinstance(value := getattr(one, name), float)]
        if numbers:
            low, high = (shown_field(value, quantity_of(field), style) for value in (min(numbers), max(numbers)))
            found.append(f"{words(name).capitalize()} from {low} to {high}.")
    return " ".join(found)


def _turned(records: dict[str, dict[str, str]]) -> pd.DataFrame:
    """A column each record, a row each field that some record gives, for records of many fields."""
    fields = [name for name in next(iter(records.values())) if name != "name"]
    rows = [[field.split(": ")[-1], *(entries[field] for entries in records.values())] for field in fields]
    return pd.DataFrame([row for row in rows if set(row[1:]) != {NOT_GIVEN}], columns=["input", *records])


def _single(heading: str, record: BaseModel, style: Style) -> Group:
    """A row each field that is given; the others are named in the note."""
    entries = _entries(record, style)
    given = {name: text for name, text in entries.items() if text not in {NOT_GIVEN, "none"}}
    missing = [name for name in entries if name not in given]
    note = f"Not given: {', '.join(missing)}." if missing else ""
    return heading, note, pd.DataFrame({"input": list(given), "value": list(given.values())})


def _when(event: Any, style: Style) -> str:
    if event.on is not None:
        return str(event.on.isoformat())
    if event.when is None:
        return "at the start"
    given = {k: v for k, v in _entries(event.when, style).items() if v not in {NOT_GIVEN, "0"}}
    return "when " + ", ".join(f"{name} {value}" for name, value in given.items())


def _tells(name: str, value: str) -> bool:
    return name not in {"on", "when", "do"} and not name.startswith("when:") and value != NOT_GIVEN


def _digits(number: float) -> str:
    """Five significant digits, no exponent for everyday sizes."""
    if number == 0.0:
        return "0"
    if 1e-4 <= abs(number) < 1e9:
        text = shown(number, 0) if abs(number) >= 10_000 else f"{number:.5g}"
        return text
    return f"{number:.4g}"

"""A range of an input as a form shows it, and back as the case holds it; pure.

In the form all numbers stand in the shown unit of the input that the range is of. A number that was not touched keeps
the text that the case holds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, get_args

from dashboard import forms, measure, tables
from dashboard.events import BadInput
from dashboard.forms import Field
from dashboard.measure import System
from planner.model.quantity import QUANTITIES
from planner.model.uncertain import Uncertain, amount

Json = dict[str, Any]
KINDS = {
    "lognormal": "lognormal: above zero, with a long tail upwards",
    "normal": "normal: even to both sides",
    "triangular": "triangular: least, most likely, largest",
    "uniform": "uniform: every value from least to largest alike",
    "discrete": "discrete: some values, with weights",
    "table": "table: values, and the chance of being below each",
}
ACTS = {"value": "The value itself", "multiplier": "A multiple of the case's", "shift": "Added to the case's"}
BELL = ("p90", "p50", "p10", "mean", "sd", "at_least", "at_most")
OF_KIND = {
    "normal": BELL, "lognormal": BELL, "triangular": ("low", "likely", "high"), "uniform": ("low", "high"),
    "discrete": ("values", "weights"), "table": ("table",),
}  # fmt: skip
LABELS = {"p90": "P90, low case", "p50": "P50", "p10": "P10, high case", "sd": "Standard deviation"}
HINTS = {
    "p90": "exceeded in 9 of 10 draws", "p50": "may be left empty", "p10": "exceeded in 1 of 10 draws",
    "mean": "with the standard deviation, instead of P90 and P10", "values": "one a line",
    "weights": "one a line; empty: all alike",
    "table": "a line for each value: value; chance in % of being below it, from 0 to 100",
}  # fmt: skip


def fields(kind: str, acts_as: str, quantity: str, system: System) -> list[tuple[Field, str]]:
    """The fields of a kind of range, each with its label; the unit is that of what is drawn."""
    label = unit(quantity, acts_as, system)
    made = []
    for name in OF_KIND.get(kind, ()):
        info = Uncertain.model_fields[name]
        required = kind in ("triangular", "uniform") or name in ("values", "table")
        field = Field(name, "text", required=required, meaning=HINTS.get(name, info.description or ""))
        words = LABELS.get(name, name.replace("_", " ").capitalize())
        made.append((field, words if name == "weights" or not label else f"{words}, {label}"))
    return made


def unit(quantity: str, acts_as: str, system: System) -> str:
    """The unit in which a range is typed, as printed; none for a multiple."""
    if acts_as == "multiplier" or not quantity or quantity == "money":
        return ""
    return measure.unit(quantity, system)


def shown(raw: Json, quantity: str, system: System) -> dict[str, str]:
    """What stands in the fields of a range of the case."""
    acts_as = raw.get("acts_as", "value")
    made: dict[str, str] = {}
    for name in {*BELL, "low", "likely", "high"}:
        if raw.get(name) is not None:
            made[name] = _shown(raw[name], quantity, _spread(name, acts_as), system)
    made["values"] = "\n".join(_shown(one, quantity, acts_as, system) for one in raw.get("values", ()))
    made["weights"] = "\n".join(f"{one:g}" for one in raw.get("weights", ()))
    rows = [(_shown(one["value"], quantity, acts_as, system), one["below"]) for one in raw.get("table", ())]
    made["table"] = "\n".join(f"{value}; {100 * float(below):.6g}" for value, below in rows)
    return {name: text for name, text in made.items() if text}


def _spread(name: str, acts_as: str) -> str:
    """A standard deviation of values is a difference: it has no zero of its own."""
    return "shift" if name == "sd" and acts_as == "value" else acts_as


def _shown(raw: Any, quantity: str, acts_as: str, system: System) -> str:
    try:
        si = amount(raw, quantity, acts_as)
    except ValueError:
        return str(raw)
    if acts_as == "multiplier":
        return f"{si:.10g}"
    if acts_as == "shift":
        value = float(measure.in_percent(measure.change_shown(si, quantity, system), quantity))
    else:
        value = forms.tidy(si, quantity, system)
    return f"{value:.10g}"


def read(typed: Mapping[str, Any], before: Json, quantity: str, system: System) -> Json:
    """What was typed into the form as the case holds it. Raises BadInput at a field.

    typed: name, paths (a list), acts_as, kind and the fields of the kind. before: the range as it was, or {}.
    """
    given = [str(path) for path in typed.get("paths") or []]
    if not given:
        raise BadInput("paths", "Choose the number of the case that is not known for sure.")
    acts_as, kind = str(typed.get("acts_as") or "value"), str(typed.get("kind") or "")
    if kind not in get_args(Uncertain.model_fields["kind"].annotation):
        raise BadInput("kind", "Choose how it is distributed.")
    made: Json = {"name": str(typed.get("name") or "").strip()}
    if not made["name"]:
        raise BadInput("name", "Give the range a name, such as 'kh of the upper sand'.")
    made |= {"path": given[0]} if len(given) == 1 else {"paths": given}
    made |= {"acts_as": acts_as} if acts_as != "value" else {}
    made["kind"] = kind
    same = before.get("acts_as", "value") == acts_as and before.get("kind") == kind
    old = shown(before, quantity, system) if same else {}
    for field, _ in fields(kind, acts_as, quantity, system):
        text = str(typed.get(field.path) or "").strip()
        if not text:
            if field.required:
                raise BadInput(field.path, "This is needed.")
        elif tables.same(text, old.get(field.path, "")):
            made[field.path] = before[field.path]
        else:
            made[field.path] = _field(field, text, quantity, acts_as, system)
    return made


def _field(field: Field, text: str, quantity: str, acts_as: str, system: System) -> Any:
    lines = [line for line in text.replace("\r", "").split("\n") if line.strip()]
    if field.path == "values":
        return [_written(field, line, quantity, acts_as, system) for line in lines]
    if field.path == "weights":
        return [_plain(field, line) for line in lines]
    if field.path == "table":
        return [_table_row(field, line, count, quantity, acts_as, system) for count, line in enumerate(lines, 1)]
    return _written(field, text, quantity, _spread(field.path, acts_as), system)


def _table_row(field: Field, line: str, count: int, quantity: str, acts_as: str, system: System) -> Json:
    cells = [cell.strip() for cell in (line.split(";") if ";" in line else line.split("\t")) if cell.strip()]
    cells = cells if len(cells) == 2 else line.split()
    if len(cells) != 2:
        raise BadInput(
            field.path, f"Line {count}: a value and the chance of being below it are needed, such as '120; 50'."
        )
    return {"value": _written(field, cells[0], quantity, acts_as, system), "below": _plain(field, cells[1]) / 100}


def _plain(field: Field, text: str) -> float:
    try:
        return float(text.strip().removesuffix("%").replace(",", "."))
    except ValueError:
        raise BadInput(field.path, f"Not a number: {text}.") from None


def _written(field: Field, text: str, quantity: str, acts_as: str, system: System) -> Any:
    """A number as the case holds it: with the unit of its quantity, plain for a multiple."""
    of = "" if acts_as == "multiplier" else quantity
    made = forms.as_written(text.strip(), replace(field, quantity=of if of in QUANTITIES else ""), system)
    try:
        amount(made, quantity or "number", acts_as)
    except ValueError as error:
        raise BadInput(field.path, f"{str(error)[:1].upper()}{str(error)[1:]}.") from None
    return made


def in_words(raw: Json, quantity: str, system: System) -> str:
    """A range in a few words: 'lognormal, P90 110 md, P10 440 md'."""
    acts_as, values = raw.get("acts_as", "value"), shown(raw, quantity, system)
    label = unit(quantity, acts_as, system)
    before = {"multiplier": "times ", "shift": "plus "}.get(acts_as, "")
    told = []
    for name in OF_KIND[raw["kind"]]:
        if name in ("values", "weights", "table"):
            continue
        if name in values:
            told.append(
                f"{LABELS.get(name, name.replace('_', ' ')).split(',')[0]} {before}{values[name]} {label}".rstrip()
            )
    count = len(raw.get("values", ())) or len(raw.get("table", ()))
    return ", ".join([raw["kind"], *told, *([f"{count} values"] if count else [])])

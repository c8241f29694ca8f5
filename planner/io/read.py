"""Read a case: one TOML file beside CSV tables and LAS logs. Everything wrong is told in one go."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Annotated, Any

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from planner.base.errors import CaseError, Problem
from planner.io.filed import Reading, take_files
from planner.io.messages import problems_of, suggestion
from planner.io.places import Location, Places, raw_value, undotted
from planner.io.text import NotText, decode
from planner.model.case import Case
from planner.model.consistency import check
from planner.model.data_facts import FileFacts

CASE_FILE = "case.toml"


def read_case(path: str | Path) -> Case:
    """The case in a folder (its case.toml) or in a TOML file.

    Raises CaseError with every problem found: file, place, value, message and remedy of each.
    """
    return read_case_and_files(path)[0]


def read_case_and_files(path: str | Path) -> tuple[Case, tuple[FileFacts, ...]]:
    """The case, and what was read from its logs and tables of measurements with all that was odd. Raises CaseError."""
    reading = _open(Path(path))
    take_files(reading)
    return _case_of(reading), tuple(reading.files)


def case_from(document: dict[str, Any], name: str = "", folder: Path | None = None) -> Case:
    """The case in a document of the form of a case file, held in memory.

    name: what to call the document in messages. folder: where the tables and logs are that it names; none: every table
    is written out in it. Raises CaseError with every problem found.
    """
    reading = Reading(folder or Path(), document, Places(name))
    if folder is not None:
        take_files(reading)
    return _case_of(reading)


def _case_of(reading: Reading) -> Case:
    """The case of a document whose tables are all there."""
    sections = _validate(reading)
    case: Case = Case.model_construct(**sections)
    for problem in check(case, set(sections), _length_units(reading)):
        reading.problems.append(_located(reading, problem))
    if reading.problems:
        raise CaseError(reading.problems)
    return Case(**sections)


def _open(path: Path) -> Reading:
    """The TOML document; CaseError at once when it is not there or cannot be parsed."""
    file = path / CASE_FILE if path.is_dir() or not path.suffix else path
    try:
        text = decode(file.read_bytes()).replace("\r\n", "\n")
    except OSError:
        remedy = f"Give a folder that holds {CASE_FILE}, or a TOML file; 'new' writes one to start from."
        raise CaseError([Problem(str(file), "", "", "no case file here", remedy)]) from None
    except NotText as error:
        raise CaseError([error.problem(file.name)]) from None
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CaseError([_syntax_problem(file.name, text, str(error))]) from None
    except RecursionError:
        problem = Problem(file.name, "", "", "brackets inside brackets without end", "Write the tables flat.")
        raise CaseError([problem]) from None
    reading = Reading(file.parent, document, Places(file.name))
    _refuse_giants(reading, document, ())
    if reading.problems:
        raise CaseError(reading.problems)
    return reading


def _refuse_giants(reading: Reading, value: object, location: Location) -> None:
    """Whole numbers that no floating-point number can hold."""
    if isinstance(value, dict):
        for key, one in value.items():
            _refuse_giants(reading, one, (*location, key))
    elif isinstance(value, list):
        for number, one in enumerate(value):
            _refuse_giants(reading, one, (*location, number))
    elif isinstance(value, int) and abs(value) > 10**15:
        file, place = reading.places.of(location)
        message = "a whole number beyond all measure"
        reading.problems.append(Problem(file, place, "", message, "Correct the number, or write it as 1.0e20."))


def _syntax_problem(name: str, text: str, complaint: str) -> Problem:
    match = re.search(r"\(at line (\d+), column (\d+)\)", complaint)
    lines = text.split("\n")
    line, column = (int(match[1]), int(match[2])) if match else (len(lines), len(lines[-1]) + 1)
    what = complaint.split(" (at ")[0]
    value = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    remedy = 'Text and numbers with a unit stand in quotes: top_md = "2500 ft". Each key stands once, on its own line.'
    message = f"not valid TOML: {what[:1].lower()}{what[1:]}"
    return Problem(name, f"line {line}, column {column}", value, message, remedy)


# --- validation, section by section, so that one bad section does not hide the problems of another


def _validate(reading: Reading) -> dict[str, Any]:
    """The sections of the case that are good by themselves, defaults included."""
    sections: dict[str, Any] = {}
    for key in reading.document:
        if key not in Case.model_fields:
            remedy = suggestion(key, Case.model_fields)
            reading.problems.append(Problem(reading.places.file, key, "", f"unknown key '{key}'", remedy))
    for name, info in Case.model_fields.items():
        if name in reading.document:
            sections |= _section(reading, name, info)
        elif info.is_required():
            remedy = f"Add [{name}] or [[{name}]]; 'new' writes a commented case to copy from."
            reading.problems.append(Problem(reading.places.file, name, "", f"'{name}' is missing", remedy))
        else:
            sections[name] = info.get_default()
    return sections


def _section(reading: Reading, name: str, info: FieldInfo) -> dict[str, Any]:
    """One section under its name; nothing after reports."""
    value = reading.document[name]
    if name in reading.broken and value == []:
        return {}
    kind: Any = info.annotation
    for mark in info.metadata:
        kind = Annotated[kind, mark]
    try:
        section = TypeAdapter(kind).validate_python(value)
    except ValidationError as error:
        reading.problems += _unbroken(reading, name, problems_of(error, info.annotation, (name,), reading.places))
        return {}
    return {} if name in reading.broken else {name: section}


def _unbroken(reading: Reading, name: str, problems: list[Problem]) -> list[Problem]:
    """Complaints about a list that was emptied because its file is broken would only confuse."""
    if name not in reading.broken:
        return problems
    return [problem for problem in problems if not problem.message.endswith("is empty")]


def _length_units(reading: Reading) -> dict[str, str]:
    """Unit of length that the user wrote in each part of the case, for messages that show depths."""
    units = dict(reading.length_units)
    for key in ("well", "compartments", "layers", "string"):
        found = re.search(r"'(?:top_md|base_md|md|datum)': '[-+.\deE]+\s*(\w+)'", str(reading.document.get(key, "")))
        if found and key not in units:
            units[key] = found[1]
    return units


def _located(reading: Reading, problem: Problem) -> Problem:
    """A problem of consistency with the file and place, and the value as the user wrote it."""
    location = undotted(problem.place)
    file, place = reading.places.of(location)
    value = raw_value(reading.document, location) or problem.value
    return Problem(file, place, value, problem.message, problem.remedy)

"""Parts of a case that stand in other files: CSV tables, layers and hole from logs."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from planner.base.errors import Problem
from planner.io.csv_tables import read_table
from planner.io.log_layer_keys import LogLayers
from planner.io.log_layers import layers_from_log
from planner.io.log_stretches import hole_from_log, slowness_from_log
from planner.io.logs import Log, read_log
from planner.io.measured_file import MeasuredFile
from planner.io.measured_tables import read_measured
from planner.io.messages import problems_of, sentence, suggestion
from planner.io.places import Location, Places, RowSource, TableSource
from planner.model.case import Element, GasRow, HoleSize, Layer, OilRow, SurveyStation
from planner.model.data_facts import FileFacts
from planner.model.economics import PriceRow
from planner.model.measured import MeasuredRow
from planner.model.quantity import Of
from planner.model.split import PayValue, ShutValue
from planner.model.suitability import SieveRow, StrengthRow

# Lists that may be kept in a file of their own: location in the case, record of a row.
FILED: dict[Location, type[BaseModel]] = {
    ("well", "survey"): SurveyStation,
    ("well", "hole"): HoleSize,
    ("layers",): Layer,
    ("string",): Element,
    ("fluid", "oil", "table"): OilRow,
    ("fluid", "gas", "table"): GasRow,
    ("measured", "rows"): MeasuredRow,
    ("suitability", "sieves"): SieveRow,
    ("suitability", "strengths"): StrengthRow,
    ("economics", "prices"): PriceRow,
    ("split", "values"): ShutValue,
    ("split", "pay"): PayValue,
}
_CALIPER_STRETCH = 0.3048  # m: foot by foot


@dataclass
class Reading:
    """A case while it is read: the document, where its parts came from, and what is wrong so far."""

    folder: Path
    document: dict[str, Any]
    places: Places
    problems: list[Problem] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)  # keys of the case that cannot be judged further
    length_units: dict[str, str] = field(default_factory=dict)
    files: list[FileFacts] = field(default_factory=list)  # what was read from logs and tables of measurements

    def report(self, section: str) -> Callable[[Problem], None]:
        """What to call with a problem that makes a section of the case unusable."""

        def take(problem: Problem) -> None:
            self.problems.append(problem)
            self.broken.add(section)

        return take


def take_files(reading: Reading) -> None:
    """Replace every {file = ...} and {log = ...} by its rows."""
    _spread_hole_diameter(reading)
    _take_measured(reading)
    for location, record in FILED.items():
        holder: Any = reading.document
        for key in location[:-1]:
            holder = holder.get(key) if isinstance(holder, dict) else None
        if not isinstance(holder, dict):
            continue
        entry = holder.get(location[-1])
        if not isinstance(entry, dict):
            continue
        rows = _rows(reading, location, entry, record)
        holder[location[-1]] = rows if rows is not None else []


def _spread_hole_diameter(reading: Reading) -> None:
    """well.hole_diameter = "8.5 in" as a hole of one row."""
    well = reading.document.get("well")
    if not isinstance(well, dict) or "hole_diameter" not in well:
        return
    size = well.pop("hole_diameter")
    place = "well.hole_diameter"
    report = reading.report("well")
    if "hole" in well:
        report(Problem(reading.places.file, place, str(size), "the hole is given twice", "Keep hole or hole_diameter."))
        return
    try:
        Of("diameter", above=0.0).read(size)
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        report(Problem(reading.places.file, place, str(size), message, sentence(remedy) or "Correct the value."))
        well["hole"] = [{"md": "0 m", "diameter": "1 m"}]
        return
    well["hole"] = [{"md": "0 m", "diameter": size}]
    reading.places.tables["well", "hole"] = TableSource(reading.places.file, (place,))


def _take_measured(reading: Reading) -> None:
    """[measured] file = ... or files = [ ... ], each with its options of reading, as rows."""
    entry = reading.document.get("measured")
    if not isinstance(entry, dict) or not {"file", "files"} & set(entry):
        return
    report = reading.report("measured")
    several = entry.pop("files", None)
    options = {key: entry.pop(key) for key in MeasuredFile.model_fields if key in entry}
    if "rows" in entry or (several is not None and "file" in options):
        message = "measurements are given in two ways"
        report(Problem(reading.places.file, "measured", "", message, "Keep one of file, files and rows."))
    entry["rows"] = []
    listed = several if several is not None else [options]
    if not isinstance(listed, list):
        report(Problem(reading.places.file, "measured.files", str(listed), "a list is needed here", _FILES))
        return
    for number, one in enumerate(listed, start=1):
        place = f"measured.files[{number}]" if several is not None else "measured"
        if not isinstance(one, dict):
            report(Problem(reading.places.file, place, str(one), "a table of keys is needed here", _FILES))
            continue
        _take_one(reading, entry, {**options, **one}, place)


_FILES = 'Write files = [ { file = "production.csv" }, { file = "pressures.csv" } ].'


def _take_one(reading: Reading, entry: dict[str, Any], options: dict[str, Any], place: str) -> None:
    """Rows of one file of measurements, put behind those that are there."""
    report = reading.report("measured")
    try:
        how = MeasuredFile.model_validate(options)
    except ValidationError as error:
        location: Location = ("measured",) if place == "measured" else ("measured", "files", int(place[15:-1]) - 1)
        for problem in problems_of(error, MeasuredFile, location, reading.places):
            report(problem)
        return
    path = _inside(reading, how.file, f"{place}.file", report)
    well = reading.document.get("well")
    name = well.get("name", "") if isinstance(well, dict) else ""
    table = read_measured(path, how, str(name), report) if path is not None else None
    if table is None:
        return
    for row, where in zip(table.rows, table.source.rows, strict=True):
        at = len(entry["rows"])
        reading.places.tables["measured", "rows", at] = RowSource(table.source.file, (where,))
        entry["rows"].append(dict(row))
    reading.files.append(table.facts)


def _rows(
    reading: Reading, location: Location, entry: dict[str, Any], record: type[BaseModel]
) -> list[dict[str, Any]] | None:
    """Rows of one list that is kept elsewhere; None after reports."""
    place = ".".join(str(part) for part in location)
    report = reading.report(str(location[0]))
    if "file" in entry:
        return _file_rows(reading, location, entry, record)
    if "log" in entry and record is Layer:
        return _log_layer_rows(reading, entry)
    if "log" in entry and record is HoleSize:
        return _caliper_rows(reading, entry)
    if "log" in entry and record is StrengthRow:
        return _slowness_rows(reading, entry)
    allowed = ["file"] + (["log"] if record in (Layer, HoleSize, StrengthRow) else [])
    given = ", ".join(entry)
    remedy = f'Write {place} = {{ file = "{location[-1]}.csv" }}, or a list of entries.'
    report(Problem(reading.places.file, place, given, f"needs {' or '.join(allowed)}", remedy))
    return None


def _file_rows(
    reading: Reading, location: Location, entry: dict[str, Any], record: type[BaseModel]
) -> list[dict[str, Any]] | None:
    place = ".".join(str(part) for part in location)
    report = reading.report(str(location[0]))
    name = entry["file"]
    for key in set(entry) - {"file"}:
        report(Problem(reading.places.file, f"{place}.{key}", "", f"unknown key '{key}'", suggestion(key, ["file"])))
    if not isinstance(name, str):
        report(Problem(reading.places.file, f"{place}.file", str(name), "text is needed here", "Put it in quotes."))
        return None
    path = _inside(reading, name, f"{place}.file", report)
    table = read_table(path, name, record, report) if path is not None else None
    if table is None:
        return None
    reading.places.tables[location] = table.source
    unit = table.units.get("top_md") or table.units.get("md")
    if unit:
        reading.length_units[place] = unit
    return [dict(row) for row in table.rows]


def _inside(reading: Reading, name: str, place: str, report: Callable[[Problem], None]) -> Path | None:
    """Path of a file that the case names; None after a report when it is not there."""
    inside = os.path.normpath(name)
    if os.path.isabs(inside) or inside.startswith(".."):
        report(
            Problem(
                reading.places.file, place, name, "the file is outside the case's folder", "Put it beside the case."
            )
        )
        return None
    path = reading.folder / inside
    try:
        if path.is_file():
            return path
    except (OSError, ValueError):  # a name that no file can have
        pass
    there = sorted(item.name for item in reading.folder.iterdir() if item.is_file()) if reading.folder.is_dir() else []
    near = [item for item in there if Path(item).suffix.lower() == Path(name).suffix.lower()]
    remedy = suggestion(name, near) if near else "Put the file beside the case file."
    report(Problem(reading.places.file, place, name, "file not found", remedy))
    return None


def _log(reading: Reading, entry: Mapping[str, Any], place: str) -> Log | None:
    report = reading.report(place.split(".")[0])
    name = entry["log"]
    if not isinstance(name, str):
        report(Problem(reading.places.file, f"{place}.log", str(name), "text is needed here", "Put it in quotes."))
        return None
    path = _inside(reading, name, f"{place}.log", report)
    log = read_log(path, name, place, report) if path is not None else None
    if log is None:
        return None
    if log.vertical and _deviates(reading):
        message = "the log stands against true vertical depth, and the well's survey is not vertical"
        report(Problem(log.name, "", "", message, "Give a log against measured depth."))
        return None
    if log.facts is not None and all(one.name != log.name for one in reading.files):
        reading.files.append(log.facts)
    return log


def _deviates(reading: Reading) -> bool:
    """Whether a station of the survey leans by more than a degree."""
    well = reading.document.get("well")
    survey = well.get("survey") if isinstance(well, dict) else None
    for row in survey if isinstance(survey, list) else []:
        try:
            if Of("angle").read(row["inclination"]) > math.radians(1.0):
                return True
        except (KeyError, TypeError, ValueError):  # told where the survey is read
            continue
    return False


def _tell(reading: Reading, log: Log) -> Callable[[Problem], None]:
    """What to call with a remark on a log after it was read."""

    def take(problem: Problem) -> None:
        for k, facts in enumerate(reading.files):
            if facts.name == log.name and problem not in facts.remarks:
                reading.files[k] = replace(facts, remarks=(*facts.remarks, problem))

    return take


def _log_layer_rows(reading: Reading, entry: dict[str, Any]) -> list[dict[str, Any]] | None:
    report = reading.report("layers")
    log = _log(reading, entry, "layers")
    try:
        wanted = LogLayers.model_validate(entry)
    except ValidationError as error:
        for problem in problems_of(error, LogLayers, ("layers",), reading.places):
            report(problem)
        return None
    found = layers_from_log(log, wanted, report, _tell(reading, log)) if log is not None else None
    if found is None or log is None:
        return None
    reading.places.tables["layers",] = found[1]
    reading.length_units["layers"] = log.depth_unit
    return found[0]


def _caliper_rows(reading: Reading, entry: dict[str, Any]) -> list[dict[str, Any]] | None:
    report = reading.report("well")
    for key in set(entry) - {"log", "curve"}:
        remedy = suggestion(key, ["log", "curve"])
        report(Problem(reading.places.file, f"well.hole.{key}", "", f"unknown key '{key}'", remedy))
    log = _log(reading, entry, "well.hole")
    curve = entry.get("curve", "CALI")
    rows = hole_from_log(log, str(curve), _CALIPER_STRETCH, report) if log is not None else None
    if rows is None or log is None:
        return None
    reading.places.tables["well", "hole"] = TableSource(log.name, tuple(f"depth {row['md']}" for row in rows))
    reading.length_units["well.hole"] = log.depth_unit
    return [dict(row) for row in rows]


def _slowness_rows(reading: Reading, entry: dict[str, Any]) -> list[dict[str, Any]] | None:
    place = "suitability.strengths"
    report = reading.report("suitability")
    for key in set(entry) - {"log", "curve"}:
        remedy = suggestion(key, ["log", "curve"])
        report(Problem(reading.places.file, f"{place}.{key}", "", f"unknown key '{key}'", remedy))
    log = _log(reading, entry, place)
    rows = slowness_from_log(log, str(entry.get("curve", "DT")), _CALIPER_STRETCH, report) if log is not None else None
    if rows is None or log is None:
        return None
    reading.places.tables["suitability", "strengths"] = TableSource(log.name, tuple(f"depth {r['md']}" for r in rows))
    return [dict(row) for row in rows]

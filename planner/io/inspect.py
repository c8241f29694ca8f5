"""What a log or a table of measurements holds, without a case."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from planner.base.errors import CaseError, Problem
from planner.io.logs import read_log
from planner.io.measured_file import MeasuredFile
from planner.io.measured_tables import read_measured
from planner.io.messages import problems_of
from planner.io.places import Places, RowSource
from planner.model.data_facts import FileFacts
from planner.model.measured import MeasuredRow

LOGS = (".las",)


def inspect_file(path: Path, options: dict[str, object]) -> FileFacts:
    """What was read from a file, and what was odd. Raises CaseError with every reason why it cannot be read.

    options: keys of `MeasuredFile` for a table: date_format, decimal, units, rates, dates, well, layout.
    """
    problems: list[Problem] = []
    if path.suffix.lower() in LOGS:
        log = read_log(path, path.name, "", problems.append)
        if log is not None and log.facts is not None:
            return log.facts
        raise CaseError(problems)
    try:
        how = MeasuredFile.model_validate({**options, "file": path.name})
    except ValidationError as error:
        raise CaseError(problems_of(error, MeasuredFile, (), Places(""))) from None
    table = read_measured(path, how, "", problems.append)
    if table is None:
        raise CaseError(problems)
    places = Places(path.name)
    for at, (row, where) in enumerate(zip(table.rows, table.source.rows, strict=True)):
        places.tables["measured", "rows", at] = RowSource(path.name, (where,))
        try:
            MeasuredRow.model_validate(row)
        except ValidationError as error:
            problems += problems_of(error, MeasuredRow, ("measured", "rows", at), places)
    if problems:
        raise CaseError(problems)
    return table.facts

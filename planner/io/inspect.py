"""What a log or a table of measurements holds, without a case."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from planner.base.errors import CaseError, Problem
from planner.io.logs import read_log
from planner.io.measured_tables import MeasuredFile, read_measured
from planner.io.messages import problems_of
from planner.io.places import Places
from planner.model.data_facts import FileFacts

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
    return table.facts

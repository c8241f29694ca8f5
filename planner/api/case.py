"""What a case is and says: read, write, check, describe. Loaded from planner.api."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.data_facts import FileFacts
    from planner.model.results import WellDescription


def read_case(path: str | Path) -> Case:
    """Read a case from its TOML file or from the folder that holds it.

    Gives the case in SI. Raises CaseError with every problem found: file, place, value, remedy.
    """
    from planner.io.read import read_case as read

    return read(Path(path))


def data_files(path: str | Path) -> tuple[FileFacts, ...]:
    """What was read from the logs and tables of measurements of a case, with all that was odd. Raises CaseError."""
    from planner.io.read import read_case_and_files

    return read_case_and_files(Path(path))[1]


def inspect(path: str | Path, **options: Any) -> FileFacts:
    """What a LAS log or a CSV table of measurements holds, and what was odd in it.

    options, of a table: date_format, decimal, units, rates, dates, well, layout. Raises CaseError with every reason why
    the file cannot be read.
    """
    from planner.io.inspect import inspect_file

    return inspect_file(Path(path), options)


def case_from(document: Mapping[str, Any], name: str = "", folder: str | Path | None = None) -> Case:
    """The case in a document of the form of a case file, held in memory.

    name: what to call the document in messages. folder: where the tables and logs are that it names; none: every table
    is written out in it. Raises CaseError with every problem found, as `read_case` does.
    """
    from planner.io.read import case_from as read

    return read(dict(document), name, Path(folder) if folder is not None else None)


def new_case(folder: str | Path) -> Path:
    """Write a small commented case to start from into a folder; gives the path of its case.toml.

    Raises CaseError, and writes nothing, where one of its files is there already.
    """
    from planner.io.write import new_case as write

    return write(Path(folder))


def write_case(case: Case, folder: str | Path) -> Path:
    """Write a case to a folder, in its own unit system; gives the path of its case.toml. Raises OSError."""
    from planner.io.write import write_case as write

    return write(case, Path(folder))


def replace_text(path: str | Path, text: str) -> None:
    """Write a text file at once: a reader, or a crash in between, meets the old file or the new one. Raises OSError."""
    from planner.io.write import replace_text as replace

    replace(Path(path), text)


def schema() -> dict[str, Any]:
    """JSON Schema of the case file; each number with a unit carries its quantity."""
    from planner.io.write import schema as made

    return made()


def describe(case: Case, what_if: WhatIf | str | None = None) -> WellDescription:
    """The well as a graph for people: zones, layers, pieces of bore, blanks and what they can do; depths m, volumes m3.

    Raises CaseError where the string is not connected, Refusal where it cannot do the what-if.
    """
    from planner.network.describe import describe_case

    return describe_case(case, what_if_of(case, what_if))


def check(case: Case) -> WellDescription:
    """The well with all warnings, those about what-ifs that its string cannot do included. Raises as `describe`."""
    description = describe(case)
    refused = (f"The what-if '{name}' cannot be done: {reason}" for name, reason in refusals(case).items())
    return replace(description, warnings=(*description.warnings, *refused))


def refusals(case: Case) -> dict[str, str]:
    """What-ifs that the string cannot do, by name, with the reason; empty where it can do all of them."""
    from planner.decide.possible import refusal_of

    found = {what_if.name: refusal_of(case, what_if) for what_if in case.what_ifs}
    return {name: reason for name, reason in found.items() if reason}


def kernels_ready() -> bool:
    """Whether the compiled kernels are in the cache; the first run after an installation compiles them."""
    from planner.base.compiled import ready

    return ready()


def what_if_of(case: Case, what_if: WhatIf | str | None) -> WhatIf | None:
    """A what-if by its name; 'base' and None are the base. Raises CaseError for a name that the case does not have."""
    if not isinstance(what_if, str):
        return what_if
    from planner.decide.compare import chosen_what_ifs

    return next(iter(chosen_what_ifs(case, [what_if])), None)

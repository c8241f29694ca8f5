"""The one door: read a case, check it, flow it, forecast it, compare what-ifs, report.

    >>> from planner import api                                     # doctest: +SKIP
    >>> case = api.read_case("cases/five-sands")                    # doctest: +SKIP
    >>> comparison = api.compare(case, ["shut zone 3 in 2034"])     # doctest: +SKIP
    >>> api.report(comparison, "answer.html")                       # doctest: +SKIP

Everything that goes in and comes out is a frozen record in SI (planner.model); tables in the user's units are in
planner.report.tables. The rooms behind the door are loaded when they are first needed, so that importing is quick.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.base.errors import Cancelled, CaseError, ForecastError, Problem, Refusal

if TYPE_CHECKING:
    from planner.base.units import UnitSystem
    from planner.model.case import Case
    from planner.model.change import WhatIf
    from planner.model.results import Comparison, FlowProfile, Forecast, WellDescription

__all__ = [
    "Cancelled",
    "CaseError",
    "ForecastError",
    "Problem",
    "Refusal",
    "case_from",
    "check",
    "compare",
    "describe",
    "flow",
    "forecast",
    "kernels_ready",
    "new_case",
    "put_together",
    "read_case",
    "refusals",
    "replace_text",
    "report",
    "schema",
    "write_case",
]

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]


def read_case(path: str | Path) -> Case:
    """Read a case from its TOML file or from the folder that holds it.

    Gives the case in SI. Raises CaseError with every problem found: file, place, value, remedy.
    """
    from planner.io.read import read_case as read

    return read(Path(path))


def case_from(document: Mapping[str, Any], name: str = "") -> Case:
    """The case in a document of the form of a case file, held in memory, with every table written out in it.

    name: what to call the document in messages. Raises CaseError with every problem found, as `read_case` does.
    """
    from planner.io.read import case_from as read

    return read(dict(document), name)


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


def flow(case: Case, what_if: WhatIf | str | None = None, on: date | None = None) -> FlowProfile:
    """Flow along the string at an instant, at the reservoir's state on a date (none: the start).

    what_if: one of the case's by name, or a record of your own; none: the base. Pressures Pa, rates m3/s at surface
    conditions. Raises Refusal, ForecastError, and CaseError for a name that the case does not have.
    """
    from planner.forecast.run import flow as run

    return run(case, what_if_of(case, what_if), on)


def forecast(
    case: Case,
    what_if: WhatIf | str | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    until: date | None = None,
) -> Forecast:
    """Life of the well under one what-if, from the start of the schedule to its end or `until`.

    what_if: one of the case's by name, or a record of your own; none: the base. progress: told the share done (0 to
    1) and a sentence. cancelled: asked between steps. Days, Pa, m3/s and m3 at surface conditions. Raises Refusal,
    ForecastError, Cancelled, and CaseError for a name that the case does not have.
    """
    from planner.forecast.run import forecast as run

    return run(case, what_if_of(case, what_if), progress=progress, cancelled=cancelled, until=until)


def compare(
    case: Case,
    names: Iterable[str] | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    processes: int = 1,
) -> Comparison:
    """The base and what-ifs side by side, with differences and money.

    names: of the case's what-ifs; none: all. A what-if that the string cannot do is recorded in `refused` with its
    reason, one that could not be computed in `extra['failed']`, and the others go on. processes: how many forecasts
    run at once, each in a process of its own. Raises ForecastError if the base fails, CaseError for an unknown name,
    Cancelled.
    """
    from planner.decide.compare import chosen_what_ifs, comparison_of
    from planner.decide.runs import run_all

    chosen = chosen_what_ifs(case, names)
    return comparison_of(case, run_all(case, chosen, progress=progress, cancelled=cancelled, processes=processes))


def put_together(
    case: Case,
    base: Forecast,
    others: Iterable[tuple[WhatIf, Forecast]] = (),
    refused: Mapping[str, str] | None = None,
) -> Comparison:
    """A comparison of forecasts that are there already, with differences and money, as `compare` would give it.

    base: forecast without a what-if; others: what-ifs with their forecasts; refused: what-if name -> reason.
    """
    from planner.decide.compare import Ran, comparison_of

    ran = [Ran(None, base), *(Ran(what_if, run) for what_if, run in others)]
    return replace(comparison_of(case, ran), refused=dict(refused or {}))


def report(comparison: Comparison, path: str | Path, units: UnitSystem | None = None) -> Path:
    """Write a self-contained HTML report of a comparison made by `compare`; gives the path back.

    units: 'field' or 'metric'; none: the case's own. The flow along the string at the start is worked out for it.
    Raises ValueError for a comparison without its case, OSError where the file cannot be written.
    """
    from planner.io.write import replace_text
    from planner.model.case import Case as CaseRecord
    from planner.report.html import report_text

    case = comparison.extra.get("case")
    if not isinstance(case, CaseRecord):
        raise ValueError("this comparison does not carry its case; make it with planner.api.compare")
    replace_text(Path(path), report_text(comparison, case, flow(case), units))
    return Path(path)


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

"""What verbs share: their common options, opening a case, saving tables, words on stderr."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import Console

    from planner.model.case import Case
    from planner.report.frames import Style
    from planner.report.waiting import Waiting

Arguments = argparse.Namespace


def add_verb(
    verbs: Any,
    name: str,
    run: Callable[[Arguments], int],
    text: str,
    *,
    case: str = "1",
    tables: bool = False,
    what_if: bool = False,
) -> argparse.ArgumentParser:
    """A verb. case: '1' for a case that is needed, '?' for one that may be left out, '' for none."""
    made: argparse.ArgumentParser = verbs.add_parser(name, help=text, description=text, allow_abbrev=False)
    made.set_defaults(run=run)
    if case:
        nargs = "?" if case == "?" else None
        made.add_argument("case", metavar="CASE", nargs=nargs, help="TOML file, or the folder that holds case.toml")
    made.add_argument("--json", action="store_true", help="JSON on stdout")
    made.add_argument("--units", choices=("field", "metric"), help="unit system (the case's own)")
    if tables:
        made.add_argument("--csv", type=Path, metavar="FILE", help="write the table as CSV too")
        made.add_argument("--parquet", type=Path, metavar="FILE", help="write the table as Parquet too")
    if what_if:
        made.add_argument("--what-if", metavar="NAME", help="a what-if of the case; without it the base")
    return made


def open_case(asked: Arguments) -> tuple[Case, Style]:
    """The case and the style of what is shown."""
    from planner import api
    from planner.report.tables import style_for

    case = api.read_case(asked.case)
    return case, style_for(asked.units or case.units, case.economics.currency)


def save_table(asked: Arguments, table: pd.DataFrame) -> None:
    """Write the table to the files asked for, with stable keys as headers."""
    from planner.io.tables import csv_text
    from planner.io.write import replace_text

    if asked.csv:
        replace_text(asked.csv, csv_text(table))
    if asked.parquet:
        table.to_parquet(asked.parquet, index=False)


@contextmanager
def working() -> Iterator[Waiting]:
    """Long work: progress on stderr through `tell`, Ctrl-C through `cancelled`; a first compilation is told before."""
    from planner.report.waiting import waiting

    tell_compiling()
    with waiting(console(stderr=True)) as work:
        yield work


def tell_written(asked: Arguments, what: str, path: Path) -> None:
    """Say where a file is that was written too; on stderr where stdout is JSON."""
    print(f"The {what} is in {path}.", file=sys.stderr if asked.json else sys.stdout)


def tell_compiling() -> None:
    """Say on stderr that the kernels are compiled first, where they are."""
    from planner import api

    if not api.kernels_ready():
        print("Compiling the kernels once, about half a minute.", file=sys.stderr, flush=True)


def console(stderr: bool = False) -> Console:
    """Where tables (stdout) or progress (stderr) go."""
    from rich.console import Console

    return Console(stderr=stderr, highlight=False, soft_wrap=False)


def stop(status: int, *lines: str) -> int:
    """Say these lines on stderr; gives the exit status back."""
    for line in lines:
        print(line, file=sys.stderr)
    return status


def a_date(text: str) -> date:
    """A date as an argument. Raises ArgumentTypeError."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a date; write it as 2031-06-01") from None


def a_count(text: str) -> int:
    """A whole number of at least 1 as an argument. Raises ArgumentTypeError."""
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of at least 1")
    return int(text)


def an_amount(text: str) -> float:
    """A finite number of at least 0 as an argument. Raises ArgumentTypeError."""
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not 0.0 <= number < float("inf"):
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of at least 0")
    return number


def a_port(text: str) -> int:
    """A port number as an argument. Raises ArgumentTypeError."""
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"'{text}' is not a port; use a number from 1 to 65535")
    return int(text)

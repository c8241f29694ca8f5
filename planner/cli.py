"""The command line: blankwise VERB CASE.

Exit status: 0 good; 1 the computation could not go on; 2 bad input, or a what-if that the string cannot do; 130
cancelled. Results go to stdout, everything else to stderr.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner import __version__
from planner.base.errors import Cancelled, CaseError, ForecastError, Refusal

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import Console

    from planner.base.units import UnitSystem
    from planner.model.case import Case
    from planner.model.results import Comparison, Forecast
    from planner.report.frames import Style

Arguments = argparse.Namespace
SCREENS = "blankwise.screens"
TRACE = "BLANKWISE_TRACE"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; gives the exit status."""
    asked = parser().parse_args(arguments)
    verb: Callable[[Arguments], int] = asked.run
    try:
        status = verb(asked)
        sys.stdout.flush()
        return status
    except CaseError as error:
        return _stop(2, *(str(problem) for problem in error.problems))
    except Refusal as error:
        return _stop(2, f"The string cannot do this: {error}")
    except ForecastError as error:
        return _stop(1, f"The forecast could not go on: {error}")
    except BrokenPipeError:  # whoever read stdout has gone, such as `head`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        if error.filename is None:
            return _stop(2, str(error))
        return _stop(2, f"{error.filename}: {error.strerror}. Check the path and the permissions.")
    except (Cancelled, KeyboardInterrupt):
        return _stop(130, "Cancelled; nothing was written.")
    except Exception as error:  # a fault of the program: said in a sentence, its trace on request
        if os.environ.get(TRACE):
            raise
        fault = f"{type(error).__name__}: {error}"
        return _stop(1, f"A fault of the program, not of the input: {fault}. {TRACE}=1 shows where it happened.")


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    made = argparse.ArgumentParser(
        prog="blankwise", description="What-if planner for wells that cross several sands.", allow_abbrev=False
    )
    made.add_argument("--version", action="version", version=f"blankwise {__version__}")
    verbs = made.add_subparsers(title="verbs", metavar="VERB", required=True)
    _add(verbs, "check", _check, "read a case: zones, what can shut them, warnings")
    one = _add(verbs, "flow", _flow, "flow along the string at an instant", tables=True, what_if=True)
    one.add_argument("--on", type=_date, metavar="DATE", help="as 2031-06-01; without it the start of the schedule")
    one = _add(verbs, "forecast", _forecast, "life of the well under one what-if", tables=True, what_if=True)
    one.add_argument("--until", type=_date, metavar="DATE", help="stop here instead of the schedule's end")
    one.add_argument("--by", choices=("well", "zone", "layer"), default="well", help="rows of --csv and --parquet")
    for name, run, text in (
        ("compare", _compare, "the base and what-ifs side by side"),
        ("report", _report, "compare, and write the HTML report"),
    ):
        one = _add(verbs, name, run, text, tables=True)
        one.add_argument("--only", nargs="+", metavar="NAME", help="these what-ifs alone")
        one.add_argument("--processes", type=_count, default=1, metavar="N", help="forecasts at once (1)")
        if name == "report":
            one.add_argument("--out", type=Path, default=Path("report.html"), metavar="FILE.html", help="report.html")
    one = _add(verbs, "serve", _serve, "open the dashboard on this machine", case="?")
    one.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1: this machine alone)")
    one.add_argument("--port", type=_port, default=8050, help="port (8050)")
    one.add_argument("--no-browser", action="store_true", help="do not open a browser")
    one = _add(verbs, "new", _new, "write a small case to start from", case="")
    one.add_argument("folder", metavar="FOLDER", help="a new folder")
    _add(verbs, "schema", _schema, "JSON Schema of the case file", case="?")
    return made


def _add(
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


def _check(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, terminal

    case, style = _open(asked)
    description, refused = api.describe(case), api.refusals(case)
    if asked.json:
        print(documents.to_json(documents.check_document(case, description, refused, style.system)))
    else:
        terminal.show_check(_console(), case, description, refused, style)
    return 0


def _flow(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, tables, terminal

    case, style = _open(asked)
    _tell_compiling()
    found = api.flow(case, asked.what_if, asked.on)
    _save(asked, tables.profile_table(found, tables.keys_for(style.system)))
    if asked.json:
        print(documents.to_json(documents.flow_document(found, style.system)))
    else:
        terminal.show_flow(_console(), found, style)
    return 0


def _forecast(asked: Arguments) -> int:
    from planner import api
    from planner.report import documents, terminal
    from planner.report.waiting import waiting

    case, style = _open(asked)
    _tell_compiling()
    with waiting(_console(stderr=True)) as work:
        found = api.forecast(case, asked.what_if, progress=work.tell, cancelled=work.cancelled, until=asked.until)
    _save(asked, _forecast_table(found, asked.by, style.system))
    if asked.json:
        print(documents.to_json(documents.forecast_document(found, style.system)))
    else:
        terminal.show_forecast(_console(), found, style)
    return 0


def _forecast_table(found: Forecast, rows: str, system: UnitSystem) -> pd.DataFrame:
    from planner.report import tables

    make = {"well": tables.well_table, "zone": tables.zone_table, "layer": tables.layer_table}[rows]
    return make(found, tables.keys_for(system))


def _compare(asked: Arguments) -> int:
    case, style = _open(asked)
    return _show_comparison(asked, _run_comparison(asked, case), style)


def _report(asked: Arguments) -> int:
    from planner import api

    case, style = _open(asked)
    comparison = _run_comparison(asked, case)
    written = api.report(comparison, asked.out, style.system)
    status = _show_comparison(asked, comparison, style, {"report": str(written)})
    print(f"The report is in {written}.", file=sys.stderr if asked.json else sys.stdout)
    return status


def _run_comparison(asked: Arguments, case: Case) -> Comparison:
    from planner import api
    from planner.report.waiting import waiting

    _tell_compiling()
    with waiting(_console(stderr=True)) as work:
        return api.compare(case, asked.only, progress=work.tell, cancelled=work.cancelled, processes=asked.processes)


def _show_comparison(asked: Arguments, comparison: Comparison, style: Style, more: dict[str, Any] | None = None) -> int:
    """The comparison as table or JSON; 1 where a what-if could not be computed, after everything was shown."""
    from planner.report import comparison_tables, documents, tables, terminal

    keys = tables.keys_for(style.system)
    volumes, money = (
        comparison_tables.comparison_table(comparison, keys),
        comparison_tables.money_table(comparison, keys),
    )
    _save(asked, volumes.merge(money, on="what_if"))
    if asked.json:
        document = documents.comparison_document(comparison, style.system)
        print(documents.to_json({**document, **(more or {})}))
    else:
        terminal.show_comparison(_console(), comparison, style)
    failed = comparison.extra.get("failed", {})
    return _stop(1, *(f"{name} could not be computed: {why}" for name, why in failed.items())) if failed else 0


def _serve(asked: Arguments) -> int:
    from importlib.metadata import entry_points

    screens = list(entry_points(group=SCREENS))
    if not screens:
        return _stop(2, "The dashboard is not installed. Install it from the checkout: pip install .")
    if asked.json:
        print(f'{{"url": "http://{asked.host}:{asked.port}/"}}', flush=True)
    _tell_compiling()
    screens[0].load()(asked.case, asked.host, asked.port, not asked.no_browser)
    return 0


def _new(asked: Arguments) -> int:
    import json

    from planner import api

    written = api.new_case(asked.folder)
    if asked.json:
        print(json.dumps({"case": str(written)}, indent=2))
    else:
        print(f"A case to start from is in {written}. Next: blankwise check {asked.folder}")
    return 0


def _schema(asked: Arguments) -> int:
    import json

    from planner import api

    print(json.dumps(api.schema(), indent=2))
    return 0


def _open(asked: Arguments) -> tuple[Case, Style]:
    """The case and the style of what is shown."""
    from planner import api
    from planner.report.tables import style_for

    case = api.read_case(asked.case)
    return case, style_for(asked.units or case.units, case.economics.currency)


def _save(asked: Arguments, table: pd.DataFrame) -> None:
    """Write the table to the files asked for, with stable keys as headers."""
    from planner.io.tables import csv_text
    from planner.io.write import replace_text

    if asked.csv:
        replace_text(asked.csv, csv_text(table))
    if asked.parquet:
        table.to_parquet(asked.parquet, index=False)


def _tell_compiling() -> None:
    from planner import api

    if not api.kernels_ready():
        print("Compiling the kernels once, about half a minute.", file=sys.stderr, flush=True)


def _console(stderr: bool = False) -> Console:
    from rich.console import Console

    return Console(stderr=stderr, highlight=False, soft_wrap=False)


def _stop(status: int, *lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return status


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a date; write it as 2031-06-01") from None


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of at least 1")
    return int(text)


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"'{text}' is not a port; use a number from 1 to 65535")
    return int(text)

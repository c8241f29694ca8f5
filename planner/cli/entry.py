"""Run one verb and turn what went wrong into a sentence and an exit status.

Exit status: 0 good; 1 the computation could not go on; 2 bad input, or a what-if that the string cannot do; 130
cancelled. Results go to stdout, everything else to stderr.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence

from planner import __version__
from planner.base.errors import Cancelled, CaseError, ForecastError, Refusal
from planner.cli import answers, around, blanks, data_files, late_life, matching, plan, ranges, well
from planner.cli.grammar import Arguments, stop

TRACE = "BLANKWISE_TRACE"
GROUPS = (well, answers, plan, ranges, matching, late_life, blanks, data_files, around)  # in the order of the help text


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; gives the exit status."""
    asked = parser().parse_args(arguments)
    verb: Callable[[Arguments], int] = asked.run
    try:
        status = verb(asked)
        sys.stdout.flush()
        return status
    except CaseError as error:
        return stop(2, *(str(problem) for problem in error.problems))
    except Refusal as error:
        return stop(2, f"The string cannot do this: {error}")
    except ForecastError as error:
        return stop(1, f"The forecast could not go on: {error}")
    except BrokenPipeError:  # whoever read stdout has gone, such as `head`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        if error.filename is None:
            return stop(2, str(error))
        return stop(2, f"{error.filename}: {error.strerror}. Check the path and the permissions.")
    except (Cancelled, KeyboardInterrupt) as error:
        kept = error.kept if isinstance(error, Cancelled) else ""
        return stop(130, f"Cancelled. {kept}" if kept else "Cancelled; nothing was written.")
    except Exception as error:  # a fault of the program: said in a sentence, its trace on request
        if os.environ.get(TRACE):
            raise
        fault = f"{type(error).__name__}: {error}"
        return stop(1, f"A fault of the program, not of the input: {fault}. {TRACE}=1 shows where it happened.")


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    made = argparse.ArgumentParser(
        prog="blankwise", description="What-if planner for wells that cross several sands.", allow_abbrev=False
    )
    made.add_argument("--version", action="version", version=f"blankwise {__version__}")
    verbs = made.add_subparsers(title="verbs", metavar="VERB", required=True)
    for group in GROUPS:
        group.register(verbs)
    return made

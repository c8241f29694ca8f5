"""Jobs over draws as table, figure data, plain data and sentences."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import pandas as pd
from rich.console import Console

from planner.model.cure_odds import ODDS, CureOdds
from planner.model.cures import Cure
from planner.report.comparison_tables import in_millions
from planner.report.documents import record
from planner.report.frames import Column, Style, frame, words
from planner.report.tables import with_only
from planner.report.terminal import say, show_table

FIELD = Style()
RANK = ("date", "value", "value error", "P90", "P50", "P10", "pays", "best")
MORE = (
    "chance",
    "value if done",
    "value if failed",
    "value now",
    "value in case",
    "oil difference",
    "water difference",
    "gas difference",
    "breaks a limit",
)


def odds_table(odds: CureOdds, style: Style = FIELD) -> pd.DataFrame:
    """The jobs over the members, a row each, the largest mean value first."""
    rows = odds.jobs
    return frame(
        (
            Column("job", "", [row.name for row in rows]),
            Column("date", "", [row.date for row in rows]),
            *(
                Column(_title(name), quantity, [getattr(row, name) for row in rows])
                for name, quantity in ODDS.items()
            ),
            Column("members", "number", [row.members for row in rows]),
        ),
        style,
    )  # fmt: skip


def _title(name: str) -> str:
    return name.upper() if name in ("p90", "p50", "p10") else words(name)


def odds_document(odds: CureOdds, style: Style) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "members": odds.members,
        "members_used": odds.used,
        "nothing_is_best": odds.nothing_best,
        "jobs": [record(asdict(job), ODDS, style) for job in odds.jobs],
        "forecasts": odds.forecasts,
        "seconds": odds.seconds,
        "folder": odds.folder,
        "notes": list(odds.notes),
    }


def show_odds(console: Console, found: Cure, style: Style) -> None:
    """The jobs over the members; nothing where no draws were asked for."""
    odds = found.odds
    if odds is None:
        return
    table = in_millions(odds_table(odds, style), style)
    title = f"Jobs over {odds.used} members, success and failure weighed"
    show_table(console, with_only(table, "job", *RANK), title)
    show_table(console, with_only(table, "job", *MORE), "Behind these figures, means over the members")
    say(console, odds_answer(odds))
    for text in odds.notes:
        say(console, text)
    console.print()


def odds_answer(odds: CureOdds) -> str:
    """What the members say, in a sentence or two."""
    if not odds.jobs:
        return "There is no job to look at over the members."
    best = odds.jobs[0]
    if best.value <= 0.0:
        return (
            f"Over the members no job pays on average; doing nothing is best in {odds.nothing_best:.0%} of them. The "
            f"least bad is {best.name}."
        )
    sure = "" if best.value > 2.0 * best.value_error else " That is within the error of the mean: take more members."
    return (
        f"Over the members {best.name} on {best.date} is worth most on average, and pays with a probability of "
        f"{best.pays:.0%}; it is the best of all choices in {best.best:.0%} of the members, doing nothing in "
        f"{odds.nothing_best:.0%}.{sure}"
    )

"""Late life as tables: where the water comes from, which jobs could cure it, when, and what forbids the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from planner.model.cures import DO_NOTHING, OUTLOOK, TROUBLE, Cure
from planner.report.frames import Column, Style, frame, words

FIELD = Style()


def troubles_table(found: Cure, style: Style = FIELD) -> pd.DataFrame:
    """What the well and each zone make on the day, and by which mechanism, a row each."""
    rows = (found.whole_well, *found.zones)
    return frame(
        (
            Column("zone", "", [row.zone or "whole well" for row in rows]),
            *_columns(rows, TROUBLE),
            Column("plot says", "", [row.plot for row in rows]),
            Column("mechanism", "", [row.mechanism for row in rows]),
            Column("why", "", ["; ".join(row.reasons) for row in rows]),
        ),
        style,
    )


def outlooks_table(found: Cure, style: Style = FIELD) -> pd.DataFrame:
    """The jobs that can be done, best first, a row each."""
    rows = found.jobs
    return frame(
        (
            Column("job", "", [row.name for row in rows]),
            Column("best date", "", ["" if row.do == DO_NOTHING else row.best_date for row in rows]),
            *_columns(rows, OUTLOOK),
            Column("pays until", "", ["" if row.do == DO_NOTHING else row.pays_until or "never" for row in rows]),
            Column("way", "", ["" if row.do == DO_NOTHING else row.way or "not given" for row in rows]),
            Column("limits broken", "", ["; ".join(row.broken) or "none" for row in rows]),
            Column("needs", "", [row.needs for row in rows]),
        ),
        style,
    )


def forbidden_table(found: Cure) -> pd.DataFrame:
    """The jobs that cannot be done, with the reason."""
    rows = [(row.name, row.reason) for row in found.forbidden]
    return pd.DataFrame(rows, columns=["job", "why it cannot be done"])


def dates_table(found: Cure, style: Style = FIELD) -> pd.DataFrame:
    """Risked value of every job on every date that was tried, long."""
    rows = [(job.name, day, value) for job in found.jobs for day, value in zip(job.dates, job.values, strict=True)]
    return frame(
        (
            Column("job", "", [row[0] for row in rows]),
            Column("date", "", [row[1] for row in rows]),
            Column("value", "money", [row[2] for row in rows]),
        ),
        style,
    )


def _columns(rows: Sequence[object], quantities: Mapping[str, str]) -> list[Column]:
    return [
        Column(words(name), quantity, [getattr(row, name) for row in rows]) for name, quantity in quantities.items()
    ]

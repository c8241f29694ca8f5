"""What was read from logs and tables of measurements, for the terminal and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np
import pandas as pd
from rich.console import Console

from planner.base.errors import Problem
from planner.model.data_facts import ColumnFacts, FileFacts
from planner.report.terminal import show_table


def facts_document(facts: FileFacts) -> dict[str, Any]:
    """A file as plain data; least and most are in the column's own unit."""
    return {
        "file": facts.name,
        "form": facts.form,
        "encoding": facts.encoding,
        "samples": facts.samples,
        "span": facts.span,
        "columns": [_column_document(column) for column in facts.columns],
        "remarks": [asdict(one) for one in facts.remarks],
    }


def _column_document(column: ColumnFacts) -> dict[str, Any]:
    names = ("name", "unit", "kind", "description", "samples", "least", "most")
    return {**{name: getattr(column, name) for name in names}, "missing_share": column.missing}


def facts_table(facts: FileFacts) -> pd.DataFrame:
    """One row a curve or column, for reading."""
    rows = [
        {
            "column": column.name,
            "unit": column.unit,
            "holds": column.kind if column.kind != "number" else "",
            "read as": column.description[:40],
            "missing %": f"{100.0 * column.missing:.3g}",
            "least": _shown(column.least),
            "most": _shown(column.most),
        }
        for column in facts.columns
    ]
    return pd.DataFrame(rows)


def show_facts(console: Console, facts: FileFacts) -> None:
    """A file on the terminal: form, span, columns, remarks."""
    console.print(f"{facts.name}: {facts.form}, {facts.encoding}", style="bold", highlight=False)
    console.print(f"{facts.samples} samples, {facts.span}", highlight=False)
    show_table(console, facts_table(facts), "Columns")
    if not facts.remarks:
        console.print("Nothing odd was found.", highlight=False)
    for remark in facts.remarks:
        console.print(f"  {words_of(remark, with_file=False)}", highlight=False, markup=False)


def words_of(remark: Problem, with_file: bool = True) -> str:
    """A remark as a sentence."""
    where = ": ".join(part for part in (remark.file if with_file else "", remark.place) if part)
    value = f" ({remark.value})" if remark.value else ""
    return (
        f"{where}: {remark.message}{value}. {remark.remedy}" if where else f"{remark.message}{value}. {remark.remedy}"
    )


def warnings_of(files: Sequence[FileFacts]) -> tuple[str, ...]:
    """The remarks of all files as sentences, for the warnings of a case."""
    return tuple(words_of(remark) for facts in files for remark in facts.remarks)


def _shown(value: float) -> str:
    return "" if not np.isfinite(value) else f"{value:.5g}"

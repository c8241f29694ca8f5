"""A match on disk: the matched case as a case folder, and the members as a table of draws."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from planner.base.errors import CaseError, Problem
from planner.base.units import QUANTITIES, UnitSystem, from_si
from planner.io.draws import DRAWS_FILE
from planner.io.read import CASE_FILE
from planner.io.tables import csv_text
from planner.io.write import replace_text, write_case
from planner.model.ensemble import Draws
from planner.model.match import Match

MARK = "match.json"


def refuse_taken(folder: Path) -> None:
    """A folder that holds a case which no match made is left alone. Raises CaseError."""
    if (folder / CASE_FILE).exists() and not (folder / MARK).exists():
        remedy = "Choose another folder; a match writes only where there is nothing or an earlier match."
        raise CaseError([Problem("", "out", str(folder), "there is a case in this folder that no match made", remedy)])


def write_match(found: Match, folder: Path, texts: dict[str, str]) -> Path:
    """Write the matched case and draws.csv; texts: other files, name -> content, match.json among them.

    Gives the path of the case file. Raises CaseError where the folder holds a case of the user's own, OSError.
    """
    refuse_taken(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        replace_text(folder / name, text)
    replace_text(folder / DRAWS_FILE, csv_text(draws_table(found.draws, found.case.units)))
    return write_case(found.case, folder)


def draws_table(draws: Draws, system: UnitSystem) -> pd.DataFrame:
    """Draws as the verb 'ensemble' reads them: a row a member, a column a path, its unit in the header."""
    columns: dict[str, object] = {"member": range(len(draws.values))}
    for number, one in enumerate(draws.inputs):
        quantity = one.quantity or "number"
        unit = QUANTITIES[quantity].unit(system) if QUANTITIES[quantity].si else ""
        values = draws.values[:, number]
        columns[f"{one.name} [{unit}]" if unit else one.name] = from_si(values, quantity, system) if unit else values
    return pd.DataFrame(columns)

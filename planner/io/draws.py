"""A table of draws that the user brings: CSV or Parquet, a row a member, the unit in each header: 'kh [md]'."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from planner.base.errors import CaseError, Problem

DRAWS_FILE = "draws.csv"  # in the folder of a match


def read_draws(path: Path) -> pd.DataFrame:
    """The table as it stands, without a column 'member'; its attrs name the 'file'.

    path: of the table, or of the folder of a match. Raises CaseError where it cannot be read.
    """
    if path.is_dir():
        path = path / DRAWS_FILE
    remedy = "Give a CSV or Parquet table: a row a member, a column an input, its unit in brackets in the header."
    try:
        table = pd.read_parquet(path) if path.suffix.lower() == ".parquet" else pd.read_csv(path, skipinitialspace=True)
    except (OSError, ValueError) as error:
        message = "file not found" if isinstance(error, FileNotFoundError) else "not a readable table"
        raise CaseError([Problem(str(path), "", "", message, remedy)]) from None
    made = table.drop(columns=[name for name in table.columns if str(name).strip().lower() == "member"])
    made.attrs["file"] = str(path)
    return made

"""Tables that leave the program: SI frames to the user's units, the unit in every column name; CSV, Parquet, JSON."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pandas as pd

from planner.base.units import UnitSystem, from_si, key

FORMATS = (".csv", ".parquet", ".json")


def with_units(frame: pd.DataFrame, quantities: Mapping[str, str], system: UnitSystem) -> pd.DataFrame:
    """A copy in the user's units, each column renamed to carry its unit: 'oil_rate' as 'oil_rate_bbl_per_d'.

    frame: SI. quantities: column -> quantity of planner.base.units; columns without one stay as they are.
    Raises KeyError for an unknown quantity.
    """
    columns: dict[str, pd.Series] = {}
    for name in frame.columns:
        quantity = quantities.get(str(name))
        if quantity is None:
            columns[str(name)] = frame[name]
        else:
            columns[key(str(name), quantity, system)] = from_si(frame[name], quantity, system)
    return pd.DataFrame(columns, index=frame.index)


def write_table(frame: pd.DataFrame, path: str | Path, quantities: Mapping[str, str], system: UnitSystem) -> Path:
    """Write an SI frame in the user's units; the suffix of the path says how: .csv, .parquet or .json.

    JSON is a list of records; dates are ISO text, values that are not numbers null. The index is not written.
    Raises ValueError for another suffix, OSError when the file cannot be written.
    """
    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in FORMATS:
        raise ValueError(f"'{target.name}': the ending must be one of {', '.join(FORMATS)}")
    shown = with_units(frame, quantities, system)
    target.parent.mkdir(parents=True, exist_ok=True)
    temporary = target.with_name(f".{target.name}.part")
    if suffix == ".csv":
        temporary.write_text(csv_text(shown), encoding="utf-8", newline="")
    elif suffix == ".parquet":
        shown.to_parquet(temporary, index=False)
    else:
        temporary.write_text(json.dumps(records(shown), indent=1, ensure_ascii=False), encoding="utf-8")
    temporary.replace(target)
    return target


def csv_text(frame: pd.DataFrame) -> str:
    """A frame as CSV text, dates as year-month-day, numbers with all their digits."""
    stream = io.StringIO()
    frame.to_csv(stream, index=False, date_format="%Y-%m-%d", lineterminator="\n")
    return stream.getvalue()


def records(frame: pd.DataFrame) -> list[dict[str, object]]:
    """Rows as dictionaries fit for JSON: dates as year-month-day, not-a-number and infinite as None."""
    plain: dict[str, list[object]] = {str(name): [_plain(value) for value in frame[name]] for name in frame.columns}
    return [dict(zip(plain, row, strict=True)) for row in zip(*plain.values(), strict=True)]


def _plain(value: object) -> object:
    if isinstance(value, pd.Timestamp | np.datetime64):
        day = pd.Timestamp(value)
        return None if pd.isna(day) else day.date().isoformat()
    if value is pd.NaT or value is None:
        return None
    if isinstance(value, bool | np.bool_):
        return bool(value)
    if isinstance(value, int | np.integer):
        return int(value)
    if isinstance(value, float | np.floating):
        return float(value) if np.isfinite(value) else None
    return str(value)

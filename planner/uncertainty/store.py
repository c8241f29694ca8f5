"""An ensemble on disk: a manifest, the draws, and Parquet tables that grow member by member.

Every file is written beside its place and moved in at once, so a kill at any moment leaves whole files alone. While an
ensemble runs, finished members stand in parts/; at the end they are joined into figures.parquet and series.parquet.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
from numpy.typing import NDArray

from planner.base.errors import CaseError, Problem

MANIFEST, DRAWS, FIGURES, SERIES, PARTS = "manifest.json", "draws.parquet", "figures.parquet", "series.parquet", "parts"
FORMAT = 1
KEYS = ("member", "what_if", "status", "message", "seconds")


class Store:
    """The folder of one ensemble. Made by `opened`."""

    def __init__(self, folder: Path, manifest: dict[str, Any]) -> None:
        self.folder = folder
        self.manifest = manifest

    def finished(self) -> set[int]:
        """Numbers of the members that are there."""
        found: set[int] = set()
        for path in self._files("figures"):
            found |= set(pq.read_table(path, columns=["member"])["member"].to_pylist())
        return found

    def add(self, first: int, figures: bytes, series: bytes) -> None:
        """Keep the tables of finished members, as Parquet; first: the lowest of their numbers."""
        replace_bytes(self.folder / PARTS / f"series-{first:07d}.parquet", series)
        replace_bytes(self.folder / PARTS / f"figures-{first:07d}.parquet", figures)  # last: it says that they are done

    def join(self) -> None:
        """Join the parts into one table each, and take the parts away."""
        parts = self.folder / PARTS
        if not any(parts.glob("figures-*.parquet")):
            return
        for name, file in (("series", SERIES), ("figures", FIGURES)):
            replace_bytes(self.folder / file, as_parquet(self._table(name)))
        shutil.rmtree(parts)

    def figures(self) -> pd.DataFrame:
        """A row a member and what-if: member, what_if, status, message, seconds, then figures in SI."""
        table: pd.DataFrame = self._table("figures").to_pandas(ignore_metadata=True)
        return table

    def series(self, columns: Iterable[str], where: str) -> pd.DataFrame:
        """A row a member, what-if and date: member, what_if, date, the columns; where: '' the well, else a zone."""
        wanted = ["member", "what_if", "date", *columns]
        tables = [
            pq.read_table(path, columns=wanted, filters=[("where", "=", where)])
            for path in self._files("series")
            if set(columns) <= set(pq.read_schema(path).names)
        ]
        if not tables:
            return pd.DataFrame(columns=wanted)
        table: pd.DataFrame = pa.concat_tables(tables).to_pandas(ignore_metadata=True)
        return table

    def columns(self) -> tuple[str, ...]:
        """Columns of the series, of the well and of zones."""
        names = dict.fromkeys(name for path in self._files("series") for name in pq.read_schema(path).names)
        return tuple(name for name in names if name not in ("member", "what_if", "where", "date"))

    def _table(self, name: str) -> pa.Table:
        tables = [pq.read_table(path) for path in self._files(name)]
        return pa.concat_tables(tables, promote_options="permissive")

    def _files(self, name: str) -> list[Path]:
        """The joined table, or the parts where there are any (a kill between joining and clearing leaves both)."""
        whole = self.folder / f"{name}.parquet"
        parts = sorted((self.folder / PARTS).glob(f"{name}-*.parquet"))
        done = (self.folder / FIGURES).is_file()
        return [whole] if done and whole.is_file() else parts


def opened(folder: Path, manifest: dict[str, Any], draws: pd.DataFrame, fresh: bool = False) -> Store:
    """The store in a folder, made if need be. manifest: what the results depend on; 'digest' tells it apart.

    Raises CaseError where the folder holds another ensemble and `fresh` does not say to throw it away.
    """
    file = folder / MANIFEST
    if file.is_file():
        held = read_manifest(folder)
        if held.get("digest") == manifest["digest"] and held.get("format") == FORMAT:
            return Store(folder, held)
        if not fresh:
            remedy = "Give another --folder, or --fresh to throw these results away."
            message = "the folder holds the results of another case, other draws, what-ifs or version of the program"
            raise CaseError([Problem("", "folder", str(folder), message, remedy)])
        for name in (FIGURES, SERIES, DRAWS, MANIFEST):
            (folder / name).unlink(missing_ok=True)
        shutil.rmtree(folder / PARTS, ignore_errors=True)
    elif folder.is_dir() and any(folder.iterdir()):
        remedy = "Give a new or an empty --folder."
        raise CaseError([Problem("", "folder", str(folder), "the folder holds something else", remedy)])
    (folder / PARTS).mkdir(parents=True, exist_ok=True)
    replace_bytes(folder / DRAWS, as_parquet(pa.Table.from_pandas(draws, preserve_index=False)))
    whole = {"format": FORMAT, **manifest}
    replace_bytes(file, json.dumps(whole, indent=1, ensure_ascii=False).encode())
    return Store(folder, whole)


def found(folder: Path) -> Store:
    """The store that a folder holds. Raises CaseError where there is none."""
    return Store(folder, read_manifest(folder))


def read_manifest(folder: Path) -> dict[str, Any]:
    """What the manifest of a folder says. Raises CaseError where there is none, or none that can be read."""
    remedy = "Run 'ensemble' first, or name its --folder."
    try:
        held: dict[str, Any] = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise CaseError([Problem("", "folder", str(folder), "no ensemble is kept here", remedy)]) from None
    return held


def as_parquet(table: pa.Table) -> bytes:
    """A table as the bytes of a Parquet file."""
    sink = pa.BufferOutputStream()
    pq.write_table(table, sink, compression="zstd")
    content: bytes = sink.getvalue().to_pybytes()
    return content


def replace_bytes(path: Path, content: bytes) -> None:
    """Write a file beside its place and move it in at once."""
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_name(f".{path.name}.{os.getpid()}")
    with open(temporary, "wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
    os.replace(temporary, path)


def cube(
    table: pd.DataFrame,
    column: str,
    members: int,
    what_ifs: tuple[str, ...],
    dates: NDArray[np.datetime64] | None = None,
) -> NDArray[np.float64]:
    """A column of a long table as [members, what_ifs] or, with dates, [members, what_ifs, T]; NaN where none is."""
    shape = (members, len(what_ifs)) + (() if dates is None else (len(dates),))
    made = np.full(shape, np.nan)
    if column not in table or table.empty:
        return made
    at = [table["member"].to_numpy(), table["what_if"].map({n: k for k, n in enumerate(what_ifs)}).to_numpy(dtype=int)]
    if dates is not None:
        at.append(np.searchsorted(dates, table["date"].to_numpy().astype("datetime64[D]")))
    made[tuple(at)] = table[column].to_numpy(dtype=np.float64)
    return made

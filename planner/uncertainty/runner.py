"""Run what-ifs over many members, on any crew, kept on disk member by member: run(case, draws, what_ifs, summarise)."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa

import planner
from planner import __version__
from planner.base.errors import Cancelled, CaseError, ForecastError, Refusal
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import BASE, FAILED, LATE, OK, REFUSED, Draws, Ensemble, Input, Summary
from planner.model.paths import Zones
from planner.model.results import Forecast
from planner.network.zone_layers import zone_layers
from planner.uncertainty.branching import Branches
from planner.uncertainty.member import Member, member_of, what_if_of_member
from planner.uncertainty.pool import Crew, Died, ended_after, last_moment, spread
from planner.uncertainty.store import KEYS, Store, as_parquet, cube, found, opened

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]
Summarise = Callable[[Case, WhatIf | None, Forecast], Summary]

TIME_OUT = 900.0  # s that one member may take, all its what-ifs together
PIECE = 0.5  # s of work that are handed out at once
MOST = 32  # members in a piece
ROOMS = ("base", "physics", "solve", "model", "network", "forecast", "uncertainty", "decide")


@dataclass(frozen=True)
class Job:
    """All that a worker needs."""

    case: Case
    draws: Draws
    what_ifs: tuple[WhatIf | None, ...]
    summarise: Summarise
    zones: Zones
    time_out: float | None
    branches: bool = False


@dataclass(frozen=True)
class Done:
    """Finished members as bytes of Parquet tables; the seconds that they took, and how many went wrong somewhere."""

    members: tuple[int, ...]
    figures: bytes
    series: bytes
    seconds: float
    wrong: int


def run(
    case: Case,
    draws: Draws,
    what_ifs: Sequence[WhatIf | None],
    summarise: Summarise,
    folder: Path,
    *,
    crew: Crew = Crew(),  # noqa: B008 - frozen
    time_out: float | None = TIME_OUT,
    fresh: bool = False,
    branches: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Store:
    """Forecasts of every what-if (None: the base) in every member, each summed up by `summarise` where it was run.

    summarise: a function of a module, of the member's case, its what-if and its forecast. Members that the folder
    holds already, of the same case, draws, what-ifs and program, are not computed again. A member that fails is kept
    with its reason. branches: every what-if parts on a date from one march of the member's base
    (see `Branches`). The numbers do not depend on the crew. Raises CaseError where the folder holds something else,
    or where nothing at all could be computed; Cancelled, with the finished members kept.
    """
    zones = zone_layers(case)
    store = opened(folder, manifest_of(case, draws, what_ifs, summarise, branches), table_of(draws), fresh)
    left = sorted(set(range(len(draws.values))) - store.finished())
    job = Job(case, draws, tuple(what_ifs), summarise, zones, time_out, branches)
    watch = Watch(len(draws.values), len(draws.values) - len(left), crew, progress)
    try:
        for members, done in spread(piece_of_work, job, watch.pieces(left), crew, cancelled, _one_by_one):
            if isinstance(done, Died):
                done = _packed(members, [row for k in members for row in _lost(job, k, done)], [], 0.0, len(members))
            store.add(members[0], done.figures, done.series)
            watch.look(done)
    except (Cancelled, KeyboardInterrupt):
        kept = f"{watch.done} of {watch.members} members are kept in {folder}; the same command goes on from there."
        raise Cancelled("cancelled", kept) from None
    store.join()
    return store


@dataclass
class Watch:
    """Pace of the work: how much to hand out at once, how long it will take."""

    members: int
    done: int
    crew: Crew
    progress: Progress | None = None
    began: float = field(default_factory=time.monotonic)
    wrong: int = 0
    now: int = 0
    pace: float = 0.0  # s a member

    def pieces(self, left: Sequence[int]) -> Iterator[tuple[int, ...]]:
        """Members in pieces of about PIECE seconds, smaller towards the end so that all workers end together."""
        at = 0
        while at < len(left):
            size = min(int(PIECE / self.pace), MOST) if self.pace > 0.0 else 1
            size = min(size, (len(left) - at) // (4 * max(self.crew.workers, 1)))
            yield tuple(left[at : at + max(size, 1)])
            at += max(size, 1)

    def look(self, done: Done) -> None:
        """Count finished members and tell."""
        self.done += len(done.members)
        self.now += len(done.members)
        self.wrong += done.wrong
        self.pace = done.seconds / len(done.members) if self.pace == 0.0 else 0.5 * (
            self.pace + done.seconds / len(done.members)
        )  # fmt: skip
        if self.progress is not None:
            left = (time.monotonic() - self.began) / self.now * (self.members - self.done)
            text = f"{self.done} of {self.members} members, {in_words(left)} left"
            self.progress(self.done / self.members, text + (f", {self.wrong} with failures" if self.wrong else ""))


def in_words(seconds: float) -> str:
    """'about 3 min'."""
    if seconds < 90.0:
        return f"about {max(round(seconds), 0)} s"
    return f"about {seconds / 60.0:.0f} min" if seconds < 5400.0 else f"about {seconds / 3600.0:.1f} h"


# --- in a worker


def piece_of_work(job: Job, members: tuple[int, ...], stopped: Asked) -> Done:
    """Forecasts of some members. Raises Cancelled where the whole work was stopped."""
    began = time.perf_counter()
    rows: list[dict[str, Any]] = []
    frames: list[pd.DataFrame] = []
    wrong = 0
    for number in members:
        with ended_after(last_moment(job.time_out) if job.time_out else None):
            of_member = _one_member(job, number, stopped, frames)
        wrong += any(row["status"] in (FAILED, LATE) for row in of_member)
        rows += of_member
    return _packed(members, rows, frames, time.perf_counter() - began, wrong)


def _one_member(job: Job, number: int, stopped: Asked, frames: list[pd.DataFrame]) -> list[dict[str, Any]]:
    """Rows of figures of one member; its series are added to `frames`."""
    deadline = time.monotonic() + job.time_out if job.time_out else float("inf")

    def late_or_stopped() -> bool:
        return time.monotonic() > deadline or stopped()

    try:
        member = member_of(job.case, job.draws, number, job.zones)
    except CaseError as error:
        why = f"its draws do not fit together: {error.problems[0]}"
        return [_row(number, what_if, FAILED, why) for what_if in job.what_ifs]
    rows = []
    lives: Branches | None = None
    for what_if in job.what_ifs:
        began = time.perf_counter()
        row = _row(number, what_if, OK, "")
        try:
            if job.branches and lives is None:
                lives = Branches(job.case, member, job.what_ifs)
            summary = _one_forecast(job, member, lives, what_if, late_or_stopped)
            row |= summary.figures
            frames += _series(number, row["what_if"], summary)
        except Cancelled:
            if stopped():
                raise
            row |= {"status": LATE, "message": _too_long(job)}
        except Refusal as error:
            row |= {"status": REFUSED, "message": str(error)}
        except (ForecastError, CaseError) as error:
            row |= {"status": FAILED, "message": str(error)}
        except Exception as error:  # a fault in one member is told and does not end the others
            row |= {"status": FAILED, "message": f"{type(error).__name__}: {error}"}
        rows.append(row | {"seconds": time.perf_counter() - began})
    return rows


def _one_forecast(
    job: Job, member: Member, lives: Branches | None, what_if: WhatIf | None, stop: Asked
) -> Summary:  # fmt: skip
    if stop():
        raise Cancelled("late")
    if lives is not None:
        return job.summarise(member.case, *lives.forecast(what_if, stop))
    asked = what_if_of_member(job.case, what_if, member)
    return job.summarise(member.case, asked, forecast(member.case, asked, cancelled=stop))


def _row(number: int, what_if: WhatIf | None, status: str, message: str) -> dict[str, Any]:
    name = what_if.name if what_if else BASE
    return {"member": number, "what_if": name, "status": status, "message": message, "seconds": 0.0}


def _lost(job: Job, number: int, died: Died) -> list[dict[str, Any]]:
    """Rows of a member whose worker was lost, or was ended because it hung."""
    if job.time_out and died.seconds >= last_moment(job.time_out):
        why = f"{_too_long(job)} and did not stop by itself: its process was ended"
        return [_row(number, what_if, LATE, why) for what_if in job.what_ifs]
    return [_row(number, what_if, FAILED, str(died)) for what_if in job.what_ifs]


def _too_long(job: Job) -> str:
    return f"the member took more than {job.time_out:g} s"


def _one_by_one(members: tuple[int, ...]) -> list[tuple[int, ...]]:
    return [(number,) for number in members]


def _series(number: int, what_if: str, summary: Summary) -> list[pd.DataFrame]:
    """Series of one forecast as rows; 32-bit numbers, seven digits."""
    made = []
    for k, where in enumerate(("", *summary.zones)):
        columns = summary.well if not where else {name: values[:, k - 1] for name, values in summary.zone.items()}
        if columns:
            head = {"member": number, "what_if": what_if, "where": where, "date": summary.dates.astype("datetime64[D]")}
            body = {name: np.asarray(values, dtype=np.float32) for name, values in columns.items()}
            made.append(pd.DataFrame(head | body))
    return made


def _packed(
    members: tuple[int, ...], rows: list[dict[str, Any]], frames: list[pd.DataFrame], seconds: float, wrong: int
) -> Done:
    figures = pa.Table.from_pandas(pd.DataFrame(rows), preserve_index=False)
    keys = pd.DataFrame({"member": pd.Series(dtype="int64"), "what_if": pd.Series(dtype="str")})
    series = pa.Table.from_pandas(pd.concat(frames) if frames else keys, preserve_index=False)
    return Done(members, as_parquet(figures), as_parquet(series), seconds, wrong)


# --- what results depend on


def manifest_of(
    case: Case, draws: Draws, what_ifs: Sequence[WhatIf | None], summarise: Summarise, branches: bool = False
) -> dict[str, Any]:  # fmt: skip
    """What the results of an ensemble depend on, and a digest of all of it."""
    seen = hashlib.sha256(f"{__version__} {sources_digest()} {summarise.__module__} {summarise.__qualname__}".encode())
    seen.update(case.model_dump_json().encode())
    seen.update(repr([what_if.model_dump_json() if what_if else None for what_if in what_ifs]).encode())
    seen.update(repr(draws.inputs).encode() + (b" branches" if branches else b""))
    seen.update(np.ascontiguousarray(draws.values).tobytes())
    return {
        "digest": seen.hexdigest(),
        "version": __version__,
        "well": case.well.name,
        "kind": case.well.kind,
        "members": len(draws.values),
        "seed": draws.seed,
        "design": draws.design,
        "notes": list(draws.notes),
        "inputs": [asdict(one) for one in draws.inputs],
        "what_ifs": [what_if.name if what_if else BASE for what_if in what_ifs],
        "zones": list(zone_layers(case)),
    }


def sources_digest() -> str:
    """Digest of the program that computes: every source file of the rooms that a result passes through."""
    seen = hashlib.sha256()
    rooms = Path(planner.__file__).resolve().parent
    for room in ROOMS:
        for path in sorted((rooms / room).glob("*.py")):
            seen.update(path.name.encode() + path.read_bytes())
    return seen.hexdigest()[:16]


def table_of(draws: Draws) -> pd.DataFrame:
    """Draws as a table, SI: member, then a column an input."""
    return pd.DataFrame(
        {"member": np.arange(len(draws.values))}
        | {one.name: draws.values[:, k] for k, one in enumerate(draws.inputs)}
    )  # fmt: skip


# --- what is kept, as records


def ensemble_in(folder: Path) -> Ensemble:
    """The ensemble that a folder holds; members that are not done yet are NaN. Raises CaseError where there is none."""
    store = found(folder)
    held = store.manifest
    what_ifs, members = tuple(held["what_ifs"]), int(held["members"])
    inputs = tuple(
        Input(one["name"], one["kind"], one["quantity"], tuple(one["paths"]), tuple(one["choices"]))
        for one in held["inputs"]
    )
    table = store.figures()
    drawn = pd.read_parquet(folder / "draws.parquet")
    names = [name for name in table.columns if name not in KEYS]
    status = np.full((members, len(what_ifs)), "", dtype="<U9")
    number = table["what_if"].map({name: k for k, name in enumerate(what_ifs)}).to_numpy(dtype=int)
    status[table["member"].to_numpy(), number] = table["status"].to_numpy(dtype=str)
    wrong = table[table["status"] != OK]
    columns = store.columns()
    well = store.series(columns, "") if columns else pd.DataFrame()
    dates = np.unique(well["date"].to_numpy().astype("datetime64[D]")) if len(well) else np.array([], "datetime64[D]")
    return Ensemble(
        well=held["well"], kind=held["kind"],
        draws=Draws(inputs, drawn[[one.name for one in inputs]].to_numpy(dtype=np.float64), held["seed"],
                    held["design"], tuple(held["notes"])),
        what_ifs=what_ifs,
        figures={name: cube(table, name, members, what_ifs) for name in names},
        status=status,
        messages={(int(m), str(w)): str(t) for m, w, t in zip(wrong["member"], wrong["what_if"], wrong["message"],
                                                              strict=True)},
        dates=dates,
        series={name: cube(well, name, members, what_ifs, dates) for name in columns},
        zones=tuple(held["zones"]), folder=str(folder), seconds=float(table["seconds"].sum()),
    )  # fmt: skip


def zone_series(ensemble: Ensemble, column: str, zone: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """A column over time of a zone, [members, what_ifs, T], read from the folder; zone '': the well."""
    table = found(Path(ensemble.folder)).series([column], zone)
    return cube(table, column, ensemble.members, ensemble.what_ifs, ensemble.dates)

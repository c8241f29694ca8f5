"""Ensembles of a case from its ranges to its tables, and the runs of their own that tornado and shares may ask for."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

import pandas as pd

from planner.base.compiled import ready
from planner.base.errors import ForecastError
from planner.forecast.run import forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import OK, Design, Draws, Ensemble, Findings, Swing, VarianceShare
from planner.network.zone_layers import zone_layers
from planner.uncertainty.designs import mixed_matrices, one_at_a_time, shares_of_matrices, swings_of_runs
from planner.uncertainty.draws import draw, given_draws
from planner.uncertainty.findings import findings_of
from planner.uncertainty.pool import Crew
from planner.uncertainty.runner import TIME_OUT, Asked, Progress, Summarise, ensemble_in, run

SWINGS, SHARES = "swings", "shares"  # folders below that of the ensemble


def run_ensemble(
    case: Case,
    members: int,
    what_ifs: Sequence[WhatIf],
    summarise: Summarise,
    folder: str | Path | None,
    *,
    seed: int = 1,
    design: Design = "latin hypercube",
    table: pd.DataFrame | None = None,
    crew: Crew = Crew(),  # noqa: B008 - frozen
    time_out: float | None = None,
    fresh: bool = False,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Ensemble:
    """The base and what-ifs over the members of a case, kept in a folder (none: a new temporary one).

    table: draws that the user brings; its rows are the members then. Raises as `runner.run`, and ForecastError where
    no member could be computed.
    """
    zones = zone_layers(case)
    made = draw(case, members, seed, zones, design) if table is None else given_draws(case, table, seed, zones)
    place = Path(folder) if folder is not None else Path(tempfile.mkdtemp(prefix="blankwise-ensemble-")) / "run"
    compile_first(case, crew)
    run(
        case, made, [None, *what_ifs], summarise, place, crew=crew, time_out=time_out or TIME_OUT, fresh=fresh,
        progress=progress, cancelled=cancelled,
    )  # fmt: skip
    found = ensemble_in(place)
    if not (found.status == OK).any():
        why = next(iter(found.messages.values()), "")
        raise ForecastError(f"none of the {found.members} members could be computed; the first: {why}")
    return found


def with_runs(
    case: Case,
    made: Ensemble,
    about: str,
    what_if: WhatIf | None,
    summarise: Summarise,
    swings: bool,
    points: int,
    crew: Crew,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> Findings:
    """Findings with a tornado (swings) or shares of the variance (points above 0) from runs of their own.

    They go below the ensemble's folder and replace what is there of another case.
    """
    zones = zone_layers(case)
    first = findings_of(made, about)
    bars: tuple[Swing, ...] = ()
    shares: tuple[VarianceShare, ...] = ()

    def ran(draws: Draws, name: str) -> Ensemble:
        place = Path(made.folder) / name
        run(case, draws, [what_if], summarise, place, crew=crew, fresh=True, progress=progress, cancelled=cancelled)
        return ensemble_in(place)

    if swings:
        draws, ends = one_at_a_time(case, zones)
        found = ran(draws, SWINGS)
        bars = tuple(bar for figure in first.decision for bar in swings_of_runs(found, ends, figure, about))
    if points > 0:
        found = ran(mixed_matrices(case, points, made.draws.seed, zones), SHARES)
        shares = tuple(one for figure in first.decision for one in shares_of_matrices(found, figure, about))
    return findings_of(made, about, bars, shares)


def compile_first(case: Case, crew: Crew) -> None:
    """Compile the kernels here, where they have not been, so that the workers do not all do it at once."""
    if crew.workers > 1 and not ready():
        forecast(case.model_copy(update={"what_ifs": ()}), until=case.schedule.start)

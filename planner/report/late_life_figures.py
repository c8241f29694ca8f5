"""Figures of late life: the diagnostic plot of the water ratio, and what each job is worth by its date."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go

from planner.decide.diagnosis import water_ratio
from planner.model.cures import Cure
from planner.model.results import Floats, Forecast
from planner.report.frames import Style
from planner.report.look import INK, colour_of, dressed, line

MOST_JOBS = 6
LEAST = 1e-4  # ratio, and derivative a day, below which the log axis does not go
LARGE = 1e6


def diagnosis_figure(found: Cure) -> go.Figure | None:
    """Water ratio (lines) and its derivative (dots) of the well and its wet zones on log axes up to the day.

    None where nothing is wet, or the forecast of doing nothing is not there.
    """
    base = found.extra.get("base")
    if not isinstance(base, Forecast):
        return None
    rows = base.dates <= np.datetime64(found.date, "D")
    days = base.days[rows]
    figure = go.Figure()
    wet = [("whole well", None), *((zone.zone, k) for k, zone in enumerate(found.zones) if zone.mechanism != "dry")]
    for index, (name, zone) in enumerate(wet):
        ratio = _above(water_ratio(base, zone)[rows])
        if np.isfinite(ratio).sum() < 2:
            continue
        figure.add_scatter(x=days, y=ratio, name=name, legendgroup=name, mode="lines", line=line(index))
        derivative = _above(np.gradient(water_ratio(base, zone)[rows], days))
        figure.add_scatter(
            x=days, y=derivative, name=f"{name}, derivative", legendgroup=name, mode="markers",
            marker={"color": colour_of(index), "symbol": index, "size": 6},
        )  # fmt: skip
    if not figure.data:
        return None
    main = "gas" if found.kind.startswith("gas") else "oil"
    figure.update_xaxes(title="days since the start", type="log")
    figure.update_yaxes(title=f"water over {main}, and its derivative per day", type="log", exponentformat="power")
    return dressed(figure, f"Water ratio and its derivative up to {found.date} (after Chan 1995)", height=440)


def best_date_figure(found: Cure, style: Style) -> go.Figure | None:
    """Risked value of the best jobs against the date on which they are done; None where one date was tried."""
    shown = [job for job in found.jobs if len(job.dates) > 1][:MOST_JOBS]
    if not shown:
        return None
    largest = max(abs(value) for job in shown for value in job.values)
    scale, unit = (1e6, style.million) if largest >= LARGE else (1.0, style.unit("money"))
    figure = go.Figure()
    for index, job in enumerate(shown):
        values = [value / scale for value in job.values]
        figure.add_scatter(
            x=list(job.dates), y=values, name=job.name, mode="lines+markers", line=line(index), legendgroup=job.name
        )
        figure.add_scatter(
            x=[job.best_date], y=[job.value / scale], name=f"{job.name}: best date", mode="markers", showlegend=False,
            legendgroup=job.name, marker={"symbol": "star", "size": 15, "color": colour_of(index)},
        )  # fmt: skip
    figure.add_hline(y=0.0, line={"color": INK, "width": 1})
    figure.update_yaxes(title=f"risked value against doing nothing ({unit})")
    figure.update_layout(hovermode="closest")
    return dressed(figure, "What each job is worth, by the date on which it is done (star: best)", height=460)


def _above(values: Floats) -> Floats:
    """Values that a log axis can show."""
    return np.where(values > LEAST * 1e-4, values, np.nan)

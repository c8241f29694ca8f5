"""Tables along the string and the tubing, and limits over time; for files, and shorter ones for reading."""

from __future__ import annotations

from itertools import groupby

import numpy as np
import pandas as pd

from planner.model.along_depth import MARGINS, Depth, piece_depths
from planner.model.results import COLUMNS, Floats, FlowProfile, Forecast, PieceInfo, TubingProfile
from planner.report.frames import Column, Style, frame, words
from planner.report.tables import FIELD, dates_of

FEW_PIECES = 30  # more are put together by element for reading
STILL = 1e-5  # m/s, of an annulus in which nothing flows
FEW_NODES = 16  # of a tubing, for reading
AT_TOP = ("pressure", "annulus_pressure", "oil_rate", "water_rate", "gas_rate", "bore_rate", "mixture_density")
FLOW = (
    "pressure", "annulus_pressure", "drawdown", "oil_inflow_per_length", "water_inflow_per_length",
    "gas_inflow_per_length", "oil_rate", "water_rate", "gas_rate",
)  # fmt: skip
SPEED = ("velocity", "annulus_velocity", "screen_velocity", "bore_diameter", "skin_loss", "screen_loss")
TUBING = (
    "pressure", "temperature", "holdup", "velocity", "liquid_velocity", "gas_velocity", "mixture_density",
    "erosional_margin", "loading_margin",
)  # fmt: skip


def tubing_table(tubing: TubingProfile, style: Style = FIELD) -> pd.DataFrame:
    """State along the tubing: a row each node, from the wellhead down."""
    columns = [Column(words(name), COLUMNS[name], values) for name, values in tubing.columns.items()]
    return frame((*columns, Column("flow pattern", "", tubing.pattern)), style)


def piece_table(forecast: Forecast, style: Style = FIELD) -> pd.DataFrame:
    """Flow along the string over time, long: a row each report date and piece of bore."""
    pieces, dates = forecast.description.pieces, dates_of(forecast)
    return frame(
        (
            Column("date", "", np.repeat(dates, len(pieces)).tolist()),
            Column("element", "", [piece.element for piece in pieces] * len(dates)),
            Column("zone", "", [piece.zone for piece in pieces] * len(dates)),
            Column("top md", "length", [piece.top_md for piece in pieces] * len(dates)),
            Column("base md", "length", [piece.base_md for piece in pieces] * len(dates)),
            *(Column(words(n), COLUMNS[n], values.ravel()) for n, values in forecast.piece.items() if n in COLUMNS),
        ),
        style,
    )


def limit_table(forecast: Forecast, style: Style = FIELD) -> pd.DataFrame:
    """Every limit over time, long: a row each report date and limit, numbers in the unit that the row names."""
    dates = dates_of(forecast)
    rows = [
        (
            dates[t], one.name, one.at[t] if one.at else one.where, style.value(one.value[t], one.quantity),
            style.value(one.limit[t], one.quantity), style.unit(one.quantity), one.margin[t], bool(one.crossed[t]),
        )
        for one in forecast.limit_series
        for t in range(len(dates))
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["date", "limit", "where", "value", "allowed", "unit", "margin", "broken"])


def string_for_reading(flow: FlowProfile, style: Style, depth: Depth = "md") -> list[tuple[str, pd.DataFrame]]:
    """(Title, table) of flow, then of velocities and losses with the nearest limit; long strings by element."""
    pieces, columns = flow.description.pieces, flow.piece
    if len(pieces) > FEW_PIECES:
        pieces, columns = by_element(pieces, columns)
    tops, bases = piece_depths(pieces, depth)
    head = (
        Column("element", "", [piece.element for piece in pieces]),
        Column(f"top {depth}", "length", tops),
        Column(f"base {depth}", "length", bases),
    )
    margin, nearest = nearest_limit(columns)
    tail = (Column("margin to limit", "fraction", margin), Column("nearest limit", "", nearest)) if any(nearest) else ()
    names = {"pressure": "bore pressure", "oil_rate": "oil in bore", "water_rate": "water in bore"}
    names |= {"gas_rate": "gas in bore", "velocity": "bore velocity", "screen_velocity": "screen flux"}

    if np.nanmax(columns.get("annulus_velocity", np.zeros(1)), initial=0.0) < STILL:
        columns = {name: values for name, values in columns.items() if name != "annulus_velocity"}

    def shown(wanted: tuple[str, ...]) -> list[Column]:
        return [
            Column(names.get(name, words(name).replace(" per length", "")), COLUMNS[name], columns[name])
            for name in wanted if name in columns
        ]  # fmt: skip

    return [
        ("Along the string: pressure and flow", frame((*head, *shown(FLOW)), style)),
        ("Along the string: velocity, losses, limits", frame((*head[:2], *shown(SPEED), *tail), style)),
    ]


def tubing_for_reading(tubing: TubingProfile, style: Style, depth: Depth = "md") -> pd.DataFrame:
    """The tubing at not more than FEW_NODES of its nodes, its ends among them."""
    count = len(tubing.pattern)
    kept = np.unique(np.linspace(0, count - 1, min(count, FEW_NODES)).round().astype(int))
    columns = [
        Column(words(name), COLUMNS[name], tubing.columns[name][kept])
        for name in (depth, *TUBING) if name in tubing.columns
    ]  # fmt: skip
    return frame((*columns, Column("flow pattern", "", [tubing.pattern[k] for k in kept])), style)


def nearest_limit(columns: dict[str, Floats]) -> tuple[Floats, list[str]]:
    """Least margin of every piece, and the limit that it belongs to ('': none)."""
    known = [line for line in MARGINS if line.column in columns]
    if not known:
        return np.zeros(0), []
    margins = np.array([np.where(np.isnan(columns[line.column]), np.inf, columns[line.column]) for line in known])
    at = margins.argmin(axis=0)
    least = margins.min(axis=0)
    names = [known[k].label if np.isfinite(margin) else "" for k, margin in zip(at, least, strict=True)]
    return np.where(np.isfinite(least), least, np.nan), names


def by_element(
    pieces: tuple[PieceInfo, ...], columns: dict[str, Floats]
) -> tuple[tuple[PieceInfo, ...], dict[str, Floats]]:
    """Pieces put together by element: inflow summed, pressures and rates at its top, the worst of everything else."""
    groups = [list(run) for _, run in groupby(range(len(pieces)), key=lambda k: (pieces[k].element, pieces[k].kind))]
    whole = tuple(
        PieceInfo(
            pieces[run[0]].element, pieces[run[0]].kind, pieces[run[0]].zone, pieces[run[0]].top_md,
            pieces[run[-1]].base_md, pieces[run[len(run) // 2]].tvd, pieces[run[0]].inner_diameter,
            pieces[run[0]].has_annulus, pieces[run[0]].top_tvd, pieces[run[-1]].base_tvd,
        )
        for run in groups
    )  # fmt: skip
    length = np.array([piece.base_md - piece.top_md for piece in pieces])
    made = {
        name: np.array([_together(name, values, run, length) for run in groups]) for name, values in columns.items()
    }
    return whole, made


def _together(name: str, values: Floats, run: list[int], length: Floats) -> float:
    part = values[run]
    if name.endswith("_inflow"):
        return float(part.sum())
    if name.endswith("_per_length"):
        return float(np.average(part, weights=length[run]))
    if name in AT_TOP or np.isnan(part).all():
        return float(part[0])
    return float(np.nanmin(part) if name.endswith("_margin") else np.nanmax(part))

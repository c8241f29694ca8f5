"""A match as tables, plain data and sentences, in the units of a style."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from planner.base.units import QUANTITIES, UnitSystem
from planner.model.cautions import CAUTION
from planner.model.match import Match, MatchedParameter, MatchedSeries, Misfit
from planner.report.documents import Document
from planner.report.frames import Style
from planner.report.tables import keys_for

ENDS = ("prior_low", "prior_mid", "prior_high", "low", "mid", "high", "best")


def in_style(value: Any, quantity: str, style: Style, shift: bool = False) -> Any:
    """SI numbers in the unit of a style; a shift without the zero of its unit."""
    if not QUANTITIES[quantity].si:
        return value
    zero = style.value(0.0, quantity) if shift else 0.0
    return style.value(value, quantity) - zero


def text_of(one: MatchedParameter, value: float, style: Style) -> str:
    """A value of a parameter with its unit: '152 md', 'x 1.3', '+5 m'."""
    if not np.isfinite(value):
        return "-"
    number = float(in_style(value, one.quantity, style, one.acts_as == "shift"))
    shown = f"{number:,.0f}" if abs(number) >= 1e3 else f"{number:.4g}"
    if one.acts_as == "multiplier":
        return f"x {shown}"
    unit = QUANTITIES[one.quantity].label(style.system) if QUANTITIES[one.quantity].si else ""
    sign = "+" if one.acts_as == "shift" and not shown.startswith("-") else ""
    joined = f"{shown} x {unit}" if unit[:1].isdigit() else f"{shown} {unit}".strip()  # 17,500 x 1000 m3
    return f"{sign}{joined}"


def parameters_table(found: Match, style: Style) -> pd.DataFrame:
    """Before against after, one row a parameter, as text with units."""
    rows = [
        (
            one.name,
            f"{text_of(one, one.prior_low, style)} to {text_of(one, one.prior_high, style)}",
            text_of(one, one.best, style),
            f"{text_of(one, one.low, style)} to {text_of(one, one.high, style)}",
            f"{100.0 * one.told:.0f} %",
        )
        for one in found.parameters
    ]
    return pd.DataFrame(rows, columns=["parameter", "before (90 %)", "best", "after (90 %)", "told by data"])


def misfit_table(found: Match) -> pd.DataFrame:
    """Misfit by kind and place."""
    rows: list[tuple[object, ...]] = [
        (one.kind, one.zone or "well", one.count, _size(one.before), _size(one.after), _size(one.best),
         f"{100.0 * one.reached:.0f} %")
        for one in found.misfits
    ]  # fmt: skip
    rows.append(("all", "", len(found.data), *(_size(one) for one in found.overall), ""))
    columns = ["measured", "where", "count", "before", "after", "best", "inside prior"]
    return pd.DataFrame(rows, columns=columns)


def _size(value: float) -> str:
    return "-" if not np.isfinite(value) else f"{value:.3g}"


def series_table(found: Match, style: Style) -> pd.DataFrame:
    """Every measurement with the members before and after, one row each; a value's unit stands in its own column."""
    parts = []
    for one in found.series:
        names = ("measured", "error", "prior_low", "prior_mid", "prior_high", "low", "mid", "high", "best")
        columns: dict[str, Any] = {"kind": one.kind, "where": one.zone, "date": one.dates.astype(str)}
        for name in names:
            shift = name == "error"
            columns[name] = in_style(getattr(one, name), one.quantity, style, shift)
        columns["unit"] = QUANTITIES[one.quantity].label(style.system)
        parts.append(pd.DataFrame(columns))
    return pd.concat(parts, ignore_index=True)


def summary(found: Match) -> str:
    """One sentence on what was done."""
    how = (
        f"ensemble smoother, {len(found.inflation)} rounds, {found.members} members"
        if found.method == "smoother"
        else f"least squares, {found.members} members from the slopes at the best point"
    )
    return (
        f"{len(found.data)} measurements matched by {len(found.parameters)} parameters: {how}, seed {found.seed}, "
        f"{found.forecasts} forecasts in {found.seconds:.0f} s"
        + (f"; {found.lost} members failed and were left out." if found.lost else ".")
    )


def correlations_table(found: Match, least: float = 0.5) -> pd.DataFrame:
    """Pairs of parameters that move together after matching, strongest first."""
    names = [one.name for one in found.parameters]
    pairs = [
        (names[i], names[j], float(found.correlation[i, j]))
        for i in range(len(names))
        for j in range(i + 1, len(names))
        if abs(found.correlation[i, j]) >= least
    ]
    pairs.sort(key=lambda pair: -abs(pair[2]))
    return pd.DataFrame([(a, b, f"{r:+.2f}") for a, b, r in pairs], columns=["parameter", "and", "correlation"])


# --- plain data


def match_document(found: Match, system: UnitSystem) -> Document:
    """Everything that a match holds but its case and members, keys with units."""
    style = keys_for(system)
    names = [one.name for one in found.parameters]
    return {
        "well": found.case.well.name,
        "units": system,
        "caution": CAUTION,
        "method": found.method,
        "seed": found.seed,
        "members": found.members,
        "members_lost": found.lost,
        "failures": found.failures,
        "forecasts": found.forecasts,
        "seconds": round(found.seconds, 2),
        "inflation": list(found.inflation),
        "measurements": len(found.data),
        "mean_square_misfit": dict(zip(("before", "after", "best"), found.overall, strict=True)),
        "parameters": [_parameter(one, style) for one in found.parameters],
        "misfits": [_misfit(one) for one in found.misfits],
        "series": [_series(one, style) for one in found.series],
        "correlation": [
            {"parameter": names[i], "and": names[j], "correlation": float(found.correlation[i, j])}
            for i in range(len(names)) for j in range(i + 1, len(names))
        ],
        "directions": [{"size": one.size, "parts": one.parts} for one in found.directions],
        "warnings": list(found.warnings),
        "coverage": list(found.coverage),
        "notes": list(found.notes),
    }  # fmt: skip


def _parameter(one: MatchedParameter, style: Style) -> Document:
    made: Document = {"name": one.name, "acts_as": one.acts_as, "told_by_data": one.told}
    for name in ENDS:
        header = style.header(name, one.quantity) if QUANTITIES[one.quantity].si else name
        made[header] = float(in_style(getattr(one, name), one.quantity, style, one.acts_as == "shift"))
    return made


def _misfit(one: Misfit) -> Document:
    return {
        "kind": one.kind, "where": one.zone, "count": one.count, "before": one.before, "after": one.after,
        "best": one.best, "share_inside_prior": one.reached,
    }  # fmt: skip


def _series(one: MatchedSeries, style: Style) -> Document:
    made: Document = {"kind": one.kind, "where": one.zone, "dates": [str(day) for day in one.dates]}
    for name in ("measured", "error", "prior_low", "prior_mid", "prior_high", "low", "mid", "high", "best"):
        header = style.header(name, one.quantity) if QUANTITIES[one.quantity].si else name
        made[header] = in_style(getattr(one, name), one.quantity, style, name == "error")
    return made

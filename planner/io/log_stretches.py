"""Hole sizes and sonic slowness from a log: the middle value of each short stretch along the hole."""

from __future__ import annotations

import numpy as np

from planner.base.errors import Problem
from planner.io.logs import Floats, Log
from planner.io.reporting import Report


def hole_from_log(log: Log, curve: str, least: float, report: Report) -> list[dict[str, str]] | None:
    """Rows of hole sizes from a caliper: the median of each stretch of `least` m; None after reports."""
    found = _stretches(log, curve, "diameter", least, "the caliper", report)
    if found is None:
        return None
    rows: list[dict[str, str]] = []
    for depth, values in found:
        size = f"{float(np.median(values)) * 1000.0:.5g} mm"
        if not rows or rows[-1]["diameter"] != size:
            rows.append({"md": f"{depth[0]:.7g} {log.depth_unit}", "diameter": size})
    return rows


def slowness_from_log(log: Log, curve: str, least: float, report: Report) -> list[dict[str, str]] | None:
    """Rows of sonic slowness: the median of each stretch of `least` m, nulls left out; None after reports."""
    found = _stretches(log, curve, "slowness", least, "the curve", report)
    if found is None:
        return None
    return [
        {
            "md": f"{float(np.mean(depth)):.7g} {log.depth_unit}",
            "slowness": f"{float(np.median(values)) * 1e6:.6g} us/m",
        }
        for depth, values in found
    ]


def _stretches(
    log: Log, curve: str, quantity: str, least: float, called: str, report: Report
) -> list[tuple[Floats, Floats]] | None:
    """(depths in the log's unit, values in SI) of each stretch of `least` m, nulls left out; None after reports."""
    values = log.curve(curve, quantity, "curve section", report)
    if values is None:
        return None
    good = np.isfinite(values) & (values > 0.0)
    if not good.any():
        report(Problem(log.name, f"curve {curve}", "", f"{called} holds nulls alone", "Name another curve."))
        return None
    depth, values = log.depth[good], values[good]
    metre = 0.3048 if log.depth_unit == "ft" else 1.0
    bins = np.floor((depth - depth[0]) / least + 1e-9).astype(np.int64)
    parts = np.split(np.arange(depth.size), np.flatnonzero(np.diff(bins)) + 1)
    return [(depth[part] / metre, values[part]) for part in parts]

"""Hole sizes and sonic slowness from a log: the middle value of each short stretch along the hole."""

from __future__ import annotations

import numpy as np

from planner.base.errors import Problem
from planner.io.logs import Floats, Log
from planner.io.reporting import Report

SILENT = 3  # stretches or samples without a value that make a caliper silent there


def hole_from_log(log: Log, curve: str, least: float, report: Report) -> list[dict[str, str]] | None:
    """Rows of hole sizes from a caliper: the median of each stretch of `least` m; None after reports.

    Where the caliper is silent for longer than SILENT stretches or samples, and above and below it, a row says that
    the hole is not measured.
    """
    found = _stretches(log, curve, "diameter", least, "the caliper", report)
    if found is None:
        return None
    metre = 0.3048 if log.depth_unit == "ft" else 1.0
    step = float(np.median(np.abs(np.diff(log.depth)))) if log.depth.size > 1 else 0.0
    longest = SILENT * max(least, step) / metre
    sizes = [f"{float(np.median(values)) * 1000.0:.5g} mm" for _, values in found]
    rows: list[dict[str, str]] = []

    def add(depth: float, size: str, measured: bool) -> None:
        if not rows or (rows[-1]["diameter"], "measured" not in rows[-1]) != (size, measured):
            row = {"md": f"{depth:.7g} {log.depth_unit}", "diameter": size}
            rows.append(row if measured else {**row, "measured": "false"})

    if found[0][0][0] > longest:
        add(0.0, sizes[0], False)
    for number, (depth, _) in enumerate(found):
        before = found[number - 1][0][-1] if number else depth[0]
        if depth[0] - before > longest:
            add(before + step / metre, sizes[number - 1], False)
        add(depth[0], sizes[number], True)
    add(found[-1][0][-1] + max(least, step) / metre, sizes[-1], False)
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

"""Tables of the judgement of hole and sand."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from planner.model.suitability import COMPLETION_KINDS
from planner.model.suitability_results import Reason, SuitabilityResult
from planner.report.frames import Column, Style, frame


def reasons_table(reasons: Sequence[Reason], style: Style) -> pd.DataFrame:
    """Reasons for and against, one row each; length: of hole in a stretch that breaks the criterion."""
    return frame(
        (
            Column("kind", "", [one.kind for one in reasons]),
            Column("interval", "", [one.interval for one in reasons]),
            Column("topic", "", [one.topic for one in reasons]),
            Column("verdict", "", [one.verdict for one in reasons]),
            Column("reason", "", [one.text for one in reasons]),
            Column("top md", "length", [one.top_md for one in reasons]),
            Column("base md", "length", [one.base_md for one in reasons]),
            Column("length", "length", [one.length for one in reasons]),
            Column("source", "", [one.source for one in reasons]),
        ),
        style,
    )


def overview_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """A row for each sand and kind: the topics that speak for it, against it, and those that are open."""
    rows = []
    for sand in result.sands:
        for kind in COMPLETION_KINDS:
            own = [one for one in result.reasons if one.kind == kind and one.interval in (sand.name, "whole well")]
            row = {"interval": sand.name, "kind": kind}
            for verdict in ("against", "for", "open"):
                topics = dict.fromkeys(one.topic for one in own if one.verdict == verdict)
                row[verdict] = ", ".join(topics) or "-"
            row["length out of range"] = style.value(
                sum(one.length for one in own if one.topic == "hole size" and one.verdict == "against"), "length"
            )
            rows.append(row)
    columns = ["interval", "kind", "against", "for", "open", "length out of range"]
    header = style.header("length out of range", "length")
    table = pd.DataFrame(rows, columns=columns).rename(columns={"length out of range": header})
    table.attrs["quantities"] = {header: "length"}
    return table


def seats_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """Barriers and where a seal can sit in them, one row a stretch of gauge hole (or one with none)."""
    rows = [(seat, part) for seat in result.seats for part in (seat.stretches or (None,))]
    return frame(
        (
            Column("barrier", "", [seat.barrier.name for seat, _ in rows]),
            Column("top md", "length", [seat.barrier.top_md for seat, _ in rows]),
            Column("base md", "length", [seat.barrier.base_md for seat, _ in rows]),
            Column("seat from", "length", [part.top_md if part else float("nan") for _, part in rows]),
            Column("seat to", "length", [part.base_md if part else float("nan") for _, part in rows]),
            Column("longest gauge", "length", [seat.longest for seat, _ in rows]),
        ),
        style,
    )


def gradings_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """Grain sizes of the samples."""
    rows = result.gradings
    sizes = ("d10", "d40", "d50", "d90", "d95")
    return frame(
        (
            Column("sample", "", [one.name for one in rows]),
            Column("md", "length", [one.md for one in rows]),
            Column("interval", "", [one.sand for one in rows]),
            *(Column(size.upper(), "grain size", [getattr(one, size) for one in rows]) for size in sizes),
            Column("D40/D90" if style.headers == "words" else "uniformity", "number", [one.uniformity for one in rows]),
            Column("D10/D95" if style.headers == "words" else "sorting", "number", [one.sorting for one in rows]),
            Column("fines below 44 micron" if style.headers == "words" else "fines", "fraction",
                   [one.fines for one in rows]),
            Column("calls for", "", [one.calls_for for one in rows]),
        ),
        style,
    )  # fmt: skip


def strengths_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """Rock strength and the drawdown that it stands, against the planned one."""
    rows = result.strengths
    return frame(
        (
            Column("interval", "", [one.sand for one in rows]),
            Column("md", "length", [one.md for one in rows]),
            Column("strength", "strength", [one.strength for one in rows]),
            Column("pressure", "pressure", [one.pressure for one in rows]),
            Column("open hole stands", "pressure", [one.open_hole for one in rows]),
            Column("perforations stand", "pressure", [one.perforation for one in rows]),
            Column("open hole when depleted", "pressure", [one.depleted_open_hole for one in rows]),
            Column("perforations when depleted", "pressure", [one.depleted_perforation for one in rows]),
            Column("planned drawdown", "pressure", [result.planned_drawdown[one.sand] for one in rows]),
        ),
        style,
    )

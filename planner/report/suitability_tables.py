"""Tables of the judgement of hole and sand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from planner.model.suitability import COMPLETION_KINDS
from planner.model.suitability_results import Barrier, Reason, Sand, Stretch, SuitabilityResult
from planner.report.frames import Column, Style, frame

FOOT, HALF_METRE = 0.3048, 0.5  # m: steps of the table of the hole


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


def hole_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """The hole foot by foot (half metre by half metre in metric units) against every range that is given.

    Least and greatest diameter on each step, and whether they fit: 'wide' where any of it is, wash-outs that a kind
    bridges included; a seat is gauge hole inside a barrier that is long enough for a seal.
    """
    step = FOOT if style.system == "field" else HALF_METRE
    first, last = np.floor(result.hole_md[0] / step), np.ceil(result.hole_md[-1] / step)
    edges = np.clip(np.arange(first, last + 1) * step, result.hole_md[0], result.hole_md[-1])
    edges = edges[np.concatenate(([True], np.diff(edges) > 1e-9))]
    tops, bases = edges[:-1], edges[1:]
    start = np.searchsorted(result.hole_md, tops + 1e-9, side="right") - 1
    end = np.searchsorted(result.hole_md, bases - 1e-9, side="left")
    least = np.array([result.hole_diameter[a:b].min() for a, b in zip(start, end, strict=True)])
    most = np.array([result.hole_diameter[a:b].max() for a, b in zip(start, end, strict=True)])
    quiet = [any(_meets(top, base, part) for part in result.silent) for top, base in zip(tops, bases, strict=True)]
    kinds = [
        Column(kind, "", [_fits(*pair, *result.ranges[kind]) for pair in zip(least, most, quiet, strict=True)])
        for kind in (*COMPLETION_KINDS, "seal")
    ]
    return frame(
        (
            Column("top md", "length", tops),
            Column("base md", "length", bases),
            Column("interval", "", [_interval(result, top, base) for top, base in zip(tops, bases, strict=True)]),
            Column("least hole", "diameter", least),
            Column("greatest hole", "diameter", most),
            *kinds,
            Column("seat", "", [_seat(result, top, base) for top, base in zip(tops, bases, strict=True)]),
        ),
        style,
    )


def stretches_table(result: SuitabilityResult, style: Style) -> pd.DataFrame:
    """The same with steps that follow on one another and read alike as one row."""
    table = hole_table(result, style)
    top, base, _, least, most = table.columns[:5]
    words = table.drop(columns=[top, base, least, most])
    run = (words != words.shift()).any(axis=1).cumsum()
    ways = {name: "first" for name in table.columns} | {base: "last", least: "min", most: "max"}
    made = table.groupby(run, sort=False).agg(ways).reset_index(drop=True)
    made.attrs["quantities"] = table.attrs["quantities"]
    return made


def _meets(top: float, base: float, part: Stretch | Sand | Barrier) -> bool:
    return bool(part.top_md < base - 1e-6 and part.base_md > top + 1e-6)


def _fits(least: float, most: float, quiet: bool, low: float, high: float) -> str:
    """Whether a step of hole is inside a range; '-' where none is given."""
    if np.isnan(low) and np.isnan(high):
        return "-"
    if quiet:
        return "no caliper"
    words = [word for word, bad in (("narrow", least < low), ("wide", most > high)) if bad]
    return " and ".join(words) or "fits"


def _interval(result: SuitabilityResult, top: float, base: float) -> str:
    named = next((sand.name for sand in result.sands if _meets(top, base, sand)), "")
    return named or next((f"barrier {one.name}" for one in result.barriers if _meets(top, base, one)), "")


def _seat(result: SuitabilityResult, top: float, base: float) -> str:
    inside = any(p.top_md <= top + 1e-6 and base <= p.base_md + 1e-6 for seat in result.seats for p in seat.stretches)
    return "yes" if inside else "no"


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

"""Figures of money: where the difference in value comes from."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.decide.waterfall import Waterfall
from planner.report.frames import Style
from planner.report.look import GREEN, INK, QUIET, RUST, block, dressed

MOST_BARS = 14  # beyond them the smallest are put together
LARGE = 1e6


def waterfall_figure(found: Waterfall, style: Style) -> go.Figure:
    """From one what-if to the other, top-down: what adds goes right, what takes away goes left; the sum at the end."""
    steps = shortened(found)
    gain = found.second_value - found.first_value
    scale, unit = (1e6, style.million) if _largest(found) >= LARGE else (1.0, style.unit("money"))
    level, rows = 0.0, []
    for name, value in steps:
        rows.append((name, value, min(level, level + value)))
        level += value
    rows.append(("in all", gain, min(0.0, gain)))
    figure = go.Figure()
    for word, look, chosen in (
        ("adds", block(GREEN, "/"), [row for row in rows[:-1] if row[1] >= 0.0]),
        ("takes away", block(RUST, "x"), [row for row in rows[:-1] if row[1] < 0.0]),
        ("in all", block(INK, ""), rows[-1:]),
    ):
        figure.add_bar(
            y=[row[0] for row in chosen], x=[abs(row[1]) / scale for row in chosen],
            base=[row[2] / scale for row in chosen], orientation="h", name=word, marker=look,
            text=[f"{row[1] / scale:+,.3g}" for row in chosen], textposition="outside", constraintext="none",
            textfont={"size": 12}, cliponaxis=False,
        )  # fmt: skip
    ends = [0.0, gain, *(low for _, _, low in rows), *(low + abs(value) for _, value, low in rows)]
    room = 0.14 * (max(ends) - min(ends) or 1.0)
    title = f"What makes the difference: {found.second} against {found.first}"
    dressed(figure, title, height=130 + 26 * len(rows))
    figure.update_xaxes(
        title=f"net present value against {found.first} ({unit})", zeroline=True, zerolinecolor=QUIET,
        range=[(min(ends) - room) / scale, (max(ends) + room) / scale],
    )  # fmt: skip
    figure.update_yaxes(categoryorder="array", categoryarray=[row[0] for row in rows][::-1], automargin=True)
    figure.update_layout(hovermode="closest", barmode="overlay", margin_l=190)
    return figure


def shortened(found: Waterfall) -> list[tuple[str, float]]:
    """Bars by name, the smallest put together as 'the rest' where there are many, so that they still add up."""
    bars = [(bar_name(bar.cause, bar.zone), bar.value) for bar in found.bars]
    kept = sorted(bars, key=lambda bar: -abs(bar[1]))[:MOST_BARS]
    rest = found.second_value - found.first_value - sum(value for _, value in kept)
    steps = [bar for bar in bars if bar in kept]
    return [*steps, ("the rest", rest)] if len(bars) > len(kept) else steps


def bar_name(cause: str, zone: str) -> str:
    """'oil, Umber'."""
    return f"{cause}, {zone}" if zone else cause


def _largest(found: Waterfall) -> float:
    return max(abs(found.first_value), abs(found.second_value), *(abs(bar.value) for bar in found.bars), 0.0)

"""Figures of money: where the difference in value comes from."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.decide.waterfall import Waterfall
from planner.report.frames import Style
from planner.report.look import GREEN, INK, RUST, WHITE, block, dressed

MOST_BARS = 14  # beyond them the smallest are put together
LARGE = 1e6


def waterfall_figure(found: Waterfall, style: Style) -> go.Figure:
    """From one value to the other: what adds goes up, what takes away goes down; named on the axis."""
    steps = shortened(found)
    scale, unit = (1e6, style.million) if _largest(found) >= LARGE else (1.0, style.unit("money"))
    labels = [found.first, *(name for name, _ in steps), found.second]
    values = [found.first_value, *(value for _, value in steps), found.second_value]
    figure = go.Figure()
    level = 0.0
    bases, heights, colours, patterns = [], [], [], []
    for index, value in enumerate(values):
        end = index in (0, len(values) - 1)
        bases.append(0.0 if end else min(level, level + value) / scale)
        heights.append(value / scale if end else abs(value) / scale)
        colours.append(INK if end else GREEN if value >= 0.0 else RUST)
        patterns.append("" if end else "+" if value >= 0.0 else "-")
        level = value if end else level + value
    figure.add_bar(
        x=labels, y=heights, base=bases, marker={**block(INK, ""), "color": colours, "pattern": _pattern(patterns)},
        text=[f"{value / scale:+,.3g}" if 0 < k < len(values) - 1 else f"{value / scale:,.4g}" for k, value in
              enumerate(values)],
        textposition="outside", cliponaxis=False, showlegend=False,
    )  # fmt: skip
    figure.update_yaxes(title=f"net present value ({unit})")
    figure.update_layout(hovermode="closest")
    return dressed(figure, f"What makes the difference: {found.second} against {found.first}", height=460)


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


def _pattern(shapes: list[str]) -> dict[str, object]:
    return {"shape": shapes, "fillmode": "overlay", "fgcolor": WHITE, "size": 7, "solidity": 0.25}

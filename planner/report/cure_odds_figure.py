"""Figure of the jobs over draws: P90 to P10, P50 and the mean of each."""

from __future__ import annotations

import plotly.graph_objects as go

from planner.model.cure_odds import CureOdds
from planner.report.frames import Style
from planner.report.look import INK, colour_of, dressed, faded

MOST = 10
LARGE = 1e6  # money above which it is shown in millions


def odds_figure(odds: CureOdds, style: Style) -> list[go.Figure]:
    """A line from P90 to P10 for each job with its P50 and its mean, best on top; none where there is no job."""
    shown = list(odds.jobs[:MOST])[::-1]
    if not shown:
        return []
    largest = max(max(abs(job.p90), abs(job.p10), abs(job.value)) for job in shown)
    scale, unit = (1e6, style.million) if largest >= LARGE else (1.0, style.unit("money"))
    figure = go.Figure()
    for number, job in enumerate(shown):
        figure.add_scatter(
            x=[job.p90 / scale, job.p10 / scale], y=[job.name, job.name], mode="lines", showlegend=number == 0,
            line={"width": 8, "color": faded(colour_of(0), 0.35)}, name="P90 to P10",
        )  # fmt: skip
    names = [job.name for job in shown]
    for label, values, symbol, place in (
        ("P50", [job.p50 for job in shown], "line-ns-open", 0),
        ("mean", [job.value for job in shown], "diamond", 1),
    ):
        figure.add_scatter(
            x=[value / scale for value in values], y=names, mode="markers", name=label,
            marker={"symbol": symbol, "size": 13, "color": colour_of(place), "line": {"width": 2}},
        )  # fmt: skip
    figure.add_vline(x=0.0, line={"color": INK, "width": 1})
    figure.update_xaxes(title=f"value against doing nothing ({unit})")
    figure.update_layout(hovermode="closest")
    return [dressed(figure, "What each job brings over the members", height=160 + 42 * len(shown))]

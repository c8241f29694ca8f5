"""Figures of an ensemble: fans over time, probability curves, tornado, what flips a decision, convergence."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import plotly.graph_objects as go

from planner.model.ensemble import Convergence, Duel, Ensemble, Fan, Flip, Input, Swing, VarianceShare
from planner.report.ensemble_tables import FEW, draw_text, in_style, name_of, title_of, unit_of
from planner.report.frames import Style, words
from planner.report.look import INK, QUIET, bar, colour_of, dressed, faded, line
from planner.uncertainty.statistics import good, quantity_of_figure

LOW_BAR, HIGH_BAR = 1, 2  # series of the look for the low and the high end


def fan_figure(fans: Sequence[Fan], style: Style) -> go.Figure:
    """P90 to P10 as a band and P50 as a line over time, for one column of one or several what-ifs."""
    figure = go.Figure()
    quantity = fans[0].quantity
    for number, fan in enumerate(fans):
        dates = fan.dates.astype("datetime64[D]").astype(str)
        low, mid, high = (in_style(values, quantity, style) for values in (fan.p90, fan.p50, fan.p10))
        colour = faded(colour_of(number), 0.18)
        edge = {"width": 1, "color": faded(colour_of(number), 0.6), "dash": "dot"}
        figure.add_scatter(x=dates, y=low, mode="lines", line=edge, name=f"{fan.what_if}: P90", showlegend=False)
        figure.add_scatter(x=dates, y=high, mode="lines", line=edge, fill="tonexty", fillcolor=colour,
                           name=f"{fan.what_if}: P90 to P10")  # fmt: skip
        figure.add_scatter(x=dates, y=mid, mode="lines", line=line(number), name=f"{fan.what_if}: P50")
    figure.update_yaxes(title=f"{words(fans[0].column)} ({unit_of(quantity, style)})")
    where = f", {fans[0].where}" if fans[0].where else ""
    return dressed(figure, f"{title_of(fans[0].column)} over time{where}: P90, P50, P10", 400)


def exceedance_figure(ensemble: Ensemble, figure: str, style: Style) -> go.Figure:
    """Probability of exceeding each value of a figure, a curve a what-if; P90 is where the curve stands at 90 %."""
    made = go.Figure()
    quantity = quantity_of_figure(figure)
    for number, what_if in enumerate(ensemble.what_ifs):
        values = np.sort(good(ensemble.figures[figure][:, number]))
        share = 100.0 * (1.0 - (np.arange(len(values)) + 0.5) / max(len(values), 1))
        shown = in_style(values, quantity, style)
        made.add_scatter(x=shown, y=share, mode="lines", name=what_if, line=line(number))
    for level in (90, 50, 10):
        made.add_hline(y=level, line={"width": 1, "dash": "dot", "color": QUIET}, annotation_text=f"P{level}")
    unit = unit_of(quantity, style)
    made.update_xaxes(title=f"{title_of(figure)}{f' ({unit})' if unit else ''}")
    made.update_yaxes(title="probability of more (%)", range=[0, 100])
    made = dressed(made, f"{title_of(figure)}: probability of more", 400)
    made.update_layout(hovermode="closest")
    return made


def tornado_figure(swings: Sequence[Swing], inputs: Sequence[Input], style: Style) -> go.Figure:
    """Bars from the figure at the low draw to that at the high draw of each input, widest on top."""
    shown = list(swings[:FEW])[::-1]
    quantity = quantity_of_figure(shown[0].figure)
    low = in_style((one.low for one in shown), quantity, style)
    high = in_style((one.high for one in shown), quantity, style)
    middle = float(np.mean(0.5 * (low + high)))
    names = [one.input for one in shown]
    made = go.Figure()
    for values, series, end in ((low, LOW_BAR, "low"), (high, HIGH_BAR, "high")):
        text = [draw_text(one.input, getattr(one, f"{end}_draw"), inputs, style) for one in shown]
        made.add_bar(
            y=names, x=values - middle, base=middle, orientation="h", name=f"{end} draw", text=text, marker=bar(series),
            textposition="outside", cliponaxis=False,
            hovertemplate="%{y}: %{text}<extra></extra>",
        )  # fmt: skip
    unit = unit_of(quantity, style)
    made.update_xaxes(title=f"{title_of(shown[0].figure)}{f' ({unit})' if unit else ''}")
    made = dressed(made, f"What moves {name_of(shown[0].figure)} of {shown[0].what_if}", 200 + 40 * len(shown))
    made.update_layout(barmode="overlay", hovermode="closest", margin_l=180)
    return made


def shares_figure(shares: Sequence[VarianceShare]) -> go.Figure:
    """Shares of the variance of one figure, with errors; by itself, and with all interplay where that is known."""
    shown = list(shares[:FEW])[::-1]
    made = go.Figure()
    names = [one.input for one in shown]
    kinds = [("first", "by itself")]
    if any(np.isfinite(one.total) for one in shown):
        kinds.append(("total", "with all interplay"))
    for number, (kind, label) in enumerate(kinds):
        values = [getattr(one, kind) for one in shown]
        errors = {"type": "data", "array": [getattr(one, f"{kind}_error") for one in shown]}
        made.add_bar(y=names, x=values, error_x=errors, orientation="h", name=label, marker=bar(number + 1))
    made.update_xaxes(title="share of the variance")
    made = dressed(made, f"Shares of the variance of {name_of(shown[0].figure)}", 200 + 40 * len(shown))
    made.update_layout(hovermode="closest", margin_l=180)
    return made


def duel_figure(duels: Sequence[Duel], style: Style) -> go.Figure:
    """Gain of each what-if over the other: P90 to P10 as a line, P50 as a mark, the probability of more as text."""
    made = go.Figure()
    quantity = duels[0].quantity
    names = [f"{one.one} against {one.other}" for one in duels][::-1]
    low, mid, high = (
        in_style((getattr(one, f"gain_{name}") for one in duels), quantity, style)[::-1]
        for name in ("p90", "p50", "p10")
    )
    text = [f"more in {one.probability:.0%} of the members" for one in duels][::-1]
    error = {"type": "data", "symmetric": False, "array": high - mid, "arrayminus": mid - low}
    made.add_scatter(x=mid, y=names, error_x=error, mode="markers+text", text=text, textposition="top center",
                     marker={"size": 10, "color": colour_of(2)}, name="P50, with P90 to P10")  # fmt: skip
    made.add_vline(x=0.0, line={"width": 1, "color": INK})
    unit = unit_of(quantity, style)
    made.update_xaxes(title=f"gain in {name_of(duels[0].figure)}{f' ({unit})' if unit else ''}")
    made = dressed(made, f"What-if against what-if: {name_of(duels[0].figure)}", 180 + 55 * len(duels))
    made.update_layout(hovermode="closest", margin_l=260)
    return made


def flips_figure(flips: Sequence[Flip], inputs: Sequence[Input], style: Style) -> go.Figure:
    """How often a what-if wins below and above the threshold of each input, the strongest on top."""
    shown = list(flips[:FEW])[::-1]
    names = [f"{one.input}, {draw_text(one.input, one.threshold, inputs, style)}" for one in shown]
    made = go.Figure()
    for number, (end, label) in enumerate((("wins_below", "below the threshold"), ("wins_above", "above it"))):
        values = [100.0 * getattr(one, end) for one in shown]
        made.add_bar(y=names, x=values, orientation="h", name=label, marker=bar(number + 1))
    made.update_xaxes(title="probability of more (%)", range=[0, 100])
    title = f"Where {shown[0].one} has more {name_of(shown[0].figure)} than {shown[0].other}"
    made = dressed(made, title, 200 + 45 * len(shown))
    made.update_layout(hovermode="closest", margin_l=260)
    return made


def convergence_figure(runs: Convergence, style: Style) -> go.Figure:
    """P90, P50 and P10 of the first n members, with their bands."""
    made = go.Figure()
    counts = runs.counts.tolist()
    for number, name in enumerate(("p90", "p50", "p10")):
        edges = in_style(getattr(runs, f"{name}_band").ravel(), runs.quantity, style).reshape(-1, 2)
        values = in_style(getattr(runs, name), runs.quantity, style)
        thin, ends = {"width": 0}, np.isfinite(edges).all(axis=1)
        at = runs.counts[ends].tolist()
        made.add_scatter(x=at, y=edges[ends, 0], mode="lines", line=thin, showlegend=False, hoverinfo="skip")
        made.add_scatter(x=at, y=edges[ends, 1], mode="lines", line=thin, fill="tonexty",
                         fillcolor=faded(colour_of(number), 0.15), name=f"90 % band of {name.upper()}")  # fmt: skip
        made.add_scatter(x=counts, y=values, mode="lines", line=line(number), name=name.upper())
    unit = unit_of(runs.quantity, style)
    made.update_xaxes(title="members", type="log")
    made.update_yaxes(title=f"{title_of(runs.figure)}{f' ({unit})' if unit else ''}")
    made = dressed(made, f"Convergence of {name_of(runs.figure)}, {runs.what_if}", 400)
    return made

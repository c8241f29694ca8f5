"""Figures of a match: fans over the data, parameters before and after, misfits, correlations, directions."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go

from planner.model.match import Match, MatchedSeries
from planner.report.frames import Style
from planner.report.look import BLUE, GREEN, INK, ORANGE, RUST, WHITE, bar, dressed, faded
from planner.report.match_tables import in_style, text_of

BEFORE, AFTER = ORANGE, BLUE


def series_figure(one: MatchedSeries, style: Style) -> go.Figure:
    """Measurements with their errors over the 90 % range of the members before (dotted edge) and after."""
    figure = go.Figure()
    order = np.argsort(one.dates, kind="stable")
    dates = one.dates[order].astype(str)

    def shown(name: str) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return np.asarray(in_style(getattr(one, name), one.quantity, style, name == "error"), dtype=np.float64)[order]

    for low, mid, high, colour, dash, word in (
        ("prior_low", "prior_mid", "prior_high", BEFORE, "dot", "before"),
        ("low", "mid", "high", AFTER, "solid", "after"),
    ):
        edge = {"width": 1, "color": faded(colour, 0.7), "dash": dash}
        figure.add_scatter(x=dates, y=shown(low), mode="lines", line=edge, showlegend=False, name=f"{word}: 5 %")
        figure.add_scatter(x=dates, y=shown(high), mode="lines", line=edge, fill="tonexty",
                           fillcolor=faded(colour, 0.15 if word == "before" else 0.3),
                           name=f"{word}: 5 to 95 % of the members")  # fmt: skip
        figure.add_scatter(x=dates, y=shown(mid), mode="lines", line={"color": colour, "dash": dash, "width": 2},
                           name=f"{word}: middle")  # fmt: skip
    figure.add_scatter(x=dates, y=shown("best"), mode="lines", line={"color": GREEN, "dash": "dash", "width": 2},
                       name="matched case")  # fmt: skip
    figure.add_scatter(x=dates, y=shown("measured"), mode="markers", name="measured, with one error",
                       error_y={"type": "data", "array": shown("error")},
                       marker={"color": INK, "size": 7, "symbol": "circle-open"})  # fmt: skip
    unit = style.unit(one.quantity)
    figure.update_yaxes(title=f"{one.kind} ({unit})" if unit else one.kind)
    where = f" of {one.zone}" if one.zone else ""
    return dressed(figure, f"{one.kind[:1].upper()}{one.kind[1:]}{where}: measured, before and after", 400)


def parameters_figure(found: Match, style: Style) -> go.Figure:
    """Each parameter's range before and after, on a scale from the low to the high end of its range before."""
    figure = go.Figure()
    shown = list(found.parameters)[::-1]
    names = [one.name for one in shown]
    for low, mid, high, colour, word, symbol in (
        ("prior_low", "prior_mid", "prior_high", BEFORE, "before", "line-ns-open"),
        ("low", "mid", "high", AFTER, "after", "circle"),
    ):
        at = [
            _places(one.prior_low, one.prior_high, [getattr(one, name) for name in (low, mid, high)]) for one in shown
        ]
        text = [f"{word}: {text_of(one, getattr(one, low), style)} to {text_of(one, getattr(one, high), style)}"
                for one in shown]  # fmt: skip
        figure.add_scatter(
            x=[place[1] for place in at], y=names, mode="markers", name=f"{word}: middle, 5 to 95 %", text=text,
            marker={"color": colour, "symbol": symbol, "size": 11},
            error_x={"type": "data", "symmetric": False, "array": [place[2] - place[1] for place in at],
                     "arrayminus": [place[1] - place[0] for place in at], "thickness": 3 if word == "after" else 1.5},
            hovertemplate="%{y}, %{text}<extra></extra>",
        )  # fmt: skip
    best = [_places(one.prior_low, one.prior_high, [one.best])[0] for one in shown]
    figure.add_scatter(x=best, y=names, mode="markers", name="matched case",
                       marker={"color": GREEN, "symbol": "x", "size": 9},
                       text=[text_of(one, one.best, style) for one in shown],
                       hovertemplate="%{y}, matched case: %{text}<extra></extra>")  # fmt: skip
    figure.update_xaxes(title="place in the range before (0: its 5 %, 1: its 95 %)")
    made = dressed(figure, "Parameters before and after", 220 + 45 * len(shown))
    made.update_layout(hovermode="closest", margin_l=180)
    return made


def _places(low: float, high: float, values: list[float]) -> list[float]:
    """Places of values between two ends; by logarithms where the ends are of one sign and far apart."""
    if low > 0.0 and high / low > 5.0:
        return [float((np.log(max(one, 1e-300)) - np.log(low)) / np.log(high / low)) for one in values]
    return [(one - low) / (high - low) if high > low else 0.5 for one in values]


def misfit_figure(found: Match) -> go.Figure:
    """Misfit by kind and place, before and after, on a logarithmic axis; 1: as large as the errors."""
    figure = go.Figure()
    names = [one.kind + (f" of {one.zone}" if one.zone else "") for one in found.misfits]
    for number, (part, word) in enumerate((("before", "before"), ("after", "after"), ("best", "matched case"))):
        values = [max(getattr(one, part), 1e-3) for one in found.misfits]
        figure.add_bar(x=names, y=values, name=word, marker=bar(number))
    figure.add_hline(y=1.0, line={"width": 1.5, "dash": "dash", "color": INK}, annotation_text="errors")
    figure.update_yaxes(title="mean square of (forecast - measured) / error", type="log")
    return dressed(figure, "Misfit", 400)


def correlation_figure(found: Match) -> go.Figure:
    """Correlation of the parameters after matching, with the numbers written in."""
    names = [one.name for one in found.parameters]
    values = found.correlation
    text = [[f"{value:+.2f}" for value in row] for row in values]
    figure = go.Figure(
        go.Heatmap(z=values, x=names, y=names, zmin=-1, zmax=1, text=text, texttemplate="%{text}",
                   colorscale=[[0.0, RUST], [0.5, WHITE], [1.0, BLUE]], colorbar={"title": "correlation"})
    )  # fmt: skip
    made = dressed(figure, "Which parameters move together after matching", 260 + 40 * len(names))
    made.update_layout(hovermode="closest", margin_l=180)
    return made


def directions_figure(found: Match) -> go.Figure:
    """How strongly the data see each combination of parameters; below 1 the prior says more."""
    figure = go.Figure()
    labels, values = [], []
    for number, one in enumerate(found.directions, start=1):
        parts = sorted(one.parts.items(), key=lambda part: -abs(part[1]))[:3]
        words = ", ".join(f"{share:+.2f} {name}" for name, share in parts if abs(share) > 0.15)
        labels.append(f"{number}: {words}")
        values.append(max(one.size, 1e-3))
    figure.add_bar(x=values[::-1], y=labels[::-1], orientation="h", marker=bar(2), name="strength")
    figure.add_vline(x=1.0, line={"width": 1.5, "dash": "dash", "color": INK}, annotation_text="as much as the prior")
    figure.update_xaxes(title="singular value of the scaled sensitivity", type="log")
    made = dressed(figure, "What the data see", 200 + 40 * len(labels))
    made.update_layout(hovermode="closest", margin_l=320)
    return made

"""Charts along depth: the string at one instant, the tubing above it, and the margin to limits over time.

Which panels and lines there are comes from planner.model.along_depth; here they get the look of the page. Lines are
told apart by their dash; the key of each panel is in its title. A second profile (the base) is drawn thin behind.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from dashboard.figures.frame import dates, figure, title_of
from dashboard.measure import System, in_percent, shown, unit
from dashboard.theme import COLOURS, ZONE_DASHES, Theme
from planner.model.along_depth import (
    DEPTHS,
    GLYPHS,
    Depth,
    Line,
    Panel,
    axis_range,
    panels,
    piece_depths,
    points,
    tubing_panels,
    tubing_points,
)
from planner.model.results import Floats, FlowProfile, Forecast

Json = dict[str, Any]
Points = Callable[[Panel, Line], tuple[Floats, Floats]]

GAP = 0.025  # between panels, share of the width
INKS = {
    "plain": "ink", "limit a": "ink", "limit b": "water", "limit c": "gas", "limit d": "warn", "limit e": "oil",
    "limit f": "pressure",
}  # fmt: skip


def along_string(
    profile: FlowProfile,
    system: System,
    theme: Theme,
    *,
    depth: Depth = "md",
    wanted: Iterable[str] | None = None,
    base: FlowProfile | None = None,
) -> Json:
    """The string at an instant, panels side by side on one depth axis; `base` thin behind.

    wanted: names of panels, see panel_names; none: all that hold something.
    """
    chosen = panels(profile, None if wanted is None else set(wanted))
    drawn = _traces(chosen, lambda panel, line: points(profile, panel, line, depth), system, theme)
    if base is not None:
        behind = [panel for panel in chosen if all(line.column in base.piece for line in panel.lines)]
        drawn = _traces(behind, lambda panel, line: points(base, panel, line, depth), system, theme, True) + drawn
    layout = _layout(chosen, drawn, system, theme, depth)
    layout["shapes"] += _zone_bands(profile, system, theme, depth)
    return figure(theme, _placed(drawn, chosen), **layout)


def up_the_tubing(
    profile: FlowProfile, system: System, theme: Theme, *, depth: Depth = "md", wanted: Iterable[str] | None = None
) -> Json | None:
    """From the wellhead down the tubing at an instant; None where the profile has none."""
    tubing = profile.tubing
    if tubing is None:
        return None
    chosen = tubing_panels(tubing, None if wanted is None else set(wanted))
    drawn = _traces(chosen, lambda panel, line: tubing_points(tubing, line, depth), system, theme)
    return figure(theme, _placed(drawn, chosen), **_layout(chosen, drawn, system, theme, depth))


def panel_names(profile: FlowProfile) -> list[str]:
    """Names of the panels that hold something along the string, for a choice of them."""
    return [panel.name for panel in panels(profile)]


def margins(forecast: Forecast, system: System, theme: Theme) -> Json:
    """Margin to limits over time in percent of each, those broken or nearest of their kind; 0 is the limit."""
    c = COLOURS[theme]
    seen: set[str] = set()
    traces = []
    for one in forecast.limit_series:  # worst first
        if one.name in seen and not one.crossed.any():
            continue
        seen.add(one.name)
        label = unit(one.quantity, system)
        told = one.name if one.at else f"{one.name}, {one.where}"
        numbers = np.column_stack([shown(values, one.quantity, system) for values in (one.value, one.limit)])
        traces.append({
            "type": "scatter", "mode": "lines", "name": told, "x": dates(forecast),
            "y": _plain(np.clip(100.0 * one.margin, -100.0, 100.0)),
            "customdata": [[_short(x) for x in row] for row in numbers],
            "line": {
                "color": c["warn"] if one.crossed.any() else c["ink"], "width": 2.4 if one.crossed.any() else 1.4,
                "dash": ZONE_DASHES[len(traces) % len(ZONE_DASHES)],
            },
            "hovertemplate": f"%{{customdata[0]:.4~r}} of %{{customdata[1]:.4~r}} {label}<extra>{told}</extra>",
        })  # fmt: skip
    zero = {
        "type": "line",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "y0": 0,
        "y1": 0,
        "line": {"color": c["warn"], "width": 1},
    }
    return figure(
        theme, traces, shapes=[zero], yaxis={"range": [-105, 105], "title": {"text": "margin, %"}}, showlegend=True
    )


def _traces(
    chosen: Sequence[Panel], at: Points, system: System, theme: Theme, behind: bool = False
) -> list[tuple[str, Json]]:
    """(Panel, trace) of every line."""
    c = COLOURS[theme]
    found = []
    for panel in chosen:
        label = unit(panel.quantity, system)
        for line in panel.lines:
            values, depths = at(panel, line)
            x = _plain(in_percent(shown(values, panel.quantity, system), panel.quantity))
            colour = c["base"] if behind else c[INKS.get(line.role, line.role)]
            name = f"{line.label}, base" if behind else line.label
            found.append((panel.name, {
                "type": "scatter", "mode": "lines", "name": name, "x": x, "y": _plain(shown(depths, "length", system)),
                "line": {"color": colour, "dash": line.dash, "width": 1.1 if behind else 2.2},
                "hovertemplate": f"%{{x:,.4~r}} {label} at %{{y:,.0f}}<extra>{panel.title}: {name}</extra>",
                "showlegend": False,
            }))  # fmt: skip
    return found


def _placed(drawn: Sequence[tuple[str, Json]], chosen: Sequence[Panel]) -> list[Json]:
    """Traces with the axis of their panel."""
    axis = {panel.name: "x" if k == 0 else f"x{k + 1}" for k, panel in enumerate(chosen)}
    return [{**trace, "xaxis": axis[name], "yaxis": "y"} for name, trace in drawn]


def _layout(
    chosen: Sequence[Panel], drawn: Sequence[tuple[str, Json]], system: System, theme: Theme, depth: Depth
) -> Json:
    """Panels side by side with one depth axis that goes down, each under its title and key."""
    count = max(len(chosen), 1)
    width = (1.0 - GAP * (count - 1)) / count
    c = COLOURS[theme]
    layout: Json = {
        "yaxis": {"autorange": "reversed", "title": {"text": title_of(DEPTHS[depth].capitalize(), "length", system)},
                  "rangemode": "normal", "showgrid": True},
        "hovermode": "closest", "showlegend": False, "shapes": [], "annotations": [],
        "margin": {"l": 64, "r": 12, "t": 46 + 16 * max((len(panel.lines) for panel in chosen), default=1), "b": 30},
    }  # fmt: skip
    for k, panel in enumerate(chosen):
        left = k * (width + GAP)
        found = np.array([x for name, trace in drawn if name == panel.name for x in trace["x"]], dtype=float)
        layout["xaxis" if k == 0 else f"xaxis{k + 1}"] = {
            "domain": [left, left + width], "anchor": "y", "nticks": 4, "tickformat": ",.4~r", "tickangle": 0,
            "showgrid": True, "zeroline": True, "zerolinecolor": c["warn"] if panel.name == "margin" else c["line"],
            "range": axis_range(found, panel),
        }  # fmt: skip
        keys = [
            f'<span style="color:{c[INKS.get(line.role, line.role)]}">{GLYPHS[line.dash]}</span> {line.label}'
            for line in panel.lines if len(panel.lines) > 1
        ]  # fmt: skip
        layout["annotations"].append({
            "text": "<br>".join([f"<b>{panel.title}</b>", unit(panel.quantity, system), *keys]), "xref": "paper",
            "yref": "paper", "x": left, "y": 1.0, "xanchor": "left", "yanchor": "bottom", "align": "left",
            "showarrow": False, "font": {"size": 12},
        })  # fmt: skip
    return layout


def _zone_bands(profile: FlowProfile, system: System, theme: Theme, depth: Depth) -> list[Json]:
    """Every second zone shaded over the whole width."""
    tops, bases = piece_depths(profile.description.pieces, depth)
    found = []
    for zone in profile.description.zones[::2]:
        own = [k for k, piece in enumerate(profile.description.pieces) if piece.zone == zone.name]
        if own:
            y0, y1 = (float(shown(value, "length", system)) for value in (tops[own].min(), bases[own].max()))
            found.append({
                "type": "rect", "xref": "paper", "x0": 0, "x1": 1, "y0": y0, "y1": y1, "layer": "below",
                "fillcolor": COLOURS[theme]["line"], "opacity": 0.35, "line": {"width": 0}, "name": zone.name,
            })  # fmt: skip
    return found


def _plain(values: Floats) -> list[float | None]:
    """Numbers for JSON; gaps where there is none."""
    return [_short(x) for x in np.asarray(values, dtype=float)]


def _short(x: float) -> float | None:
    return float(f"{x:.6g}") if np.isfinite(x) else None

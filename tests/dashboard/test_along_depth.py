"""Charts along depth for the screens: plotly takes them, numbers and depths are the profile's own."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import plotly.graph_objects as go
import pytest

from dashboard.figures import along_depth
from planner.model.along_depth import at_date
from planner.model.results import FlowProfile, Forecast, LimitSeries, TubingProfile

DAY = 86_400.0


@pytest.fixture
def profile(base: Forecast) -> FlowProfile:
    """The invented forecast after ten years, with inflow per length, a margin and a tubing of three nodes."""
    found = at_date(base, 120)
    lengths = np.array([piece.base_md - piece.top_md for piece in found.description.pieces])
    rate = np.linspace(2.0, 1.0, len(lengths)) / DAY
    piece = {
        "oil_inflow_per_length": rate / lengths, "water_inflow_per_length": 0.5 * rate / lengths,
        "pressure": np.linspace(1.8e7, 1.9e7, len(lengths)), "drawdown_margin": np.full(len(lengths), 0.25),
    }  # fmt: skip
    tubing = TubingProfile(
        {"md": np.array([0.0, 1000.0, 2400.0]), "tvd": np.array([0.0, 1000.0, 2000.0]),
         "pressure": np.array([2e6, 8e6, 1.8e7]), "temperature": np.array([300.0, 330.0, 363.15])},
        ("slug", "slug", "bubble"), "gray 1974", 2e6, 1.8e7, 1.8e7,
    )  # fmt: skip
    return replace(found, piece=piece, tubing=tubing)


def trace(chart: dict, name: str) -> dict:
    return next(one for one in chart["data"] if one["name"] == name)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("system", ["field", "metric"])
@pytest.mark.parametrize("depth", ["md", "tvd"])
def test_plotly_accepts_every_chart(profile: FlowProfile, base: Forecast, theme, system, depth) -> None:
    chart = along_depth.along_string(profile, system, theme, depth=depth, base=profile)
    assert len(go.Figure(chart).data) == 2 * 4
    assert len(go.Figure(along_depth.up_the_tubing(profile, system, theme, depth=depth)).data) == 2
    assert go.Figure(along_depth.margins(base, system, theme)).layout.shapes


def test_inflow_is_a_step_over_each_piece_in_shown_units(profile: FlowProfile) -> None:
    steps = trace(along_depth.along_string(profile, "field", "light"), "oil")
    first = profile.description.pieces[0]
    assert steps["y"][:2] == pytest.approx([first.top_md / 0.3048, first.base_md / 0.3048], rel=1e-5)
    metre = 2.0 / (first.base_md - first.top_md)  # m3/d/m
    assert steps["x"][0] == pytest.approx(metre / 0.158987294928 * 0.3048, rel=1e-5)


def test_depth_goes_down_and_panels_stand_side_by_side(profile: FlowProfile) -> None:
    layout = along_depth.along_string(profile, "metric", "light")["layout"]
    assert layout["yaxis"]["autorange"] == "reversed"
    domains = [layout[axis]["domain"] for axis in ("xaxis", "xaxis2", "xaxis3")]
    assert all(a[1] < b[0] for a, b in pairwise(domains))
    names = along_depth.panel_names(profile)
    assert names == ["pressure", "inflow", "margin"]
    one = along_depth.along_string(profile, "metric", "light", wanted=["inflow"])
    assert {line["name"] for line in one["data"]} == {"oil", "water"}


def test_margin_in_percent_and_zones_shaded(profile: FlowProfile) -> None:
    chart = along_depth.along_string(profile, "metric", "light")
    assert trace(chart, "sand drawdown")["x"][0] == pytest.approx(25.0)
    assert [shape["name"] for shape in chart["layout"]["shapes"]] == ["Amber", "Cedar", "Elder"]


def test_the_base_lies_thin_behind_the_what_if(profile: FlowProfile) -> None:
    lines = along_depth.along_string(profile, "metric", "light", base=profile)["data"]
    assert [one["name"].endswith(", base") for one in lines] == [True] * 4 + [False] * 4
    assert max(one["line"]["width"] for one in lines[:4]) < min(one["line"]["width"] for one in lines[4:])


def test_the_tubing_is_drawn_where_there_is_one(profile: FlowProfile) -> None:
    chart = along_depth.up_the_tubing(profile, "metric", "light")
    assert chart is not None and trace(chart, "pressure")["x"] == pytest.approx([20.0, 80.0, 180.0])
    assert trace(chart, "fluid")["x"][-1] == pytest.approx(90.0)
    assert along_depth.up_the_tubing(replace(profile, tubing=None), "metric", "light") is None


def test_margins_over_time_show_the_broken_and_the_nearest(base: Forecast) -> None:
    count = len(base.days)
    series = (
        LimitSeries("sand", "Birch", "pressure", np.linspace(1e6, 4e6, count), np.full(count, 2e6)),
        LimitSeries("sand", "Amber", "pressure", np.full(count, 1e6), np.full(count, 2e6)),
        LimitSeries("screens", "string", "velocity", np.full(count, 1.0), np.full(count, 4.0), False, ("s",) * count),
    )
    chart = along_depth.margins(replace(base, limit_series=series), "metric", "light")
    assert [one["name"] for one in chart["data"]] == ["sand, Birch", "screens"]
    assert chart["data"][0]["y"][-1] == pytest.approx(-100.0) and chart["data"][1]["y"][0] == pytest.approx(75.0)
    assert chart["data"][0]["line"]["width"] > chart["data"][1]["line"]["width"]

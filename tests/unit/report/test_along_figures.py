"""Views along depth and what-ifs side by side: the numbers of the result, depth downwards, no reliance on colour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.model.along_depth import STRING, at_date, panels, points
from planner.report.along_figures import profile_figure, tubing_figure
from planner.report.limit_figures import MARK, margins_figure, marked, nearest_series, what_ifs_figure
from planner.report.tables import style_for
from tests.unit.synthetic import made_flow, made_forecast, made_tubing

METRIC, FIELD = style_for("metric", "EUR"), style_for("field")


def trace(figure, name):
    return next(one for one in figure.data if one.name == name)


def test_depth_increases_downwards_and_is_shared():
    figure = profile_figure(made_flow(), METRIC)
    assert figure.layout.yaxis.autorange == "reversed"
    assert figure.layout.yaxis.title.text == "measured depth (m)"
    assert all(axis.matches in (None, "y") for axis in figure.select_yaxes(row=1))


def test_inflow_per_length_is_a_step_from_top_to_base_of_each_piece():
    """Screen 1 from 990 to 1010 m gives 30 m3/d over its 20 m: 1.5 m3/d/m, in field units per foot."""
    steps = trace(profile_figure(made_flow(), METRIC), "inflow: oil")
    assert list(steps.y[2:4]) == [990.0, 1010.0]
    assert list(steps.x[2:4]) == pytest.approx([1.5, 1.5])
    field = trace(profile_figure(made_flow(), FIELD), "inflow: oil")
    assert field.x[2] == pytest.approx(1.5 / 0.158987294928 * 0.3048)
    assert field.y[2] == pytest.approx(990.0 / 0.3048)


def test_lines_of_a_panel_differ_in_dash():
    for panel in STRING:
        assert len({line.dash for line in panel.lines}) == len(panel.lines), panel.name


def test_only_panels_that_hold_something_are_drawn():
    names = [panel.name for panel in panels(made_flow())]
    assert names == ["pressure", "inflow", "rate", "margin"]
    assert [panel.name for panel in panels(made_flow(), {"inflow"})] == ["inflow"]
    gone = replace(made_flow(), piece={"oil_inflow_per_length": np.zeros(5)})
    assert panels(gone) == ()


def test_true_vertical_depth_is_used_where_asked_for():
    pieces = tuple(replace(p, top_tvd=0.9 * p.top_md, base_tvd=0.9 * p.base_md) for p in made_flow().description.pieces)
    flow = replace(made_flow(), description=replace(made_flow().description, pieces=pieces))
    panel = next(panel for panel in panels(flow) if panel.name == "inflow")
    assert points(flow, panel, panel.lines[0], "tvd")[1][:2] == pytest.approx([0.9 * 985.0, 0.9 * 990.0])
    buttons = profile_figure(flow, METRIC).layout.updatemenus[0].buttons
    assert [button.label for button in buttons] == ["measured depth", "true vertical depth"]
    assert not profile_figure(made_flow(), METRIC).layout.updatemenus


def test_the_margin_panel_has_a_line_at_the_limit():
    figure = profile_figure(made_flow(), METRIC)
    margin = trace(figure, "margin to limits: sand drawdown")
    assert margin.x[2] == pytest.approx(-1 / 3)
    assert any(shape.type == "line" and shape.x0 == 0.0 for shape in figure.layout.shapes)


def test_the_tubing_goes_on_into_the_string():
    flow = replace(made_flow(), tubing=made_tubing())
    figure = tubing_figure(flow, METRIC)
    assert list(trace(figure, "pressure: pressure").x) == pytest.approx([10.0, 30.0, 60.0])
    assert list(trace(figure, "pressure: in the string").y[:1]) == pytest.approx([987.5])
    assert list(trace(figure, "temperature: fluid").x) == pytest.approx([26.85, 46.85, 60.0])
    assert tubing_figure(made_flow(), METRIC) is None


def test_a_report_date_of_a_forecast_is_a_profile_with_its_own_limits():
    forecast = made_forecast()
    first, last = at_date(forecast, 0), at_date(forecast, -1)
    assert [one.broken for one in first.limits] == [False, False]
    assert [one.broken for one in last.limits] == [True, False]
    assert last.date == "2032-01-01" and last.limits[0].worst == 4e6
    assert last.zone["oil_rate"].shape == (2,) and last.piece["pressure"].shape == (5,)


def test_few_what_ifs_lie_over_one_another_and_are_marked():
    kept = replace(made_forecast("kept"), limits=())
    figure = what_ifs_figure((made_forecast(), kept), "oil_rate", METRIC, "Rate")
    assert [one.name for one in figure.data] == [f"{MARK} base (1 limit broken)", "kept"]


def test_many_what_ifs_have_a_small_chart_each_with_the_base():
    others = [made_forecast(f"what-if {k}", "lower" if k % 2 else "") for k in range(7)]
    figure = what_ifs_figure((made_forecast(), *others), "oil_rate", METRIC, "Rate")
    assert len(figure.data) == 14
    assert [note.text for note in figure.layout.annotations][3] == f"{MARK} what-if 3 (1 limit broken)"
    assert figure.data[3].y[-1] == pytest.approx(30.0) and figure.data[2].y[-1] == pytest.approx(40.0)
    assert {one.line.dash for one in figure.data} == {"dash", "solid"}
    assert {one.xaxis for one in figure.data} == {"x", *(f"x{k}" for k in range(2, 8))}


def test_margins_over_time_go_below_nought_where_a_limit_is_broken():
    figure = margins_figure(made_forecast(), METRIC)
    assert [one.name for one in figure.data] == [f"{MARK} sand drawdown, upper"]  # the lower zone is further away
    assert figure.data[0].y[-1] == pytest.approx(-1 / 3)
    assert [one.where for one in nearest_series(made_forecast())] == ["upper"]
    assert margins_figure(replace(made_forecast(), limit_series=()), METRIC) is None


def test_the_mark_counts_limits_by_name():
    assert marked(made_forecast()) == f"{MARK} base (1 limit broken)"
    assert marked(replace(made_forecast(), limits=())) == "base"

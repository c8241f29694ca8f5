"""Figures hold the numbers of the result, in the shown unit, and can be told apart without colour."""

from __future__ import annotations

import pytest

from planner.decide.compare import Ran, comparison_of
from planner.report import depth_figures, figures
from planner.report.look import DASHES, SERIES, line
from planner.report.tables import style_for
from tests.unit.synthetic import made_case, made_description, made_forecast, shut_lower

METRIC, FIELD = style_for("metric", "EUR"), style_for("field")


@pytest.fixture
def comparison():
    ran = [Ran(None, made_forecast()), Ran(shut_lower(), made_forecast("shut lower", "lower"))]
    return comparison_of(made_case(), ran)


def test_rates_show_each_phase_with_its_own_line_style():
    figure = figures.rates_figure(made_forecast(), METRIC)
    by_name = {trace.name: trace for trace in figure.data}
    assert set(by_name) == {"oil", "water", "gas"}
    assert by_name["oil"].y[0] == pytest.approx(40.0)
    assert len({trace.line.dash for trace in figure.data}) == 3
    titles = [axis.title.text for axis in (figure.layout.yaxis, figure.layout.yaxis2)]
    assert titles == ["oil and water rate (m3/d)", "gas rate (1000 m3/d)"]


def test_cumulative_volumes():
    figure = figures.cumulative_figure(made_forecast(), METRIC)
    assert {trace.name: trace.y[-1] for trace in figure.data}["oil"] == pytest.approx(29.2)


def test_pressure_has_the_bottom_hole_and_every_zone():
    figure = figures.pressure_figure(made_forecast(), METRIC)
    assert [trace.name for trace in figure.data] == ["bottom hole", "upper", "lower"]
    assert figure.data[0].y[0] == pytest.approx(60.0)


def test_zone_stack_adds_up_to_the_well():
    forecast = made_forecast(shut="lower")
    figure = figures.zone_stack_figure(forecast, "oil_rate", METRIC)
    total = sum(trace.y for trace in figure.data)
    assert total == pytest.approx(METRIC.value(forecast.well["oil_rate"], "liquid rate"))
    assert all(trace.stackgroup == "gives" for trace in figure.data)


def test_crossflow_into_a_zone_is_stacked_below_nought():
    forecast = made_forecast()
    forecast.zone["oil_rate"][:, 1] *= -1.0
    figure = figures.zone_stack_figure(forecast, "oil_rate", METRIC)
    takes = [trace for trace in figure.data if trace.stackgroup == "takes"]
    assert len(takes) == 1 and (takes[0].y < 0.0).all() and not takes[0].showlegend


def test_recovery_by_zone_has_a_bar_each(comparison):
    figure = figures.recovery_figure(comparison, METRIC)
    assert [trace.name for trace in figure.data] == ["base", "shut lower"]
    assert list(figure.data[1].y) == pytest.approx([0.1095, 0.0365])
    assert figure.data[0].marker.pattern.shape != figure.data[1].marker.pattern.shape


def test_cash_against_base_ends_at_the_difference(comparison):
    figure = figures.cash_figure(comparison, METRIC)
    assert figure.data[0].y[-1] == pytest.approx((365 * 10 * (10.0 - 400.0) - 500_000.0) / 1e6)
    assert "million EUR" in figure.layout.yaxis.title.text


def test_several_forecasts_on_one_pair_of_axes():
    runs = (made_forecast(), made_forecast("shut lower", "lower"))
    figure = figures.column_figure(runs, "oil_rate", FIELD, "Rate by what-if")
    assert [trace.name for trace in figure.data] == ["base", "shut lower"]
    assert figure.data[1].y[-1] == pytest.approx(30.0 / 0.158987294928)


def test_depth_increases_downwards_in_the_sketch():
    figure = depth_figures.sketch_figure(made_description(), METRIC)
    assert figure.layout.yaxis.autorange == "reversed"
    assert "measured depth (m)" in figure.layout.yaxis.title.text


def test_the_sketch_has_a_block_for_every_layer_element_and_zone():
    figure = depth_figures.sketch_figure(made_description(), METRIC)
    blocks = [(trace.x[0], trace.base[0], trace.base[0] + trace.y[0]) for trace in figure.data if trace.base]
    assert ("zones", 990.0, 1020.0) in blocks and ("layers", 1000.0, 1010.0) in blocks
    assert ("string", 1020.0, 1023.0) in blocks
    assert len(blocks) == 2 + 5 + 2


def test_no_two_of_the_first_forty_lines_look_alike():
    looks = {(line(i)["color"], line(i)["dash"]) for i in range(len(SERIES) * len(DASHES))}
    assert len(looks) == 42

"""Tables along the string, up the tubing and of limits over time: made-up numbers in, the same numbers out."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import numpy as np
import pytest
from rich.console import Console

from planner.decide.compare import Ran, comparison_of
from planner.report import along_tables, documents, terminal
from planner.report.comparison_tables import limits_in_short
from planner.report.tables import keys_for, limits_table, profile_table, style_for
from tests.unit.synthetic import made_case, made_flow, made_forecast, made_tubing, shut_lower

METRIC = style_for("metric")


def test_profile_carries_both_depths_and_inflow_per_length():
    table = profile_table(made_flow(), keys_for("metric"))
    assert {"top_md_m", "top_tvd_m", "base_tvd_m", "oil_inflow_per_length_m3_per_d_per_m"} <= set(table.columns)
    assert table["oil_inflow_per_length_m3_per_d_per_m"][1] == pytest.approx(1.5)


def test_pieces_over_time_have_a_row_each():
    forecast = made_forecast()
    table = along_tables.piece_table(forecast, keys_for("metric"))
    assert len(table) == 5 * len(forecast.days)
    assert table["pressure_bar"].eq(60.0).all() and table["element"][1] == "screen 1"


def test_limits_over_time_say_when_they_are_broken():
    table = along_tables.limit_table(made_forecast(), keys_for("metric"))
    upper = table[table["where"] == "upper"].set_index("date")
    assert not upper["broken"]["2030-01-01"] and upper["broken"]["2030-04-01"]
    assert upper["margin"]["2032-01-01"] == pytest.approx(-1 / 3)
    assert set(table["unit"]) == {"bar"} and upper["value"]["2032-01-01"] == pytest.approx(40.0)


def test_the_nearest_limit_of_every_piece():
    flow = made_flow()
    columns = {**flow.piece, "screen_margin": np.array([np.nan, 0.5, np.nan, np.nan, 0.1])}
    margin, names = along_tables.nearest_limit(columns)
    assert names == ["", "sand drawdown", "", "", "screen flux"]
    assert margin[1] == pytest.approx(-1 / 3) and margin[4] == pytest.approx(0.1) and np.isnan(margin[0])
    assert along_tables.nearest_limit({}) == (pytest.approx([]), [])


def test_long_strings_are_put_together_by_element():
    flow = made_flow()
    pieces = tuple(replace(p, element=f"part {k // 2}", kind="screen") for k, p in enumerate(flow.description.pieces))
    whole, columns = along_tables.by_element(pieces, flow.piece)
    assert [(p.top_md, p.base_md) for p in whole] == [(985.0, 1010.0), (1010.0, 1023.0), (1023.0, 1045.0)]
    assert columns["oil_inflow"] * 86400.0 == pytest.approx([30.0, 0.0, 10.0])
    assert columns["oil_inflow_per_length"] * 86400.0 == pytest.approx([30.0 / 25.0, 0.0, 10.0 / 22.0])
    assert columns["oil_rate"] * 86400.0 == pytest.approx([40.0, 10.0, 10.0])  # at the top of each
    assert columns["drawdown_margin"][0] == pytest.approx(-1 / 3)


def test_flow_on_the_terminal_shows_string_tubing_and_limits():
    console = Console(width=110, record=True, file=io.StringIO())
    terminal.show_flow(console, replace(made_flow(), tubing=made_tubing()), METRIC, "tvd")
    text = console.export_text()
    for words in ("top tvd", "sand drawdown", "Up the tubing (drift flux 2005)", "Made up.", "slug", "margin"):
        assert words in text


def test_flow_document_holds_the_tubing():
    found = json.loads(documents.to_json(documents.flow_document(replace(made_flow(), tubing=made_tubing()), "metric")))
    assert found["tubing"]["wellhead_pressure_bar"] == pytest.approx(10.0)
    assert found["tubing"]["nodes"][2]["temperature_degC"] == pytest.approx(60.0)
    assert found["tubing"]["nodes"][0]["flow_pattern"] == "slug"
    assert json.loads(documents.to_json(documents.flow_document(made_flow(), "metric")))["tubing"] is None


def test_forecast_document_holds_limits_over_time():
    found = json.loads(documents.to_json(documents.forecast_document(made_forecast(), "metric")))
    upper = found["limits_over_time"][0]
    assert len(upper["margin"]) == len(found["dates"])
    assert upper["broken"][0] is False and upper["broken"][-1] is True and upper["value_bar"][-1] == pytest.approx(40.0)


def test_a_what_if_that_breaks_a_limit_is_marked():
    kept = replace(made_forecast("shut lower", "lower"), limits=made_forecast().limits[1:])
    comparison = comparison_of(made_case(), [Ran(None, made_forecast()), Ran(shut_lower(), kept)])
    assert limits_in_short(comparison) == ["1 broken", "kept"]
    found = json.loads(documents.to_json(documents.comparison_document(comparison, "metric")))
    assert found["base"]["breaks_limits"] is True and found["base"]["limits_broken"] == ["sand drawdown"]
    assert found["what_ifs"][0]["breaks_limits"] is False and found["what_ifs"][0]["limits_broken"] == []


def test_a_lower_limit_says_at_least():
    check = replace(made_forecast().limits[0], lower=True, worst=2e6)
    table = limits_table([check], made_forecast().dates[0], METRIC)
    assert table["allowed"][0] == "at least 30" and table["margin (fraction)"][0] == pytest.approx(-1 / 3)
    assert table["worst on"][0] == "2030-07-20"  # 200 days after 1 January 2030

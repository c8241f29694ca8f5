"""Tables of made-up results hold the made-up numbers, in both unit systems."""

from __future__ import annotations

import pytest

from planner.decide.compare import Ran, comparison_of
from planner.report import comparison_tables, tables
from planner.report.tables import keys_for, style_for
from tests.unit.synthetic import made_case, made_description, made_flow, made_forecast, shut_lower

METRIC = style_for("metric", "EUR")
BARREL = 0.158987294928


@pytest.fixture
def comparison():
    ran = [Ran(None, made_forecast()), Ran(shut_lower(), made_forecast("shut lower", "lower"))]
    return comparison_of(made_case(), ran)


def test_zones_say_what_can_shut_them():
    table = tables.zones_table(made_description(), METRIC)
    assert table["shut by"].tolist() == ["", "plug"]
    assert table["oil in place (1000 m3)"].tolist() == [200.0, 100.0]
    assert table["missing"][0] == "There is no blank pipe above it."


def test_kh_of_500_md_over_10_m():
    """500 md times 10 m (9.869233e-16 m2 to the md) is 5000 md m, 16404.2 md ft."""
    assert tables.layers_table(made_description(), METRIC)["kh (md m)"][0] == pytest.approx(5000.0, rel=1e-6)
    field = tables.layers_table(made_description(), keys_for("field"))
    assert field["kh_md_ft"][0] == pytest.approx(5000.0 / 0.3048, rel=1e-6)


def test_well_over_time():
    table = tables.well_table(made_forecast(), METRIC)
    assert table["date"].iloc[0] == "2030-01-01" and table["date"].iloc[-1] == "2032-01-01"
    assert table["time (d)"].iloc[-1] == pytest.approx(730.0)
    assert table["oil rate (m3/d)"].iloc[0] == pytest.approx(40.0)
    assert table["bottom hole pressure (bar)"].iloc[0] == pytest.approx(60.0)
    assert tables.well_table(made_forecast())["oil rate (bbl/d)"][0] == pytest.approx(40.0 / BARREL)


def test_zones_and_layers_over_time_have_a_row_each():
    forecast = made_forecast()
    by_zone = tables.zone_table(forecast, keys_for("metric"))
    assert len(by_zone) == 2 * len(forecast.days)
    last = by_zone[by_zone["date"] == "2032-01-01"].set_index("zone")
    assert last["oil_volume_1000_m3"].to_dict() == pytest.approx({"upper": 21.9, "lower": 7.3})
    by_layer = tables.layer_table(forecast, keys_for("metric"))
    assert by_layer["layer"].iloc[:2].tolist() == ["top sand", "deep sand"]


def test_yearly_rows_are_those_next_to_the_whole_years():
    forecast = made_forecast(step=30)
    dates = [str(day) for day in forecast.dates]
    table = tables.yearly(tables.well_table(forecast, METRIC), dates)
    assert table["date"].tolist() == ["2030-01-01", "2031-01-01", "2032-01-01"]
    assert "quantities" in table.attrs


def test_limits_carry_their_own_unit_and_the_date():
    forecast = made_forecast()
    table = tables.limits_table(forecast.limits, forecast.dates[0], METRIC)
    assert table[["allowed", "worst", "unit"]].iloc[0].tolist() == ["30", "40", "bar"]
    assert table["first broken"].tolist() == ["2030-04-01", "never"]
    assert table["margin (fraction)"].tolist() == pytest.approx([-1 / 3, 1 / 3])


def test_happenings_are_in_order_of_time():
    table = tables.happenings_table(made_forecast(shut="lower").happenings[::-1])
    assert table["date"].tolist() == ["2030-04-11", "2031-01-01"]


def test_profile_runs_from_top_to_bottom():
    table = tables.profile_table(made_flow(), METRIC)
    assert table["element"].tolist() == ["hanger", "screen 1", "blank 1", "seal 1", "screen 2"]
    assert table["oil inflow (m3/d)"].tolist() == pytest.approx([0.0, 30.0, 0.0, 0.0, 10.0])
    assert table["top md (m)"].is_monotonic_increasing


def test_comparison_shows_differences_and_broken_limits(comparison):
    table = comparison_tables.comparison_table(comparison, METRIC).set_index("what-if")
    assert table.loc["shut lower", "oil against base (1000 m3)"] == pytest.approx(-3.65)
    assert table.loc["base", "oil against base (1000 m3)"] == 0.0
    assert table.loc["base", "limits broken"] == "sand drawdown"


def test_money_is_in_the_currency_of_the_case(comparison):
    table = comparison_tables.money_table(comparison, METRIC).set_index("what-if")
    assert table.loc["shut lower", "job cost (EUR)"] == 500_000.0
    shown = comparison_tables.money_for_reading(comparison, METRIC).set_index("what-if")
    assert shown.loc["shut lower", "job cost (million EUR)"] == 0.5
    assert "royalty (million EUR)" not in shown.columns and "NPV against base (million EUR)" in shown.columns


def test_recovery_spread_out_has_a_column_each_zone(comparison):
    table = comparison_tables.by_zone_table(comparison, "recovery factor", METRIC)
    assert table.columns.tolist() == ["what-if", "upper", "lower"]
    assert table["lower"].tolist() == pytest.approx([0.073, 0.0365])
    water = comparison_tables.by_zone_table(comparison, "water", METRIC)
    assert water["lower"].tolist() == pytest.approx([7.3, 3.65])


def test_broken_limits_of_all_runs_stand_in_one_table(comparison):
    table = comparison_tables.broken_table(comparison, METRIC)
    assert table["what-if"].tolist() == ["base", "shut lower"]
    assert table["where"].tolist() == ["upper", "upper"]


def test_columns_of_nothing_are_left_out():
    description = made_description()
    zones = tables.zones_table(description, METRIC).assign(**{"oil in place (1000 m3)": 0.0})
    assert "oil in place (1000 m3)" not in tables.of_use(zones).columns
    assert "gas in place (million m3)" in tables.of_use(zones).columns


def test_recovery_has_a_row_each_what_if_and_zone(comparison):
    table = comparison_tables.recovery_table(comparison, METRIC)
    assert len(table) == 4
    assert table["recovery factor (fraction)"].tolist() == pytest.approx([0.1095, 0.073, 0.1095, 0.0365])

"""Charts: plotly takes them, the base is dashed and the what-if solid, and the numbers are those of the forecast."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import plotly.graph_objects as go
import pytest

from dashboard.figures import by_zone, over_time
from dashboard.measure import shown
from planner.model.results import Forecast

BOTH = pytest.mark.parametrize("theme", ["light", "dark"])


@BOTH
@pytest.mark.parametrize("system", ["field", "metric"])
@pytest.mark.parametrize("zone", [None, 1])
def test_plotly_accepts_every_chart(base: Forecast, other: Forecast, theme, system, zone) -> None:
    charts = over_time.four(base, other, system, theme, zone)
    charts += [by_zone.recovery(base, other, system, theme), by_zone.produced(base, other, "oil", system, theme)]
    for chart in charts:
        assert len(go.Figure(chart).data) >= 2


def test_the_lines_are_the_forecasts_own_numbers(base: Forecast, other: Forecast) -> None:
    rate = over_time.four(base, other, "field", "light", None)[0]
    lines = {trace["name"]: trace for trace in rate["data"]}
    assert set(lines) == {"oil, base", "oil", "water, base", "water"}
    for name, forecast in (("oil", other), ("oil, base", base)):
        assert np.allclose(lines[name]["y"], shown(forecast.well["oil_rate"], "liquid rate", "field"), rtol=1e-5)
        assert lines[name]["x"] == [str(day) for day in forecast.dates]


def test_base_dashed_what_if_solid(base: Forecast, other: Forecast) -> None:
    for chart in over_time.four(base, other, "metric", "light", None):
        for trace in chart["data"]:
            assert trace["line"]["dash"] == ("dash" if trace["name"].endswith("base") else "solid")


def test_one_zone_is_drawn_from_its_own_column(base: Forecast) -> None:
    cut = over_time.four(base, None, "metric", "light", 3)[1]["data"][0]
    assert np.allclose(cut["y"], 100 * base.zone["water_cut"][:, 3], rtol=1e-5)


def test_gaps_where_the_engine_has_no_number(base: Forecast) -> None:
    holed = replace(base, well={**base.well, "water_cut": np.full_like(base.days, np.nan)})
    assert set(over_time.four(holed, None, "metric", "light", None)[1]["data"][0]["y"]) == {None}


def test_recovery_bars_are_the_last_values(base: Forecast, other: Forecast) -> None:
    before, after = by_zone.recovery(base, other, "metric", "dark")["data"]
    assert np.allclose(after["x"], 100 * other.zone["recovery_factor"][-1], rtol=1e-5)
    assert np.allclose(before["x"], 100 * base.zone["recovery_factor"][-1], rtol=1e-5)
    assert list(after["y"]) == [zone.name for zone in base.description.zones]


@pytest.mark.parametrize("kind", ["oil producer", "gas producer", "water injector", "gas injector"])
def test_every_kind_of_well_has_its_charts(base: Forecast, other: Forecast, kind: str) -> None:
    told = replace(base.description, kind=kind)
    charts = over_time.four(replace(base, description=told), replace(other, description=told), "field", "light", None)
    assert all(chart["data"] for chart in charts)
    assert all(over_time.titles(replace(base, description=told), "field", None).values())

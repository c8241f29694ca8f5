"""Every limit on a tiny well whose rate steps once: crossed once, on the day of the step, and only when crossed.

A twin has the limit just above what the well reaches. What the values are is held against closed forms here and in
tests/analytic/test_along_string.py; when they are flagged is what these tests are about.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import pytest

from planner.forecast.run import flow, forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import Forecast, LimitCheck, LimitSeries
from tests.building import BAR, M3D, element, layer, make, zoned_string

STEP = "2028-06-15"  # between two report dates
FIRST_AFTER = "2028-07-01"
SCHEDULE = {"start": "2027-01-01", "end": "2029-12-01"}
GAS_WELL = {"name": "g", "kind": "gas producer", "hole": [{"md": "0 m", "diameter": "8.5 in"}]}
INJECTOR = {"name": "w", "kind": "water injector", "hole": [{"md": "0 m", "diameter": "8.5 in"}]}
DRY = {"temperature": "90 degC", "gas": {"method": "ideal", "gravity": 0.65, "viscosity": "0.018 cP"}}
WARM = {"surface_temperature": "85 degC"}
TUBING = {"inner_diameter": "76 mm", "method": "gray 1974"}


def controls(first: dict[str, Any], then: dict[str, Any]) -> list[dict[str, Any]]:
    """One control from the start, another from STEP on."""
    return [{"date": "2027-01-01", **first}, {"date": STEP, **then}]


def oil_well(**changes: Any) -> dict[str, Any]:
    """Held up at its edge; 100 m3/d, then 300."""
    floor = {"bottom_hole_pressure": "60 bar"}
    made = {
        "layers": [layer("l", 2000.0, 2020.0, support="edge")],
        "supports": {"edge": {"kind": "constant pressure", "fluid": "own"}},
        "controls": controls(
            {"liquid_rate": "100 m^3/day", **floor}, {"liquid_rate": "300 m^3/day", **floor}),
        "schedule": SCHEDULE,
        "numerics": {"cells": 6},
    }  # fmt: skip
    return {**made, **changes}


def gas_well(first: str, then: str, **changes: Any) -> dict[str, Any]:
    """Dry ideal gas held up at its edge, at two rates."""
    floor = {"bottom_hole_pressure": "30 bar"}
    made = {
        "well": GAS_WELL, "fluid": DRY,
        "compartments": [{"name": "c", "datum": "2000 m", "pressure": "120 bar", "gas_water_contact": "2500 m"}],
        "controls": controls({"gas_rate": first, **floor}, {"gas_rate": then, **floor}),
    }  # fmt: skip
    return oil_well(**{**made, **changes})


def water_well(**changes: Any) -> dict[str, Any]:
    """Takes water at two pressures."""
    made = {
        "well": INJECTOR,
        "controls": controls({"bottom_hole_pressure": "240 bar"}, {"bottom_hole_pressure": "280 bar"}),
    }
    return oil_well(**{**made, **changes})


TWO = {
    "layers": [layer("upper", 2000.0, 2020.0, support="edge"), layer("lower", 2060.0, 2080.0, support="edge")],
    "string": zoned_string([(2000.0, 2020.0), (2060.0, 2080.0)]),
}
SHUT = {"name": "shut", "events": [{"do": "shut zone", "zone": "zone 2", "on": STEP}]}


@dataclass(frozen=True)
class Watched:
    """A limit: where it is given, its well, the unit in which it is written, and what its check is called."""

    field: str
    well: dict[str, Any]
    unit: str  # of the SI value that the limit has in the case
    name: str
    where: str
    what_if: dict[str, Any] | None = None
    lower: bool = False
    of: str = "limits"  # 'limits', 'layer', 'seal' or 'later'
    also: dict[str, Any] = field(default_factory=dict)


WATCHED = {
    "drawdown of a zone": Watched("sand_drawdown", oil_well(), "Pa", "drawdown against the sand limit", "zone 1"),
    "drawdown of a layer": Watched(
        "sand_drawdown", oil_well(), "Pa", "drawdown against the sand limit", "l", of="layer"
    ),
    "screen flux": Watched("screen_velocity", oil_well(), "m/s", "flow through the screen", "screen 1"),
    "bore velocity": Watched("bore_velocity", oil_well(), "m/s", "flow in the bore", "blank pipe 1"),
    "water handling": Watched(
        "water_handling",
        oil_well(layers=[layer("l", 2000.0, 2020.0, support="edge", water_saturation=0.5)]),
        "m^3/s", "water handling", "well",
    ),
    "oil that pays": Watched(
        "oil_rate_economic",
        oil_well(controls=controls({"liquid_rate": "200 m^3/day"}, {"liquid_rate": "50 m^3/day"})),
        "m^3/s", "oil rate that pays", "well", lower=True,
    ),
    "fracture pressure of the well": Watched(
        "fracture_pressure", water_well(), "Pa", "injection below fracture pressure", "l"
    ),
    "fracture pressure of a layer": Watched(
        "fracture_pressure", water_well(), "Pa", "injection below fracture pressure", "l", of="layer"
    ),
    "a seal of the string": Watched(
        "seal_differential", oil_well(**TWO), "Pa", "differential across seal or plug", "seal 1", SHUT
    ),
    "a seal with a rating": Watched(
        "differential_rating", oil_well(**TWO), "Pa", "differential across seal or plug", "seal 1", SHUT, of="seal"
    ),
    "a plug set later": Watched(
        "differential_rating", oil_well(**TWO), "Pa", "differential across seal or plug",
        "packer or plug in blank pipe 3", SHUT, of="later",
    ),
}  # fmt: skip


def case_of(watched: Watched, limit: float | None) -> Case:
    """The well with the limit (SI), or with none."""
    well = dict(watched.well)
    text = None if limit is None else f"{float(limit)!r} {watched.unit}"
    if watched.of == "layer":
        well["layers"] = [{**one, **({} if text is None else {watched.field: text})} for one in layers_of(well)]
    elif watched.of == "later":
        well["later_element"] = {} if text is None else {watched.field: text}
    elif watched.of == "seal":
        well["string"] = [
            {**one, watched.field: text} if text is not None and one["kind"] == "isolation joint" else one
            for one in well["string"]
        ]
    elif text is not None:
        well["limits"] = {watched.field: text, **watched.also}
    return make(**well)


def layers_of(well: dict[str, Any]) -> list[dict[str, Any]]:
    return well.get("layers", [layer("l", 2000.0, 2020.0)])


def run(watched: Watched, limit: float | None) -> Forecast:
    return forecast(case_of(watched, limit), WhatIf.model_validate(watched.what_if) if watched.what_if else None)


def series(result: Forecast, watched: Watched) -> LimitSeries:
    found = [one for one in result.limit_series if one.name == watched.name and watched.where in (one.where, *one.at)]
    assert len(found) == 1, [(one.name, one.where, one.at[:1]) for one in result.limit_series]
    return found[0]


def check(result: Forecast, watched: Watched) -> LimitCheck:
    found = [one for one in result.limits if one.name == watched.name and one.where == watched.where]
    assert len(found) == 1, result.limits
    return found[0]


@pytest.mark.parametrize("name", WATCHED)
def test_a_limit_is_flagged_on_the_day_it_is_crossed_and_a_twin_is_not(name: str) -> None:
    watched = WATCHED[name]
    sign = -1.0 if watched.lower else 1.0
    loose = series(run(watched, 1e-6 if watched.lower else 1e9), watched)
    values = loose.value
    step = int(np.flatnonzero(np.array([str(day) for day in run(watched, 1.0).dates]) == FIRST_AFTER)[0])
    before, after = values[1:step], values[step:]
    before = np.where(np.isnan(before), 0.0, before)  # a plug that is not there yet
    assert (sign * after).min() > (sign * before).max()
    between = 0.5 * float(sign * (sign * before).max() + sign * (sign * after).min())
    crossed = run(watched, between)
    found, course = check(crossed, watched), series(crossed, watched)
    apart = np.nan_to_num(sign * (course.value - course.limit), nan=-1.0)[1:]
    assert np.count_nonzero(np.diff(np.sign(apart))) == 1
    assert found.broken and found.margin < 0.0 and found.limit == pytest.approx(between, rel=1e-12)
    assert str(crossed.dates[crossed.days == found.first_broken_day][0]) == FIRST_AFTER
    worst = float(sign * np.nanmax(sign * values[1:]))
    assert found.worst == pytest.approx(worst, rel=1e-6)
    others = [one for one in crossed.limits if one is not found and one.name != watched.name]
    assert not any(one.broken for one in others)
    for limit, broken in (
        (worst * (1.0 + sign * 1e-4), False), (worst, False), (worst * (1.0 - sign * 1e-4), True),
    ):  # fmt: skip
        assert check(run(watched, limit), watched).broken is broken, (limit, worst)


@pytest.mark.parametrize("name", WATCHED)
def test_a_limit_that_is_not_given_is_not_checked(name: str) -> None:
    watched = WATCHED[name]
    result = run(watched, None)
    assert not [one for one in result.limits if one.name == watched.name]
    assert not [column for column in result.piece if column.endswith("_margin")]


@pytest.mark.parametrize(("control", "limit"), [("drawdown", "sand_drawdown"), ("water_rate", "water_handling")])
def test_a_control_that_holds_a_well_on_its_limit_does_not_flag_it(control: str, limit: str) -> None:
    level = {"drawdown": "30 bar", "water_rate": "30 m^3/day"}[control]
    layers = [layer("a", 2000.0, 2020.0, water_saturation=0.5), layer("b", 2060.0, 2080.0, permeability="50 md")]
    result = forecast(make(
        layers=layers, string=TWO["string"], limits={limit: level}, numerics={"cells": 6}, schedule=SCHEDULE,
        controls=[{"date": "2027-01-01", "bottom_hole_pressure": "60 bar", control: level}],
    ))  # fmt: skip
    nearest = result.limits[0]
    assert control.replace("_", " ") in result.control
    assert abs(nearest.margin) < 1e-5 and not nearest.broken


def test_flow_judges_the_instant_alone() -> None:
    watched = WATCHED["screen flux"]
    values = series(run(watched, 1.0), watched).value
    case = case_of(watched, 0.5 * (values[2] + values[-1]))
    early, late = flow(case, on=case.schedule.start.replace(year=2028)), flow(case, on=case.schedule.end)
    assert [one.broken for one in early.limits] == [False] and [one.broken for one in late.limits] == [True]
    assert late.piece["screen_margin"][4] == pytest.approx(late.limits[0].margin)
    assert np.isnan(late.piece["screen_margin"][0])


def test_nothing_is_asked_of_a_zone_that_is_shut() -> None:
    result = forecast(
        make(**oil_well(**TWO, limits={"sand_drawdown": "100 bar"})), WhatIf.model_validate(SHUT)
    )  # fmt: skip
    lower = next(one for one in result.limit_series if one.where == "zone 2")
    after = result.dates >= np.datetime64(FIRST_AFTER)
    assert np.isnan(lower.value[after]).all() and np.isfinite(lower.value[~after]).all()


def test_layers_with_a_limit_of_their_own_leave_the_others_to_the_general_one() -> None:
    layers = [layer("weak", 2000.0, 2010.0, sand_drawdown="5 bar"), layer("strong", 2010.0, 2020.0)]
    result = forecast(make(**oil_well(layers=layers, supports={}, limits={"sand_drawdown": "200 bar"})))
    broken = {one.where: one.broken for one in result.limits}
    assert broken == {"weak": True, "zone 1": False}


# ---- limits that depend on what flows ----------------------------------------------------------------------------

POUND_FOOT = 0.3048 * math.sqrt(0.45359237 / 0.3048**3)  # (m/s)(kg/m3)^0.5 in one (ft/s)(lb/ft3)^0.5
CONSTANT = "100 ft/s*(lb/ft^3)^0.5"


def test_erosional_velocity_of_a_constant_oil_is_c_over_root_density() -> None:
    """850 kg/m3 at surface, Bo 1.2 at 220 bar: 850/1.2 in place, within its compressibility of 1e-4 1/bar."""
    result = forecast(make(**oil_well(limits={"erosional_constant": CONSTANT})))
    one = next(s for s in result.limit_series if s.name == "erosional velocity in the string")
    assert one.limit[-1] == pytest.approx(100.0 * POUND_FOOT / math.sqrt(850.0 / 1.2), rel=0.01)
    area = 0.25 * math.pi * 0.1**2
    assert one.value[-1] == pytest.approx(300.0 * M3D * 1.2 / area, rel=0.01)
    assert one.at[-1] == "blank pipe 1"


@pytest.mark.parametrize("field_constant", [1.0, 100.0])
def test_erosion_is_flagged_with_its_constant(field_constant: float) -> None:
    """0.53 m/s against 122 / sqrt(708) = 4.6 m/s for C = 100, 0.046 m/s for C = 1."""
    case = make(**oil_well(limits={"erosional_constant": f"{field_constant} ft/s*(lb/ft^3)^0.5"}))
    assert [one.broken for one in forecast(case).limits] == [field_constant == 1.0]


def test_turner_and_coleman_at_the_top_of_the_string_of_a_dry_well() -> None:
    """1.593 (sigma (rho_l - rho_g))^(1/4) / rho_g^(1/2) ft/s (Turner et al. 1969), with the string's own numbers."""
    velocities = {}
    for method in ("turner 1969", "coleman 1991"):
        result = forecast(make(**gas_well("30 e3m3/day", "10 e3m3/day", limits={"liquid_loading": method})))
        one = next(s for s in result.limit_series if s.name == "gas velocity that lifts liquid")
        assert one.where == "top of the string" and one.lower
        velocities[method] = one.limit[-1]
        pressure = result.well["bottom_hole_pressure"][-1]
        gas = pressure * 0.65 * 28.9647e-3 / (8.314462618 * 363.15)
        flow_in_place = 10e3 * M3D * 101325.0 / pressure * 363.15 / 288.15
        assert one.value[-1] == pytest.approx(flow_in_place / (0.25 * math.pi * 0.1**2), rel=2e-3)
        factor = 1.2 if method == "turner 1969" else 1.0
        pound = 0.45359237 / 0.3048**3
        sigma = 1e3 * 0.0459  # dyn/cm: water against gas at 363 K and 119 bar by the fit of Hough et al., from memory
        expected = factor * 1.593 * (sigma * (1000.0 - gas) / pound) ** 0.25 / math.sqrt(gas / pound) * 0.3048
        assert one.limit[-1] == pytest.approx(expected, rel=0.02)
    assert velocities["turner 1969"] == pytest.approx(1.2 * velocities["coleman 1991"], rel=1e-9)


LOADING = {"turner 1969": 1.2, "coleman 1991": 1.0}


@pytest.mark.parametrize("tubing", [None, TUBING])
def test_loading_is_flagged_when_the_rate_falls_below_and_not_before(tubing: dict[str, Any] | None) -> None:
    well = gas_well("150 e3m3/day", "4 e3m3/day", limits={"liquid_loading": "turner 1969"}, tubing=tubing)
    result = forecast(make(**well))
    found = [one for one in result.limits if one.name == "gas velocity that lifts liquid"]
    assert [one.broken for one in found] == [True] * (2 if tubing else 1)
    for one in found:
        assert str(result.dates[result.days == one.first_broken_day][0]) == FIRST_AFTER
    twin = forecast(make(**gas_well("150 e3m3/day", "140 e3m3/day", limits={"liquid_loading": "turner 1969"},
                                    tubing=tubing)))  # fmt: skip
    assert not any(one.broken for one in twin.limits)


def test_a_well_that_is_shut_does_not_load() -> None:
    shut = [{"date": "2027-01-01", "gas_rate": "150 e3m3/day"}, {"date": STEP, "shut": True}]
    result = forecast(make(**gas_well("1 e3m3/day", "1 e3m3/day", limits={"liquid_loading": "turner 1969"},
                                      tubing=TUBING, controls=shut)))  # fmt: skip
    assert not any(one.broken for one in result.limits)
    for one in result.limit_series:
        assert np.isnan(one.value[result.dates >= np.datetime64(FIRST_AFTER)]).all()


def test_erosion_at_the_wellhead_where_warm_gas_is_fastest() -> None:
    limits, tubing = {"erosional_constant": CONSTANT}, {**TUBING, **WARM}
    case = make(**gas_well("60 e3m3/day", "250 e3m3/day", limits=limits, tubing=tubing))
    one = next(check for check in forecast(case).limits if check.name == "erosional velocity in the tubing")
    assert one.where == "wellhead"
    profile = flow(case, on=case.schedule.end)
    assert profile.tubing is not None
    columns = profile.tubing.columns
    gas = columns["pressure"] * 0.65 * 28.9647e-3 / (8.314462618 * columns["temperature"])
    speed = 250e3 * M3D * 101325.0 / columns["pressure"] * columns["temperature"] / 288.15 / (0.25 * math.pi * 0.076**2)
    assert columns["velocity"] == pytest.approx(speed, rel=2e-3)
    assert columns["erosional_margin"] == pytest.approx(1.0 - speed * np.sqrt(gas) / (100.0 * POUND_FOOT), abs=3e-3)


def test_a_straddle_is_watched_in_its_inner_pipe() -> None:
    """Two inches in place of 0.1 m: (0.1/0.0508)^2 times the velocity, and the straddle is named."""
    events = [{"do": "shut zone", "zone": "zone 1", "on": STEP}]
    string = [
        *zoned_string([(2000.0, 2020.0), (2060.0, 2080.0)])[1:],
    ]
    top = [element("blank pipe", 1970.0, 1994.0), element("isolation joint", 1994.0, 1997.0, name="seal 0"),
           element("blank pipe", 1997.0, 2000.0)]  # fmt: skip
    well = oil_well(**{**TWO, "string": [*top, *string]}, limits={"bore_velocity": "1 m/s"},
                    later_element={"straddle_inner_diameter": "50.8 mm"})  # fmt: skip
    result = forecast(make(**well), WhatIf.model_validate({"name": "s", "events": events}))
    one = next(check for check in result.limits if check.name == "flow in the bore")
    assert one.broken and one.where == "straddle blank pipe 1 to blank pipe 3"
    assert one.worst == pytest.approx(300.0 * M3D * 1.2 / (0.25 * math.pi * 0.0508**2), rel=0.01)


def test_the_differential_is_what_stands_between_the_two_sides() -> None:
    """Zone 2 behind its plug stands at the pressure of its edge, the bore above at what the well draws."""
    plain = {"cells": 6, "gravity": False, "friction": False}
    watched = replace(WATCHED["a plug set later"], well=oil_well(**TWO, numerics=plain))
    result = run(watched, 1e9)
    across = series(result, watched).value[-1]
    assert across == pytest.approx(result.zone["pressure"][-1, 1] - result.well["bottom_hole_pressure"][-1], abs=BAR)

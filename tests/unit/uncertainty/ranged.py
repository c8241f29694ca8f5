"""A tiny well with ranges, quick enough for ensembles in a test: two zones of one ring, two years by the quarter."""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.decide.summaries import life_summary
from planner.forecast.run import Forecast
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.ensemble import OK, Draws, Ensemble, Input, Summary
from tests.building import intervals, layer, make, zoned_string

PERMEABILITY = {"name": "k of A", "path": "layers.A.permeability", "kind": "lognormal", "p90": "60 md", "p10": "160 md"}
KH = {
    "name": "kh",
    "path": "zones.lower.permeability",
    "acts_as": "multiplier",
    "kind": "uniform",
    "low": 0.5,
    "high": 2,
}
PRESSURE = {"name": "p", "path": "compartments.c.pressure", "acts_as": "shift", "kind": "normal", "mean": "0 bar",
            "sd": "5 bar"}  # fmt: skip


def ranged_case(**changes: Any) -> Case:
    """The tiny well; `changes` replaces whole sections."""
    (a, b), (c, d) = intervals(2)
    sections: dict[str, Any] = {
        "zones": ["upper", "lower"],
        "layers": [layer("A", a, b, support="edge"), layer("B", c, d, skin=3.0)],
        "supports": {"edge": {"kind": "constant pressure"}},
        "string": zoned_string([(a, b), (c, d)]),
        "schedule": {"start": "2027-01-01", "end": "2029-01-01", "report": "quarter"},
        "numerics": {"friction": False, "gravity": False, "cells": 1},
        "economics": {"oil_price": "400 1/m^3", "water_cost": "10 1/m^3", "intervention_cost": 1e6},
        "what_ifs": [
            {"name": "acid", "events": [{"do": "set skin", "zone": "lower", "skin": -2, "on": "2027-07-01"}]},
            {"name": "shut", "events": [{"do": "shut zone", "zone": "upper", "on": "2028-01-01"}]},
        ],
        "uncertain": [PERMEABILITY, KH, PRESSURE],
    }
    return make(**{**sections, **changes})


def summed_up(case: Case, what_if: WhatIf | None, forecast: Forecast) -> Summary:
    """The usual summary; a function of a module, as workers need it."""
    return life_summary(case, what_if, forecast)


def made_ensemble(
    figures: dict[str, np.ndarray], columns: dict[str, np.ndarray], what_ifs: tuple[str, ...] = ("base",)
) -> Ensemble:
    """An ensemble of made-up figures [members, what_ifs] over made-up draws, without forecasts."""
    members = len(next(iter(columns.values())))
    inputs = tuple(Input(name, "value") for name in columns)
    draws = Draws(inputs, np.column_stack(list(columns.values())))
    dates = np.array(["2030-01-01", "2031-01-01"], dtype="datetime64[D]")
    status = np.full((members, len(what_ifs)), OK)
    return Ensemble("made up", "oil producer", draws, what_ifs, figures, status, {}, dates, {}, (), "", 0.0)

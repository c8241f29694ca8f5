"""A made-up well with two zones, and made-up forecasts of it in round numbers, for tests that need no engine.

Nothing here is physics: zone 'upper' gives 30 m3 of oil a day, zone 'lower' 10 m3 of oil and 10 m3 of water a day.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import (
    BlankInfo,
    FlowProfile,
    Forecast,
    Happening,
    LayerInfo,
    LimitCheck,
    LimitSeries,
    PieceInfo,
    RunFacts,
    TubingProfile,
    WellDescription,
    ZoneInfo,
)

DAY = 86_400.0
START = date(2030, 1, 1)
END = date(2032, 1, 1)
NAN = float("nan")


def made_case(**changes: object) -> Case:
    """A case with two layers and three what-ifs; `changes` replaces whole sections."""
    document: dict[str, object] = {
        "title": "Two sands <made up>",
        "units": "metric",
        "well": {"name": "T-2", "hole": [{"md": "0 m", "diameter": "216 mm"}]},
        "compartments": [{"name": "main", "datum": "1000 m", "pressure": "100 bar"}],
        "layers": [
            _layer("top sand", "1000 m", "1010 m"),
            _layer("deep sand", "1030 m", "1040 m"),
        ],
        "rocks": [{"name": "sand"}],
        "fluid": {"temperature": "60 degC", "oil": {"api": 32.0}},
        "string": [{"kind": "screen", "top_md": "1000 m", "base_md": "1040 m"}],
        "zones": ["upper", "lower"],
        "controls": [{"date": START.isoformat(), "bottom_hole_pressure": "60 bar"}],
        "limits": {"sand_drawdown": "30 bar"},
        "economics": {
            "currency": "EUR",
            "oil_price": "400 1/m^3",
            "water_cost": "10 1/m^3",
            "operating_cost": 120_000,
            "discount_rate": 0.1,
            "intervention_cost": 500_000,
        },
        "schedule": {"start": START.isoformat(), "end": END.isoformat()},
        "what_ifs": [
            {"name": "shut lower", "events": [{"do": "shut zone", "zone": "lower", "on": "2031-01-01"}]},
            {"name": "shut upper", "events": [{"do": "shut zone", "zone": "upper", "on": "2031-01-01"}]},
            {"name": "seal leaks", "events": [
                {"do": "leak seal", "element": "seal 1", "conductance": "1 m^3/day/bar", "on": "2031-01-01"}]},
        ],
    }  # fmt: skip
    return Case.model_validate({**document, **changes})


def _layer(name: str, top: str, base: str) -> dict[str, object]:
    return {
        "name": name, "top_md": top, "base_md": base, "compartment": "main", "permeability": "500 md",
        "porosity": 0.25, "rock": "sand", "drainage_radius": "300 m", "skin": 2.0,
    }  # fmt: skip


def made_description(kind: str = "oil producer") -> WellDescription:
    """Two zones: the lower can be plugged, the upper cannot be shut on its own."""
    zones = (
        ZoneInfo("upper", 990.0, 1020.0, ("top sand",), "hanger", "seal 1", "", "", "blank 1",
                 ("There is no blank pipe above it.",), 200_000.0, 50_000.0, 10e6),
        ZoneInfo("lower", 1023.0, 1045.0, ("deep sand",), "seal 1", "", "plug", "blank 1", "", (), 100_000.0, 50_000.0,
                 5e6),
    )  # fmt: skip
    layers = tuple(
        LayerInfo(layer, zone, top, top + 10.0, top, top + 10.0, 4.9346165e-12, 4e5, 1e7, 0.2, oil, 5e4, 1e6)
        for layer, zone, top, oil in (
            ("top sand", "upper", 1000.0, 200_000.0),
            ("deep sand", "lower", 1030.0, 100_000.0),
        )
    )
    pieces = tuple(
        PieceInfo(name, what, zone, top, base, top, 0.1, False, top, base)
        for name, what, zone, top, base in (
            ("hanger", "hanger", "upper", 985.0, 990.0),
            ("screen 1", "screen", "upper", 990.0, 1010.0),
            ("blank 1", "blank pipe", "upper", 1010.0, 1020.0),
            ("seal 1", "isolation joint", "lower", 1020.0, 1023.0),
            ("screen 2", "screen", "lower", 1023.0, 1045.0),
        )
    )
    blanks = (BlankInfo("blank 1", 1010.0, 1020.0, "upper", True, ("lower",), ()),)
    return WellDescription("T-2", kind, zones, layers, pieces, blanks, ("The aquifer is a guess.",))


def made_forecast(name: str = "base", shut: str = "", on: date = date(2031, 1, 1), step: int = 30) -> Forecast:
    """Round numbers over two years; a zone may be shut from a day on. Volumes are exact at every date."""
    count = (END - START).days
    days = np.unique(np.append(np.arange(0, count, step), [(on - START).days, count])).astype(np.float64)
    told = made_description()
    lasts = np.full((len(days), 2), np.inf)
    if shut:
        lasts[:, [zone.name for zone in told.zones].index(shut)] = (on - START).days
    flowing = days[:, None] < lasts
    lived = np.minimum(days[:, None], lasts)
    oil, water, gas = np.array([30.0, 10.0]), np.array([0.0, 10.0]), np.array([3000.0, 1000.0])
    zone = {
        "oil_rate": flowing * oil / DAY,
        "water_rate": flowing * water / DAY,
        "gas_rate": flowing * gas / DAY,
        "water_cut": flowing * np.array([0.0, 0.5]),
        "pressure": 1e7 - 1e3 * lived,
        "oil_volume": lived * oil,
        "water_volume": lived * water,
        "gas_volume": lived * gas,
        "recovery_factor": lived * oil / np.array([200_000.0, 100_000.0]),
    }
    well = {column: zone[column].sum(axis=1) for column in zone if column.endswith(("rate", "volume"))}
    liquid = well["oil_rate"] + well["water_rate"]
    well["water_cut"] = np.divide(well["water_rate"], liquid, out=np.full(len(days), NAN), where=liquid > 0.0)
    well["bottom_hole_pressure"] = np.full(len(days), 6e6)
    happenings = [Happening(100.0, "2030-04-11", "water arrives", "lower", "Water reaches the lower zone.")]
    if shut:
        text = f"The zone {shut} is shut."
        happenings.append(Happening((on - START).days, on.isoformat(), "event", shut, text, event=0))
    limits = (
        LimitCheck("sand drawdown", "upper", "pressure", 3e6, 4e6, 200.0, 90.0),
        LimitCheck("sand drawdown", "lower", "pressure", 3e6, 2e6, 0.0, NAN),
    )
    dates = np.array([START + timedelta(days=int(day)) for day in days], dtype="datetime64[D]")
    layer = {column: zone[column] for column in ("oil_rate", "water_rate", "pressure")}
    piece = {"oil_inflow": np.zeros((len(days), 5)), "pressure": np.full((len(days), 5), 6e6)}
    series = (
        LimitSeries("sand drawdown", "upper", "pressure", np.where(days < 90.0, 2e6, 4e6), np.full(len(days), 3e6)),
        LimitSeries("sand drawdown", "lower", "pressure", np.full(len(days), 2e6), np.full(len(days), 3e6)),
    )
    facts = RunFacts(100, 2, 310, 0.5, 40, {"oil": 1e-12, "water": -2e-11})
    control = ("bottom-hole pressure",) * len(days)
    return Forecast(
        name, told, days, dates, well, zone, layer, piece, control, tuple(happenings), limits, facts, (),
        ("Outside the range of a correlation.",), series,
    )  # fmt: skip


def made_flow() -> FlowProfile:
    """Flow at the start in the same round numbers."""
    told = made_description()
    oil = np.array([30.0, 10.0]) / DAY
    return FlowProfile(
        "2030-01-01",
        told,
        {"oil_rate": 40.0 / DAY, "bottom_hole_pressure": 6e6, "water_cut": 0.2},
        {"oil_rate": oil, "drawdown": np.array([4e6, 2e6])},
        {"oil_rate": oil},
        {
            "oil_inflow": np.array([0.0, 30.0, 0.0, 0.0, 10.0]) / DAY,
            "oil_inflow_per_length": np.array([0.0, 1.5, 0.0, 0.0, 10.0 / 22.0]) / DAY,
            "oil_rate": np.array([40.0, 40.0, 10.0, 10.0, 10.0]) / DAY,
            "drawdown_margin": np.array([NAN, -1 / 3, NAN, NAN, 1 / 3]),
            "bore_rate": np.array([40.0, 40.0, 10.0, 10.0, 10.0]) / DAY,
            "pressure": np.array([6.0e6, 6.01e6, 6.02e6, 6.03e6, NAN]),
        },
        "bottom-hole pressure",
        (LimitCheck("sand drawdown", "upper", "pressure", 3e6, 4e6, 0.0, 0.0),),
    )


def made_tubing() -> TubingProfile:
    """A tubing of three nodes in round numbers."""
    columns = {
        "md": np.array([0.0, 500.0, 985.0]), "tvd": np.array([0.0, 500.0, 950.0]),
        "pressure": np.array([1e6, 3e6, 6e6]), "temperature": np.array([300.0, 320.0, 333.15]),
        "holdup": np.array([0.4, 0.6, 1.0]), "velocity": np.array([3.0, 2.0, 1.0]),
        "erosional_margin": np.array([-0.1, 0.4, 0.8]),
    }  # fmt: skip
    return TubingProfile(columns, ("slug", "slug", "bubble"), "drift flux 2005", 1e6, 6e6, 6e6, "Made up.")


def shut_lower() -> WhatIf:
    """The first what-if of the made-up case."""
    return made_case().what_ifs[0]

"""An invented well and invented forecasts of it, so that the screens can be tested without the engine.

Nothing here is physics: the curves only have the shape, the columns and the units of an engine's answer.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from planner import api
from planner.base.errors import Cancelled, CaseError, ForecastError, Refusal
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.chapter import Book, Chapter, Part
from planner.model.results import (
    BlankInfo,
    Comparison,
    Floats,
    FlowProfile,
    Forecast,
    Happening,
    LayerInfo,
    LimitCheck,
    PieceInfo,
    RunFacts,
    WellDescription,
    ZoneInfo,
)
from planner.report import look, markup

DAY = 86_400.0
TOP = 2400.0
# name, length m, kind
STRING = [
    ("hanger", 4.0, "hanger"),
    ("blank 1", 14.0, "blank pipe"),
    ("screen 1", 34.0, "screen"),
    ("blank 2", 12.0, "blank pipe"),
    ("seal 1", 3.0, "isolation joint"),
    ("screen 2", 48.0, "screen"),
    ("seal 2", 3.0, "isolation joint"),
    ("blank 3", 18.0, "blank pipe"),
    ("seal 3", 3.0, "isolation joint"),
    ("screen 3", 26.0, "screen"),
    ("blank 4", 2.0, "blank pipe"),
    ("seal 4", 3.0, "isolation joint"),
    ("screen 4", 40.0, "screen"),
    ("seal 5", 3.0, "isolation joint"),
    ("blank 5", 15.0, "blank pipe"),
    ("screen 5", 52.0, "screen"),
]
ZONES = ["Amber", "Birch", "Cedar", "Damson", "Elder"]
KH = [0.35, 0.9, 0.25, 0.7, 0.55]
ARRIVES = [5200.0, 1500.0, 6400.0, 3600.0, 2400.0]


# What shows chapters and says which there are is the engine's own.
REAL = (
    "DecisionPlan", "ReportSection", "book_text", "fragment_text", "in_order", "paper_script", "paper_style",
    "section_offers",
)  # fmt: skip


def depths() -> dict[str, tuple[float, float]]:
    """Top and base of every element, m."""
    found, top = {}, TOP
    for name, length, _ in STRING:
        found[name] = (top, top + length)
        top += length
    return found


def case() -> Case:
    """The invented case, read as a case file would be."""
    at = depths()
    elements = [
        {"kind": kind, "name": name, "top_md": f"{at[name][0]} m", "base_md": f"{at[name][1]} m"}
        for name, _, kind in STRING
    ]
    layers = [
        {
            "name": f"{zone} sand",
            "top_md": f"{at[f'screen {i + 1}'][0] + 1} m",
            "base_md": f"{at[f'screen {i + 1}'][1] - 1} m",
            "compartment": "main",
            "permeability": f"{300 + 900 * KH[i]} md",
            "porosity": 0.24,
            "rock": "sand",
            "drainage_radius": "400 m",
        }
        for i, zone in enumerate(ZONES)
    ]
    return Case.model_validate(
        {
            "title": "Invented well for the tests of the screens",
            "units": "field",
            "well": {"name": "T-1", "hole": [{"md": "0 m", "diameter": "8.5 in"}]},
            "compartments": [{"name": "main", "datum": "2500 m", "pressure": "250 bar"}],
            "layers": layers,
            "rocks": [{"name": "sand"}],
            "supports": {"west aquifer": {"kind": "constant pressure"}},
            "fluid": {"temperature": "90 degC", "oil": {"api": 32.0}},
            "string": elements,
            "zones": ZONES,
            "controls": [{"date": "2026-01-01", "bottom_hole_pressure": "180 bar"}],
            "economics": {"currency": "USD", "oil_price": "65 1/bbl"},
            "schedule": {"start": "2026-01-01", "end": "2046-01-01"},
            "completions": {
                "stand_alone": {"inner_diameter": "5 in", "outer_diameter": "6.5 in", "isolation_joints": "kept"}
            },
            "suitability": {},
            "split": {},
            "what_ifs": [
                {"name": "Shut Birch early", "events": [{"do": "shut zone", "zone": "Birch", "on": "2031-01-01"}]},
                {
                    "name": "Seal 4 leaks",
                    "events": [
                        {
                            "do": "leak seal",
                            "element": "seal 4",
                            "conductance": "3 bbl/day/psi",
                            "on": "2029-06-01",
                        }
                    ],
                },
            ],
        }
    )


def description() -> WellDescription:
    """The well as the network would describe it."""
    at = depths()
    edges = [
        ("hanger", "seal 1", "", "blank 2"),
        ("seal 1", "seal 2", "blank 2", "blank 3"),
        ("seal 3", "seal 4", "blank 3", ""),
        ("seal 4", "seal 5", "", "blank 5"),
        ("seal 5", "", "blank 5", ""),
    ]
    shut_by = ["straddle", "straddle", "", "", "plug"]
    lacks: dict[int, tuple[str, ...]] = {
        2: ("Cedar cannot be shut alone: blank 4 below it is 2.0 m, an element needs 6.0 m.",),
        3: ("Damson cannot be shut alone: blank 4 above it is 2.0 m, an element needs 6.0 m.",),
    }
    zones, layers = [], []
    for i, name in enumerate(ZONES):
        upper, lower, up, low = edges[i]
        top, base = at[upper][1], at[lower][0] if lower else at["screen 5"][1]
        place = 8.0e6 * KH[i]
        zones.append(
            ZoneInfo(
                name,
                top,
                base,
                (f"{name} sand",),
                upper,
                lower,
                shut_by[i],
                up,
                low,
                lacks.get(i, ()),
                place,
                place,
                0.0,
            )
        )
        first, last = at[f"screen {i + 1}"]
        layers.append(
            LayerInfo(
                f"{name} sand",
                name,
                first + 1,
                last - 1,
                first + 1,
                last - 1,
                KH[i] * 1e-11,
                1e7,
                2.5e7,
                0.2,
                place,
                place,
                0.0,
            )
        )
    return WellDescription("T-1", "oil producer", tuple(zones), tuple(layers), _pieces(), _blanks())


def _zone_at(depth: float) -> str:
    at = depths()
    for i, name in enumerate(ZONES):
        below = at["screen 5"][1] if i == 4 else at[["seal 1", "seal 2", "seal 4", "seal 5"][i]][0]
        if depth < below:
            return name
    return ZONES[-1]


def _pieces() -> tuple[PieceInfo, ...]:
    at = depths()
    found = []
    for name, length, kind in STRING:
        top, _ = at[name]
        count = max(1, round(length / 15))
        for n in range(count):
            a, b = top + length * n / count, top + length * (n + 1) / count
            found.append(PieceInfo(name, kind, _zone_at(a), a, b, a, 0.1, False))
    return tuple(found)


def _blanks() -> tuple[BlankInfo, ...]:
    at = depths()
    shuts = {"blank 1": ZONES, "blank 2": ZONES[1:], "blank 3": ZONES[2:], "blank 4": ZONES[3:], "blank 5": ZONES[4:]}
    lacks = {
        "blank 1": ("blank 1 has no seal beside it: the fluid would pass outside.",),
        "blank 4": ("blank 4 is 2.0 m; an element of 3.0 m with 1.5 m of depth tolerance each way needs 6.0 m.",),
    }
    return tuple(
        BlankInfo(name, *at[name], _zone_at(at[name][0]), name not in lacks, tuple(inside), lacks.get(name, ()))
        for name, inside in shuts.items()
    )


def _shut_days(what_if: WhatIf | None, start: date, told: WellDescription) -> dict[str, float]:
    """Day on which each zone is shut; raises Refusal as the engine would."""
    days: dict[str, float] = {}
    for event in what_if.events if what_if else ():
        day = float((event.on - start).days) if event.on else 3000.0
        if event.do == "shut zone":
            zone = next((z for z in told.zones if z.name == event.zone), None)
            if zone is None:
                raise Refusal(f"there is no zone {event.zone}")
            if not zone.shut_by:
                raise Refusal(zone.missing[0])
            days[event.zone] = day
        if event.do == "set plug":
            blank = next(b for b in told.blanks if b.name == event.blank)
            if not blank.fits:
                raise Refusal(blank.missing[0])
            days.update({name: day for name in blank.shuts})
        if event.do == "change control" and event.shut:
            raise ForecastError("the march stopped on day 12: water balance of Birch sand, ring 2")
    return days


def _rates(days: Floats, shut: dict[str, float], early: dict[str, float]) -> tuple[Floats, Floats]:
    """Oil and water by zone, [T, zones], m3/s."""
    oil, water = [], []
    for i, name in enumerate(ZONES):
        arrives = early.get(name, ARRIVES[i])
        cut = 0.92 / (1 + np.exp(-(days - arrives - 500) / 300))
        liquid = 900 * KH[i] / DAY * np.exp(-days / 9000)
        open_ = np.where(days >= shut.get(name, np.inf), 0.0, 1.0)
        oil.append(liquid * (1 - cut) * open_)
        water.append(liquid * np.where(cut > 0.01, cut, 0.0) * open_)
    return np.array(oil).T, np.array(water).T


def _volume(rate: Floats, days: Floats) -> Floats:
    steps = np.diff(days, prepend=days[0])
    return np.cumsum(rate * (steps[:, None] if rate.ndim == 2 else steps) * DAY, axis=0)


def _columns(oil: Floats, water: Floats, days: Floats, in_place: Floats | float) -> dict[str, Floats]:
    liquid = oil + water
    return {
        "oil_rate": oil,
        "water_rate": water,
        "liquid_rate": liquid,
        "gas_rate": oil * 80,
        "water_cut": np.divide(water, liquid, out=np.zeros_like(liquid), where=liquid > 0),
        "gas_oil_ratio": np.full_like(oil, 80.0),
        "oil_volume": _volume(oil, days),
        "water_volume": _volume(water, days),
        "gas_volume": _volume(oil * 80, days),
        "recovery_factor": _volume(oil, days) / in_place,
    }


def forecast(case_: Case, what_if: WhatIf | None = None, **_: Any) -> Forecast:
    """An invented life of the well, monthly, in the form of the engine's answer."""
    told = description()
    start = case_.schedule.start
    months = np.arange(np.datetime64(start, "M"), np.datetime64(case_.schedule.end, "M") + 1)
    dates = months.astype("datetime64[D]")
    days = (dates - dates[0]).astype(float)
    shut = _shut_days(what_if, start, told)
    early = {e.zone: float((e.by - start).days) for e in (what_if.events if what_if else ()) if e.do == "early water"}
    oil, water = _rates(days, shut, early)
    place = np.array([zone.oil_in_place for zone in told.zones])
    zone = _columns(oil, water, days, place)
    zone["pressure"] = 2.5e7 - np.outer(days, np.linspace(500, 900, 5))
    well = _columns(oil.sum(1), water.sum(1), days, float(place.sum()))
    well["bottom_hole_pressure"] = np.full_like(days, 1.8e7)
    well["pressure"] = zone["pressure"].mean(1)
    well["drawdown"] = well["pressure"] - 1.8e7
    return Forecast(
        name=what_if.name if what_if else "base",
        description=told,
        days=days,
        dates=dates,
        well=well,
        zone=zone,
        layer={k: v for k, v in zone.items()},
        piece=_piece_columns(told, oil, water),
        control=("bottom hole pressure",) * len(days),
        happenings=_happenings(zone, days, dates, shut, told),
        limits=_limits(days),
        facts=RunFacts(300, 1, 1000, 0.3, 240, {"oil": 1e-12, "water": 1e-12}),
        element_states=_states(days, shut, told),
    )


def _piece_columns(told: WellDescription, oil: Floats, water: Floats) -> dict[str, Floats]:
    count = {name: sum(p.zone == name and p.kind == "screen" for p in told.pieces) for name in ZONES}
    share_oil, share_water = np.zeros((len(oil), len(told.pieces))), np.zeros((len(oil), len(told.pieces)))
    for n, piece in enumerate(told.pieces):
        if piece.kind == "screen":
            i = ZONES.index(piece.zone)
            share_oil[:, n] = oil[:, i] / count[piece.zone]
            share_water[:, n] = water[:, i] / count[piece.zone]
    both = share_oil + share_water
    length = np.array([piece.base_md - piece.top_md for piece in told.pieces])
    screened = np.array([piece.kind == "screen" for piece in told.pieces])
    depth = np.array([piece.top_md for piece in told.pieces])
    return {
        "oil_inflow_per_length": share_oil / length,
        "water_inflow_per_length": share_water / length,
        "pressure": np.broadcast_to(1.8e7 + 8e3 * (depth - TOP), both.shape).copy(),
        "drawdown": np.where(screened, 2e6 + 5e3 * (depth - TOP), np.nan) * np.ones((len(oil), 1)),
        "drawdown_margin": np.where(screened, 0.4, np.nan) * np.ones((len(oil), 1)),
        "velocity": np.cumsum(both[:, ::-1], axis=1)[:, ::-1] / 0.018,
        "oil_inflow": share_oil,
        "water_inflow": share_water,
        "gas_inflow": share_oil * 80,
        "oil_rate": np.cumsum(share_oil[:, ::-1], axis=1)[:, ::-1],
        "bore_rate": np.cumsum(both[:, ::-1], axis=1)[:, ::-1],
    }


def _happenings(
    zone: dict[str, Floats], days: Floats, dates: Any, shut: dict[str, float], told: WellDescription
) -> tuple[Happening, ...]:
    found = []
    for i, name in enumerate(ZONES):
        wet = np.flatnonzero(zone["water_cut"][:, i] > 0.02)
        if len(wet):
            at = wet[0]
            found.append(Happening(days[at], str(dates[at]), "water arrives", name, f"water reaches {name}"))
    for name, day in shut.items():
        at = int(np.searchsorted(days, day))
        found.append(Happening(day, str(dates[at]), "event", name, f"{name} is shut", event=0))
    return tuple(sorted(found, key=lambda h: h.day))


def _states(days: Floats, shut: dict[str, float], told: WellDescription) -> tuple[dict[str, str], ...]:
    states = []
    for day in days:
        now: dict[str, str] = {}
        for name, at in shut.items():
            if day >= at:
                zone = next(z for z in told.zones if z.name == name)
                now[name] = "shut"
                now.update({blank: f"{zone.shut_by} set" for blank in (zone.upper_blank, zone.lower_blank) if blank})
        states.append(now)
    return tuple(states)


def _limits(days: Floats) -> tuple[LimitCheck, ...]:
    return (
        LimitCheck("drawdown against sand limit", "Birch", "pressure", 9e6, 7e6, days[-1], float("nan")),
        LimitCheck("differential across seal", "seal 2", "pressure", 2e7, 2.4e7, days[-1], 4000.0),
    )


def put_together(case_: Case, base: Forecast, others: Any = (), refused: Any = None) -> Comparison:
    """A comparison with one money figure."""
    others = list(others)
    runs = [base, *(run for _, run in others)]
    money = {run.name: {"npv": float(run.well["oil_volume"][-1]) * 300} for run in runs}
    return Comparison(base, tuple(runs[1:]), dict(refused or {}), money)


def flow(case_: Case, what_if: WhatIf | None = None, on: Any = None) -> FlowProfile:
    """The flow of the first day, from the invented life."""
    run = forecast(case_, what_if)
    first = {name: {k: v[0] for k, v in getattr(run, name).items()} for name in ("well", "zone", "layer", "piece")}
    well = {name: float(value) for name, value in first["well"].items()}
    return FlowProfile(
        str(run.dates[0]), run.description, well, first["zone"], first["layer"], first["piece"], run.control[0], ()
    )


def compare(case_: Case, names: Any = None, **_: Any) -> Comparison:
    """Every what-if of the case beside the base."""
    return put_together(case_, forecast(case_), [(w, forecast(case_, w)) for w in case_.what_ifs])


def chapter(key: str, kind: str, title: str, lead: str) -> Chapter:
    """A chapter with a table and a figure, made as the engine makes them."""
    table = pd.DataFrame({"zone": ZONES, "kh (md ft)": [1234.56789, 900.0, 250.0, 700.0, 550.0]})
    figure = go.Figure()
    figure.add_scatter(x=[1, 2, 3], y=[3, 1, 2], line=look.line(0), name="whole well")
    figure.add_bar(x=[1, 2, 3], y=[1, 2, 1], marker=look.bar(1), name="a zone")
    drawn = markup.figure_markup(look.dressed(figure, f"What {kind.lower()} rests on"))
    parts = (Part("By zone", "Numbers that say nothing.", (markup.table_markup(table, "Of the zones"), drawn)),)
    return Chapter(key, kind, title, lead, parts)


def chapter_of(found: Any, case_: Case | None = None, units: str | None = None) -> Chapter:
    """What was invented, as a chapter."""
    if hasattr(found, "pins"):
        return chapter("split", "Zone split", f"{len(found.zones)} zones", ", ".join(found.pins) or "No wish.")
    return chapter("suit", "Suitability", f"{found.well} judged in {units}", "Nothing speaks against it.")


def prepare_report(case_: Case, wanted: Any, plan: Any, *, units: str, **_: Any) -> tuple[Comparison, Any]:
    """The comparison, and a judgement where it is asked for."""
    suited = [api.ReportSection("suit", chapter_of(suit(case_), case_, units))] if "suit" in wanted else []
    return compare(case_), tuple(suited)


def report_book(comparison: Comparison, units: str, sections: Any = ()) -> Book:
    """A report that says no more than which what-ifs it is of."""
    names = ", ".join(run.name for run in comparison.others)
    answer = chapter("answer", "", "Comparison", names)
    return Book("Well plan", f"Report in {units}", names, (answer, *(one.chapter for one in sections)))


def suit(case_: Case) -> SimpleNamespace:
    """A judgement that says nothing but its well."""
    return SimpleNamespace(well=case_.well.name)


def split(case_: Case, pins: Any, forbids: Any, **_: Any) -> SimpleNamespace:
    """A string with blank pipe for the seal between Damson and Elder; a barrier called nowhere is refused."""
    if "seal nowhere" in pins:
        raise Refusal("No barrier is called nowhere.")
    string = tuple(
        element.model_copy(update={"kind": "blank pipe"}) if element.name == "seal 5" else element
        for element in case_.string
    )
    return SimpleNamespace(
        case=case_.model_copy(update={"string": string, "zones": tuple(ZONES[:4])}), zones=ZONES[:4], pins=tuple(pins)
    )


def engine() -> SimpleNamespace:
    """What stands in for planner.api: invented where it computes, the real one where it reads and writes cases."""
    return SimpleNamespace(
        read_case=lambda path: case(),
        case_from=api.case_from,
        inspect=api.inspect,
        new_case=api.new_case,
        write_case=api.write_case,
        replace_text=api.replace_text,
        describe=lambda case_, what_if=None: replace(description()),
        flow=flow,
        compare=compare,
        prepare_report=prepare_report,
        report_book=report_book,
        chapter_of=chapter_of,
        **{name: getattr(api, name) for name in REAL},
        forecast=forecast,
        put_together=put_together,
        suit=suit,
        split=split,
        match=None,
        blanks=None,
        Cancelled=Cancelled,
        CaseError=CaseError,
        Refusal=Refusal,
        ForecastError=ForecastError,
    )

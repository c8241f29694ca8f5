"""Charts of the life of the well or of one zone: rates, water cut, cumulative volumes, pressure."""

from __future__ import annotations

from typing import Any

from dashboard.figures.frame import column, dates, figure, life_line, title_of
from dashboard.measure import System
from dashboard.theme import COLOURS, Theme
from planner.model.results import COLUMNS, Forecast

Json = dict[str, Any]
# chart -> (title, [(column, label, colour)]); the first column names the unit of the axis
Lines = list[tuple[str, str, str]]


def phases_of(kind: str) -> list[str]:
    """Phases worth a line on a chart of liquids, the main one first."""
    return {"gas producer": ["gas", "water"], "gas injector": ["gas"], "water injector": ["water"]}.get(
        kind, ["oil", "water"]
    )


def chart(
    base: Forecast,
    other: Forecast | None,
    lines: Lines,
    system: System,
    theme: Theme,
    zone: int | None = None,
    to_zero: bool = True,
) -> Json:
    """Lines of the base (dashed) and of the what-if (solid); their names stand in the heading, see `keys`."""
    traces = []
    for name, label, colour in lines:
        ink = COLOURS[theme][colour]
        drawn = other if other is not None else base
        if other is not None:
            traces.append(life_line(base, name, f"{label}, base", ink, system, is_base=True, zone=zone))
        traces.append(life_line(drawn, name, label, ink, system, is_base=other is None, zone=zone))
    found = [trace for trace in traces if trace]
    layout = {"yaxis": {"rangemode": "tozero" if to_zero else "normal"}, "xaxis": {"range": _span(base)}}
    return figure(theme, found, **layout)


def _span(forecast: Forecast) -> list[str]:
    days = dates(forecast)
    return [days[0], days[-1]]


def rate_lines(kind: str) -> Lines:
    """Rates of the phases that share a unit with the main one; gas of an oil well has its own chart."""
    if kind.startswith("gas"):
        return [("gas_rate", "gas", "gas")]
    return [(f"{phase}_rate", phase, phase) for phase in phases_of(kind)]


def wet_lines(kind: str) -> tuple[str, Lines]:
    """The chart of what spoils the well: water cut of an oil well, water rate of a gas well."""
    if kind == "gas producer":
        return "Water rate", [("water_rate", "water", "water")]
    if kind.endswith("injector"):
        return "Injection pressure", [("bottom_hole_pressure", "bottom hole", "pressure")]
    return "Water cut", [("water_cut", "water cut", "water")]


def volume_lines(kind: str) -> Lines:
    """Cumulative volumes."""
    if kind.startswith("gas"):
        return [("gas_volume", "gas", "gas")]
    return [(f"{phase}_volume", phase, phase) for phase in phases_of(kind)]


def pressure_lines(forecast: Forecast, zone: int | None) -> Lines:
    """Average reservoir pressure and bottom-hole pressure, as far as the engine gave them."""
    wanted = [("pressure", "reservoir", "pressure"), ("bottom_hole_pressure", "bottom hole", "liquid")]
    return [line for line in wanted if column(forecast, line[0], zone) is not None]


def keys(name: str, base: Forecast, zone: int | None) -> list[tuple[str, str]]:
    """Names and colours of the lines of a chart; none where there is one alone."""
    kind = base.description.kind
    lines = {"rate": rate_lines(kind), "cut": wet_lines(kind)[1], "volume": volume_lines(kind)}.get(
        name, pressure_lines(base, zone)
    )
    found = [(label, colour) for _, label, colour in lines]
    if name == "pressure" and zone is None and "pressure" not in base.well:
        found.insert(0, ("zones", "pressure"))
    return found if len(found) > 1 else []


def titles(base: Forecast, system: System, zone: int | None) -> dict[str, str]:
    """Headings of the four charts, with units."""
    kind = base.description.kind
    main = "Gas rate" if kind.startswith("gas") else "Rates"
    total = "Gas to date" if kind.startswith("gas") else "Volumes to date"
    spoil, lines = wet_lines(kind)
    return {
        "rate": title_of(main, COLUMNS[rate_lines(kind)[0][0]], system),
        "cut": title_of(spoil, COLUMNS[lines[0][0]], system),
        "volume": title_of(total, COLUMNS[volume_lines(kind)[0][0]], system),
        "pressure": title_of("Pressure", "pressure", system),
    }


def four(base: Forecast, other: Forecast | None, system: System, theme: Theme, zone: int | None) -> list[Json]:
    """The four charts: rates, what spoils the well, volumes, pressure."""
    kind = base.description.kind
    pressure = chart(base, other, pressure_lines(base, zone), system, theme, zone, to_zero=False)
    if zone is None and "pressure" not in base.well:
        pressure["data"] = zone_pressures(base, other, system, theme) + pressure["data"]
    return [
        chart(base, other, rate_lines(kind), system, theme, zone),
        chart(base, other, wet_lines(kind)[1], system, theme, zone),
        chart(base, other, volume_lines(kind), system, theme, zone),
        pressure,
    ]


def zone_pressures(base: Forecast, other: Forecast | None, system: System, theme: Theme) -> list[Json]:
    """A thin line for the average pressure of each zone, where the well has no pressure of its own."""
    found = []
    for at, zone in enumerate(base.description.zones):
        for forecast in filter(None, (base, other)):
            label = f"{zone.name}, base" if forecast is base and other is not None else zone.name
            ink = COLOURS[theme]["pressure"]
            line = life_line(forecast, "pressure", label, ink, system, is_base=forecast is base, zone=at)
            if line:
                line["line"]["width"] = 1.1
                found.append(line)
    return found

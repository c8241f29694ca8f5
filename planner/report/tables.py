"""Results as tables: one function a table, pandas DataFrames with the unit in the header, field or metric."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from planner.base.units import UnitSystem
from planner.model.along_depth import piece_depths
from planner.model.results import (
    COLUMNS,
    Floats,
    FlowProfile,
    Forecast,
    Happening,
    LimitCheck,
    WellDescription,
)
from planner.report.frames import Column, Style, frame, words

FIELD = Style()


def zones_table(description: WellDescription, style: Style = FIELD) -> pd.DataFrame:
    """Zones with their seals, what can shut them later and what is in place, one row each."""
    zones = description.zones
    return frame(
        (
            Column("zone", "", [zone.name for zone in zones]),
            Column("top md", "length", [zone.top_md for zone in zones]),
            Column("base md", "length", [zone.base_md for zone in zones]),
            Column("layers", "", [", ".join(zone.layers) for zone in zones]),
            Column("upper seal", "", [zone.upper_seal for zone in zones]),
            Column("lower seal", "", [zone.lower_seal for zone in zones]),
            Column("shut by", "", [zone.shut_by for zone in zones]),
            Column("upper blank", "", [zone.upper_blank for zone in zones]),
            Column("lower blank", "", [zone.lower_blank for zone in zones]),
            Column("missing", "", [" ".join(zone.missing) for zone in zones]),
            Column("oil in place", "liquid volume", [zone.oil_in_place for zone in zones]),
            Column("water in place", "liquid volume", [zone.water_in_place for zone in zones]),
            Column("gas in place", "gas volume", [zone.gas_in_place for zone in zones]),
        ),
        style,
    )


def layers_table(description: WellDescription, style: Style = FIELD) -> pd.DataFrame:
    """Layers as the network sees them, one row each. kh is permeability times height."""
    layers = description.layers
    kh = np.array([layer.kh for layer in layers])
    foot_or_metre = 0.3048 if style.system == "field" else 1.0
    kh_unit = "md ft" if style.system == "field" else "md m"
    kh_header = f"kh_{kh_unit.replace(' ', '_')}" if style.headers == "keys" else f"kh ({kh_unit})"
    table = frame(
        (
            Column("layer", "", [layer.name for layer in layers]),
            Column("zone", "", [layer.zone for layer in layers]),
            Column("top md", "length", [layer.top_md for layer in layers]),
            Column("base md", "length", [layer.base_md for layer in layers]),
            Column("top tvd", "length", [layer.top_tvd for layer in layers]),
            Column("base tvd", "length", [layer.base_tvd for layer in layers]),
            Column("pore volume", "liquid volume", [layer.pore_volume for layer in layers]),
            Column("pressure", "pressure", [layer.pressure for layer in layers]),
            Column("water saturation", "fraction", [layer.water_saturation for layer in layers]),
            Column("oil in place", "liquid volume", [layer.oil_in_place for layer in layers]),
            Column("gas in place", "gas volume", [layer.gas_in_place for layer in layers]),
        ),
        style,
    )
    table.insert(6, kh_header, Style(style.system).value(kh, "permeability") / foot_or_metre)
    return table


def blanks_table(description: WellDescription, style: Style = FIELD) -> pd.DataFrame:
    """Blank pipes: whether a later element fits and which zones a plug in them would shut off."""
    blanks = description.blanks
    return frame(
        (
            Column("blank", "", [blank.name for blank in blanks]),
            Column("zone", "", [blank.zone for blank in blanks]),
            Column("top md", "length", [blank.top_md for blank in blanks]),
            Column("base md", "length", [blank.base_md for blank in blanks]),
            Column("later element fits", "", ["yes" if blank.fits else "no" for blank in blanks]),
            Column("a plug shuts", "", [", ".join(blank.shuts) for blank in blanks]),
            Column("missing", "", [" ".join(blank.missing) for blank in blanks]),
        ),
        style,
    )


def well_table(forecast: Forecast, style: Style = FIELD) -> pd.DataFrame:
    """The well over time: a row each report date."""
    return frame(
        (
            Column("date", "", dates_of(forecast)),
            Column("time", "time", forecast.days * 86400.0),
            *_known(forecast.well),
            Column("control", "", forecast.control),
        ),
        style,
    )


def zone_table(forecast: Forecast, style: Style = FIELD) -> pd.DataFrame:
    """The zones over time, long: a row each report date and zone."""
    return _long(forecast, "zone", [zone.name for zone in forecast.description.zones], forecast.zone, style)


def layer_table(forecast: Forecast, style: Style = FIELD) -> pd.DataFrame:
    """The layers over time, long: a row each report date and layer."""
    return _long(forecast, "layer", [layer.name for layer in forecast.description.layers], forecast.layer, style)


def happenings_table(happenings: Sequence[Happening], style: Style = FIELD) -> pd.DataFrame:
    """What happened, in order of time."""
    rows = sorted(happenings, key=lambda one: one.day)
    return frame(
        (
            Column("date", "", [one.date for one in rows]),
            Column("kind", "", [one.kind for one in rows]),
            Column("where", "", [one.where for one in rows]),
            Column("what", "", [one.text for one in rows]),
        ),
        style,
    )


def limits_table(limits: Sequence[LimitCheck], start: np.datetime64 | None, style: Style = FIELD) -> pd.DataFrame:
    """Limits with their worst values; each row has its own unit, so that numbers come with it, as text.

    start: the date of day 0, for the date on which a limit was first broken; None for an instant.
    """
    unit = [style.unit(one.quantity) for one in limits]
    return frame(
        (
            Column("limit", "", [one.name for one in limits]),
            Column("where", "", [one.where for one in limits]),
            Column("allowed", "", [_allowed(one, style) for one in limits]),
            Column("worst", "", [_digits(style.value(one.worst, one.quantity)) for one in limits]),
            Column("unit", "", unit),
            Column("margin", "fraction", [one.margin for one in limits]),
            *([] if start is None else [Column("worst on", "", [_on(one.worst_day, start) for one in limits])]),
            Column("first broken", "", [_broken_on(one, start) for one in limits]),
        ),
        style,
    )


def telling(limits: Sequence[LimitCheck]) -> list[LimitCheck]:
    """The limits that were broken, and of every other kind the place that came nearest to it."""
    nearest = {one.name: one for one in sorted(limits, key=lambda one: -one.margin)}  # the last of a name wins
    return [one for one in limits if one.broken or nearest[one.name] is one]


def profile_table(flow: FlowProfile, style: Style = FIELD) -> pd.DataFrame:
    """Flow along the string: a row each piece of bore, from top to bottom."""
    pieces = flow.description.pieces
    return frame(
        (
            Column("element", "", [piece.element for piece in pieces]),
            Column("kind", "", [piece.kind for piece in pieces]),
            Column("zone", "", [piece.zone for piece in pieces]),
            Column("top md", "length", [piece.top_md for piece in pieces]),
            Column("base md", "length", [piece.base_md for piece in pieces]),
            Column("top tvd", "length", piece_depths(pieces, "tvd")[0]),
            Column("base tvd", "length", piece_depths(pieces, "tvd")[1]),
            *_known(flow.piece),
        ),
        style,
    )


def flow_zone_table(flow: FlowProfile, style: Style = FIELD) -> pd.DataFrame:
    """What each zone gives at the instant."""
    names = Column("zone", "", [zone.name for zone in flow.description.zones])
    return frame((names, *_known(instant(flow.zone))), style)


def flow_layer_table(flow: FlowProfile, style: Style = FIELD) -> pd.DataFrame:
    """What each layer gives at the instant."""
    layers = flow.description.layers
    return frame(
        (
            Column("layer", "", [layer.name for layer in layers]),
            Column("zone", "", [layer.zone for layer in layers]),
            *_known(instant(flow.layer)),
        ),
        style,
    )


def yearly(table: pd.DataFrame, dates: Sequence[str]) -> pd.DataFrame:
    """The rows of a table over time that are nearest to each whole year since the first, and the last row."""
    days = np.array(dates, dtype="datetime64[D]").astype(np.int64)
    years = np.arange(0.0, (days[-1] - days[0]) / 365.25 + 0.01)
    nearest = [int(np.abs(days - days[0] - 365.25 * year).argmin()) for year in years]
    chosen = table.iloc[sorted({*nearest, len(days) - 1})]
    chosen.attrs.update(table.attrs)
    return chosen


def name_of(header: str) -> str:
    """Header without its unit."""
    return header.split(" (")[0]


def with_only(table: pd.DataFrame, *names: str) -> pd.DataFrame:
    """The columns of these names (units left aside) in this order, as far as the table has them."""
    by_name = {name_of(str(header)): header for header in table.columns}
    chosen = table[[by_name[name] for name in names if name in by_name]]
    chosen.attrs.update(table.attrs)
    return chosen


def without(table: pd.DataFrame, *names: str) -> pd.DataFrame:
    """A table less the columns of these names, units left aside."""
    chosen = table[[header for header in table.columns if name_of(str(header)) not in names]]
    chosen.attrs.update(table.attrs)
    return chosen


def of_use(table: pd.DataFrame) -> pd.DataFrame:
    """A table without the columns that hold nothing but zeros or gaps, such as oil in a gas well."""
    numeric = [name for name in table.columns if pd.api.types.is_numeric_dtype(table[name])]
    chosen = table.drop(columns=[name for name in numeric if not table[name].fillna(0.0).any()])
    chosen.attrs.update(table.attrs)
    return chosen


def style_for(system: UnitSystem, currency: str = "money") -> Style:
    """Headers for people in a unit system."""
    return Style(system, "words", currency)


def keys_for(system: UnitSystem) -> Style:
    """Stable keys in a unit system, for JSON, CSV and Parquet."""
    return Style(system, "keys")


def dates_of(forecast: Forecast) -> list[str]:
    """Report dates as text."""
    return [str(one) for one in forecast.dates.astype("datetime64[D]")]


def instant(columns: dict[str, Any]) -> dict[str, Any]:
    """The columns that mean something at an instant: no cumulative volumes, no recovery."""
    return {name: values for name, values in columns.items() if not name.endswith(("_volume", "recovery_factor"))}


def _known(columns: dict[str, Any]) -> list[Column]:
    """Columns of a result whose quantity is known, in the engine's order."""
    return [Column(words(name), COLUMNS[name], values) for name, values in columns.items() if name in COLUMNS]


def _long(forecast: Forecast, what: str, names: list[str], columns: dict[str, Floats], style: Style) -> pd.DataFrame:
    dates = dates_of(forecast)
    return frame(
        (
            Column("date", "", np.repeat(dates, len(names)).tolist()),
            Column(what, "", names * len(dates)),
            *(Column(words(n), COLUMNS[n], values.ravel()) for n, values in columns.items() if n in COLUMNS),
        ),
        style,
    )


def _broken_on(limit: LimitCheck, start: np.datetime64 | None) -> str:
    return _on(limit.first_broken_day, start) if limit.broken else "no" if start is None else "never"


def _on(day: float, start: np.datetime64 | None) -> str:
    """Date of a day since the start; 'now' for an instant."""
    return "now" if start is None else str(start.astype("datetime64[D]") + np.timedelta64(int(day), "D"))


def _allowed(limit: LimitCheck, style: Style) -> str:
    """The limit; one that must not be fallen below says so."""
    text = _digits(style.value(limit.limit, limit.quantity))
    return f"at least {text}" if limit.lower else text


def _digits(value: float) -> str:
    if not np.isfinite(value):
        return "-"
    if abs(value) >= 1000.0:
        return f"{value:,.0f}"
    return f"{value:.4g}" if abs(value) > 1e-9 else "0"

"""Results on the terminal: tables that read well between 80 and 120 columns, numbers rounded, cautions in one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap

import numpy as np
import pandas as pd
from rich.console import Console
from rich.table import Table
from rich.text import Text

from planner.decide.waterfall import Waterfall, waterfalls
from planner.model.along_depth import Depth
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.results import COLUMNS, Comparison, FlowProfile, Forecast, LimitCheck, WellDescription
from planner.model.sandface_results import SkinShare
from planner.report.along_tables import string_for_reading, tubing_for_reading
from planner.report.comparison_tables import (
    broken_for_reading,
    by_zone_table,
    comparison_table,
    in_millions,
    limits_in_short,
    money_for_reading,
    recovery_table,
)
from planner.report.frames import Style, as_text, decimals_for, shown, words
from planner.report.methods import range_warnings
from planner.report.money_tables import causes_table, waterfall_table
from planner.report.sandface_tables import (
    REST_NOTE,
    SUM_NOTE,
    horizontal_notes,
    horizontal_table,
    skins_for_reading,
)
from planner.report.sentences import run_sentence
from planner.report.tables import (
    blanks_table,
    flow_layer_table,
    flow_zone_table,
    happenings_table,
    instant,
    layers_table,
    limits_table,
    of_use,
    telling,
    well_table,
    with_only,
    without,
    yearly,
    zones_table,
)

ALONG = (
    "Inflow per length and rates in the bore are at surface conditions, pressures at the middle of a piece, rates "
    "at its top. Inside a straddle they are those of its inner pipe. The string has the temperature of the reservoir."
)
GAP = 2  # characters between columns
NARROW = 8  # characters at which a header is broken
WIDE_TEXT = 24  # characters at which text in a cell is broken
NARROW_TEXT = 18  # the same in tables of many columns of text
OVERVIEW = ("oil rate", "water rate", "gas rate", "water cut", "bottom hole pressure", "oil volume", "water volume")
INSTANT = ("oil rate", "water rate", "gas rate", "water cut", "pressure", "drawdown")
MONEY = (
    "NPV", "NPV against base", "chance of success", "risked NPV against base", "job cost", "capital cost",
    "rate of return against base", "payback years against base", "has paid by", "break even oil price against base",
    "break even gas price against base",
)  # fmt: skip
GAS_OVERVIEW = ("gas rate", "water rate", "bottom hole pressure", "gas volume", "water volume")
WATER_OVERVIEW = ("water rate", "bottom hole pressure", "water volume")


def show_check(
    console: Console, case: Case, description: WellDescription, refused: Mapping[str, str], style: Style
) -> None:
    """The well: zones and what can shut them, layers, blanks, what-ifs, warnings."""
    head(console, f"{case.title or description.well}: {description.kind}")
    zones = zones_table(description, style)
    show_table(console, of_use(without(zones, "missing", "layers", "water in place")), "Zones")
    for zone in description.zones:
        if zone.missing:
            say(console, f"{zone.name} cannot be shut on its own: {' '.join(zone.missing)}")
    show_table(console, of_use(without(layers_table(description, style), "base tvd", "pore volume")), "Layers")
    show_skins(console, description.skins, style, REST_NOTE)
    show_table(console, without(blanks_table(description, style), "missing"), "Blank pipe")
    for blank in description.blanks:
        if blank.missing:
            say(console, f"{blank.name}: {' '.join(blank.missing)}")
    if case.what_ifs:
        rows = [(one.name, "no" if one.name in refused else "yes", refused.get(one.name, "")) for one in case.what_ifs]
        show_table(console, pd.DataFrame(rows, columns=["what-if", "can be done", "why not"]), "What-ifs")
    show_warnings(console, (*description.warnings, *range_warnings(case, style)))


def show_forecast(console: Console, forecast: Forecast, style: Style) -> None:
    """The well year by year, its zones at the end, what happened, limits, how the run went."""
    head(console, f"{forecast.description.well}, {forecast.name}")
    gas = forecast.description.kind.startswith("gas")
    table = yearly(well_table(forecast, style), [str(day) for day in forecast.dates.astype("datetime64[D]")])
    show_table(console, with_only(table, "date", *_overview(forecast.description.kind)), "Year by year")
    zones = recovery_table(Comparison(forecast, ()), style).drop(columns="what-if")
    show_table(console, of_use(without(zones, "oil", "peak water cut") if gas else zones), "Zones at the end")
    if forecast.happenings:
        show_table(console, happenings_table(forecast.happenings, style).drop(columns="kind"), "What happened")
    show_limits(console, forecast.limits, forecast.dates[0], style)
    say(console, run_sentence(forecast))
    show_warnings(console, (*forecast.description.warnings, *forecast.warnings))
    show_caution(console)


def show_flow(console: Console, flow: FlowProfile, style: Style, depth: Depth = "md") -> None:
    """Flow at an instant: the well, its zones and layers, views along the string and the tubing, limits."""
    head(console, f"{flow.description.well} on {flow.date}, held by {flow.control}")
    show_table(console, pd.DataFrame(_totals(flow, style), columns=["well", "value"]), "", numbers={"value"})
    instant_of = [name for name in INSTANT if name != "water cut" or not flow.description.kind.startswith("gas")]
    show_table(console, of_use(with_only(flow_zone_table(flow, style), "zone", *instant_of)), "Zones")
    show_table(console, of_use(with_only(flow_layer_table(flow, style), "layer", *instant_of)), "Layers")
    for title, table in string_for_reading(flow, style, depth):
        show_table(console, of_use(table), title)
    say(console, ALONG)
    show_skins(console, flow.skins, style, SUM_NOTE)
    if flow.horizontal:
        show_table(console, horizontal_table(flow.horizontal, style), "Productivity index of sections along the hole")
    for text in horizontal_notes(flow.horizontal):
        say(console, text)
    _show_tubing(console, flow, style, depth)
    show_limits(console, flow.limits, None, style)
    show_warnings(console, (*flow.description.warnings, *flow.warnings))
    show_caution(console)


def _show_tubing(console: Console, flow: FlowProfile, style: Style, depth: Depth) -> None:
    if flow.tubing is None:
        return
    show_table(console, of_use(tubing_for_reading(flow.tubing, style, depth)), f"Up the tubing ({flow.tubing.method})")
    say(console, flow.tubing.note)


def show_comparison(console: Console, comparison: Comparison, style: Style) -> None:
    """Base and what-ifs side by side, money, zones, refused what-ifs and broken limits."""
    head(console, f"{comparison.base.description.well}: what-ifs against the base")
    table = comparison_table(comparison, style)
    main = "gas" if comparison.base.description.kind.startswith("gas") else "oil"
    main = "water" if comparison.base.description.kind == "water injector" else main
    wet = "peak water rate" if main == "gas" else "peak water cut"
    table["limits"] = limits_in_short(comparison)
    columns = ["what-if", "limits", main, "water", "recovery factor", wet, f"{main} against base"]
    if table["last production"].nunique() > 1:
        columns.append("last production")
    show_table(console, with_only(table, *dict.fromkeys((*columns, "water against base"))), "Volumes")
    money = money_for_reading(comparison, style)
    show_table(console, with_only(money, "what-if", *MONEY), "Money")
    for name, reason in comparison.extra.get("no_return", {}).items():
        say(console, f"'{name}' has no rate of return against the base: {reason}.")
    if found := waterfalls(comparison):
        show_table(console, in_millions(causes_table(found, style), style), "What makes the difference in NPV")
    show_table(console, by_zone_table(comparison, "recovery factor", style), "Recovery factor by zone (fraction)")
    for name, reason in comparison.refused.items():
        say(console, f"The string cannot do '{name}': {reason}\n")
    for name, reason in comparison.extra.get("failed", {}).items():
        say(console, f"'{name}' could not be computed: {reason}\n")
    show_table(console, broken_for_reading(comparison, style), "Limits broken", widest=NARROW_TEXT)
    if not comparison.base.limits:
        say(console, "No limit was given, so none was checked.")
    show_warnings(console, (*comparison.base.description.warnings, *comparison.base.warnings))
    show_caution(console)


def show_waterfall(console: Console, found: Waterfall, style: Style) -> None:
    """What makes the difference between two what-ifs, cause by cause."""
    table = in_millions(waterfall_table(found, style), style)
    show_table(console, table, f"What makes the difference: {found.second} against {found.first}")
    gain = found.second_value - found.first_value
    unit, size = (style.million, 1e6) if abs(gain) >= 1e6 else (style.unit("money"), 1.0)
    say(console, f"Together {gain / size:+,.4g} {unit} of net present value; what is left over is rounding.")


def show_table(
    console: Console, table: pd.DataFrame, title: str, numbers: set[str] | None = None, widest: int = WIDE_TEXT
) -> None:
    """A table with its title, numbers to the right; one too wide goes on below, its first column told again.

    numbers: columns of numbers as text; widest: characters at which text is broken. An empty table is not shown.
    """
    if table.empty:
        return
    text = as_text(table)
    columns = [
        _column(text[name], _numeric(table, name) or str(name) in (numbers or ()), widest) for name in text.columns
    ]
    for at, block in enumerate(_blocks(columns, console.width)):
        grid = Table(
            title=title if title and not at else None, title_justify="left", title_style="bold", box=None,
            pad_edge=False,
        )  # fmt: skip
        for column in block:
            grid.add_column(
                Text(column.header, style="bold"),
                justify="right" if column.numeric else "left",
                no_wrap=column.numeric,
                min_width=column.least,
            )
        for row in zip(*(column.cells for column in block), strict=True):
            grid.add_row(*(Text(cell) for cell in row))
        console.print(grid)
        console.print()


@dataclass(frozen=True)
class _Shown:
    """A column as it will stand: header broken into lines, cells as text, and the least width that it needs."""

    header: str
    cells: list[str]
    numeric: bool
    least: int


def _column(cells: pd.Series[str], numeric: bool, broken_at: int) -> _Shown:
    widest = int(cells.str.len().max())
    lines = wrap(str(cells.name), max(min(widest, broken_at), NARROW), break_long_words=False)
    head = max(len(line) for line in lines)
    least = max(head, widest if numeric else min(widest, broken_at))
    return _Shown("\n".join(lines), cells.tolist(), numeric, least)


def _blocks(columns: list[_Shown], width: int) -> list[list[_Shown]]:
    """The columns in groups that fit the width, the first column at the head of each group."""
    blocks: list[list[_Shown]] = [[columns[0]]]
    for column in columns[1:]:
        if sum(one.least + GAP for one in (*blocks[-1], column)) - GAP > width and len(blocks[-1]) > 1:
            blocks.append([columns[0]])
        blocks[-1].append(column)
    return blocks


def _numeric(table: pd.DataFrame, name: str) -> bool:
    return bool(pd.api.types.is_numeric_dtype(table[name]))


def show_skins(console: Console, skins: Sequence[SkinShare], style: Style, note: str) -> None:
    """The skins of the openings part by part; nothing where there is none."""
    if any(one.value for one in skins):
        show_table(console, skins_for_reading(skins, style), "Skin, part by part")
        say(console, note)


def show_limits(console: Console, limits: Sequence[LimitCheck], start: np.datetime64 | None, style: Style) -> None:
    """The limits that were broken, and of every other one the place that came nearest to it; or that none was given.

    start: the date of day 0; None for an instant.
    """
    if not limits:
        say(console, "No limit was given, so none was checked.")
        return
    show_table(console, limits_table(telling(limits), start, style), "Limits, where nearest", widest=NARROW_TEXT)


def show_warnings(console: Console, warnings: Iterable[str]) -> None:
    """Warnings, one a line, each once."""
    for text in dict.fromkeys(warnings):
        say(console, f"Warning: {text}")


def show_caution(console: Console) -> None:
    """The cautions in one line."""
    say(console, f"Caution: {CAUTION}")


def _totals(flow: FlowProfile, style: Style) -> list[tuple[str, str]]:
    rows = []
    for name, value in instant(flow.well).items():
        if name == "water_cut" and flow.description.kind.startswith("gas"):
            continue
        if name in COLUMNS and (value or name.startswith("water")):  # no row for oil in a gas well
            number = float(style.value(value, COLUMNS[name]))
            text = shown(number, decimals_for([number], COLUMNS[name]))
            rows.append((style.header(words(name), COLUMNS[name]), text))
    return rows


def _overview(kind: str) -> tuple[str, ...]:
    if kind == "water injector":
        return WATER_OVERVIEW
    return GAS_OVERVIEW if kind.startswith("gas") else OVERVIEW


def head(console: Console, text: str) -> None:
    """A headline."""
    console.print(Text(text, style="bold underline"))
    console.print()


def say(console: Console, text: str) -> None:
    """A sentence on a line of its own."""
    console.print(Text(text))

"""Results on the terminal: tables that read well between 80 and 120 columns, numbers rounded, cautions in one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from textwrap import wrap

import pandas as pd
from rich.console import Console
from rich.table import Table
from rich.text import Text

from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.results import COLUMNS, Comparison, FlowProfile, Forecast, LimitCheck, WellDescription
from planner.report.frames import Style, as_text, decimals_for, shown, words
from planner.report.sentences import run_sentence
from planner.report.tables import (
    blanks_table,
    comparison_table,
    flow_layer_table,
    flow_zone_table,
    happenings_table,
    layers_table,
    limits_table,
    money_by_figure,
    profile_table,
    recovery_table,
    well_table,
    with_only,
    without,
    yearly,
    zones_table,
)

FEW_PIECES = 30
NARROW, LEAST_TEXT = 8, 10  # characters: headers of numbers are broken at this width, text keeps at least that
OVERVIEW = ("oil rate", "water rate", "gas rate", "water cut", "bottom hole pressure", "oil volume", "water volume")
GAS_OVERVIEW = ("gas rate", "water rate", "water cut", "bottom hole pressure", "gas volume", "water volume")
WATER_OVERVIEW = ("water rate", "bottom hole pressure", "water volume")


def show_check(
    console: Console, case: Case, description: WellDescription, refused: Mapping[str, str], style: Style
) -> None:
    """The well: zones and what can shut them, layers, blanks, what-ifs, warnings."""
    _head(console, f"{case.title or description.well}: {description.kind}")
    zones = zones_table(description, style)
    show_table(console, without(zones, "missing", "layers", "water in place"), "Zones")
    for zone in description.zones:
        if zone.missing:
            _say(console, f"{zone.name} cannot be shut on its own: {' '.join(zone.missing)}")
    show_table(console, without(layers_table(description, style), "base tvd", "pore volume"), "Layers")
    show_table(console, without(blanks_table(description, style), "missing"), "Blank pipe")
    for blank in description.blanks:
        if blank.missing:
            _say(console, f"{blank.name}: {' '.join(blank.missing)}")
    if case.what_ifs:
        rows = [(one.name, "no" if one.name in refused else "yes", refused.get(one.name, "")) for one in case.what_ifs]
        show_table(console, pd.DataFrame(rows, columns=["what-if", "can be done", "why not"]), "What-ifs")
    show_warnings(console, description.warnings)


def show_forecast(console: Console, forecast: Forecast, style: Style) -> None:
    """The well year by year, its zones at the end, what happened, limits, how the run went."""
    _head(console, f"{forecast.description.well}, {forecast.name}")
    table = yearly(well_table(forecast, style), [str(day) for day in forecast.dates.astype("datetime64[D]")])
    show_table(console, with_only(table, "date", *_overview(forecast.description.kind)), "Year by year")
    show_table(console, recovery_table(Comparison(forecast, ()), style).drop(columns="what-if"), "Zones at the end")
    if forecast.happenings:
        show_table(console, happenings_table(forecast.happenings, style).drop(columns="kind"), "What happened")
    show_limits(console, forecast.limits, limits_table(forecast.limits, forecast.dates[0], style))
    _say(console, run_sentence(forecast))
    show_warnings(console, (*forecast.description.warnings, *forecast.warnings))
    show_caution(console)


def show_flow(console: Console, flow: FlowProfile, style: Style) -> None:
    """Flow at an instant: the well, its zones and layers, the bore where it has few pieces, limits."""
    _head(console, f"{flow.description.well} on {flow.date}, held by {flow.control}")
    show_table(console, pd.DataFrame(_totals(flow, style), columns=["well", "value"]), "", numbers={"value"})
    show_table(console, flow_zone_table(flow, style), "Zones")
    show_table(console, flow_layer_table(flow, style), "Layers")
    pieces = profile_table(flow, style)
    if len(pieces) <= FEW_PIECES:
        show_table(console, without(pieces, "kind", "zone"), "Along the string")
    else:
        _say(console, f"Along the string: {len(pieces)} pieces of bore, in --json, --csv and --parquet.")
    show_limits(console, flow.limits, limits_table(flow.limits, None, style))
    show_warnings(console, (*flow.description.warnings, *flow.warnings))
    show_caution(console)


def show_comparison(console: Console, comparison: Comparison, style: Style) -> None:
    """Base and what-ifs side by side, money, zones, refused what-ifs and broken limits."""
    _head(console, f"{comparison.base.description.well}: what-ifs against the base")
    table = comparison_table(comparison, style)
    main = "gas" if comparison.base.description.kind.startswith("gas") else "oil"
    main = "water" if comparison.base.description.kind == "water injector" else main
    columns = dict.fromkeys((main, "water", "recovery factor", "peak water cut", f"{main} against base"))
    show_table(console, with_only(table, "what-if", *columns, "water against base", "last production"), "Volumes")
    show_table(console, money_by_figure(comparison, style), "Money", numbers=set(money_columns(comparison)))
    show_table(console, _recovery_by_zone(comparison, style), "Recovery factor by zone (fraction)")
    for name, reason in comparison.refused.items():
        _say(console, f"The string cannot do '{name}': {reason}")
    for name, reason in comparison.extra.get("failed", {}).items():
        _say(console, f"'{name}' could not be computed: {reason}")
    for run in (comparison.base, *comparison.others):
        broken = tuple(limit for limit in run.limits if limit.broken)
        if broken:
            show_table(console, limits_table(broken, run.dates[0], style), f"Limits broken in {run.name}")
    if not comparison.base.limits:
        _say(console, "No limit was given, so none was checked.")
    show_warnings(console, (*comparison.base.description.warnings, *comparison.base.warnings))
    show_caution(console)


def money_columns(comparison: Comparison) -> list[str]:
    """Names of what ran, as the columns of the money table."""
    return [run.name for run in (comparison.base, *comparison.others)]


def show_table(console: Console, table: pd.DataFrame, title: str, numbers: set[str] | None = None) -> None:
    """A table with its title; numbers to the right; nothing where it is empty. numbers: columns of numbers as text."""
    if table.empty:
        return
    grid = Table(title=title or None, title_justify="left", title_style="bold", box=None, pad_edge=False)
    text = as_text(table)
    for name in table.columns:
        numeric = pd.api.types.is_numeric_dtype(table[name]) or str(name) in (numbers or set())
        widest = int(text[str(name)].str.len().max())
        header = Text("\n".join(wrap(str(name), max(widest, NARROW), break_long_words=False)), style="bold")
        least = None if numeric else min(widest, LEAST_TEXT)
        grid.add_column(header, justify="right" if numeric else "left", no_wrap=numeric, min_width=least)
    for row in text.itertuples(index=False, name=None):
        grid.add_row(*(Text(str(cell)) for cell in row))
    console.print(grid)
    console.print()


def show_limits(console: Console, limits: Sequence[LimitCheck], table: pd.DataFrame) -> None:
    """Limits with their worst values, or that none was given."""
    if limits:
        show_table(console, table, "Limits")
    else:
        _say(console, "No limit was given, so none was checked.")


def show_warnings(console: Console, warnings: Iterable[str]) -> None:
    """Warnings, one a line, each once."""
    for text in dict.fromkeys(warnings):
        _say(console, f"Warning: {text}")


def show_caution(console: Console) -> None:
    """The cautions in one line."""
    _say(console, f"Caution: {CAUTION}")


def _totals(flow: FlowProfile, style: Style) -> list[tuple[str, str]]:
    rows = []
    for name, value in flow.well.items():
        if name in COLUMNS:
            number = float(style.value(value, COLUMNS[name]))
            text = shown(number, decimals_for([number], COLUMNS[name]))
            rows.append((style.header(words(name), COLUMNS[name]), text))
    return rows


def _overview(kind: str) -> tuple[str, ...]:
    if kind == "water injector":
        return WATER_OVERVIEW
    return GAS_OVERVIEW if kind.startswith("gas") else OVERVIEW


def _recovery_by_zone(comparison: Comparison, style: Style) -> pd.DataFrame:
    """A row each what-if, a column each zone."""
    long = recovery_table(comparison, style)
    column = next(name for name in long.columns if str(name).startswith("recovery factor"))
    if long[column].isna().all():
        return pd.DataFrame()
    wide = long.pivot(index="what-if", columns="zone", values=column)
    wide = wide.loc[long["what-if"].drop_duplicates(), long["zone"].drop_duplicates()]
    wide.columns.name = None
    table = wide.reset_index()
    table.attrs["quantities"] = {str(name): "fraction" for name in table.columns[1:]}
    return table


def _head(console: Console, text: str) -> None:
    console.print(Text(text, style="bold underline"))
    console.print()


def _say(console: Console, text: str) -> None:
    console.print(Text(text))

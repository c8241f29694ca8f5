"""Comparisons as tables: base and what-ifs side by side, money, zones, limits; pandas DataFrames with units."""

from __future__ import annotations

import numpy as np
import pandas as pd

from planner.decide.compare import Outcome, outcomes
from planner.decide.value import BREAK_EVEN, FIGURES
from planner.model.results import Comparison
from planner.report.frames import Column, Style, frame, words
from planner.report.tables import FIELD, limits_table, name_of, of_use

LARGE = 1e7  # sums of money from which on a table shows millions


def comparison_table(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """Base and what-ifs side by side: volumes, recovery, water, differences, limits; a row each that ran."""
    rows = outcomes(comparison)
    return frame(
        (
            Column("what-if", "", [row.name for row in rows]),
            Column("oil", "liquid volume", [row.oil_volume for row in rows]),
            Column("water", "liquid volume", [row.water_volume for row in rows]),
            Column("gas", "gas volume", [row.gas_volume for row in rows]),
            Column("recovery factor", "fraction", [row.recovery_factor for row in rows]),
            Column("peak water cut", "fraction", [row.peak_water_cut for row in rows]),
            Column("peak water rate", "liquid rate", [row.peak_water_rate for row in rows]),
            Column("oil against base", "liquid volume", [row.oil_difference for row in rows]),
            Column("water against base", "liquid volume", [row.water_difference for row in rows]),
            Column("gas against base", "gas volume", [row.gas_difference for row in rows]),
            Column("water arrives", "", [row.water_arrival for row in rows]),
            Column("last production", "", [row.well_end for row in rows]),
            Column("limits broken", "", [_broken_names(row) for row in rows]),
        ),
        style,
    )


def money_table(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """Money figures of base and what-ifs, a row each that ran."""
    names = [run.name for run in (comparison.base, *comparison.others)]
    found = [comparison.money.get(name, {}) for name in names]
    columns = (
        Column(words(figure), quantity, [row.get(figure, float("nan")) for row in found])
        for figure, quantity in {**FIGURES, **BREAK_EVEN}.items()
    )
    dates = comparison.extra.get("break_even_dates", {})
    even = Column("has paid by", "", [dates.get(name, "") for name in names])
    return frame((Column("what-if", "", names), *columns, even), style)


def money_for_reading(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """The money table in millions where the sums are large, without the figures that are nought for all."""
    table = _for_reading(comparison, money_table(comparison, Style(style.system, "words", style.currency)))
    return of_use(in_millions(table, style))


def in_millions(table: pd.DataFrame, style: Style) -> pd.DataFrame:
    """A table with its money in millions where the sums are large."""
    money = [name for name, quantity in table.attrs["quantities"].items() if quantity == "money"]
    quantities = dict(table.attrs["quantities"])
    if money and np.nanmax(np.abs(table[money].to_numpy()), initial=0.0) >= LARGE:
        table = table.assign(**{name: table[name] / 1e6 for name in money})
        unit, millions = f"({style.unit('money')})", f"({style.million})"
        table = table.rename(columns={name: name.replace(unit, millions) for name in money})
        quantities = dict(zip(table.columns, quantities.values(), strict=True))
    table.attrs["quantities"] = quantities
    return table


def _for_reading(comparison: Comparison, table: pd.DataFrame) -> pd.DataFrame:
    """Without chances where every job is sure, and without the break-even price of what the well is not there for."""
    gas = comparison.base.description.kind.startswith("gas")
    idle = ["break even oil price" if gas else "break even gas price"]
    if all(one.get("chance_of_success", 1.0) == 1.0 for one in comparison.money.values()):
        idle += ["chance of success", "risked NPV against base"]
    if not any(comparison.extra.get("break_even_dates", {}).values()):
        idle.append("has paid by")
    kept = table.drop(columns=[name for name in table.columns if str(name).startswith(tuple(idle))])
    kept.attrs["quantities"] = {name: table.attrs["quantities"][name] for name in kept.columns}
    return kept


def recovery_table(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """What each zone gave in each what-if, long: a row each what-if and zone."""
    rows = [(row, zone) for row in outcomes(comparison) for zone in row.zones]
    return frame(
        (
            Column("what-if", "", [row.name for row, _ in rows]),
            Column("zone", "", [zone.name for _, zone in rows]),
            Column("oil", "liquid volume", [zone.oil_volume for _, zone in rows]),
            Column("water", "liquid volume", [zone.water_volume for _, zone in rows]),
            Column("gas", "gas volume", [zone.gas_volume for _, zone in rows]),
            Column("recovery factor", "fraction", [zone.recovery_factor for _, zone in rows]),
            Column("peak water cut", "fraction", [zone.peak_water_cut for _, zone in rows]),
            Column("water arrives", "", [zone.water_arrival for _, zone in rows]),
        ),
        style,
    )


def by_zone_table(comparison: Comparison, what: str, style: Style = FIELD) -> pd.DataFrame:
    """One column of the recovery table spread out: a row each what-if, a column each zone; empty where it has nothing.

    what: 'oil', 'water', 'gas', 'recovery factor' or 'peak water cut'.
    """
    long = recovery_table(comparison, style)
    column = next(header for header in long.columns if name_of(str(header)) == what)
    if not long[column].fillna(0.0).any():
        return pd.DataFrame()
    wide = long.pivot(index="what-if", columns="zone", values=column)
    wide = wide.loc[long["what-if"].drop_duplicates(), long["zone"].drop_duplicates()]
    wide.columns.name = None
    table = wide.reset_index()
    table.attrs["quantities"] = {str(name): long.attrs["quantities"][column] for name in table.columns[1:]}
    return table


def broken_for_reading(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """The limits that were broken, worst value, limit and unit in one column."""
    table = broken_table(comparison, style)
    table["worst of allowed"] = [
        f"{worst} of {allowed} {unit}"
        for worst, allowed, unit in zip(table["worst"], table["allowed"], table["unit"], strict=True)
    ]
    return table[["what-if", "limit", "where", "worst of allowed", "first broken"]]


def broken_table(comparison: Comparison, style: Style = FIELD) -> pd.DataFrame:
    """Every limit that was broken, in the base and in every what-if, a row each."""
    found = [
        limits_table([limit for limit in run.limits if limit.broken], run.dates[0], style).assign(run=run.name)
        for run in (comparison.base, *comparison.others)
    ]
    table = pd.concat(found, ignore_index=True)
    return table[["run", *(name for name in table.columns if name != "run")]].rename(columns={"run": "what-if"})


def _broken_names(row: Outcome) -> str:
    return "; ".join(dict.fromkeys(limit.name for limit in row.broken)) or "none"

"""A portfolio as tables, a figure, plain data, a page, and on the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import pandas as pd
import plotly.graph_objects as go
from rich.console import Console

from planner.model.cautions import CAUTION
from planner.model.portfolio import Option, PortfolioPlan
from planner.report.comparison_tables import in_millions
from planner.report.documents import record
from planner.report.frames import Column, Style, frame
from planner.report.look import BLUE, RED, dressed
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup
from planner.report.tables import keys_for, of_use
from planner.report.terminal import head, say, show_caution, show_table, show_warnings

FIELD = Style()
OPTION = {"value": "money", "cost": "money", "rig_time": "time"}
DAY = 86_400.0


def chosen_table(found: PortfolioPlan, style: Style = FIELD) -> pd.DataFrame:
    """The jobs of the best set, a row each, the most valuable first."""
    return _options(sorted((found.options[k] for k in found.chosen.places), key=lambda one: -one.value), style)


def missed_table(found: PortfolioPlan, style: Style = FIELD) -> pd.DataFrame:
    """The jobs that are left out, those that just miss first."""
    rows = found.missed
    return frame(
        (
            Column("well", "", [row.option.well for row in rows]),
            Column("job", "", [row.option.name for row in rows]),
            Column("value", "money", [row.option.value for row in rows]),
            Column("cost", "money", [row.option.cost for row in rows]),
            Column("rig time", "time", [row.option.rig_time for row in rows]),
            Column("misses by", "money", [row.loss for row in rows]),
            Column("budget needed", "money", [row.budget_needed for row in rows]),
            Column("why", "", [row.why or "another set is worth more" for row in rows]),
        ),
        style,
    )


def budgets_table(found: PortfolioPlan, style: Style = FIELD) -> pd.DataFrame:
    """Value of the best set against the budget."""
    return frame((Column("budget", "money", found.budgets), Column("value", "money", found.values)), style)


def _options(rows: Sequence[Option], style: Style) -> pd.DataFrame:
    return frame(
        (
            Column("well", "", [row.well for row in rows]),
            Column("job", "", [row.name for row in rows]),
            Column("date", "", [row.date for row in rows]),
            Column("value", "money", [row.value for row in rows]),
            Column("cost", "money", [row.cost for row in rows]),
            Column("rig time", "time", [row.rig_time for row in rows]),
        ),
        style,
    )


def budget_figure(found: PortfolioPlan, style: Style) -> go.Figure:
    """Value of the best set against the budget, the budget asked for marked."""
    figure = go.Figure()
    budgets, values = [one / 1e6 for one in found.budgets], [one / 1e6 for one in found.values]
    figure.add_scatter(x=budgets, y=values, mode="lines+markers", line={"color": BLUE, "shape": "hv"}, name="best set")
    if math.isfinite(found.budget):
        figure.add_scatter(
            x=[found.budget / 1e6], y=[found.chosen.value / 1e6], mode="markers", name="the budget",
            marker={"symbol": "star", "size": 15, "color": RED},
        )  # fmt: skip
    figure.update_xaxes(title=f"budget ({style.million})")
    figure.update_yaxes(title=f"risked value of the best set ({style.million})", rangemode="tozero")
    return dressed(figure, "What the budget is worth")


def portfolio_document(found: PortfolioPlan, style: Style) -> dict[str, Any]:
    """The plan as plain data with stable keys."""
    keys = keys_for(style.system)

    def option(one: Option) -> dict[str, Any]:
        return record(asdict(one), OPTION, keys)

    missed = [
        {**option(one.option), "misses_by_money": one.loss, "budget_needed_money": one.budget_needed, "why": one.why}
        for one in found.missed
    ]
    return {
        "title": found.title,
        "date": found.date,
        "currency": found.currency,
        "units": style.system,
        "caution": CAUTION,
        "budget_money": found.budget,
        "rig_time_d": found.rig_time / DAY,
        "value_money": found.chosen.value,
        "cost_money": found.chosen.cost,
        "rig_time_used_d": found.chosen.rig_time / DAY,
        "chosen": [option(found.options[k]) for k in found.chosen.places],
        "missed": missed,
        "next_budget_money": found.next_budget,
        "next_value_money": found.next_value,
        "next_set": [found.options[k].key for k in found.next_set],
        "dual_of_budget": found.dual,
        "dual_of_rig_time_money_per_d": found.dual_rig * DAY,
        "curve": [
            {"budget_money": budget, "value_money": value}
            for budget, value in zip(found.budgets, found.values, strict=True)
        ],
        "notes": list(found.notes),
    }


def sentences(found: PortfolioPlan, style: Style) -> list[str]:
    """What the plan comes to, and what more budget would be worth."""
    chosen = found.chosen
    budget = f" of a budget of {style.sum(found.budget)}" if math.isfinite(found.budget) else "; no budget limit"
    told = [
        f"Best set: {len(chosen.places)} of {len(found.options)} jobs, worth {style.sum(chosen.value)} for "
        f"{style.sum(chosen.cost)}{budget}."
    ]
    if math.isfinite(found.rig_time):
        told.append(f"Rig time: {chosen.rig_time / DAY:.3g} of {found.rig_time / DAY:.3g} days.")
    if math.isfinite(found.next_budget):
        gain = found.next_value - chosen.value
        names = "; ".join(found.options[k].key for k in found.next_set)
        told.append(
            f"With a budget of {style.sum(found.next_budget)} a better set can be had, worth {style.sum(gain)} "
            f"more: {names}."
        )
    else:
        told.append("More budget would be worth nothing.")
    if found.dual > 0.0:
        told.append(
            f"If jobs could be done in part, one more unit of budget would be worth {found.dual:.3g} (a hint from the "
            "linear relaxation; whole jobs come in steps)."
        )
    if found.dual_rig > 0.0:
        told.append(f"In the same way one more rig day would be worth {style.sum(found.dual_rig * DAY)}.")
    return told


def show_portfolio(console: Console, found: PortfolioPlan, style: Style) -> None:
    """The best set, what just misses it, and what more budget is worth."""
    head(console, found.title or "The best set of jobs")
    show_table(console, of_use(in_millions(chosen_table(found, style), style)), "Chosen")
    for text in sentences(found, style):
        say(console, text)
    console.print()
    show_table(console, of_use(in_millions(missed_table(found, style), style)), "Left out, those that just miss first")
    show_warnings(console, found.notes)
    show_caution(console)


def portfolio_chapter(found: PortfolioPlan, style: Style) -> Chapter:
    """The plan and what it rests on, as a chapter."""
    told = sentences(found, style)
    missed = table_markup(of_use(in_millions(missed_table(found, style), style)))
    parts = [
        Part("Chosen", " ".join(told[1:]), (
            table_markup(of_use(in_millions(chosen_table(found, style), style))),
            figure_markup(budget_figure(found, style)))),
        Part("Left out, those that just miss first", MISSED, (missed,)),
        *([Part("Notes", "", (list_markup(found.notes),))] if found.notes else []),
    ]  # fmt: skip
    lead = f"{told[0]} Day of the decision: {found.date}." if found.date else told[0]
    return Chapter("portfolio", "Portfolio", found.title or "The best set of jobs", lead, tuple(parts))


MISSED = (
    "'Misses by' is what the best set that holds the job is worth less than the best set; 'budget needed' the least "
    "budget tried at which the best set holds it."
)

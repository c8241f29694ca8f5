"""A proposed split as a chapter."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd

from planner.model.chapter import Chapter, Part
from planner.model.split_results import SplitResult
from planner.report.comparison_tables import in_millions
from planner.report.frames import Style
from planner.report.markup import figure_markup, list_markup, table_markup
from planner.report.plan_terminal import split_sentences
from planner.report.split_figures import seals_figure, string_figure
from planner.report.split_tables import (
    check_table,
    elements_table,
    groups_table,
    install_table,
    pay_table,
    seals_table,
    split_zones_table,
    tally_table,
    wishes_table,
)


def split_answer(found: SplitResult, style: Style) -> str:
    """The answer in a sentence: into what, with how many seals, what may be shut later."""
    names = [zone.name for zone in found.zones]
    seals = sum(1 for zone in found.tally if zone.kind == "isolation joint")
    shut = [zone.name for zone in found.zones if zone.shuttable]
    later = "all can be shut later" if len(shut) == len(names) else f"later can be shut: {', '.join(shut) or 'none'}"
    told = f"{seals} seal{'' if seals == 1 else 's'}"
    worth = f"{found.shut_worth / 1e6:,.3g} {style.million}"
    return f"Best split: {len(names)} zones with {told} ({', '.join(names)}); {later}, which is worth {worth}."


def split_chapter(found: SplitResult, style: Style) -> Chapter:
    """Zones, the string, what it was chosen from, what choice and screen are worth, the tally."""

    def table(made: Callable[[SplitResult, Style], pd.DataFrame], caption: str = "") -> str:
        return table_markup(in_millions(made(found, style), style), caption)

    parts = [
        Part("Zones", "", (table(split_zones_table), list_markup(split_sentences(found, style)))),
        Part("The string", "", (
            figure_markup(string_figure(found, style)), table(elements_table, "Top to bottom"),
            table(install_table, "To install it"),
        )),
        Part("What it was chosen from", "", (
            figure_markup(seals_figure(found, style)), table(seals_table, "Best value with so many seals"),
        )),
        Part("What choice and screen are worth", "", (
            table(groups_table, "To be able to shut sands later"),
            table_markup(pay_table(found, style), "Screen, by length"),
            *((table(check_table, "The proposal forecast as a whole"),) if found.check else ()),
            *((table(wishes_table, "What each wish costs"),) if found.wishes else ()),
        )),
        Part("Joint by joint", "", (table_markup(tally_table(found, style)),)),
    ]  # fmt: skip
    if found.warnings:
        parts.append(Part("Warnings", "", (list_markup(found.warnings),)))
    title = f"{found.well}: a split into {len(found.zones)} zones"
    return Chapter("split", "Zone split", title, split_answer(found, style), tuple(parts))

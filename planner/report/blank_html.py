"""What blank pipes are worth as a chapter of a report."""

from __future__ import annotations

import pandas as pd
from markupsafe import Markup

from planner.model.blank_value import BlankValues
from planner.report.blank_figures import by_blank_figure, convergence_figure, futures_figure, ways_figure
from planner.report.blank_tables import (
    answer,
    by_way_wide,
    drivers_table,
    effort,
    first_and_last_table,
    groups_table,
    nothing_done,
    prices_for_reading,
    ranking_for_reading,
    ways_table,
    zones_table,
)
from planner.report.comparison_tables import in_millions
from planner.report.frames import Style
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup

DRAWN = 3  # blanks whose futures are drawn


def blanks_chapter(found: BlankValues, style: Style) -> Chapter:
    """The answer and what it rests on, as a chapter."""
    title = f"What the blank pipes of {found.well} are worth"
    return Chapter("blanks", "Value of blank pipe", title, answer(found, style), tuple(blanks_parts(found, style)))


def _convergence(found: BlankValues, style: Style) -> tuple[Markup, ...]:
    return (figure_markup(convergence_figure(found, style)),) if len(found.convergence) > 1 else ()


def _futures(found: BlankValues, style: Style) -> tuple[Markup, ...]:
    drawn = [one for one in found.blanks if one.futures is not None][:DRAWN]
    return tuple(figure_markup(futures_figure(found, one, style)) for one in drawn)


def _cannot(found: BlankValues) -> tuple[Markup, ...]:
    if not found.forbidden:
        return ()
    return (table_markup(pd.DataFrame(found.forbidden, columns=["zone", "why it cannot be shut"])),)


def blanks_parts(found: BlankValues, style: Style) -> list[Part]:
    """Parts of a report: ways of acting, blanks, futures, zones, how it was computed."""
    ways, ranking = in_millions(ways_table(found, style), style), ranking_for_reading(found, style)
    return [
        Part("Ways of acting", f"{nothing_done(found, style)} What acting adds to it with every blank there:",
             (figure_markup(ways_figure(found, style)), table_markup(ways), *_convergence(found, style))),
        Part("Blanks by what their removal costs", f"By {found.main}.",
             (figure_markup(by_blank_figure(found, style)), table_markup(ranking),
              table_markup(in_millions(by_way_wide(found, style), style), "Under every way of acting"))),
        Part("Several at once, and one alone", "A blank that another can stand in for is missed only with the other.",
             (table_markup(in_millions(groups_table(found, style), style), "Without all of a row"),
              table_markup(in_millions(first_and_last_table(found, style), style), "First in and last out"))),
        Part("What each blank costs", "Lost screen: what the same length as screen would have given, less its cost.",
             (table_markup(prices_for_reading(found, style)),)),
        Part("Futures in which a blank is worth its price", "Inputs that tell those futures from the rest; strength 0 "
             "tells nothing, 1 tells all. Drawn for the blanks that are missed most.",
             (*_futures(found, style), table_markup(drivers_table(found, style)))),
        Part("Zones that can be shut", "Mean gain of shutting a zone on a date in every future alike.",
             (table_markup(in_millions(zones_table(found, style), style)), *_cannot(found))),
        Part("How it was computed, and what is left out", effort(found), (
            list_markup(found.notes), *(list_markup((f"Warning: {text}",)) for text in found.warnings),
        )),
    ]  # fmt: skip

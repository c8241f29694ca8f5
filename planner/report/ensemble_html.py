"""The HTML report of an ensemble: one self-contained file."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
from markupsafe import Markup

from planner.base.cards import CARDS
from planner.model.ensemble import Fan, Findings, Range
from planner.report.ensemble_figures import (
    convergence_figure,
    duel_figure,
    exceedance_figure,
    fan_figure,
    flips_figure,
    shares_figure,
    tornado_figure,
)
from planner.report.ensemble_tables import (
    draws_in_words,
    duels_for_reading,
    flips_for_reading,
    in_style,
    name_of,
    ranges_for_reading,
    shares_for_reading,
    swings_for_reading,
    title_of,
    unit_of,
)
from planner.report.frames import Style
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup
from planner.uncertainty.statistics import quantity_of_figure

MOST_FANS = 3  # what-ifs in one fan chart


def ensemble_chapter(found: Findings, style: Style) -> Chapter:
    """The ranges and what they rest on, as a chapter."""
    made = found.ensemble
    how = "given draws" if made.draws.design == "given" else f"{made.draws.design}, seed {made.draws.seed}"
    lead = (
        f"{ensemble_answer(found, style)} {made.members} members ({how}); P90 is the low case, exceeded with a "
        "probability of 90 %."
    )
    return Chapter("ensemble", "Uncertainty", f"Ranges of {made.well}", lead, tuple(parts_of(found, style)))


def ensemble_answer(found: Findings, style: Style) -> str:
    """The answer in a sentence: the range of the figure that decides, of the best what-if and of the base."""
    figure = _money_first(found.decision or found.figures)[0]
    ranges = sorted((one for one in found.ranges if one.figure == figure), key=lambda one: -one.p50)
    base = next(one for one in ranges if one.what_if == found.ensemble.what_ifs[0])
    told = [base] if ranges[0] is base else [ranges[0], base]
    return f"{_heading(figure, style)}: " + "; ".join(_range_words(one, style) for one in told) + "."


def _money_first(figures: Sequence[str]) -> list[str]:
    return sorted(figures, key=lambda figure: figure != "npv")


def _range_words(one: Range, style: Style) -> str:
    low, mid, high = (in_style((value,), one.quantity, style)[0] for value in (one.p90, one.p50, one.p10))
    return f"{one.what_if} P90 {low:,.4g}, P50 {mid:,.4g}, P10 {high:,.4g}"


def parts_of(found: Findings, style: Style) -> list[Part]:
    """Parts of a report: ranges, fans, the decision, what moves the answer, whether members suffice, inputs, notes."""
    base = [one for one in found.convergence if one.what_if == found.ensemble.what_ifs[0]]
    enough = tuple(figure_markup(convergence_figure(one, style)) for one in base)
    return [
        *_ranges(found, style),
        Part("Over time", "", tuple(figure_markup(fan_figure(fans, style)) for fans in _fans(found))),
        *_duels(found, style),
        *_flips(found, style),
        *_drivers(found, style),
        Part("Are the members enough?", "Percentiles of the first members, with bands.", enough),
        Part("What was drawn", "", (table_markup(inputs_table(found, style)),)),
        Part("Methods and sources", "", (table_markup(methods_table(found)),)),
        Part("How to read this, and what was left out", "", (list_markup(found.notes),)),
    ]


def _heading(figure: str, style: Style) -> str:
    unit = unit_of(quantity_of_figure(figure), style)
    return f"{title_of(figure)} ({unit})" if unit else title_of(figure)


def _ranges(found: Findings, style: Style) -> list[Part]:
    made = []
    for figure in _money_first(found.figures):
        ranges = [one for one in found.ranges if one.figure == figure]
        body: tuple[Markup, ...] = (table_markup(ranges_for_reading(ranges, style)),)
        if figure in found.decision:
            body = (*body, figure_markup(exceedance_figure(found.ensemble, figure, style)))
        made.append(Part(_heading(figure, style), "", body))
    return made


def _fans(found: Findings) -> list[list[Fan]]:
    columns = dict.fromkeys(fan.column for fan in found.fans)
    chosen = found.ensemble.what_ifs[:MOST_FANS]
    return [[fan for fan in found.fans if fan.column == column and fan.what_if in chosen] for column in columns]


def _duels(found: Findings, style: Style) -> list[Part]:
    made = []
    for figure in _money_first(found.decision):
        duels = [one for one in found.duels if one.figure == figure]
        if duels:
            body = (table_markup(duels_for_reading(duels, style)), figure_markup(duel_figure(duels, style)))
            made.append(Part(f"What-if against what-if: {_heading(figure, style)}", "", body))
    return made


def _flips(found: Findings, style: Style) -> list[Part]:
    made = []
    inputs = found.ensemble.draws.inputs
    for one, other in dict.fromkeys((flip.one, flip.other) for flip in found.flips):
        flips = [flip for flip in found.flips if (flip.one, flip.other) == (one, other)]
        body = (
            table_markup(flips_for_reading(flips, inputs, style)),
            figure_markup(flips_figure(flips, inputs, style)),
        )
        text = "Strength 0 tells nothing, 1 tells all; 'by chance' is the probability of as much from random numbers."
        made.append(Part(f"What flips the decision: {one} or {other}", text, body))
    return made


def _drivers(found: Findings, style: Style) -> list[Part]:
    made = []
    inputs = found.ensemble.draws.inputs
    for figure in _money_first(found.decision):
        swings = [one for one in found.swings if one.figure == figure]
        if swings:
            table = swings_for_reading(swings, quantity_of_figure(figure), inputs, style)
            body = (figure_markup(tornado_figure(swings, inputs, style)), table_markup(table))
            made.append(Part(f"What moves {_heading(figure, style)}", "", body))
        shares = [one for one in found.shares if one.figure == figure]
        if shares:
            body = (figure_markup(shares_figure(shares)), table_markup(shares_for_reading(shares)))
            made.append(Part(f"Shares of the variance of {name_of(figure)}", "", body))
    return made


def methods_table(found: Findings) -> pd.DataFrame:
    """Published methods behind the numbers."""
    keys = ["hazen_1914", "order_statistics_1999", "wilson_1927", "mann_whitney_1947"]
    keys += ["latin_hypercube_1979", "iman_conover_1982"] if found.ensemble.draws.design == "latin hypercube" else []
    keys += ["weibull_1951"] if any(one.quantity == "time" for one in found.ensemble.draws.inputs) else []
    keys += list(dict.fromkeys({"members": "kelley_1935", "design": "saltelli_2010"}[s.method] for s in found.shares))
    rows = [(CARDS[key].name, CARDS[key].source, CARDS[key].equation, CARDS[key].note) for key in keys]
    return pd.DataFrame(rows, columns=["gives", "source", "form", "note"])


def inputs_table(found: Findings, style: Style) -> pd.DataFrame:
    """What was drawn: P90, P50 and P10 of each input as the members have it."""
    rows = []
    draws = found.ensemble.draws
    for number, one in enumerate(draws.inputs):
        rows.append((one.name, one.kind, ", ".join(one.paths), *draws_in_words(draws, number, style)))
    return pd.DataFrame(rows, columns=["input", "drawn as", "path", "P90", "P50", "P10"])

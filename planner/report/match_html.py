"""The HTML report of a match: one self-contained file."""

from __future__ import annotations

import numpy as np
import pandas as pd

from planner.model.match import Match
from planner.report.frames import Style
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup
from planner.report.match_figures import (
    correlation_figure,
    directions_figure,
    misfit_figure,
    parameters_figure,
    series_figure,
)
from planner.report.match_tables import misfit_table, parameters_table, summary

TOLD = "'Told by data' is 1 less the spread after over the spread before: 0 % where the data say nothing."
SIZES = (
    "Mean square of (forecast - measured) / error: 1 where it is as large as the errors. 'Inside prior': share of the "
    "measurements that the ranges reach, errors included."
)
INDEPENDENT = (
    "Errors are taken as independent. Many daily values of one gauge are not: give them larger errors, or fewer values."
)
LEAST_TOLD = 0.1  # share of the spread that the data take away, below which they say little
METHODS = (
    ("smoother", "ensemble smoother with multiple data assimilation",
     "Emerick and Reynolds 2013, Computers & Geosciences 55"),
    ("dampening", "chance correlations between members and data (where asked for)",
     "Furrer and Bengtsson 2007, J. Multivariate Analysis 98"),
    ("least squares", "trust region within bounds, spread from the slopes at the best point",
     "Branch, Coleman and Li 1999, SIAM J. Sci. Comput. 21 (as in scipy.optimize.least_squares)"),
)  # fmt: skip


def match_chapter(found: Match, style: Style) -> Chapter:
    """What was found and what it rests on, as a chapter."""
    well = found.case.well
    title = f"{well.name}: the case brought to what was measured"
    return Chapter("match", "Match", title, f"{match_answer(found)} {summary(found)}", tuple(parts_of(found, style)))


def match_answer(found: Match) -> str:
    """The answer in a sentence: how near the measurements are now, and what they told the most about."""
    before, _, best = found.overall
    told = sorted(found.parameters, key=lambda one: -one.told)
    most = [f"{one.name} ({one.told:.0%})" for one in told[:3] if one.told >= LEAST_TOLD]
    least = [one.name for one in told if one.told < LEAST_TOLD]
    text = (
        f"Mean square misfit {_size(best)} in errors with the matched case, {_size(before)} before (1: as the errors)."
    )
    text += f" The data tell most about {', '.join(most)}." if most else " The data tell next to nothing."
    return f"{text} They say little about {', '.join(least)}." if least and most else text


def _size(value: float) -> str:
    return f"{value:.3g}" if np.isfinite(value) else "not known"


def parts_of(found: Match, style: Style) -> list[Part]:
    """Parts of a report: parameters, data, misfit, what the data can tell, warnings, methods."""
    fans = tuple(figure_markup(series_figure(one, style)) for one in found.series if len(one.dates) > 1)
    tables = (table_markup(parameters_table(found, style)), figure_markup(parameters_figure(found, style)))
    told = (figure_markup(correlation_figure(found)), figure_markup(directions_figure(found)))
    misfit = (table_markup(misfit_table(found)), figure_markup(misfit_figure(found)))
    methods = pd.DataFrame(METHODS, columns=["method", "what it does", "source"])
    return [
        Part("Parameters before and after", TOLD, tables),
        Part("Warnings", "", (list_markup(found.warnings or ("None.",)),)),
        Part("The data", "", fans),
        Part("Misfit", SIZES, misfit),
        Part("What the data can tell", "", told),
        Part("Notes", "", (list_markup((*found.coverage, *found.notes, INDEPENDENT)),)),
        Part("Methods and sources", "", (table_markup(methods),)),
    ]

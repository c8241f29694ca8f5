"""The HTML report of a match: one self-contained file."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd
from markupsafe import Markup

from planner.model.match import Match
from planner.report.frames import Style
from planner.report.markup import Part, figure_markup, page_text, table_markup
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
METHODS = (
    ("smoother", "ensemble smoother with multiple data assimilation",
     "Emerick and Reynolds 2013, Computers & Geosciences 55"),
    ("dampening", "chance correlations between members and data (where asked for)",
     "Furrer and Bengtsson 2007, J. Multivariate Analysis 98"),
    ("least squares", "trust region within bounds, spread from the slopes at the best point",
     "Branch, Coleman and Li 1999, SIAM J. Sci. Comput. 21 (as in scipy.optimize.least_squares)"),
)  # fmt: skip


def match_text(found: Match, style: Style) -> str:
    """The report as HTML text, in need of nothing from outside."""
    well = found.case.well
    lead = f"Well {well.name}, {well.kind}. {summary(found)}"
    return page_text("Well plan, matched to measurements", f"Match of {well.name}", lead, parts_of(found, style))


def parts_of(found: Match, style: Style) -> list[Part]:
    """Parts of a report: parameters, data, misfit, what the data can tell, warnings, methods."""
    fans = tuple(figure_markup(series_figure(one, style)) for one in found.series if len(one.dates) > 1)
    tables = (table_markup(parameters_table(found, style)), figure_markup(parameters_figure(found, style)))
    told = (figure_markup(correlation_figure(found)), figure_markup(directions_figure(found)))
    misfit = (table_markup(misfit_table(found)), figure_markup(misfit_figure(found)))
    methods = pd.DataFrame(METHODS, columns=["method", "what it does", "source"])
    return [
        Part("Parameters before and after", TOLD, tables),
        Part("Warnings", "", (_list(found.warnings or ("None.",)),)),
        Part("The data", "", fans),
        Part("Misfit", SIZES, misfit),
        Part("What the data can tell", "", told),
        Part("Notes", "", (_list((*found.coverage, *found.notes, INDEPENDENT)),)),
        Part("Methods and sources", "", (table_markup(methods),)),
    ]


def _list(texts: Iterable[str]) -> Markup:
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(text) for text in texts))

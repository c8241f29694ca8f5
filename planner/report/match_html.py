"""The HTML report of a match: one self-contained file."""

from __future__ import annotations

from datetime import date

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from plotly.offline import get_plotlyjs

from planner import __version__
from planner.model.cautions import CAUTIONS
from planner.model.match import Match
from planner.report.frames import Style
from planner.report.html import Part, figure_html, table_html
from planner.report.match_figures import (
    correlation_figure,
    directions_figure,
    misfit_figure,
    parameters_figure,
    series_figure,
)
from planner.report.match_tables import misfit_table, parameters_table, summary


def match_text(found: Match, style: Style) -> str:
    """The report as HTML text, in need of nothing from outside."""
    environment = Environment(
        loader=PackageLoader("planner.report"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    return environment.get_template("match.html").render(
        title=f"Match of {found.case.well.name}",
        well=found.case.well.name,
        kind=found.case.well.kind,
        summary=summary(found),
        today=date.today().isoformat(),
        version=__version__,
        cautions=CAUTIONS,
        plotly=Markup(get_plotlyjs()),
        parts=parts_of(found, style),
        warnings=found.warnings,
        coverage=found.coverage,
        notes=found.notes,
    )


def parts_of(found: Match, style: Style) -> dict[str, list[Part]]:
    """Parts of the report by section."""
    return {
        "parameters": [
            Part("", "", (table_html(parameters_table(found, style)), figure_html(parameters_figure(found, style))))
        ],
        "data": [
            Part("", "", tuple(figure_html(series_figure(one, style)) for one in found.series if len(one.dates) > 1))
        ],
        "misfit": [Part("", "", (table_html(misfit_table(found)), figure_html(misfit_figure(found))))],
        "told": [Part("", "", (figure_html(correlation_figure(found)), figure_html(directions_figure(found))))],
    }

"""What a match says on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from planner.model.match import Match
from planner.report.frames import Style
from planner.report.match_tables import correlations_table, misfit_table, parameters_table, summary
from planner.report.terminal import show_caution, show_table, show_warnings


def show_match(console: Console, found: Match, style: Style) -> None:
    """Parameters before and after, misfits, what moves together, warnings and notes."""
    console.print(Text(f"{found.case.well.name}: matched", style="bold underline"))
    console.print(Text(summary(found)))
    console.print()
    show_table(console, parameters_table(found, style), "Parameters")
    show_table(console, misfit_table(found), "Misfit (mean square, in errors; 1: as large as the errors)")
    together = correlations_table(found)
    if len(together):
        show_table(console, together, "Parameters that move together after matching")
    show_warnings(console, found.warnings)
    for text in (*found.coverage, *found.notes):
        console.print(Text(text))
    show_caution(console)

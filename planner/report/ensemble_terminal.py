"""What an ensemble says on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from planner.model.ensemble import OK, Findings
from planner.report.ensemble_documents import over_draws_notes
from planner.report.ensemble_tables import (
    FEW,
    convergence_for_reading,
    duels_for_reading,
    flips_for_reading,
    name_of,
    ranges_for_reading,
    shares_for_reading,
    swings_for_reading,
    title_of,
    unit_of,
)
from planner.report.frames import Style
from planner.report.terminal import show_caution, show_table
from planner.uncertainty.statistics import quantity_of_figure


def show_ensemble(console: Console, found: Findings, style: Style) -> None:
    """Ranges, what-if against what-if, what drives the figures, what flips the decision, notes."""
    made = found.ensemble
    how = "given draws" if made.draws.design == "given" else f"{made.draws.design}, seed {made.draws.seed}"
    console.print(Text(f"{made.well}: {made.members} members ({how})", style="bold underline"))
    console.print()
    _ranges_and_duels(console, found, style)
    _drivers(console, found, style)
    _flips(console, found, style)
    for one in found.convergence:
        if one.what_if == made.what_ifs[0]:
            title = f"Convergence, {name_of(one.figure)} of {one.what_if}{_unit(one.figure, style)}"
            show_table(console, convergence_for_reading(one, style), title)
    for text in found.notes:
        console.print(Text(text))
    console.print(Text(f"Tables of every member (SI, Parquet) are in {made.folder}."))
    show_caution(console)


def show_over_draws(console: Console, found: Findings, style: Style) -> None:
    """Ranges and what-if against what-if alone, below a comparison."""
    made = found.ensemble
    done = int((made.status == OK).all(axis=1).sum())
    console.print()
    console.print(Text(f"The same over {made.members} members, {done} of them whole", style="bold underline"))
    console.print()
    _ranges_and_duels(console, found, style)
    for text in over_draws_notes(found):
        console.print(Text(text))
    console.print(Text(f"Tables of every member (SI, Parquet) are in {made.folder}."))


def _ranges_and_duels(console: Console, found: Findings, style: Style) -> None:
    for figure in found.figures:
        ranges = [one for one in found.ranges if one.figure == figure]
        show_table(console, ranges_for_reading(ranges, style), f"{title_of(figure)}{_unit(figure, style)}")
    for figure in found.decision:
        duels = [one for one in found.duels if one.figure == figure]
        if duels:
            title = f"What-if against what-if, {name_of(figure)}{_unit(figure, style)}"
            show_table(console, duels_for_reading(duels, style), title)


def _drivers(console: Console, found: Findings, style: Style) -> None:
    inputs = found.ensemble.draws.inputs
    for figure in found.decision:
        swings = [one for one in found.swings if one.figure == figure][:FEW]
        if swings:
            title = f"What moves {name_of(figure)} of {swings[0].what_if}{_unit(figure, style)}"
            show_table(console, swings_for_reading(swings, quantity_of_figure(figure), inputs, style), title)
        shares = [one for one in found.shares if one.figure == figure][:FEW]
        if shares:
            show_table(console, shares_for_reading(shares), f"Shares of the variance of {name_of(figure)}")


def _flips(console: Console, found: Findings, style: Style) -> None:
    for one, other in dict.fromkeys((flip.one, flip.other) for flip in found.flips):
        flips = [flip for flip in found.flips if (flip.one, flip.other) == (one, other)][:FEW]
        title = f"Where {one} has more {name_of(flips[0].figure)} than {other}"
        show_table(console, flips_for_reading(flips, found.ensemble.draws.inputs, style), title)


def _unit(figure: str, style: Style) -> str:
    unit = unit_of(quantity_of_figure(figure), style)
    return f" ({unit})" if unit else ""

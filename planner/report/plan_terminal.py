"""What is decided before the string is run, on the terminal: suitability."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from planner.model.suitability_results import Reason, SuitabilityResult
from planner.report.frames import Style
from planner.report.suitability_tables import (
    gradings_table,
    overview_table,
    seats_table,
    strengths_table,
)
from planner.report.tables import of_use, without
from planner.report.terminal import show_caution, show_table, show_warnings


def show_suitability(console: Console, result: SuitabilityResult, style: Style, everything: bool = False) -> None:
    """Overview by interval and kind, reasons against (or all), seats, grain size, strength, what is missing."""
    console.print(Text(f"{result.well}: does the hole and the sand suit the completion", style="bold underline"))
    console.print()
    overview = overview_table(result, style)
    chosen = of_use(overview if everything else without(overview, "for"))
    show_table(console, chosen, "By interval and kind", widest=30)
    _reasons(console, result, style, everything)
    show_table(console, seats_table(result, style), "Where a seal can sit")
    show_table(console, gradings_table(result, style), "Grain size")
    show_table(console, of_use(strengths_table(result, style)), "Rock strength and the drawdown it stands")
    for text in result.missing:
        console.print(Text(f"Missing: {text}"))
    if result.what_if is not None:
        console.print(Text(f"Offered: the what-if '{result.what_if.name}'; --json holds it, ready for the case."))
    sources = dict.fromkeys(one.source for one in result.reasons if one.source)
    for source in sources:
        console.print(Text(f"Source: {source}"))
    show_warnings(console, result.warnings)
    show_caution(console)


def _reasons(console: Console, result: SuitabilityResult, style: Style, everything: bool) -> None:
    """Reasons by kind, one a line: verdict, interval, topic, where, how long, why."""
    for kind in dict.fromkeys(one.kind for one in result.reasons):
        own = [one for one in result.reasons if one.kind == kind and (everything or one.verdict == "against")]
        opened = sum(1 for one in result.reasons if one.kind == kind and one.verdict == "open")
        head = f"{kind}: {'all reasons' if everything else 'reasons against'}"
        if not everything and opened:
            head += f" (and {opened} open, see --all)"
        console.print(Text(head, style="bold"))
        for one in own:
            console.print(Text(f"- {_line(one, style, everything)}"))
        if not own:
            console.print(Text("- none"))
        console.print()


def _line(one: Reason, style: Style, everything: bool) -> str:
    depths = dict.fromkeys(f"{style.value(depth, 'length'):,.0f}" for depth in (one.top_md, one.base_md))
    where = f"{' to '.join(depths)} {style.unit('length')}"
    verdict = f"{one.verdict}: " if everything else ""
    return f"{verdict}{one.interval}, {one.topic}, {where}: {one.text}"

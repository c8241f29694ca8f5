"""What is decided before the string is run, on the terminal: suitability, zone split."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd
from rich.console import Console
from rich.text import Text

from planner.model.split_results import SplitResult
from planner.model.suitability_results import Reason, SuitabilityResult
from planner.report.comparison_tables import in_millions
from planner.report.frames import Style
from planner.report.split_tables import (
    check_table,
    elements_table,
    groups_table,
    install_table,
    pay_table,
    seals_table,
    split_zones_table,
    wishes_table,
)
from planner.report.suitability_tables import (
    gradings_table,
    overview_table,
    seats_table,
    strengths_table,
    stretches_table,
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


def show_hole(console: Console, result: SuitabilityResult, style: Style) -> None:
    """The hole foot by foot against every range."""
    console.print(Text(f"{result.well}: the hole against what has to fit it", style="bold underline"))
    console.print()
    step = "foot" if style.system == "field" else "half metre"
    show_table(console, of_use(stretches_table(result, style)), f"{step.capitalize()} by {step}, alike ones together")
    console.print(Text("'wide' counts wash-outs that a kind bridges; the reasons leave those out."))
    console.print(Text(f"--csv FILE writes every {step}."))
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


def show_split(console: Console, result: SplitResult, style: Style) -> None:
    """The proposal: zones, elements, cost, what it was chosen from, what wishes cost."""
    console.print(Text(f"{result.well}: proposed split into {len(result.zones)} zones", style="bold underline"))
    console.print()

    def table(made: Callable[[SplitResult, Style], pd.DataFrame], title: str) -> None:
        show_table(console, in_millions(made(result, style), style), title)

    table(split_zones_table, "Zones")
    table(elements_table, "The string, top to bottom")
    table(install_table, "To install it")
    table(seals_table, "Best value with so many seals")
    table(groups_table, "What it is worth to be able to shut sands later")
    show_table(console, pay_table(result, style), "What screen is worth, by length")
    table(wishes_table, "What each wish costs")
    table(check_table, "The proposal as a whole, against all pay behind screen and every seal, nothing shut")
    for line in split_sentences(result, style):
        console.print(Text(line))
    show_warnings(console, result.warnings)
    show_caution(console)


def split_sentences(result: SplitResult, style: Style) -> list[str]:
    """What the proposal is worth, what it gives up, and how sure it is the best."""

    def money(value: float) -> str:
        return f"{value:,.0f} {style.unit('money')}"

    lost, unit = f"{style.value(result.lost_pay, 'length'):,.1f}", style.unit("length")
    found = [
        f"Value {money(result.value)}: screen {money(result.screen_worth)}, choice later {money(result.shut_worth)}, "
        f"less {result.cost_weight:.3g} of the cost {money(result.cost)}. Use differences, not the value itself.",
        f"Pay without screen: {lost} {unit}, worth {money(result.lost_worth)}.",
        "No string of these joints is worth more."
        if result.gap == 0.0
        else f"A better string may exist: at most {money(result.gap)} more.",
    ]
    if result.wishes:
        found.append(f"All wishes together cost {money(result.free_value - result.value)}.")
    if result.forecasts:
        over = f", expected over {result.members} members" if result.members else ""
        found.append(f"Worth comes from {result.forecasts} forecasts, of one zone shut at a time{over}.")
    if result.check is not None and not result.check.why:
        difference = result.check.difference
        word = "more" if difference >= 0.0 else "less"
        found.append(f"Forecast as a whole, the proposal is worth {money(abs(difference))} {word} than its parts.")
    if result.dropped:
        found.append(f"What-ifs that do not fit the proposed string: {', '.join(result.dropped)}.")
    return found

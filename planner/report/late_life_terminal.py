"""Late life on the terminal."""

from __future__ import annotations

from rich.console import Console

from planner.model.cures import DO_NOTHING, Cure, JobOutlook
from planner.report.comparison_tables import in_millions
from planner.report.cure_odds import show_odds
from planner.report.frames import Style
from planner.report.late_life_tables import forbidden_table, outlooks_table, troubles_table
from planner.report.tables import of_use, with_only
from planner.report.terminal import head, say, show_caution, show_table, show_warnings

TROUBLE = ("oil rate", "gas rate", "water rate", "water cut", "share of water", "derivative slope", "mechanism")
RANK = ("best date", "value", "value now", "value of waiting", "chance", "cost", "pays until", "limits broken")
GAIN = ("value if done", "value if failed", "duration", "oil difference", "water difference", "gas difference")
BELOW = "What stands below 'do nothing' never pays on the dates tried; it is shown on the date on which it loses least."


def show_cure(console: Console, found: Cure, style: Style) -> None:
    """Diagnosis, the jobs ranked, what they need, and what forbids the others."""
    under = "" if found.what_if == "base" else f", under '{found.what_if}'"
    head(console, f"{found.well} on {found.date}{under}: what ails it, and which job cures it")
    gas = found.kind.startswith("gas")
    told = [name for name in TROUBLE if name not in (("oil rate", "water cut") if gas else ("gas rate",))]
    show_table(console, of_use(with_only(troubles_table(found, style), "zone", *told)), "Where the water comes from")
    for zone in (found.whole_well, *found.zones):
        say(console, f"{zone.zone or 'Whole well'}: {'; '.join(zone.reasons)}.")
    console.print()
    table = in_millions(outlooks_table(found, style), style)
    show_table(console, with_only(table, "job", *RANK), "Jobs by risked value against doing nothing")
    show_table(console, of_use(with_only(table, "job", *GAIN)), "On their best dates")
    say(console, BELOW)
    for job in real_jobs(found):
        say(console, f"{job.name}: {job.needs}.")
    console.print()
    say(console, answer(found))
    console.print()
    show_odds(console, found, style)
    show_table(console, forbidden_table(found), "Jobs that cannot be done")
    say(console, effort(found))
    show_warnings(console, found.warnings)
    show_caution(console)


def real_jobs(found: Cure) -> list[JobOutlook]:
    """The jobs without doing nothing, best first."""
    return [job for job in found.jobs if job.do != DO_NOTHING]


def effort(found: Cure) -> str:
    """How it was computed, in a sentence."""
    finest = f"dates down to a {found.step} apart" if found.step else "that day alone, no other date"
    return f"{found.forecasts} forecasts in {found.seconds:.0f} s; {finest}."


def answer(found: Cure) -> str:
    """The answer in a sentence."""
    jobs = real_jobs(found)
    if not jobs:
        return "No job can be done: doing nothing is all that is left."
    best = jobs[0]
    if not best.pays:
        return f"No job pays on any date tried: doing nothing is best. The least bad is {best.name}."
    when = "now" if best.best_date == found.date else f"on {best.best_date}"
    also = f" It breaks a limit that doing nothing keeps: {'; '.join(best.broken)}." if best.broken else ""
    return f"Best: {best.name}, {when}.{also}"

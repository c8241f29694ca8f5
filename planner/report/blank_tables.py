"""What blank pipes are worth, as tables, as a document for JSON, on the terminal and as a page."""

from __future__ import annotations

import numpy as np
import pandas as pd
from rich.console import Console

from planner.model.blank_value import BlankValues, GroupValue, Worth
from planner.model.ensemble import Flip
from planner.report.comparison_tables import in_millions
from planner.report.ensemble_tables import draw_text
from planner.report.frames import Column, Style, frame
from planner.report.tables import without
from planner.report.terminal import head, say, show_caution, show_table, show_warnings

FIELD = Style()


def ways_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """Ways of acting with every blank there: value against doing nothing."""
    rows = found.ways
    return frame(
        (
            Column("way of acting", "", [row.name for row in rows]),
            *_worths("value", [row.value for row in rows]),
            Column("acts in", "fraction", [row.acts for row in rows]),
            Column("logs a member", "number", [row.logs for row in rows]),
        ),
        style,
    )


def blanks_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """Blanks, the one whose removal costs most first: by the main way of acting."""
    rows = found.blanks
    return frame(
        (
            Column("blank", "", [row.name for row in rows]),
            Column("top md", "length", [row.top_md for row in rows]),
            Column("base md", "length", [row.base_md for row in rows]),
            Column("needed to shut", "", [", ".join(row.shuts) or "nothing" for row in rows]),
            *_worths("worth", [row.worth[found.main] for row in rows]),
            Column("price", "money", [row.price for row in rows]),
            Column("worth less price", "money", [row.net(found.main) for row in rows]),
            Column("used in", "fraction", [row.used for row in rows]),
            Column("pays in", "fraction", [row.pays for row in rows]),
            Column("apart from next", "", ["no" if row.tied else "yes" for row in rows]),
            Column("another can stand in", "", ["yes" if row.stands_in else "no" for row in rows]),
        ),
        style,
    )


def groups_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """Blanks that stand in for each other, and all together: what is lost without all of a row, main way of acting."""
    rows = found.groups
    return frame(
        (
            Column("without all of", "", [group_name(found, row) for row in rows]),
            Column("cannot be shut then", "", [", ".join(row.shuts) or "nothing" for row in rows]),
            *_worths("worth", [row.worth[found.main] for row in rows]),
            Column("price", "money", [row.price for row in rows]),
        ),
        style,
    )


def group_name(found: BlankValues, group: GroupValue) -> str:
    """Names of the blanks of a row, or 'all of them' for the last one."""
    return f"all {len(group.blanks)} blanks" if group is found.groups[-1] else " and ".join(group.blanks)


def first_and_last_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """What each blank adds to a string without any other, beside what its removal costs, main way of acting."""
    rows = found.blanks
    return frame(
        (
            Column("blank", "", [row.name for row in rows]),
            *_worths("worth alone", [row.alone[found.main] for row in rows]),
            *_worths("worth", [row.worth[found.main] for row in rows]),
        ),
        style,
    )


def prices_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """What makes up the price of each blank."""
    rows = [(row.name, row.parts) for row in found.blanks]
    return frame(
        (
            Column("blank", "", [name for name, _ in rows]),
            Column("beside", "", [", ".join(parts.beside) or "shale: no screen lost" for _, parts in rows]),
            Column("pipe", "money", [parts.pipe for _, parts in rows]),
            Column("rig", "money", [parts.rig for _, parts in rows]),
            Column("lost screen", "money", [parts.lost_screen for _, parts in rows]),
            Column("screen saved", "money", [parts.screen_saved for _, parts in rows]),
            Column("price", "money", [parts.total for _, parts in rows]),
            Column("not known", "", [parts.why for _, parts in rows]),
        ),
        style,
    )


def prices_for_reading(found: BlankValues, style: Style) -> pd.DataFrame:
    """The same without columns that say nothing."""
    table = in_millions(prices_table(found, style), style)
    empty = [
        name for name in table.columns
        if all(value == "" or (isinstance(value, float) and np.isnan(value)) for value in table[name])
    ]  # fmt: skip
    return table.drop(columns=empty)


def ranking_for_reading(found: BlankValues, style: Style) -> pd.DataFrame:
    """The same for reading, without prices where the case gives none."""
    table = in_millions(blanks_table(found, style), style)
    priced = np.isfinite([one.price for one in found.blanks]).any()
    dropped = () if priced else ("price", "worth less price")
    if not any(one.stands_in for one in found.blanks):
        dropped = (*dropped, "another can stand in")
    return without(table, *dropped) if dropped else table


def by_way_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """What the removal of each blank costs under every way of acting, long."""
    rows = [(blank, way.name) for blank in found.blanks for way in found.ways[1:]]
    return frame(
        (
            Column("blank", "", [blank.name for blank, _ in rows]),
            Column("way of acting", "", [way for _, way in rows]),
            *_worths("worth", [blank.worth[way] for blank, way in rows]),
        ),
        style,
    )


def by_way_wide(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """The same for reading: a row a blank, a column a way of acting."""
    ways = [way.name for way in found.ways[1:]]
    columns = [Column(way, "money", [blank.worth[way].mean for blank in found.blanks]) for way in ways]
    return frame((Column("blank", "", [blank.name for blank in found.blanks]), *columns), style)


def zones_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """Mean gain of shutting each zone on each date in every member alike, and how often it is shut, long."""
    rows = [(zone, k) for zone in found.zones for k in range(len(found.dates))]
    return frame(
        (
            Column("zone", "", [zone.zone for zone, _ in rows]),
            Column("shut by", "", [zone.shut_by for zone, _ in rows]),
            Column("needs", "", [zone.needs for zone, _ in rows]),
            Column("on", "", [found.dates[k] for _, k in rows]),
            *_worths("gain", [zone.gains[k] for zone, k in rows]),
            Column("zone shut in", "fraction", [zone.used for zone, _ in rows]),
            Column("chance of success", "fraction", [zone.chance for zone, _ in rows]),
        ),
        style,
    )


def drivers_table(found: BlankValues, style: Style = FIELD) -> pd.DataFrame:
    """Inputs that tell the futures in which a blank is worth its price from the rest."""
    rows = [(blank, flip) for blank in found.blanks for flip in blank.drivers]
    return frame(
        (
            Column("blank", "", [blank.name for blank, _ in rows]),
            Column("input", "", [flip.input for _, flip in rows]),
            Column("threshold", "", [threshold_text(found, flip, style) for _, flip in rows]),
            Column("pays below", "fraction", [flip.wins_below for _, flip in rows]),
            Column("pays above", "fraction", [flip.wins_above for _, flip in rows]),
            Column("strength", "number", [flip.strength for _, flip in rows]),
            Column("by chance", "fraction", [flip.significance for _, flip in rows]),
        ),
        style,
    )


def threshold_text(found: BlankValues, flip: Flip, style: Style) -> str:
    """Where the futures part, with its unit."""
    return draw_text(flip.input, flip.threshold, found.extra["draws"].inputs, style)


def _worths(name: str, worths: list[Worth]) -> tuple[Column, Column]:
    error = "standard error" if name == "worth" else f"error of {name}"
    return (
        Column(name, "money", [one.mean for one in worths]),
        Column(error, "money", [one.error for one in worths]),
    )


def answer(found: BlankValues, style: Style) -> str:
    """The answer in a sentence."""
    best = found.blanks[0] if found.blanks else None
    whole = found.groups[-1].worth[found.main] if found.groups else None
    if (best is None or best.worth[found.main].mean <= 0.0) and whole is not None and whole.mean > 0.0:
        return (
            f"No blank is missed by itself, because others stand in for it: all of them together are worth "
            f"{_money(whole, style)} ({found.main})."
        )
    if best is None or best.worth[found.main].mean <= 0.0:
        return "No blank is worth anything to somebody who acts on what is seen: leaving the zones open is as good."
    worth = best.worth[found.main]
    text = f"{best.name} is worth most: its removal costs {_money(worth, style)} ({found.main})"
    text += ", not told apart from the next one" if best.tied else ""
    return text + (f"; all blanks together are worth {_money(whole, style)}." if whole is not None else ".")


def effort(found: BlankValues) -> str:
    """How it was computed, in a sentence."""
    return (
        f"{found.members} members (seed {found.seed}), {found.forecasts:,} forecasts off one march a member, "
        f"{found.seconds:.0f} s of work; decisions on {', '.join(found.dates)}, "
        f"on top of {found.extra.get('under', 'base')}."
    )


def nothing_done(found: BlankValues, style: Style) -> str:
    """The value of doing nothing, in a sentence."""
    under = found.extra.get("under", "base")
    return f"Nothing done on top of {under}: {_money(found.base, style)} of net present value."


def _money(worth: Worth, style: Style) -> str:
    size = 1e6 if abs(worth.mean) >= 1e6 else 1.0
    unit = style.million if size > 1.0 else style.unit("money")
    return f"{worth.mean / size:,.4g} +- {worth.error / size:,.2g} {unit}"


def show_blanks(console: Console, found: BlankValues, style: Style) -> None:
    """On the terminal: ways of acting, blanks ranked, what makes them pay."""
    head(console, f"{found.well}: what its blank pipes are worth")
    say(console, nothing_done(found, style))
    console.print()
    show_table(console, in_millions(ways_table(found, style), style), "Value of acting, against doing nothing")
    show_table(console, ranking_for_reading(found, style), f"What the removal of each blank costs ({found.main})")
    groups = in_millions(groups_table(found, style), style)
    show_table(console, groups, "Without several at once: blanks that stand in for each other, and all")
    both = in_millions(first_and_last_table(found, style), style)
    show_table(console, both, "First in (alone) and last out")
    show_table(console, prices_for_reading(found, style), "What each blank costs")
    wide = in_millions(by_way_wide(found, style), style)
    show_table(console, wide, "The same by way of acting, means")
    gains = in_millions(zones_table(found, style), style)
    show_table(console, gains, "Shutting a zone on a date in every future")
    show_table(console, drivers_table(found, style), "Futures in which a blank is worth its price")
    for zone, reason in found.forbidden:
        say(console, f"{zone} cannot be shut: {reason}.")
    say(console, answer(found, style))
    say(console, effort(found))
    for note in found.notes:
        say(console, note)
    show_warnings(console, found.warnings)
    show_caution(console)

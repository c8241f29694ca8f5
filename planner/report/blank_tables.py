"""What blank pipes are worth, as tables, as a document for JSON, on the terminal and as a page."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
import pandas as pd
from rich.console import Console

from planner.base.units import UnitSystem
from planner.model.blank_value import BlankValue, BlankValues, Worth
from planner.model.case import Case
from planner.model.cautions import CAUTION
from planner.model.ensemble import Flip
from planner.report.blank_figures import by_blank_figure, ways_figure
from planner.report.comparison_tables import in_millions
from planner.report.documents import Document, record
from planner.report.ensemble_tables import draw_text
from planner.report.frames import Column, Style, frame
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup
from planner.report.tables import keys_for, without
from planner.report.terminal import head, say, show_caution, show_table, show_warnings

FIELD = Style()
_DEPTHS = {"top_md": "length", "base_md": "length"}


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
        ),
        style,
    )


def ranking_for_reading(found: BlankValues, style: Style) -> pd.DataFrame:
    """The same for reading, without prices where the case gives none."""
    table = in_millions(blanks_table(found, style), style)
    priced = np.isfinite([one.price for one in found.blanks]).any()
    return table if priced else without(table, "price", "worth less price")


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
            Column("needs", "", [", ".join(zone.blanks) for zone, _ in rows]),
            Column("on", "", [found.dates[k] for _, k in rows]),
            *_worths("gain", [zone.gains[k] for zone, k in rows]),
            Column("zone shut in", "fraction", [zone.used for zone, _ in rows]),
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
            Column("threshold", "", [_threshold(found, flip, style) for _, flip in rows]),
            Column("pays below", "fraction", [flip.wins_below for _, flip in rows]),
            Column("pays above", "fraction", [flip.wins_above for _, flip in rows]),
            Column("strength", "number", [flip.strength for _, flip in rows]),
            Column("by chance", "fraction", [flip.significance for _, flip in rows]),
        ),
        style,
    )


def _threshold(found: BlankValues, flip: Flip, style: Style) -> str:
    return draw_text(flip.input, flip.threshold, found.extra["draws"].inputs, style)


def _worths(name: str, worths: list[Worth]) -> tuple[Column, Column]:
    return (
        Column(name, "money", [one.mean for one in worths]),
        Column("standard error" if name == "worth" else f"error of {name}", "money", [one.error for one in worths]),
    )


def blanks_document(found: BlankValues, system: UnitSystem) -> Document:
    """Everything as plain data, units in the keys."""
    style = keys_for(system)
    case = found.extra.get("case")
    money = {"mean": "money", "error": "money"}
    return {
        "well": found.well,
        "kind": found.kind,
        "units": system,
        "currency": case.economics.currency if isinstance(case, Case) else "money",
        "caution": CAUTION,
        "members": found.members,
        "members_left_out": found.left_out,
        "seed": found.seed,
        "dates": list(found.dates),
        "what_if": found.extra.get("under", "base"),
        **record({"log_cost": found.log_cost}, {"log_cost": "money"}, style),
        "main_way": found.main,
        "doing_nothing": record(asdict(found.base), money, style),
        "ways": [
            {"name": way.name, **record(asdict(way.value), money, style), "acts_fraction": way.acts,
             "logs_a_member": way.logs}
            for way in found.ways
        ],
        "zones": [
            {"zone": zone.zone, "shut_by": zone.shut_by, "blanks": list(zone.blanks), "shut_fraction": zone.used,
             "gains": [record(asdict(one), money, style) for one in zone.gains]}
            for zone in found.zones
        ],
        "blanks": [_blank(found, one, style) for one in found.blanks],
        "cannot_be_shut": [{"zone": zone, "reason": reason} for zone, reason in found.forbidden],
        "forecasts": found.forecasts,
        "seconds": found.seconds,
        "notes": list(found.notes),
        "warnings": list(found.warnings),
    }  # fmt: skip


def _blank(found: BlankValues, one: BlankValue, style: Style) -> dict[str, Any]:
    money = {"mean": "money", "error": "money", "price": "money", "worth_less_price": "money"}
    place = {"name": one.name, "top_md": one.top_md, "base_md": one.base_md}
    return {
        **record(place, _DEPTHS, style),
        "needed_to_shut": list(one.shuts),
        **record({"price": one.price, "worth_less_price": one.net(found.main)}, money, style),
        "used_fraction": one.used,
        "pays_fraction": one.pays,
        "apart_from_next": not one.tied,
        "worth": {way: record(asdict(worth), money, style) for way, worth in one.worth.items()},
        "drivers": [
            {"input": flip.input, "threshold": _threshold(found, flip, style), "strength": flip.strength,
             "significance": flip.significance, "pays_below_fraction": flip.wins_below,
             "pays_above_fraction": flip.wins_above}
            for flip in one.drivers
        ],
    }  # fmt: skip


def answer(found: BlankValues, style: Style) -> str:
    """The answer in a sentence."""
    best = found.blanks[0] if found.blanks else None
    if best is None or best.worth[found.main].mean <= 0.0:
        return "No blank is worth anything to somebody who acts on what is seen: leaving the zones open is as good."
    worth = best.worth[found.main]
    text = f"{best.name} is worth most: its removal costs {_money(worth, style)} ({found.main})"
    return text + (", not told apart from the next one." if best.tied else ".")


def effort(found: BlankValues) -> str:
    """How it was computed, in a sentence."""
    return (
        f"{found.members} members (seed {found.seed}), {found.forecasts:,} forecasts off one march a member, "
        f"{found.seconds:.0f} s of work; decisions on {', '.join(found.dates)}, "
        f"on top of {found.extra.get('under', 'base')}."
    )


def _nothing(found: BlankValues, style: Style) -> str:
    under = found.extra.get("under", "base")
    return f"Nothing done on top of {under}: {_money(found.base, style)} of net present value."


def _money(worth: Worth, style: Style) -> str:
    size = 1e6 if abs(worth.mean) >= 1e6 else 1.0
    unit = style.million if size > 1.0 else style.unit("money")
    return f"{worth.mean / size:,.4g} +- {worth.error / size:,.2g} {unit}"


def show_blanks(console: Console, found: BlankValues, style: Style) -> None:
    """On the terminal: ways of acting, blanks ranked, what makes them pay."""
    head(console, f"{found.well}: what its blank pipes are worth")
    say(console, _nothing(found, style))
    console.print()
    show_table(console, in_millions(ways_table(found, style), style), "Value of acting, against doing nothing")
    show_table(console, ranking_for_reading(found, style), f"What the removal of each blank costs ({found.main})")
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


def blanks_chapter(found: BlankValues, style: Style) -> Chapter:
    """The answer and what it rests on, as a chapter."""
    title = f"What the blank pipes of {found.well} are worth"
    return Chapter("blanks", "Value of blank pipe", title, answer(found, style), tuple(blanks_parts(found, style)))


def blanks_parts(found: BlankValues, style: Style) -> list[Part]:
    """Parts of a report: ways of acting, blanks, futures, zones, how it was computed."""
    ways, ranking = in_millions(ways_table(found, style), style), ranking_for_reading(found, style)
    cannot = pd.DataFrame(found.forbidden, columns=["zone", "why it cannot be shut"])
    return [
        Part("Ways of acting", f"{_nothing(found, style)} What acting adds to it with every blank there:",
             (figure_markup(ways_figure(found, style)), table_markup(ways))),
        Part("Blanks by what their removal costs", f"By {found.main}.",
             (figure_markup(by_blank_figure(found, style)), table_markup(ranking),
              table_markup(in_millions(by_way_table(found, style), style), "Under every way of acting"))),
        Part("Futures in which a blank is worth its price", "Inputs that tell those futures from the rest; strength 0 "
             "tells nothing, 1 tells all.", (table_markup(drivers_table(found, style)),)),
        Part("Zones that can be shut", "Mean gain of shutting a zone on a date in every future alike.",
             (table_markup(in_millions(zones_table(found, style), style)), table_markup(cannot))),
        Part("How it was computed, and what is left out", effort(found), (
            list_markup(found.notes), *(list_markup((f"Warning: {text}",)) for text in found.warnings),
        )),
    ]  # fmt: skip

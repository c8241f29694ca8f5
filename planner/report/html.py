"""The HTML report: one self-contained file with inputs, assumptions, methods, results, numerics and cautions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
import plotly.graph_objects as go
from markupsafe import Markup

from planner.base.units import UnitSystem
from planner.decide.waterfall import waterfalls
from planner.model.along_depth import at_date
from planner.model.case import Case
from planner.model.results import Comparison, FlowProfile, Forecast
from planner.report.along_figures import profile_figure, tubing_figure
from planner.report.comparison_tables import by_zone_table, comparison_table, in_millions, money_for_reading
from planner.report.depth_figures import sketch_figure
from planner.report.figures import (
    cash_figure,
    cumulative_figure,
    pressure_figure,
    rates_figure,
    recovery_figure,
    wetness_figure,
    zone_stack_figure,
)
from planner.report.frames import Style
from planner.report.inputs import events_table, input_tables
from planner.report.limit_figures import margins_figure, marked, what_ifs_figure
from planner.report.markup import Book, Chapter, Part, book_text, figure_markup, list_markup, table_markup
from planner.report.methods import methods, range_warnings
from planner.report.money_figures import waterfall_figure
from planner.report.money_tables import causes_table
from planner.report.sandface_tables import (
    SUM_NOTE,
    horizontal_notes,
    horizontal_table,
    skins_for_reading,
    skins_table,
)
from planner.report.sentences import assumptions, run_sentence
from planner.report.tables import (
    blanks_table,
    happenings_table,
    layers_table,
    limits_table,
    of_use,
    style_for,
    telling,
    with_only,
    without,
    zones_table,
)

ALONG = (
    "Inflow per length and rates in the bore at surface conditions, velocities in place. Inside a straddle pressure, "
    "rates and velocity are those of its inner pipe. The string has the temperature of the reservoir."
)
MOST_WATERFALLS = 4
FLOWS = (
    "revenue", "royalty", "operating cost", "water cost", "injection cost", "handling cost", "job cost", "capital cost",
    "tax", "cash flow",
)  # fmt: skip
WATERFALL_TOLD = (
    "Discounted money by cause, against the base. The value of what a zone sells is volume times mean price times mean "
    "discount factor; what these three change is shared among them evenly over all orders in which they can change. "
    "Volume lost while the well stands for a job counts with the zones. The bars add up to the difference."
)


def report_text(
    comparison: Comparison,
    case: Case,
    flow: FlowProfile | None = None,
    units: UnitSystem | None = None,
    decisions: Sequence[Chapter] = (),
) -> str:
    """The report as HTML text, in need of nothing from outside.

    flow: the flow along the string at the start, shown where given. units: none for the case's own. decisions:
    chapters of decisions, which come behind the comparison.
    """
    return book_text(report_book(comparison, case, flow, units, decisions))


def report_book(
    comparison: Comparison,
    case: Case,
    flow: FlowProfile | None = None,
    units: UnitSystem | None = None,
    decisions: Sequence[Chapter] = (),
) -> Book:
    """The report as chapters in their order: the answer first, then decisions, the well, how it was computed."""
    style = style_for(units or case.units, case.economics.currency)
    inputs = [
        Part("What-ifs", "", (table_markup(events_table(case, style)),)),
        *(Part(heading, note, (table_markup(table),)) for heading, note, table in input_tables(case, style)),
    ]
    told = "Every input as it was understood, defaults included. A field that no row gives is left out."
    answer = comparison_answer(comparison, style)
    chapters = (
        Chapter("answer", "", "Comparison", "", tuple(_answer(comparison, style))),
        *decisions,
        Chapter("well", "", "Zones and what can shut them", "", tuple(_well(comparison, flow, style))),
        Chapter("course", "", "Course of the base", "", tuple(_course(comparison, flow, style))),
        Chapter("what-ifs", "", "What happened, and limits", "",
                tuple(_run(run, style, told) for run, told in _told(comparison, case))),
        Chapter("inputs", "", "Inputs", told, tuple(inputs)),
        Chapter("assumptions", "", "Assumptions", "", (
            Part("What was assumed to get from the inputs to the numbers", "", (list_markup(assumptions(case)),)),
        )),
        Chapter("methods", "", "Methods and sources", "", tuple(_methods(case, style))),
        Chapter("numerics", "", "Numerics and warnings", "", tuple(_numerics(comparison))),
    )  # fmt: skip
    title = case.title or f"Well {case.well.name}"
    return Book("Well plan, what-ifs compared", title, f"Well {case.well.name}, {case.well.kind}. {answer}", chapters)


def comparison_answer(comparison: Comparison, style: Style) -> str:
    """The answer in a sentence: the what-if of the highest value, where there are prices."""
    runs = (comparison.base, *comparison.others)
    values = {run.name: comparison.money.get(run.name, {}).get("npv", float("nan")) for run in runs}
    known = {name: value for name, value in values.items() if np.isfinite(value)}
    if len(runs) < 2:
        return "The base alone; no what-if was compared."
    if len(known) < 2 or len(set(known.values())) < 2:
        return f"The base and {len(runs) - 1} what-ifs; no prices are given, so their value is not compared."
    best = max(known, key=lambda name: known[name])
    gain = {name: value - known.get("base", float("nan")) for name, value in known.items() if name != "base"}
    behind = sorted(gain, key=lambda name: -gain[name])
    if best == "base":
        nearest = style.sum(gain[behind[0]], signed=True)
        return f"No what-if is worth more than the base; nearest: {behind[0]}, {nearest} against it."
    more = [name for name in behind if gain[name] > 0.0]
    rest = f" Next: {more[1]}, {style.sum(gain[more[1]], signed=True)}." if len(more) > 1 else ""
    broken = {run.name: len({one.name for one in run.limits if one.broken}) for run in runs}
    limits = f"{broken[best]} limit{'s' if broken[best] > 1 else ''}"
    also = f" It breaks {limits}, the base {broken['base'] or 'none'}." if broken[best] else ""
    return f"Worth most: {best}, NPV {style.sum(gain[best], signed=True)} against the base.{also}{rest}"


def _methods(case: Case, style: Style) -> list[Part]:
    """The published methods that this case uses, and where its inputs lie outside their ranges."""
    rows = [
        (one["name"], one["source"], " ".join(filter(None, (one["equation"], one["note"]))),
         one["range"] or "no range stated")
        for one in methods(case, style)
    ]  # fmt: skip
    outside = range_warnings(case, style)
    told = (
        "Inputs outside the range of the data behind a method; its numbers are extrapolated there:"
        if outside
        else "The temperatures, pressures, gravities and gas ratios of the inputs lie inside these ranges."
    )
    table = pd.DataFrame(rows, columns=["gives", "source", "form", "range"])
    return [
        Part("Ranges", told, (list_markup(outside),) if outside else ()),
        Part("The published methods that this case uses", "", (table_markup(table),)),
    ]


def _numerics(comparison: Comparison) -> list[Part]:
    """How each run went, with its warnings."""
    given = comparison.base.description.warnings
    parts = [Part("The well as given", "", (list_markup(given),))] if given else []
    for run in (comparison.base, *comparison.others):
        parts.append(Part(run.name, run_sentence(run), (list_markup(run.warnings or ("No warning.",)),)))
    return parts


def _answer(comparison: Comparison, style: Style) -> list[Part]:
    runs = (comparison.base, *comparison.others)
    stream = "gas_volume" if comparison.base.description.kind.startswith("gas") else "oil_volume"
    if comparison.base.description.kind == "water injector":
        stream = "water_volume"
    cash = cash_figure(comparison, style)
    gas = comparison.base.description.kind.startswith("gas")
    wet = ("water_rate", "Water rate by what-if") if gas else ("water_cut", "Water cut by what-if")
    unsaid = ("oil", "oil against base", "peak water cut")  # of a gas well
    table = of_use(comparison_table(comparison, style))
    dates = ["what-if", "water arrives", "last production", "limits broken"]
    return [
        *_undone(comparison),
        Part("Volumes", "", (table_markup(without(table, *dates[1:], *(unsaid if gas else ()))),)),
        Part("Dates and limits", "", (table_markup(table[dates]),)),
        Part("Money", "", _money(comparison, style)),
        *_difference(comparison, style),
        Part("By zone", "", _by_zone(comparison, style)),
        Part(
            "Side by side",
            "",
            tuple(
                figure_markup(what_ifs_figure(runs, column, style, heading))
                for column, heading in (
                    (stream.replace("volume", "rate"), "Rate by what-if"),
                    wet,
                    (stream, "Cumulative volume by what-if"),
                )
            )
            + ((figure_markup(cash),) if cash is not None else ()),
        ),
    ]


def _undone(comparison: Comparison) -> list[Part]:
    """What-ifs that the string cannot do, and those that could not be computed, with the reasons."""
    found = (
        ("What the string cannot do", comparison.refused),
        ("What could not be computed", comparison.extra.get("failed", {})),
    )
    return [
        Part(heading, "", (list_markup(f"{name}: {why}" for name, why in listed.items()),))
        for heading, listed in found
        if listed
    ]


def _money(comparison: Comparison, style: Style) -> tuple[Markup, ...]:
    """What each what-if is worth, then where its money goes."""
    table = money_for_reading(comparison, style)
    flows = with_only(table, "what-if", *FLOWS)
    worth = without(table, *FLOWS)
    return (table_markup(worth, "Worth"), table_markup(flows, "Cash in and out, undiscounted"))


def _difference(comparison: Comparison, style: Style) -> list[Part]:
    """Where the difference in value comes from: a row each what-if, and figures of those that differ most."""
    found = waterfalls(comparison)
    if not found:
        return []
    table = table_markup(in_millions(causes_table(found, style), style))
    told = sorted(found, key=lambda one: -abs(one.second_value - one.first_value))[:MOST_WATERFALLS]
    figures = tuple(figure_markup(waterfall_figure(one, style)) for one in told if one.bars)
    return [Part("What makes the difference in value", WATERFALL_TOLD, (table, *figures))]


def _by_zone(comparison: Comparison, style: Style) -> tuple[Markup, ...]:
    """Recovery and water by zone, a row each what-if."""
    found: list[Markup] = []
    for what in ("recovery factor", "water"):
        table = by_zone_table(comparison, what, style)
        unit = style.unit("fraction" if what == "recovery factor" else "liquid volume")
        found += [] if table.empty else [table_markup(table, f"{what.capitalize()} ({unit})")]
    return (*found, figure_markup(recovery_figure(comparison, style)))


def _well(comparison: Comparison, flow: FlowProfile | None, style: Style) -> list[Part]:
    description = comparison.base.description
    return [
        Part("Along the hole", "", (figure_markup(sketch_figure(description, style)),)),
        Part(
            "Zones and what can shut them",
            "A zone can be shut on its own where a later plug or straddle finds blank pipe and outside seals on the "
            "sides that it needs.",
            (table_markup(zones_table(description, style)),),
        ),
        Part("Blank pipe", "", (table_markup(blanks_table(description, style)),)),
        Part("Layers", "", (table_markup(layers_table(description, style)),)),
        *_sandface(flow, style),
    ]


def _sandface(flow: FlowProfile | None, style: Style) -> list[Part]:
    """Skins part by part at the flow of the start, and horizontal sections beside published formulas."""
    parts = []
    if flow is not None and flow.skins:
        both = (
            table_markup(skins_for_reading(flow.skins, style)),
            table_markup(skins_table(flow.skins, style), "With sources"),
        )
        parts.append(Part("Skin, part by part", SUM_NOTE, both))
    if flow is not None and flow.horizontal:
        notes = " ".join(horizontal_notes(flow.horizontal))
        table = table_markup(horizontal_table(flow.horizontal, style))
        parts.append(Part("Productivity index of sections along the hole", notes, (table,)))
    return parts


def _course(comparison: Comparison, flow: FlowProfile | None, style: Style) -> list[Part]:
    base = comparison.base
    stack = "gas_rate" if base.description.kind.startswith("gas") else "oil_rate"
    stack = "water_rate" if base.description.kind == "water injector" else stack
    figures = [rates_figure(base, style), cumulative_figure(base, style), wetness_figure(base, style)]
    if stack in base.zone:
        figures.append(zone_stack_figure(base, stack, style))
    figures.append(pressure_figure(base, style))
    return [
        Part("The base over time", "", tuple(figure_markup(figure) for figure in figures)),
        Part("Views along depth", ALONG, tuple(figure_markup(figure) for figure in _along(base, flow, style))),
    ]


def _along(base: Forecast, flow: FlowProfile | None, style: Style) -> list[go.Figure]:
    """The base along the string at the start and at the end, and up its tubing at the start."""
    found = [] if flow is None else [profile_figure(flow, style)]
    tubing = None if flow is None else tubing_figure(flow, style)
    found += [] if tubing is None else [tubing]
    return [*found, profile_figure(at_date(base, -1), style)] if base.piece else found


def _told(comparison: Comparison, case: Case) -> list[tuple[Forecast, str]]:
    """Every run with what its author says about it."""
    said = {what_if.name: what_if.description for what_if in case.what_ifs}
    return [(run, said.get(run.name, "")) for run in (comparison.base, *comparison.others)]


def _run(run: Forecast, style: Style, told: str) -> Part:
    limits = limits_table(telling(run.limits), run.dates[0], style)
    margins = margins_figure(run, style)
    return Part(
        marked(run),
        told,
        (
            table_markup(happenings_table(run.happenings, style), "What happened"),
            table_markup(limits, "Limits, where nearest")
            if len(limits)
            else Markup("<p>No limit was given, so none was checked.</p>"),
            *([] if margins is None else [figure_markup(margins)]),
            *(figure_markup(figure) for figure in _beyond(run, style)),
        ),
    )


def _beyond(run: Forecast, style: Style) -> list[go.Figure]:
    """Along the string on the day on which a limit was broken the most."""
    broken = [one for one in run.limits if one.broken]
    if not broken or not run.limit_series:
        return []
    worst = min(broken, key=lambda one: one.margin)
    row = int(np.abs(run.days - worst.worst_day).argmin())
    day = str(run.dates[row].astype("datetime64[D]"))
    return [profile_figure(at_date(run, row), style, title=f"{run.name}: {worst.name} at its worst, {day}")]

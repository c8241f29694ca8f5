"""The HTML report: one self-contained file with inputs, assumptions, methods, results, numerics and cautions."""

from __future__ import annotations

from datetime import date

from markupsafe import Markup
from plotly.offline import get_plotlyjs

from planner import __version__
from planner.base.units import UnitSystem
from planner.decide.waterfall import waterfalls
from planner.model.case import Case
from planner.model.cautions import CAUTIONS
from planner.model.results import Comparison, FlowProfile, Forecast
from planner.report.comparison_tables import by_zone_table, comparison_table, in_millions, money_for_reading
from planner.report.depth_figures import profile_figure, sketch_figure
from planner.report.figures import (
    cash_figure,
    column_figure,
    cumulative_figure,
    pressure_figure,
    rates_figure,
    recovery_figure,
    wetness_figure,
    zone_stack_figure,
)
from planner.report.frames import Style
from planner.report.inputs import events_table, input_tables
from planner.report.markup import Part, environment, figure_markup, table_markup
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
    without,
    zones_table,
)

MOST_WATERFALLS = 4
WATERFALL_TOLD = (
    "Discounted money by cause, against the base. The value of what a zone sells is volume times mean price times mean "
    "discount factor; what these three change is shared among them evenly over all orders in which they can change. "
    "Volume lost while the well stands for a job counts with the zones. The bars add up to the difference."
)


def report_text(
    comparison: Comparison, case: Case, flow: FlowProfile | None = None, units: UnitSystem | None = None
) -> str:
    """The report as HTML text, in need of nothing from outside.

    flow: the flow along the string at the start, shown where given. units: none for the case's own.
    """
    style = style_for(units or case.units, case.economics.currency)
    return (
        environment()
        .get_template("report.html")
        .render(
            title=case.title or f"Well {case.well.name}",
            well=case.well,
            today=date.today().isoformat(),
            version=__version__,
            cautions=CAUTIONS,
            plotly=Markup(get_plotlyjs()),
            parts=_parts(comparison, case, flow, style),
            refused=comparison.refused,
            failed=comparison.extra.get("failed", {}),
            assumptions=assumptions(case),
            methods=methods(case, style),
            ranges=range_warnings(case, style),
            runs=[(run.name, run_sentence(run), run.warnings) for run in (comparison.base, *comparison.others)],
            warnings=comparison.base.description.warnings,
        )
    )


def _parts(comparison: Comparison, case: Case, flow: FlowProfile | None, style: Style) -> dict[str, list[Part]]:
    return {
        "answer": _answer(comparison, style),
        "well": _well(comparison, flow, style),
        "course": _course(comparison, flow, style),
        "what_ifs": [_run(run, style, told) for run, told in _told(comparison, case)],
        "inputs": [
            Part("What-ifs", "", (table_markup(events_table(case, style)),)),
            *(Part(heading, note, (table_markup(table),)) for heading, note, table in input_tables(case, style)),
        ],
    }


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
        Part("Volumes", "", (table_markup(without(table, *dates[1:], *(unsaid if gas else ()))),)),
        Part("Dates and limits", "", (table_markup(table[dates]),)),
        Part("Money", "", (table_markup(money_for_reading(comparison, style)),)),
        *_difference(comparison, style),
        Part("By zone", "", _by_zone(comparison, style)),
        Part(
            "Side by side",
            "",
            tuple(
                figure_markup(column_figure(runs, column, style, heading))
                for column, heading in (
                    (stream.replace("volume", "rate"), "Rate by what-if"),
                    wet,
                    (stream, "Cumulative volume by what-if"),
                )
            )
            + ((figure_markup(cash),) if cash is not None else ()),
        ),
    ]


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
    if flow is not None:
        figures.append(profile_figure(flow, style))
    return [Part("The base over time", "", tuple(figure_markup(figure) for figure in figures))]


def _told(comparison: Comparison, case: Case) -> list[tuple[Forecast, str]]:
    """Every run with what its author says about it."""
    said = {what_if.name: what_if.description for what_if in case.what_ifs}
    return [(run, said.get(run.name, "")) for run in (comparison.base, *comparison.others)]


def _run(run: Forecast, style: Style, told: str) -> Part:
    limits = limits_table(telling(run.limits), run.dates[0], style)
    return Part(
        run.name,
        told,
        (
            table_markup(happenings_table(run.happenings, style), "What happened"),
            table_markup(limits, "Limits, where nearest")
            if len(limits)
            else Markup("<p>No limit was given, so none was checked.</p>"),
        ),
    )

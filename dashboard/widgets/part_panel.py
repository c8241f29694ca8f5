"""What can be done with the part in hand: a zone, a blank pipe, a seal, or the well as a whole."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash_mantine_components as dmc
import numpy as np
from dash import html

from dashboard import events, ids
from dashboard.actions import settings
from dashboard.house import Visit
from dashboard.measure import System, amount, month_year, number, shown, unit
from dashboard.widgets.part_rows import action_button, number_field, refusal, row, top_line, word
from planner.model.case import Case, Control
from planner.model.results import BlankInfo, WellDescription, ZoneInfo

Json = dict[str, Any]


def panel(part: Json | None, visit: Visit, when: date, arrivals: dict[str, date] | None = None) -> list[Any]:
    """Contents of the panel for {'kind', 'name'}; without a part, what to do to get one.

    arrivals: zone -> day on which water reaches it in the base, as far as that is known.
    """
    case, told, system = visit.case, visit.told, visit.system
    name = (part or {}).get("name", "")
    kind = (part or {}).get("kind", "")
    zone = next((z for z in told.zones if z.name == name), None) if kind == "zone" else None
    blank = next((b for b in told.blanks if b.name == name), None) if kind == "blank pipe" else None
    if zone is not None:
        top, *rows = _zone(zone, case, told, when, system, (arrivals or {}).get(zone.name))
        return [top, *_done(name, visit), *rows]
    if blank is not None:
        top, *rows = _blank(blank, case, told, when, system)
        return [top, *_done(name, visit, told), *rows]
    if kind == "seal":
        return _seal(name, case, when, system)
    if kind == "well":
        return _well(case, when, system)
    return _nothing()


def _done(name: str, visit: Visit, told: WellDescription | None = None) -> list[Any]:
    """What the what-if in hand does here already: take it out again, or move it to another blank pipe."""
    found = settings(name, visit.card)
    if not found:
        return []
    last = found[-1]["event"]
    words = [row(action_button("take out", "Take out"), word(events.sentence(last, visit.system)))]
    others = [blank.name for blank in told.blanks if blank.fits and blank.name != name] if told else []
    if others and name in (last.get("blank"), last.get("upper_blank"), last.get("lower_blank")):
        words.append(
            row(
                action_button("move", "Move"),
                word("to"),
                dmc.Select(
                    id=ids.field("move-to"), data=others, value=others[0], size="xs", w=160, allowDeselect=False,
                    attributes={"input": {"aria-label": "Blank pipe to move it to"}},
                ),
            )
        )  # fmt: skip
    return [html.Div(words, className="rows wide done-here")]


def _nothing() -> list[Any]:
    return [
        html.H2("Pick a part of the well"),
        html.P(
            "Click a zone to shut, choke or treat it, or to let water come early. Click a blank pipe to set a plug or "
            "a straddle, a seal to let it leak, the well head for pressure and rate. By keyboard: Tab into the "
            "picture, arrow keys to move, Enter to pick, + and \u2212 to zoom.",
            className="hint",
        ),
    ]


def months_to(case: Case, when: date) -> int:
    """Whole months from the start of the forecast."""
    return (when.year - case.schedule.start.year) * 12 + when.month - case.schedule.start.month


def true_depth(told: WellDescription, md: float) -> float:
    """True vertical depth of a depth along the hole, between the middles of the pieces of bore, m."""
    mids = [(0.5 * (piece.top_md + piece.base_md), piece.tvd) for piece in told.pieces]
    mids += [(layer.top_md, layer.top_tvd) for layer in told.layers]
    mids += [(layer.base_md, layer.base_tvd) for layer in told.layers]
    along, deep = zip(*sorted(mids), strict=True)
    if md < along[0] and len(along) > 1:
        slope = (deep[1] - deep[0]) / max(along[1] - along[0], 1e-9)
        return float(deep[0] + slope * (md - along[0]))
    return float(np.interp(md, along, deep))


def _zone(
    zone: ZoneInfo, case: Case, told: WellDescription, when: date, system: System, arrival: date | None
) -> list[Any]:
    top, base = (shown(true_depth(told, md), "length", system) for md in (zone.top_md, zone.base_md))
    length = f"{number(top, 4)} to {number(base, 4)} {unit('length', system)} TVD"
    place = zone.gas_in_place if case.well.kind.startswith("gas") else zone.oil_in_place
    what = "gas volume" if case.well.kind.startswith("gas") else "liquid volume"
    aids = ", ".join(name for name in (zone.upper_blank, zone.lower_blank) if name)
    fact = f"{length}, {amount(place, what, system)} in place"
    if zone.shut_by:
        fact += f"; {zone.shut_by} in {aids}" if aids else f"; shut by a {zone.shut_by}"
    nozzle = round(float(shown(0.0127, "diameter", system)), 2)
    last = months_to(case, case.schedule.end)
    if arrival is not None:
        fact += f"; water in the base: {month_year(arrival)}"
    early = max(1, months_to(case, arrival) // 2) if arrival else max(1, months_to(case, when))
    rows = [top_line(zone.name, fact, case, when)]
    if zone.shut_by:
        rows += [
            html.Div(
                [
                    row(action_button("shut on", "Shut it", main=True), word("on that date")),
                    row(action_button("shut when", "Shut when wet"), *_wet(case)),
                    row(
                        action_button("choke", "Choke it"),
                        word("nozzle"),
                        number_field("nozzle", nozzle, "Bore of the nozzle"),
                        word(unit("diameter", system)),
                    ),
                ],
                className="rows",
            )
        ]
    else:
        rows.append(refusal(zone.missing, f"{zone.name} cannot be shut on its own."))
    rows.append(
        html.Div(
            [
                row(
                    action_button("skin", "Change its skin"),
                    word("to"),
                    number_field("skin", 0, "Skin", 60),
                    word("below 0: stimulated"),
                ),
                row(
                    action_button("plug screens", "Plug its screens"),
                    word("leaving"),
                    number_field("remaining", 40, "Share of inflow that remains, percent", 60),
                    word("% of the inflow"),
                ),
                row(action_button("early", "Water comes early"), _early_slider(early, last)),
            ],
            className="rows",
        )
    )
    return rows


def _wet(case: Case) -> list[Any]:
    """What counts as wet: a water cut, or in a gas well, whose liquid is all water, the first of it."""
    if case.well.kind == "gas producer":
        return [word("as soon as water comes from it")]
    return [word("water cut above"), number_field("cut", 80, "Water cut in percent", 60), word("%")]


def _early_slider(month: int, last: int) -> Any:
    slider = dmc.Slider(
        id=ids.field("early"), min=1, max=last, step=1, value=min(max(1, month), last), size="sm", label=None,
        thumbLabel="Month by which water reaches the zone", updatemode="drag", className="early",
    )  # fmt: skip
    return html.Div(
        [word("by"), slider, html.Span(id=ids.EARLY_TEXT, className="early-text")], className="row-more grow"
    )


def _blank(blank: BlankInfo, case: Case, told: WellDescription, when: date, system: System) -> list[Any]:
    length = amount(blank.base_md - blank.top_md, "length", system)
    shuts = ", ".join(blank.shuts)
    fact = f"blank pipe, {length}" + (f"; a plug here shuts {shuts}" if shuts and blank.fits else "")
    top = top_line(blank.name, fact, case, when)
    if not blank.fits:
        return [top, refusal(blank.missing, "No later element fits into this blank pipe.")]
    rows = [
        row(
            action_button("plug", "Set plug here", main=True),
            word(f"everything deeper is shut in: {shuts}" if shuts else ""),
        )
    ]
    ends = straddles(blank, told)
    if ends:
        rows.append(
            row(
                action_button("straddle", "Straddle from here"),
                dmc.Select(
                    id=ids.field("to"), data=ends, value=ends[0]["value"], size="xs", w=260, allowDeselect=False,
                    attributes={"input": {"aria-label": "Other end of the straddle"}},
                ),
            )
        )  # fmt: skip
    else:
        rows.append(refusal((), "A straddle needs a second blank pipe that takes an element, and the well has none."))
    return [top, html.Div(rows, className="rows wide")]


def straddles(blank: BlankInfo, told: WellDescription) -> list[dict[str, str]]:
    """Other ends that a straddle from this blank may have, the nearest deeper one first; what it would shut."""
    others = [other for other in told.blanks if other.fits and other.name != blank.name]
    others.sort(key=lambda other: (other.top_md < blank.top_md, abs(other.top_md - blank.top_md)))
    found = []
    for other in others:
        upper, lower = sorted((blank, other), key=lambda b: b.top_md)
        between = [z.name for z in told.zones if z.base_md > upper.base_md and z.top_md < lower.top_md]
        found.append(
            {"value": f"{upper.name}|{lower.name}", "label": f"to {other.name}: {', '.join(between) or 'no zone'}"}
        )
    return found


def _seal(name: str, case: Case, when: date, system: System) -> list[Any]:
    leak = round(float(shown(2.67e-10, "leak conductance", system)), 1)  # 1 bbl/d/psi: a leak that is seen
    return [
        top_line(name, "seals the hole outside the pipe", case, when),
        html.Div(
            [
                row(
                    action_button("leak", "Let it leak", main=True),
                    number_field("leak", leak, "Leak", 86),
                    word(f"{unit('leak conductance', system)}, fluid of 1 cP"),
                )
            ],
            className="rows wide",
        ),
    ]


def control_on(case: Case, when: date) -> Control:
    """The control of the case that holds on a day."""
    begun = [one for one in case.controls if one.date <= when]
    return max(begun, key=lambda one: one.date) if begun else case.controls[0]


def _well(case: Case, when: date, system: System) -> list[Any]:
    now = control_on(case, when)
    pressure = now.bottom_hole_pressure or 0.8 * min(one.pressure for one in case.compartments)
    gas_well = case.well.kind.startswith("gas")
    rate, quantity = ("gas", "gas rate") if gas_well else ("liquid", "liquid rate")
    held = now.gas_rate if gas_well else now.liquid_rate or now.oil_rate or now.water_rate
    usual = held or (2.0 if gas_well else 0.01)
    rows = [
        row(
            action_button("pressure", "Bottom-hole pressure", main=True),
            word("to"),
            number_field("pressure", round(float(shown(pressure, "pressure", system))), "Bottom-hole pressure"),
            word(unit("pressure", system)),
        ),
        row(
            action_button(rate, quantity.capitalize()),
            word("to"),
            number_field(rate, float(f"{shown(usual, quantity, system):.4g}"), quantity.capitalize()),
            word(unit(quantity, system)),
        ),
    ]
    if case.supports:
        rows.append(
            row(
                action_button("support", "Support fails"),
                dmc.Select(
                    id=ids.field("support"), data=list(case.supports), value=next(iter(case.supports)), size="xs",
                    w=150, allowDeselect=False, attributes={"input": {"aria-label": "Which support"}},
                ),
                word("to"),
                number_field("support-left", 0, "Share that remains, percent", 52),
                word("%"),
            )
        )  # fmt: skip
    fact = f"{case.well.kind}, {case.schedule.start:%Y} to {case.schedule.end:%Y}"
    return [top_line(case.well.name, fact, case, when), html.Div(rows, className="rows wide")]

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
    words = [_row(_button("take out", "Take out"), _word(events.sentence(last, visit.system)))]
    others = [blank.name for blank in told.blanks if blank.fits and blank.name != name] if told else []
    if others and name in (last.get("blank"), last.get("upper_blank"), last.get("lower_blank")):
        words.append(
            _row(
                _button("move", "Move"),
                _word("to"),
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


def _top(title: str, fact: str, case: Case, when: date) -> Any:
    return html.Div([html.H2(title), _date(case, when), html.Span(fact, className="fact")], className="panel-top")


def _button(action: str, text: str, main: bool = False) -> Any:
    return dmc.Button(
        text, id=ids.act(action), n_clicks=0, size="compact-sm", variant="filled" if main else "light", fullWidth=True,
        justify="flex-start",
    )  # fmt: skip


def _date(case: Case, when: date, label: str = "Date of the job") -> Any:
    return html.Div(
        [
            html.Label("On", htmlFor="part-date", className="row-word"),
            dmc.DateInput(
                id=ids.field("date"), value=when.isoformat(), valueFormat="YYYY-MM-DD", size="xs", w=112,
                minDate=case.schedule.start.isoformat(), maxDate=case.schedule.end.isoformat(),
                popoverProps={"withinPortal": True}, inputProps={"aria-label": label},
                attributes={"input": {"aria-label": label}},
            ),
        ],
        className="date-of-job",
    )  # fmt: skip


def _number(name: str, value: Any, label: str, width: int = 78, **more: Any) -> Any:
    return dmc.NumberInput(
        id=ids.field(name), value=value, size="xs", w=width, hideControls=True, clampBehavior="none",
        attributes={"input": {"aria-label": label}}, **more,
    )  # fmt: skip


def _row(button: Any, *more: Any) -> Any:
    return html.Div(
        [html.Div(button, className="row-button"), html.Div(list(more), className="row-more")], className="row"
    )


def _word(text: str) -> Any:
    return html.Span(text, className="row-word")


def _refusal(sentences: tuple[str, ...], fallback: str) -> Any:
    return html.P([html.B("Not possible: "), "; ".join(sentences) or fallback], className="refusal", role="note")


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
    rows = [_top(zone.name, fact, case, when)]
    if zone.shut_by:
        rows += [
            html.Div(
                [
                    _row(_button("shut on", "Shut it", main=True), _word("on that date")),
                    _row(_button("shut when", "Shut when wet"), *_wet(case)),
                    _row(
                        _button("choke", "Choke it"),
                        _word("nozzle"),
                        _number("nozzle", nozzle, "Bore of the nozzle"),
                        _word(unit("diameter", system)),
                    ),
                ],
                className="rows",
            )
        ]
    else:
        rows.append(_refusal(zone.missing, f"{zone.name} cannot be shut on its own."))
    rows.append(
        html.Div(
            [
                _row(
                    _button("skin", "Change its skin"),
                    _word("to"),
                    _number("skin", 0, "Skin", 60),
                    _word("below 0: stimulated"),
                ),
                _row(
                    _button("plug screens", "Plug its screens"),
                    _word("leaving"),
                    _number("remaining", 40, "Share of inflow that remains, percent", 60),
                    _word("% of the inflow"),
                ),
                _row(_button("early", "Water comes early"), _early_slider(early, last)),
            ],
            className="rows",
        )
    )
    return rows


def _wet(case: Case) -> list[Any]:
    """What counts as wet: a water cut, or in a gas well, whose liquid is all water, the first of it."""
    if case.well.kind == "gas producer":
        return [_word("as soon as water comes from it")]
    return [_word("water cut above"), _number("cut", 80, "Water cut in percent", 60), _word("%")]


def _early_slider(month: int, last: int) -> Any:
    slider = dmc.Slider(
        id=ids.field("early"), min=1, max=last, step=1, value=min(max(1, month), last), size="sm", label=None,
        thumbLabel="Month by which water reaches the zone", updatemode="drag", className="early",
    )  # fmt: skip
    return html.Div(
        [_word("by"), slider, html.Span(id=ids.EARLY_TEXT, className="early-text")], className="row-more grow"
    )


def _blank(blank: BlankInfo, case: Case, told: WellDescription, when: date, system: System) -> list[Any]:
    length = amount(blank.base_md - blank.top_md, "length", system)
    shuts = ", ".join(blank.shuts)
    fact = f"blank pipe, {length}" + (f"; a plug here shuts {shuts}" if shuts and blank.fits else "")
    top = _top(blank.name, fact, case, when)
    if not blank.fits:
        return [top, _refusal(blank.missing, "No later element fits into this blank pipe.")]
    rows = [
        _row(
            _button("plug", "Set plug here", main=True),
            _word(f"everything deeper is shut in: {shuts}" if shuts else ""),
        )
    ]
    ends = straddles(blank, told)
    if ends:
        rows.append(
            _row(
                _button("straddle", "Straddle from here"),
                dmc.Select(
                    id=ids.field("to"), data=ends, value=ends[0]["value"], size="xs", w=260, allowDeselect=False,
                    attributes={"input": {"aria-label": "Other end of the straddle"}},
                ),
            )
        )  # fmt: skip
    else:
        rows.append(_refusal((), "A straddle needs a second blank pipe that takes an element, and the well has none."))
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
        _top(name, "seals the hole outside the pipe", case, when),
        html.Div(
            [
                _row(
                    _button("leak", "Let it leak", main=True),
                    _number("leak", leak, "Leak", 86),
                    _word(f"{unit('leak conductance', system)}, fluid of 1 cP"),
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
        _row(
            _button("pressure", "Bottom-hole pressure", main=True),
            _word("to"),
            _number("pressure", round(float(shown(pressure, "pressure", system))), "Bottom-hole pressure"),
            _word(unit("pressure", system)),
        ),
        _row(
            _button(rate, quantity.capitalize()),
            _word("to"),
            _number(rate, float(f"{shown(usual, quantity, system):.4g}"), quantity.capitalize()),
            _word(unit(quantity, system)),
        ),
    ]
    if case.supports:
        rows.append(
            _row(
                _button("support", "Support fails"),
                dmc.Select(
                    id=ids.field("support"), data=list(case.supports), value=next(iter(case.supports)), size="xs",
                    w=150, allowDeselect=False, attributes={"input": {"aria-label": "Which support"}},
                ),
                _word("to"),
                _number("support-left", 0, "Share that remains, percent", 52),
                _word("%"),
            )
        )  # fmt: skip
    fact = f"{case.well.kind}, {case.schedule.start:%Y} to {case.schedule.end:%Y}"
    return [_top(case.well.name, fact, case, when), html.Div(rows, className="rows wide")]

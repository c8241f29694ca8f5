"""What a blank pipe costs: the pipe, the rig that runs it, and what a screen in its place would have given."""

from __future__ import annotations

from collections.abc import Callable

from planner.base.errors import CaseError, ForecastError, Refusal
from planner.decide.capital import joints
from planner.decide.months import month_ends, years_to_cash
from planner.decide.summaries import life_summary
from planner.forecast.run import forecast
from planner.model.blank_value import BlankPrice
from planner.model.case import Case, Element
from planner.model.change import WhatIf
from planner.model.consistency import check
from planner.model.names import element_names
from planner.model.results import BlankInfo
from planner.network.records import TOUCH

Asked = Callable[[], bool]
UNKNOWN = float("nan")


def prices_of(
    case: Case, infos: tuple[BlankInfo, ...], under: WhatIf | None = None, cancelled: Asked | None = None
) -> dict[str, BlankPrice]:
    """The price of every blank, part by part, by name; net present value after tax, as the worth is.

    Lost screen: one forecast of the case as it stands (its middle values) with the blank's length as screen, less that
    with the blank; nought beside shale, where a screen takes nothing in. Raises Cancelled.
    """
    own: list[float] = []  # of the case as it stands, once it is asked for
    found = {}
    for info in infos:
        beside = layers_beside(case, info)
        lost, why = (0.0, "") if not beside else _lost(case, info, under, own, cancelled)
        pipe, rig = _run(case, "blank pipe", "", info)
        saved = UNKNOWN
        if beside and (screen := nearest_screen(case, info)) is not None:
            saved = sum(_run(case, "screen", screen.screen, info))
        found[info.name] = BlankPrice(pipe, rig, lost, saved, beside, why)
    return found


def layers_beside(case: Case, info: BlankInfo) -> tuple[str, ...]:
    """Layers that a blank passes; none: it sits in shale."""
    rows = [
        layer for layer in case.layers
        if min(layer.base_md, info.base_md) - max(layer.top_md, info.top_md) > TOUCH
    ]  # fmt: skip
    return tuple(layer.name for layer in rows)


def nearest_screen(case: Case, info: BlankInfo) -> Element | None:
    """The screen of the string that lies nearest to a blank."""
    middle = 0.5 * (info.top_md + info.base_md)
    screens = [one for one in case.string if one.kind == "screen"]
    return min(screens, key=lambda one: abs(0.5 * (one.top_md + one.base_md) - middle), default=None)


def with_screen(case: Case, info: BlankInfo) -> Case | None:
    """The case with a screen like the nearest one in a blank's place; None where that does not fit the string."""
    screen = nearest_screen(case, info)
    names = element_names(case)
    if screen is None or info.name not in names:
        return None
    place = names.index(info.name)
    made = screen.model_copy(update={"name": info.name, "top_md": info.top_md, "base_md": info.base_md})
    string = (*case.string[:place], made, *case.string[place + 1 :])
    changed = case.model_copy(update={"string": string, "what_ifs": ()})
    return None if check(changed) else changed


def _lost(
    case: Case, info: BlankInfo, under: WhatIf | None, own: list[float], cancelled: Asked | None
) -> tuple[float, str]:  # fmt: skip
    """What a screen in a blank's place would add, before its own cost, and why it is not known."""
    changed = with_screen(case, info)
    if changed is None:
        return UNKNOWN, "no screen of the string fits in its place"
    try:
        if not own:
            own.append(_value(case, under, cancelled))
        return _value(changed, under, cancelled) - own[0], ""
    except (CaseError, ForecastError, Refusal) as error:
        return UNKNOWN, f"with a screen in its place the well could not be computed: {error}"


def _value(case: Case, under: WhatIf | None, cancelled: Asked | None) -> float:
    """Net present value without the cost of the string."""
    bare = case.model_copy(update={"economics": case.economics.model_copy(update={"elements": {}, "rig_rate": 0.0})})
    return life_summary(bare, under, forecast(bare, under, cancelled=cancelled)).figures["npv"]


def _run(case: Case, kind: str, screen: str, info: BlankInfo) -> tuple[float, float]:
    """Cost of a length of pipe and of the rig that runs it; not known where economics.elements has no such kind."""
    economics = case.economics
    if kind not in economics.elements and f"{screen} {kind}" not in economics.elements:
        return UNKNOWN, UNKNOWN
    terms = economics.terms_of(kind, screen)
    length = info.base_md - info.top_md
    count, value = joints(length, terms), value_of_capital(case)
    return float(value * terms.cost(length, count)), float(value * economics.rig_rate * terms.time(length, count))


def value_of_capital(case: Case) -> float:
    """Net present value of one unit of money spent on the string, as `money.cash_flow` counts it: in the first month.

    Less the tax saved where losses earn relief; where they are carried forward it is taken in full.
    """
    economics, start = case.economics, case.schedule.start
    first = month_ends(start, case.schedule.end)[:1]
    years = years_to_cash(first, start, economics.reference_date or start, economics.discounting)[0]
    relief = economics.tax if economics.losses == "relief" else 0.0
    return float((1.0 - relief) * (1.0 + economics.discount_rate) ** -years)

"""Sentences of the report: assumptions, and how each run went."""

from __future__ import annotations

from planner.model.case import Case, Limits
from planner.model.economics import Economics
from planner.model.results import Forecast
from planner.report.frames import UNNAMED, words


def assumptions(case: Case) -> list[str]:
    """What was assumed to get from the inputs to the numbers, for this case."""
    economics = case.economics
    return [
        "Volumes and rates are at surface conditions: 15 degC and 101.325 kPa.",
        "Layers are homogeneous within themselves; layers of a zone share the bore, and the rock between them only "
        + ("where the case joins them." if case.numerics.vertical_flow else "through the bore (vertical flow is off)."),
        *_money(economics),
        *_physics(case),
        *_completions(case),
        _unchecked(case.limits),
    ]


def _money(economics: Economics) -> list[str]:
    """What was assumed of prices, time, tax and jobs."""
    told = "by dates (those of the month's middle count)" if economics.prices else "that do not change with time"
    if economics.price_escalation or economics.cost_escalation:
        told += (
            f", escalated from the reference date by {economics.price_escalation:.3g} (prices) and "
            f"{economics.cost_escalation:.3g} (costs) per year"
        )
    reference = economics.reference_date.isoformat() if economics.reference_date else "the start of the schedule"
    year = " (years of twelve months from that date)" if "year" in economics.discounting else ""
    losses = (
        "a loss earns relief at the same rate, as for an owner who pays tax on other income."
        if economics.losses == "relief"
        else "tax falls on the income of a calendar year less the losses of earlier ones, carried forward without "
        "limit, and is paid at the year's end; losses left at the end are lost."
    )
    return [
        f"{_currency(economics.currency)} at prices {told}. Cash of a month counts at the "
        f"{economics.discounting}{year} and is discounted at {economics.discount_rate:.3g} per year, effective, to "
        f"{reference}.",
        f"Royalty is a share of revenue. Tax is a share of revenue less royalty and costs, capital in full when it is "
        f"spent; {losses}",
        "Operating cost runs until the well stops for good. A job is paid when it is done, at its own cost, that of "
        "its way, or the case's intervention cost; misfortunes and changes of control cost nothing unless the case "
        "says so. Where the way has a duration the forecast shuts the well in for it, from the day of the job.",
        "A risked value takes the jobs of a what-if as independent and as all succeeding or all failing; where they "
        "fail they are paid for and the well goes on as in the base.",
        "Rate of return and payback against the base are given only where money is put in. The rate is left out "
        "where the difference in cash has none or more than one; payback runs from the first month below zero until "
        "the undiscounted difference is back at zero for good. A break-even price is one constant price with "
        "everything else, the forecast too, as it is.",
    ]


def _currency(name: str) -> str:
    return f"Money is in {name}," if name not in ("", UNNAMED) else "The case does not name its currency; money is told"


def _physics(case: Case) -> list[str]:
    """What the computation leaves out, as it stands for this case."""
    numerics = case.numerics
    found = [
        "The reservoir has one temperature, and fluids in the bore have it too.",
        "Capillary pressure is left out: contacts are sharp, and water does not soak into rock by itself.",
    ]
    if numerics.fronts == "resolved" and not numerics.vertical_flow:
        found.append(
            "Water fronts are carried sharp inside cells, as one displacement along each layer; fronts of gas, and of "
            "water where the flow turns round, are smeared over cells."
        )
    else:
        found.append(
            "Fronts are smeared over cells (plain upstream weighting): in coarse layers water comes too early."
        )
    if any(one.kind == "carter-tracy aquifer" for one in case.supports.values()):
        found.append(
            "A Carter-Tracy aquifer is an inflow by formula, with no water in place of its own; where several layers "
            "name it, each takes a fixed share."
        )
    return found


def _completions(case: Case) -> list[str]:
    """What is said of what-ifs that complete the well another way."""
    if all(one.completion is None for one in case.what_ifs):
        return []
    return [
        "A what-if that completes the well another way runs the same rock, controls and skins; what the completion "
        "itself costs is not in the money, and its screens do not plug nor its sand fail unless the case says so."
    ]


def _unchecked(limits: Limits) -> str:
    missing = [words(name) for name in Limits.model_fields if getattr(limits, name) is None]
    if not missing:
        return "Every limit that the program knows was given and checked."
    return f"Not given, so not checked: {', '.join(missing)}."


def run_sentence(forecast: Forecast) -> str:
    """How the computation of one forecast went."""
    facts = forecast.facts
    worst = max((abs(value) for value in facts.balance.values()), default=float("nan"))
    by_component = ", ".join(f"{name} {value:.1e}" for name, value in facts.balance.items())
    return (
        f"{facts.steps:,} steps, {facts.failed_steps:,} taken again, {facts.newton_iterations:,} Newton iterations, "
        f"{facts.nodes:,} nodes, {facts.seconds:.2f} s; mass balance within {worst:.1e} of what moved"
        + (f" ({by_component})." if by_component else ".")
    )

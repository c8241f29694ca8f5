"""Checks of money: prices in date order, ways and elements that are known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from planner.base.errors import Problem
from planner.model.case import Case, ElementKind
from planner.model.change import JOB_KINDS
from planner.model.consistency_parts import Show, problem, unknown_name
from planner.model.economics import LATER_KINDS


def prices(case: Case, show: Show) -> Iterator[Problem]:
    """Rows of the price deck stand in date order, each with a price."""
    rows = case.economics.prices
    for number, row in enumerate(rows, start=1):
        if number > 1 and row.date <= rows[number - 2].date:
            message = f"prices are not in date order: the row before is of {rows[number - 2].date}"
            yield problem(f"economics.prices[{number}].date", message, "List them by date, each once.", str(row.date))
        if row.oil_price is None and row.gas_price is None:
            yield problem(f"economics.prices[{number}]", "the row has no price", "Give oil_price or gas_price.")


def ways(case: Case, show: Show) -> Iterator[Problem]:
    """Default ways are of jobs that there are, and are ways of the case."""
    economics = case.economics
    for do, way in economics.default_ways.items():
        place = f"economics.default_ways.{do}"
        if do not in JOB_KINDS:
            yield unknown_name(place, "job", do, JOB_KINDS)
        if way not in economics.ways:
            yield unknown_name(place, "way of doing jobs", way, economics.ways)


def event_ways(case: Case, show: Show) -> Iterator[Problem]:
    """Events name ways of the case."""
    for number, what_if in enumerate(case.what_ifs, start=1):
        for count, event in enumerate(what_if.events, start=1):
            if event.way and event.way not in case.economics.ways:
                place = f"what_ifs[{number}].events[{count}].way"
                yield unknown_name(place, "way of doing jobs", event.way, case.economics.ways)


def element_kinds(case: Case, show: Show) -> Iterator[Problem]:
    """Terms are of kinds of element that there are."""
    known = (*get_args(ElementKind), *LATER_KINDS)
    for kind in case.economics.elements:
        if kind not in known:
            yield unknown_name(f"economics.elements.{kind}", "kind of element", kind, known)


def escalation(case: Case, show: Show) -> Iterator[Problem]:
    """Escalation leaves something."""
    for key in ("price_escalation", "cost_escalation"):
        value = getattr(case.economics, key)
        if value <= -1.0:
            message = "a yearly change of -1 or less leaves nothing"
            yield problem(f"economics.{key}", message, "Give a share such as 0.02.", f"{value:g}")

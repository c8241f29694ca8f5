"""Read a portfolio: a folder with portfolio.toml (budget, rig time, groups) beside folders of wells."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pydantic import ValidationError

from planner.base.errors import CaseError, Problem
from planner.io.messages import problems_of
from planner.io.places import Places
from planner.io.read import CASE_FILE, read_case
from planner.io.text import NotText, decode
from planner.model.case import Case
from planner.model.portfolio import Portfolio

PORTFOLIO_FILE = "portfolio.toml"


@dataclass(frozen=True)
class Wells:
    """A portfolio and the cases of its wells, by folder."""

    portfolio: Portfolio
    cases: dict[str, Case]


def read_portfolio(folder: str | Path, on: date | None = None) -> Wells:
    """The portfolio in a folder; without portfolio.toml all wells in it, with no limits.

    on: day of the decision for all wells, in place of that of the file.
    Raises CaseError with every problem found, those of the wells included.
    """
    place = Path(folder)
    if not place.is_dir():
        remedy = "Give a folder that holds folders of wells, each with a case.toml."
        raise CaseError([Problem(str(folder), "", "", "no such folder", remedy)])
    portfolio = _limits(place / PORTFOLIO_FILE)
    if on is not None:
        portfolio = portfolio.model_copy(update={"on": on})
    there = sorted(path.parent.name for path in place.glob(f"*/{CASE_FILE}"))
    names = portfolio.wells or tuple(there)
    problems: list[Problem] = []
    cases: dict[str, Case] = {}
    for number, name in enumerate(names, start=1):
        if name not in there:
            known = f"Wells here: {', '.join(there)}." if there else "There is no folder with a case.toml here."
            problems.append(
                Problem(PORTFOLIO_FILE, f"wells[{number}]", name, "no well in a folder of this name", known)
            )
            continue
        try:
            cases[name] = read_case(place / name)
        except CaseError as error:
            problems += [_of_well(name, problem) for problem in error.problems]
    problems += _together(portfolio, cases) if not problems else []
    if problems:
        raise CaseError(problems)
    return Wells(portfolio, cases)


def _limits(file: Path) -> Portfolio:
    if not file.is_file():
        return Portfolio()
    try:
        document = tomllib.loads(decode(file.read_bytes()).replace("\r\n", "\n"))
    except NotText as error:
        raise CaseError([error.problem(file.name)]) from None
    except tomllib.TOMLDecodeError as error:
        remedy = "Text and numbers with a unit stand in quotes, dates do not."
        raise CaseError([Problem(file.name, "", "", f"not valid TOML: {error}", remedy)]) from None
    try:
        return Portfolio.model_validate(document)
    except ValidationError as error:
        raise CaseError(problems_of(error, Portfolio, (), Places(file.name))) from None


def _of_well(name: str, problem: Problem) -> Problem:
    return Problem(f"{name}/{problem.file}", problem.place, problem.value, problem.message, problem.remedy)


def _together(portfolio: Portfolio, cases: dict[str, Case]) -> list[Problem]:
    """Wells of one portfolio have one currency and one day of decision, and something to choose from."""
    found: list[Problem] = []
    if not cases and not portfolio.jobs:
        remedy = "Put folders with a case.toml into it, or give [[jobs]] in portfolio.toml."
        found.append(Problem(PORTFOLIO_FILE, "wells", "", "there is no well and no job to choose from", remedy))
    currencies = {name: case.economics.currency for name, case in cases.items()}
    if len(set(currencies.values())) > 1:
        told = ", ".join(f"{name}: {currency}" for name, currency in currencies.items())
        remedy = "Give all wells in one currency."
        found.append(Problem(PORTFOLIO_FILE, "wells", told, "the wells have different currencies", remedy))
    days = {name: str(portfolio.on or case.late_life.today or case.schedule.start) for name, case in cases.items()}
    if len(set(days.values())) > 1:
        told = ", ".join(f"{name}: {day}" for name, day in days.items())
        message = "the wells have different days of decision, so their values cannot be added"
        found.append(Problem(PORTFOLIO_FILE, "on", told, message, "Give one day for all of them."))
    return found

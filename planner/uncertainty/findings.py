"""Everything that an ensemble says, in one record for tables, figures and screens."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from planner.base.errors import CaseError, Problem
from planner.model.ensemble import (
    BASE,
    OK,
    Convergence,
    Duel,
    Ensemble,
    Findings,
    Flip,
    Range,
    Swing,
    VarianceShare,
)
from planner.uncertainty.sensitivity import flips_of, shares_of_members, swings_of_members
from planner.uncertainty.statistics import convergence_of, duel_of, fan_of, range_of

RATES = {"oil": "oil_rate", "gas": "gas_rate", "water": "water_rate"}
MANY = 5  # what-ifs above which not all pairs are told
SMALL = 200  # members below which P90 and P10 are not to be leaned on


def phase_of(kind: str) -> str:
    """The phase that a kind of well is there for."""
    return "gas" if kind.startswith("gas") else "water" if kind == "water injector" else "oil"


def findings_of(
    ensemble: Ensemble,
    about: str = BASE,
    swings: tuple[Swing, ...] = (),
    shares: tuple[VarianceShare, ...] = (),
) -> Findings:
    """What an ensemble says. about: the what-if whose drivers are told.

    swings, shares: from runs of their own, in place of those estimated from the members. Raises CaseError for a
    what-if that is not there.
    """
    if about not in ensemble.what_ifs:
        remedy = f"There: {', '.join(ensemble.what_ifs)}."
        raise CaseError([Problem("", "about", about, "no what-if of the ensemble has this name", remedy)])
    main = f"{phase_of(ensemble.kind)}_volume"
    decision = tuple(name for name in (main, "npv") if _says_something(ensemble, name))
    shown = dict.fromkeys((main, "recovery_factor", "water_volume", "npv"))
    figures = tuple(name for name in shown if _says_something(ensemble, name))
    from_members = [swings_of_members(ensemble, name, about) for name in decision]
    estimated = [shares_of_members(ensemble, name, about) for name in decision]
    return Findings(
        ensemble, figures, decision,
        tuple(_ranges(ensemble, figures)),
        tuple(_duels(ensemble, decision)),
        swings or tuple(one for some in from_members for one in some),
        shares or tuple(one for some in estimated for one in some),
        tuple(_flips(ensemble, decision)),
        tuple(_convergence(ensemble, decision)),
        tuple(fan_of(ensemble, column, what_if) for column in _columns(ensemble) for what_if in ensemble.what_ifs),
        tuple(_notes(ensemble, swings, shares)),
    )  # fmt: skip


def _says_something(ensemble: Ensemble, figure: str) -> bool:
    values = ensemble.figures.get(figure, np.array([np.nan]))
    return bool(np.isfinite(values).any() and (values[np.isfinite(values)] != 0.0).any())


def _ranges(ensemble: Ensemble, figures: tuple[str, ...]) -> list[Range]:
    found = [range_of(ensemble, figure, what_if) for figure in figures for what_if in ensemble.what_ifs]
    return [one for one in found if one is not None]


def _duels(ensemble: Ensemble, decision: tuple[str, ...]) -> list[Duel]:
    """Every pair of what-ifs, the later one first; of many what-ifs each against the base."""
    pairs = list(combinations(ensemble.what_ifs, 2))
    if len(ensemble.what_ifs) > MANY:
        pairs = [pair for pair in pairs if pair[0] == ensemble.what_ifs[0]]
    found = [duel_of(ensemble, figure, later, first) for figure in decision for first, later in pairs]
    return [one for one in found if one is not None]


def _flips(ensemble: Ensemble, decision: tuple[str, ...]) -> list[Flip]:
    """By the last of the figures of the decision (money where there is any): every what-if against the base."""
    return [
        flip
        for figure in decision[-1:]
        for what_if in ensemble.what_ifs
        if what_if != BASE and BASE in ensemble.what_ifs
        for flip in flips_of(ensemble, figure, what_if, BASE)
    ]


def _convergence(ensemble: Ensemble, decision: tuple[str, ...]) -> list[Convergence]:
    found = [convergence_of(ensemble, figure, what_if) for figure in decision for what_if in ensemble.what_ifs]
    return [one for one in found if one is not None]


def _columns(ensemble: Ensemble) -> list[str]:
    phase = phase_of(ensemble.kind)
    wanted = dict.fromkeys((RATES[phase], f"{phase}_volume", "water_rate"))
    return [name for name in wanted if name in ensemble.series]


def _notes(ensemble: Ensemble, swings: tuple[Swing, ...], shares: tuple[VarianceShare, ...]) -> list[str]:
    draws = ensemble.draws
    found = [
        "P90 is the low case: exceeded with a probability of 90 %. All what-ifs of a member share its draws, so that "
        "their differences are not noise; figures within 0.001 % of each other count as alike.",
        "Bands hold with a probability of 90 %, the members taken as random; with a latin hypercube or Sobol numbers "
        "they are usually narrower.",
    ]
    if draws.design == "given":
        found[1] = "Bands hold with a probability of 90 % if the given draws are random and independent of each other."
    found += draws.notes
    if ensemble.members < SMALL:
        found.append(
            f"{ensemble.members} members are few: P90 and P10 rest on {max(ensemble.members // 10, 1)} of them"
        )
    found.append(
        "The tornado comes from forecasts with one input at its P90 and P10, the others at their P50."
        if swings
        else "The tornado comes from the members: mean of the fifth with the lowest draws and of that with the highest "
        "ones; inputs that are correlated carry one another's swings."
    )
    found.append(
        "Shares of the variance come from a design of their own (Saltelli, Jansen); correlations are left out in it."
        if shares
        else "Shares of the variance are estimated from the members, each input by itself; interplay is in none of "
        "them, and correlated inputs share one another's."
    )
    return [*found, *_left_out(ensemble)]


def _left_out(ensemble: Ensemble) -> list[str]:
    """What was not computed, by what-if, with the first reason."""
    found = []
    for k, what_if in enumerate(ensemble.what_ifs):
        column = ensemble.status[:, k]
        for status in np.unique(column[column != OK]):
            members = np.flatnonzero(column == status)
            why = ensemble.messages.get((int(members[0]), what_if), "")
            word = status or "not computed yet"
            text = f"{what_if}: {len(members)} of {ensemble.members} members {word} and left out"
            found.append(text + (f"; member {members[0]}: {why}" if why else ""))
    return found

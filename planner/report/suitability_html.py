"""Whether hole and sand suit each kind of completion, as a chapter."""

from __future__ import annotations

from planner.model.case import Case
from planner.model.chapter import Chapter, Part
from planner.model.suitability import COMPLETION_KINDS
from planner.model.suitability_results import SuitabilityResult
from planner.report.frames import Style
from planner.report.markup import figure_markup, list_markup, table_markup
from planner.report.suitability_figures import suitability_figure
from planner.report.suitability_tables import (
    gradings_table,
    overview_table,
    reasons_table,
    seats_table,
    strengths_table,
)
from planner.report.tables import of_use, without

TOLD = (
    "Reasons for and against each kind, interval by interval; 'open' where an input is missing or the criterion does "
    "not decide. The planned drawdown is the initial pressure less the lowest bottom-hole pressure of any control or "
    "what-if."
)


def suitability_answer(found: SuitabilityResult) -> str:
    """The answer in sentences: kinds that nothing speaks against, then what speaks against the others, and where."""
    names = [sand.name for sand in found.sands]
    clear, told = [], []
    for kind in COMPLETION_KINDS:
        own = [one for one in found.reasons if one.kind == kind]
        against: dict[str, dict[str, None]] = {}
        for one in own:
            if one.verdict == "against":
                where = names if one.interval == "whole well" else [one.interval]
                against.setdefault(one.topic, {}).update(dict.fromkeys(where))
        if against:
            topics = (f"{topic} ({_where(list(at), names)})" for topic, at in against.items())
            told.append(f"Against {kind}: {', '.join(topics)}.")
        elif own:
            clear.append(f"{kind}{' (some criteria open)' if any(one.verdict == 'open' for one in own) else ''}")
    first = f"Nothing speaks against {_or(clear)}." if clear else "Something speaks against every kind."
    return " ".join((first, *told))


def suitability_chapter(found: SuitabilityResult, case: Case, style: Style) -> Chapter:
    """Overview, along the hole, seats, samples, strength, every reason, what is missing."""
    reasons = reasons_table(found.reasons, style)
    parts = [
        Part("By interval and kind", TOLD, (table_markup(of_use(overview_table(found, style))),)),
        Part("Along the hole", "", (figure_markup(suitability_figure(found, case, style)),)),
        Part("Where a seal can sit", "", (table_markup(seats_table(found, style)),)),
        Part("Grain size", "", (table_markup(of_use(gradings_table(found, style))),)),
        Part("Rock strength and the drawdown it stands", "", (table_markup(of_use(strengths_table(found, style))),)),
        Part("All reasons", "", (table_markup(without(reasons, "source")),)),
        Part("Sources of the criteria", "", (_sources(found),)),
    ]
    if found.missing:
        parts.append(Part("What was not given", "", (list_markup(found.missing),)))
    if found.warnings:
        parts.append(Part("Warnings", "", (list_markup(found.warnings),)))
    return Chapter(
        "suit", "Suitability", f"{found.well}: what hole and sand suit", suitability_answer(found), tuple(parts)
    )


def _sources(found: SuitabilityResult) -> str:
    topics: dict[str, dict[str, None]] = {}
    for one in found.reasons:
        if one.source:
            topics.setdefault(one.source, {})[one.topic] = None
    return list_markup(f"{', '.join(own)}: {source}" for source, own in topics.items())


def _where(at: list[str], names: list[str]) -> str:
    """Intervals in words."""
    return "everywhere" if len(at) == len(names) else ", ".join(at)


def _or(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"

"""The decisions that go into the report of a well: which there are, which a case has inputs for, and their answers.

Loaded from planner.api.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from planner.base.errors import CaseError, ForecastError, Problem, Refusal

if TYPE_CHECKING:
    from planner.api.calls import Asked, Progress
    from planner.base.units import UnitSystem
    from planner.model.case import Case
    from planner.model.chapter import Chapter
    from planner.model.late_life import DateStep
    from planner.model.results import Comparison

MEMBERS = 100


@dataclass(frozen=True)
class DecisionPlan:
    """How the decisions of a report are computed. members: of ensemble, blanks and match. on, step: of cure.

    wells: folder of the wells of a portfolio. names: of what-ifs in the ensemble, none: all. processes: at once.
    """

    members: int = MEMBERS
    on: date | None = None
    step: DateStep | None = None
    wells: Path | None = None
    names: tuple[str, ...] | None = None
    processes: int = 1


@dataclass(frozen=True)
class SectionOffer:
    """A decision that a report can hold. why_not: what the case lacks for it ('': nothing). quick: there by itself."""

    key: str
    title: str
    takes: str
    why_not: str
    quick: bool


@dataclass(frozen=True)
class ReportSection:
    """A decision in a report. document: as the verb's --json gives it. why_not: why it has no answer ('': it has).

    failed: whether it was begun and could not be brought to an end.
    """

    key: str
    chapter: Chapter
    document: dict[str, Any] = field(default_factory=dict)
    why_not: str = ""
    failed: bool = False


Run = Callable[["Case", DecisionPlan, "Progress | None", "Asked | None"], Any]


@dataclass(frozen=True)
class _Section:
    title: str
    takes: str  # in words, for whoever chooses
    lacks: Callable[[Case, DecisionPlan], str]
    run: Run
    effort: Callable[[Case, DecisionPlan], float]  # about how many forecasts
    quick: Callable[[Case], bool] = lambda case: False


def _suit(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.decisions import suit

    return suit(case)


def _split(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.decisions import split

    return split(case, progress=progress, cancelled=cancelled)


def _cure(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.decisions import cure

    return cure(case, plan.on, step=plan.step, progress=progress, cancelled=cancelled, processes=plan.processes)


def _blanks(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.decisions import blanks

    return blanks(case, plan.members, workers=plan.processes, progress=progress, cancelled=cancelled)


def _ensemble(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.ranges import ensemble, findings

    made = ensemble(
        case, plan.members, names=plan.names, workers=plan.processes, progress=progress, cancelled=cancelled
    )
    return findings(made, case=case)


def _match(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.ranges import match

    return match(case, members=plan.members, workers=plan.processes, progress=progress, cancelled=cancelled)


def _portfolio(case: Case, plan: DecisionPlan, progress: Progress | None, cancelled: Asked | None) -> Any:
    from planner.api.decisions import portfolio

    return portfolio(cast(Path, plan.wells), progress=progress, cancelled=cancelled, processes=plan.processes)


def _no_prices(case: Case) -> str:
    given = case.economics.oil_price or case.economics.gas_price or case.economics.prices
    return "" if given else "the case gives no prices; add them to [economics]"


def _nothing_uncertain(case: Case) -> str:
    return "" if case.uncertain else "the case names nothing uncertain; add [[uncertain]] sections to its file"


def _no_split(case: Case, plan: DecisionPlan) -> str:
    if case.split is None:
        return "the case does not say how the well may be split; add [split] to its file, with barriers and rules"
    return _no_prices(case)


def _split_is_known(case: Case) -> bool:
    return case.split is not None and bool(case.split.values and case.split.pay) and not _no_prices(case)


def _forecasts_of_split(case: Case, plan: DecisionPlan) -> float:
    if _split_is_known(case) or case.split is None:
        return 1.0
    return float((1 + len(case.layers)) * max(len(case.split.rules), 1) * max(len(case.split.futures), 1))


SECTIONS: Mapping[str, _Section] = {
    "suit": _Section(
        "Suitability", "less than a second",
        lambda case, plan: "" if case.suitability else "the case does not say what hole and sand are judged against; "
        "add [suitability] to its file",
        _suit, lambda case, plan: 0.3, lambda case: case.suitability is not None,
    ),
    "split": _Section(
        "Zone split", "a forecast for each group of sands and each rule, unless the case gives their values",
        _no_split, _split, _forecasts_of_split, _split_is_known,
    ),
    "match": _Section(
        "Match", "a forecast for each member and round",
        lambda case, plan: _nothing_uncertain(case)
        if case.measured
        else "the case holds no measurements; add [measured] to its file",
        _match, lambda case, plan: 5.0 * plan.members / plan.processes,
    ),
    "ensemble": _Section(
        "Uncertainty", "a forecast for each member and what-if", lambda case, plan: _nothing_uncertain(case),
        _ensemble, lambda case, plan: plan.members * (1.0 + len(case.what_ifs)) / plan.processes,
    ),
    "cure": _Section(
        "Late life", "a forecast for each job and date", lambda case, plan: _no_prices(case), _cure,
        lambda case, plan: 3.0 * len(case.string) / plan.processes,
    ),
    "blanks": _Section(
        "Value of blank pipe", "several forecasts for each member",
        lambda case, plan: _nothing_uncertain(case) or _no_prices(case), _blanks,
        lambda case, plan: 8.0 * plan.members / plan.processes,
    ),
    "portfolio": _Section(
        "Portfolio", "a forecast for each job of each well",
        lambda case, plan: "" if plan.wells else "no wells were named; give their folder, or compute the portfolio",
        _portfolio, lambda case, plan: 20.0 / plan.processes,
    ),
}  # fmt: skip


def section_offers(case: Case, plan: DecisionPlan = DecisionPlan()) -> tuple[SectionOffer, ...]:
    """The decisions that a report can hold, in their order, and what the case lacks for each."""
    return tuple(
        SectionOffer(key, one.title, one.takes, one.lacks(case, plan), one.quick(case)) for key, one in SECTIONS.items()
    )


def decisions(
    case: Case,
    wanted: Iterable[str | Path] | None = None,
    plan: DecisionPlan = DecisionPlan(),
    *,
    without: Iterable[str] = (),
    units: UnitSystem | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> tuple[ReportSection, ...]:
    """The decisions of a report, computed, or taken from folders in which a verb kept what it found.

    wanted: names of sections ('suit', 'split', 'match', 'ensemble', 'cure', 'blanks', 'portfolio') and folders; the
    quick ones for which the case has the inputs come by themselves, unless named in `without`. A section for which the
    case lacks something, or which could not be computed, says why in place of its answer. Raises CaseError for an
    unknown name or a folder without a chapter, before anything is computed; Cancelled.
    """
    names, taken = _sorted_out(case, wanted or (), tuple(without))
    efforts = [SECTIONS[name].effort(case, plan) if not SECTIONS[name].lacks(case, plan) else 0.0 for name in names]
    whole, begun = sum(efforts) or 1.0, 0.0
    found: dict[str, ReportSection] = {one.key: one for one in taken}
    for name, effort in zip(names, efforts, strict=True):
        part = _part(progress, begun / whole, (begun + effort) / whole, SECTIONS[name].title)
        found[name] = _answer(name, case, plan, units, part, cancelled)
        begun += effort
    return in_order(found.values())


def in_order(sections: Iterable[ReportSection]) -> tuple[ReportSection, ...]:
    """Sections in the order in which a report holds them."""
    order = {name: place for place, name in enumerate(SECTIONS)}
    return tuple(sorted(sections, key=lambda one: order.get(one.key, len(order))))


def _sorted_out(
    case: Case, wanted: Iterable[str | Path], without: tuple[str, ...]
) -> tuple[list[str], list[ReportSection]]:
    """Sections to compute, and those that were taken from folders. Raises CaseError."""
    from planner.report.kept import kept_chapter

    asked = list(wanted)
    problems = [
        Problem("", "with", str(one), "this is neither a section nor a folder", f"Sections: {', '.join(SECTIONS)}.")
        for one in (*asked, *without)
        if str(one) not in SECTIONS and not (one in asked and Path(one).is_dir())
    ]
    if problems:
        raise CaseError(problems)
    folders = [Path(one) for one in asked if str(one) not in SECTIONS]
    chapters = [kept_chapter(folder, case.well.name) for folder in folders]
    taken = [ReportSection(one.key, one) for one in chapters]
    quick = [name for name, one in SECTIONS.items() if one.quick(case) or name in map(str, asked)]
    there = {one.key for one in taken}
    return [name for name in quick if name not in there and name not in without], taken


def _answer(
    name: str,
    case: Case,
    plan: DecisionPlan,
    units: UnitSystem | None,
    progress: Progress | None,
    cancelled: Asked | None,
) -> ReportSection:
    """One section: its answer, or why it has none."""
    from planner.api.pages import chapter_of, document_of

    lacks = SECTIONS[name].lacks(case, plan)
    if lacks:
        return _unanswered(name, lacks, failed=False)
    if progress is not None:
        progress(0.0, "")
    try:
        found = SECTIONS[name].run(case, plan, progress, cancelled)
    except (CaseError, Refusal, ForecastError) as error:
        return _unanswered(name, str(error), failed=True)
    finally:
        if progress is not None:
            progress(1.0, "")
    about = None if name == "portfolio" else case
    return ReportSection(name, chapter_of(found, about, units), document_of(found, about, units))


def _unanswered(name: str, why: str, failed: bool) -> ReportSection:
    from planner.model.chapter import Chapter

    title = SECTIONS[name].title
    said = f"This {'could not be computed' if failed else 'is not answered'}: {why.rstrip('.')}."
    return ReportSection(name, Chapter(name, title, f"{title}: no answer", said, ()), {}, why, failed)


def _part(progress: Progress | None, start: float, end: float, title: str) -> Progress | None:
    """Progress of one section among all."""
    if progress is None:
        return None
    return lambda share, text: progress(start + share * (end - start), f"{title}: {text}" if text else title)


def prepare_report(
    case: Case,
    wanted: Iterable[str | Path] | None = None,
    plan: DecisionPlan = DecisionPlan(),
    *,
    without: Iterable[str] = (),
    units: UnitSystem | None = None,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
) -> tuple[Comparison, tuple[ReportSection, ...]]:
    """The comparison and the decisions of a report, under one progress. Arguments as of `decisions`.

    The what-ifs compared are those of the plan. Raises CaseError, ForecastError if the base fails, Cancelled.
    """
    from planner.api.answers import compare

    asked, unwanted = list(wanted or ()), tuple(without)
    names, _ = _sorted_out(case, asked, unwanted)
    compared = 1.0 + len(case.what_ifs if plan.names is None else plan.names)
    efforts = sum(SECTIONS[name].effort(case, plan) for name in names if not SECTIONS[name].lacks(case, plan))
    share = compared / (compared + efforts)
    first = None if progress is None else lambda done, text: progress(done * share, text)
    second = None if progress is None else lambda done, text: progress(share + done * (1.0 - share), text)
    comparison = compare(case, plan.names, progress=first, cancelled=cancelled, processes=plan.processes)
    return comparison, decisions(case, asked, plan, without=unwanted, units=units, progress=second, cancelled=cancelled)

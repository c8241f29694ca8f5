"""Late life as a page: diagnosis, ranked jobs, dates, what forbids the others."""

from __future__ import annotations

from planner.model.cures import Cure
from planner.report.comparison_tables import in_millions
from planner.report.cure_odds import MORE, RANK, odds_answer, odds_table
from planner.report.cure_odds_figure import odds_figure
from planner.report.frames import Style
from planner.report.late_life_figures import best_date_figure, diagnosis_figure
from planner.report.late_life_tables import forbidden_table, outlooks_table, troubles_table
from planner.report.late_life_terminal import BELOW, answer, effort
from planner.report.markup import Chapter, Part, figure_markup, list_markup, table_markup
from planner.report.tables import of_use, with_only, without

METHOD = (
    "The ratio of water to oil and its derivative with time on log axes (Chan 1995, SPE 30775): a rising derivative "
    "says channelling, a falling one coning, a flat one an even displacement; the slopes that part them are a choice "
    "of this program. What the model knows is put beside it, and the reasons are given."
)
VALUES = (
    "Every number is of a forecast with the job on that date, less one without it, in money of the day of the "
    "decision. A risked value is the chance of success times the value if done, plus the rest times the value if "
    "failed: paid for, the well shut in for as long, nothing changed. Dates are searched from coarse to fine, round "
    "every hump that is seen; a narrow peak between two dates of the first rounds can be missed."
)


def cure_chapter(found: Cure, style: Style) -> Chapter:
    """The answer and what it rests on, as a chapter."""
    worth = f" Risked value against doing nothing: {style.sum(found.jobs[0].value, signed=True)}." if found.jobs else ""
    lead = f"{answer(found)}{worth} Day of the decision: {found.date}, under {found.what_if}."
    title = f"{found.well}: what ails it, and which job cures it"
    return Chapter("cure", "Late life", title, lead, tuple(cure_parts(found, style)))


def cure_parts(found: Cure, style: Style) -> list[Part]:
    """Parts of a report: diagnosis, jobs, and those that cannot be done."""
    gas = found.kind.startswith("gas")
    troubles = of_use(without(troubles_table(found, style), *(("oil rate", "water cut") if gas else ("gas rate",))))
    jobs = in_millions(outlooks_table(found, style), style)
    diagnosis = [one for one in [diagnosis_figure(found)] if one is not None]
    dates = [one for one in [best_date_figure(found, style)] if one is not None]
    return [
        Part("Jobs, best first", f"{BELOW} {VALUES}", (
            table_markup(of_use(without(jobs, "needs", "way"))), *map(figure_markup, dates),
            table_markup(with_only(jobs, "job", "way", "needs"), "What they need"),
        )),
        *_odds(found, style),
        Part("Where the water comes from", METHOD, (
            table_markup(without(troubles, "why")), *map(figure_markup, diagnosis),
            table_markup(with_only(troubles, "zone", "why"), "Why"),
        )),
        Part("Jobs that cannot be done", "", (table_markup(forbidden_table(found)),)),
        Part("How it was computed", "", (
            list_markup((effort(found),)),
            *(list_markup((f"Warning: {text}",)) for text in found.warnings),
        )),
    ]  # fmt: skip


def _odds(found: Cure, style: Style) -> list[Part]:
    """The jobs over the members, where draws were given."""
    odds = found.odds
    if odds is None:
        return []
    table = in_millions(odds_table(odds, style), style)
    return [
        Part("Jobs over the members", " ".join((odds_answer(odds), *odds.notes)), (
            table_markup(with_only(table, "job", *RANK)), *map(figure_markup, odds_figure(odds, style)),
            table_markup(with_only(table, "job", *MORE), "Behind these figures, means over the members"),
        )),
    ]  # fmt: skip

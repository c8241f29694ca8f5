"""Long work on a page: a button, progress with the time left, a stop, what failed, and the result that stays.

A page describes its work by a `LongWork` and gets the section and all callbacks from here. The work runs in a process
of its own and goes on while the user is on other pages. Its answer is kept on disk by what was asked; where the case
has changed since, the last answer is still shown, and said to be of an older state.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

import dash
import dash_mantine_components as dmc
from dash import ALL, Input, Output, State, ctx, dcc, html, no_update

from dashboard import ids, work
from dashboard.archive import Answer, Start
from dashboard.house import House, Visit
from dashboard.jobs import Job, Lane
from dashboard.session import Standing, content_key
from planner.model.case import Case

Json = dict[str, Any]


@dataclass(frozen=True)
class LongWork:
    """name: of its components. task: 'module:function' called as (case, options, progress=, cancelled=).

    button: what stands on it. options: the inputs of a page, each with the id `option(name, key)` and a value. show:
    components for a result. from_cards: which what-if cards the work is about, given to it as case.what_ifs.
    with_units: whether the result depends on the unit system, which is then among the options. gather: cases of other
    projects that the work is about, by the options, which the task gets as the option `cases`; more: options that need
    the other projects. papers: answers of other pages that go into it, given the options; the task gets them as the
    option `papers`. goes_on: whether it keeps members in a
    folder, the option `folder`, and goes on from them after a stop.
    at_once: quick work, which begins by itself when the page is opened.
    """

    name: str
    task: str
    button: str
    show: Callable[[Visit, Standing], Any]
    options: Callable[[Visit], list[Any]] = lambda visit: []
    from_cards: Literal["", "all", "compared"] = ""
    with_units: bool = False
    gather: Callable[[Visit, House, Json], dict[str, Case]] | None = None
    more: Callable[[Visit, House], list[Any]] = lambda visit, house: []
    papers: Callable[[Visit, House, Json], dict[str, Answer]] | None = None
    goes_on: bool = False
    at_once: bool = False

    def part(self, name: str) -> str:
        """Id of a component."""
        return f"{self.name}-{name}"


def option(name: Any, key: Any) -> Json:
    """Id of an input of long work."""
    return {"type": "work-option", "work": name, "key": key}


def section(work_: LongWork, visit: Visit, house: House | None = None) -> Any:
    """Inputs as they were when the work was last done, button, progress, and the place of the result."""
    options = [*work_.options(visit), *(work_.more(visit, house) if house else [])]
    answer = house.archive.latest(visit.project.id, work_.name) if house else None
    for one in options:
        asked = (answer.question["options"] if answer else {}).get(one.id["key"])
        if asked is not None:
            one.value = asked
    return html.Div(
        [
            html.Div(
                [
                    *options,
                    dmc.Button(work_.button, id=work_.part("start"), n_clicks=0, size="compact-sm"),
                    dmc.Button(
                        "Stop", id=work_.part("stop"), n_clicks=0, size="compact-sm", variant="light", display="none"
                    ),
                    html.Progress(id=work_.part("bar"), max="1", value="0", hidden=True, **{"aria-label": "Progress"}),
                    html.Span(id=work_.part("said"), role="status", className="work-said"),
                ],
                className="chart-tools work-tools",
            ),
            html.Div(id=work_.part("result"), className="work-result"),
            dcc.Store(id=work_.part("shown")),
            dcc.Interval(id=work_.part("tick"), interval=400, disabled=True),
        ],
        className="work",
    )  # fmt: skip


def case_of(work_: LongWork, visit: Visit) -> Case:
    """The case that the work is about."""
    if not work_.from_cards:
        return visit.case
    chosen = [card for card in visit.cards if card["compared"] or work_.from_cards == "all"]
    return work.with_what_ifs(visit.case, chosen)


@dataclass(frozen=True)
class Asked:
    """What a page asks of long work. question: what the answer is kept with, see `dashboard.archive`."""

    visit: Visit
    case: Case
    options: Json
    key: Json
    question: Json

    @property
    def project(self) -> str:
        """The project that it is asked in."""
        return self.visit.project.id


def asked_of(work_: LongWork, visit: Visit, house: House, options: Json) -> Asked:
    """The case, the options and the key of a piece of work."""
    case = case_of(work_, visit)
    if work_.with_units:
        options["units"] = visit.system
    what_ifs = [what_if.model_dump(mode="json") for what_if in case.what_ifs] if work_.from_cards else []
    key: Json = {"options": dict(options), "what_ifs": what_ifs}
    if work_.gather:
        options["cases"] = work_.gather(visit, house, options)
        key["cases"] = {name: content_key(one, None, one.what_ifs) for name, one in options["cases"].items()}
    question: Json = {
        "case": content_key(case, None)[:16] + content_key(case, None, key.get("cases"))[:16],
        "what_ifs": content_key(case, None, what_ifs)[:16],
        "options": key["options"],
    }
    if work_.papers:
        answers = work_.papers(visit, house, key["options"])
        options["papers"] = {name: one.result for name, one in answers.items()}
        key["papers"] = question["papers"] = {name: one.key for name, one in answers.items()}
    return Asked(visit, case, options, key, question)


def words(standing: Standing | None) -> str:
    """How the work stands."""
    if standing is None:
        return "Not computed yet for the case as it stands."
    if standing.state == "waiting":
        return "Waiting for other long work to end ..."
    if standing.open:
        left = f", about {standing.time_left:.0f} s left" if standing.time_left else ""
        said = f"{standing.text[:1].upper()}{standing.text[1:]}" if standing.text else "Computing"
        return f"{said}: {standing.share:.0%}{left}" if standing.share else f"{said} ..."
    if standing.state == "done":
        return ""
    return f"{standing.text} Your work is kept." if standing.state == "failed" else standing.text


def when(iso: str) -> str:
    """A time as people say it, in the time of this machine: '25 Nov 2026, 15:40'."""
    return f"{datetime.fromisoformat(iso).astimezone():%-d %b %Y, %H:%M}"


def of_an_answer(answer: Answer, asked: Json) -> str:
    """When an answer was done; and, where it is of another question, what has changed since."""
    old = answer.question
    if old == asked:
        return f"Done on {when(answer.made)}."
    changed = []
    if old["case"] != asked["case"]:
        changed.append("the case has changed since")
    elif old["what_ifs"] != asked["what_ifs"]:
        changed.append("the what-ifs have changed since")
    if old.get("papers") != asked.get("papers"):
        changed.append("answers of other pages have changed since")
    other = {key: value for key, value in old["options"].items() if asked["options"].get(key) != value}
    if other:
        told = ", ".join(f"{key.replace('_', ' ')} {value or 'not given'}" for key, value in other.items())
        changed.append(f"it was asked with {told}")
    return f"This answer of {when(answer.made)} is of an older state: {'; '.join(changed) or 'it was asked otherwise'}."


def of_a_start(start: Start, goes_on: bool) -> str:
    """How the last start of the work ended where no answer came of it."""
    if start.state:
        return f"{start.text} ({when(start.begun)})"
    more = "; start it again, and it goes on from what is computed" if goes_on else "; start it again"
    return f"Begun on {when(start.begun)} and cut off when the server ended{more}."


def _follow_up(house: House, work_: LongWork, asked: Asked, key: str) -> Callable[[Job], None]:
    """What is written down when the work is over, whoever is looking by then."""
    house.archive.begin(asked.project, work_.name, key, asked.question)

    def over(job: Job) -> None:
        if job.state == "done":
            house.archive.keep(asked.project, work_.name, key, asked.question, job.result)
            house.archive.forget_members(asked.project, key)
        house.archive.end(asked.project, work_.name, key, job.state, job.text)

    return over


def stands(house: House, work_: LongWork, asked: Asked, start: bool, stop: bool) -> Standing | None:
    """How the work stands, by this server's memory or by the disk; starts or stops it where asked to."""
    engine, archive, case = house.engine, house.archive, asked.visit.case  # the key tells of the what-ifs
    key = content_key(case, None, work_.task, asked.key)
    if stop:
        engine.stop_long(work_.task, case, asked.key)
    stood = engine.long(work_.task, case, asked.key)
    if stood is None and not start and (kept := archive.get(asked.project, key)) is not None:
        return Standing("done", kept.result, "", 1.0, key=key)
    if stood is not None and stood.state == "done" and archive.get(asked.project, key) is None:
        archive.keep(asked.project, work_.name, key, asked.question, stood.result)
    wanted = start or (stood is None and work_.at_once)
    if not wanted or (stood is not None and (stood.open or stood.state == "done")):
        return stood
    options = asked.options
    if work_.goes_on:
        options = {**options, "folder": str(archive.members(asked.project, key))}
    lane: Lane = "quick" if work_.at_once else "long"
    then = _follow_up(house, work_, asked, key)
    return engine.long(work_.task, case, asked.key, asked.case, options, start=True, lane=lane, then=then)


def register(app: dash.Dash, house: House, work_: LongWork) -> None:
    """The callbacks of one piece of long work."""

    @app.callback(
        Output(work_.part("result"), "children"),
        Output(work_.part("said"), "children"),
        Output(work_.part("bar"), "value"),
        Output(work_.part("bar"), "hidden"),
        Output(work_.part("stop"), "display"),
        Output(work_.part("start"), "disabled"),
        Output(work_.part("tick"), "disabled"),
        Output(work_.part("shown"), "data"),
        Input(work_.part("start"), "n_clicks"),
        Input(work_.part("stop"), "n_clicks"),
        Input(work_.part("tick"), "n_intervals"),
        Input(option(work_.name, ALL), "value"),
        Input(ids.HERE, "data"),
        Input(ids.LOOK, "data"),
        State(option(work_.name, ALL), "id"),
        State(work_.part("shown"), "data"),
    )
    def follow(start: int, stop: int, ticks: int, values: Any, here: Any, look: Any, names: Any, shown: Any) -> Any:
        visit = house.visit(here, look)
        if visit is None or not look:
            return (no_update,) * 8
        asked = asked_of(work_, visit, house, {n["key"]: v for n, v in zip(names, values, strict=True)})
        pressed = {one["prop_id"] for one in ctx.triggered}  # a field left by pressing a button comes along with it
        begun = f"{work_.part('start')}.n_clicks" in pressed and bool(start)
        stood = stands(house, work_, asked, begun, f"{work_.part('stop')}.n_clicks" in pressed and bool(stop))
        return _seen(house, work_, asked, stood, shown)


def _seen(house: House, work_: LongWork, asked: Asked, stood: Standing | None, shown: Any) -> Any:
    """What the section shows: the answer of what is asked, else the last one, and how the work stands."""
    running = stood is not None and stood.open
    answer = house.archive.latest(asked.project, work_.name)
    if stood is not None and stood.state == "done":
        answer = house.archive.get(asked.project, stood.key) or Answer(stood.key, asked.question, "", stood.result)
    said = words(stood) if running else _said(house, work_, asked, stood, answer)
    share = str(round(stood.share, 3)) if stood else "0"
    state = (said, share, not running, "inline-block" if running else "none", running, not running)
    if answer is None:
        return ("" if shown else no_update, *state, None)
    marks = [asked.project, answer.key]  # an answer takes the theme by itself
    seen = Standing("done", answer.result, "", 1.0, key=answer.key)
    return (no_update if shown == marks else work_.show(asked.visit, seen), *state, marks)


def _said(house: House, work_: LongWork, asked: Asked, stood: Standing | None, answer: Answer | None) -> list[Any]:
    """What failed or was cut off, then of when and of what the answer is that is shown."""
    said: list[Any] = []
    start = house.archive.last(asked.project, work_.name)
    if stood is not None and stood.state != "done":
        said.append(words(stood) + " ")
    elif stood is None and start is not None and start.question == asked.question and start.state != "done":
        said.append(of_a_start(start, work_.goes_on) + " ")
    if answer is not None and answer.made:
        told = of_an_answer(answer, asked.question)
        said.append(told if answer.question == asked.question else html.B(told))
    return said or [words(stood)]

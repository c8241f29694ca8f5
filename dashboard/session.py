"""The only caller of planner.api: cases, descriptions, and the tasks that processes of their own run.

What is asked of those processes, and what is kept of their answers, is the business of engine.py.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

from dashboard import jobs
from planner import api
from planner.model import paths
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.chapter import Book, alone
from planner.model.data_facts import FileFacts
from planner.model.results import FlowProfile, Forecast, WellDescription

COMPUTE = "dashboard.session:compute"
FLOW = "dashboard.session:flow_now"
MEMBERS_OF_REPORT = 50  # where a decision over members was not computed on its page
PLACES = ("file", "place", "value", "message", "remedy")


class BadCase(ValueError):
    """A case that cannot be used: every problem as a dict of file, place, value, message, remedy."""

    def __init__(self, problems: list[dict[str, str]]) -> None:
        self.problems = problems
        super().__init__(" ".join(_sentence(problem) for problem in problems))


def _sentence(problem: dict[str, str]) -> str:
    where = ": ".join(part for part in (problem["file"], problem["place"]) if part)
    shown = f" (value: {problem['value']})" if problem["value"] else ""
    return f"{where + ': ' if where else ''}{problem['message']}{shown}. {problem['remedy']}"


def _bad(error: Any) -> BadCase:
    return BadCase([{name: str(getattr(problem, name)) for name in PLACES} for problem in error.problems])


def read_case(path: Path) -> Case:
    """A case from its file or folder. Raises BadCase."""
    try:
        return api.read_case(path)
    except api.CaseError as error:
        raise _bad(error) from error


def case_from(document: Mapping[str, Any], folder: Path | None = None) -> Case:
    """A case from JSON with every table in it, or with those that it names in a folder. Raises BadCase."""
    try:
        return api.case_from(document, folder=folder)
    except api.CaseError as error:
        raise _bad(error) from error


def case_from_files(files: Mapping[str, bytes]) -> Case:
    """A case from uploaded files: one TOML and the tables and logs that it names. Raises BadCase."""
    with _laid_out(files) as toml:
        return read_case(toml)


def remarks_on_files(files: Mapping[str, bytes]) -> tuple[str, ...]:
    """What was odd in the logs and tables of an uploaded case that can be read, and how it was taken."""
    with _laid_out(files) as toml:
        return tuple(str(remark) for facts in api.data_files(toml) for remark in facts.remarks)


@contextmanager
def _laid_out(files: Mapping[str, bytes]) -> Iterator[Path]:
    """The TOML file among uploaded files, all of them in one folder for a while. Raises BadCase."""
    named = [name for name in files if name.lower().endswith(".toml")]
    if len(named) != 1:
        what = "no TOML file among them" if not named else f"{len(named)} TOML files: {', '.join(named)}"
        remedy = "Choose one case.toml together with the tables and logs that it names."
        raise BadCase([{"file": "", "place": "", "value": "", "message": what, "remedy": remedy}])
    with tempfile.TemporaryDirectory() as folder:
        for name, content in files.items():
            (Path(folder) / Path(name).name).write_bytes(content)
        yield Path(folder) / Path(named[0]).name


def inspect(path: Path, options: Mapping[str, Any]) -> FileFacts:
    """What a log or a table of measurements holds, and what is odd in it. Raises BadCase."""
    try:
        return api.inspect(path, **options)
    except api.CaseError as error:
        raise _bad(error) from error


def numbers_at(case: Case, path: str, zones: Mapping[str, Sequence[str]]) -> tuple[dict[str, float], str]:
    """The numbers at a path, SI, by the path of each, and their quantity. Raises BadCase where there is none."""
    try:
        return paths.read_all(case, path, zones), paths.quantity_at(case, path, zones)
    except api.CaseError as error:
        raise _bad(error) from error


def starting_case() -> Case:
    """The small case to start from that `blankwise new` writes."""
    with tempfile.TemporaryDirectory() as folder:
        return read_case(api.new_case(folder))


def case_as_zip(case: Case) -> bytes:
    """The case as files, in one archive."""
    made = io.BytesIO()
    with tempfile.TemporaryDirectory() as folder, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        api.write_case(case, folder)
        for file in sorted(Path(folder).iterdir()):
            archive.write(file, file.name)
    return made.getvalue()


def replace_text(path: Path, text: str) -> None:
    """Write a file at once."""
    api.replace_text(path, text)


def has(verb: str) -> bool:
    """Whether the engine has a verb."""
    return hasattr(api, verb)


@dataclass(frozen=True)
class Result:
    """A forecast and its money figures (empty where the case has no economics)."""

    forecast: Forecast
    money: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Standing:
    """How a computation stands, for the page."""

    state: jobs.State
    result: Any = None
    text: str = ""
    share: float = 0.0
    time_left: float | None = None
    key: str = ""

    @property
    def open(self) -> bool:
        """Whether there is more to come."""
        return self.state in ("waiting", "running")


def compute(case: Case, what_if: WhatIf | None, *, progress: Any, cancelled: Any) -> Result:
    """The task that a child process runs: one forecast with its money. Raises jobs.Declined, jobs.Stopped."""
    with engines_words():
        forecast = api.forecast(case, what_if, progress=progress, cancelled=cancelled, again=True)
    return Result(forecast, _money(case, what_if, forecast))


def flow_now(case: Case, what_if: WhatIf | None, on: date | None, *, progress: Any, cancelled: Any) -> FlowProfile:
    """The task of the flow at an instant. Raises jobs.Declined."""
    with engines_words():
        return api.flow(case, what_if, on)


@dataclass(frozen=True)
class Paper:
    """What the engine says, as chapters, and the case that it proposes (None: none). told: of it, for the revisions."""

    book: Book
    case: Case | None = None
    told: str = ""

    @property
    def text(self) -> str:
        """The whole as one HTML file, in need of nothing from outside."""
        return api.book_text(self.book)

    @property
    def fragment(self) -> str:
        """The same as HTML without a frame, for the screen."""
        return api.fragment_text(self.book)


def paper_style() -> str:
    """The style sheet of the engine's chapters."""
    return api.paper_style()


def paper_script() -> str:
    """The script of the engine's chapters."""
    return api.paper_script()


def section_offers(case: Case) -> tuple[Any, ...]:
    """The decisions that a report can hold, and what the case lacks for each."""
    return api.section_offers(case)


def report_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the report: the base and the case's what-ifs compared, and the decisions of the option `sections`.

    Those of the option `papers` go in as they are, the others are computed.
    """
    papers: Mapping[str, Paper] = options.get("papers") or {}
    plan = api.DecisionPlan(members=MEMBERS_OF_REPORT)
    wanted = [name for name in options["sections"] if name not in papers]
    quick = [one.key for one in api.section_offers(case) if one.quick]
    with engines_words():
        comparison, made = api.prepare_report(
            case, wanted, plan, without=[name for name in quick if name not in wanted], units=options["units"],
            progress=progress, cancelled=cancelled,
        )  # fmt: skip
        there = [api.ReportSection(name, paper.book.chapters[0]) for name, paper in papers.items()]
        return Paper(api.report_book(comparison, options["units"], api.in_order([*made, *there])))


def late_life_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of late life: the jobs ranked."""
    on = date.fromisoformat(str(options["on"])[:10])
    step = None if options["step"] == "none" else options["step"]
    with engines_words():
        found = api.cure(case, on, step=step, progress=progress, cancelled=cancelled)
        return _paper(found, options, case)


def uncertainty_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of uncertainty: an ensemble and what it says."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        members, seed = int(options["members"]), int(options["seed"])
        members_in = options.get("folder", folder)
        made = api.ensemble(case, members, seed=seed, folder=members_in, progress=progress, cancelled=cancelled)
        return _paper(api.findings(made, case=case), options, case)


def portfolio_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the portfolio: the cases of the option `cases` written out, and the best set of jobs."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        if not options["cases"]:
            raise jobs.Declined("Choose the wells first.")
        for name, one in options["cases"].items():
            api.write_case(one, Path(folder) / re.sub(r"[^\w -]", "_", name))
        limits = {"budget": _amount(options["budget"], 1e6), "rig_days": _amount(options["rig_days"], 1.0)}
        day = date.fromisoformat(options["on"]) if options["on"] else None
        return _paper(api.portfolio(folder, on=day, **limits, progress=progress, cancelled=cancelled), options)


def suit_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of suitability: what hole and sand suit."""
    with engines_words():
        return _paper(api.suit(case), options, case)


def split_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the zone split: the string that is worth most, as a case too."""
    with engines_words():
        pins, forbids = (_listed(options[name]) for name in ("pins", "forbids"))
        found = api.split(case, pins, forbids, progress=progress, cancelled=cancelled)
        return _paper(found, options, None, found.case, f"String of a split into {len(found.zones)} zones")


def match_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the match: ranges brought to the measurements, and the matched case."""
    with engines_words():
        found = api.match(case, method=options["method"], members=int(options["members"]), progress=progress,
                          cancelled=cancelled)  # fmt: skip
        return _paper(found, options, None, found.case, f"Matched to measurements, by {found.method}")


def blanks_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the worth of blanks: policies over the members."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        members_in = Path(options.get("folder", Path(folder) / "members"))
        found = api.blanks(case, int(options["members"]), dates=int(options["dates"]), folder=members_in,
                           progress=progress, cancelled=cancelled)  # fmt: skip
        return _paper(found, options, case)


def _paper(
    found: Any, options: Mapping[str, Any], about: Case | None = None, case: Case | None = None, told: str = ""
) -> Paper:
    """What was found as a paper; about: the case that it is of, case: the one that it proposes."""
    return Paper(alone(api.chapter_of(found, about, options["units"])), case, told)


def _listed(text: Any) -> list[str]:
    """Pieces typed into an option, parted by semicolons."""
    return [piece.strip() for piece in str(text or "").split(";") if piece.strip()]


def _amount(text: Any, scale: float) -> float | None:
    """A number typed into an option; None where nothing was. Raises jobs.Declined."""
    if text in (None, ""):
        return None
    try:
        return float(str(text).replace(",", "")) * scale
    except ValueError:
        raise jobs.Declined(f"Not a number: {text}.") from None


class engines_words:
    """Inside it, what the engine raises becomes what the runner of jobs understands."""

    def __enter__(self) -> None:
        """Nothing to set up."""

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> None:
        """Say it in the runner's words."""
        if isinstance(error, api.Refusal | api.CaseError):
            raise jobs.Declined(str(error)) from error
        if isinstance(error, api.Cancelled):
            raise jobs.Stopped from error


def warm(path: str, *, progress: Any, cancelled: Any) -> None:
    """What a child process does first: load the engine by a forecast of a month, so that the first answer is quick.

    path: of the case that will be asked about ('': none is known yet).
    """
    try:
        case = read_case(Path(path)) if path else starting_case()
    except BadCase:
        return  # the server says what is wrong with it
    until = min(case.schedule.end, case.schedule.start + timedelta(days=32))
    api.forecast(case, None, progress=progress, cancelled=cancelled, until=until)


def _money(case: Case, what_if: WhatIf | None, forecast: Forecast) -> dict[str, float]:
    """Money figures of one forecast by itself; none where the case gives no price."""
    if not (case.economics.oil_price or case.economics.gas_price or case.economics.injection_cost):
        return {}
    base = replace(forecast, name="base")
    if what_if is None:
        return dict(api.put_together(case, base).money["base"])
    named = what_if.model_copy(update={"name": "in hand"})
    return dict(api.put_together(case, base, [(named, replace(forecast, name="in hand"))]).money["in hand"])


def content_key(case: Case, what_if: WhatIf | None, *more: Any) -> str:
    """Hash of what a result depends on; the name of a what-if is not part of it."""
    events = [event.model_dump(mode="json") for event in what_if.events] if what_if else []
    completion = what_if.completion if what_if else None
    text = _case_text(case) + json.dumps([events, completion, *more], sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def _case_text(case: Case) -> str:
    """The case without its what-ifs, as text; kept per record, which is frozen."""
    return _text_by_id(_ById(case))


class _ById:
    """A record that is looked up by identity, and kept alive while it is."""

    def __init__(self, case: Case) -> None:
        self.case = case

    def __hash__(self) -> int:
        return id(self.case)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ById) and other.case is self.case


@lru_cache(maxsize=64)
def _text_by_id(held: _ById) -> str:
    return held.case.model_dump_json(exclude={"what_ifs"})


@lru_cache(maxsize=64)
def _described(held: _ById) -> WellDescription:
    try:
        return api.describe(held.case)
    except api.CaseError as error:
        raise _bad(error) from error


def describe(case: Case) -> WellDescription:
    """The well as a graph for people. Raises BadCase."""
    return _described(_ById(case))

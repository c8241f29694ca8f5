"""The only caller of planner.api: cases, descriptions, and results by content, computed in the background.

Results are pure functions of what goes in, so they are kept once per content and shared; what a page *wants* is kept
per browser tab, and a forecast that no tab wants any more is cancelled. Long work (`Engine.long`) runs on until it is
done or somebody stops it, and its result is kept for as long as the server runs.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import tempfile
import threading
import time
import zipfile
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

from dashboard import jobs
from planner import api
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import FlowProfile, Forecast, WellDescription

KEPT_RESULTS = 128
TAB_LIFE = 900.0  # s after which a tab that asked for nothing is forgotten
COMPUTE, WARM = "dashboard.session:compute", "dashboard.session:warm"
FLOW = "dashboard.session:flow_now"
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


def case_from(document: Mapping[str, Any]) -> Case:
    """A case from JSON with every table in it. Raises BadCase."""
    try:
        return api.case_from(document)
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
        forecast = api.forecast(case, what_if, progress=progress, cancelled=cancelled)
    return Result(forecast, _money(case, what_if, forecast))


def flow_now(case: Case, what_if: WhatIf | None, on: date | None, *, progress: Any, cancelled: Any) -> FlowProfile:
    """The task of the flow at an instant. Raises jobs.Declined."""
    with engines_words():
        return api.flow(case, what_if, on)


def report_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of the report: the base and the case's what-ifs compared, as one HTML file."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        comparison = api.compare(case, progress=progress, cancelled=cancelled)
        return api.report(comparison, Path(folder) / "report.html", options["units"]).read_text("utf-8")


def late_life_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of late life: the jobs ranked, as an HTML file."""
    on = date.fromisoformat(str(options["on"])[:10])
    step = None if options["step"] == "none" else options["step"]
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        found = api.cure(case, on, step=step, progress=progress, cancelled=cancelled)
        return api.cure_report(found, Path(folder) / "page.html", options["units"]).read_text("utf-8")


def uncertainty_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of uncertainty: an ensemble and what it says, as an HTML file."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        members, seed = int(options["members"]), int(options["seed"])
        made = api.ensemble(case, members, seed=seed, folder=folder, progress=progress, cancelled=cancelled)
        found = api.findings(made, case=case)
        page = Path(folder) / "page.html"
        return api.ensemble_report(found, page, options["units"], case.economics.currency).read_text("utf-8")


def portfolio_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of the portfolio: the cases of the option `cases` written out, the best set of jobs as an HTML file."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        for name, one in options["cases"].items():
            api.write_case(one, Path(folder) / re.sub(r"[^\w -]", "_", name))
        limits = {"budget": _amount(options["budget"], 1e6), "rig_days": _amount(options["rig_days"], 1.0)}
        found = api.portfolio(folder, **limits, progress=progress, cancelled=cancelled)
        return api.portfolio_report(found, Path(folder) / "page.html", options["units"]).read_text("utf-8")


@dataclass(frozen=True)
class Paper:
    """A document of the engine, and the case that it proposes (None: none). told: of the case, for the revisions."""

    text: str
    case: Case | None = None
    told: str = ""


def suit_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of suitability: what hole and sand suit, as an HTML file."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        return api.suit_report(api.suit(case), case, Path(folder) / "page.html", options["units"]).read_text("utf-8")


def split_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the zone split: the string that is worth most, as an HTML file and as a case."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        pins, forbids = (_listed(options[name]) for name in ("pins", "forbids"))
        found = api.split(case, pins, forbids, progress=progress, cancelled=cancelled)
        text = api.split_report(found, Path(folder) / "page.html", options["units"]).read_text("utf-8")
        return Paper(text, found.case, f"String of a split into {len(found.zones)} zones")


def match_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> Paper:
    """The task of the match: ranges brought to the measurements, as an HTML file and as the matched case."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        found = api.match(case, method=options["method"], members=int(options["members"]), progress=progress,
                          cancelled=cancelled)  # fmt: skip
        text = api.match_report(found, Path(folder) / "page.html", options["units"]).read_text("utf-8")
        return Paper(text, found.case, f"Matched to measurements, by {found.method}")


def blanks_of(case: Case, options: Mapping[str, Any], *, progress: Any, cancelled: Any) -> str:
    """The task of the worth of blanks: policies over the members, as an HTML file."""
    with engines_words(), tempfile.TemporaryDirectory() as folder:
        found = api.blanks(case, int(options["members"]), dates=int(options["dates"]), folder=Path(folder) / "members",
                           progress=progress, cancelled=cancelled)  # fmt: skip
        return api.blanks_report(found, Path(folder) / "page.html", options["units"]).read_text("utf-8")


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


def warm(case: Case, *, progress: Any, cancelled: Any) -> None:
    """What a child process does first: load the engine by a forecast of a month, so that the first answer is quick."""
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


class Engine:
    """What all visitors share: the processes that compute, and results by content."""

    def __init__(self, runner: jobs.Runner) -> None:
        self._runner = runner
        self._results: OrderedDict[str, Standing] = OrderedDict()
        self._wanted: dict[str, dict[str, jobs.Job]] = {}
        self._seen: dict[str, float] = {}
        self._stopped: set[tuple[str, str]] = set()
        self._long: dict[str, jobs.Job] = {}
        self._lock = threading.Lock()

    def close(self) -> None:
        """End the processes that compute."""
        self._runner.close()

    def stand(
        self, tab: str, case: Case, asked: Mapping[str, WhatIf | None], patience: float = 0.0
    ) -> dict[str, Standing]:
        """How every what-if asked for stands; starts what is missing, cancels what this tab left behind.

        asked: name of the caller's choice -> what-if (None: the base). patience: seconds to wait for the first two.
        """
        keys = {name: content_key(case, what_if) for name, what_if in asked.items()}
        with self._lock:
            self._start_missing(tab, case, keys, asked)
        waited = [self._wanted[tab].get(keys[name]) for name in list(asked)[:2]]
        until = time.monotonic() + patience
        for job in waited:
            if job is not None:
                job.finished.wait(max(0.0, until - time.monotonic()))
        with self._lock:
            self._collect()
            return {name: self._standing(tab, key) for name, key in keys.items()}

    def known(self, case: Case, what_if: WhatIf | None) -> Result | None:
        """A forecast that is there already; None where it is not."""
        with self._lock:
            self._collect()
            held = self._results.get(content_key(case, what_if))
        return held.result if held else None

    def flow(self, case: Case, what_if: WhatIf | None, on: date | None = None, patience: float = 20.0) -> Standing:
        """Flow at an instant, waited for. It goes before forecasts: there is a process for it alone."""
        key = content_key(case, what_if, "flow", on)
        with self._lock:
            if key in self._results:
                return self._results[key]
        job = self._runner.submit(key, FLOW, (case, what_if, on), lane="quick")
        job.finished.wait(patience)
        if not job.finished.is_set():
            return Standing("running", share=job.share)
        standing = Standing(job.state, job.result, job.text, 1.0)
        with self._lock:
            self._keep(key, standing)
        return standing

    def long(
        self, task: str, case: Case, options: Any, *arguments: Any, start: bool = False, lane: jobs.Lane = "long"
    ) -> Standing | None:
        """How long work stands (None: never asked for); `start` begins it, again after a failure or a stop.

        task: 'package.module:function', called with arguments, progress and cancelled; options: what its result
        depends on beside the case, as JSON.
        """
        key = content_key(case, None, task, options)
        with self._lock:
            if key in self._results and not (start and self._results[key].state != "done"):
                return self._results[key]
            job = self._long.get(key)
            if start and (job is None or job.finished.is_set()):
                job = self._long[key] = self._runner.submit(key, task, arguments, lane=lane)
            if job is None:
                return None
            if job.finished.is_set():
                del self._long[key]
                self._keep(key, Standing(job.state, job.result, job.text, 1.0, key=key))
                return self._results[key]
            return Standing(job.state, None, job.sentence, job.share, job.time_left())

    def kept(self, key: str) -> Standing | None:
        """What is kept under a key; None where nothing is."""
        with self._lock:
            return self._results.get(key)

    def stop_long(self, task: str, case: Case, options: Any) -> None:
        """Ask long work to stop."""
        with self._lock:
            job = self._long.get(content_key(case, None, task, options))
            if job is not None:
                self._runner.cancel(job)

    def base_arrivals(self, case: Case) -> dict[str, date]:
        """Zone -> day on which water reaches it in the base; empty while the base is not computed."""
        result = self.known(case, None)
        listed = [h for h in result.forecast.happenings if h.kind == "water arrives"] if result else []
        return {h.where: date.fromisoformat(h.date) for h in reversed(listed)}

    def cancel(self, tab: str) -> None:
        """Stop everything that this tab waits for, except what another tab waits for too."""
        with self._lock:
            for key in list(self._wanted.get(tab, {})):
                self._drop(tab, key)
                self._stopped.add((tab, key))

    def forget(self, tab: str) -> None:
        """Forget what was stopped or failed, so that it is tried again."""
        with self._lock:
            self._stopped = {pair for pair in self._stopped if pair[0] != tab}
            self._results = OrderedDict(
                (key, held) for key, held in self._results.items() if held.state in ("done", "refused")
            )

    def _start_missing(self, tab: str, case: Case, keys: dict[str, str], asked: Mapping[str, WhatIf | None]) -> None:
        self._collect()
        self._forget_tabs(tab)
        wanted = self._wanted.setdefault(tab, {})
        for key in [key for key in wanted if key not in keys.values()]:
            self._drop(tab, key)
        for name, key in keys.items():
            if key not in self._results and key not in wanted and (tab, key) not in self._stopped:
                wanted[key] = self._runner.submit(key, COMPUTE, (case, asked[name]))
        self._collect()

    def _forget_tabs(self, tab: str) -> None:
        """Tabs that were closed ask for nothing any more."""
        now = time.monotonic()
        self._seen[tab] = now
        for gone in [name for name, last in self._seen.items() if now - last > TAB_LIFE]:
            for key in list(self._wanted.get(gone, {})):
                self._drop(gone, key)
            self._wanted.pop(gone, None)
            del self._seen[gone]
            self._stopped = {pair for pair in self._stopped if pair[0] != gone}

    def _drop(self, tab: str, key: str) -> None:
        job = self._wanted[tab].pop(key)
        if not any(key in others for others in self._wanted.values()):
            self._runner.cancel(job)

    def _collect(self) -> None:
        """Move finished jobs into the results."""
        for wanted in self._wanted.values():
            for key, job in list(wanted.items()):
                if job.finished.is_set():
                    del wanted[key]
                    if job.state != "cancelled":
                        self._keep(key, Standing(job.state, job.result, job.text, 1.0))

    def _keep(self, key: str, standing: Standing) -> None:
        self._results[key] = standing
        self._results.move_to_end(key)
        while len(self._results) > KEPT_RESULTS:
            self._results.popitem(last=False)

    def _standing(self, tab: str, key: str) -> Standing:
        if key in self._results:
            self._results.move_to_end(key)
            return self._results[key]
        if (tab, key) in self._stopped:
            return Standing("cancelled", text="Stopped on request. Press 'Try again' or change the what-if.")
        job = self._wanted[tab].get(key)
        if job is None or job.state not in ("waiting", "running"):
            return Standing("waiting")
        return Standing(job.state, None, job.sentence, job.share, job.time_left())

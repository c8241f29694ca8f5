"""The only caller of planner.api: the case, its description, and forecasts by content, computed in the background.

Results are pure functions of (case, events), so they are kept once per content and shared; what a user *wants* is kept
per browser session, and a job that no session wants any more is cancelled.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections import OrderedDict
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from dashboard import jobs
from planner import api
from planner.model.case import Case
from planner.model.change import WhatIf
from planner.model.results import Forecast, WellDescription

KEPT_RESULTS = 96
COMPUTE, WARM = "dashboard.session:compute", "dashboard.session:warm"


@dataclass(frozen=True)
class Result:
    """A forecast and its money figures (empty where the case has no economics)."""

    forecast: Forecast
    money: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Standing:
    """How the computation of one what-if stands, for the page."""

    state: jobs.State
    result: Result | None = None
    text: str = ""
    share: float = 0.0
    time_left: float | None = None

    @property
    def open(self) -> bool:
        """Whether there is more to come."""
        return self.state in ("waiting", "running")


def compute(case: Case, what_if: WhatIf | None, *, progress: Any, cancelled: Any) -> Result:
    """The task that a child process runs: one forecast with its money. Raises jobs.Declined, jobs.Stopped."""
    try:
        forecast = api.forecast(case, what_if, progress=progress, cancelled=cancelled)
    except api.Refusal as reason:
        raise jobs.Declined(str(reason)) from reason
    except api.Cancelled as stop:
        raise jobs.Stopped from stop
    return Result(forecast, _money(case, what_if, forecast))


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


def content_key(case: Case, what_if: WhatIf | None) -> str:
    """Hash of what a result depends on; the name of a what-if is not part of it."""
    events = [event.model_dump(mode="json") for event in what_if.events] if what_if else []
    text = case.model_dump_json(exclude={"what_ifs"}) + json.dumps(events, sort_keys=True)
    if what_if is not None and what_if.completion is not None:
        text += what_if.completion
    return hashlib.sha256(text.encode()).hexdigest()


class CaseDesk:
    """One case on the server: what all browser sessions share."""

    def __init__(self, case: Case, runner: jobs.Runner, place: str = "") -> None:
        self.case = case
        self.place = place
        self.description: WellDescription = api.describe(case)
        self.key = hashlib.sha256(f"{place}|{case.well.name}|{case.title}".encode()).hexdigest()[:12]
        self._runner = runner
        self._results: OrderedDict[str, Standing] = OrderedDict()
        self._wanted: dict[str, dict[str, jobs.Job]] = {}
        self._stopped: set[tuple[str, str]] = set()
        self._lock = threading.Lock()

    @classmethod
    def open(cls, path: Path, runner: jobs.Runner | None = None) -> CaseDesk:
        """Read a case from its file or folder; runner: where forecasts run, by default processes of their own.

        Raises planner's CaseError with every problem found.
        """
        case = api.read_case(path)
        return cls(case, runner or jobs.Workers(first=(WARM, (case,))), str(path.resolve()))

    def close(self) -> None:
        """End the processes that compute."""
        self._runner.close()

    def warm_up(self) -> None:
        """Start the base forecast, so that it is there when the first page asks."""
        self.stand("warm-up", {"base": None})

    def stand(self, session_id: str, asked: dict[str, WhatIf | None], patience: float = 0.0) -> dict[str, Standing]:
        """How every what-if asked for stands; starts what is missing, cancels what this session left behind.

        asked: name of the caller's choice -> what-if (None: the base). patience: seconds to wait for the first two.
        """
        keys = {name: content_key(self.case, what_if) for name, what_if in asked.items()}
        with self._lock:
            self._start_missing(session_id, keys, asked)
        waited = [self._wanted[session_id].get(keys[name]) for name in list(asked)[:2]]
        for job in waited:
            if job is not None:
                job.finished.wait(patience)
        with self._lock:
            self._collect()
            return {name: self._standing(session_id, key) for name, key in keys.items()}

    def base_arrivals(self) -> dict[str, date]:
        """Zone -> day on which water reaches it in the base; empty while the base is not computed."""
        with self._lock:
            self._collect()
            held = self._results.get(content_key(self.case, None))
        if held is None or held.result is None:
            return {}
        listed = [h for h in held.result.forecast.happenings if h.kind == "water arrives"]
        return {h.where: date.fromisoformat(h.date) for h in reversed(listed)}

    def cancel(self, session_id: str) -> None:
        """Stop everything that this session waits for, except what another session waits for too."""
        with self._lock:
            for key in list(self._wanted.get(session_id, {})):
                self._drop(session_id, key)
                self._stopped.add((session_id, key))

    def forget(self, session_id: str) -> None:
        """Forget what was stopped or failed, so that it is tried again."""
        with self._lock:
            self._stopped = {pair for pair in self._stopped if pair[0] != session_id}
            self._results = OrderedDict(
                (key, held) for key, held in self._results.items() if held.state in ("done", "refused")
            )

    def _start_missing(self, session_id: str, keys: dict[str, str], asked: dict[str, WhatIf | None]) -> None:
        self._collect()
        wanted = self._wanted.setdefault(session_id, {})
        for key in [key for key in wanted if key not in keys.values()]:
            self._drop(session_id, key)
        for name, key in keys.items():
            if key not in self._results and key not in wanted and (session_id, key) not in self._stopped:
                wanted[key] = self._runner.submit(key, COMPUTE, (self.case, asked[name]))
        self._collect()

    def _drop(self, session_id: str, key: str) -> None:
        job = self._wanted[session_id].pop(key)
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

    def _standing(self, session_id: str, key: str) -> Standing:
        if key in self._results:
            self._results.move_to_end(key)
            return self._results[key]
        if (session_id, key) in self._stopped:
            return Standing("cancelled", text="Stopped on request. Press 'Try again' or change the what-if.")
        job = self._wanted[session_id].get(key)
        if job is None or job.state not in ("waiting", "running"):
            return Standing("waiting")
        return Standing(job.state, None, "", job.share, job.time_left())

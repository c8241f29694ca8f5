"""What all visitors share: the processes that compute, and what they found, by content.

Results are pure functions of what goes in, so they are kept once per content and shared; what a page *wants* is kept
per browser tab, and a forecast that no tab wants any more is cancelled. Long work (`Engine.long`) runs on until it is
done or somebody stops it; its document is kept on disk (see archive.py).
"""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from dashboard import jobs
from dashboard.session import COMPUTE, FLOW, Result, Standing, content_key
from planner.model.case import Case
from planner.model.change import WhatIf

KEPT_RESULTS = 128
TAB_LIFE = 900.0  # s after which a tab that asked for nothing is forgotten
AHEAD = "ahead of "  # of the name under which work is begun that no tab has asked for yet


def _when_over(job: jobs.Job, then: Callable[[jobs.Job], None]) -> None:
    """Call `then` when a job is over: at once where it is, else from a thread that waits for it."""

    def wait() -> None:
        job.finished.wait()
        then(job)

    if job.finished.is_set():
        then(job)
    else:
        threading.Thread(target=wait, daemon=True).start()


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

    def ahead(self, who: str, case: Case, asked: Mapping[str, WhatIf | None]) -> None:
        """Begin what is about to be asked for, so that its answer is under way when somebody comes for it.

        who: what is begun later under the same name takes the place of this; nothing under way is held by it.
        """
        self.stand(AHEAD + who, case, asked)

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
        self,
        task: str,
        case: Case,
        options: Any,
        *arguments: Any,
        start: bool = False,
        lane: jobs.Lane = "long",
        then: Callable[[jobs.Job], None] | None = None,
    ) -> Standing | None:
        """How long work stands (None: never asked for); `start` begins it, again after a failure or a stop.

        task: 'package.module:function', called with arguments, progress and cancelled; options: what its result
        depends on beside the case, as JSON. then: called in a thread of its own when work begun here is over.
        """  # fmt: skip
        key = content_key(case, None, task, options)
        with self._lock:
            if key in self._results and not (start and self._results[key].state != "done"):
                return self._results[key]
            job = self._long.get(key)
            if start and (job is None or job.finished.is_set()):
                job = self._long[key] = self._runner.submit(key, task, arguments, lane=lane)
                if then is not None:
                    _when_over(job, then)
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
        """A tab gives up a wish; the work goes on where another tab has it. What was only begun ahead holds no work."""
        job = self._wanted[tab].pop(key)
        ahead = tab.startswith(AHEAD)
        if not any(key in keys for name, keys in self._wanted.items() if ahead or not name.startswith(AHEAD)):
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

"""While work runs: a progress line on stderr after a second, and Ctrl-C that asks the work to stop."""

from __future__ import annotations

import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeRemainingColumn

PATIENCE = 1.0  # s before the progress line shows


class Waiting:
    """Progress and cancellation of one piece of work; made by `waiting`."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self._began = time.monotonic()
        self._progress: Progress | None = None
        self._task = TaskID(0)
        self._cancelled = False

    def tell(self, share: float, text: str) -> None:
        """Say how far the work is: share 0 to 1, and a sentence. Nothing shows unless stderr is a terminal."""
        if not self._console.is_terminal or time.monotonic() - self._began < PATIENCE:
            return
        if self._progress is None:
            columns = (
                BarColumn(24),
                TextColumn("{task.percentage:>3.0f}%"),
                TimeRemainingColumn(),
                TextColumn("{task.description}", markup=False),
            )
            self._progress = Progress(*columns, console=self._console, transient=True)
            self._progress.start()
            self._task = self._progress.add_task(text, total=1.0)
        self._progress.update(self._task, completed=share, description=text)

    def cancelled(self) -> bool:
        """Whether Ctrl-C was pressed."""
        return self._cancelled

    def interrupt(self, signum: int, frame: FrameType | None) -> None:
        """On the first Ctrl-C ask the work to stop; on the second stop at once."""
        if self._cancelled:
            raise KeyboardInterrupt
        self._cancelled = True

    def close(self) -> None:
        """Take the progress line away."""
        if self._progress is not None:
            self._progress.stop()


@contextmanager
def waiting(console: Console) -> Iterator[Waiting]:
    """Progress on the console and Ctrl-C caught while the work inside runs."""
    work = Waiting(console)
    catches = threading.current_thread() is threading.main_thread()
    before = signal.signal(signal.SIGINT, work.interrupt) if catches else None
    try:
        yield work
    finally:
        if catches:
            signal.signal(signal.SIGINT, before)
        work.close()

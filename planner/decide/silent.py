"""Libraries that write to the standard output of the process behind Python's back, kept quiet while they work.

scipy's integer programming (HiGHS, scipy 1.17) prints a line of its own there in some solves whatever it is told, in
the middle of a JSON document. What C has buffered is flushed before the output is given back.
"""

from __future__ import annotations

import ctypes
import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

STDOUT = 1
_lock = threading.Lock()


@contextmanager
def silent() -> Iterator[None]:
    """Nothing written to the standard output of the process inside gets out; what was written before does."""
    with _lock:
        sys.stdout.flush()
        c_library = ctypes.CDLL(None)
        c_library.fflush(None)
        kept = os.dup(STDOUT)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(nowhere, STDOUT)
            yield
        finally:
            c_library.fflush(None)
            os.dup2(kept, STDOUT)
            os.close(kept)
            os.close(nowhere)

"""The compile switch: how kernels are compiled, and where their machine code is kept.

Numba's cache looks only at the file of a function, not at what it calls, so the cache folder is named after a digest of
all kernel sources: a change in any of them starts a new one. BLANKWISE_CACHE names another parent folder.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

F = TypeVar("F", bound=Callable[..., Any])


def _digest() -> str:
    """Of every source file that holds kernels, and of the versions that compile them."""
    rooms = Path(__file__).resolve().parent.parent
    seen = hashlib.sha256(f"{numba.__version__} {sys.version_info[:3]}".encode())
    for room in ("base", "physics", "solve", "network", "forecast"):
        for path in sorted((rooms / room).glob("*.py")):
            text = path.read_bytes()
            if b"base.compiled" in text or path.name in ("constants.py", "arrays.py", "compiled.py"):
                seen.update(text)
    return seen.hexdigest()[:16]


def cache_folder() -> Path:
    """Where compiled kernels of this version are kept."""
    parent = os.environ.get("BLANKWISE_CACHE") or os.environ.get("XDG_CACHE_HOME")
    return (Path(parent) if parent else Path.home() / ".cache") / "blankwise" / _digest()


def ready() -> bool:
    """Whether the kernels of this version have been compiled on this machine."""
    return any(cache_folder().rglob("*.step-*.nbi"))


setattr(numba.config, "CACHE_DIR", str(cache_folder()))  # noqa: B010 - not in numba's type stubs


def kernel(function: F) -> F:
    """Compile a function that sees arrays and numbers only; the machine code is kept between runs."""
    return cast(F, numba.njit(cache=True, error_model="numpy")(function))


def inlined(function: F) -> F:
    """As `kernel`, written into its callers: for small functions that take many arrays."""
    return cast(F, numba.njit(cache=True, error_model="numpy", inline="always")(function))

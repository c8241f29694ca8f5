"""How readers tell what is wrong."""

from __future__ import annotations

from collections.abc import Callable

from planner.base.errors import Problem

Report = Callable[[Problem], None]

"""What long work is given: whom to tell, whom to ask."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[float, str], None]
Asked = Callable[[], bool]

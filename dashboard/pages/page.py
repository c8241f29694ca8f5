"""What a page is: its place in the flow of work, its layout for a visit, and its callbacks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import dash

from dashboard.house import House, Visit


@dataclass(frozen=True)
class Page:
    """One page, one file: `path` in the address, `title` on the rail, `group` of the rail it stands under.

    needs: verb of planner.api without which the page is left out ('': none).
    """

    path: str
    title: str
    group: str
    layout: Callable[[Visit, House], Any]
    register: Callable[[dash.Dash, House], None]
    needs: str = ""
    says: str = ""  # one sentence on what the page is for
    later: Callable[[Visit], list[Any]] = lambda visit: []  # what its callbacks bring in later, for Dash to know

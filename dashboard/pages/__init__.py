"""Pages: layout and thin callbacks, one page a file, listed in the order of the work."""

from __future__ import annotations

from dashboard import session
from dashboard.pages import well
from dashboard.pages.page import Page

ALL: tuple[Page, ...] = (
    well.PAGE,
)


def pages() -> tuple[Page, ...]:
    """The pages whose engine is there."""
    return tuple(page for page in ALL if not page.needs or session.has(page.needs))

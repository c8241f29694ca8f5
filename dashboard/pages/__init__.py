"""Pages: layout and thin callbacks, one page a file, listed in the order of the work."""

from __future__ import annotations

from dashboard import session
from dashboard.pages import (
    blanks,
    compare,
    flow,
    inputs,
    late_life,
    life,
    match,
    portfolio,
    report,
    revisions,
    split,
    suitability,
    uncertainty,
    well,
    what_ifs,
)
from dashboard.pages.page import Page

ALL: tuple[Page, ...] = (
    inputs.PAGE,
    revisions.PAGE,
    suitability.PAGE,
    split.PAGE,
    match.PAGE,
    flow.PAGE,
    life.PAGE,
    well.PAGE,
    what_ifs.PAGE,
    compare.PAGE,
    uncertainty.PAGE,
    late_life.PAGE,
    blanks.PAGE,
    portfolio.PAGE,
    report.PAGE,
)
FIRST = well.PAGE.path


def pages() -> tuple[Page, ...]:
    """The pages whose engine is there."""
    return tuple(page for page in ALL if not page.needs or session.has(page.needs))

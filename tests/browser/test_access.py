"""Every page in both themes against axe-core, levels A and AA; nothing smaller than 12 px."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import settled
from tests.browser.test_page import click_zone, press
from tests.browser.test_session import PAGES, go

pytestmark = pytest.mark.browser
LEVELS = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}}
SMALL = """() => Array.from(document.querySelectorAll("#page *, .rail *")).filter((n) => n.getClientRects().length
  && Array.from(n.childNodes).some((c) => c.nodeType === 3 && c.textContent.trim())
  && parseFloat(getComputedStyle(n).fontSize) < 12).map((n) => n.outerHTML.slice(0, 120))"""


def faults(page: Page) -> list[str]:
    """What axe finds, one line each."""
    found = Axe().run(page, options=LEVELS).response["violations"]
    return [
        f"{one['id']}: {node['html'][:160]} {node['failureSummary'][:200]}" for one in found for node in one["nodes"]
    ]


@pytest.mark.parametrize("theme", ["Light", "Dark"])
def test_every_page_can_be_read_and_used(
    invented: str, visit: Callable[..., Page], keep: Callable[[Page, str], Path], theme: str
) -> None:
    page = visit(invented)
    page.get_by_text(theme, exact=True).click()
    click_zone(page, "Birch")
    press(page, "Shut it")
    settled(page)
    told = []
    for title in PAGES:
        go(page, title)
        expect(page.locator("#page > *")).to_be_visible()
        keep(page, f"{title} {theme}")
        told += [f"{title}: {fault}" for fault in faults(page)]
        told += [f"{title}: small: {node}" for node in page.evaluate(SMALL)]
    assert told == []
